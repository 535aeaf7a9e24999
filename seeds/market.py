"""What the demo's collector wrote down of the market: invented sales of issues of the story, in two currencies, and rates.

They lie beside the ledger, after the story, with a clock and a chance of their own.
"""

import math
import random
from base64 import b32encode
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Final

from ledger.actor import Actor
from ledger.events._parts import Holding, Issue
from ledger.market import Came, KeptSale, MarketWriter, Rate
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.grades import Grade, grades
from ledger.usecases.browse import look_through
from ledger.usecases.look import look_at
from ledger.views import ShelfQuery
from ledger.when import When

__all__ = ["ISSUES", "LAST", "SALES_EACH", "lay_market", "sales_of"]

ISSUES: Final = 6
SALES_EACH: Final = 40
LAST: Final = date(2026, 9, 30)
"""No sale is later; the story is over by then."""
_MADE: Final = datetime(2026, 10, 4, 19, 30, tzinfo=UTC)
_DAYS: Final = 5 * 365
_VENUES: Final = (
    "Nightjar Auctions, Westmarsh",
    "Saltmarsh Paper Fair",
    "Tannery Court Sales",
    "Paperferry, private listing",
    "Kettle Lane Books",
)
_TONES: Final = ("white", "off-white", "cream", "")
_A_STEP: Final = 0.13
"""How much the logarithm of a price rises in a step."""
_SLABBED: Final = 0.18
"""How much more the logarithm of the price of a slabbed copy is."""
_SCATTER: Final = 0.24
_RATE: Final = Decimal("1.0870")
_RATE_SOURCE: Final = "Invented for this demo"
_IN_DOLLARS: Final = 3
"""Every so many sales one is in dollars; of every other one the rate of its day is kept."""


@dataclass(frozen=True)
class Told:
    """What is kept of one issue."""

    sales: tuple[KeptSale, ...]
    rates: tuple[Rate, ...]


def lay_market(ledger: Ledger, actor: Actor) -> None:
    """Sales of the first issues of the shelf, each with the grades its own copies have in the middle."""
    assert ledger.market is not None
    chance = random.Random("the market of the demo")  # noqa: S311 - it hides nothing; the same in every demo
    told = [sales_of(issue, middle, chance) for issue, middle in _issues(ledger, actor)]

    def work(writer: MarketWriter) -> None:
        for each in told:
            for sale in each.sales:
                writer.put_sale(sale)
            for rate in each.rates:
                writer.put_rate(rate)

    ledger.market.write(work)


def sales_of(issue: Issue, middle: int, chance: random.Random) -> Told:
    """Invented sales of one issue: dearer in better grades and in holders, scattered, two of them left out."""
    base = chance.uniform(7.6, 9.6)
    sales, rates = [], []
    for place in range(SALES_EACH):
        day = LAST - timedelta(days=chance.randrange(_DAYS))
        step = min(len(grades()) - 1, max(0, middle + chance.choice((-6, -4, -3, -2, -1, 0, 0, 1, 2, 3, 4))))
        slabbed = chance.random() < (0.7 if step > grades().index(Grade("8.0")) else 0.4)
        log = base + _A_STEP * step + (_SLABBED if slabbed else 0) + chance.gauss(0, _SCATTER)
        dollars = place % _IN_DOLLARS == _IN_DOLLARS - 1
        if dollars and place % 2:
            rates.append(_rate(day, chance))
        sales.append(
            KeptSale(
                id=b32encode(chance.randbytes(16)).decode().rstrip("=").lower(),
                issue=issue,
                on=When.of_day(day) if chance.random() > 0.1 else When(f"{day:%Y-%m}"),  # noqa: PLR2004 - one in ten
                grade=grades()[step],
                price=Money(round(math.exp(log)) // 100 * 100 + 100, "USD" if dollars else "EUR", 2),
                where=chance.choice(_VENUES),
                holding=Holding.SLABBED if slabbed else Holding.RAW,
                tone=chance.choice(_TONES),
                came=Came.PASTED if place else Came.BY_HAND,
                left_out=_LEFT_OUT.get(place, ""),
                made=_MADE + timedelta(seconds=place),
            )
        )
    return Told(tuple(sales), tuple(rates))


_LEFT_OUT: Final = {7: "its cover had been coloured in, as the seller said later", 19: "one lot with two other books"}
"""By place: what the collector let not count, and why."""


def _rate(day: date, chance: random.Random) -> Rate:
    worth = _RATE + Decimal(chance.randrange(-400, 401)).scaleb(-4)
    return Rate(of="EUR", into="USD", on=When.of_day(day), rate=worth, source=_RATE_SOURCE, made=_MADE)


def _issues(ledger: Ledger, actor: Actor) -> Iterator[tuple[Issue, int]]:
    """Issues of the shelf in its order, each with the step its first copy with a grade is stated at."""
    found: dict[str, tuple[Issue, int]] = {}
    for row in look_through(ledger, actor, ShelfQuery()).page.rows:
        book = look_at(ledger, actor, row.book).book
        steps = book.stated.steps if book.stated else ()
        if book.issue is not None and steps:
            found.setdefault(str(book.issue), (book.issue, steps[0].step))
        if len(found) == ISSUES:
            break
    yield from found.values()
