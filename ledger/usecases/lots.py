"""Lots: books bought together, each purchase with its exact part of what was paid, all of them in one act."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Final

from ledger.actor import Actor
from ledger.errors import InvalidError, Problem, RuleError
from ledger.events._parts import Holding, Issue, StatedGrade
from ledger.events.purchase import Means, Purchase
from ledger.money import Money
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.shares import at_its_book, share_flaws, shared, stated_shares
from ledger.usecases.record import Draft, Recorded, Request, record
from ledger.when import When

__all__ = ["LOT_LEAST", "LOT_MOST", "NOT_TOGETHER", "PAID", "LotBook", "LotPart", "LotSaid", "buy_lot", "parts_of_lot"]

LOT_LEAST: Final = 2
LOT_MOST: Final = 100
"""Books in one lot; the act that brings it is one entry a book."""
PAID: Final = ("price", "premium", "tax", "shipping")
"""What is paid for a lot as a whole."""
NOT_TOGETHER: Final = {Means.CAME_BACK: "that came back", Means.RECEIVED: "received with a record"}
"""Ways in which a book comes by itself, for they go on from what is there of it already; in words."""


@dataclass(frozen=True, kw_only=True)
class LotBook:
    """One book of a lot."""

    issue: Issue
    holding: Holding = Holding.NOT_STATED
    holder_number: str | None = None
    stated: StatedGrade | None = None
    share: int | None = None
    """Its share of what was paid; all books have one, or none, and then the parts are equal."""


@dataclass(frozen=True, kw_only=True)
class LotPart:
    """What one book bears of a lot; None where nothing was entered for the whole."""

    price: Money | None = None
    premium: Money | None = None
    tax: Money | None = None
    shipping: Money | None = None


@dataclass(frozen=True, kw_only=True)
class LotSaid:
    """Books that came together; price, premium, tax and shipping are those of the whole."""

    books: tuple[LotBook, ...]
    on: When | None = None
    means: Means = Means.BOUGHT
    expects_arrival: bool = False
    price: Money | None = None
    premium: Money | None = None
    tax: Money | None = None
    shipping: Money | None = None
    seller: str | None = None
    venue: str | None = None


def parts_of_lot(said: LotSaid) -> tuple[LotPart, ...]:
    """What each book bears; the parts of a sum make it exactly, to the smallest unit.

    Raises: InvalidError, where the books or their shares cannot be split by.
    Source: largest remainder method, as in `Money.split`.
    """
    if problems := tuple(_flaws(said)):
        raise InvalidError(problems=problems)
    shares, count = stated_shares([each.share for each in said.books]), len(said.books)
    columns = [shared(getattr(said, name), shares, count) for name in PAID]
    return tuple(LotPart(**dict(zip(PAID, row, strict=True))) for row in zip(*columns, strict=True))


def buy_lot(ledger: Ledger, actor: Actor, said: LotSaid, request: Request | None = None) -> Recorded:
    """Every book of the lot or none: one purchase each, with its part.

    Keeps: a problem with a book has the field `books.N.…`, one with what they have in common the field alone.
    Raises: what `record` raises.
    """
    bought = [
        Purchase(
            on=said.on,
            means=said.means,
            issue=each.issue,
            holding=each.holding,
            holder_number=each.holder_number,
            stated=each.stated,
            expects_arrival=said.expects_arrival,
            price=Sealed.of(part.price),
            premium=Sealed.of(part.premium),
            tax=Sealed.of(part.tax),
            shipping=Sealed.of(part.shipping),
            seller=Sealed.of(said.seller),
            venue=Sealed.of(said.venue),
        )
        for each, part in zip(said.books, parts_of_lot(said), strict=True)
    ]
    try:
        return record(ledger, actor, [Draft(event=each, new_book=True) for each in bought], request)
    except (InvalidError, RuleError) as error:
        found = (_told(each, len(bought)) for each in error.problems)
        raise type(error)(problems=tuple(dict.fromkeys(found))) from error


def _flaws(said: LotSaid) -> Iterator[Problem]:
    if not LOT_LEAST <= len(said.books) <= LOT_MOST:
        sentence = f"A lot has {LOT_LEAST} to {LOT_MOST} books; this has {len(said.books)}. One book is a purchase."
        yield Problem(field="books", sentence=sentence)
    if said.means in NOT_TOGETHER:
        yield Problem(
            field="means", sentence=f"A book {NOT_TOGETHER[said.means]} comes by itself. Write its own purchase."
        )
    yield from share_flaws([each.share for each in said.books], "books")


def _told(problem: Problem, count: int) -> Problem:
    """A problem with one purchase at its book, or at what all of them have in common."""
    told = at_its_book(problem, count, "books")
    _, _, rest = told.field.removeprefix("books.").partition(".")
    return replace(told, field=rest) if rest in _COMMON else told


_COMMON: Final = frozenset(each.name for each in fields(LotSaid)) - {"books"}
