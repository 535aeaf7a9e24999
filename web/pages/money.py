"""Cost and value: the collection by year, one year line by line, one book; and the rates of exchange, kept by hand."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Path, Request, Response

from ledger.actor import Actor
from ledger.errors import InvalidError, Problem
from ledger.market import Rate
from ledger.ports import Ledger
from ledger.rules.currencies import currencies
from ledger.usecases.cost_tables import year_csv
from ledger.usecases.costs import costs_of, home_code, home_of, totals_of, year_of
from ledger.usecases.rates import RateSaid, keep_rates, look_at_rates, pasted_rates, take_rate
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.frame import Frame, Place, Told
from web.money_sheet import Sheet, as_page, as_pdf, as_table
from web.money_told import book_told, totals_told, year_told
from web.posted import Posted
from web.render import Page, page, render
from web.report_parts import Section
from web.sender import Sender, SenderDep
from web.sheet_cells import sections_csv
from web.told import go_to
from web.wording import t

__all__ = ["PATH", "router"]

router = APIRouter()

PATH: Final = "/money"
RATES: Final = f"{PATH}/rates"
TABLE: Final = f"{RATES}/table"
YEAR: Final = f"{PATH}/year/{{year}}"
COST: Final = "/books/{book}/cost"
FIELDS: Final = ("of", "into", "on", "rate", "source", "table")

Year = Annotated[int, Path(ge=1, le=9999)]


@page("money.html")
@dataclass(frozen=True, kw_only=True)
class MoneyPage(Page):
    """The collection, and the rates; `home` is empty where there is nothing to count and nothing chosen."""

    home: str
    chosen: bool
    sections: Sequence[Section]
    years: tuple[int, ...]
    rates: Sequence[Rate]
    codes: tuple[str, ...]
    values: Mapping[str, str]
    faults: Mapping[str, str]
    problems: tuple[Problem, ...]
    waiting: str


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep) -> Response:
    """All of it by year."""
    sent = waiting if waiting is not None and waiting.action in (RATES, TABLE) else None
    return _shown(frame, ledger, actor, sent)


@router.post(RATES)
def keep(by: SenderDep, posted: PostedDep) -> Response:
    """One rate, by hand."""
    said = RateSaid(**{name: posted.get(name) for name in FIELDS[:-1]})
    return _kept(by, posted, lambda: [said])


@router.post(TABLE)
def keep_table(by: SenderDep, posted: PostedDep) -> Response:
    """Several, as they were pasted."""
    return _kept(by, posted, lambda: pasted_rates(posted.get("table")))


@router.post(f"{RATES}/off")
def take_away(request: Request, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """It is no longer kept."""
    take_rate(ledger, actor, posted.get("of"), posted.get("into"), posted.get("on"))
    return go_to(request, PATH, Told(sentence=t("money.rates.taken")))


@router.get(YEAR)
def look_at_year(year: Year, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """One year, line by line."""
    return as_page(frame, ledger, _year(ledger, actor, year))


@router.get(f"{YEAR}/pdf")
def year_pdf(year: Year, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same on paper."""
    return as_pdf(request, ledger, _year(ledger, actor, year))


@router.get(f"{YEAR}/csv")
def year_table(year: Year, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same as a table."""
    return as_table(year_csv(year_of(ledger, actor, year, home_code(ledger, actor))), f"slipsheet-year-{year}")


@router.get(COST)
def look_at_book(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """What one book cost."""
    return as_page(frame, ledger, _book(ledger, actor, book))


@router.get(f"{COST}/pdf")
def book_pdf(book: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same on paper."""
    return as_pdf(request, ledger, _book(ledger, actor, book))


@router.get(f"{COST}/csv")
def book_table(book: str, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same as a table, a line for each fact."""
    sheet = _book(ledger, actor, book)
    return as_table(sections_csv(sheet.sections), sheet.file)


def _year(ledger: Ledger, actor: Actor, year: int) -> Sheet:
    at = f"{PATH}/year/{year}"
    return Sheet(
        at=at,
        file=f"slipsheet-year-{year}",
        title=t("money.year.title", year=year),
        lede=t("money.year.lede"),
        sections=year_told(year_of(ledger, actor, year, home_code(ledger, actor))),
        back=PATH,
        back_words=t("money.back"),
        table=f"{at}/csv",
    )


def _book(ledger: Ledger, actor: Actor, book: str) -> Sheet:
    costs = costs_of(ledger, actor, book, home_code(ledger, actor))
    return Sheet(
        at=f"/books/{book}/cost",
        file=f"slipsheet-cost-book-{costs.row.no}",
        title=t("money.book.title", title=costs.row.title, number=costs.row.number),
        lede=t("money.book.lede"),
        sections=book_told(costs),
        back=f"/books/{book}",
        back_words=t("money.book.back"),
        table=f"/books/{book}/cost/csv",
    )


def _kept(by: Sender, posted: Posted, said: Callable[[], Sequence[RateSaid]]) -> Response:
    try:
        made = keep_rates(by.ledger, by.actor, said(), order=by.preferences.date_order)
    except InvalidError as error:
        at_table = posted.action == TABLE
        problems = tuple(
            Problem(field="table" if at_table else each.field, sentence=each.sentence) for each in error.problems
        )
        return _shown(by.frame, by.ledger, by.actor, posted, problems)
    return go_to(by.request, PATH, Told(sentence=t.n("money.rates.kept", len(made))))


def _shown(
    frame: Frame, ledger: Ledger, actor: Actor, sent: Posted | None, problems: tuple[Problem, ...] = ()
) -> Response:
    home = home_of(ledger, actor)
    found = totals_of(ledger, actor, home.code) if home else None
    faults: dict[str, str] = {}
    for each in problems:
        faults[each.field] = f"{faults.get(each.field, '')} {each.sentence}".strip()
    values = {name: sent.get(name) if sent else "" for name in FIELDS}
    if sent is None and home is not None:
        values["into"] = home.code
    shown = MoneyPage(
        frame=frame.at(Place.COLLECTION),
        home=home.code if home else "",
        chosen=home.chosen if home else False,
        sections=totals_told(found) if found else (),
        years=tuple(each.year for each in found.years if each.year) if found else (),
        rates=look_at_rates(ledger, actor),
        codes=tuple(sorted(currencies())),
        values=values,
        faults=faults,
        problems=problems,
        waiting=sent.waiting if sent is not None else "",
    )
    return render(shown, status=422 if problems else 200)
