"""What hangs on a wall at its true size, what it would lie over, and where there is room for one more.

Units: cm, from the left end of the wall and from the floor; a place is that of the middle.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from ledger.events._parts import Holding
from ledger.events.room import Wall, Window
from ledger.rules.sizes import holder_reach, size_of

__all__ = [
    "CENTRE_CM",
    "HOLDER",
    "Against",
    "Clash",
    "Extent",
    "Piece",
    "Reach",
    "clashes",
    "extent_of",
    "free_spot",
    "reach_of",
    "year_of",
]

CENTRE_CM: Final = Decimal(150)
"""Height at which the middle of a picture is hung. Source: common practice, no source."""
APART_CM: Final = Decimal(6)
"""Between two books that are put side by side. Source: our assumption."""
HOLDER: Final = ("sizes", "holder")
"""Table and row that say how far a holder reaches beyond its book."""
REACH_MOST_MM: Final = 300
_MM: Final = Decimal(10)
_YEAR: Final = 4


class Against(StrEnum):
    """What a book would lie over, or stand out beyond."""

    BOOK = "book"
    WINDOW = "window"
    LEFT = "left end of the wall"
    RIGHT = "right end of the wall"
    FLOOR = "floor"
    CEILING = "ceiling"


@dataclass(frozen=True, kw_only=True)
class Reach:
    """How far a holder reaches beyond the book on each side, and at either end. Units: mm."""

    side: Decimal
    end: Decimal


@dataclass(frozen=True, kw_only=True)
class Extent:
    """How wide and high that is which hangs: the book, or its holder."""

    width_cm: Decimal
    height_cm: Decimal


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One thing on the wall, by the id of its book and its middle."""

    book: str
    x_cm: Decimal
    y_cm: Decimal
    extent: Extent

    @property
    def sides(self) -> tuple[Decimal, Decimal, Decimal, Decimal]:
        """Left, right, lower and upper edge."""
        wide, high = self.extent.width_cm / 2, self.extent.height_cm / 2
        return self.x_cm - wide, self.x_cm + wide, self.y_cm - high, self.y_cm + high


@dataclass(frozen=True, kw_only=True)
class Clash:
    """A book and what is in its way; `other` is the id of the other book, or the window's number from 1."""

    book: str
    against: Against
    other: str = ""


def reach_of(said: Iterable[tuple[str, str]] = ()) -> Reach:
    """The reach of a holder by the table of sizes; `said` are the fields of a ruling on its row.

    Source: common practice, no source; our assumption, editable.
    """
    side, end = holder_reach()
    ruled = {name: int(value) for name, value in said if value.isdecimal() and int(value) <= REACH_MOST_MM}
    return Reach(side=Decimal(ruled.get("width_mm", side)), end=Decimal(ruled.get("height_mm", end)))


def extent_of(
    width_mm: str | None, height_mm: str | None, cover_date: str | None, holding: str | None, reach: Reach
) -> Extent:
    """The size it hangs at: as measured, or as books of its time commonly are; in a holder, that of the holder."""
    size = size_of(width_mm, height_mm, year_of(cover_date))
    in_holder = holding == Holding.SLABBED.value
    side, end = (reach.side, reach.end) if in_holder else (Decimal(0), Decimal(0))
    return Extent(width_cm=(size.width_mm + 2 * side) / _MM, height_cm=(size.height_mm + 2 * end) / _MM)


def year_of(cover_date: str | None) -> int | None:
    """The first year that a date may mean."""
    first = (cover_date or "")[:_YEAR].replace("X", "0")
    return int(first) if len(first) == _YEAR and first.isdecimal() else None


def clashes(pieces: Sequence[Piece], wall: Wall, windows: Sequence[Window]) -> tuple[Clash, ...]:
    """All that lies over something else or stands out beyond the wall; edges that only touch do not.

    Keeps: two books that lie over one another are told of both.
    """
    over = _over_one_another(pieces)
    return tuple(
        clash
        for piece in pieces
        for clash in (
            *_beyond(piece, wall, windows),
            *(Clash(book=piece.book, against=Against.BOOK, other=other) for other in over.get(piece.book, ())),
        )
    )


def free_spot(
    pieces: Sequence[Piece], wall: Wall, windows: Sequence[Window], extent: Extent
) -> tuple[Decimal, Decimal] | None:
    """The first place from the left with room for this, its middle at the common height; None where there is none."""
    y_cm = min(CENTRE_CM, Decimal(wall.height_cm) - extent.height_cm / 2)
    ends = [Decimal(0), *(each.sides[1] for each in pieces), *(_sides(each)[1] for each in windows)]
    for end in sorted(ends):
        x_cm = (end + APART_CM + extent.width_cm / 2).quantize(Decimal(1))
        tried = Piece(book="", x_cm=x_cm, y_cm=y_cm, extent=extent)
        free = not any(_over(tried.sides, each.sides) for each in pieces)
        if free and not any(_beyond(tried, wall, windows)):
            return x_cm, y_cm
    return None


def _over_one_another(pieces: Sequence[Piece]) -> dict[str, list[str]]:
    """The books that lie over each; from the left, so that each is held only against those it can reach."""
    found: dict[str, list[str]] = {}
    placed = sorted(((each.sides, each.book) for each in pieces), key=lambda each: each[0][0])
    for number, (sides, book) in enumerate(placed):
        for others, other in placed[number + 1 :]:
            if others[0] >= sides[1]:
                break
            if book != other and _over(sides, others):
                found.setdefault(book, []).append(other)
                found.setdefault(other, []).append(book)
    return found


def _beyond(piece: Piece, wall: Wall, windows: Sequence[Window]) -> Iterator[Clash]:
    """Where it reaches beyond the wall, or lies over a window."""
    left, right, low, high = piece.sides
    beyond = {
        Against.LEFT: left < 0,
        Against.RIGHT: right > Decimal(wall.width_cm),
        Against.FLOOR: low < 0,
        Against.CEILING: high > Decimal(wall.height_cm),
    }
    for edge, is_beyond in beyond.items():
        if is_beyond:
            yield Clash(book=piece.book, against=edge)
    for number, window in enumerate(windows, start=1):
        if window.wall == wall.id and _over(piece.sides, _sides(window)):
            yield Clash(book=piece.book, against=Against.WINDOW, other=str(number))


def _sides(window: Window) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    left, low = Decimal(window.x_cm), Decimal(window.y_cm)
    return left, left + Decimal(window.width_cm), low, low + Decimal(window.height_cm)


def _over(one: tuple[Decimal, ...], other: tuple[Decimal, ...]) -> bool:
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]
