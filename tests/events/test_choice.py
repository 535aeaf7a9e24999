"""The choice: when it can be made, what it changes, its line."""

import pytest

from ledger.book import Status
from ledger.events.choice import Choice, Next
from tests.builders import a_book, a_purchase, against, at, broken_rules, chain, folded, on, shut


def a_choice(following: Next = Next.GO_ON, when: str | None = "2024-04-01") -> Choice:
    return Choice(on=on(when), next=following)


@pytest.mark.parametrize("following", list(Next))
def test_any_choice_may_be_made_for_a_book_of_the_collection(following: Next) -> None:
    assert broken_rules(a_choice(following)) == []
    assert against(chain(a_purchase()), a_choice(following)) == ([], [])


def test_there_is_nothing_to_choose_before_the_purchase() -> None:
    refused, _ = against(chain(a_purchase()), a_choice(when="2023-12-31"))
    assert [(problem.rule, problem.field) for problem in refused] == [("choice.0", "on")]


def test_the_last_choice_in_the_order_of_happening_stands() -> None:
    book = folded(a_purchase(), a_choice(Next.STOP, "2024-05-01"), a_choice(Next.GO_ON, "2024-04-01"))
    assert (book.choice, book.on_bench) == ("stop", False)


def test_going_on_puts_the_book_on_the_bench() -> None:
    assert a_choice().apply(a_book(), at()).on_bench
    assert not a_choice().apply(a_book(status=Status.OUT), at()).on_bench


@pytest.mark.parametrize(
    ("following", "line"),
    [
        (Next.GO_ON, "Chose to go on"),
        (Next.STOP, "Chose to stop"),
        (Next.LEAVE_ALONE, "Chose to leave alone"),
    ],
)
def test_its_line_tells_the_choice(following: Next, line: str) -> None:
    assert shut(a_choice(following)).summary() == line
