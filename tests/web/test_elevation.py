"""Walls to scale: where a book stands in the drawing, what is left out, and where a label has room."""

from itertools import pairwise
from typing import Any

import pytest

from ledger.views import HungRow
from web.elevation import BREAK_PX, LABEL_PX, LEAST_PX, MOST_PX, PAGE_PX, RULER_PX, elevations
from web.wall_shapes import Elevation, Hung, Named


def a_row(x_cm: str | None = "100", y_cm: str | None = "150", **changes: Any) -> HungRow:
    """A raw book of 180 by 260 mm."""
    given: dict[str, Any] = dict.fromkeys(HungRow._fields)
    size = {"width_mm": "180", "height_mm": "260", "holding": "raw"}
    return HungRow(
        **{**given, "book": "b", "no": 1, "title": "Alpha", "number": "1", **size, "x_cm": x_cm, "y_cm": y_cm} | changes
    )


def a_wall(*rows: HungRow, width_cm: float | None = None, title: str = "Hall") -> Named:
    return Named(title=title, hung=rows, width_cm=width_cm)


def drawn(*rows: HungRow, width_cm: float | None = None) -> Elevation:
    (found,) = elevations([a_wall(*rows, width_cm=width_cm)])
    return found


def middle(each: Hung) -> float:
    return each.x + each.copy.whole_width / 2


def test_no_wall_is_drawn_where_nothing_hangs() -> None:
    assert elevations([]) == elevations([a_wall()]) == ()


def test_a_book_hangs_where_it_was_hung_at_its_own_size() -> None:
    found = drawn(a_row("100", "150"), a_row("140", "160"))
    first, second = found.hung
    assert first.copy.whole_width == pytest.approx(18 * found.one_cm, abs=0.1)
    assert first.copy.whole_height == pytest.approx(26 * found.one_cm, abs=0.1)
    assert middle(second) - middle(first) == pytest.approx(40 * found.one_cm, abs=0.2)
    assert first.y - second.y == pytest.approx(10 * found.one_cm, abs=0.2)
    # The ruler's figure of 140 cm stands below the middle of the book that hangs there, 160 beside the other's height.
    assert next(each.at for each in found.stretches[0].figures if each.cm == 140) == pytest.approx(
        middle(second), abs=0.2
    )
    height = next(each.at for each in found.heights if each.cm == 160)
    assert height == pytest.approx(second.y + second.copy.whole_height / 2, abs=0.2)


def test_a_holder_reaches_beyond_the_book_on_every_side() -> None:
    found = drawn(a_row(holding="slabbed"))
    copy = found.hung[0].copy
    # Our assumption: two centimetres on each side, two and a half at either end.
    assert copy.whole_width == pytest.approx((18 + 4) * found.one_cm, abs=0.1)
    assert copy.whole_height == pytest.approx((26 + 5) * found.one_cm, abs=0.1)
    assert copy.in_holder
    assert copy.side == pytest.approx(2 * found.one_cm, abs=0.1)
    assert copy.end == pytest.approx(2.5 * found.one_cm, abs=0.1)


def test_a_book_that_nobody_measured_is_as_large_as_those_of_its_year() -> None:
    found = drawn(a_row(width_mm=None, height_mm=None, cover_date="194X"))
    assert not found.hung[0].copy.measured
    # Common practice, no source: 197 by 267 mm up to 1955.
    assert found.hung[0].copy.width == pytest.approx(19.7 * found.one_cm, abs=0.1)


def test_books_of_unknown_place_hang_side_by_side_at_one_height() -> None:
    found = drawn(*(a_row(None, None) for _ in range(4)))
    assert not found.known
    lefts = [each.x for each in found.hung]
    steps = {round(after - before) for before, after in pairwise(lefts)}
    assert steps == {round((18 + 14) * found.one_cm)}
    assert found.centre == pytest.approx((found.top_cm - 150) * found.one_cm, abs=0.1)
    assert (found.cut_left, found.cut_right) == (True, True)
    assert found.caption.startswith("Side by side")


def test_a_book_of_unknown_place_hangs_to_the_right_of_those_whose_place_is_known() -> None:
    found = drawn(a_row("200"), a_row(None, None), a_row("100"))
    assert [each.placed for each in found.hung] == [True, True, False]
    assert [each.x_cm for each in found.hung] == [100, 200, 209 + 14 + 9]
    assert found.caption.endswith("One stands at the right, since where it hangs is not entered.")


def test_a_measure_without_the_other_is_no_place() -> None:
    assert not drawn(a_row("100", None)).hung[0].placed


