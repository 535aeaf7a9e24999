"""Chances of gone, lessened and the same: starting values of our own, and what own results make of them."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from ledger.events.ruling import NewValue, Ruling
from ledger.rules._tables import Row, TableError, table
from ledger.rules.chances import (
    OF,
    ChanceRow,
    Chances,
    ChancesError,
    Eased,
    chance_row,
    chance_rows,
    read_chances,
    updated,
)
from ledger.rules.defects import DefectTypeError, defect_type, defect_types

COUNTS = st.integers(0, 60)
NUMBERS = st.tuples(COUNTS, COUNTS, COUNTS).filter(any)


def shipped(row: str) -> Row:
    found = table("chances").row(row)
    assert found is not None
    return found


def ruled(row: str, **values: str) -> Row:
    """The row as a ruling leaves it."""
    new = tuple(NewValue(field=field, value=value) for field, value in values.items())
    ruling = Ruling(table="chances", row=row, version=table("chances").version, values=new)
    assert list(ruling.flaws()) == []
    return ruling.edited(shipped(row))


@pytest.mark.parametrize("each", defect_types(), ids=lambda each: each.id)
def test_every_type_of_defect_has_one_row_with_and_one_without_a_break(each: object) -> None:
    name = getattr(each, "id", "")
    rows = [row for row in chance_rows() if row.type == name]
    assert sorted(row.breaks_colour for row in rows) in (["any"], ["no", "yes"])
    for breaks in (True, False, None):
        assert chance_row(name, breaks_colour=breaks) in rows


@pytest.mark.parametrize("each", chance_rows(), ids=lambda each: each.id)
def test_what_ships_adds_up_to_a_thousand_and_says_how_many_results_weigh_as_much(each: ChanceRow) -> None:
    assert each.chances.of == OF
    assert sum(each.chances.shares) == 1
    assert each.strength == 10
    assert all(source.startswith(("common practice, no source", "our assumption, editable")) for source in each.sources)


@pytest.mark.parametrize("each", defect_types(), ids=lambda each: each.id)
def test_broken_colour_never_goes_more_easily(each: object) -> None:
    name = getattr(each, "id", "")
    unbroken, broken = (chance_row(name, breaks_colour=breaks).chances for breaks in (False, True))
    assert broken.gone <= unbroken.gone
    assert broken.same >= unbroken.same


@pytest.mark.parametrize(
    ("name", "unbroken", "broken"),
    # Our assumption, of a thousand; starting values that the collector's own results replace.
    [
        ("spine-tick", (750, 200, 50), (0, 500, 500)),
        ("subscription-fold", (500, 450, 50), (0, 500, 500)),
        ("bend", (800, 150, 50), None),
        ("crease", None, (0, 450, 550)),
        ("corner-blunting", (250, 450, 300), (250, 450, 300)),
        ("tear", None, (0, 50, 950)),
        ("missing-piece", None, (0, 0, 1000)),
        ("surface-dirt", (600, 350, 50), None),
        ("shadow", (50, 200, 750), None),
    ],
)
def test_the_starting_chances_are_those_we_assumed(
    name: str, unbroken: tuple[int, int, int] | None, broken: tuple[int, int, int] | None
) -> None:
    for told, breaks in ((unbroken, False), (broken, True)):
        if told is not None:
            assert chance_row(name, breaks_colour=breaks).chances == Chances(*told)


def test_a_break_that_is_not_known_of_counts_as_one() -> None:
    assert chance_row("spine-tick", breaks_colour=None) == chance_row("spine-tick", breaks_colour=True)


def test_what_is_torn_lost_or_written_in_ink_never_goes_by_work_that_adds_nothing() -> None:
    # Common practice, no source: broken colour, tears, losses, stains in the fibre, tone and rust do not respond.
    stays = (
        "crease tear spine-split missing-piece abrasion gloss-loss stain tide-line paper-tone staple-rust ink-writing"
    )
    assert all(chance_row(name, breaks_colour=True).chances.gone == 0 for name in stays.split())


def test_bends_waves_rolls_and_dirt_mostly_go() -> None:
    # Common practice, no source: what responds to pressing and dry cleaning.
    goes = "bend fold indentation waviness spine-roll surface-dirt"
    assert all(chance_row(name, breaks_colour=False).chances.shares[0] > Fraction(1, 2) for name in goes.split())


def test_a_type_that_is_not_in_the_table_is_named_and_so_is_one_that_no_row_speaks_of() -> None:
    with pytest.raises(DefectTypeError):
        chance_row("wear-and-tear", breaks_colour=True)
    with pytest.raises(TableError) as caught:
        chance_row("bend", breaks_colour=True, rows=())
    assert "bend" in caught.value.problem


# --- rulings ------------------------------------------------------------------------------------------------------------


def test_a_ruling_counts_by_the_shares_of_its_numbers() -> None:
    row = read_chances(ruled("bend", gone="3", lessened="1", same="0"))
    assert row.chances.shares == (Fraction(3, 4), Fraction(1, 4), Fraction(0))
    assert row.sources[-1] == "a ruling of this collection"


@pytest.mark.parametrize(
    "values",
    [{"gone": "0", "lessened": "0", "same": "0"}, {"gone": "-1"}, {"strength": "0"}],
    ids=["nothing", "below zero", "no strength"],
)
def test_a_ruling_that_gives_no_chances_is_refused(values: dict[str, str]) -> None:
    with pytest.raises(TableError) as caught:
        read_chances(ruled("bend", **values))
    assert caught.value.where == "chances, row bend"


@pytest.mark.parametrize("numbers", [(0, 0, 0), (-1, 1, 1)])
def test_numbers_that_are_no_chances_are_refused(numbers: tuple[int, int, int]) -> None:
    with pytest.raises(ChancesError):
        Chances(*numbers)


# --- learning -----------------------------------------------------------------------------------------------------------


def test_own_results_are_added_to_the_starting_chances_as_computed_by_hand() -> None:
    # By hand: prior 10 x (0.80, 0.15, 0.05) = (8, 1.5, 0.5); counted (2, 5, 3); (10, 6.5, 3.5) of 20.
    row = chance_row("bend", breaks_colour=False)
    assert updated(row, Eased(gone=2, lessened=5, same=3)).shares == (
        Fraction(10, 20),
        Fraction(13, 40),
        Fraction(7, 40),
    )


def test_without_results_nothing_changes() -> None:
    for row in chance_rows():
        assert updated(row, Eased()).shares == row.chances.shares


@given(seen=st.tuples(COUNTS, COUNTS, COUNTS), row=st.sampled_from(chance_rows()))
def test_the_posterior_is_the_mean_of_the_dirichlet_distribution(seen: tuple[int, int, int], row: ChanceRow) -> None:
    # Against scipy.stats.dirichlet, whose parameters must be above zero: a part that is zero stays zero.
    parameters = row.strength * np.array([float(share) for share in row.chances.shares]) + np.array(seen)
    there = parameters > 0
    expected = np.zeros(3)
    expected[there] = stats.dirichlet.mean(parameters[there]) if there.sum() > 1 else 1.0
    found = [float(share) for share in updated(row, Eased(gone=seen[0], lessened=seen[1], same=seen[2])).shares]
    assert found == pytest.approx(list(expected), abs=1e-12)


@given(numbers=NUMBERS, more=st.fractions(0, 1, max_denominator=40))
def test_easing_a_chance_takes_from_the_same_first_and_still_makes_one(
    numbers: tuple[int, int, int], more: Fraction
) -> None:
    before = Chances(*numbers)
    after = before.eased_by(more)
    assert sum(after.shares) == 1
    assert after.shares[0] == min(before.shares[0] + more, 1)
    assert after.shares[2] == max(before.shares[2] - more, 0)


def test_every_row_names_a_type_that_the_table_of_defects_has() -> None:
    assert {row.type for row in chance_rows()} == {each.id for each in defect_types()}
    assert all(defect_type(row.type).id == row.type for row in chance_rows())
