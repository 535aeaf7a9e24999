"""The form in which a record is chosen: each sealed field of an entry with a box, each photograph with one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.errors import InvalidError, Problem
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.saying.spelling import plainly
from ledger.usecases.choose import Choice, Wish
from ledger.when import When
from web.posted import Posted
from web.wording import t

__all__ = ["Box", "EntryBoxes", "Shot", "boxes_of", "shots_of", "wish_of", "wish_typed"]

SHOWN_MOST = 120
DIGITS_MOST = 15
"""Digits of the number of an entry."""


@dataclass(frozen=True, kw_only=True)
class Box:
    """One sealed field that can be opened."""

    value: str
    name: str
    said: str
    mended: str
    """That this is no longer so, and which entry says it; empty for what still counts."""
    ticked: bool


@dataclass(frozen=True, kw_only=True)
class EntryBoxes:
    """The sealed fields of one entry."""

    seq: int
    title: str
    when: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, kw_only=True)
class Shot:
    """One photograph that can go along, or the reason why it cannot."""

    seq: int
    sha256: str
    words: str
    ticked: bool
    alone: bool
    """It shows this book and no other."""


def boxes_of(choices: Sequence[Choice], wish: Wish) -> tuple[EntryBoxes, ...]:
    """The boxes, entry by entry; ticked is what a record opens by itself, or what was ticked before."""
    found: dict[int, EntryBoxes] = {}
    for each in choices:
        ticked = each.usual if wish.opened is None else (each.seq, each.name) in wish.opened
        box = Box(
            value=f"{each.seq}.{each.name}",
            name=each.title,
            said=_said(each.value),
            mended=_mended(each),
            ticked=ticked,
        )
        before = found.get(each.seq)
        found[each.seq] = EntryBoxes(
            seq=each.seq,
            title=each.event,
            when=When.parse(each.on).label() if each.on else t("frame.not_known"),
            boxes=(*(before.boxes if before else ()), box),
        )
    return tuple(found.values())


def shots_of(moments: Sequence[Moment], wish: Wish) -> tuple[Shot, ...]:
    """The photographs in force, as they were entered."""
    return tuple(
        Shot(
            seq=each.entry.seq,
            sha256=each.event.clean,
            words=t(
                "disclose.shot",
                face=each.event.face.value,
                light=each.event.light.value,
                when=each.event.on.label() if each.event.on else t("frame.not_known"),
            ),
            ticked=wish.pictures is None or each.entry.seq in wish.pictures,
            alone=each.event.region is None,
        )
        for each in sorted(moments, key=lambda each: each.entry.seq)
        if each.in_force and isinstance(each.event, Photograph)
    )


def wish_of(posted: Posted) -> Wish:
    """What was chosen; a form that was not sent chooses nothing.

    Raises: InvalidError for what no form of ours sends.
    """
    if "sent" not in posted:
        return Wish()
    try:
        opened = frozenset(_field(each) for each in posted.all("open"))
        pictures = frozenset(int(each) for each in posted.all("shot"))
    except ValueError as error:
        raise InvalidError(problems=(Problem(field="open", sentence=t("disclose.strange")),)) from error
    return Wish(opened=opened, pictures=pictures, recipient=posted.get("recipient") or None)


def wish_typed(posted: Posted) -> Wish:
    """What was ticked and typed, to be shown again in a form that was refused; what no form of ours sends is left out."""
    if "sent" not in posted:
        return Wish()
    fields = (each.partition(".") for each in posted.all("open"))
    return Wish(
        opened=frozenset((int(seq), name) for seq, _, name in fields if _is_number(seq)),
        pictures=frozenset(int(each) for each in posted.all("shot") if _is_number(each)),
        recipient=posted.get("recipient") or None,
    )


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= DIGITS_MOST


def _field(text: str) -> tuple[int, str]:
    seq, _, name = text.partition(".")
    return int(seq), name


def _mended(each: Choice) -> str:
    if each.withdrawn_by is not None:
        return t("disclose.withdrawn", seq=each.withdrawn_by)
    return "" if each.corrected_by is None else t("disclose.corrected", seq=each.corrected_by)


def _said(value: Any) -> str:  # noqa: ANN401 - a sealed value is of its field's own type
    said = plainly(value)
    return said if len(said) <= SHOWN_MOST else f"{said[:SHOWN_MOST]}…"