def test_a_long_bare_part_of_the_wall_is_left_out_with_its_length() -> None:
    found = drawn(a_row("50"), a_row("250"))
    first, second = found.stretches
    assert (first.from_cm, first.to_cm, second.from_cm, second.to_cm) == (21, 79, 221, 279)
    assert (first.left_out_cm, second.left_out_cm) == (142, 0)
    assert second.x == pytest.approx(first.x + first.width + BREAK_PX, abs=0.2)
    assert middle(found.hung[1]) == pytest.approx(second.x + 29 * found.one_cm, abs=0.2)


def test_a_short_bare_part_is_drawn() -> None:
    assert len(drawn(a_row("50"), a_row("130")).stretches) == 1


def test_a_wall_ends_where_it_does_and_goes_on_elsewhere() -> None:
    found = drawn(a_row("20"), a_row("60"), width_cm=75)
    assert (found.stretches[0].from_cm, found.stretches[0].to_cm) == (0, 75)
    assert (found.cut_left, found.cut_right) == (False, False)
    assert found.caption == "From 0 to 75 cm of a wall 75 cm wide."
    assert drawn(a_row("20"), width_cm=300).cut_right
    assert drawn(a_row("20")).caption == "From 0 to 49 cm, counted from the left end."


@pytest.mark.parametrize("x_cm", ["0", "5", "412", "500"])
def test_a_book_over_the_end_of_its_wall_is_drawn_all_the_same(x_cm: str) -> None:
    found = drawn(a_row(x_cm), width_cm=412)
    assert found.hung[0].x + found.hung[0].copy.whole_width <= found.width + 0.2


def test_the_bare_wall_above_the_floor_is_cut_and_said() -> None:
    high, low = drawn(a_row(y_cm="150")), drawn(a_row(y_cm="70"))
    assert high.cut_cm > 0
    assert high.cut_cm % 5 == 0
    assert high.wall_height == pytest.approx((high.top_cm - high.cut_cm) * high.one_cm, abs=0.1)
    assert low.cut_cm == 0


def test_books_at_one_height_share_a_middle_line_and_others_have_none() -> None:
    assert drawn(a_row("20"), a_row("60")).centre is not None
    assert drawn(a_row("20"), a_row("60", "120")).centre is None


def test_all_walls_have_one_scale_and_in_one_row_one_floor() -> None:
    found = elevations([a_wall(a_row("50", "150")), a_wall(a_row("50", "100"), title="Study")])
    assert len({each.one_cm for each in found}) == 1
    assert len({(each.height, each.wall_height) for each in found}) == 1
    assert sum(each.width for each in found) <= PAGE_PX


def test_walls_below_each_other_are_cut_each_for_itself() -> None:
    long = a_wall(*(a_row(str(20 + 30 * number)) for number in range(10)))
    found = elevations([long, a_wall(a_row("50", "100"), title="Study")])
    assert found[0].cut_cm > found[1].cut_cm


@pytest.mark.parametrize("count", [1, 4, 9, 60])
def test_the_scale_is_the_largest_that_fits_and_not_beyond_reason(count: int) -> None:
    found = drawn(*(a_row(str(20 + 26 * number)) for number in range(count)))
    assert LEAST_PX <= found.one_cm <= MOST_PX
    if LEAST_PX < found.one_cm < MOST_PX:
        assert found.width == pytest.approx(PAGE_PX, abs=4)


def test_a_label_begins_at_the_left_edge_of_its_book_and_ends_before_the_next() -> None:
    found = drawn(a_row("30"), a_row("60"), a_row("100"))
    first, second, last = found.hung
    assert all(each.label_shown and each.label_x == each.x for each in found.hung)
    assert first.label_x + first.label_width < second.x
    assert last.label_width == LABEL_PX
    assert first.label_y > first.y + first.copy.whole_height


def test_a_label_without_room_is_shown_only_on_demand() -> None:
    stacked = drawn(a_row("30", "150"), a_row("32", "118"))
    low, high = stacked.hung
    assert (low.y_cm, low.label_shown, high.label_shown) == (118, True, False)
    crowded = drawn(a_row("30"), a_row("40"))
    assert [each.label_shown for each in crowded.hung] == [False, True]
    assert crowded.hung[0].label_width == LABEL_PX


def test_rows_are_drawn_from_the_lowest_up_so_that_a_label_opens_over_the_books_below() -> None:
    found = drawn(a_row("90", "150"), a_row("30", "152"), a_row("60", "110"), a_row("20", "108"))
    assert [(each.x_cm, each.y_cm) for each in found.hung] == [(20, 108), (60, 110), (30, 152), (90, 150)]


def test_what_hangs_lies_within_the_drawing() -> None:
    found = drawn(a_row("30"), a_row("200", "60", holding="slabbed"), a_row(None, None), width_cm=412)
    for each in found.hung:
        assert each.x >= RULER_PX
        assert each.x + each.copy.whole_width <= found.width
        assert each.y >= 0
        assert each.y + each.copy.whole_height <= found.height
