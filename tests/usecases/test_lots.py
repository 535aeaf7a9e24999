"""Lots: books bought together in one act, each with its exact part of what was paid."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.book import Status
from ledger.errors import InvalidError
from ledger.events._parts import Holding
from ledger.events.purchase import Means, Purchase
from ledger.money import Money
from ledger.usecases.look import look_at
from ledger.usecases.lots import LOT_MOST, PAID, LotBook, LotSaid, buy_lot, parts_of_lot
from ledger.usecases.record import Recorded, Request
from tests.builders import a_stated_grade, an_issue, on, usd
from tests.usecases.telling import OWNER, Teller


def book(number: int = 1, **changes: Any) -> LotBook:
    return LotBook(**{"issue": an_issue(number=str(number)), **changes})


def lot(count: int = 3, **changes: Any) -> LotSaid:
    books = tuple(book(number) for number in range(1, count + 1))
    return LotSaid(**{"books": books, "on": on("2024-02-01"), **changes})


def shares(*given: int | None) -> tuple[LotBook, ...]:
    return tuple(book(number, share=share) for number, share in enumerate(given, start=1))


def bought(recorded: Recorded) -> list[Purchase]:
    events = [entry.event for entry in recorded.entries]
    assert all(isinstance(event, Purchase) for event in events)
    return [event for event in events if isinstance(event, Purchase)]


def fields(error: InvalidError) -> list[str]:
    return [each.field for each in error.problems]


def test_a_lot_is_one_act_with_a_purchase_for_each_book(teller: Teller) -> None:
    """By hand, largest remainder: 100.00 in three is 33.34, 33.33, 33.33; 0.02 is 0.01, 0.01, 0.00."""
    said = lot(price=usd("100.00"), shipping=usd("0.02"), seller="A fair", venue="Hall 3")
    recorded = buy_lot(teller.ledger, OWNER, said)
    events = bought(recorded)
    assert {entry.act for entry in recorded.entries} == {recorded.act}
    assert len({entry.book for entry in recorded.entries}) == 3
    assert [event.issue.number for event in events] == ["1", "2", "3"]
    assert [str(event.price.value) for event in events] == ["33.34 USD", "33.33 USD", "33.33 USD"]
    assert [str(event.shipping.value) for event in events] == ["0.01 USD", "0.01 USD", "0.00 USD"]
    assert {(event.seller.value, event.venue.value, str(event.on)) for event in events} == {
        ("A fair", "Hall 3", "2024-02-01")
    }
    assert all(event.premium.empty and event.tax.empty for event in events)
    first = recorded.entries[0].book
    assert first is not None
    assert look_at(teller.ledger, OWNER, first).book.status is Status.HELD


def test_stated_shares_split_every_sum(teller: Teller) -> None:
    """By hand: 50.00 by 3, 1, 1 is 30.00, 10.00, 10.00; 7 yen by the same are 4.2, 1.4, 1.4, so 4, 2, 1."""
    said = lot(books=shares(3, 1, 1), price=usd("50.00"), premium=Money.of("7", "JPY"))
    events = bought(buy_lot(teller.ledger, OWNER, said))
    assert [str(event.price.value) for event in events] == ["30.00 USD", "10.00 USD", "10.00 USD"]
    assert [str(event.premium.value) for event in events] == ["4 JPY", "2 JPY", "1 JPY"]


@given(
    st.lists(st.integers(0, 10**6), min_size=2, max_size=LOT_MOST).filter(any),
    st.lists(st.none() | st.integers(0, 10**10), min_size=4, max_size=4),
)
def test_the_parts_of_every_sum_come_to_it_to_the_cent(given: list[int], sums: list[int | None]) -> None:
    paid = [None if each is None else Money(each, "EUR", 2) for each in sums]
    changes: dict[str, Any] = dict(zip(PAID, paid, strict=True))
    said = lot(books=shares(*given), **changes)
    parts = parts_of_lot(said)
    for name, whole in zip(PAID, paid, strict=True):
        own = [getattr(part, name) for part in parts]
        assert own == [None] * len(given) if whole is None else sum(each.minor for each in own) == whole.minor


def test_what_is_shown_before_is_what_is_written(teller: Teller) -> None:
    said = lot(books=shares(5, 0, 2), price=usd("19.99"), tax=usd("1.61"))
    events = bought(buy_lot(teller.ledger, OWNER, said))
    assert [(each.price, each.tax) for each in parts_of_lot(said)] == [
        (event.price.value, event.tax.value) for event in events
    ]


def test_each_book_keeps_its_own_holder_and_stated_grade(teller: Teller) -> None:
    slabbed = book(1, holding=Holding.SLABBED, holder_number="A-77", stated=a_stated_grade("9.0"))
    first, second = bought(buy_lot(teller.ledger, OWNER, lot(books=(slabbed, book(2)), means=Means.TRADE)))
    assert (first.holder_number, str(first.stated), second.stated) == ("A-77", "9.0", None)
    assert first.means is second.means is Means.TRADE


@pytest.mark.parametrize(
    ("changes", "at"),
    [
        ({"books": (book(),)}, ["books"]),
        ({"books": ()}, ["books"]),
        ({"books": tuple(book(number) for number in range(LOT_MOST + 1))}, ["books"]),
        ({"books": shares(1, None, 2)}, ["books.1.share"]),
        ({"books": shares(1, -1)}, ["books.1.share"]),
        ({"books": shares(0, 0)}, ["books.0.share"]),
        ({"means": Means.CAME_BACK}, ["means"]),
        ({"means": Means.GIFT, "price": usd("3.00")}, ["price"]),
        ({"books": (book(1), book(2, holder_number="A-1"))}, ["books.1.holder_number"]),
    ],
)
def test_what_is_wrong_is_told_at_its_place_and_nothing_is_written(
    teller: Teller, changes: dict[str, Any], at: list[str]
) -> None:
    error = teller.nothing_written(lambda: buy_lot(teller.ledger, OWNER, lot(**changes)), InvalidError)
    assert fields(error) == at


def test_the_same_key_writes_once(teller: Teller) -> None:
    asked = Request(key="one", body=b"lot")
    first = buy_lot(teller.ledger, OWNER, lot(price=usd("10.00")), asked)
    again = buy_lot(teller.ledger, OWNER, lot(price=usd("10.00")), asked)
    assert again.replayed
    assert again.act == first.act
    assert teller.head.books == 3
