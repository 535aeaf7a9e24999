"""What the page of an outlook says line by line: what holds the ceiling, what each defect may come to, what was recorded."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from ledger.forecast import Attempt, Forecast, Stands
from ledger.outlooks import read_out
from ledger.precedents import Precedent
from ledger.rules.book_ceiling import Fault
from ledger.rules.defects import defect_type
from ledger.rules.distributions import Distribution
from ledger.rules.grades import Grade
from ledger.rules.techniques import technique
from ledger.usecases.outlook import OutlookView
from web.filters import moment, when
from web.outlook_drawing import hundredths
from web.wording import t

__all__ = [
    "ChanceLine",
    "HoldLine",
    "PrecedentLine",
    "ReadLine",
    "StatedLine",
    "chance_lines",
    "fault_words",
    "held_lines",
    "kernel_words",
    "precedent_lines",
    "read_line",
    "shares_of",
    "stated_lines",
    "unread_lines",
]


@dataclass(frozen=True, kw_only=True)
class HoldLine:
    """One defect by its number, in words."""

    number: int
    words: str


@dataclass(frozen=True, kw_only=True)
class ChanceLine:
    """What a whole round of work may leave of one defect. Units: of a hundred."""

    number: int
    words: str
    gone: str
    lessened: str
    same: str
    rests: str


@dataclass(frozen=True, kw_only=True)
class ReadLine:
    """What is read off one distribution."""

    name: str
    likeliest: str
    between: str
    at_least: tuple[tuple[str, str], ...]
    """A step, and the chance of it or a better one; only where that says something."""


@dataclass(frozen=True, kw_only=True)
class StatedLine:
    """One outlook in the chain."""

    seq: int
    words: str
    weights: str
    timing: str
    scored: bool
    result: str


@dataclass(frozen=True, kw_only=True)
class PrecedentLine:
    """One graded book with like defects."""

    book: str
    title: str
    grade: str
    given: int
    alike: tuple[str, ...]
    work: tuple[str, ...]
    looks: tuple[int, int]
    """Entries of the looks before and after the work."""
    others: str


def fault_words(fault: Fault) -> str:
    """A defect in words: its type, face and size."""
    parts = [defect_type(fault.type).title]
    if fault.face:
        parts.append(t(f"condition.faces.{fault.face}"))
    if fault.size_mm is not None:
        parts.append(t("outlook.size", mm=fault.size_mm))
    if fault.count is not None and fault.count > 1:
        parts.append(t("outlook.count", number=fault.count))
    if fault.share_percent is not None:
        parts.append(t("outlook.share", percent=fault.share_percent))
    if fault.word is not None:
        parts.append(fault.word)
    return ", ".join(parts)


def shares_of(of: Distribution | None) -> Mapping[Grade, Fraction]:
    """The chances by step; none where nothing is computed."""
    return {} if of is None else {Grade.at(step): share for step, share in enumerate(of.shares) if share}


def held_lines(view: OutlookView) -> tuple[HoldLine, ...]:
    """The defects that hold the ceiling where it is."""
    held = frozenset(view.computed.held.by) if view.computed else frozenset()
    return _numbered(view, (each for each in view.faults if each.id in held))


def unread_lines(view: OutlookView) -> tuple[str, ...]:
    """Defects that were not measured, so that the ceiling may be lower."""
    if view.computed is None:
        return ()
    numbers = view.by_number
    return tuple(
        t("outlook.unread_line", number=numbers[fault.id], what=fault_words(fault), mend=error.mend)
        for fault, error in view.computed.held.unread
    )


def _numbered(view: OutlookView, faults: Iterable[Fault]) -> tuple[HoldLine, ...]:
    return tuple(HoldLine(number=view.by_number[each.id], words=fault_words(each)) for each in faults)


def chance_lines(view: OutlookView) -> tuple[ChanceLine, ...]:
    """Each defect with what a whole round of work may leave of it."""
    found = []
    for fault in view.faults:
        gone, lessened, same = view.chances[fault.id].shares
        rests = view.rests[fault.id]
        seen = rests.seen.gone + rests.seen.lessened + rests.seen.same
        found.append(
            ChanceLine(
                number=view.by_number[fault.id],
                words=fault_words(fault),
                gone=hundredths(gone),
                lessened=hundredths(lessened),
                same=hundredths(same),
                rests=t.n("outlook.rests_on", seen) if seen else t("outlook.rests_on_table"),
            )
        )
    return tuple(found)


def kernel_words(view: OutlookView) -> str:
    """On what it rests how graders land around the ceiling."""
    used = view.kernel
    who = t("outlook.kernel.service", service=used.service) if used.service else t("outlook.kernel.any")
    return t.n("outlook.kernel.rests", used.results, who=who, strength=used.strength)


def read_line(name: str, of: Distribution) -> ReadLine:
    """What is read off it."""
    found = read_out(of)
    told = [
        (str(grade), hundredths(chance))
        for grade, chance in found.at_least.items()
        if Fraction(1, 100) <= chance < 1 or (chance == 1 and grade == found.low)
    ]
    between = t("outlook.between", low=found.low, high=found.high, share=round(found.share * 100))
    return ReadLine(name=name, likeliest=str(found.likeliest), between=between, at_least=tuple(told))


def stated_lines(view: OutlookView) -> tuple[StatedLine, ...]:
    """Every outlook in the chain, the last first."""
    return tuple(_stated(attempt, each) for attempt, each in reversed(view.stated))


def _stated(attempt: Attempt, each: Forecast) -> StatedLine:
    outlook, result = each.outlook, attempt.result
    weights = sorted(outlook.weights, key=lambda weight: -weight.per_mille)
    said = ", ".join(t("outlook.weight", grade=one.grade, chance=_of_hundred(one.per_mille)) for one in weights)
    day = when(outlook.on) if outlook.on is not None else moment(each.recorded)
    return StatedLine(
        seq=each.seq,
        words=t(f"outlook.stated.{outlook.origin.value}", stage=outlook.stage.value, day=day),
        weights=said,
        timing=t(f"outlook.timing.{each.stands.value.replace(' ', '_')}"),
        scored=each.stands is Stands.COUNTS and result is not None,
        result="" if result is None else str(result),
    )


def _of_hundred(per_mille: int) -> str:
    return f"{per_mille / 10:g}"


def precedent_lines(found: Iterable[Precedent]) -> tuple[PrecedentLine, ...]:
    """Graded books with like defects, the likest first."""
    return tuple(_precedent(each) for each in found)


def _precedent(each: Precedent) -> PrecedentLine:
    case = each.case
    title = f"{case.issue.title} {case.issue.number}" if case.issue else t("book.unnamed")
    rest = len(each.only_ours) + len(each.only_theirs)
    return PrecedentLine(
        book=case.graded.book,
        title=title,
        grade=str(case.graded.grade),
        given=case.graded.seq,
        alike=tuple(
            t("outlook.alike", ours=fault_words(one.ours), theirs=fault_words(one.theirs)) for one in each.alike
        ),
        work=tuple(
            t("outlook.worked", technique=technique(work.technique).title, heading=work.heading.value)
            for work in case.work
        ),
        looks=(case.before, case.after),
        others=t.n("outlook.unlike", rest) if rest else t("outlook.all_alike"),
    )
