"""outlooks: whether work on one book is worth it."""

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Query

from api.deps import BookId, LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.refusals import RequestError
from api.worth_answers import BookWorthAnswer, WorthAsked, book_worth
from ledger.errors import MalformedError
from ledger.money import Money
from ledger.outlook_said import read_outlook
from ledger.rules.currencies import currency
from ledger.rules.grades import Grade
from ledger.rules.worth import Choice
from ledger.usecases.weighing import weigh_book
from ledger.usecases.weighing_values import Said

router = APIRouter(tags=["outlooks"])


@router.get(
    "/books/{book}/worth",
    summary="Weigh what can be done with a book",
    response_description="Each choice against leaving the book, and by what it was weighed.",
    responses=failures(404, 409, 422, *EVERYWHERE),
)
def read_worth(
    ledger: LedgerDep, actor: ReadingDep, book: BookId, asked: Annotated[WorthAsked, Query()]
) -> BookWorthAnswer:
    """Leave, sell raw, work then grade, one more session: exact until the last rounding, half to even.

    The weights are the collector's last own outlook without a result, else the computed one. What a step brings is what
    sales say, unless it comes with the question; it is never guessed.
    """
    day = ledger.clock.today()
    return book_worth(weigh_book(ledger, actor, an_id("book", book), _said(asked), day))


def _said(asked: WorthAsked) -> Said:
    def amount(name: str) -> Money | None:
        text = getattr(asked, name)
        return None if text is None else _amount(name, text, asked.currency)

    by_choice = {
        Choice.SELL_RAW: (None, asked.sale_days),
        Choice.WORK_THEN_GRADE: (asked.work_risk_per_mille, asked.work_days),
        Choice.ONE_MORE_SESSION: (asked.session_risk_per_mille, asked.session_days),
    }
    return Said(
        currency=_code(asked.currency),
        given_up=amount("given_up"),
        raw=_values("raw", asked.raw, asked.currency),
        graded=_values("graded", asked.graded, asked.currency),
        work=amount("work"),
        session=amount("session"),
        grading=amount("grading"),
        postage=amount("postage"),
        sale_keeps=asked.sale_keeps_per_mille,
        harm_takes=asked.harm_takes_per_mille,
        risks={each: risk for each, (risk, _) in by_choice.items() if risk is not None},
        days={each: days for each, (_, days) in by_choice.items() if days is not None},
        after=None if asked.after is None else dict(read_outlook(asked.after).weights),
        at_least=None if asked.at_least is None else Grade(asked.at_least),
    )


def _values(name: str, pairs: Sequence[str], code: str) -> dict[Grade, Money]:
    found: dict[Grade, Money] = {}
    for pair in pairs:
        step, _, text = pair.partition("=")
        try:
            grade = Grade(step)
        except MalformedError as error:
            raise RequestError(field=name, sentence=f"{error.problem}. {error.mend}") from error
        if grade in found:
            raise RequestError(field=name, sentence=f"{grade} is given more than once. Give it once.")
        found[grade] = _amount(name, text, code)
    return found


def _amount(name: str, text: str, code: str) -> Money:
    """Raises: RequestError."""
    try:
        return Money.of(text, code)
    except MalformedError as error:
        raise RequestError(field=name, sentence=f"{error.problem}. {error.mend}") from error


def _code(text: str) -> str:
    """Raises: RequestError."""
    try:
        return currency(text).code
    except MalformedError as error:
        raise RequestError(field="currency", sentence=f"{error.problem}. {error.mend}") from error
