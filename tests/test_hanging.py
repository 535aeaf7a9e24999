"""What hangs on a wall at its true size, what it lies over, and where one more has room."""

from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from ledger.events.room import Wall, Window
from ledger.hanging import Against, Clash, Extent, Piece, clashes, extent_of, free_spot, reach_of

WALL = Wall(id="n", width_cm="300", height_cm="250")
WINDOW = Window(wall="n", x_cm="200", y_cm="90", width_cm="80", height_cm="100")
RAW = Extent(width_cm=Decimal(18), height_cm=Decimal(26))


def a_piece(book: str, x_cm: Any, y_cm: Any = 150, extent: Extent = RAW) -> Piece:
    return Piece(book=book, x_cm=Decimal(x_cm), y_cm=Decimal(y_cm), extent=extent)


def told(*pieces: Piece, windows: tuple[Window, ...] = ()) -> list[tuple[str, Against, str]]:
    return [(each.book, each.against, each.other) for each in clashes(pieces, WALL, windows)]


def test_books_that_only_touch_are_not_in_each_others_way_and_a_millimetre_more_is() -> None:
    assert told(a_piece("a", 50), a_piece("b", 68)) == []
    assert told(a_piece("a", 50), a_piece("b", "67.9")) == [("a", Against.BOOK, "b"), ("b", Against.BOOK, "a")]
    assert told(a_piece("a", 50, 150), a_piece("b", 50, 176)) == []
    assert len(told(a_piece("a", 50, 150), a_piece("b", 50, "175.9"))) == 2


def test_each_edge_of_the_wall_is_told_by_its_name() -> None:
    assert told(a_piece("a", 9, 13)) == []
    assert told(a_piece("a", "8.9")) == [("a", Against.LEFT, "")]
    assert told(a_piece("a", "291.1")) == [("a", Against.RIGHT, "")]
    assert told(a_piece("a", 100, "12.9")) == [("a", Against.FLOOR, "")]
    assert told(a_piece("a", 100, "237.1")) == [("a", Against.CEILING, "")]


def test_a_window_is_in_the_way_only_on_its_own_wall_and_is_told_by_its_number() -> None:
    other = Window(wall="e", x_cm="0", y_cm="0", width_cm="300", height_cm="250")
    assert told(a_piece("a", 191), windows=(other, WINDOW)) == []
    assert told(a_piece("a", 192), windows=(other, WINDOW)) == [("a", Against.WINDOW, "2")]


def test_a_holder_makes_a_book_larger_by_the_table_or_by_a_ruling() -> None:
    # The table of sizes: 20 mm on each side and 25 mm at either end, our assumption.
    assert extent_of("180", "260", None, "raw", reach_of()) == RAW
    held = extent_of("180", "260", None, "slabbed", reach_of())
    assert (held.width_cm, held.height_cm) == (Decimal(22), Decimal(31))
    ruled = extent_of("180", "260", None, "slabbed", reach_of([("width_mm", "30"), ("height_mm", "40")]))
    assert (ruled.width_cm, ruled.height_cm) == (Decimal(24), Decimal(34))
    assert reach_of([("width_mm", "-4"), ("height_mm", "9000"), ("title", "7")]) == reach_of()


def test_a_book_that_nobody_measured_has_the_size_of_its_time() -> None:
    # The table of sizes: 197 by 267 mm up to 1955, 181 by 267 mm up to 1970. Common practice, no source.
    old, later = (extent_of(None, None, date, "raw", reach_of()) for date in ("1951-06", "196X"))
    assert (old.width_cm, later.width_cm) == (Decimal("19.7"), Decimal("18.1"))


def test_the_first_room_from_the_left_is_offered_and_none_on_a_full_wall() -> None:
    assert free_spot([], WALL, [], RAW) == (Decimal(15), Decimal(150))
    assert free_spot([a_piece("a", 30)], WALL, [], RAW) == (Decimal(54), Decimal(150))
    narrow = Wall(id="n", width_cm="20", height_cm="250")
    assert free_spot([], narrow, [], RAW) is None


@given(st.lists(st.tuples(st.integers(0, 300), st.integers(0, 250)), max_size=6))
def test_what_is_offered_lies_over_nothing(places: list[tuple[int, int]]) -> None:
    pieces = [a_piece(str(number), *place) for number, place in enumerate(places)]
    spot = free_spot(pieces, WALL, [WINDOW], RAW)
    if spot is not None:
        found = clashes([*pieces, a_piece("new", *spot)], WALL, [WINDOW])
        assert "new" not in {each.book for each in found}


@given(st.lists(st.tuples(st.integers(0, 300), st.integers(0, 250)), max_size=6))
def test_two_books_in_each_others_way_are_told_of_both_and_by_the_millimetres_they_share(
    places: list[tuple[int, int]],
) -> None:
    pieces = [a_piece(str(number), *place) for number, place in enumerate(places)]
    met = {(each.book, each.other) for each in clashes(pieces, WALL, []) if each.against is Against.BOOK}
    # Counted another way: the square millimetres that two outlines share.
    shared = {
        (one.book, other.book)
        for one in pieces
        for other in pieces
        if one is not other and _inside(one, other, 0) and _inside(one, other, 2)
    }
    assert met == shared


def _inside(one: Piece, other: Piece, axis: int) -> set[int]:
    spans = [range(int(each.sides[axis] * 10), int(each.sides[axis + 1] * 10)) for each in (one, other)]
    return set(spans[0]) & set(spans[1])


def test_a_clash_is_told_of_the_book_that_was_named() -> None:
    assert clashes([a_piece("a", 0)], WALL, []) == (Clash(book="a", against=Against.LEFT),)
