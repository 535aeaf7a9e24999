"""What each step of a book's grade brings: as its owner types it, else as the sales of its issue say; never guessed."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from ledger.actor import Actor
from ledger.book import Book
from ledger.events._parts import Holding, Issue
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.fair_price import value_at
from ledger.rules.fair_value import Fit
from ledger.rules.grades import Grade, grades
from ledger.rules.worth import Choice, Weights
from ledger.sales import Asked
from ledger.usecases.comparables import fair_value, look_at_sales
from ledger.usecases.costs import home_code

__all__ = [
    "Fits",
    "Said",
    "ValueUsed",
    "fits_of",
    "given_up_of",
    "grade_now",
    "issue_fits",
    "known_values",
    "used_values",
]


@dataclass(frozen=True, kw_only=True)
class Said:
    """What its owner says; what is left out is taken from sales, as assumed in the rule table, or nothing.

    Units: shares per mille of what the book would bring; days. Requires: amounts in `currency`, where that is given.
    """

    currency: str | None = None
    """None: that of most sales of the issue."""
    given_up: Money | None = None
    raw: Mapping[Grade, Money] = field(default_factory=dict)
    graded: Mapping[Grade, Money] = field(default_factory=dict)
    work: Money | None = None
    session: Money | None = None
    """What one more session costs on top."""
    grading: Money | None = None
    postage: Money | None = None
    sale_keeps: int | None = None
    harm_takes: int | None = None
    risks: Mapping[Choice, int] = field(default_factory=dict)
    days: Mapping[Choice, int] = field(default_factory=dict)
    after: Weights | None = None
    """What is held likely after one more session."""
    at_least: Grade | None = None
    """Of which grade the chance is told; None: the one that is needed, else the likeliest."""


@dataclass(frozen=True, kw_only=True)
class ValueUsed:
    """What a step brings; None where no sale says it and nobody typed it."""

    grade: Grade | None
    value: Money | None
    typed: bool


@dataclass(frozen=True, kw_only=True)
class Fits:
    """What sales say of the issue, in one currency; without sales of an issue, nothing."""

    currency: str
    raw: Fit | None = None
    graded: Fit | None = None


def fits_of(ledger: Ledger, actor: Actor, of: Book, currency: str | None, day: date) -> Fits:
    """The fits for a book on a day, as raw and as slabbed; where no currency is named, in that of most sales, or at home."""
    tone = (of.last_look.tone or "") if of.last_look else ""
    return issue_fits(ledger, actor, of.issue, tone, currency, day)


def issue_fits(  # noqa: PLR0913 - of what, for whom and when
    ledger: Ledger, actor: Actor, issue: Issue | None, tone: str, currency: str | None, day: date
) -> Fits:
    """The same of an issue, with a page tone; empty for one that is not known."""
    if issue is None or ledger.market is None:
        return Fits(currency=currency or home_code(ledger, actor))
    codes = [each.price.currency for each in look_at_sales(ledger, actor, issue)]
    code = currency or max(sorted(set(codes)), key=codes.count, default="") or home_code(ledger, actor)
    raw, graded = (
        fair_value(ledger, actor, issue, Asked(on=day, currency=code, holding=each, tone=tone)).fit
        for each in (Holding.RAW, Holding.SLABBED)
    )
    return Fits(currency=code, raw=raw, graded=graded)


def grade_now(of: Book) -> Grade | None:
    """The lowest step stated of it, else the technical one of the last look; what it presents as is none."""
    if of.stated is not None and of.stated.steps:
        return min(of.stated.steps)
    return of.last_look.technical if of.last_look is not None else None


def given_up_of(of: Book, said: Said, fits: Fits) -> ValueUsed:
    """What a book is worth as it is, and at which step."""
    grade = grade_now(of)
    if said.given_up is not None:
        return ValueUsed(grade=grade, value=said.given_up, typed=True)
    fit = fits.graded if of.holding is Holding.SLABBED else fits.raw
    found = value_at(fit, grade) if fit is not None and grade is not None else None
    return ValueUsed(grade=grade, value=found.mid if found is not None else None, typed=False)


def known_values(typed: Mapping[Grade, Money], fit: Fit | None) -> dict[Grade, Money]:
    """What each step brings, as typed, else as sales say; steps of which neither does are left out."""
    found = {} if fit is None else {each: value.mid for each in grades() if (value := value_at(fit, each)) is not None}
    return {**found, **typed}


def used_values(weights: Weights, typed: Mapping[Grade, Money], known: Mapping[Grade, Money]) -> tuple[ValueUsed, ...]:
    """Of every step with weight what it brings, the lowest first."""
    return tuple(
        ValueUsed(grade=each, value=known.get(each), typed=each in typed) for each in sorted(weights) if weights[each]
    )
