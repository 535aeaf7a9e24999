"""How far from the ceiling graders land: starting weights of our own, and what own results make of them."""

from collections import Counter
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from ledger.events.ruling import NewValue, Ruling
from ledger.rules._tables import Row, TableError, table
from ledger.rules.distributions import Distribution, certain
from ledger.rules.graders import Kernel, grader_row, learned, read_grader, spread, steps_above
from ledger.rules.grades import Grade, grades

STEPS = len(grades())
RESULTS = st.lists(st.integers(-3, 2), max_size=40)
WEIGHTS = st.lists(st.integers(0, 50), min_size=STEPS, max_size=STEPS).filter(any)


def ruled(**values: str) -> Row:
    new = tuple(NewValue(field=field, value=value) for field, value in values.items())
    ruling = Ruling(table="graders", row="any-service", version=table("graders").version, values=new)
    assert list(ruling.flaws()) == []
    return ruling.edited(table("graders").rows[0])


def test_the_starting_weights_are_those_we_assumed() -> None:
    # Our assumption: .03 three below, .10, .27, .45 at the ceiling, .12 one above, .03; prior strength 8.
    row = grader_row()
    assert {steps: row.kernel.share(steps) for steps in range(-4, 4)} == {
        -4: 0,
        -3: Fraction(3, 100),
        -2: Fraction(10, 100),
        -1: Fraction(27, 100),
        0: Fraction(45, 100),
        1: Fraction(12, 100),
        2: Fraction(3, 100),
        3: 0,
    }
    assert (row.strength, row.kernel.of) == (8, 1000)
    assert row.sources[0].startswith("our assumption")


def test_no_distance_within_two_steps_is_ever_impossible() -> None:
    # Common practice, no source: graders differ both ways.
    kernel = learned(grader_row(), [0] * 500)
    assert all(kernel.share(steps) > 0 for steps in range(-2, 3))
    with pytest.raises(TableError):
        read_grader(ruled(above_2="0"))


def test_own_results_are_added_as_computed_by_hand() -> None:
    # By hand: 8 x (.03 .10 .27 .45 .12 .03) = .24 .80 2.16 3.60 .96 .24; results -1, -1, 0, +1: of 12.
    kernel = learned(grader_row(), [-1, -1, 0, 1])
    assert [kernel.share(steps) for steps in range(-3, 3)] == [
        Fraction(24, 1200),
        Fraction(80, 1200),
        Fraction(416, 1200),
        Fraction(460, 1200),
        Fraction(196, 1200),
        Fraction(24, 1200),
    ]


def test_a_distance_that_was_never_thought_of_counts_as_often_as_it_was_met() -> None:
    kernel = learned(grader_row(), [-6, 0])
    assert kernel.share(-6) == Fraction(1, 10)
    assert sum(kernel.share(steps) for steps in kernel.weights) == 1


@given(RESULTS)
def test_the_posterior_is_the_mean_of_the_dirichlet_distribution(results: list[int]) -> None:
    # Against scipy.stats.dirichlet.
    row, counts = grader_row(), Counter(results)
    offsets = range(-3, 3)
    parameters = np.array([row.strength * float(row.kernel.share(each)) + counts[each] for each in offsets])
    found = [float(learned(row, results).share(each)) for each in offsets]
    assert found == pytest.approx(list(stats.dirichlet.mean(parameters)), abs=1e-12)


@given(WEIGHTS, RESULTS)
def test_a_spread_ceiling_is_numpys_convolution_with_the_ends_of_the_scale_kept(
    weights: list[int], results: list[int]
) -> None:
    kernel = learned(grader_row(), results)
    told = spread(Distribution(tuple(weights)), kernel)
    assert sum(told.shares) == 1
    # Against numpy.convolve: three places below the scale and two above it are put onto its ends.
    shares = np.array([float(share) for share in Distribution(tuple(weights)).shares])
    whole = np.convolve(shares, [float(kernel.share(steps)) for steps in range(-3, 3)])
    expected = whole[3 : 3 + STEPS].copy()
    expected[0] += whole[:3].sum()
    expected[-1] += whole[3 + STEPS :].sum()
    assert [float(share) for share in told.shares] == pytest.approx(list(expected), abs=1e-12)


@pytest.mark.parametrize(
    ("ceiling", "expected"),
    [
        ("8.0", {"6.5": 30, "7.0": 100, "7.5": 270, "8.0": 450, "8.5": 120, "9.0": 30}),
        ("10.0", {"9.6": 30, "9.8": 100, "9.9": 270, "10.0": 600}),
        ("0.5", {"0.5": 850, "1.0": 120, "1.5": 30}),
    ],
)
def test_a_ceiling_is_spread_as_the_weights_say_and_kept_inside_the_scale(
    ceiling: str, expected: dict[str, int]
) -> None:
    told = spread(certain(Grade(ceiling)), grader_row().kernel)
    found = zip(grades(), told.per_mille(), strict=True)
    assert {grade.text: part for grade, part in found if part} == expected


def test_a_ruling_counts_by_its_shares() -> None:
    row = read_grader(ruled(met="650", strength="20"))
    assert (row.kernel.share(0), row.strength) == (Fraction(650, 1200), 20)


@pytest.mark.parametrize("values", [{"strength": "0"}, {"below_1": "0"}, {"below_3": "-5"}])
def test_a_ruling_that_gives_no_weights_is_refused(values: dict[str, str]) -> None:
    with pytest.raises(TableError) as caught:
        read_grader(ruled(**values))
    assert caught.value.where == "graders, row any-service"


def test_steps_are_counted_on_the_scale() -> None:
    assert steps_above(Grade("9.2"), Grade("8.5")) == 2
    assert steps_above(Grade("8.0"), Grade("8.5")) == -1
    assert Kernel({0: 3, 1: 1}).share(1) == Fraction(1, 4)
