"""Words beside their leaders: none on another, no leader through a word, whatever lies how close together."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from web.leaders import Box, Laid, Wanted, lay, least_depth, text_width, wrapped

LOW, HIGH = -80.0, 990.0
places = st.lists(st.floats(0, 975), min_size=1, max_size=24, unique=True)


def boxes(wanted: list[Wanted], laid: tuple[Laid, ...]) -> list[Box]:
    """Left, right, top and bottom of what was laid."""
    return [
        (at.x - each.width if at.left else at.x, at.x if at.left else at.x + each.width, at.y, at.y + each.height)
        for each, at in zip(wanted, laid, strict=True)
    ]


def overlapping(found: list[Box]) -> list[tuple[Box, Box]]:
    return [
        (one, two)
        for one, two in combinations(found, 2)
        if min(one[1], two[1]) - max(one[0], two[0]) > 0.01 and min(one[3], two[3]) - max(one[2], two[2]) > 0.01
    ]


def crossed(found: list[Box], laid: tuple[Laid, ...]) -> list[tuple[Box, Laid]]:
    """Words through which the straight part of a leader runs."""
    return [(box, at) for box in found for at in laid if box[0] + 0.01 < at.x < box[1] - 0.01 and box[2] + 0.01 < at.y]


@given(places, st.sampled_from((96.0, 152.0)))
def test_straight_leaders_cross_no_words_and_words_lie_on_no_other(xs: list[float], width: float) -> None:
    wanted = [Wanted(x, 40 + index % 3 * 16, width) for index, x in enumerate(sorted(xs))]
    laid = lay(wanted, LOW, HIGH)
    if laid is not None:
        found = boxes(wanted, laid)
        assert overlapping(found) == []
        assert crossed(found, laid) == []
        assert all(box[0] >= LOW and box[1] <= HIGH for box in found)
        assert [at.x for at in laid] == [each.x for each in wanted]
        assert max(box[3] for box in found) >= least_depth(wanted) - 0.01


def test_marks_far_apart_have_their_words_at_the_right_on_one_height() -> None:
    laid = lay([Wanted(0, 40, 100), Wanted(300, 40, 100), Wanted(600, 40, 100)], LOW, HIGH)
    assert laid is not None
    assert [(at.y, at.left) for at in laid] == [(0, False)] * 3


def test_words_that_would_reach_over_the_right_end_stand_at_the_left() -> None:
    laid = lay([Wanted(0, 40, 100), Wanted(970, 40, 100)], LOW, HIGH)
    assert laid is not None
    assert [at.left for at in laid] == [False, True]


def test_a_row_of_close_marks_parts_into_two_half_as_deep() -> None:
    laid = lay([Wanted(400 + 20 * index, 40, 100) for index in range(8)], LOW, HIGH)
    assert laid is not None
    assert [at.left for at in laid] == [True] * 4 + [False] * 4
    assert max(at.y for at in laid) == 3 * 40


def test_nothing_is_laid_on_what_is_taken() -> None:
    laid = lay([Wanted(50, 40, 100), Wanted(140, 40, 100)], LOW, HIGH, [(-90.0, 0.0, 0.0, 12.0)])
    assert laid is not None
    assert [(at.y, at.left) for at in laid] == [(12, True), (0, False)]


def test_marks_that_cannot_be_laid_straight_are_said_to_be_so() -> None:
    # The first has room at its right alone, the last at its left alone, and all between them lie too close to part.
    assert lay([Wanted(float(x), 40, 152) for x in range(0, 990, 66)], 0.0, 990.0) is None


def test_a_text_is_parted_at_its_spaces_and_never_within_a_date() -> None:
    assert wrapped("Hung on the wall", 90) == ("Hung on the", "wall")
    assert wrapped("written 19\N{NO-BREAK SPACE}Jul\N{NO-BREAK SPACE}2023", 90) == (
        "written",
        "19\N{NO-BREAK SPACE}Jul\N{NO-BREAK SPACE}2023",
    )


def test_what_has_no_room_ends_in_an_ellipsis() -> None:
    assert wrapped("one two three four five six seven", 60, lines=2) == ("one two", "three …")
    assert wrapped("Donaudampfschifffahrt", 80) == ("Donauda…",)


@pytest.mark.parametrize(
    ("text", "measured"),
    # Source: measured in a browser in the sans of static/fonts at 13 px, rounded to a tenth.
    [("Hung on the wall", 99.9), ("30 Dec 2023", 79.7), ("Dry surface cleaning", 123.5), ("MW", 25.4)],
)
def test_a_text_is_held_for_as_wide_as_it_is_or_a_little_wider(text: str, measured: float) -> None:
    assert measured <= text_width(text) <= measured * 1.12
