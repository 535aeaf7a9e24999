"""Whether work on a book is worth it: its choices weighed by what its owner holds likely, with the heat it had so far."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.actor import Actor
from ledger.dose import Heat, heat_of
from ledger.events.purchase import Purchase
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules._tables import table
from ledger.rules.ageing import Band
from ledger.rules.grades import Grade
from ledger.rules.worth import Choice, Unvalued, Way, Weighed, Weights, weighed
from ledger.rules.worth_assumed import Assumed, assumed
from ledger.usecases.look import BookLook, look_at
from ledger.usecases.rulings import rulings

__all__ = ["Asked", "Worth", "assumptions", "reason_of", "ways_of", "worth_of"]


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One choice as it is asked about; what is left out is as assumed in the rule table.

    Units: shares per mille of what the book would bring; days.
    """

    choice: Choice
    weights: Weights
    values: Mapping[Grade, Money]
    """Graded where the choice ends in a holder, raw where it does not."""
    spent: tuple[Money, ...] = ()
    sale_keeps_per_mille: int | None = None
    risk_per_mille: int | None = None
    harm_takes_per_mille: int | None = None
    days: int | None = None
    heat: Band | None = None


@dataclass(frozen=True, kw_only=True)
class Worth:
    """What each choice comes to, by what it was assumed, and the heat the book had here so far."""

    choices: tuple[Weighed | Unvalued, ...]
    assumed: Mapping[Choice, Assumed]
    heat: Heat
    reason: str | None
    """The collector's own reason for the book, which money does not decide; None where none is at hand."""


def assumptions(ledger: Ledger, actor: Actor) -> dict[Choice, Assumed]:
    """What is assumed of each choice in this collection, its rulings counted."""
    ruled, found = rulings(ledger, actor), {}
    for choice in Choice:
        row = table("worth").row(choice.value)
        ruling = ruled.get(("worth", choice.value))
        found[choice] = assumed(choice, ruling.ruling.edited(row) if row is not None and ruling is not None else row)
    return found


def ways_of(given_up: Money, asked: Sequence[Asked], by: Mapping[Choice, Assumed]) -> list[Way]:
    """Each choice with what is assumed of it in the place of what was left out."""
    return [
        Way(
            choice=each.choice,
            given_up=given_up,
            weights=each.weights,
            values=each.values,
            spent=each.spent,
            sale_keeps_per_mille=_or(each.sale_keeps_per_mille, by[each.choice].sale_keeps_per_mille),
            risk_per_mille=_or(each.risk_per_mille, by[each.choice].risk_per_mille),
            harm_takes_per_mille=_or(each.harm_takes_per_mille, by[each.choice].harm_takes_per_mille),
            days=_or(each.days, by[each.choice].days),
            heat=each.heat,
        )
        for each in asked
    ]


def worth_of(ledger: Ledger, actor: Actor, book: str, given_up: Money, asked: Sequence[Asked]) -> Worth:
    """The choices for one book, weighed; `given_up` is what it is worth as it is.

    Raises: NotFoundError, ForbiddenError; WorthError, TableError, OtherCurrencyError for what cannot be weighed.
    """
    look = look_at(ledger, actor, book)
    by = assumptions(ledger, actor)
    return Worth(
        choices=tuple(weighed(way) for way in ways_of(given_up, asked, by)),
        assumed=by,
        heat=heat_of(look.moments),
        reason=reason_of(look),
    )


def _or(given: int | None, otherwise: int) -> int:
    return otherwise if given is None else given


def reason_of(look: BookLook) -> str | None:
    """Why this copy, as its last purchase in force says."""
    bought = [each.event for each in look.moments if each.in_force and isinstance(each.event, Purchase)]
    return bought[-1].reason.value if bought else None
