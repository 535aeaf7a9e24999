"""A fair value becomes a valuation of a book, with the sales it rests on, in one step."""

from datetime import date
from typing import Final

from ledger.actor import Actor
from ledger.errors import InvalidError, Problem
from ledger.events.valuation import Comparable, Method, Purpose, Valuation
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.fair_price import Value, value_at
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.usecases.comparables import Valued
from ledger.usecases.drafts import Draft
from ledger.usecases.record import Recorded, Request, record
from ledger.when import When

__all__ = ["NAMED_MOST", "used_for", "value_book"]

NAMED_MOST: Final = 60
"""Sales that a valuation names; of more the newest, and its remark says so."""


def used_for(valued: Valued, value: Value) -> tuple[Comparable, ...]:
    """The sales that a value rests on, the newest first, as a valuation names them."""
    chosen = set(value.sales)
    sales = [each for each in valued.sales if each.id in chosen]
    sales.sort(key=lambda each: (each.on.latest_day if each.on else date.min, each.id), reverse=True)
    return tuple(
        Comparable(on=each.on, grade=each.grade, price=each.price, where=each.where or None)
        for each in sales[:NAMED_MOST]
    )


def value_book(  # noqa: PLR0913 - what a valuation says
    ledger: Ledger,
    actor: Actor,
    book: str,
    valued: Valued,
    grade: Grade,
    amount: Money,
    *,
    on: When,
    purpose: Purpose = Purpose.MARKET,
    valid_until: When | None = None,
    request: Request | None = None,
) -> Recorded:
    """Writes it: the amount is the collector's, the sales are those that tell the value at this grade.

    Raises: InvalidError where they tell none; as `record`.
    """
    value = value_at(valued.fit, grade)
    if value is None:
        sentence = (
            f"The comparables tell no value at {grade}. Choose a grade within them, or write a valuation yourself."
        )
        raise InvalidError(problems=(Problem(field="at_grade", sentence=sentence),))
    named = used_for(valued, value)
    event = Valuation(
        on=on,
        purpose=purpose,
        method=Method.COMPARABLES,
        at_grade=grade,
        valid_until=valid_until,
        amount=Sealed.of(amount),
        comparables_used=Sealed.of(named),
        remark=Sealed.of(_remark(value, len(named))),
    )
    return record(ledger, actor, [Draft(event=event, book=book)], request)


def _remark(value: Value, named: int) -> str:
    """What the fit said, for whoever reads the amount later."""
    said = f"Fair value then {value.mid}, a single sale {value.low} to {value.high}; from {value.how}."
    more = f" {named} of {len(value.sales)} sales are named, the newest." if named < len(value.sales) else ""
    return said + more
