"""Graded books with like defects: what is like, in which order, what was done to them and what they got."""

from itertools import permutations, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events import Event
from ledger.events._parts import Answer
from ledger.graded import graded_of
from ledger.history import history
from ledger.precedents import Alike, Case, cases_of, is_like, pairs_of, precedents
from ledger.rules.book_ceiling import Fault
from tests.builders import BOOK, CODEC, a_defect, a_purchase, an_intervention, an_opening, chain
from tests.rules.faults import a_fault
from tests.test_graded import back, look, sent

SIZES = st.one_of(st.none(), st.sampled_from(("1", "2", "3", "5", "8", "20")))


def a_case(*events: Event, number: int = 0) -> Case:
    return cases(*events)[number]


def cases(*events: Event) -> tuple[Case, ...]:
    moments = history(chain(a_purchase("2024-01-01"), *events), CODEC)
    return cases_of(moments, graded_of(BOOK, moments))


def graded(grade: str, *defects: Any) -> Case:
    return a_case(look("02-01", *defects), sent(), back(grade))


def crease(name: str, size: str | None = "10", **more: Any) -> Any:
    return a_defect(name, "crease", size_mm=size, breaks_colour=Answer.YES, **more)


# --- what is like ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("other", "like"),
    [
        (a_fault("crease", "20"), True),
        (a_fault("crease", "5"), True),
        (a_fault("crease", "20.1"), False),
        (a_fault("crease", "4.9"), False),
        (a_fault("crease"), True),
        (a_fault("crease", "10", face="back"), False),
        (a_fault("crease", "10", breaks_colour=None), True),
        (a_fault("crease", "10", breaks_colour=False), False),
        (a_fault("tear", "10"), False),
    ],
)
def test_like_is_the_same_type_face_and_break_and_at_most_twice_the_size(other: Fault, like: bool) -> None:  # noqa: FBT001 - a table
    ours = a_fault("crease", "10")
    assert is_like(ours, other) is like
    assert is_like(other, ours) is like


def test_paper_is_like_paper_of_the_same_word() -> None:
    straw, brown = (a_fault("paper-tone", word=word, face="inside") for word in ("straw", "brown"))
    assert is_like(straw, straw)
    assert not is_like(straw, brown)


@given(st.lists(SIZES, max_size=4), st.lists(SIZES, max_size=4))
def test_there_are_as_many_pairs_as_there_can_be(ours: list[str | None], theirs: list[str | None]) -> None:
    mine = [a_fault("bend", size, id=f"o{number}") for number, size in enumerate(ours)]
    other = [a_fault("bend", size, id=f"t{number}") for number, size in enumerate(theirs)]
    found = pairs_of(mine, other)
    assert all(is_like(each.ours, each.theirs) for each in found)
    assert len({each.ours.id for each in found}) == len({each.theirs.id for each in found}) == len(found)
    # Every way in which one side can stand against the other, counted out.
    few, many = sorted((mine, other), key=len)
    ways = (
        sum(is_like(one, two) for one, two in zip(few, order, strict=True)) for order in permutations(many, len(few))
    )
    assert len(found) == max(ways)


def test_each_defect_stands_in_one_pair_at_most() -> None:
    one, two = a_fault("bend", "10", id="a"), a_fault("bend", "12", id="b")
    assert pairs_of([one, two], [one]) == (Alike(one, one),)


# --- the order ----------------------------------------------------------------------------------------------------------------


def test_the_book_that_shares_most_of_all_defects_on_both_sides_comes_first() -> None:
    ours = [a_fault("crease", "10", id="d1"), a_fault("bend", "12", id="d2")]
    both = graded("8.0", crease("d1"), a_defect("d2"))
    one = graded("8.5", crease("d1"))
    more = graded("7.0", crease("d1"), a_defect("d2"), a_defect("d3", "tear", size_mm="4", breaks_colour=Answer.YES))
    none = graded("9.2", a_defect("d9", "waviness", size_mm=None, share_percent=5))
    found = precedents(ours, [none, one, more, both])
    assert [str(each.case.graded.grade) for each in found] == ["8.0", "7.0", "8.5"]
    first, second, third = found
    assert ([each.ours.id for each in first.alike], first.only_ours, first.only_theirs) == (["d1", "d2"], (), ())
    assert [each.id for each in second.only_theirs] == ["d3"]
    assert [each.id for each in third.only_ours] == ["d2"]


