"""What weighing comes to, in sentences."""

from fractions import Fraction

import pytest

from ledger.rules.grades import Grade
from ledger.rules.worth import BreakEven, Choice, Unvalued, Weighed
from ledger.rules.worth_gained import Gain
from web.worth_words import eased_words, even_words, of_hundred, unvalued_words

EIGHT = Grade("8.0")


@pytest.mark.parametrize(
    ("value", "chance", "words"),
    [
        (140, (3, 100), "adds 1.40\N{NO-BREAK SPACE}EUR to the expected value and 3 of 100 to the chance of 8.0"),
        (-140, (1, 200), "takes 1.40\N{NO-BREAK SPACE}EUR off the expected value, and adds 0.5 of 100"),
        (0, (0, 1), "changes neither the expected value nor the chance of 8.0 or better"),
    ],
)
def test_what_easing_a_defect_is_worth_is_said_in_one_sentence(value: int, chance: tuple[int, int], words: str) -> None:
    said = eased_words("this crease", Gain(value=Fraction(value), at_least=EIGHT, chance=Fraction(*chance)), "EUR", 2)
    assert said.startswith("Easing this crease further")
    assert words in said


def a_weighed(even: BreakEven | None) -> Weighed:
    zero = Fraction(0)
    return Weighed(
        choice=Choice.WORK_THEN_GRADE, currency="EUR", exponent=2, cost=zero, net=zero, low=zero, high=zero,
        loss=zero, break_even=even, days=None, heat=None,
    )  # fmt: skip


def test_the_break_even_names_grade_and_chances() -> None:
    even = BreakEven(needed=EIGHT, chance=Fraction(58, 100), held=Fraction(805, 1000))
    assert even_words(a_weighed(even)) == "8.0 or better is needed. It is held to be 80.5 of 100; 58 of 100 would do."
    assert even_words(a_weighed(None)) == "No step brings back what it costs."


def test_steps_without_a_value_are_named() -> None:
    said = unvalued_words(Unvalued(choice=Choice.WORK_THEN_GRADE, steps=(Grade("7.5"), EIGHT)))
    assert "7.5, 8.0 is not known" in said


@pytest.mark.parametrize(
    ("chance", "words"), [((1, 3), "33.3"), ((-1, 3), "\N{MINUS SIGN}33.3"), ((1, 1), "100"), ((1, 2000), "0")]
)
def test_chances_are_told_to_a_tenth_of_a_hundredth(chance: tuple[int, int], words: str) -> None:
    """By hand; a half of a tenth, 0.05, goes to the even one, which is 0."""
    assert of_hundred(Fraction(*chance)) == words
