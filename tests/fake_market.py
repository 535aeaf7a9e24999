"""What the market told, in memory; a work that fails keeps nothing."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from ledger.market import KeptSale, MarketReader, MarketWriter, Prospect, Rate, issue_key

__all__ = ["FakeMarket"]

T = TypeVar("T")


class FakeMarket:
    """As `market.MarketStore`."""

    def __init__(self) -> None:
        self._sales: dict[str, KeptSale] = {}
        self._prospects: dict[str, Prospect] = {}
        self._rates: dict[str, Rate] = {}

    @contextmanager
    def read(self) -> Iterator[MarketReader]:
        yield self

    def write(self, work: Callable[[MarketWriter], T]) -> T:
        before = dict(self._sales), dict(self._prospects), dict(self._rates)
        try:
            return work(self)
        except BaseException:
            self._sales, self._prospects, self._rates = before
            raise

    def sales(self, issue: str | None = None) -> list[KeptSale]:
        found = [each for each in self._sales.values() if issue in (None, issue_key(each.issue))]
        return sorted(found, key=lambda each: (each.made, each.id))

    def sale(self, sale: str) -> KeptSale | None:
        return self._sales.get(sale)

    def prospects(self) -> list[Prospect]:
        return sorted(self._prospects.values(), key=lambda each: (each.made, each.id))

    def prospect(self, prospect: str) -> Prospect | None:
        return self._prospects.get(prospect)

    def rates(self) -> list[Rate]:
        return sorted(self._rates.values(), key=lambda each: (each.made, each.id))

    def put_sale(self, sale: KeptSale) -> None:
        self._sales[sale.id] = sale

    def take_sale(self, sale: str) -> None:
        self._sales.pop(sale, None)

    def put_prospect(self, prospect: Prospect) -> None:
        self._prospects[prospect.id] = prospect

    def take_prospect(self, prospect: str) -> None:
        self._prospects.pop(prospect, None)

    def put_rate(self, rate: Rate) -> None:
        self._rates[rate.id] = rate

    def take_rate(self, rate: str) -> None:
        self._rates.pop(rate, None)
