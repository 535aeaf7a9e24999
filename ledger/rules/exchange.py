"""One currency in another, by a rate that somebody kept for that day; where there is none, that is said and nothing guessed."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from ledger.market import Rate
from ledger.money import Money
from ledger.rules.currencies import currency
from ledger.when import When

__all__ = ["Counted", "NoRate", "Rates"]


@dataclass(frozen=True, kw_only=True)
class Counted:
    """A sum in the home currency, and the rate it was counted by; none where it was in that currency all along."""

    money: Money
    rate: Rate | None = None


@dataclass(frozen=True, order=True)
class NoRate:
    """What is not counted for want of a rate: the pair, and the date as it was entered; empty for no date."""

    of: str
    into: str
    on: str


class Rates:
    """The rates that are kept, looked up by pair and day.

    A rate for a month or a year counts for every day in it, the narrowest that holds the whole date first. A rate is
    never turned round: what a bank gives for one direction is not one over the other. Both are our assumptions.
    """

    def __init__(self, kept: Iterable[Rate]) -> None:
        self._of: dict[tuple[str, str], list[Rate]] = defaultdict(list)
        for rate in kept:
            self._of[rate.of, rate.into].append(rate)
        for rates in self._of.values():
            rates.sort(key=_width)
        self._found: dict[NoRate, Rate | None] = {}

    def count(self, money: Money, on: When | None, into: str) -> Counted | NoRate:
        """The sum in another currency, or which rate is missing.

        The exact product is rounded once, halves to the even unit. Source: IEEE 754-2019 section 4.3.1, roundTiesToEven.
        """
        if money.currency == into:
            return Counted(money=money)
        asked = NoRate(money.currency, into, str(on) if on else "")
        rate = self._rate(asked, on)
        return asked if rate is None else Counted(money=converted(money, rate), rate=rate)

    def _rate(self, asked: NoRate, on: When | None) -> Rate | None:
        if on is None:
            return None
        if asked not in self._found:
            self._found[asked] = next((each for each in self._of[asked.of, asked.into] if _holds(each.on, on)), None)
        return self._found[asked]


def converted(money: Money, rate: Rate) -> Money:
    """The sum by that rate, rounded half even to the smallest unit of the other currency.

    Requires: a rate of this currency.
    Source: as `Rate` keeps it, IEEE 754-2019 section 4.3.1, roundTiesToEven.
    """
    exponent = currency(rate.into).exponent
    exact = Fraction(money.minor) * Fraction(rate.rate) * Fraction(10) ** (exponent - money.exponent)
    return Money(round(exact), rate.into, exponent)


def _width(rate: Rate) -> tuple[int, str]:
    return (rate.on.latest_day - rate.on.earliest_day).days, rate.on.text


def _holds(outer: When, inner: When) -> bool:
    return outer.earliest_day <= inner.earliest_day and inner.latest_day <= outer.latest_day
