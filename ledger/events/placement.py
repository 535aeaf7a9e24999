"""placement: the book was put in a place, and what surrounds it there."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, measure, sealed
from ledger.events._parts import Answer
from ledger.events._spelling import short_id
from ledger.sealed import Sealed
from ledger.when import When

if TYPE_CHECKING:
    from ledger.book import Book

PLACE_MOST = 40
"""Characters the name of a place may have."""


class Spot(StrEnum):
    """The kind of spot a book is kept in."""

    WALL = "wall"
    BOX = "box"
    SAFE = "safe"


class Around(StrEnum):
    """What a book is kept in or against."""

    SLEEVE = "sleeve"
    BOARD = "board"
    BOX = "box"
    FRAME = "frame"


class Material(StrEnum):
    """What it is made of, as far as paper cares."""

    POLYESTER = "polyester"
    POLYPROPYLENE = "polypropylene"
    POLYETHYLENE = "polyethylene"
    BUFFERED = "buffered board"
    UNBUFFERED = "unbuffered board"
    PLAIN = "plain board"
    WOOD = "wood"
    METAL = "metal"
    OTHER = "other"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, kw_only=True)
class Housing:
    """One thing the book is kept in or against, since when, and when it is to be changed."""

    around: Around = fact("What it is")
    material: Material = fact("Material", "The part that touches or faces the book.", default=Material.NOT_KNOWN)
    changed_on: When | None = fact("Changed", "When it was new; null is not known.", default=None)
    due: When | None = fact("Due", "When it is to be changed; null is not fixed.", default=None)
    uv_filter: Answer | None = fact("Glazing filters UV", "Of a frame: yes, no or unsure.", default=None)


@dataclass(frozen=True, kw_only=True)
class Placement(Event):
    """The book was put in a place, and light and climate there began to count.

    Keeps: what is placed anew is described anew; nothing is taken over from the placement before.

    Rules: 1 the book is here. 2 Wall and position are of a book on a wall, and a position has both measures. 3 Each
    housing is named once. 4 It is due after it was new. 5 Only the glazing of a frame filters UV. 6 The name of the
    place has up to 40 characters.
    """

    kind: ClassVar[str] = "placement"
    title: ClassVar[str] = "Placement"
    lane: ClassVar[Lane] = Lane.CARE
    needs_held: ClassVar[bool] = True

    spot: Spot = fact("Kind of spot")
    room: str | None = short_id("Room", "The id of the room, as its own entry has it.", default=None)
    wall: str | None = short_id("Wall", "The id of the wall within the room.", default=None)
    x_cm: str | None = measure("From the left", "cm", "From the left end of the wall to the middle of the book.")
    y_cm: str | None = measure("From the floor", "cm", "From the floor to the middle of the book.")
    housings: tuple[Housing, ...] = fact(
        "Housing", "Sleeve, board, box and frame, each once.", default=(), max_length=4
    )
    place: Sealed[str] = sealed(
        "Place", "In your own words, up to 40 characters.", json_schema_extra={"maxLength": PLACE_MOST}
    )
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 2 to 6."""
        yield from super().flaws()
        for name in ("wall", "x_cm", "y_cm"):
            if self.spot is not Spot.WALL and getattr(self, name) is not None:
                yield self.rule(2, f"The book is in a {self.spot}, not on a wall. Leave this out.", name)
        if (self.x_cm is None) != (self.y_cm is None):
            missing = "x_cm" if self.x_cm is None else "y_cm"
            yield self.rule(2, "A position has two measures. Give both, or neither.", missing)
        if self.wall is not None and self.room is None:
            yield self.rule(2, "A wall is in a room. Name the room too.", "room")
        yield from self._housing_flaws()
        if (
            self.place.value is not None
            and not 0 < len(self.place.value.strip()) <= len(self.place.value) <= PLACE_MOST
        ):
            yield self.rule(6, f"The name of a place has 1 to {PLACE_MOST} characters. Shorten it.", "place")

    def _housing_flaws(self) -> Iterator[Problem]:
        named = [each.around for each in self.housings]
        for place, each in enumerate(self.housings):
            where = f"housings.{place}"
            if each.around in named[:place]:
                yield self.rule(3, f"The {each.around} stands here twice. Name it once.", f"{where}.around")
            if each.changed_on is not None and each.due is not None and each.due.certainly_before(each.changed_on):
                yield self.rule(
                    4, f"The {each.around} would be due before it was new. Check both dates.", f"{where}.due"
                )
            if each.uv_filter is not None and each.around is not Around.FRAME:
                sentence = f"A {each.around} has no glazing. Say this of a frame, or leave it out."
                yield self.rule(5, sentence, f"{where}.uv_filter")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rule 1."""
        if book.held and not book.here:
            by = [book.away_by] if book.away_by else []
            yield self.rule(1, f"The book is {book.status}. Write its arrival or return first.", "on", by)

    def apply(self, book: "Book", at: At) -> "Book":
        """It is in this spot from now on, so it is not missing."""
        return replace(book, spot=self.spot.value, placed_on=self.on, placed_by=at.seq, missing_since=None)

    def summary(self) -> str:
        """The spot, and what the book is kept in."""
        where = "Hung on the wall" if self.spot is Spot.WALL else f"Put in a {self.spot}"
        position = f", {self.x_cm} cm from the left" if self.x_cm is not None else ""
        kept = ", ".join(each.around for each in self.housings)
        return f"{where}{position}" + (f"; with {kept}" if kept else "")
