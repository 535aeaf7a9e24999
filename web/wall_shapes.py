"""What a drawing of a wall is made of: the wall, its books, the parts of it that are drawn, the figures of its rulers.

Units: names end in cm where they count from the left end of the wall and from the floor; all else is px of the drawing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from ledger.views import HungRow
from web.copies import Copy
from web.hung_lines import HungLine
from web.wall_light import WallLight
from web.wording import t

__all__ = ["Elevation", "Figure", "Hung", "Named", "Stretch"]


@dataclass(frozen=True, kw_only=True)
class Named:
    """Books of one wall, and what is known of the wall."""

    title: str
    hung: tuple[HungRow, ...]
    width_cm: float | None = None
    light_left: Mapping[str, str] = field(default_factory=dict)
    """What light leaves of a year to each book, in words."""
    room: str = ""
    wall: str = ""
    """Its ids, where it is one of a room."""
    light: WallLight = field(default_factory=WallLight)
    """What lights it."""

    @property
    def path(self) -> str:
        """Where its books are hung and moved; empty for a wall that nobody described."""
        return f"/wall/{self.room}/{self.wall}" if self.room and self.wall and self.width_cm else ""


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A figure of a ruler."""

    at: float
    cm: int


@dataclass(frozen=True, kw_only=True)
class Hung:
    """One book on the wall: the upper left corner of what hangs, and its label below."""

    row: HungRow
    words: HungLine
    copy: Copy
    x_cm: float
    y_cm: float
    placed: bool
    """Where it hangs is known; otherwise it is drawn beside the others."""
    x: float = 0
    y: float = 0
    label_x: float = 0
    label_y: float = 0
    label_width: float = 0
    label_shown: bool = True
    href: str = ""
    """Where it leads; empty for the page of the book."""
    in_the_way: bool = False
    """It lies over something else, or reaches beyond the wall."""


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """A part of the wall that is drawn, and how much bare wall is left out before the next."""

    from_cm: float
    to_cm: float
    x: float = 0
    width: float = 0
    offset: float = 0
    """How far its first tick of ten centimetres lies left of it."""
    left_out_cm: int = 0
    figures: tuple[Figure, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Elevation:
    """One wall, drawn."""

    named: Named
    hung: tuple[Hung, ...]
    stretches: tuple[Stretch, ...]
    one_cm: float
    width: float
    height: float
    wall_height: float
    """Down to the cut, or to the skirting board where nothing is cut."""
    cut_cm: int
    """How much bare wall is left out above the floor; 0 for none."""
    top_cm: float
    centre: float | None
    """Where the middle line of the books runs; None where they hang at different heights."""
    heights: tuple[Figure, ...]
    known: bool
    """Where some of them hang is known, and the ruler on the floor counts from the left end of the wall."""

    @property
    def cut_left(self) -> bool:
        """The wall goes on to the left."""
        return not self.known or self.stretches[0].from_cm > 0

    @property
    def cut_right(self) -> bool:
        """The wall goes on to the right, as far as is known."""
        return self.named.width_cm is None or self.stretches[-1].to_cm < self.named.width_cm

    @property
    def caption(self) -> str:
        """Which part of the wall is drawn, and what is not known of where books hang."""
        if not self.known:
            return t.n("wall.side_by_side", len(self.hung))
        ends = {"first": f"{self.stretches[0].from_cm:.0f}", "last": f"{self.stretches[-1].to_cm:.0f}"}
        wide = self.named.width_cm
        words = t("wall.stretch", **ends) if wide is None else t("wall.stretch_of", width=f"{wide:g}", **ends)
        beside = sum(not each.placed for each in self.hung)
        return f"{words} {t.n('wall.some_beside', beside)}" if beside else words
