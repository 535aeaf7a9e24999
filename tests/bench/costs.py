"""What a collection of 100,000 books cost, added up by the program, beside one bare SQL statement over the same rows."""

import random
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from ledger.cost_rows import CostRow
from ledger.cost_totals import Totals, totals
from ledger.market import Rate
from ledger.rules.exchange import Rates
from ledger.store.codec import EventCodec
from ledger.store.cost_rows import cost_values
from ledger.store.engine import DATABASE, open_store
from ledger.store.log import SqlLog, make_collection
from ledger.when import When
from tests.bench.measuring import Ratio, compared
from tests.conftest import COLLECTION

__all__ = ["ratios"]

BOOKS: Final = 100_000
ROUNDS: Final = 7
GOAL: Final = 2.0
FOREIGN: Final = 0.02
"""Books of which one sum is in another currency; our assumption."""
_MADE: Final = datetime(2026, 1, 2, tzinfo=UTC)
_BARE: Final = """
SELECT what, year, currency, why, held, gain, gain_year, sum(minor), count(*) FROM cost_row WHERE collection_id = ?
GROUP BY currency, what, year, why, held, gain, gain_year
"""
"""The one statement that has every figure of the page in it: sums and gains by year, what is held, what is not known.
Sums in another currency it leaves as they are; the program counts each by its rate, which the reference does not."""


def ratios() -> Iterator[Ratio]:
    """Units: ms."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        _fill(folder)
        with closing(open_store(folder)) as store, closing(sqlite3.connect(folder / DATABASE)) as db:
            log = SqlLog(COLLECTION, store, EventCodec())
            rates = Rates(_rates())

            def ours() -> Totals:
                with log.read() as reader:
                    return totals(reader.costs("EUR"), rates, "EUR")

            def theirs() -> list[Any]:
                return db.execute(_BARE, (COLLECTION,)).fetchall()

            found, bare = ours(), theirs()
            # Both added up the same rows: what is held, in the home currency, by either.
            assert sum(each.purchases for each in found.years) >= sum(
                minor for what, _, code, *_, minor, _count in bare if (what, code) == ("price", "EUR")
            )
            assert not found.without_rate
            mine, bare_time = compared(ours, theirs, times=ROUNDS)
            what = f"costs of {BOOKS:,} books, added up"
            yield Ratio(
                what=what, ours=mine, reference="one bare SQL aggregate", theirs=bare_time, unit="ms", goal=GOAL
            )


def _fill(folder: Path) -> None:
    with closing(open_store(folder)) as store:
        make_collection(store, COLLECTION, _MADE)
    chance = random.Random(11)
    with closing(sqlite3.connect(folder / DATABASE)) as db, db:
        for number in range(BOOKS):
            book = sha256(str(number).encode()).hexdigest()[:26]
            rows = list(cost_values(COLLECTION, book, list(_rows(number, chance))))
            names = ", ".join(rows[0])
            db.executemany(f"INSERT INTO cost_row ({names}) VALUES ({', '.join(':' + each for each in rows[0])})", rows)
        db.execute("ANALYZE cost_row")


def _rows(number: int, chance: random.Random) -> Iterator[CostRow]:
    """A purchase with its carriage, often grading, a value or a sale."""
    year, left = chance.randrange(2000, 2020), chance.random() < 0.2
    code = "USD" if chance.random() < FOREIGN else "EUR"
    valued = not left and chance.random() < 0.5
    gain = "realised" if left else "unrealised" if valued else ""
    alike: dict[str, Any] = {"period": 0, "seq": number, "why": "", "held": not left, "gain": gain}
    alike |= {"gain_year": year + 5 if left else 0}
    bought: dict[str, Any] = {**alike, "year": year, "day": f"{year}-05-01"}
    yield CostRow(**bought, what="price", currency=code, minor=chance.randrange(10**5))
    yield CostRow(**bought, what="shipping", currency="EUR", minor=chance.randrange(10**3))
    if chance.random() < 0.6:
        yield CostRow(**bought, what="grading", currency="EUR", minor=chance.randrange(10**4))
    if left:
        sold = {**bought, "year": year + 5, "day": f"{year + 5}-05-01"}
        yield CostRow(**sold, what="sale price", currency="EUR", minor=chance.randrange(10**5))
        yield CostRow(**sold, what="sale fees", currency="EUR", minor=-chance.randrange(10**3))
        return
    worth: dict[str, Any] = (
        {**bought, "year": 2024, "day": "2024-01-01"} if valued else {**bought, "year": 0, "day": ""}
    )
    known: dict[str, Any] = (
        {"currency": "EUR", "minor": chance.randrange(10**5)} if valued else {"currency": "", "minor": 0}
    )
    yield CostRow(**{**worth, **known, "what": "market value", "why": "" if valued else "not entered"})
    without: dict[str, Any] = {"what": "insurance value", "currency": "", "minor": 0, "gain": "", "why": "not entered"}
    yield CostRow(**{**bought, **without, "year": 0, "day": ""})


def _rates() -> Iterator[Rate]:
    for year in range(2000, 2030):
        yield Rate(of="USD", into="EUR", on=When(str(year)), rate=Decimal("0.91"), source="made up", made=_MADE)
