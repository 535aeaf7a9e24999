"""Custody: its rules, where it leaves the book, its line."""

from typing import Any

import pytest

from ledger.book import Book, Sent, Status
from ledger.events.custody import Custody, Direction, Hands
from ledger.sealed import Sealed
from tests.builders import BOOK, a_book, a_purchase, against, at, broken_rules, chain, folded, on, shut


def out(when: str | None = "2024-05-01", **changes: Any) -> Custody:
    return Custody(**{"on": on(when), "direction": Direction.OUT, "to_whom": Hands.FRAMER, **changes})


def back(when: str | None = "2024-05-20", **changes: Any) -> Custody:
    return Custody(**{"on": on(when), "direction": Direction.BACK, **changes})


def away() -> Book:
    return a_book(status=Status.OUT, away_by=4)


def test_out_from_here_and_back_again_break_no_rule() -> None:
    assert broken_rules(out(due_back=on("2024-06"))) == []
    assert broken_rules(back(), away()) == []


def test_a_book_that_is_not_here_does_not_go_out() -> None:
    (lent,) = out().check(away())
    assert (lent.rule, lent.field, lent.entries) == ("custody.1", "direction", (4,))
    (graded,) = out().check(a_book(status=Status.OUT, submissions=(Sent(batch="b", seq=6, stage="sent"),)))
    assert (graded.rule, graded.entries) == ("custody.1", (6,))
    assert broken_rules(out(), a_book(status=Status.EXPECTED)) == [("custody.1", "direction")]


def test_a_book_comes_back_from_hands_it_was_given_into() -> None:
    assert broken_rules(back()) == [("custody.2", "direction")]


def test_a_book_at_a_grading_service_does_not_come_back_by_custody() -> None:
    at_service = a_book(status=Status.OUT, submissions=(Sent(batch="b", seq=6, stage="sent"),))
    assert broken_rules(back(), at_service) == [("custody.2", "direction")]
    assert back().apply(at_service, at(7)) == at_service


def test_out_says_into_what_kind_of_hands() -> None:
    assert broken_rules(out(to_whom=None)) == [("custody.3", "to_whom")]


@pytest.mark.parametrize("event", [out(due_back=on("2024-04-30")), out(due_back=on("2023"))])
def test_it_is_not_due_back_before_it_went_out(event: Custody) -> None:
    assert broken_rules(event) == [("custody.4", "due_back")]


def test_nothing_is_due_once_it_is_back() -> None:
    assert broken_rules(back(due_back=on("2024-06-01")), away()) == [("custody.4", "due_back")]


def test_a_book_in_other_hands_is_off_its_spot_and_comes_back_to_none() -> None:
    gone = out().apply(a_book(spot="wall", placed_by=2, placed_on=on("2024-03-01"), missing_since=3), at(5))
    assert (gone.status, gone.away_by, gone.spot, gone.placed_by) == (Status.OUT, 5, None, None)
    assert (gone.placed_on, gone.missing_since) == (None, None)
    here = back().apply(gone, at(6))
    assert (here.status, here.away_by, here.spot) == (Status.HELD, None, None)
    assert here.ownerships == a_book().ownerships


def test_coming_back_before_going_out_is_refused_in_a_chain() -> None:
    refused, _ = against(chain(a_purchase(), out()), back("2024-04-01"))
    assert [problem.rule for problem in refused] == ["custody.2"]
    assert folded(a_purchase(), out(), back()).here


def test_its_line_tells_what_kind_of_hands_and_no_name() -> None:
    assert shut(out(due_back=on("2024-06"), who=Sealed.of("Somebody"))).summary() == (
        "In the hands of: framer, due back June 2024"
    )
    assert back().summary() == "Back from other hands"
    assert back(to_whom=Hands.EXHIBITION).summary() == "Back from: exhibition"


@pytest.mark.parametrize("event", [out(), back()])
def test_before_the_purchase_it_moves_nothing(event: Custody) -> None:
    assert event.apply(Book(id=BOOK, no=1), at(5)) == Book(id=BOOK, no=1)
