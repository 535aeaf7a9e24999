"""The grades of a book in rows, one for each step of the scale, over every holder it was in; and the same in sentences."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.book import GradeStep
from ledger.events._parts import OpinionOf
from ledger.events.opening import Opening
from ledger.events.purchase import Purchase
from ledger.events.slab import Slab
from ledger.history import Moment
from ledger.rules.grades import Grade, grades
from ledger.when import When
from web.axis import Placed
from web.leaders import text_width
from web.wording import t

__all__ = ["GradeBar", "GradeRow", "GradeRows", "grade_rows", "said_grade", "stated_by"]

PITCH = 24.0
"""From one step to the next. Units: px."""
TOP = 26.0
AROUND = 1
"""Steps shown above the best and below the worst."""


@dataclass(frozen=True)
class GradeRow:
    """One step of the scale. Units: px."""

    word: str
    y: float


@dataclass(frozen=True)
class GradeBar:
    """One stated grade while it was in force. Units: `start` and `stop` per cent, the rest px."""

    seq: int
    start: float
    stop: float
    top: float
    """Middle of the row of its best step."""
    bottom: float
    """Middle of the row of its lowest step."""
    ended: bool
    own: bool
    """It came of a submission of this collection: a result."""
    word: str
    """The grade as written, where there is room."""
    from_before: tuple[float, float] | None
    """Where the grade before it ended: a pencil line leads from there to a result."""


@dataclass(frozen=True)
class GradeRows:
    """The drawing, empty when no grade was ever stated, and a sentence for each grade. Units: px."""

    height: float
    rows: tuple[GradeRow, ...]
    bars: tuple[GradeBar, ...]
    sentences: tuple[tuple[int, str], ...]


def grade_rows(history: Sequence[GradeStep], at: Sequence[Placed], end: float, plot: float) -> GradeRows:
    """The grade history of one book.

    Units: end per cent, plot px.
    """
    by_seq = {each.moment.entry.seq: each for each in at}
    steps = [grade.step for each in history for grade in each.stated.steps]
    rows, places = _rows(steps, unread=any(not each.stated.steps for each in history))
    bars: list[GradeBar] = []
    for each in history:
        start = by_seq[each.seq].x
        stop = by_seq[each.ended_by].x if each.ended_by else end
        read = [grade.step for grade in each.stated.steps]
        top, bottom = places[max(read, default=-1)], places[min(read, default=-1)]
        before = bars[-1] if bars and each.own_submission else None
        word = _word(each, start, top, bars, plot)
        link = (before.stop, (before.top + before.bottom) / 2) if before else None
        bars.append(
            GradeBar(each.seq, start, stop, top, bottom, each.ended_by is not None, each.own_submission, word, link)
        )
    height = TOP + PITCH * len(rows) if rows else 0.0
    told = {seq: found.moment for seq, found in by_seq.items()}
    sentences = tuple((each.seq, said_grade(each, told)) for each in history)
    return GradeRows(height=height, rows=rows, bars=tuple(bars), sentences=sentences)


def stated_by(moment: Moment) -> str:
    """Who stated the grade of an entry, as far as that is at hand; else whose opinion it is."""
    event = moment.event
    who = event.stated_by if isinstance(event, Purchase) else event.service if isinstance(event, Slab) else None
    stated = getattr(event, "stated", None)
    opinion = stated.opinion_of if stated is not None else OpinionOf.SERVICE
    return str(who.value) if who is not None and who.value else t(f"book.grades.opinion.{opinion.value}")


def said_grade(each: GradeStep, by_seq: dict[int, Moment]) -> str:
    """One grade in a sentence: what was stated, by whom, in which holder, from when, and what ended it."""
    holder = t("book.grades.holder", number=each.holder_number) if each.holder_number else ""
    what = t(
        "book.grades.result" if each.own_submission else "book.grades.stated",
        grade=_read(each),
        who=stated_by(by_seq[each.seq]),
        holder=holder,
        when=_from(each.on),
    )
    if each.ended_by is None:
        return t("book.grades.in_force", what=what)
    ending = by_seq[each.ended_by].event
    how = "opened" if isinstance(ending, Opening) else "graded" if isinstance(ending, Slab) else "came"
    return t("book.grades.ended", what=what, how=t(f"book.grades.{how}"), when=_from(ending.on))


def _read(each: GradeStep) -> str:
    """As written, and the steps it means where that is not the same."""
    steps = [str(grade) for grade in each.stated.steps]
    if not steps:
        return t("book.grades.unread", written=each.stated.as_written)
    if steps == [each.stated.as_written]:
        return each.stated.as_written
    meant = steps[0] if len(steps) == 1 else t("book.grades.range", low=steps[0], high=steps[-1])
    return t("book.grades.read", written=each.stated.as_written, meant=meant)


def _from(on: When | None) -> str:
    return t("book.grades.no_date") if on is None else on.label()


def _rows(steps: Sequence[int], *, unread: bool) -> tuple[tuple[GradeRow, ...], dict[int, float]]:
    """The rows from the best step to the lowest, and where each step's row lies; -1 is the row of what is not read."""
    last = len(grades()) - 1
    shown = list(range(min(max(steps) + AROUND, last), max(min(steps) - AROUND, 0) - 1, -1)) if steps else []
    words = [str(Grade.at(step)) for step in shown] + ([t("book.grades.row_unread")] if unread else [])
    rows = tuple(GradeRow(word, TOP + PITCH * place) for place, word in enumerate(words))
    keys = [*shown, -1] if unread else shown
    return rows, {key: row.y for key, row in zip(keys, rows, strict=True)}


def _word(each: GradeStep, start: float, top: float, bars: Sequence[GradeBar], plot: float) -> str:
    """The grade as written, if no other grade's words stand there."""
    left = start / 100 * plot
    right = left + text_width(each.stated.as_written) + 10
    near = [bar for bar in bars if abs(bar.top - top) < PITCH and bar.word]
    clash = any(
        bar.start / 100 * plot < right and left < bar.start / 100 * plot + text_width(bar.word) + 10 for bar in near
    )
    return "" if clash or right > plot + 16 else each.stated.as_written
