"""An outlook as people write it: what is read, how the rest is shared, and what a refusal says to do."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import triang

from ledger.outlook_said import LONGEST, OutlookSaidError, read_outlook
from ledger.outlook_spread import REST_STEPS, SPREAD_RULE, TRIANGLE_RULE, Side, share_rest, triangle
from ledger.proof.report import MalformedError
from ledger.rules.grades import Grade, grades

STEPS = len(grades())


def read(text: str) -> dict[str, int]:
    return {grade.text: weight for grade, weight in read_outlook(text).weights}


def refusal(text: str) -> str:
    with pytest.raises(OutlookSaidError) as caught:
        read_outlook(text)
    return str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "7.5 60, 8.0 40",
        "7.5 60,8 40",
        "60 % 7.5, 40 % 8.0",
        "60% 7.5 and 40% 8.0",
        "60 per cent 7.5, 40 percent 8.0",
        "60 7.5, 40 8.0",
        "7.5: 60 %, 8.0: 40 %",
        "7.5 = 60; 8.0 = 40",
        "60% 7,5; 40% 8,0",
        "VF- 60, VF 40",
        "VF 8.0 40, VF- 7.5 60",
        "7.5 60\n8.0 40",
        "8.0 40, rest 7.5",
        "8.0 40, the rest 7.5",
    ],
)
def test_the_same_outlook_is_read_from_many_spellings(text: str) -> None:
    assert read(text) == {"7.5": 600, "8.0": 400}
    assert read_outlook(text).how == ""


def test_a_bare_pair_is_grade_and_chance_where_its_first_part_is_a_grade() -> None:
    assert read("10 10, 9.9 90") == {"9.9": 900, "10.0": 100}


def test_the_rest_below_halves_from_step_to_step() -> None:
    # By hand: 15 % over four steps in the proportion 8 : 4 : 2 : 1 are 8, 4, 2 and 1 %.
    found = read_outlook("60 % 7.5, 25 % 8.0, rest below")
    assert {grade.text: weight for grade, weight in found.weights} == {
        "5.5": 10, "6.0": 20, "6.5": 40, "7.0": 80, "7.5": 600, "8.0": 250,
    }  # fmt: skip
    assert found.how == SPREAD_RULE
    assert [grade.step for grade, _ in found.weights] == sorted(grade.step for grade, _ in found.weights)


def test_the_rest_above_and_on_both_sides() -> None:
    assert read("60 % 7.5, 25 % 8.0, rest above") == {
        "7.5": 600, "8.0": 250, "8.5": 80, "9.0": 40, "9.2": 20, "9.4": 10,
    }  # fmt: skip
    assert read("7.5 70, rest") == {
        "5.5": 10, "6.0": 20, "6.5": 40, "7.0": 80, "7.5": 700, "8.0": 80, "8.5": 40, "9.0": 20, "9.2": 10,
    }  # fmt: skip


def test_a_side_with_fewer_steps_halves_over_those_and_one_without_a_step_leaves_its_part_to_the_other() -> None:
    assert read("9.8 70, rest above") == {"9.8": 700, "9.9": 200, "10.0": 100}
    assert read("10.0 85, rest") == {"9.4": 10, "9.6": 20, "9.8": 40, "9.9": 80, "10.0": 850}


def test_three_grades_are_low_likely_and_high() -> None:
    # By hand: with ends F steps away the weights are 1, 1 - 1 / F and 1 - 2 / F, and 80 % from low to high mean F = 2.8.
    # That is 1.8667 x 1.5, so 1.87 x 1.5 = 2.805 is taken: 2.805, 1.805 and 0.805 of 8.025.
    expected = {"6.5": 100, "7.0": 225, "7.5": 350, "8.0": 225, "8.5": 100}
    for text in ("7.0 / 7.5 / 8.0", "7/7.5/8", "7.0 7.5 8.0", "7.0, 7.5, 8.0", "7.0 - 7.5 - 8.0", "FN/VF / VF- / VF"):
        assert read(text) == expected
        assert read_outlook(text).how == TRIANGLE_RULE


def test_a_name_with_a_slash_in_it_stands_between_slashes_with_spaces() -> None:
    assert read("VF/NM / NM- / NM") == read("9.0 / 9.2 / 9.4")


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("", "Write it like"),
        (" , ;", "Write it like"),
        ("perhaps", "Write it like"),
        ("rest below", "no grade with its chance is named. Write it like"),
        ("7.5", "Say how likely it is, as in 7.5 60."),
        ("9.2 60", "Say where the other 40 % lie: rest below, rest above, rest, or rest with a grade."),
        ("9.2 99.5", "Say where the other 0.5 % lie"),
        ("7.5 60, 8.0 50", "the chances are 110 % together. Take 10 % off."),
        ("7.5 60, 7.5 40", "grade 7.5 is named twice. Put its two chances into one."),
        ("7.7 60, rest", "Write 7.5 or 8.0."),
        ("60 % 7.7, rest", "Write 7.5 or 8.0."),
        ("60 7.7, rest", "Write 7.5 or 8.0."),
        ("8.0-8.5 40, 9.0 60", "is more than one step (8.0, 8.5). Give each step a chance of its own."),
        ("60% 7.5 40% 8.0", "has 2 chances. Part them with commas."),
        ("110 % 9.2", "110 % is more than all. All chances are 100 % together."),
        ("0.5 90, rest below", "nothing lies below 0.5. Give the rest to a grade"),
        ("10.0 90, rest above", "nothing lies above 10.0. Give the rest to a grade"),
        ("7.5 60, rest below, rest above", "the rest is named twice. Keep one of them."),
        ("7.5 60, rest sideways", "Write a step such as 9.2"),
        ("8.0 / 7.5 / 9.0", "8.0, 7.5, 9.0 do not rise. Write the low grade, the likely one, the high one."),
        ("7.5 " * LONGEST, f"longer than {LONGEST} signs"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_mend(text: str, mend: str) -> None:
    assert mend in refusal(text)
    assert refusal(text).startswith("Outlook: ")


@given(st.text(max_size=80) | st.text("0123456789.,;%/ rest below", max_size=40))
@settings(deadline=None)
def test_any_text_is_a_thousand_thousandths_or_is_refused_in_words(text: str) -> None:
    try:
        found = read_outlook(text)
    except MalformedError:
        assert refusal(text)
        return
    assert sum(weight for _, weight in found.weights) == 1000
    assert all(weight > 0 for _, weight in found.weights)
    assert len({grade for grade, _ in found.weights}) == len(found.weights)


@pytest.mark.parametrize("text", ["0.5 30, 10.0 30, rest", "0.5 30, 10.0 30, rest around"])
def test_where_no_step_is_left_on_either_side_the_rest_is_refused(text: str) -> None:
    assert "no step is left for the rest. Give the rest to a grade" in refusal(text)


sides = st.sampled_from(["rest below", "rest above", "rest", "rest 7.0"])


@pytest.mark.long
@settings(deadline=None)
@given(st.lists(st.integers(0, STEPS - 1), min_size=1, max_size=6, unique=True), st.data(), sides)
def test_whatever_is_named_keeps_its_chance_and_all_of_it_is_a_thousand(
    steps: list[int], data: st.DataObject, rest: str
) -> None:
    tenths = [data.draw(st.integers(1, 1000 // len(steps))) for _ in steps]
    text = ", ".join(f"{Grade.at(step)} {tenth / 10}" for step, tenth in zip(steps, tenths, strict=True)) + f", {rest}"
    room = {"rest below": min(steps) > 0, "rest above": max(steps) < STEPS - 1, "rest 7.0": True}
    if not room.get(rest, room["rest below"] or room["rest above"]):
        assert sum(tenths) == 1000 or "Give the rest to a grade" in refusal(text)
        return
    found = read(text)
    assert sum(found.values()) == 1000
    for step, tenth in zip(steps, tenths, strict=True):
        if not (rest == "rest 7.0" and Grade.at(step).text == "7.0"):
            assert found[Grade.at(step).text] == tenth


@given(st.integers(0, STEPS - 1), st.integers(0, STEPS - 1), st.sampled_from(Side))
def test_a_rest_is_kept_whole_and_each_step_has_half_of_the_one_before(one: int, other: int, side: Side) -> None:
    lowest, highest = sorted((one, other))
    found = share_rest(Fraction(15), lowest, highest, side, STEPS)
    if not found:
        assert (side is not Side.ABOVE and lowest == 0) or (side is not Side.BELOW and highest == STEPS - 1)
        return
    assert sum(found.values()) == 15
    for step, share in found.items():
        assert not lowest <= step <= highest
        further = step - 1 if step < lowest else step + 1
        assert further not in found or found[further] * 2 == share
    assert len(found) <= 2 * REST_STEPS


three = st.lists(st.integers(0, STEPS - 1), min_size=3, max_size=3).map(sorted)


@pytest.mark.long
@settings(deadline=None)
@given(three)
def test_of_three_grades_the_likely_one_is_likeliest_and_the_weights_fall_to_both_sides(steps: list[int]) -> None:
    low, likely, high = steps
    shares = triangle(low, likely, high, STEPS)
    assert sum(shares) == 1
    assert max(shares) == shares[likely]
    assert list(shares[: likely + 1]) == sorted(shares[: likely + 1])
    assert list(shares[likely:]) == sorted(shares[likely:], reverse=True)
    assert sum(shares[low : high + 1]) > Fraction(3, 4)
    assert (
        sum(weight for _, weight in read_outlook(f"{Grade.at(low)} {Grade.at(likely)} {Grade.at(high)}").weights)
        == 1000
    )


@pytest.mark.parametrize(("low", "likely", "high"), [(400, 500, 600), (450, 500, 700), (300, 500, 520)])
def test_over_very_many_steps_it_is_the_triangular_distribution_of_scipy(low: int, likely: int, high: int) -> None:
    # Between low and high lie 80 % of a triangle whose ends are 1 / (1 - sqrt(0.2)) = 1.809 times as far from its mode.
    wide = 1 / (1 - 0.2**0.5)
    left, right = wide * (likely - low), wide * (high - likely)
    theirs = triang(c=left / (left + right), loc=likely - left, scale=left + right)
    shares = triangle(low, likely, high, 1000)
    assert theirs.cdf(high) - theirs.cdf(low) == pytest.approx(0.8)
    for at in range(0, 1000, 50):
        assert float(sum(shares[:at])) == pytest.approx(theirs.cdf(at), abs=0.02)
