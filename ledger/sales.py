"""Which comparables count for a fair value, at what price in the currency asked for, and why the others do not."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from fractions import Fraction

from ledger.events._parts import Holding
from ledger.market import KeptSale, Rate
from ledger.money import MINOR_MOST, Money
from ledger.rules.fair_value import Priced

__all__ = ["Aside", "Asked", "Counted", "converted", "counted", "twins"]


class Aside(StrEnum):
    """Why a comparable does not count; the value is how it is said."""

    LEFT_OUT = "left out"
    NO_DATE = "not known when"
    LATER = "sold after the day of the valuation"
    NO_GRADE = "not known in which grade"
    NO_PRICE = "no price above zero"
    OTHER_CURRENCY = "in another currency, and no rate of that day is kept"


@dataclass(frozen=True, kw_only=True)
class Asked:
    """For what a value is asked: on which day, in which currency, for a book in which holder and of which page tone."""

    on: date
    currency: str
    holding: Holding = Holding.NOT_STATED
    tone: str = ""


@dataclass(frozen=True, kw_only=True)
class Counted:
    """The sales that count, and of each other one why it does not, by its id."""

    priced: tuple[Priced, ...] = ()
    aside: dict[str, Aside] = field(default_factory=dict)
    converted: dict[str, Rate] = field(default_factory=dict)
    """Of each sale in another currency the rate it was taken at."""


def counted(sales: Iterable[KeptSale], asked: Asked, rates: Sequence[Rate] = ()) -> Counted:
    """The comparables as the fit takes them.

    A date that is not exact counts as the middle of its span, and as the day asked for where that lies later. A sale
    that began after that day does not count.
    """
    day, today, code, tone = asked.on, asked.on.toordinal(), asked.currency, _plain(asked.tone)
    holding, untold = asked.holding, Holding.NOT_STATED
    kept = {(rate.of, rate.into, rate.on.text): rate for rate in rates}
    priced: list[Priced] = []
    made = Counted()
    for sale in sales:
        on, grade, price = sale.on, sale.grade, sale.price
        if on is None or grade is None or sale.left_out or price.minor <= 0 or on.earliest_day > day:
            made.aside[sale.id] = _aside(sale, day)
            continue
        if price.currency != code:
            rate = _rate(kept, price.currency, code, on.text)
            found = converted(price, rate, code) if rate is not None else None
            if rate is None or found is None:
                made.aside[sale.id] = Aside.OTHER_CURRENCY
                continue
            made.converted[sale.id] = rate
            price = found
        middle = (on.earliest_day.toordinal() + on.latest_day.toordinal()) // 2
        other = sale.holding
        holder = other is holding if holding is not untold and other is not untold else None
        like_tone = _plain(sale.tone) == tone if tone and sale.tone else None
        priced.append(Priced(sale.id, grade.step, price.minor, max(0, today - middle), holder, like_tone))
    return Counted(priced=tuple(priced), aside=made.aside, converted=made.converted)


def converted(price: Money, rate: Rate, into: str) -> Money | None:
    """The price at this rate, worked out exactly and rounded half to even to the smallest unit.

    A rate kept the other way round is divided by. None where nothing is left of it, or it is more than can be counted.
    """
    exponent = Money.zero(into).exponent
    worth = Fraction(rate.rate) if rate.into == into else 1 / Fraction(rate.rate)
    minor = round(Fraction(price.minor, 10**price.exponent) * worth * 10**exponent)
    return Money(minor, into, exponent) if 0 < minor <= MINOR_MOST else None


def twins(sales: Sequence[KeptSale], others: Iterable[KeptSale]) -> dict[str, str]:
    """Of each sale that is likely told twice, the id of the one that it repeats.

    Likely the same: one issue, one price, one grade, days that are equal or unknown on both sides, and no two places.
    """
    seen: dict[tuple[object, ...], list[KeptSale]] = {}
    for each in others:
        seen.setdefault(_face(each), []).append(each)
    found = {}
    for sale in sales:
        alike = seen.setdefault(_face(sale), [])
        twin = next((each for each in alike if _same_place(each, sale)), None)
        if twin is not None:
            found[sale.id] = twin.id
        alike.append(sale)
    return found


def _face(sale: KeptSale) -> tuple[object, ...]:
    return sale.price, sale.grade, sale.on


def _same_place(one: KeptSale, other: KeptSale) -> bool:
    first, second = _plain(one.where), _plain(other.where)
    return one.id != other.id and (not first or not second or first == second)


def _aside(sale: KeptSale, day: date) -> Aside:
    if sale.left_out:
        return Aside.LEFT_OUT
    if sale.on is None:
        return Aside.NO_DATE
    if sale.on.earliest_day > day:
        return Aside.LATER
    return Aside.NO_GRADE if sale.grade is None else Aside.NO_PRICE


def _rate(kept: dict[tuple[str, str, str], Rate], of: str, into: str, on: str) -> Rate | None:
    """The rate of that very day, kept in either direction."""
    found = kept.get((of, into, on)) or kept.get((into, of, on))
    return found if found is not None and found.rate > 0 else None


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
