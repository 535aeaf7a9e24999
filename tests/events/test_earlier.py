"""An earlier owner's record: its rules, that it is kept, its line."""

from typing import Any

import pytest

from ledger.book import Book
from ledger.events.earlier import Earlier, Verdict
from ledger.events.sale import Disclosed, Sale
from tests.builders import BOOK, a_book, a_purchase, against, at, broken_rules, chain, on, shut


def received(when: str | None = "2024-02-01", **changes: Any) -> Earlier:
    given = {"record": "89abcdef" * 8, "verdict": Verdict.WHOLE, "origin": "example.org/ledger", "size": 41}
    return Earlier(**{"on": on(when), **given, **changes})


def test_a_whole_record_with_its_checkpoint_breaks_no_rule() -> None:
    assert broken_rules(received()) == []


def test_a_whole_signed_record_says_whose_checkpoint_signs_it() -> None:
    assert broken_rules(received(origin=None, size=None)) == [("earlier.1", "origin")]


@pytest.mark.parametrize("verdict", [Verdict.UNSIGNED, Verdict.BROKEN, Verdict.NOT_CHECKED])
def test_any_other_verdict_may_stand_without_a_checkpoint(verdict: Verdict) -> None:
    assert broken_rules(received(verdict=verdict, origin=None, size=None)) == []


@pytest.mark.parametrize("missing", ["origin", "size"])
def test_size_and_origin_come_together(missing: str) -> None:
    assert broken_rules(received(**{missing: None})) == [("earlier.2", missing)]


def test_it_may_come_before_the_book_and_long_after_it() -> None:
    assert broken_rules(received(), Book(id=BOOK, no=1)) == []
    assert against(chain(a_purchase()), received("2024-01-01")) == ([], [])
    assert against(chain(a_purchase()), received("2025-01-01")) == ([], [])


def test_it_does_not_come_after_the_book_has_left() -> None:
    sold = Sale(on=on("2024-06-01"), disclosed=Disclosed.NOTHING)
    refused, _ = against(chain(a_purchase(), sold), received("2025-01-01"))
    assert [problem.rule for problem in refused] == ["earlier.0"]


def test_received_records_are_kept_in_order_and_change_nothing_else() -> None:
    book = received().apply(received().apply(a_book(), at(5)), at(8))
    assert book == a_book(earlier_records=(5, 8))


def test_its_line_tells_the_verdict() -> None:
    assert shut(received(verdict=Verdict.UNSIGNED)).summary() == "Earlier record 89abcdef: whole but unsigned"
