"""What insurers ask for: a schedule of all books with their values, what is insured for less, and a report after a loss."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from ledger.actor import Actor, Permission
from ledger.book import Book, Status
from ledger.costs import PeriodCosts, period_costs
from ledger.events.count import Count, Result
from ledger.events.custody import Custody
from ledger.events.sale import TO_NOBODY, Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Submission
from ledger.history import fold, history
from ledger.mended import Moment
from ledger.money import Money
from ledger.ports import Ledger, Reader
from ledger.report import Report
from ledger.rules.basis import periods
from ledger.rules.cost_lines import Period, Worth
from ledger.rules.exchange import Counted, Rates
from ledger.usecases.costs import rates_of
from ledger.usecases.report import report_of
from ledger.views import PAGE_MOST, BookQuery, BookRow

__all__ = ["Insured", "Loss", "LossReport", "Schedule", "Short", "loss_report", "schedule"]

_KEPT: Final = (Status.HELD, Status.EXPECTED, Status.OUT)


class Short(StrEnum):
    """Why a book may be insured for too little."""

    NONE = "no value for insurance"
    MARKET = "market value is higher"
    OUT = "insured for less while it is out"
    OLD = "the value is out of date"


@dataclass(frozen=True, kw_only=True)
class Insured:
    """One book of the schedule."""

    row: BookRow
    value: Worth | None
    """For insurance, as last found; null where there is none."""
    market: Worth | None
    costs: PeriodCosts | None
    photographs: tuple[str, ...]
    """SHA-256 of the clean copies."""
    out_for: Money | None
    """For how much it is insured in other hands; null where it is not out, or that was not entered."""
    short: tuple[Short, ...]
    missing: Money | None
    """By how much the market value is higher; null where it is not, or the two cannot be compared."""


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """Every book of the collection, by number, and the values added up."""

    home: str
    on: date
    books: tuple[Insured, ...]
    total: Money
    """Of the values for insurance that can be counted."""
    not_counted: int
    """Books with a value that no rate counts."""


@dataclass(frozen=True, kw_only=True)
class Loss:
    """The entry that tells of damage, loss or theft, and what the book was worth just before it."""

    seq: int
    moment: Moment
    market: Worth | None
    insurance: Worth | None
    holder_number: str | None
    paid: Money | None
    """What an insurer, carrier or service paid."""


@dataclass(frozen=True, kw_only=True)
class LossReport:
    """All that is known of a book for whoever settles a loss; no loss where none is entered."""

    of: Report
    loss: Loss | None
    market: Worth | None
    insurance: Worth | None


def schedule(ledger: Ledger, actor: Actor, home: str) -> Schedule:
    """The schedule as of today."""
    actor.require(Permission.READ)
    rates, today = rates_of(ledger), ledger.clock.today()
    with ledger.log.read() as reader:
        books = tuple(_insured(ledger, reader, row, rates, home, today) for row in _kept(reader))
    total, left = Money.zero(home), 0
    for each in books:
        if each.value is None or each.value.amount is None:
            continue
        counted = rates.count(each.value.amount, each.value.on, home)
        if isinstance(counted, Counted):
            total += counted.money
        else:
            left += 1
    return Schedule(home=home, on=today, books=books, total=total, not_counted=left)


def loss_report(ledger: Ledger, actor: Actor, book: str) -> LossReport:
    """The report of one book.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        row = reader.book(book)
        moments = history(reader.of_book(book), ledger.codec)
        of = report_of(reader, row, moments)
    now = periods(of.book, moments)
    last = now[-1] if now else None
    return LossReport(
        of=of,
        loss=_loss(row, moments),
        market=last.market if last else None,
        insurance=last.insurance if last else None,
    )


def _kept(reader: Reader) -> Iterator[BookRow]:
    rows, after = [], ""
    while True:
        page = reader.books(BookQuery(limit=PAGE_MOST, after=after or None))
        rows += [row for row in page.rows if row.status in _KEPT]
        if page.after is None:
            yield from sorted(rows, key=lambda row: row.no)
            return
        after = page.after


def _insured(ledger: Ledger, reader: Reader, row: BookRow, rates: Rates, home: str, today: date) -> Insured:  # noqa: PLR0913
    moments = history(reader.of_book(row.book), ledger.codec)
    book = fold(row.book, row.no, moments)
    found = periods(book, moments)
    period = found[-1] if found else None
    value, market = (period.insurance, period.market) if period else (None, None)
    out_for = _out_for(book, moments)
    missing = _above(market, value, rates, home)
    return Insured(
        row=row,
        value=value,
        market=market,
        costs=period_costs(period, rates, home, ledger.returns) if period else None,
        photographs=book.photographs,
        out_for=out_for,
        short=tuple(_short(period, out_for, missing, today)),
        missing=missing,
    )


def _short(period: Period | None, out_for: Money | None, missing: Money | None, today: date) -> Iterator[Short]:
    value = period.insurance if period else None
    if value is None or value.amount is None:
        yield Short.NONE
        return
    if missing is not None:
        yield Short.MARKET
    if out_for is not None and out_for.currency == value.amount.currency and out_for < value.amount:
        yield Short.OUT
    if value.valid_until is not None and value.valid_until.latest_day < today:
        yield Short.OLD


def _above(market: Worth | None, value: Worth | None, rates: Rates, home: str) -> Money | None:
    """By how much the market value is above the value for insurance, in their own currency or the home one."""
    if market is None or value is None or market.amount is None or value.amount is None:
        return None
    into = market.amount.currency if market.amount.currency == value.amount.currency else home
    high, low = rates.count(market.amount, market.on, into), rates.count(value.amount, value.on, into)
    if not isinstance(high, Counted) or not isinstance(low, Counted) or high.money.minor <= low.money.minor:
        return None
    return high.money - low.money


def _out_for(book: Book, moments: Sequence[Moment]) -> Money | None:
    """The sum insured in the hands it is in now."""
    if book.status is not Status.OUT:
        return None
    sent = book.open_submission
    sums = [
        each.event.insured_for.value
        for each in moments
        if each.in_force
        and (
            (isinstance(each.event, Custody) and each.entry.seq == book.away_by)
            or (
                isinstance(each.event, Submission)
                and sent is not None
                and each.event.batch == sent.batch
                and not each.event.insured_for.empty
            )
        )
    ]
    return sums[-1] if sums else None


def _loss(row: BookRow, moments: Sequence[Moment]) -> Loss | None:
    """The last damage, loss or theft in force."""
    place = next((at for at in range(len(moments) - 1, -1, -1) if _is_loss(moments[at])), None)
    if place is None:
        return None
    moment, before = moments[place], moments[:place]
    book = fold(row.book, row.no, before)
    found = periods(book, before)
    event = moment.event
    paid = event.compensation.value if isinstance(event, Sale | Slab) else None
    return Loss(
        seq=moment.entry.seq,
        moment=moment,
        market=found[-1].market if found else None,
        insurance=found[-1].insurance if found else None,
        holder_number=book.holder_number,
        paid=paid,
    )


def _is_loss(moment: Moment) -> bool:
    event = moment.event
    if not moment.in_force:
        return False
    match event:
        case Sale():
            return event.means in TO_NOBODY
        case Slab():
            return event.outcome in (Outcome.LOST, Outcome.DAMAGED)
        case Count():
            return event.result is not Result.FOUND
        case _:
            return False
