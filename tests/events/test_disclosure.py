"""A disclosure: its rules, that it is kept, its line."""

from typing import Any

import pytest

from ledger.book import Book, Status
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.sale import Disclosed, Sale
from ledger.events.withdrawal import Withdrawal
from ledger.sealed import Sealed
from tests.builders import BOOK, a_book, a_purchase, against, at, broken_rules, chain, on, shut


def made(when: str | None = "2025-02-01", **changes: Any) -> Disclosure:
    given = {"statement": "0123abcd" * 8, "previous_head": "f" * 64}
    return Disclosure(**{"on": on(when), **given, **changes})


def opened(*pairs: tuple[int, str]) -> tuple[Opened, ...]:
    return tuple(Opened(entry=entry, name=name) for entry, name in pairs)


def test_a_record_that_opens_each_field_once_breaks_no_rule() -> None:
    assert broken_rules(made(opened=opened((1, "price"), (1, "seller"), (2, "price")))) == []


def test_a_field_is_opened_once() -> None:
    twice = made(opened=opened((1, "price"), (2, "price"), (1, "price")))
    assert broken_rules(twice) == [("disclosure.1", "opened.2")]


def test_of_a_book_that_was_never_in_the_collection_there_is_nothing_to_disclose() -> None:
    assert broken_rules(made(), Book(id=BOOK, no=1)) == [("disclosure.2", "on")]


@pytest.mark.parametrize("status", [Status.HELD, Status.OUT, Status.GONE])
def test_records_are_kept_in_order_whoever_has_the_book(status: Status) -> None:
    assert broken_rules(made(), a_book(status=status)) == []
    book = made().apply(made().apply(a_book(status=status), at(5)), at(8))
    assert (book.disclosures, book.status) == ((5, 8), status)


def test_a_buyer_may_ask_after_the_sale() -> None:
    sold = Sale(on=on("2025-01-01"), disclosed=Disclosed.NOTHING)
    assert against(chain(a_purchase(), sold), made()) == ([], [])


def test_it_cannot_be_unsaid() -> None:
    refused, _ = against(chain(a_purchase(), made()), Withdrawal(on=on("2025-03-01"), entry=2))
    assert [problem.rule for problem in refused] == ["withdrawal.3"]


def test_its_line_tells_how_much_was_shown_and_not_to_whom() -> None:
    assert shut(made(recipient=Sealed.of("Somebody"))).summary() == (
        "Record made, no sealed field shown; statement 0123abcd"
    )
    assert "one sealed field" in made(opened=opened((1, "price"))).summary()
    assert "2 sealed fields" in made(opened=opened((1, "price"), (1, "seller"))).summary()
