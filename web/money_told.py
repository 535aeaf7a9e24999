"""Costs in words: the whole collection, one year, one book, as sections for the page and for paper alike."""

from collections.abc import Iterator

from ledger.cost_rows import INSURANCE, MARKET
from ledger.cost_totals import NotCounted, Totals
from ledger.costs import CountedLine, NoGain, PeriodCosts
from ledger.events.purchase import Means as Came
from ledger.events.sale import Means as Left
from ledger.returns import Why as NoReturn
from ledger.rules.cost_lines import Part, Side, Worth
from ledger.rules.exchange import Counted, NoRate
from ledger.usecases.costs import BookCosts, Sold, YearLine, YearReport
from ledger.views import BookRow
from web.filters import money, tally, when
from web.report_parts import Block, Facts, Section, Words, table
from web.wording import t

__all__ = ["advice", "book_told", "cost_of", "named", "totals_told", "valued", "year_told"]

_VALUES = {MARKET: "market_value", INSURANCE: "insurance_value"}
_NO_GAIN = {
    NoGain.GIVEN: "given",
    NoGain.NO_VALUE: "no_value",
    NoGain.NOT_KNOWN: "not_known",
    NoGain.NO_RATE: "no_rate",
}
_NO_RETURN = {
    NoReturn.DATES: "dates",
    NoReturn.SHORT: "short",
    NoReturn.SIGNS: "signs",
    NoReturn.NONE: "none",
}


def _worth(found: Totals, what: str, minor: int) -> str:
    """A sum of values; nothing is known where none was counted and some are missing."""
    is_known = minor != 0 or all(each.what != what for each in found.not_counted)
    return money(found.money(minor)) if is_known else t("frame.not_known")


def totals_told(found: Totals) -> tuple[Section, ...]:
    """The collection in one page."""
    sums = (
        (t("money.sums.basis"), money(found.money(found.basis_held))),
        (t("money.sums.value"), _worth(found, MARKET, found.value_held)),
        (t("money.sums.insured"), _worth(found, INSURANCE, found.insured)),
        (t("money.sums.realised"), money(found.money(found.realised))),
        (t("money.sums.unrealised"), money(found.money(found.unrealised))),
    )
    years = (
        (
            str(each.year) if each.year else t("money.years.no_year"),
            *(money(found.money(minor)) for minor in (each.purchases, each.fees, each.sales, each.gain)),
        )
        for each in found.years
    )
    head = (t(f"money.years.{name}") for name in ("year", "purchases", "fees", "sales", "gain"))
    gaps = tuple(_gaps(found))
    return (
        Section("sums", t("money.sums.title"), (Facts(sums), Words((t("money.sums.note"),)))),
        Section(
            "years",
            t("money.years.title"),
            (table("", head, years, t("money.years.none")), Words((t("money.years.note"),))),
        ),
        Section("gaps", t("money.gaps.title"), (Words(gaps or (t("money.gaps.none"),), listed=bool(gaps)),)),
        advice(),
    )


def year_told(report: YearReport) -> tuple[Section, ...]:
    """One year, line by line."""
    head = [t(f"money.line.{name}") for name in ("when", "book", "what", "amount", "counted", "rate", "entry")]
    lines = table("", head, (tuple(_year_line(each)) for each in report.lines), t("money.line.none"))
    sold_head = [t("money.line.book"), *(t(f"money.year.{name}") for name in ("proceeds", "basis", "gain"))]
    sold = table("", sold_head, (_sold(each) for each in report.sold), t("money.year.none_sold"))
    return (
        Section("lines", t("money.year.lines"), (lines,)),
        Section("sold", t("money.year.sold"), (sold,)),
        advice(),
    )


def book_told(costs: BookCosts) -> tuple[Section, ...]:
    """One book, period by period."""
    if not costs.periods:
        return (Section("none", t("money.book.lines"), (Words((t("money.book.none"),)),)), advice())
    shown = (_period(number, each) for number, each in enumerate(costs.periods, start=1))
    supplies = Section("supplies", t("money.book.supplies_title"), (Words((t("money.book.supplies"),)),))
    return (*shown, supplies, advice())


def advice() -> Section:
    """What the page is not."""
    return Section("advice", t("money.advice_title"), (Words((t("money.advice"),)),))


def cost_of(each: PeriodCosts) -> str:
    """What it cost, as far as that is known; of nothing that is known there is no sum."""
    if each.basis_whole:
        return money(each.basis)
    counted = any(isinstance(line.counted, Counted) and line.line.part.side is Side.BASIS for line in each.lines)
    return t("money.book.partly", amount=money(each.basis)) if counted else t("frame.not_known")


