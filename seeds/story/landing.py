"""The landing in the last week told: its lamp has its place, and four books are hung beside one another as one act."""

from collections.abc import Iterator
from dataclasses import replace

from ledger.events._parts import Answer
from ledger.events.placement import Placement, Spot
from ledger.events.room import Lamp, LampKind
from ledger.sealed import Sealed
from seeds.story._acts import Act, act, together
from seeds.story._said import on, said
from seeds.story.rooms import landing, reading

HUNG = (
    ("bold-sextant-33", "296", "148", "From the box for the winter; the stair has no window."),
    ("dumpling-and-tack-8", "327", "148", ""),
    ("umbrella-for-two-3", "357", "148", ""),
    ("ganymede-mail-1978-3", "386", "148", "The newest of them and the one with the coat, so nearest to the lamp."),
)
"""What comes onto the long wall: middle from the left and from the floor in cm, and a word on it."""


def acts() -> Iterator[Act]:
    """The lamp, then the books."""
    yield act(
        None,
        "2026-11-22 14:05",
        replace(
            landing(LampKind.LED, "31"),
            lamps=(
                Lamp(id="ceiling", kind=LampKind.LED, wall="long", x_cm="392", y_cm="218", uv_filter=Answer.UNSURE),
            ),
            readings=(
                reading("long", "270", "145", "31", "3", "2026-05-10"),
                reading("long", "386", "148", "58", "3", "2026-11-22"),
                reading("stair", "90", "150", "31", "3", None),
            ),
            on=on("2026-11-22"),
        ),
    )
    yield together("2026-11-22 14:40", *((book, _hung(x, y, words)) for book, x, y, words in HUNG), signs=True)


def _hung(x: str, y: str, words: str) -> Placement:
    remark = said(words) if words else Sealed()
    place = said("Landing, long wall")
    return Placement(spot=Spot.WALL, room="landing", wall="long", x_cm=x, y_cm=y, place=place, remark=remark)
