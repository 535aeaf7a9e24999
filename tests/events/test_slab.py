"""What came of a submission: its rules, what each outcome leaves, its line."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.book import Book, GradeStep, Ownership, Sent, Status
from ledger.events._parts import Holding, OpinionOf
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Submission
from tests.builders import (
    BOOK,
    a_book,
    a_purchase,
    a_slab,
    a_stated_grade,
    against,
    an_opening,
    at,
    broken_rules,
    chain,
    folded,
    on,
    shut,
)

BOUGHT = GradeStep(seq=1, on=None, stated=a_stated_grade(), holder_number="A-77", own_submission=False)


def graded(when: str | None = "2024-06-01", **changes: Any) -> Slab:
    given = {"batch": "spring", "stated": a_stated_grade("9.4", "9.4"), "holder_number": "B-12"}
    return Slab(**{"on": on(when), **given, **changes})


def outcome(which: Outcome, when: str | None = "2024-06-01", **changes: Any) -> Slab:
    return Slab(**{"on": on(when), "outcome": which, "batch": "spring", **changes})


def away(**changes: Any) -> Book:
    return a_book(**{"status": Status.OUT, "submissions": (Sent(batch="spring", seq=4, stage="sent"),), **changes})


def slabbed_away(**changes: Any) -> Book:
    known = {"holding": Holding.SLABBED, "holder_number": "A-77", "stated": BOUGHT.stated, "grades": (BOUGHT,)}
    return away(**known, **changes)


def sent(when: str) -> Submission:
    return Submission(on=on(when), batch="spring", asks=Ask.GRADE)


def test_a_grade_with_its_one_step_breaks_no_rule() -> None:
    assert broken_rules(graded(), away()) == []


def test_it_names_its_batch_or_says_that_the_submission_is_not_known() -> None:
    assert broken_rules(graded(batch=None), a_book()) == [("slab.1", "batch")]
    assert broken_rules(graded(submission_known=False), away()) == [("slab.1", "batch")]
    assert broken_rules(graded(batch=None, submission_known=False), a_book()) == []


@pytest.mark.parametrize("steps", [("9.2", "9.4"), ("0.5", "10.0")])
def test_a_grade_on_a_holder_is_exactly_one_step(steps: tuple[str, ...]) -> None:
    assert broken_rules(graded(stated=a_stated_grade("?", *steps)), away()) == [("slab.2", "stated.steps")]


def test_a_grade_given_is_stated() -> None:
    assert broken_rules(graded(stated=None), away()) == [("slab.2", "stated")]


@pytest.mark.parametrize("which", [Outcome.NO_GRADE, Outcome.REFUSED, Outcome.LOST, Outcome.DAMAGED])
def test_no_other_outcome_brings_a_grade(which: Outcome) -> None:
    assert broken_rules(outcome(which, stated=a_stated_grade()), away()) == [("slab.3", "stated")]


def test_a_book_damaged_on_the_way_back_may_have_its_grade() -> None:
    hurt = outcome(Outcome.DAMAGED, stated=a_stated_grade(), holding=Holding.SLABBED, holder_number="B-12")
    assert broken_rules(hurt, away()) == []
    book = hurt.apply(away(), at(7))
    assert [(step.seq, step.own_submission) for step in book.grades] == [(7, True)]


def test_what_comes_back_is_the_opinion_of_the_service() -> None:
    own = a_stated_grade(opinion_of=OpinionOf.SELLER)
    assert broken_rules(graded(stated=own), away()) == [("slab.3", "stated.opinion_of")]


def test_a_holder_number_needs_a_holder() -> None:
    assert broken_rules(outcome(Outcome.NO_GRADE, holder_number="B-12"), away()) == [("slab.4", "holder_number")]


def test_a_grade_comes_back_slabbed_and_an_outcome_says_raw_or_slabbed_or_nothing() -> None:
    assert broken_rules(graded(holding=Holding.RAW), away()) == [("slab.5", "holding")]
    assert broken_rules(outcome(Outcome.REFUSED, holding=Holding.NOT_STATED), away()) == [("slab.5", "holding")]


def test_a_lost_book_did_not_come_back() -> None:
    lost = outcome(Outcome.LOST, came_back=on("2024-06-02"))
    assert broken_rules(lost, away()) == [("slab.6", "came_back")]


def test_it_did_not_come_back_before_the_outcome() -> None:
    assert broken_rules(graded(came_back=on("2024-05-31")), away()) == [("slab.7", "came_back")]
    assert broken_rules(graded(came_back=on("2024-06-01")), away()) == []
    assert broken_rules(graded(came_back=on("2024")), away()) == []


def test_the_batch_is_the_open_submission_of_this_book() -> None:
    (never,) = graded().check(a_book())
    assert (never.rule, never.field, never.entries) == ("slab.8", "batch", ())
    (other,) = graded(batch="summer").check(away())
    assert (other.rule, other.field, other.entries) == ("slab.8", "batch", (4,))


def test_an_open_submission_is_not_passed_over_as_not_known() -> None:
    (problem,) = graded(batch=None, submission_known=False).check(away())
    assert (problem.rule, problem.field, problem.entries) == ("slab.9", "batch", (4,))


@pytest.mark.parametrize("holding", [Holding.RAW, Holding.NOT_STATED])
def test_a_new_holder_only_is_for_a_book_that_was_slabbed(holding: Holding) -> None:
    assert broken_rules(outcome(Outcome.NEW_HOLDER), away(holding=holding)) == [("slab.10", "outcome")]
    assert broken_rules(outcome(Outcome.NEW_HOLDER, holder_number="B-12"), slabbed_away()) == []


def test_a_grade_given_leaves_a_slabbed_book_here_with_its_own_grade() -> None:
    book = graded().apply(away(choice="go on"), at(7))
    assert (book.status, book.holding, book.holder_number) == (Status.HELD, Holding.SLABBED, "B-12")
    assert book.open_submission is None
    assert book.submissions[0].ended_by == 7
    assert not book.on_bench
    step = book.grade_in_force()
    assert step is not None
    assert (step.seq, step.own_submission, step.holder_number) == (7, True, "B-12")
    assert book.stated == a_stated_grade("9.4", "9.4")


def test_a_review_ends_the_grade_before_it() -> None:
    book = graded().apply(slabbed_away(), at(7))
    assert [(step.seq, step.ended_by) for step in book.grades] == [(1, 7), (7, None)]


def test_a_new_holder_keeps_the_grade_and_is_no_result_of_the_submission() -> None:
    book = outcome(Outcome.NEW_HOLDER, holder_number="B-12").apply(slabbed_away(), at(7))
    step = book.grade_in_force()
    assert step is not None
    assert (step.seq, step.stated, step.holder_number, step.own_submission) == (7, BOUGHT.stated, "B-12", False)
    assert (book.stated, book.holder_number) == (BOUGHT.stated, "B-12")
    assert book.grades[0].ended_by == 7


def test_a_new_holder_for_a_book_without_a_known_grade_changes_its_number_only() -> None:
    book = outcome(Outcome.NEW_HOLDER, holder_number="B-12").apply(away(holding=Holding.SLABBED), at(7))
    assert (book.holding, book.holder_number, book.grades) == (Holding.SLABBED, "B-12", ())


@pytest.mark.parametrize("which", [Outcome.NO_GRADE, Outcome.REFUSED, Outcome.DAMAGED])
@pytest.mark.parametrize("holding", [Holding.RAW, Holding.NOT_STATED])
def test_without_a_grade_a_book_that_went_raw_is_back_raw(which: Outcome, holding: Holding) -> None:
    book = outcome(which).apply(away(holding=holding), at(7))
    assert (book.status, book.holding, book.open_submission) == (Status.HELD, Holding.RAW, None)


def test_a_refused_review_leaves_the_book_in_its_old_holder_with_its_old_grade() -> None:
    book = outcome(Outcome.REFUSED).apply(slabbed_away(), at(7))
    assert (book.holding, book.holder_number, book.stated) == (Holding.SLABBED, "A-77", BOUGHT.stated)
    assert book.grades == (BOUGHT,)


def test_a_review_that_opened_the_holder_and_gave_nothing_ends_the_grade() -> None:
    book = outcome(Outcome.NO_GRADE, holding=Holding.RAW).apply(slabbed_away(), at(7))
    assert (book.holding, book.holder_number, book.stated) == (Holding.RAW, None, None)
    assert book.grades[0].ended_by == 7


def test_a_book_lost_there_has_left_the_collection() -> None:
    book = outcome(Outcome.LOST).apply(away(), at(7))
    assert book.status is Status.GONE
    since = on("2024-02-01")
    assert book.ownerships == (Ownership(taken_by=1, since=since, left_by=7, until=on("2024-06-01")),)
    assert book.open_submission is None


def from_seller(**changes: Any) -> Book:
    """A bought book that never was here, at the service its seller sent it to."""
    at_service = Sent(batch="spring", seq=4, stage="received there", by_seller=True)
    return away(**{"submissions": (at_service,), **changes})


def test_a_graded_book_of_a_seller_has_not_come_until_it_is_said() -> None:
    book = graded().apply(from_seller(), at(7))
    assert (book.status, book.holding, book.holder_number) == (Status.EXPECTED, Holding.SLABBED, "B-12")
    assert (book.to_come, book.open_submission, len(book.grades)) == (True, None, 1)
    came = graded(came_back=on("2024-06-09")).apply(from_seller(), at(7))
    assert (came.status, came.to_come) == (Status.HELD, False)


@pytest.mark.parametrize("which", [Outcome.NO_GRADE, Outcome.REFUSED, Outcome.DAMAGED])
def test_without_a_grade_a_book_of_a_seller_is_still_under_way(which: Outcome) -> None:
    book = outcome(which).apply(from_seller(), at(7))
    assert (book.status, book.holding) == (Status.EXPECTED, Holding.RAW)


def test_a_book_of_a_seller_that_was_lost_there_has_left_the_collection() -> None:
    assert outcome(Outcome.LOST).apply(from_seller(), at(7)).status is Status.GONE


def test_a_book_under_way_that_nobody_wrote_down_as_sent_has_not_come_by_its_grade() -> None:
    expected = a_book(status=Status.EXPECTED)
    unknown = graded(batch=None, submission_known=False)
    assert unknown.apply(expected, at(7)).status is Status.EXPECTED
    assert replace(unknown, came_back=on("2024-06-09")).apply(expected, at(7)).status is Status.HELD


def test_an_outcome_does_not_end_a_time_in_other_hands_in_silence() -> None:
    framed = a_book(status=Status.OUT, away_by=4)
    unknown = graded(batch=None, submission_known=False)
    book = unknown.apply(framed, at(7))
    assert (book.status, book.away_by, book.holding) == (Status.OUT, 4, Holding.SLABBED)
    (doubt,) = unknown.doubts(framed)
    assert (doubt.field, doubt.entries) == ("came_back", (4,))
    back = replace(unknown, came_back=on("2024-06-09"))
    assert list(back.doubts(framed)) == []
    assert (back.apply(framed, at(7)).status, back.apply(framed, at(7)).away_by) == (Status.HELD, None)
    assert list(unknown.doubts(a_book())) == []
    assert list(outcome(Outcome.LOST, batch=None, submission_known=False).doubts(framed)) == []


def test_a_grade_is_refused_before_the_book_was_sent() -> None:
    refused, _ = against(chain(a_purchase(), sent("2024-04-01")), graded("2024-03-01"))
    assert [problem.rule for problem in refused] == ["slab.8"]


def test_opening_the_holder_later_ends_the_grade_given() -> None:
    book = folded(a_slab(), an_opening(), sent("2024-04-01"), graded(), an_opening("2024-07-01"))
    assert [(step.seq, step.ended_by) for step in book.grades] == [(1, 2), (4, 5)]


def test_its_line_tells_the_outcome_without_any_sealed_value() -> None:
    told = shut(graded(page_tone="ivory to straw"))
    assert told.summary() == "Graded 9.4, batch spring, page tone as stated: ivory to straw"
    unknown = outcome(Outcome.REFUSED, batch=None, submission_known=False)
    assert unknown.summary() == "Refused by the service, submission not known"
    assert outcome(Outcome.DAMAGED).summary() == ("Came back damaged; examine it before anything else, batch spring")


@pytest.mark.parametrize("which", list(Outcome))
def test_before_the_purchase_it_moves_nothing(which: Outcome) -> None:
    assert outcome(which).apply(Book(id=BOOK, no=1), at(7)) == Book(id=BOOK, no=1)
