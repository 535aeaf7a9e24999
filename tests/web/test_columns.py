"""Words in columns: there is always room for them, and no leader crosses another."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tests.web.test_leaders import HIGH, LOW, boxes, crossed, overlapping, places
from web.columns import in_columns, side_by_side
from web.leaders import Wanted


@given(places, st.sampled_from((96.0, 120.0, 152.0)))
def test_columns_always_have_room_and_keep_the_order_of_their_marks(xs: list[float], width: float) -> None:
    wanted = [Wanted(x, 40 + index % 3 * 16, width) for index, x in enumerate(sorted(xs))]
    ways = list(in_columns(wanted, LOW, HIGH))
    assert ways
    for laid in ways:
        found = boxes(wanted, laid)
        assert overlapping(found) == []
        assert crossed(found, laid) == []
        assert all(box[0] + 0.01 >= LOW and box[1] <= HIGH + 0.01 for box in found)
        assert [at.x for at in laid] == sorted(at.x for at in laid)


def test_the_first_of_columns_stays_straight_where_only_the_end_pushed_it_aside() -> None:
    laid = next(in_columns([Wanted(0, 40, 150), Wanted(800, 40, 150)], LOW, HIGH))
    assert (laid[0].x, laid[0].left) == (0, False)
    assert laid[1].left


@given(
    st.lists(st.tuples(st.floats(0, 900), st.floats(10, 60)), min_size=1, max_size=12),
)
def test_what_stands_side_by_side_keeps_apart_and_within_its_bounds(parts: list[tuple[float, float]]) -> None:
    wished, wide = sorted(x for x, _ in parts), [width for _, width in parts]
    rights = side_by_side(wished, wide, 0.0, 900.0)
    lefts = [right - width for right, width in zip(rights, wide, strict=True)]
    assert min(lefts) >= -0.001
    assert max(rights) <= 900.001
    for (right, _), (_, left) in pairwise(zip(rights, lefts, strict=True)):
        assert right <= left + 0.001
