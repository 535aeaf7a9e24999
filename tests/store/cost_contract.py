"""The contract of a log, third part: what books cost is added up from rows that follow the entries, and forget with them."""

from collections.abc import Iterator
from typing import Any

from ledger.cost_rows import CostRow, CostSum, KeptCosts
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.sale import Disclosed, Sale
from ledger.events.valuation import Method, Valuation
from ledger.events.withdrawal import Withdrawal
from ledger.money import Money
from ledger.sealed import Sealed
from tests.builders import an_intervention, on, usd
from tests.conftest import Kept
from tests.store.writing import Scribe


def money(amount: str) -> Sealed[Money]:
    return Sealed.of(usd(amount))


def kept(store: Kept, home: str = "USD") -> KeptCosts:
    with store.log.read() as reader:
        return reader.costs(home)


def sums(store: Kept, home: str = "USD") -> dict[tuple[str, str], int]:
    """Of every part in the home currency or not known: its sum, by what and why."""
    found: dict[tuple[str, str], int] = {}
    for each in kept(store, home).sums:
        found[each.what, each.why] = found.get((each.what, each.why), 0) + each.minor
    return found


NO_VALUE = {("market value", "not entered"): 0, ("insurance value", "not entered"): 0}


class CostsContract:
    """Costs are added up over all books; every kind of store adds up alike."""

    def test_rows_alike_are_added_up_over_all_books(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        for amount in ("100.00", "0.05"):
            scribe.buy(price=money(amount), shipping=money("2.00"))
        scribe.buy(on=on("2025-01-01"), price=money("7.00"))
        found = {each for each in kept(store).sums if each.why == ""}
        alike: dict[str, Any] = {"currency": "USD", "why": "", "held": True, "gain": "", "gain_year": 0}
        assert found == {
            CostSum(what="price", year=2024, minor=10005, number=2, **alike),
            CostSum(what="shipping", year=2024, minor=400, number=2, **alike),
            CostSum(what="price", year=2025, minor=700, number=1, **alike),
        }
        assert kept(store).mixed == []

    def test_a_price_that_is_not_known_is_counted_and_not_added(self, store: Kept) -> None:
        Scribe(store.log).buy()
        assert sums(store) == {("price", "not entered"): 0, **NO_VALUE}

    def test_every_row_of_a_period_with_another_currency_is_named(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        plain, mixed = scribe.buy(price=money("1.00")).book, scribe.buy(price=money("50.00")).book
        scribe.add(mixed, an_intervention(cost=Sealed.of(Money.of("3.00", "EUR"))))
        assert plain != mixed
        found = [(book, row.what, row.currency, row.minor) for book, row in kept(store).mixed if not row.why]
        assert found == [(mixed, "price", "USD", 5000), (mixed, "work", "EUR", 300)]
        assert sums(store)["price", ""] == 5100
        assert {row.currency for _book, row in kept(store, "EUR").mixed} == {"USD", "EUR", ""}

    def test_what_was_erased_is_in_no_row_any_more(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        book = scribe.buy(price=money("123.45"), tax=money("1.00")).book
        assert sums(store)["price", ""] == 12345
        scribe.add(book, Erasure(entry=1, names=("price",)))
        assert sums(store) == {("tax", ""): 100, ("price", "erased"): 0, **NO_VALUE}
        assert 12345 not in {row.minor for row in rows(store)}

    def test_an_erased_value_is_in_no_row_any_more(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        book = scribe.buy(price=money("1.00")).book
        worth = Valuation(on=on("2024-06-01"), method=Method.OWN_JUDGEMENT, amount=money("987.65"))
        seq = scribe.add(book, worth).seq
        assert sums(store)["market value", ""] == 98765
        scribe.add(book, Erasure(entry=seq, names=("amount",)))
        assert sums(store)["market value", "erased"] == 0
        assert 98765 not in {row.minor for row in rows(store)}

    def test_a_correction_and_a_withdrawal_are_followed(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        book = scribe.buy(price=money("100.00")).book
        work = scribe.add(book, an_intervention(cost=money("9.00"))).seq
        scribe.add(book, Correction(entry=1, changes={"price": vars(usd("110.00"))}, reason=Sealed.of("misread")))
        assert sums(store) == {("price", ""): 11000, ("work", ""): 900, **NO_VALUE}
        scribe.add(book, Withdrawal(entry=work, reason=Sealed.of("another book")))
        assert sums(store) == {("price", ""): 11000, **NO_VALUE}

    def test_a_gain_is_made_in_the_year_of_the_sale(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        book = scribe.buy(price=money("100.00")).book
        scribe.add(book, Sale(on=on("2025-03-01"), disclosed=Disclosed.WORK, price=money("130.00"), fees=money("4.00")))
        gains = [(each.gain, each.gain_year, each.what, each.minor) for each in kept(store).sums]
        assert sorted(gains) == [
            ("realised", 2025, "price", 10000),
            ("realised", 2025, "sale fees", -400),
            ("realised", 2025, "sale price", 13000),
        ]

    def test_one_year_has_its_rows_and_all_of_the_gains_made_in_it(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        book = scribe.buy(on=on("2023-05-01"), price=money("100.00")).book
        scribe.buy(on=on("2023-06-01"), price=money("60.00"))
        scribe.buy(on=on("2025-06-01"), price=money("70.00"))
        scribe.add(book, Sale(on=on("2025-03-01"), disclosed=Disclosed.WORK, price=money("130.00")))
        with store.log.read() as reader:
            found = {year: reader.costs("USD", year) for year in (2023, 2024, 2025)}
        assert [sorted(row.minor for _book, row in each.mixed) for each in found.values()] == [
            [6000, 10000],
            [],
            [7000, 10000, 13000],
        ]
        assert [each.sums for each in found.values()] == [(), (), ()]

    def test_the_rows_of_the_lists_are_those_that_are_added_up(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        for number in range(3):
            scribe.buy(price=money(f"{number}.10"))
        added = sum(each.minor for each in kept(store).sums)
        assert added == sum(row.minor for row in rows(store)) == 330


def rows(store: Kept) -> Iterator[CostRow]:
    """Every row as it is kept."""
    with store.log.read() as reader:
        for each in reader.listings():
            yield from each.costs
