"""Fair value from a thousand comparables, beside the least that any such fit does: sorting them and taking logarithms."""

import math
import random
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Final

from ledger.events._parts import Holding, Issue
from ledger.market import KeptSale
from ledger.money import Money
from ledger.rules.fair_price import value_at
from ledger.rules.fair_terms import terms
from ledger.rules.fair_value import fit_prices
from ledger.rules.grades import grades
from ledger.sales import Asked, counted
from ledger.when import When
from tests.bench.measuring import Ratio, compared

COUNT: Final = 1000
MOST_MS: Final = 5.0
TIMES: Final = 41
DAY: Final = date(2026, 3, 1)


def ratios() -> Iterator[Ratio]:
    """Units: ms, the middle one of each; the goal is five milliseconds as they are on this machine."""
    sales, asked, by = a_market(), Asked(on=DAY, currency="USD", holding=Holding.RAW), terms()

    def ours() -> object:
        fit = fit_prices(counted(sales, asked).priced, asked.currency, by)
        return [value_at(fit, grade) for grade in grades()]

    def bare() -> object:
        return sorted((each.grade.step, math.log(each.price.minor)) for each in sales if each.grade is not None)

    mine, theirs = compared(ours, bare, times=TIMES)
    reference = f"sorting them with logarithms; goal {MOST_MS:.0f} ms"
    yield Ratio(
        what=f"fair value from {COUNT} comparables, all grades",
        ours=mine,
        reference=reference,
        theirs=theirs,
        unit="ms",
        goal=MOST_MS / theirs,
    )


def a_market() -> list[KeptSale]:
    """A thousand sales in all grades, raw and slabbed, over ten years."""
    chance, issue = random.Random(11), Issue(title="Harbor Lamp", number="14", start_year=1952)
    return [
        KeptSale(
            id=f"s{number:04}",
            issue=issue,
            on=When.of_day(DAY - timedelta(days=chance.randrange(3650))),
            grade=grades()[step],
            price=Money(round(math.exp(8 + step * 0.14 + chance.gauss(0, 0.3))), "USD", 2),
            holding=chance.choice([Holding.RAW, Holding.SLABBED]),
            made=datetime(2026, 3, 1, tzinfo=UTC),
        )
        for number, step in enumerate(chance.choices(range(25), k=COUNT))
    ]
