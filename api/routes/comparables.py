"""comparables: sales of an issue, one by one or as a table, and what they say a book is worth at a grade."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response

from api.answers import placed
from api.bodies import read_body, read_json
from api.comparable_answers import (
    AdjustmentAnswer,
    AsideAnswer,
    ComparableAnswer,
    ComparableBody,
    ComparableChange,
    ComparableList,
    IssueAsked,
    PriceAnswer,
    TableBody,
    ValueAnswer,
    ValueAsked,
    told_sale,
)
from api.deps import BookId, LedgerDep, OwningBodyDep, OwningDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.refusals import RequestError
from ledger.errors import ConflictError
from ledger.market import KeptSale
from ledger.ports import Ledger
from ledger.rules.currencies import CurrencyError, currency
from ledger.rules.fair_price import bound_at, value_at
from ledger.rules.grades import Grade
from ledger.sale_rows import Reading, SaleSaid
from ledger.sales import Asked
from ledger.usecases import comparables as work
from ledger.usecases.look import look_at

router = APIRouter(tags=["comparables"])

_ID = "c5o2m4p6a3r7a2b4l5e3s7a2l4"
_WHAT = "comparable"

SaleId = Annotated[str, Path(description="Id of the comparable.", examples=[_ID])]


@router.get(
    "/comparables",
    summary="List the comparables of an issue",
    response_description="The sales.",
    responses=failures(422, *EVERYWHERE),
)
def list_comparables(ledger: LedgerDep, actor: ReadingDep, asked: Annotated[IssueAsked, Query()]) -> ComparableList:
    """Sales of this very issue: title, number, start year, printing and variant, whatever case and spaces they have."""
    return ComparableList(comparables=list(map(told_sale, work.look_at_sales(ledger, actor, asked.issue()))))


@router.get(
    "/comparables/{sale}",
    summary="Read a comparable",
    response_description="The sale.",
    responses=failures(404, *EVERYWHERE),
)
def read_comparable(ledger: LedgerDep, actor: ReadingDep, sale: SaleId) -> ComparableAnswer:
    """One of them."""
    return told_sale(work.look_at_sale(ledger, actor, an_id(_WHAT, sale)))


@router.post(
    "/comparables",
    summary="Keep a comparable",
    status_code=201,
    response_description="The sale.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/comparables/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def keep_comparable(
    request: Request, response: Response, ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep
) -> ComparableAnswer:
    """One sale of an issue. It lies beside the ledger; nothing is written into it."""
    asked = read_body(ComparableBody, read_json(data))
    made = work.add_sale(ledger, actor, asked.issue.issue(), asked.said(), _plainly(ledger))
    placed(request, response, f"/comparables/{made.id}")
    return told_sale(made)


@router.post(
    "/comparables/table",
    summary="Keep a table of comparables",
    status_code=201,
    response_description="The sales that were kept.",
    responses=failures(409, 413, 415, 422, *EVERYWHERE),
)
def keep_comparables(ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep) -> ComparableList:
    """All rows or none: what cannot be read is refused by row and field.

    Rows that are likely told already are refused unless they are left out by `rows` or kept by `keep_doubles`.
    """
    asked = read_body(TableBody, read_json(data))
    reading = Reading(day=ledger.clock.today(), currency=asked.currency, marks=asked.marks, order=asked.order)
    rows = None if asked.rows is None else set(asked.rows)
    kept = work.keep_table(
        ledger, actor, asked.issue.issue(), asked.table, reading, rows=rows, keep_doubles=asked.keep_doubles
    )
    return ComparableList(comparables=list(map(told_sale, kept)))


@router.patch(
    "/comparables/{sale}",
    summary="Change a comparable",
    response_description="The sale as it is now.",
    responses=failures(404, 413, 415, 422, *EVERYWHERE),
)
def change_comparable(ledger: LedgerDep, actor: OwningDep, sale: SaleId, data: OwningBodyDep) -> ComparableAnswer:
    """Only what is sent changes; `left_out` says why it does not count, and empty lets it count again."""
    asked = read_body(ComparableChange, read_json(data))
    own = an_id(_WHAT, sale)
    found = work.look_at_sale(ledger, actor, own)
    if asked.model_fields_set - {"left_out"}:
        found = work.change_sale(ledger, actor, own, asked.said(_as_said(found)), _plainly(ledger))
    if "left_out" in asked.model_fields_set:
        kept = asked.left_out.strip()
        found = work.leave_out(ledger, actor, own, kept) if kept else work.take_in(ledger, actor, own)
    return told_sale(found)


@router.delete(
    "/comparables/{sale}",
    summary="Take a comparable away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(404, *EVERYWHERE),
)
def take_comparable(ledger: LedgerDep, actor: OwningDep, sale: SaleId) -> None:
    """A valuation that named it keeps its own copy."""
    work.take_sale(ledger, actor, an_id(_WHAT, sale))


@router.get(
    "/books/{book}/value",
    summary="Read a book's fair value at a grade",
    response_description="What the comparables of its issue say.",
    responses=failures(404, 409, 422, *EVERYWHERE),
)
def read_value(
    ledger: LedgerDep, actor: ReadingDep, book: BookId, asked: Annotated[ValueAsked, Query()]
) -> ValueAnswer:
    """Price by grade never falls as the grade rises: weighted isotonic regression of the logarithm of the price."""
    found = look_at(ledger, actor, an_id("book", book)).book
    if found.issue is None:
        raise ConflictError(sentence="It is not written down which issue this book is. Identify it first.")
    day, grade = _day(ledger, asked.on), Grade(asked.grade)
    tone = found.last_look.tone if found.last_look else None
    question = work.asked_for(day, _code(asked.currency), found.holding, tone)
    return _answer(work.fair_value(ledger, actor, found.issue, question), question, grade)


def _answer(valued: work.Valued, asked: Asked, grade: Grade) -> ValueAnswer:
    fit = valued.fit
    value, bound = value_at(fit, grade), bound_at(fit, grade)
    price = None
    if value is not None:
        price = PriceAnswer(
            mid=value.mid,
            low=value.low,
            high=value.high,
            how=value.how,
            grades=list(value.grades),
            sales=list(value.sales),
        )
    return ValueAnswer(
        grade=grade,
        on=asked.on.isoformat(),
        currency=asked.currency,
        count=fit.count,
        least=fit.terms.least,
        half_life_days=fit.terms.half_life_days,
        band_percent=fit.terms.band_percent,
        value=price,
        at_least=bound.at_least if bound else None,
        at_most=bound.at_most if bound else None,
        adjustments=[
            AdjustmentAnswer(of=each.of, like=each.like, unlike=each.unlike, needed=each.needed, percent=each.percent)
            for each in fit.adjustments
        ],
        aside=[AsideAnswer(id=sale, why=why.value) for sale, why in valued.counted.aside.items()],
    )


def _as_said(sale: KeptSale) -> SaleSaid:
    return SaleSaid(
        on=sale.on.text if sale.on else "",
        grade=sale.grade.text if sale.grade else "",
        price=sale.price.amount,
        currency=sale.price.currency,
        where=sale.where,
        holding=sale.holding.value,
        tone=sale.tone,
    )


def _plainly(ledger: Ledger) -> Reading:
    """Amounts come counted, so their marks are in no doubt."""
    return Reading(day=ledger.clock.today(), marks="1,234.50")


def _day(ledger: Ledger, text: str | None) -> date:
    """Raises: RequestError."""
    if text is None:
        return ledger.clock.today()
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise RequestError(field="on", sentence="There is no such day. Write it like 2026-03-01.") from error


def _code(text: str) -> str:
    """Raises: RequestError."""
    try:
        return currency(text).code
    except CurrencyError as error:
        raise RequestError(field="currency", sentence=f"{error.problem}. {error.mend}") from error
