"""The outlook of one book as it is answered: the ceiling, what work may leave, the computed chances, graded books like it."""

from collections.abc import Sequence
from fractions import Fraction

from pydantic import Field

from api.outlook_answers import DECIMALS, WeightAnswer
from api.schemas import Answer
from ledger.market import Prospect
from ledger.money import Money
from ledger.outlooks import Computed, read_out, weights_of
from ledger.precedents import Precedent
from ledger.rules.book_ceiling import Fault
from ledger.rules.distributions import Distribution
from ledger.usecases.outlook import OutlookView
from ledger.usecases.prospect_outlook import ProspectOutlook, ProspectValues


class FaultAnswer(Answer):
    """One defect as far as a ceiling depends on it, and what a whole round of work may leave of it."""

    number: int = Field(ge=1, description="Its number on the page of the outlook; the paper comes last.")
    id: str = Field(description="Id of the defect; paper-tone and paper-suppleness for what is said of the paper.")
    type: str = Field(description="Row of the table of defects.")
    face: str = Field(description="The face it is on.")
    size_mm: str | None = Field(description="Units: mm.")
    count: int | None = Field(description="How many there are; null is one.")
    share_percent: int | None = Field(description="Of the face. Units: per cent.")
    holds: bool = Field(description="It holds the ceiling where it is.")
    unread: str | None = Field(description="What is to be measured before it can be read; null where it could be.")
    gone: float = Field(ge=0, le=1, description="Chance that it goes. Units: 0 to 1.")
    lessened: float = Field(ge=0, le=1, description="Chance that it is lessened. Units: 0 to 1.")
    same: float = Field(ge=0, le=1, description="Chance that it stays. Units: 0 to 1.")
    results: int = Field(ge=0, description="Own results at looks after a rest that these chances also rest on.")


class ReadAnswer(Answer):
    """Chances over the steps, and what is read off them."""

    weights: list[WeightAnswer] = Field(description="As an outlook stores them; steps that got none are left out.")
    likeliest: str = Field(description="The step with the greatest chance; of several the lowest.")
    low: str = Field(description="Between this step and `high`, both among them, lie at least 80 of a hundred chances.")
    high: str = Field(description="See `low`.")
    at_least: dict[str, float] = Field(description="Chance of each step or a better one. Units: 0 to 1.")


class ComputedAnswer(Answer):
    """What the defects say."""

    ceiling: str = Field(description="The best step that the defects allow as they lie.")
    ceilings_after: ReadAnswer = Field(description="The ceiling after one whole round of work; exact, not simulated.")
    grades_now: ReadAnswer = Field(description="The grade, if it were sent as it is.")
    grades_after: ReadAnswer = Field(description="The grade, if it were sent after the round.")


class KernelAnswer(Answer):
    """How far from the ceiling graders land."""

    service: str | None = Field(description="Whose results it was learned from; null where all count together.")
    results: int = Field(ge=0, description="Own results it rests on.")
    strength: int = Field(ge=0, description="How many results the weights to begin with count as. Our assumption.")


class PrecedentAnswer(Answer):
    """One graded book of this collection with defects like these."""

    book: str = Field(description="Id of the book.")
    grade: str = Field(description="What it was given.")
    entry: int = Field(ge=1, description="The entry that tells it.")
    alike: int = Field(ge=1, description="Pairs of like defects.")
    only_here: int = Field(ge=0, description="Defects of this book with none like them there.")
    only_there: int = Field(ge=0, description="Defects of that book with none like them here.")
    work: list[int] = Field(description="Entries of the work between that look and the sending.")


class BookOutlookAnswer(Answer):
    """Everything that is known of where one book may land."""

    book: str = Field(description="Id of the book.")
    look: int | None = Field(
        description="Entry of the last look; null where nobody has looked, and nothing is computed."
    )
    rested: bool = Field(description="The book had rested for a week before that look, as far as it was worked on.")
    work_over: bool = Field(
        description="No more work is planned: `grades_now` is the computed outlook, else `grades_after`."
    )
    presents_as: str | None = Field(description="What it looks like at arm's length; no part of any ceiling.")
    faults: list[FaultAnswer] = Field(description="What is there, in the order in which it was first seen.")
    computed: ComputedAnswer | None = Field(description="Null where nobody has looked.")
    kernel: KernelAnswer = Field(description="How graders land around the ceiling.")
    rulings: list[int] = Field(description="Entries of rulings that count among the tables' rows.")
    precedents: list[PrecedentAnswer] = Field(description="The likest first.")


