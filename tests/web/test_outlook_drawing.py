"""The drawing of an outlook: steps equally wide, chances as heights, nothing lost where only a part is drawn."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.grades import Grade, grades
from web.outlook_drawing import COLUMN, MOST, hundredths, outlook_drawing

OWN = {Grade("7.0"): Fraction(1, 4), Grade("7.5"): Fraction(1, 2), Grade("8.0"): Fraction(1, 4)}
COMPUTED = {Grade("6.5"): Fraction(1, 5), Grade("7.5"): Fraction(2, 5), Grade("8.5"): Fraction(2, 5)}


def test_all_steps_are_equally_wide_whatever_their_numbers() -> None:
    drawn = outlook_drawing(OWN, COMPUTED)
    assert [each.word for each in drawn.columns] == [str(each) for each in grades()]
    assert {b.x - a.x for a, b in zip(drawn.columns, drawn.columns[1:], strict=False)} == {COLUMN}


def test_heights_are_as_the_chances_on_both_sides() -> None:
    drawn = outlook_drawing(OWN, COMPUTED)
    own = {each.word: each.own for each in drawn.columns if each.own}
    computed = {each.word: each.computed for each in drawn.columns if each.computed}
    assert {word: bar.height for word, bar in own.items()} == {"7.0": MOST / 2, "7.5": MOST, "8.0": MOST / 2}
    assert {word: bar.height for word, bar in computed.items()} == {"6.5": 76.0, "7.5": 152.0, "8.5": 152.0}
    assert all(bar.y + bar.height == drawn.line for bar in own.values())
    assert all(bar.y == drawn.below for bar in computed.values())


def test_ceiling_break_even_and_result_stand_at_their_steps() -> None:
    drawn = outlook_drawing(
        OWN, COMPUTED, ceiling=Grade("8.0"), break_even=Grade("7.0"), result=Grade("7.5"), whole=True
    )
    by_word = {each.word: each for each in drawn.columns}
    assert drawn.bracket is not None
    assert drawn.bracket.x == by_word["8.0"].x + COLUMN
    assert drawn.tick == by_word["7.0"].x
    assert [each.word for each in drawn.columns if each.result] == ["7.5"]
    assert drawn.stamp is not None
    assert drawn.stamp.word == "7.5"


@given(st.dictionaries(st.integers(0, 24), st.integers(1, 1000), min_size=1, max_size=6), st.booleans())
def test_the_stamp_covers_no_own_bar_and_lies_in_the_drawing(weights: dict[int, int], whole: bool) -> None:  # noqa: FBT001 - drawn
    total = sum(weights.values())
    own = {Grade.at(step): Fraction(weight, total) for step, weight in weights.items()}
    drawn = outlook_drawing(own, {}, result=Grade.at(min(weights)), whole=whole)
    assert drawn.stamp is not None
    left, right = drawn.stamp.x - 44, drawn.stamp.x + 44
    assert left >= 0
    assert right <= drawn.width
    if max(weights) <= 21 or min(weights) >= 3:
        bars = [each.own for each in drawn.columns if each.own]
        assert all(each.x + 38 <= left or each.x >= right for each in bars)


def test_no_more_room_is_kept_below_than_the_computed_bars_need() -> None:
    low = outlook_drawing({Grade("7.5"): Fraction(1)}, {Grade("7.0"): Fraction(1, 2), Grade("7.5"): Fraction(1, 2)})
    deepest = max(each.computed.y + each.computed.height for each in low.columns if each.computed)
    assert low.height - deepest < 80


@pytest.mark.parametrize(
    ("chance", "shown"),
    [
        (Fraction(0), "0"),
        (Fraction(1, 1000), "<1"),
        (Fraction(1, 100), "1"),
        (Fraction(2, 5), "40"),
        (Fraction(999, 1000), ">99"),
        (Fraction(1), "100"),
    ],
)
def test_a_chance_is_never_shown_as_none_or_as_certain_when_it_is_not(chance: Fraction, shown: str) -> None:
    assert hundredths(chance) == shown


@given(
    st.dictionaries(st.integers(0, 24), st.integers(1, 1000), min_size=1, max_size=25),
    st.integers(0, 24),
)
def test_a_part_of_the_scale_leaves_out_no_bar_and_no_mark(weights: dict[int, int], ceiling: int) -> None:
    whole = sum(weights.values())
    own = {Grade.at(step): Fraction(weight, whole) for step, weight in weights.items()}
    marked = Grade.at(ceiling)
    part = outlook_drawing(own, {}, ceiling=marked, whole=False)
    full = outlook_drawing(own, {}, ceiling=marked)
    assert [each.word for each in part.columns if each.own] == [each.word for each in full.columns if each.own]
    assert str(marked) in {each.word for each in part.columns}
    assert len(part.columns) >= 7
    assert part.width == len(part.columns) * COLUMN
