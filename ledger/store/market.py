"""What the market told one collection, in the same store as its ledger and through the same writer."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Final, TypeVar

from pydantic import TypeAdapter, ValidationError
from sqlalchemy import Row, Table, insert, select

from ledger.errors import LedgerError
from ledger.market import KeptSale, MarketReader, MarketWriter, Prospect, Rate, issue_key
from ledger.proof.envelope import moment_text
from ledger.store.engine import Store
from ledger.store.json_rows import JsonRows
from ledger.store.market_tables import COMPARABLE, PROSPECT, RATE

__all__ = ["SqlMarket"]

T = TypeVar("T")

_SALE: Final = TypeAdapter(KeptSale)
_PROSPECT: Final = TypeAdapter(Prospect)
_RATE: Final = TypeAdapter(Rate)


class SqlMarket:
    """As `market.MarketStore`."""

    def __init__(self, collection: str, store: Store) -> None:
        self._collection, self._store = collection, store

    @contextmanager
    def read(self) -> Iterator[MarketReader]:
        """What there is at this moment."""
        with self._store.snapshot(self._collection) as connection:
            yield _Rows(connection, self._collection)

    def write(self, work: Callable[[MarketWriter], T]) -> T:
        """What the work returned, once it is durable."""
        return self._store.write(self._collection, lambda connection: work(_Rows(connection, self._collection)))


class _Rows(JsonRows):
    """As `market.MarketWriter`, over one connection."""

    def sales(self, issue: str | None = None) -> list[KeptSale]:
        asked = select(COMPARABLE).where(COMPARABLE.c.collection_id == self._collection)
        asked = asked if issue is None else asked.where(COMPARABLE.c.issue == issue)
        rows = self._connection.execute(asked.order_by(COMPARABLE.c.made, COMPARABLE.c.id)).all()
        return _read(_SALE, rows)

    def sale(self, sale: str) -> KeptSale | None:
        return self._read_one(_SALE, COMPARABLE, sale)

    def prospects(self) -> list[Prospect]:
        return _read(_PROSPECT, self._all(PROSPECT, PROSPECT.c.made))

    def prospect(self, prospect: str) -> Prospect | None:
        return self._read_one(_PROSPECT, PROSPECT, prospect)

    def rates(self) -> list[Rate]:
        return _read(_RATE, self._all(RATE, RATE.c.made))

    def put_sale(self, sale: KeptSale) -> None:
        self.take_sale(sale.id)
        row = {"collection_id": self._collection, "id": sale.id, "issue": issue_key(sale.issue)}
        row |= {"made": moment_text(sale.made), "data": _SALE.dump_json(sale).decode()}
        self._connection.execute(insert(COMPARABLE), row)

    def take_sale(self, sale: str) -> None:
        self._take(COMPARABLE, sale)

    def put_prospect(self, prospect: Prospect) -> None:
        said = _PROSPECT.dump_python(prospect, mode="json")
        self._put(PROSPECT, prospect.id, said, made=moment_text(prospect.made))

    def take_prospect(self, prospect: str) -> None:
        self._take(PROSPECT, prospect)

    def put_rate(self, rate: Rate) -> None:
        self._put(RATE, rate.id, _RATE.dump_python(rate, mode="json"), made=moment_text(rate.made))

    def take_rate(self, rate: str) -> None:
        self._take(RATE, rate)

    def _read_one(self, adapter: TypeAdapter[T], table: Table, own: str) -> T | None:
        row = self._one(table, own)
        found = [] if row is None else _read(adapter, [row])
        return found[0] if found else None


def _read(adapter: TypeAdapter[T], rows: Sequence[Row[Any]]) -> list[T]:
    """What the rows hold; one that was harmed is left out, so that the others can still be read."""
    found = []
    for row in rows:
        try:
            found.append(adapter.validate_json(row.data))
        except (ValidationError, LedgerError):
            continue
    return found
