"""Which pictures the demo keeps: for each book the face, the faults on it, the light, and what is looked at closely."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from seeds.covers.condition import AFTER, BEFORE, LATER
from seeds.covers.faults import Fault, Frame
from seeds.covers.issues import ISSUES


@dataclass(frozen=True)
class Sheet:
    """One kept picture; `detail` is the part of the face that a close-up shows."""

    name: str
    key: str
    faults: tuple[Fault, ...]
    face: str = "front"
    light: str = "normal"
    detail: Frame | None = None
    by_hand: bool = False
    """Taken without a stand, so that the book lies a little askew in it."""


def picture_name(key: str, label: str) -> str:
    """The file name of a picture; labels are after, before, second, back, raking, ultraviolet, worn, mark-1, mark-2."""
    return f"{key}-{label}.png"


_RAKED = ("raincoat-squad-1", "harbor-lamp-23", "dry-ford-deputy-5", "ganymede-mail-2")
_UNDER_UV = ("crimson-semaphore-3", "bold-sextant-33", "linen-squadron-4")
_BACKS = ("raincoat-squad-1", "jungle-meridian-15", "bold-sextant-4", "dumpling-and-tack-8", "umbrella-for-two-16",
          "harbor-lamp-14", "bold-sextant-33", "umbrella-for-two-38")  # fmt: skip

_MARKS: tuple[tuple[str, str, Frame], ...] = (
    ("raincoat-squad-1", "mark-1", Frame(0, 188, 24, 206)),
    ("raincoat-squad-1", "mark-2", Frame(59, 85, 83, 103)),
    ("harbor-lamp-14", "mark-1", Frame(76, 192, 100, 210)),
    ("unlit-stair-4", "mark-1", Frame(72, 106, 96, 124)),
    ("bold-sextant-4", "mark-1", Frame(0, 52, 24, 70)),
    ("bold-sextant-4", "mark-2", Frame(2, 195, 26, 213)),
    ("ganymede-mail-2", "mark-1", Frame(76, 200, 100, 218)),
    ("ganymede-mail-11", "mark-1", Frame(86, 83, 110, 101)),
)


def _all_faults(key: str) -> tuple[Fault, ...]:
    return BEFORE.get(key, ()) or AFTER.get(key, ())


def _sheets() -> Iterator[Sheet]:
    for key in ISSUES:
        yield Sheet(picture_name(key, "after"), key, AFTER.get(key, ()))
        if key in BEFORE:
            yield Sheet(picture_name(key, "before"), key, BEFORE[key], by_hand=True)
    for key, label, faults in LATER:
        yield Sheet(picture_name(key, label), key, faults)
    for key in _RAKED:
        yield Sheet(picture_name(key, "raking"), key, _all_faults(key), light="raking")
    for key in _UNDER_UV:
        yield Sheet(picture_name(key, "ultraviolet"), key, _all_faults(key), light="ultraviolet")
    for key in _BACKS:
        yield Sheet(picture_name(key, "back"), key, _all_faults(key), face="back")
    for key, label, detail in _MARKS:
        yield Sheet(picture_name(key, label), key, _all_faults(key), detail=detail)


SHEETS: Sequence[Sheet] = tuple(_sheets())
