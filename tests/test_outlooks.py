"""The computed outlook: exact for computing, whole thousandths for storing, and what is read off it."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events._parts import Answer, OpinionOf
from ledger.events.examination import Suppleness, Tone
from ledger.events.outlook import Outlook
from ledger.outlooks import computed, distribution_of, faults_of, read_out, weights_of
from ledger.rules.book_ceiling import Fault
from ledger.rules.ceiling_chances import shipped_chances
from ledger.rules.distributions import Distribution
from ledger.rules.graders import grader_row, learned
from ledger.rules.grades import Grade, grades
from tests.builders import a_defect
from tests.rules.faults import a_fault, books, chances_for

STEPS = len(grades())
WEIGHTS = st.lists(st.integers(0, 10**12), min_size=STEPS, max_size=STEPS).filter(any)


@given(WEIGHTS)
def test_weights_as_stored_make_a_thousand_exactly_and_keep_the_rules_of_an_outlook(weights: list[int]) -> None:
    stored = weights_of(Distribution(tuple(weights)))
    assert sum(each.per_mille for each in stored) == 1000
    assert list(Outlook(weights=stored).flaws()) == []
    assert weights_of(distribution_of(stored)) == stored


@given(books(0, 6), st.lists(st.integers(-4, 3), max_size=12), st.data())
def test_whatever_the_defects_and_results_the_outlook_makes_one_and_what_is_stored_a_thousand(
    found: tuple[Fault, ...], results: list[int], data: st.DataObject
) -> None:
    told = computed(found, data.draw(chances_for(found)), learned(grader_row(), results))
    for each in (told.ceilings_after, told.grades_now, told.grades_after):
        assert sum(each.shares) == 1
        assert sum(weight.per_mille for weight in weights_of(each)) == 1000
    assert all(told.ceilings_after.at_least(grade) == 1 for grade in grades() if grade <= told.held.grade)


def test_a_crease_of_ten_millimetres_is_as_computed_by_hand() -> None:
    # By hand: now 8.0; after a round 9.0 with .45, else 8.0. One step above and below: .45 and .55 of each weight.
    crease = [a_fault("crease", "10")]
    told = computed(crease, shipped_chances(crease), grader_row().kernel)
    assert told.held.grade == Grade("8.0")
    assert told.grades_now.chance_of(Grade("8.0")) == Fraction(45, 100)
    assert told.grades_after.chance_of(Grade("8.5")) == Fraction(55 * 12 + 45 * 27, 10_000)
    assert told.grades_after.at_least(Grade("9.0")) == Fraction(55 * 3 + 45 * (45 + 12 + 3), 10_000)


def test_it_is_read_off_as_counted_by_hand() -> None:
    crease = [a_fault("crease", "10")]
    told = read_out(computed(crease, shipped_chances(crease), grader_row().kernel).grades_now)
    # Around 8.0: .03 .10 .27 .45 .12 .03 from 6.5 to 9.0.
    assert (told.likeliest, told.low, told.high, told.share) == (
        Grade("8.0"),
        Grade("7.0"),
        Grade("8.5"),
        Fraction(4, 5),
    )
    assert told.at_least[Grade("7.5")] == Fraction(87, 100)
    assert told.at_least[Grade("0.5")] == 1


def test_defects_are_read_as_they_were_seen_and_claims_and_gone_ones_are_none() -> None:
    seen = [
        a_defect("d1", "crease", size_mm="2.5", breaks_colour=Answer.YES, count=2),
        a_defect("d2", gone=True),
        a_defect("d3", claimed_by=OpinionOf.SELLER),
        a_defect("d4", "surface-dirt", size_mm=None, share_percent=20, breaks_colour=Answer.UNSURE),
    ]
    first, second = faults_of(seen)
    assert (first.id, first.size_mm, first.count) == ("d1", Decimal("2.5"), 2)
    assert (first.breaks_colour, first.face) == (True, "front")
    assert (second.id, second.share_percent, second.breaks_colour) == ("d4", 20, None)


@pytest.mark.parametrize("tone", Tone)
@pytest.mark.parametrize("suppleness", Suppleness)
def test_every_word_for_paper_is_one_that_the_table_of_ceilings_has_or_that_caps_nothing(
    tone: Tone, suppleness: Suppleness
) -> None:
    # From memory of published ten-point handbooks: straw 7.0, brown 5.5, stiff 4.0, cracks 1.5.
    caps = {"straw": "7.0", "brown": "5.5", "stiff": "4.0", "cracks when turned": "1.5"}
    expected = min((Grade(caps[each]) for each in (tone.value, suppleness.value) if each in caps), default=grades()[-1])
    paper = faults_of([], tone, suppleness)
    assert computed(paper, shipped_chances(paper), grader_row().kernel).held.grade == expected