def test_of_two_that_share_as_much_the_nearer_in_size_comes_first_and_then_the_later() -> None:
    ours = [a_fault("crease", "10", id="d1")]
    far, near = graded("8.0", crease("d1", "18")), graded("8.5", crease("d1", "11"))
    found = precedents(ours, [far, near])
    assert [str(each.case.graded.grade) for each in found] == ["8.5", "8.0"]
    # By hand: 11 over 10 less one, and 18 over 10 less one.
    assert [str(each.apart) for each in found] == ["0.1", "0.8"]
    later = a_case(look("02-01", crease("d1", "11")), look("02-02"), sent(), back("7.5"))
    assert [str(each.case.graded.grade) for each in precedents(ours, [near, later])] == ["7.5", "8.5"]


def test_no_more_are_given_than_asked_for() -> None:
    many = [graded("8.0", crease("d1", size)) for size in ("9", "10", "11")]
    assert len(precedents([a_fault("crease", "10")], many, 2)) == 2
    assert precedents([], many) == ()


# --- what was done -------------------------------------------------------------------------------------------------------------


def test_a_case_has_the_defects_before_the_work_and_after_it_and_the_steps_between() -> None:
    before, after = look("02-01", a_defect("d1"), crease("d2")), look("02-20", a_defect("d1", gone=True, size_mm=None))
    steps = an_intervention("dry-cleaning", "2024-02-05"), an_intervention("cold-press", "2024-02-06")
    (case,) = cases(before, *steps, after, sent(service="Third Bench"), back("9.0"))
    assert (case.before, case.after) == (2, 5)
    assert [each.id for each in case.faults] == ["d1", "d2"]
    assert [each.id for each in case.left] == ["d2"]
    assert [each.technique for each in case.work] == ["dry-cleaning", "cold-press"]
    assert (case.graded.service, str(case.graded.grade), str(case.issue)) == (
        "Third Bench",
        "9.0",
        "Captain Lantern 14",
    )


def test_a_second_grade_has_the_work_since_the_first() -> None:
    first = look("02-01", a_defect("d1")), an_intervention("dry-cleaning", "2024-02-05"), sent(), back("8.0")
    between = an_opening("2024-05-01"), look("05-02", crease("d3")), an_intervention("cold-press", "2024-05-05")
    one, two = cases(*first, *between, sent("06-01", "summer"), back("9.0", "07-01", "summer"))
    assert [[each.technique for each in case.work] for case in (one, two)] == [["dry-cleaning"], ["cold-press"]]
    assert [[each.id for each in case.faults] for case in (one, two)] == [["d1"], ["d1", "d3"]]


def test_a_grade_before_which_nobody_looked_is_no_case_and_one_without_work_has_one_look() -> None:
    assert cases(sent(), back()) == ()
    (case,) = cases(look("02-01", crease("d1")), sent(), back())
    assert (case.before, case.after, case.work) == (2, 2, ())
    assert case.faults == case.left


def test_work_before_the_first_look_is_told_with_what_that_look_found() -> None:
    (case,) = cases(an_intervention("cold-press", "2024-01-20"), look("02-01", crease("d1")), sent(), back())
    assert (case.before, [each.technique for each in case.work]) == (3, ["cold-press"])


def test_every_order_of_the_same_cases_gives_the_same_precedents() -> None:
    ours = [a_fault("crease", "10", id="d1")]
    some = [graded(grade, crease("d1", size)) for grade, size in product(("8.0", "9.0"), ("10", "14"))]
    told = {tuple(each.apart for each in precedents(ours, order)) for order in permutations(some)}
    assert len(told) == 1
