"""What is held of a prospect, in words; and its outlook as it is shown and typed, a weight for each step."""

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.errors import InvalidError, Problem
from ledger.events._parts import Defect
from ledger.events.outlook import WHOLE, Weight
from ledger.market import KeptSale, Prospect, Verdict
from ledger.outlook_said import OutlookSaidError, read_outlook
from ledger.rules.defects import defect_types
from ledger.rules.grades import Grade, grades
from ledger.usecases.prospects import ProspectLook
from web import filters
from web.posted import Posted
from web.wording import t

__all__ = [
    "SAID",
    "ProspectTold",
    "SaleLine",
    "Step",
    "WeightLine",
    "hundred",
    "prospect_told",
    "steps_of",
    "weights_of",
]

AT: Final = "w."
"""Before the name of a step: the input of its weight."""
SAID: Final = "said"
"""The line in which people write an outlook."""
_TEN: Final = 10


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the scale with what stands in its input."""

    name: str
    grade: str
    value: str


@dataclass(frozen=True, kw_only=True)
class WeightLine:
    """One step of an outlook: how likely it is, and it or a better one. Units: of a hundred."""

    grade: str
    chance: str
    at_least: str


@dataclass(frozen=True, kw_only=True)
class SaleLine:
    """One sale of the issue; `since` is that it was after this one was decided on."""

    on: str
    grade: str
    price: str
    where: str
    holding: str
    since: bool


@dataclass(frozen=True, kw_only=True)
class ProspectTold:
    """All that is held of one."""

    id: str
    title: str
    number: str
    is_open: bool
    state: str
    book: str
    """The page of the book it became; empty for none."""
    why: str
    facts: tuple[tuple[str, str], ...]
    listing: str
    note: str
    defects: tuple[str, ...]
    pictures: tuple[str, ...]
    outlook: tuple[WeightLine, ...]
    weighed: str
    sales: tuple[SaleLine, ...]


def prospect_told(look: ProspectLook) -> ProspectTold:
    """One as its page tells it."""
    of = look.prospect
    return ProspectTold(
        id=of.id,
        title=of.issue.title,
        number=of.issue.number,
        is_open=of.verdict is Verdict.OPEN,
        state=_state(of),
        book=f"/books/{of.book}" if of.verdict is Verdict.BOUGHT else "",
        why=of.why,
        facts=_facts(of),
        listing=of.listing,
        note=of.note,
        defects=tuple(map(_defect, of.defects)),
        pictures=of.pictures,
        outlook=_outlook(of),
        weighed=filters.moment(of.weighed) if of.weighed else "",
        sales=tuple(_sale(each, of) for each in look.sales),
    )


def steps_of(of: Prospect, sent: Posted | None) -> tuple[Step, ...]:
    """Every step, the lowest first, with the weight that was typed or is held; of a hundred."""
    held = {each.grade: hundred(each.per_mille) for each in of.weights}
    typed = sent if sent is not None and any(name.startswith(AT) for name, _ in sent.fields) else None
    return tuple(
        Step(
            name=f"{AT}{grade}",
            grade=str(grade),
            value=typed.get(f"{AT}{grade}") if typed is not None else held.get(grade, ""),
        )
        for grade in grades()
    )


def weights_of(posted: Posted) -> list[Weight]:
    """The weights that were typed: as a line people write, else step by step, of a hundred with at most one decimal.

    Steps left empty or at zero have none.
    Raises: InvalidError, naming each input that is no such number, or what they make together.
    """
    if line := posted.get(SAID).strip():
        return _as_written(line)
    found: list[tuple[Grade, int]] = []
    problems: list[Problem] = []
    for grade in grades():
        text = posted.get(f"{AT}{grade}").removesuffix("%").strip().replace(",", ".")
        per_mille = _thousandths(text) if text else 0
        if per_mille is None:
            problems.append(Problem(field=f"{AT}{grade}", sentence=t("prospects.no_weight", grade=grade)))
        elif per_mille:
            found.append((grade, per_mille))
    total = sum(each for _, each in found)
    if not problems and total != WHOLE:
        sentence = t("prospects.not_hundred", total=hundred(total)) if total else t("prospects.no_weights")
        problems.append(Problem(field="weights", sentence=sentence))
    if problems:
        raise InvalidError(problems=tuple(problems))
    return [Weight(grade=grade, per_mille=each) for grade, each in found]


def _as_written(line: str) -> list[Weight]:
    try:
        return [Weight(grade=grade, per_mille=share) for grade, share in read_outlook(line).weights]
    except OutlookSaidError as flaw:
        sentence = f"{flaw.problem[:1].upper()}{flaw.problem[1:]}. {flaw.mend}"
        raise InvalidError(problems=(Problem(field=SAID, sentence=sentence),)) from flaw


def hundred(per_mille: int) -> str:
    """Thousandths as so many of a hundred."""
    return f"{per_mille // 10}" + (f".{per_mille % 10}" if per_mille % 10 else "")


def _thousandths(text: str) -> int | None:
    try:
        value = Decimal(text) * _TEN
    except InvalidOperation:
        return None
    return int(value) if value.is_finite() and value == value.to_integral_value() and 0 <= value <= WHOLE else None


def _state(of: Prospect) -> str:
    day = filters.moment(of.decided or of.made)
    return t(f"prospects.state.{of.verdict.name.lower()}", day=day)


def _facts(of: Prospect) -> tuple[tuple[str, str], ...]:
    stated = str(of.stated) if of.stated else ""
    if of.stated and of.stated.steps and stated != str(of.stated.steps[-1]):
        stated = t("prospects.stated_as", written=stated, steps=" to ".join(dict.fromkeys(map(str, _ends(of)))))
    told = (
        (t("prospects.asking"), filters.money(of.asking) if of.asking else ""),
        (t("prospects.holding"), of.holding.value),
        (t("prospects.stated"), stated),
        (t("prospects.seller"), of.seller),
        (t("prospects.venue"), of.venue),
    )
    more = (
        (t("prospects.publisher"), of.issue.publisher or ""),
        (t("prospects.cover_date"), filters.when(of.issue.cover_date) if of.issue.cover_date else ""),
    )
    return (*told, *(each for each in more if each[1]))


def _ends(of: Prospect) -> tuple[Grade, ...]:
    steps = of.stated.steps if of.stated else ()
    return (steps[0], steps[-1]) if steps else ()


def _defect(each: Defect) -> str:
    """One defect in a line."""
    title = next((kind.title for kind in defect_types() if kind.id == each.type), each.type)
    size = t("prospects.size", mm=each.size_mm) if each.size_mm else ""
    broken = t(f"prospects.breaks.{each.breaks_colour.value}")
    count = t("prospects.together", number=each.count) if each.count else ""
    return ", ".join(part for part in (title, each.face.value, size, count, broken, each.note or "") if part)


def _outlook(of: Prospect) -> tuple[WeightLine, ...]:
    """The best step first."""
    lines, so_far = [], 0
    for each in sorted(of.weights, key=lambda weight: weight.grade, reverse=True):
        so_far += each.per_mille
        lines.append(WeightLine(grade=str(each.grade), chance=hundred(each.per_mille), at_least=hundred(so_far)))
    return tuple(lines)


def _sale(each: KeptSale, of: Prospect) -> SaleLine:
    decided = of.decided.date() if of.decided and of.verdict is not Verdict.OPEN else None
    since = decided is not None and each.on is not None and each.on.earliest_day >= decided
    return SaleLine(
        on=filters.when(each.on),
        grade=str(each.grade) if each.grade else "",
        price=filters.money(each.price),
        where=each.where,
        holding=each.holding.value,
        since=since,
    )
