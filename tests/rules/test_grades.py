"""The ten-point scale: 25 steps in order, without arithmetic, and grades as people write them."""

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from ledger.rules.grades import Grade, GradeError, grades, read_stated

# Common practice, no source.
SCALE = [
    "10.0",
    "9.9",
    "9.8",
    "9.6",
    "9.4",
    "9.2",
    "9.0",
    "8.5",
    "8.0",
    "7.5",
    "7.0",
    "6.5",
    "6.0",
    "5.5",
    "5.0",
    "4.5",
    "4.0",
    "3.5",
    "3.0",
    "2.5",
    "2.0",
    "1.8",
    "1.5",
    "1.0",
    "0.5",
]


def test_the_scale_has_exactly_25_steps_counted_from_the_lowest() -> None:
    assert [grade.text for grade in grades()] == SCALE[::-1]
    assert [grade.step for grade in grades()] == list(range(25))
    assert (Grade.at(0), Grade.at(24)) == (Grade("0.5"), Grade("10.0"))


def test_steps_are_ordered_by_number_and_not_as_text() -> None:
    assert all(lower < higher for lower, higher in pairwise(grades()))
    assert Grade("9.8") < Grade("10.0")
    assert sorted([Grade("10.0"), Grade("9.2"), Grade("9.8")]) == [Grade("9.2"), Grade("9.8"), Grade("10.0")]
    assert Grade("9.8").step - Grade("9.4").step == 2


def test_the_neighbours_of_a_step_are_the_steps_beside_it() -> None:
    step = Grade("9.8").step
    assert (Grade.at(step + 1).text, Grade.at(step - 1).text) == ("9.9", "9.6")


@pytest.mark.parametrize("act", [lambda a, b: a + b, lambda a, b: a - b, lambda a, b: a / 2, float])
def test_grades_have_no_arithmetic(act: Any) -> None:
    with pytest.raises(TypeError):
        act(*([Grade("9.2"), Grade("9.4")] if act is not float else [Grade("9.2")]))


@pytest.mark.parametrize(
    ("text", "neighbours"),
    [
        ("9.3", ("9.2", "9.4")),
        ("9.7", ("9.6", "9.8")),
        ("9.5", ("9.4", "9.6")),
        ("1.9", ("1.8", "2.0")),
        ("0.8", ("0.5", "1.0")),
        ("1.75", ("1.5", "1.8")),
        ("0.1", ("0.5",)),
        ("11", ("10.0",)),
        ("9", ("9.0",)),
        ("9.20", ("9.2",)),
        ("VF", ()),
        ("", ()),
        ("-1", ()),
    ],
)
def test_what_is_no_step_is_refused_naming_the_steps_beside_it(text: str, neighbours: tuple[str, ...]) -> None:
    with pytest.raises(GradeError) as caught:
        Grade.parse(text)
    assert caught.value.text == text
    assert caught.value.neighbours == neighbours
    assert all(step in caught.value.mend for step in neighbours)


def test_each_step_has_its_own_letters_and_words() -> None:
    # Common practice, no source.
    told = {grade.text: (grade.letters, grade.words) for grade in grades()}
    assert told["9.2"] == ("NM-", "near mint minus")
    assert told["9.0"] == ("VF/NM", "very fine/near mint")
    assert told["1.8"] == ("GD-", "good minus")
    assert told["0.5"] == ("PR", "poor")
    assert len(set(told.values())) == 25


@pytest.mark.parametrize("name", ["text", "letters", "words"])
def test_every_name_of_a_step_is_read_as_that_step(name: str) -> None:
    for grade in grades():
        written = getattr(grade, name)
        assert read_stated(written) == read_stated(written.lower()) == read_stated(f" {written.upper()} ") == (grade,)


@pytest.mark.parametrize(
    ("written", "steps"),
    [
        ("VF/NM", "9.0"),
        ("NM-", "9.2"),
        ("vf+", "8.5"),
        ("F/VF", "7.0"),
        ("Near Mint -", "9.2"),
        ("VF\u2212", "7.5"),
        ("10", "10.0"),
        ("9,2", "9.2"),
        ("(9.2)", "9.2"),
        ("VF/NM (9.0)", "9.0"),
        ("9.0 VF/NM", "9.0"),
        ("VF to NM", "8.0 8.5 9.0 9.2 9.4"),
        ("8.0-8.5", "8.0 8.5"),
        ("8.0 - 8.5", "8.0 8.5"),
        ("VF- 7.5", "7.5"),
        ("7.5 (VF-)", "7.5"),
        ("VF-/VF", "7.5 8.0"),
        ("8.5 \u2013 8.0", "8.0 8.5"),
        ("VF+ - NM-", "8.5 9.0 9.2"),
        ("fine to very fine", "6.0 6.5 7.0 7.5 8.0"),
        ("VG+/FN-", "4.5 5.0 5.5"),
        ("PR/FR", "0.5 1.0"),
    ],
)
def test_a_stated_grade_is_read_as_the_step_or_steps_it_means(written: str, steps: str) -> None:
    assert [grade.text for grade in read_stated(written)] == steps.split()


def test_letters_and_a_number_that_differ_give_both() -> None:
    assert [grade.text for grade in read_stated("NM 9.2")] == ["9.2", "9.4"]


@pytest.mark.parametrize(
    "written", ["", "nice copy", "9.3", "NM 9.3", "gloss 9.2", "9.2 / ungraded", "VF to", "8.0+", "?" * 61]
)
def test_what_cannot_be_read_gives_no_step(written: str) -> None:
    assert read_stated(written) == ()


@given(st.text(max_size=65) | st.text("0123456789.,/-+ vfnmtogd()", max_size=20))
def test_any_text_is_read_as_steps_in_order_or_as_none(written: str) -> None:
    steps = read_stated(written)
    assert list(steps) == sorted(set(steps))


@dataclass(frozen=True, kw_only=True)
class Opinion:
    """An event-like dataclass, read by pydantic."""

    grade: Grade = field(metadata={"title": "Grade given"})
    steps: tuple[Grade, ...] = ()


OPINION = TypeAdapter(Opinion)


def test_a_grade_goes_through_json_as_its_text() -> None:
    opinion = Opinion(grade=Grade("9.2"), steps=(Grade("9.0"), Grade("9.2")))
    text = '{"grade":"9.2","steps":["9.0","9.2"]}'
    assert OPINION.validate_json(text, strict=True) == opinion
    assert OPINION.dump_json(opinion).decode() == text
    assert OPINION.dump_python(opinion, mode="json") == {"grade": "9.2", "steps": ["9.0", "9.2"]}
    assert OPINION.validate_python({"grade": Grade("9.2"), "steps": ("9.0", "9.2")}) == opinion


def test_a_grade_that_is_none_is_refused_at_its_place_with_our_sentence() -> None:
    with pytest.raises(ValidationError) as caught:
        OPINION.validate_json('{"grade":"9.3","steps":["9.2","A"]}', strict=True)
    first, second = caught.value.errors()
    assert (first["loc"], second["loc"]) == (("grade",), ("steps", 1))
    assert first["ctx"]["error"].error.neighbours == ("9.2", "9.4")
    with pytest.raises(ValidationError):
        OPINION.validate_json('{"grade":9.2}', strict=True)


def test_the_schema_of_a_grade_lists_the_25_steps_from_the_best() -> None:
    schema = OPINION.json_schema()["properties"]["grade"]
    assert schema["enum"] == SCALE
    assert schema["title"] == "Grade given"
