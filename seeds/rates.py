"""Rates of exchange of the told collection: most are kept, made up; some are missing, so that the page can say so."""

from typing import Final

from ledger.actor import Actor
from ledger.ports import Ledger
from ledger.usecases.costs import totals_of
from ledger.usecases.rates import RateSaid, keep_rates

__all__ = ["HOME", "keep_most"]

HOME: Final = "EUR"
_RATES: Final = {"USD": ("0.9183", "0.9241", "0.9306", "0.9275", "0.9122"), "GBP": ("1.1396", "1.1624", "1.1718")}
"""Made up, in the neighbourhood of what they were."""
_LEFT_OUT: Final = 2


def keep_most(ledger: Ledger, actor: Actor) -> None:
    """Rates for the days of all sums in dollars and pounds but the last two days."""
    missing = [each for each, _ in totals_of(ledger, actor, HOME).without_rate if each.of in _RATES and each.on]
    missing.sort(key=lambda each: each.on)
    said = [
        RateSaid(
            of=each.of,
            into=HOME,
            on=each.on,
            rate=_RATES[each.of][number % len(_RATES[each.of])],
            source="Statement of the card",
        )
        for number, each in enumerate(missing[:-_LEFT_OUT])
    ]
    if said:
        keep_rates(ledger, actor, said, order="ymd")