class ProspectOutlookAnswer(Answer):
    """What the defects seen of a prospect say, and what its sales do."""

    prospect: str = Field(description="Id of the prospect.")
    defects: int = Field(ge=0, description="Defects that are written down; what was not seen may lower the ceiling.")
    computed: ComputedAnswer | None = Field(description="Null where no defect is written down.")
    currency: str = Field(description="The currency in which sales count. Units: ISO 4217 code.")
    expected: Money | None = Field(
        description="What it brings graded, on average under the collector's own outlook; null where sales are too few, "
        "or no outlook is stated."
    )
    at_least: bool = Field(description="Some of the outlook lies beyond the sales, so the amount is a lower bound.")


class SaidAnswer(Answer):
    """An outlook as it was written, read."""

    weights: list[WeightAnswer] = Field(description="1000 thousandths together.")
    how: str = Field(description="By which rule chances that nobody named were shared; empty where all were named.")


def _number(value: Fraction) -> float:
    return round(float(value), DECIMALS)


def _read(of: Distribution) -> ReadAnswer:
    found = read_out(of)
    return ReadAnswer(
        weights=[WeightAnswer(grade=each.grade.text, per_mille=each.per_mille) for each in weights_of(of)],
        likeliest=found.likeliest.text,
        low=found.low.text,
        high=found.high.text,
        at_least={grade.text: _number(chance) for grade, chance in found.at_least.items()},
    )


def _fault(view: OutlookView, fault: Fault) -> FaultAnswer:
    gone, lessened, same = view.chances[fault.id].shares
    seen = view.rests[fault.id].seen
    held = view.computed.held if view.computed else None
    unread = {each.id: error.mend for each, error in held.unread} if held else {}
    return FaultAnswer(
        number=view.by_number[fault.id],
        id=fault.id,
        type=fault.type,
        face=fault.face,
        size_mm=None if fault.size_mm is None else str(fault.size_mm),
        count=fault.count,
        share_percent=fault.share_percent,
        holds=held is not None and fault.id in held.by,
        unread=unread.get(fault.id),
        gone=_number(gone),
        lessened=_number(lessened),
        same=_number(same),
        results=seen.gone + seen.lessened + seen.same,
    )


def book_outlook(view: OutlookView, found: Sequence[Precedent]) -> BookOutlookAnswer:
    """All of it."""
    computed = view.computed
    return BookOutlookAnswer(
        book=view.book,
        look=view.look,
        rested=view.rested,
        work_over=view.work_over,
        presents_as=None if view.presents_as is None else view.presents_as.text,
        faults=[_fault(view, each) for each in view.faults],
        computed=None if computed is None else _computed(computed),
        kernel=KernelAnswer(service=view.kernel.service, results=view.kernel.results, strength=view.kernel.strength),
        rulings=list(view.rules.ruled),
        precedents=[_precedent(each) for each in found],
    )


def prospect_answer(of: Prospect, outlook: ProspectOutlook | None, values: ProspectValues) -> ProspectOutlookAnswer:
    """What is known of a book that was not bought."""
    return ProspectOutlookAnswer(
        prospect=of.id,
        defects=0 if outlook is None else len(outlook.faults),
        computed=None if outlook is None else _computed(outlook.computed),
        currency=values.currency,
        expected=None if values.expected is None else values.expected.mid,
        at_least=values.expected is not None and values.expected.at_least,
    )


def _computed(of: Computed) -> ComputedAnswer:
    return ComputedAnswer(
        ceiling=of.held.grade.text,
        ceilings_after=_read(of.ceilings_after),
        grades_now=_read(of.grades_now),
        grades_after=_read(of.grades_after),
    )


def _precedent(each: Precedent) -> PrecedentAnswer:
    return PrecedentAnswer(
        book=each.case.graded.book,
        grade=each.case.graded.grade.text,
        entry=each.case.graded.seq,
        alike=len(each.alike),
        only_here=len(each.only_ours),
        only_there=len(each.only_theirs),
        work=[work.seq for work in each.case.work],
    )
