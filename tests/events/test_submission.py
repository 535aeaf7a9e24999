"""The submission to a grading service: its rules, how far it moves a book, its line."""

from typing import Any

import pytest

from ledger.book import Book, Sent, Status
from ledger.events._parts import Holding
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.sealed import Sealed
from tests.builders import (
    BOOK,
    a_book,
    a_purchase,
    a_stated_grade,
    against,
    at,
    broken_rules,
    chain,
    folded,
    on,
    shut,
    usd,
)


def sent(when: str | None = "2024-04-01", **changes: Any) -> Submission:
    return Submission(**{"on": on(when), "batch": "spring", "asks": Ask.GRADE, **changes})


def news(stage: Stage, when: str | None = "2024-04-09", **changes: Any) -> Submission:
    return Submission(**{"on": on(when), "stage": stage, "batch": "spring", **changes})


def under_way(stage: Stage = Stage.SENT, **changes: Any) -> Book:
    return a_book(status=Status.OUT, submissions=(Sent(batch="spring", seq=4, stage=stage.value),), **changes)


@pytest.mark.parametrize("holding", list(Holding))
def test_a_book_that_is_here_may_be_sent_raw_or_slabbed(holding: Holding) -> None:
    assert broken_rules(sent(), a_book(holding=holding)) == []


@pytest.mark.parametrize("status", [Status.EXPECTED, Status.OUT])
def test_a_book_that_is_not_here_is_not_sent_from_here(status: Status) -> None:
    (problem,) = sent().check(a_book(status=status, away_by=3))
    assert (problem.rule, problem.field, problem.entries) == ("submission.1", "on", (3,))


def from_seller(when: str | None = "2024-04-01", **changes: Any) -> Submission:
    return sent(when, stage=Stage.SENT_BY_SELLER, **changes)


def test_a_bought_book_that_its_seller_sent_is_in_other_hands_and_still_to_come() -> None:
    book = folded(*map(shut, (a_purchase(expects_arrival=True), from_seller(), news(Stage.RECEIVED))))
    assert (book.status, book.to_come) == (Status.OUT, True)
    assert book.open_submission == Sent(batch="spring", seq=2, stage="received there", by_seller=True)


@pytest.mark.parametrize("status", [Status.HELD, Status.OUT])
def test_a_seller_does_not_send_a_book_that_has_come(status: Status) -> None:
    (problem,) = from_seller().check(a_book(status=status, away_by=3))
    assert (problem.rule, problem.field) == ("submission.1", "stage")
    assert "sent" in problem.sentence


def test_a_seller_may_send_a_book_again_that_came_back_to_nobody_yet() -> None:
    again = from_seller("2024-07-01", batch="summer", asks=Ask.REVIEW)
    graded = Slab(on=on("2024-06-01"), batch="spring", stated=a_stated_grade())
    assert against(chain(a_purchase(expects_arrival=True), from_seller(), graded), again) == ([], [])


def test_a_book_under_way_is_not_sent_from_here_and_the_refusal_says_what_to_say() -> None:
    (problem,) = sent().check(a_book(status=Status.EXPECTED))
    assert (problem.rule, problem.field) == ("submission.1", "on")
    assert "or say that its seller sent it" in problem.sentence


def test_what_a_seller_asks_for_is_said_too() -> None:
    assert broken_rules(from_seller(asks=None), a_book(status=Status.EXPECTED)) == [("submission.5", "asks")]
    assert broken_rules(from_seller(), a_book(status=Status.EXPECTED)) == []


def test_a_second_submission_is_refused_naming_the_open_one() -> None:
    (problem,) = sent(batch="summer").check(under_way())
    assert (problem.rule, problem.field, problem.entries) == ("submission.2", "batch", (4,))


def test_news_of_a_submission_that_was_never_sent_is_refused() -> None:
    assert broken_rules(news(Stage.RECEIVED)) == [("submission.3", "stage")]


def test_news_of_another_batch_is_refused_naming_the_open_one() -> None:
    (problem,) = news(Stage.RECEIVED, batch="summer").check(under_way())
    assert (problem.rule, problem.field, problem.entries) == ("submission.3", "batch", (4,))


@pytest.mark.parametrize(
    ("before", "now"),
    [
        (Stage.RECEIVED, Stage.RECEIVED),
        (Stage.SHIPPED_BACK, Stage.RECEIVED),
        (Stage.SHIPPED_BACK, Stage.SHIPPED_BACK),
    ],
)
def test_a_stage_is_not_told_twice_or_after_a_later_one(before: Stage, now: Stage) -> None:
    assert broken_rules(news(now), under_way(before)) == [("submission.4", "stage")]


@pytest.mark.parametrize("now", [Stage.RECEIVED, Stage.SHIPPED_BACK])
def test_a_stage_nobody_told_of_may_be_left_out(now: Stage) -> None:
    assert broken_rules(news(now), under_way()) == []


def test_a_book_is_sent_for_something_and_that_is_said_once() -> None:
    assert broken_rules(sent(asks=None)) == [("submission.5", "asks")]
    assert broken_rules(news(Stage.RECEIVED, asks=Ask.GRADE), under_way()) == [("submission.5", "asks")]


def test_an_amount_below_zero_is_refused_where_it_stands() -> None:
    (problem,) = sent(fee=Sealed.of(-usd("30.00"))).flaws()
    assert problem.field == "fee"


def test_a_sent_book_is_in_other_hands_and_off_its_spot() -> None:
    book = sent().apply(a_book(spot="wall", placed_by=2, placed_on=on("2024-03-01"), missing_since=3), at(5))
    assert (book.status, book.spot, book.placed_by, book.placed_on) == (Status.OUT, None, None, None)
    assert book.missing_since is None
    assert book.open_submission == Sent(batch="spring", seq=5, stage="sent")


def test_news_moves_the_open_submission_on_and_nothing_else() -> None:
    before = under_way()
    after = news(Stage.SHIPPED_BACK).apply(before, at(6))
    assert after.open_submission == Sent(batch="spring", seq=4, stage="shipped back")
    assert after.status is Status.OUT


def test_news_without_a_submission_leaves_the_book_as_it_is() -> None:
    assert news(Stage.RECEIVED).apply(a_book(), at(6)) == a_book()


def test_sent_before_it_was_bought_it_moves_nothing() -> None:
    assert sent().apply(Book(id=BOOK, no=1), at(5)) == Book(id=BOOK, no=1)


def test_it_is_refused_before_the_purchase() -> None:
    refused, _ = against(chain(a_purchase()), sent("2023-01-01"))
    assert [problem.rule for problem in refused] == ["submission.0"]


def test_three_stages_in_a_chain_leave_one_open_submission() -> None:
    book = folded(a_purchase(), sent(), news(Stage.RECEIVED), news(Stage.SHIPPED_BACK, "2024-05-20"))
    assert [(each.batch, each.stage, each.open) for each in book.submissions] == [("spring", "shipped back", True)]


def test_its_line_tells_stage_and_batch_without_any_sealed_value() -> None:
    assert shut(sent(service=Sealed.of("Some service"))).summary() == "Sent for a grade, batch spring"
    assert sent(asks=Ask.REVIEW).summary() == "Sent for a review, batch spring"
    assert from_seller().summary() == "Sent by its seller for a grade, batch spring"
    assert news(Stage.RECEIVED).summary() == "Submission received there, batch spring"
