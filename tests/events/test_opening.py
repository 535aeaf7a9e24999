"""The opening of a holder: its rules, what it changes, its line."""

import pytest

from ledger.book import Book, GradeStep, Status
from ledger.events._parts import Holding
from ledger.events.opening import HolderCondition
from tests.builders import (
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
    shut,
)

STEP = GradeStep(seq=1, on=None, stated=a_stated_grade(), holder_number="A-77", own_submission=False)


def slabbed(**changes: object) -> Book:
    return a_book(
        **{"holding": Holding.SLABBED, "holder_number": "A-77", "stated": STEP.stated, "grades": (STEP,), **changes}
    )


def test_a_raw_book_has_no_holder_to_open() -> None:
    assert broken_rules(an_opening(), a_book()) == [("opening.1", "on")]


def test_a_book_not_said_to_be_slabbed_is_refused_naming_the_purchase_to_correct() -> None:
    (problem,) = an_opening().check(a_book(holding=Holding.NOT_STATED))
    assert (problem.rule, problem.entries) == ("opening.2", (1,))


@pytest.mark.parametrize("status", [Status.OUT, Status.EXPECTED])
def test_a_book_that_is_not_here_is_opened_only_by_other_hands(status: Status) -> None:
    assert broken_rules(an_opening(), slabbed(status=status)) == [("opening.3", "by_other_hands")]
    assert broken_rules(an_opening(by_other_hands=True), slabbed(status=status)) == []


@pytest.mark.parametrize("digest", ["a" * 63, "A" * 64, "g" * 64, ""])
def test_a_picture_of_the_seal_is_named_by_its_digest(digest: str) -> None:
    assert broken_rules(an_opening(seal_photographs=(digest,)), slabbed()) == [("opening.4", "seal_photographs.0")]


def test_a_picture_of_the_seal_is_named_once() -> None:
    twice = an_opening(seal_photographs=("a" * 64, "b" * 64, "a" * 64))
    assert broken_rules(twice, slabbed()) == [("opening.4", "seal_photographs.2")]


def test_a_good_opening_breaks_no_rule() -> None:
    assert broken_rules(an_opening(seal_photographs=("a" * 64, "b" * 64)), slabbed()) == []


def test_it_leaves_a_raw_book_with_no_grade_in_force_and_its_grades_in_the_history() -> None:
    book = an_opening().apply(slabbed(), at(7))
    assert (book.holding, book.holder_number, book.stated, book.openings) == (Holding.RAW, None, None, 1)
    assert book.grade_in_force() is None
    assert [(step.seq, step.ended_by) for step in book.grades] == [(1, 7)]


def test_a_second_opening_is_refused_while_the_first_stands() -> None:
    refused, _ = against(chain(a_slab(), an_opening()), an_opening("2024-03-02"))
    assert [problem.rule for problem in refused] == ["opening.1"]


def test_a_book_that_was_not_bought_yet_is_not_opened() -> None:
    refused, _ = against(chain(a_slab()), an_opening("2023-01-01"))
    assert [(problem.rule, problem.field) for problem in refused] == [("opening.0", "on")]


def test_a_raw_copy_bought_keeps_its_stated_grade_without_any_opening() -> None:
    assert folded(a_purchase(stated=a_stated_grade())).openings == 0


def test_its_line_tells_how_the_holder_was() -> None:
    assert an_opening().summary() == "Opened: taken out of its holder"
    cracked = shut(an_opening(condition=HolderCondition.CRACKED, by_other_hands=True))
    assert cracked.summary() == "Opened by other hands: taken out of its holder, which was cracked"