def named(row: BookRow) -> str:
    """Title and number of a book."""
    return f"{row.title} {row.number}".strip() or row.book


def valued(worth: Worth) -> str:
    """A value with its date and its method."""
    return t("money.book.valued", amount=money(worth.amount), when=when(worth.on), method=worth.method.value)


def _gaps(found: Totals) -> Iterator[str]:
    for each in found.not_counted:
        yield t.n(f"money.gaps.{each.why.replace(' ', '_')}", each.number, what=_what(each).lower())
    for missing, number in found.without_rate:
        on = when(missing.on or None)
        yield t.n("money.gaps.rate", number, of=missing.of, into=missing.into, when=on)


def _what(each: NotCounted) -> str:
    return t(f"money.part.{_VALUES[each.what]}") if each.what in _VALUES else _part(Part(each.what))


def _part(part: Part) -> str:
    return t(f"money.part.{part.name.lower()}")


def _period(number: int, each: PeriodCosts) -> Section:
    period = each.period
    since = when(period.since) if period.since else t("money.book.since_unknown")
    title = t("money.book.period", since=since)
    if period.left is not None:
        title = t("money.book.period_left", since=since, left=period.left, until=when(period.until))
    head = [t(f"money.line.{name}") for name in ("when", "what", "amount", "counted", "rate", "entry")]
    blocks: list[Block] = [
        Facts(tuple(_facts(each))),
        table(
            t("money.book.lines"),
            head,
            (tuple(_line(line, _traded(each))) for line in each.lines),
            t("money.line.none"),
        ),
    ]
    if gaps := tuple(_period_gaps(each)):
        blocks.append(Words(gaps, t("money.book.gaps"), listed=True))
    return Section(f"period-{number}", title, tuple(blocks))


def _facts(each: PeriodCosts) -> Iterator[tuple[str, str]]:
    yield t("money.book.basis"), cost_of(each)
    if each.period.held:
        yield t("money.book.value"), valued(each.period.market) if each.period.market else t("frame.not_known")
    else:
        yield t("money.book.proceeds"), money(each.proceeds)
    if each.no_gain is not None:
        yield t("money.book.gain"), t(f"money.book.no_gain.{_NO_GAIN[each.no_gain]}")
        return
    yield t("money.book.gain"), money(each.gain)
    rate = t("money.book.percent", percent=f"{each.rate:.2%}".removesuffix("%")) if each.rate is not None else ""
    why = t(f"money.book.no_return.{_NO_RETURN[each.no_rate]}") if each.no_rate is not None else ""
    yield t("money.book.return"), rate or why


def _period_gaps(each: PeriodCosts) -> Iterator[str]:
    for gap in each.period.gaps:
        why = t(f"money.gaps.why.{gap.why.name.lower()}")
        yield t("money.gaps.sum", what=_part(gap.part), why=why, seq=gap.seq)
    for missing in each.missing:
        yield _no_rate(missing)


def _no_rate(missing: NoRate) -> str:
    return t("money.gaps.one_rate", of=missing.of, into=missing.into, when=when(missing.on or None))


def _traded(each: PeriodCosts) -> frozenset[Part]:
    """Prices that were never paid in money: what was given for the book, and what was got for it, was agreed."""
    came, left = each.period.came is Came.TRADE, each.period.left == Left.TRADE
    return frozenset(([Part.PRICE] if came else []) + ([Part.SALE_PRICE] if left else []))


def _line(each: CountedLine, traded: frozenset[Part]) -> Iterator[str]:
    line = each.line
    what = t("money.line.traded", what=_part(line.part)) if line.part in traded else _part(line.part)
    yield when(line.on)
    yield t("money.line.expected", what=what) if line.expected else what
    yield money(-line.amount if line.part.taken_off else line.amount)
    yield from _counted(each.counted, taken_off=line.part.taken_off)
    yield tally(line.seq)


def _year_line(each: YearLine) -> Iterator[str]:
    yield when(each.day)
    yield named(each.row)
    yield _part(each.part)
    yield money(each.amount)
    yield from _counted(each.counted)
    yield tally(each.seq)


def _counted(found: Counted | NoRate, *, taken_off: bool = False) -> tuple[str, str]:
    """What it counts for, and by which rate."""
    if isinstance(found, NoRate):
        return t("frame.not_known"), t("money.line.no_rate")
    rate = found.rate
    by = "" if rate is None else t("money.line.by_rate", rate=f"{rate.rate:f}", when=when(rate.on), source=rate.source)
    return money(-found.money if taken_off else found.money), by


def _sold(each: Sold) -> tuple[str, ...]:
    return named(each.row), money(each.proceeds), money(each.basis), money(each.gain)
