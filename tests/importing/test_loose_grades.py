"""A grade is read by its steps, kept whole as it was written, and shown with each thing once."""

import pytest

from tests.importing.test_reading import problems, read


def shown(text: str) -> str | None:
    found = read("title|number|grade", f"A B|1|{text}")
    assert not found.problems, found.problems
    return found.shown.get("grade")


@pytest.mark.parametrize(
    "text",
    [
        *("VG+ (4.5)", "9.2 NM-", "NM- 9.2", "NM- / 9.2", "9.2 (NM-)", "4.5/VG+", "NM-/9.2", "NM-, 9.2", "9.2: NM-"),
        *("9.2", "PR 0.5", "8.0-9.0", "VF/NM (9.0)", "NM 9.4 WP", "9.8 white pages", "9.4 OW/W", "grade 9.2"),
        *("9.4 NM, off-white to white pages", "9.4 (OW-W pages)", "9.2 out of 10"),
    ],
)
def test_a_grade_that_names_its_step_is_shown_as_it_was_written(text: str) -> None:
    assert shown(text) == text


@pytest.mark.parametrize(
    ("text", "step"),
    [
        *(("VF/NM", "9.0"), ("Fine+", "6.5"), ("Very Good", "4.0"), ("VG 4", "4.0"), ("9.20", "9.2"), (".5", "0.5")),
        *(("VFNM", "9.0"), ("FVF", "7.0"), ("V.G.", "4.0"), ("Grade: VG", "4.0"), ("VG copy", "4.0"), ("VG?", "4.0")),
        *(("about VG", "4.0"), ("VG, cream pages", "4.0"), ("VG to FN", "4.0 to 6.0"), ("4-5", "4.0 to 5.0")),
    ],
)
def test_any_other_is_shown_with_its_step(text: str, step: str) -> None:
    assert shown(text) == f"{text} ({step})"
    assert read("title|number|grade", f"A B|1|{text}").read["grade"].as_written == text


@pytest.mark.parametrize(
    ("text", "holding", "steps"),
    [("raw", "raw", []), ("Ungraded", "raw", []), ("slabbed 9.2", "slabbed", ["9.2"]), ("VG (raw)", "raw", ["4.0"])],
)
def test_a_holding_beside_or_for_a_grade_is_read_as_that(text: str, holding: str, steps: list[str]) -> None:
    found = read("title|number|grade", f"A B|1|{text}")

    assert not found.problems
    assert found.shown["holding"] == holding
    assert ([each.text for each in found.read["grade"].steps] if steps else []) == steps


@pytest.mark.parametrize(
    ("text", "steps"),
    [("9.2/10", ["9.2"]), ("8 / 10", ["8.0"]), ("9.9/10", ["9.9", "10.0"]), ("9.2/9.4", ["9.2", "9.4"])],
)
def test_a_step_out_of_ten_is_that_step(text: str, steps: list[str]) -> None:
    assert [str(each) for each in read("title|number|grade", f"A B|1|{text}").read["grade"].steps] == steps


def test_a_holding_that_its_own_column_denies_is_a_problem() -> None:
    assert "Raw or slabbed says slabbed" in problems(read("title|number|grade|holding", "A B|1|raw|slab"))["grade"]


@pytest.mark.parametrize(
    "text", ["lovely", "9.3", "9.50", "VG (restored)", "apparent 9.2", "raw deal", "white pages", "VF++"]
)
def test_what_is_no_grade_stays_a_problem(text: str) -> None:
    assert "no grade" in problems(read("title|number|grade", f"A B|1|{text}"))["grade"]
