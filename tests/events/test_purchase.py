"""The purchase: its rules, what it changes, its line."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.book import GradeStep, Ownership, Status
from ledger.events._parts import Holding, StatedGrade
from ledger.events.purchase import EarlierWork, Means
from ledger.sealed import Sealed
from tests.builders import a_book, a_purchase, a_slab, a_stated_grade, an_issue, at, broken_rules, on, shut, usd

NOT_YET = a_book(status=Status.NOT_YET, ownerships=(), holding=None, issue=None)
GONE = a_book(status=Status.GONE, ownerships=(Ownership(taken_by=1, since=on("2001"), left_by=4, until=on("2010")),))
IN_FORCE = GradeStep(seq=1, on=on("2001"), stated=a_stated_grade(), holder_number="A-77", own_submission=False)


@pytest.mark.parametrize("status", [Status.EXPECTED, Status.HELD, Status.OUT])
def test_a_book_that_is_in_the_collection_does_not_come_into_it_again(status: Status) -> None:
    (problem,) = a_purchase().check(a_book(status=status))
    assert (problem.rule, problem.field, problem.entries) == ("purchase.1", "on", (1,))


def test_a_book_that_was_never_here_does_not_come_back() -> None:
    assert broken_rules(a_purchase(means=Means.CAME_BACK), NOT_YET) == [("purchase.2", "means")]


@pytest.mark.parametrize("holding", [Holding.RAW, Holding.NOT_STATED])
def test_a_holder_number_needs_a_slabbed_book(holding: Holding) -> None:
    assert broken_rules(a_slab(holding=holding), NOT_YET) == [("purchase.3", "holder_number")]


@pytest.mark.parametrize("steps", [("8.5", "8.0"), ("8.0", "9.0"), ("8.0", "8.0")])
def test_the_steps_of_a_stated_grade_follow_one_another_upwards(steps: tuple[str, ...]) -> None:
    assert broken_rules(a_purchase(stated=a_stated_grade("VF", *steps)), NOT_YET) == [("purchase.4", "stated.steps")]


@pytest.mark.parametrize("means", [Means.GIFT, Means.INHERITANCE, Means.FOUND])
def test_a_price_is_refused_where_nothing_was_paid_and_a_fair_value_is_not(means: Means) -> None:
    paid = a_purchase(means=means, price=Sealed.of(usd("10.00")))
    assert broken_rules(paid, NOT_YET) == [("purchase.5", "price")]
    assert broken_rules(a_purchase(means=means, fair_value_then=Sealed.of(usd("10.00"))), NOT_YET) == []


@pytest.mark.parametrize("name", ["price", "premium", "tax", "shipping", "fair_value_then"])
def test_no_sum_is_below_zero(name: str) -> None:
    sums: dict[str, Any] = {name: Sealed.of(usd("-0.01"))}
    assert [problem.field for problem in a_purchase(**sums).flaws()] == [name]


def test_a_duplicate_does_not_come_in() -> None:
    assert broken_rules(a_purchase(), a_book(status=Status.DUPLICATE)) == [("purchase.6", "")]


@pytest.mark.parametrize("means", list(Means))
def test_a_book_that_has_left_may_come_in_by_any_means(means: Means) -> None:
    assert broken_rules(a_purchase(means=means), GONE) == []


@pytest.mark.parametrize("steps", [("8.0",), ("8.0", "8.5", "9.0")])
def test_a_good_purchase_breaks_no_rule(steps: tuple[str, ...]) -> None:
    assert broken_rules(a_slab(stated=a_stated_grade("VF to VF/NM", *steps)), NOT_YET) == []


def test_a_grade_that_cannot_be_read_as_steps_is_kept_as_written() -> None:
    purchase = a_purchase(stated=StatedGrade(as_written="a beauty"))
    assert broken_rules(purchase, NOT_YET) == []
    assert purchase.apply(NOT_YET, at(1)).stated == StatedGrade(as_written="a beauty")


def test_a_bought_book_is_here_with_its_issue_holder_and_grade() -> None:
    purchase = a_slab(earlier_work=EarlierWork.DENIED)
    book = purchase.apply(NOT_YET, at(3))
    assert (book.status, book.issue, book.holding, book.holder_number) == (
        Status.HELD, an_issue(), Holding.SLABBED, "A-77",
    )  # fmt: skip
    assert book.grades == (
        GradeStep(seq=3, on=purchase.on, stated=a_stated_grade("9.0"), holder_number="A-77", own_submission=False),
    )
    assert book.stated == a_stated_grade("9.0")
    assert book.ownerships == (Ownership(taken_by=3, since=purchase.on),)
    assert book.earlier_work == "denied"


def test_a_book_under_way_is_expected() -> None:
    assert a_purchase(expects_arrival=True).apply(NOT_YET, at(1)).status is Status.EXPECTED


def test_buying_it_again_begins_a_new_ownership_and_ends_the_grade_of_another_holder() -> None:
    gone = replace(GONE, grades=(IN_FORCE,), stated=IN_FORCE.stated, holding=Holding.SLABBED, holder_number="A-77")
    book = a_purchase().apply(gone, at(5))
    assert [each.taken_by for each in book.ownerships] == [1, 5]
    assert (book.grade_in_force(), book.stated, book.holder_number) == (None, None, None)
    same = a_slab(stated=None).apply(gone, at(5))
    assert (same.grade_in_force(), same.stated) == (IN_FORCE, IN_FORCE.stated)


def test_coming_back_goes_on_with_the_ownership_from_before() -> None:
    gone = replace(GONE, grades=(IN_FORCE,), stated=IN_FORCE.stated, holding=Holding.SLABBED, earlier_work="stated")
    back = a_purchase(means=Means.CAME_BACK, holding=Holding.NOT_STATED).apply(gone, at(5))
    assert back.ownerships == (Ownership(taken_by=1, since=on("2001")),)
    assert (back.status, back.holding, back.grade_in_force()) == (Status.HELD, Holding.SLABBED, IN_FORCE)
    assert back.earlier_work == "stated"


def test_coming_back_raw_ends_the_grade() -> None:
    gone = replace(GONE, grades=(IN_FORCE,), stated=IN_FORCE.stated, holding=Holding.SLABBED)
    back = a_purchase(means=Means.CAME_BACK).apply(gone, at(5))
    assert (back.holding, back.grade_in_force(), back.grades[0].ended_by) == (Holding.RAW, None, 5)


def test_coming_back_without_an_earlier_ownership_changes_what_it_can() -> None:
    assert a_purchase(means=Means.CAME_BACK).apply(NOT_YET, at(1)).ownerships[0].taken_by == 1


def test_its_line_needs_no_sealed_value() -> None:
    assert shut(a_slab(expects_arrival=True)).summary() == (
        "Bought: Captain Lantern 14, slabbed, stated grade 9.0, under way"
    )
    assert shut(a_purchase(means=Means.FOUND, holding=Holding.NOT_STATED)).summary() == "Found: Captain Lantern 14"
