"""What one book cost and what came of it, in the home currency: sums, gains and the rate of return, or why there is none."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from ledger.money import Money
from ledger.returns import Flow, Returns, why_not
from ledger.returns import Why as NoReturn
from ledger.rules.cost_lines import SIGN, Line, Part, Period, Side, Worth
from ledger.rules.exchange import Counted, NoRate, Rates
from ledger.when import When

__all__ = ["CountedLine", "NoGain", "PeriodCosts", "period_costs"]


class NoGain(StrEnum):
    """Why neither gain nor loss is given."""

    GIVEN = "given away"
    NO_VALUE = "no value"
    NOT_KNOWN = "a sum is not known"
    NO_RATE = "a rate is missing"


@dataclass(frozen=True, kw_only=True)
class CountedLine:
    """One sum as entered, and what it counts for; a missing rate where it does not count."""

    line: Line
    counted: Counted | NoRate

    @property
    def minor(self) -> int:
        """What it adds to its side, 0 where it does not count. Units: the home currency's smallest."""
        return SIGN[self.line.part] * self.counted.money.minor if isinstance(self.counted, Counted) else 0


@dataclass(frozen=True, kw_only=True)
class PeriodCosts:
    """One time in the collection, counted in the home currency."""

    period: Period
    lines: tuple[CountedLine, ...]
    basis: Money
    """As far as it is known; all of it only where `basis_whole`."""
    basis_whole: bool
    proceeds: Money
    value: Counted | NoRate | None
    """Of a book that is held, its last value for the market; null where there is none."""
    gain: Money | None
    no_gain: NoGain | None
    rate: float | None
    """The yearly rate of return, 0.1 for ten per cent."""
    no_rate: NoReturn | None
    """Why a gain stands without a rate."""

    @property
    def missing(self) -> tuple[NoRate, ...]:
        """The rates that are missing, each once."""
        found = [each.counted for each in self.lines if isinstance(each.counted, NoRate)]
        found += [self.value] if isinstance(self.value, NoRate) else []
        return tuple(dict.fromkeys(found))


def period_costs(period: Period, rates: Rates, home: str, returns: Returns | None) -> PeriodCosts:
    """The period counted: each sum by the rate of its own day, and only then added up."""
    lines = tuple(CountedLine(line=each, counted=rates.count(each.amount, each.on, home)) for each in period.lines)
    value = _value(period.market if period.held else None, rates, home)
    basis, proceeds = _sum(lines, Side.BASIS, home), _sum(lines, Side.PROCEEDS, home)
    no_gain = _no_gain(period, lines, value)
    came = value.money if isinstance(value, Counted) else proceeds
    gain = came - basis if no_gain is None else None
    flows = list(_flows(period, lines, value)) if gain is not None else []
    no_rate = _no_rate(flows) if gain is not None else None
    rate = returns.rate([each for each in flows if each]) if gain is not None and no_rate is None and returns else None
    return PeriodCosts(
        period=period,
        lines=lines,
        basis=basis,
        basis_whole=_whole(period, lines, Side.BASIS),
        proceeds=proceeds,
        value=value,
        gain=gain,
        no_gain=no_gain,
        rate=rate,
        no_rate=NoReturn.NONE if gain is not None and rate is None and no_rate is None else no_rate,
    )


def _value(worth: Worth | None, rates: Rates, home: str) -> Counted | NoRate | None:
    return rates.count(worth.amount, worth.on, home) if worth is not None and worth.amount is not None else None


def _sum(lines: Sequence[CountedLine], side: Side, home: str) -> Money:
    minor = sum(each.minor for each in lines if each.line.part.side is side)
    return Money(minor, home, Money.zero(home).exponent)


def _whole(period: Period, lines: Sequence[CountedLine], side: Side) -> bool:
    known = all(isinstance(each.counted, Counted) for each in lines if each.line.part.side is side)
    return known and not any(gap.part.side is side for gap in period.gaps)


def _no_gain(period: Period, lines: Sequence[CountedLine], value: Counted | NoRate | None) -> NoGain | None:
    if not period.held and not period.gives:
        return NoGain.GIVEN
    if period.gaps:
        return NoGain.NOT_KNOWN
    if period.held and value is None:
        return NoGain.NO_VALUE
    missing = isinstance(value, NoRate) or any(isinstance(each.counted, NoRate) for each in lines)
    return NoGain.NO_RATE if missing else None


def _flows(period: Period, lines: Sequence[CountedLine], value: Counted | NoRate | None) -> Iterator[Flow | None]:
    """Every payment, and the value of a book that is held as if it were sold for it that day; None for one without a day."""
    for each in lines:
        if not isinstance(each.counted, Counted) or not each.counted.money.minor:
            continue
        came_in = (each.line.part.side is Side.PROCEEDS) == (SIGN[each.line.part] > 0)
        money = each.counted.money
        yield _flow(each.line.on, money if came_in else -money)
    if isinstance(value, Counted) and period.market is not None:
        yield _flow(period.market.on, value.money)


def _flow(on: When | None, amount: Money) -> Flow | None:
    if on is None or on.earliest_day != on.latest_day:
        return None
    return Flow(on=on.earliest_day, amount=amount)


def _no_rate(flows: Sequence[Flow | None]) -> NoReturn | None:
    known = [each for each in flows if each is not None]
    return NoReturn.DATES if len(known) < len(flows) else why_not(known)


def is_cost_of_buying(part: Part) -> bool:
    """Whether a sum was paid, or came back, for getting the book rather than for what was done with it."""
    return part in (Part.PRICE, Part.PREMIUM, Part.TAX, Part.SHIPPING, Part.REFUND, Part.UNDONE)
