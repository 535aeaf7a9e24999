"""How likely each ceiling is: against every case counted out, against a simulation, and what must hold of any book."""

import random
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.rules.book_ceiling import Fault, Left, ceiling_of
from ledger.rules.ceiling_chances import ceiling_chances, shipped_chances, with_chances
from ledger.rules.chances import Chances
from ledger.rules.grades import Grade, grades
from tests.rules.faults import CHANCES, a_fault, books, by_enumeration, chances_for

STEPS = len(grades())


@settings(max_examples=40, deadline=None)
@given(books(0, 5), st.data())
def test_it_is_what_counting_out_every_case_gives(found: tuple[Fault, ...], data: st.DataObject) -> None:
    chances = data.draw(chances_for(found))
    counted = by_enumeration(found, chances)
    of = sum(counted)
    assert ceiling_chances(found, chances).shares == tuple(Fraction(weight, of) for weight in counted)


@settings(max_examples=20, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(("front", "back")), st.integers(1, 400)), min_size=5, max_size=6),
    st.sampled_from(("bend", "spine-tick", "edge-dent")),
    st.data(),
)
def test_it_is_so_for_many_of_one_type(sizes: list[tuple[str, int]], kind: str, data: st.DataObject) -> None:
    found = [
        a_fault(kind, str(size / 10), id=f"d{number}", face=face, breaks_colour=size % 3 == 0 and kind != "bend")
        for number, (face, size) in enumerate(sizes)
    ]
    chances = data.draw(chances_for(found))
    counted = by_enumeration(found, chances)
    assert ceiling_chances(found, chances).shares == tuple(Fraction(weight, sum(counted)) for weight in counted)


@given(books(0, 12), st.data())
def test_it_adds_up_to_one_exactly(found: tuple[Fault, ...], data: st.DataObject) -> None:
    assert sum(ceiling_chances(found, data.draw(chances_for(found))).shares) == 1


@given(books(1, 8), st.data())
def test_raising_a_chance_of_gone_at_the_cost_of_the_same_never_lowers_a_step_or_better(
    found: tuple[Fault, ...], data: st.DataObject
) -> None:
    chances = data.draw(chances_for(found))
    name = data.draw(st.sampled_from([each.id for each in found]))
    more = data.draw(st.fractions(0, 1, max_denominator=20))
    before = ceiling_chances(found, chances)
    after = ceiling_chances(found, with_chances(chances, name, chances[name].eased_by(more)))
    for grade in grades():
        assert after.at_least(grade) >= before.at_least(grade)


@given(books(1, 8), st.data())
def test_a_step_easier_never_lowers_a_step_or_better(found: tuple[Fault, ...], data: st.DataObject) -> None:
    chances = data.draw(chances_for(found))
    name = data.draw(st.sampled_from([each.id for each in found]))
    now = chances[name]
    easier = Chances(now.gone + now.lessened, now.same, 0)
    before, after = (ceiling_chances(found, each) for each in (chances, with_chances(chances, name, easier)))
    assert all(after.at_least(grade) >= before.at_least(grade) for grade in grades())


@pytest.mark.long
@pytest.mark.parametrize("seed", [1, 2])
def test_a_seeded_simulation_of_ten_thousand_rounds_agrees_within_four_and_a_half_deviations(seed: int) -> None:
    draw = random.Random(seed)
    kinds = [("crease", True), ("bend", False), ("edge-dent", False), ("fold", False), ("spine-tick", True)]
    found = [
        a_fault(kind, str(draw.randint(2, 60) / 2), id=f"d{number}", breaks_colour=breaks)
        for number, (kind, breaks) in enumerate(draw.choices(kinds, k=12))
    ]
    chances = {each.id: Chances(draw.randint(1, 9), draw.randint(1, 9), draw.randint(1, 9)) for each in found}
    rounds = 10_000
    reached = [0] * STEPS
    seen: dict[tuple[Left, ...], int] = {}
    for _ in range(rounds):
        left = tuple(draw.choices(list(Left), (each.gone, each.lessened, each.same))[0] for each in chances.values())
        if left not in seen:
            seen[left] = ceiling_of(found, dict(zip(chances, left, strict=True))).step
        reached[seen[left]] += 1
    exact = ceiling_chances(found, chances)
    for step in range(STEPS):
        chance = float(exact.at_least(Grade.at(step)))
        allowed = 4.5 * sqrt(chance * (1 - chance) / rounds) + 1e-9
        assert sum(reached[step:]) / rounds == pytest.approx(chance, abs=allowed)


def test_one_bend_and_one_crease_are_as_computed_by_hand() -> None:
    # Bend of 30 mm: gone .80, lessened to 25 mm .15 (9.2), same .05 (8.5). Crease of 10 mm: lessened .45 (9.0), same
    # .55 (8.0). 8.0 whenever the crease stays; else 8.5 where the bend does, and 9.0 otherwise.
    found = [a_fault("bend", "30"), a_fault("crease", "10")]
    told = ceiling_chances(found, shipped_chances(found))
    assert {grade.text: told.chance_of(grade) for grade in grades() if told.chance_of(grade)} == {
        "8.0": Fraction(55, 100),
        "8.5": Fraction(45 * 5, 10000),
        "9.0": Fraction(45 * 95, 10000),
    }


def test_a_bend_that_is_certain_to_go_does_not_cap() -> None:
    bend = a_fault("bend", "200")
    told = ceiling_chances([bend], {"bend": Chances(1, 0, 0)})
    assert told.chance_of(Grade("10.0")) == 1


def test_a_book_without_defects_has_the_top_of_the_scale() -> None:
    assert ceiling_chances([], {}).chance_of(Grade("10.0")) == 1


def test_a_defect_that_cannot_be_read_is_left_out() -> None:
    found = [a_fault("crease", id="d1"), a_fault("edge-dent", "1", id="d2")]
    told = ceiling_chances(found, {each.id: Chances(0, 0, 1) for each in found})
    assert told.chance_of(Grade("9.4")) == 1


@given(CHANCES)
def test_chances_are_changed_for_one_defect_alone(instead: Chances) -> None:
    found = [a_fault("bend", "30"), a_fault("crease", "10")]
    chances = shipped_chances(found)
    changed = with_chances(chances, "crease", instead)
    assert dict(changed) == {**chances, "crease": instead}
    with pytest.raises(KeyError):
        with_chances(chances, "d9", instead)


def test_chances_are_needed_for_every_defect() -> None:
    with pytest.raises(KeyError):
        ceiling_chances([a_fault("bend", "30")], {})
