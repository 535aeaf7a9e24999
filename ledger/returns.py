"""The rate of return of a series of payments: when there is one to speak of, and what works it out."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from itertools import pairwise
from typing import Final, Protocol

from ledger.money import Money

__all__ = ["DAYS_LEAST", "Flow", "Returns", "Why", "why_not"]

DAYS_LEAST: Final = 90
"""A rate is given only for more days than this: a year's rate of a few days says nothing. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Flow:
    """One payment on a day: below zero what was paid, above it what came in. All of one series are in one currency."""

    on: date
    amount: Money


class Why(StrEnum):
    """Why a gain is given without a rate."""

    DATES = "a date is not known to the day"
    SHORT = "too few days"
    SIGNS = "not one change of sign"
    NONE = "no rate found"


class Returns(Protocol):
    """Works out the yearly rate at which the payments come to nothing; None where there is none.

    Days are counted as they are, a year as 365 of them.
    """

    def rate(self, flows: Sequence[Flow]) -> float | None:
        """0.1 for ten per cent a year."""
        ...


def why_not(flows: Sequence[Flow]) -> Why | None:
    """Why these payments have no rate to speak of; None where they have one.

    Payments of one day count together. With exactly one change of sign there is at most one rate above -100 %.
    Source: Descartes' rule of signs.
    """
    days: defaultdict[date, int] = defaultdict(int)
    for flow in flows:
        days[flow.on] += flow.amount.minor
    signs = [days[day] > 0 for day in sorted(days) if days[day]]
    if sum(before != after for before, after in pairwise(signs)) != 1:
        return Why.SIGNS
    moved = [day for day in days if days[day]]
    return Why.SHORT if (max(moved) - min(moved)).days <= DAYS_LEAST else None
