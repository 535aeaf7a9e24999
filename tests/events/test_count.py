"""A count: its rule, what it leaves, its line."""

from typing import Any

import pytest

from ledger.book import Sent, Status
from ledger.events.count import Count, Result
from tests.builders import a_book, a_purchase, against, at, broken_rules, chain, on, shut


def counted(result: Result = Result.FOUND, when: str | None = "2025-01-02", **changes: Any) -> Count:
    return Count(**{"on": on(when), "result": result, **changes})


@pytest.mark.parametrize("result", list(Result))
def test_a_book_that_should_be_here_is_counted_whatever_is_found(result: Result) -> None:
    assert broken_rules(counted(result)) == []


def test_a_book_in_other_hands_is_not_counted() -> None:
    (lent,) = counted().check(a_book(status=Status.OUT, away_by=4))
    assert (lent.rule, lent.field, lent.entries) == ("count.1", "result", (4,))
    sent = (Sent(batch="b", seq=6, stage="sent"),)
    (graded,) = counted(Result.NOT_FOUND).check(a_book(status=Status.OUT, submissions=sent))
    assert (graded.rule, graded.entries) == ("count.1", (6,))


def test_a_book_not_found_is_missing_since_the_first_count_that_missed_it() -> None:
    once = counted(Result.NOT_FOUND).apply(a_book(), at(5))
    twice = counted(Result.NOT_FOUND).apply(once, at(8))
    assert (once.status, once.missing_since, twice.missing_since) == (Status.HELD, 5, 5)


@pytest.mark.parametrize("result", [Result.FOUND, Result.DAMAGED])
def test_a_book_found_is_missing_no_longer(result: Result) -> None:
    assert counted(result).apply(a_book(missing_since=5), at(8)).missing_since is None


def test_a_book_not_bought_yet_is_not_counted() -> None:
    refused, _ = against(chain(a_purchase()), counted(when="2023-01-01"))
    assert [problem.rule for problem in refused] == ["count.0"]


def test_its_line_tells_the_result() -> None:
    assert shut(counted(Result.NOT_FOUND)).summary() == "Counted: not found"
    assert counted(Result.DAMAGED).summary() == "Counted: found, damaged; examine it"
