"""From costs, rates and values to how they are answered."""

from api.cost_schemas import (
    BookCostsAnswer,
    CostGap,
    CostLine,
    MissingRate,
    NotCountedAnswer,
    PeriodAnswer,
    RateAnswer,
    SoldAnswer,
    TotalsAnswer,
    ValueAnswer,
    WaitingAnswer,
    YearAnswer,
    YearLineAnswer,
    YearSums,
)
from ledger.cost_totals import Totals
from ledger.costs import CountedLine, PeriodCosts
from ledger.market import Rate
from ledger.money import Money
from ledger.proof.envelope import moment_text
from ledger.rules.cost_lines import Gap, Worth
from ledger.rules.exchange import Counted, NoRate
from ledger.usecases.costs import BookCosts, Sold, YearLine, YearReport

__all__ = ["book_costs", "rate_answer", "totals_answer", "value_answer", "year_answer"]


def rate_answer(rate: Rate) -> RateAnswer:
    """A rate as it is answered."""
    return RateAnswer(
        id=rate.id.replace("/", "-"),
        of=rate.of,
        into=rate.into,
        on=str(rate.on),
        rate=f"{rate.rate:f}",
        source=rate.source,
        made=moment_text(rate.made),
    )


def book_costs(costs: BookCosts) -> BookCostsAnswer:
    """One book as it is answered."""
    return BookCostsAnswer(book=costs.row.book, currency=costs.home, periods=[_period(each) for each in costs.periods])


def totals_answer(found: Totals) -> TotalsAnswer:
    """All of it as it is answered."""
    return TotalsAnswer(
        currency=found.home,
        years=[
            YearSums(
                year=each.year or None,
                purchases=found.money(each.purchases),
                fees=found.money(each.fees),
                sales=found.money(each.sales),
                gain=found.money(each.gain),
            )
            for each in found.years
        ],
        basis_held=found.money(found.basis_held),
        market_value=found.money(found.value_held),
        insurance_value=found.money(found.insured),
        realised=found.money(found.realised),
        unrealised=found.money(found.unrealised),
        not_counted=[NotCountedAnswer(what=each.what, why=each.why, number=each.number) for each in found.not_counted],
        missing_rates=[WaitingAnswer(rate=_missing(each), number=number) for each, number in found.without_rate],
    )


def year_answer(report: YearReport) -> YearAnswer:
    """One year as it is answered."""
    return YearAnswer(
        year=report.year,
        currency=report.home,
        lines=[_year_line(each) for each in report.lines],
        sold=[_sold(each) for each in report.sold],
    )


def value_answer(worth: Worth | None) -> ValueAnswer | None:
    """A value as it is answered."""
    if worth is None:
        return None
    return ValueAnswer(
        entry=worth.seq,
        on=_text(worth.on),
        amount=worth.amount,
        method=worth.method.value,
        valid_until=_text(worth.valid_until),
    )


def _period(each: PeriodCosts) -> PeriodAnswer:
    period = each.period
    return PeriodAnswer(
        since=_text(period.since),
        until=_text(period.until),
        left=period.left,
        lines=[_line(line) for line in each.lines],
        gaps=[_gap(gap) for gap in period.gaps],
        basis=each.basis,
        basis_whole=each.basis_whole,
        proceeds=each.proceeds,
        market=value_answer(period.market),
        insurance=value_answer(period.insurance),
        gain=each.gain,
        no_gain=each.no_gain.value if each.no_gain else None,
        yearly_return=None if each.rate is None else f"{each.rate:.6f}",
        no_return=each.no_rate.value if each.no_rate else None,
        missing_rates=[_missing(found) for found in each.missing],
    )


def _line(each: CountedLine) -> CostLine:
    line = each.line
    return CostLine(
        entry=line.seq,
        on=_text(line.on),
        part=line.part.value,
        side=line.part.side.value,
        amount=line.amount,
        taken_off=line.part.taken_off,
        expected=line.expected,
        counted=_counted(each.counted),
        rate=_rate(each.counted),
    )


def _gap(gap: Gap) -> CostGap:
    return CostGap(entry=gap.seq, part=gap.part.value, why=gap.why.value)


def _year_line(line: YearLine) -> YearLineAnswer:
    return YearLineAnswer(
        book=line.row.book,
        entry=line.seq,
        on=_text(line.day),
        part=line.part.value,
        amount=line.amount,
        counted=_counted(line.counted),
        rate=_rate(line.counted),
    )


def _sold(each: Sold) -> SoldAnswer:
    return SoldAnswer(book=each.row.book, proceeds=each.proceeds, basis=each.basis, gain=each.gain)


def _missing(found: NoRate) -> MissingRate:
    return MissingRate(of=found.of, into=found.into, on=found.on or None)


def _counted(found: Counted | NoRate) -> Money | None:
    return found.money if isinstance(found, Counted) else None


def _rate(found: Counted | NoRate) -> str | None:
    return found.rate.id.replace("/", "-") if isinstance(found, Counted) and found.rate else None


def _text(value: object) -> str | None:
    return None if value is None else str(value)
