"""From a row of the collection to the words and measures that its line in the list is drawn with."""

import re
from functools import lru_cache
from typing import Final, NamedTuple

from ledger.book import Status
from ledger.events._parts import Holding, OpinionOf
from ledger.events.placement import Spot
from ledger.views import ShelfRow
from ledger.when import When
from web.copies import copy_of
from web.render import drawing
from web.wording import t

__all__ = ["Line", "line_of"]

SCALE: Final = 20
"""Books stand in the list at one twentieth of their size."""
PX_PER_MM: Final = 96 / 25.4 / SCALE
"""Source: CSS Values and Units Level 3, section 6.2: an inch is 96 px."""

_LONG_WORD: Final = re.compile("[A-Z][a-z]{3,}")
"""The name of a month, which a narrow column has no room for."""

STEP_PX: Final = 5
"""Of one of the 25 steps of the grade rule."""


class Stroke(NamedTuple):
    """The stroke at the stated grade on the rule. Units: px."""

    x: float
    width: float


class Line(NamedTuple):
    """One book of the list."""

    book: str
    title: str
    number: str
    name: str
    """Title and number, as the tick at its side is called."""
    printed: str
    """Publisher and date, as far as known."""
    width: float
    height: float
    in_holder: bool
    measured: bool
    cover: str | None
    grade: str
    by: str
    rule: str
    """The grade rule with its stroke; empty where no step is meant."""
    heading: str
    hatch: str
    where: str
    """Its place; where it has none, what it is doing."""
    nameless: bool
    """It is in a box or safe whose name is not known; of a wall the room and the spot tell more than a name."""
    state: str
    """What it is doing, where that was not said yet."""
    written: str


def line_of(row: ShelfRow) -> Line:
    """A row's line."""
    where, nameless, state = _whereabouts(row)
    copy = copy_of(row.width_mm, row.height_mm, row.cover_date, row.holding, one_mm=PX_PER_MM)
    return Line(
        book=row.book,
        title=row.title or t("collection.untitled"),
        number=row.number,
        name=f"{row.title} {row.number}".strip() or t("collection.untitled"),
        printed=", ".join(filter(None, (row.publisher, _said(row.cover_date)))),
        width=copy.width,
        height=copy.height,
        in_holder=copy.in_holder,
        measured=copy.measured,
        cover=row.cover,
        grade=row.grade_as_written or "",
        by=_by(row),
        rule=_rule(row.grade_low, row.grade_step),
        heading=row.heading or "",
        hatch=_hatch(row.heading or ""),
        where=where,
        nameless=nameless,
        state=state,
        written=_said(row.written_on),
    )


def _whereabouts(row: ShelfRow) -> tuple[str, bool, str]:
    """Place first where there is one; a book that is nowhere here says what it is doing, and whether it is raw."""
    if row.spot:
        return row.place or "", row.place is None and row.spot != Spot.WALL.value, row.state
    unsaid = row.status != Status.HELD.value and row.holding in _HOLDINGS
    return row.state, False, _holding(row.holding) if unsaid else ""


def _by(row: ShelfRow) -> str:
    """Whose opinion the grade is: by name where that is at hand."""
    if row.grade_as_written is None:
        return ""
    return row.graded_by or _opinion(row.opinion_of)


_HOLDINGS: Final = frozenset({Holding.RAW.value, Holding.SLABBED.value})


@lru_cache(maxsize=8)
def _holding(holding: str | None) -> str:
    assert holding in _HOLDINGS
    return t(f"collection.holding.{Holding(holding).name.lower()}")


@lru_cache(maxsize=8)
def _opinion(of: str | None) -> str:
    return t(f"collection.by.{OpinionOf(of).name.lower()}") if of else ""


@lru_cache(maxsize=4096)
def _said(date: str | None) -> str:
    """A date in short words; most of a list shares a few."""
    return _LONG_WORD.sub(lambda found: found[0][:3], When.parse(date).label()) if date else ""


@lru_cache(maxsize=512)
def _rule(low: int | None, high: int | None) -> str:
    """The rule with a stroke from the lowest to the highest step that is meant, drawn once for each pair of steps."""
    if low is None or high is None:
        return ""
    stroke = Stroke(low * STEP_PX + 1, (high - low) * STEP_PX + 3)
    return drawing("drawings/grade_rule.html", "rule", stroke)


@lru_cache(maxsize=8)
def _hatch(heading: str) -> str:
    """The kind of work by hatch and word, drawn once for each kind."""
    return drawing("_macros.html", "hatch", heading)
