"""A face fitted to a photograph: worked values, what no slanted view changes, and a library that slants pictures."""

import random

import pytest
from PIL import Image

from web.fitting import Corners, Projection, goes_round, to_scale, upright, within
from web.overlay import Point

NEAR = 1e-7
WIDE, HIGH = 178.0, 262.0


def corners(*numbers: float) -> Corners:
    x, y = numbers[::2], numbers[1::2]
    one, two, three, four = (Point(*each) for each in zip(x, y, strict=True))
    return one, two, three, four


def at(found: Point) -> object:
    return pytest.approx((found.x, found.y), abs=NEAR)


def a_slanted_view(chance: random.Random) -> Corners:
    """A sheet seen by a hand that does not hold the camera square."""
    shift = [chance.uniform(-12, 12) for _ in range(8)]
    square = (20, 20, 150, 20, 150, 220, 20, 220)
    return corners(*(each + by for each, by in zip(square, shift, strict=True)))


def test_a_face_drawn_upright_is_moved_and_made_narrower() -> None:
    # By hand: the spine is drawn three times as wide as it is, from 184 on.
    assert at(upright(184.0, 0.0, 3.0).of(Point(190.0, 50.0))) == (2.0, 50.0)


def test_two_points_on_the_left_edge_turn_and_scale() -> None:
    # By hand: upright, 100 px for 200 mm is 2 mm a px; lying on its side, what points right on the picture points down.
    assert at(to_scale(Point(10, 10), Point(10, 110), 200.0).of(Point(25, 20))) == (30.0, 20.0)
    assert at(to_scale(Point(10, 10), Point(110, 10), 200.0).of(Point(25, 20))) == (-20.0, 30.0)


def test_the_four_corners_come_to_the_corners_of_the_face_and_back() -> None:
    chance = random.Random(5)
    for _ in range(300):
        seen = a_slanted_view(chance)
        assert goes_round(seen)
        to_face = within(seen, WIDE, HIGH)
        for corner, known in zip(seen, ((0, 0), (WIDE, 0), (WIDE, HIGH), (0, HIGH)), strict=True):
            assert known == at(to_face.of(corner))
            assert (corner.x, corner.y) == at(to_face.back.of(Point(*known)))


def test_the_middle_of_the_face_is_where_the_diagonals_cross_however_it_slants() -> None:
    # Source: a projection keeps lines straight, so it keeps where two of them cross (Hartley and Zisserman, Multiple
    # View Geometry, theorem 2.10).
    chance = random.Random(6)
    for _ in range(300):
        one, two, three, four = seen = a_slanted_view(chance)
        cross = (three.x - one.x) * (four.y - two.y) - (three.y - one.y) * (four.x - two.x)
        share = ((two.x - one.x) * (four.y - two.y) - (two.y - one.y) * (four.x - two.x)) / cross
        middle = Point(one.x + share * (three.x - one.x), one.y + share * (three.y - one.y))
        assert at(within(seen, WIDE, HIGH).of(middle)) == (WIDE / 2, HIGH / 2)


def test_it_takes_a_dot_to_where_a_library_takes_it() -> None:
    # Source: Pillow, Image.transform with PERSPECTIVE, which for each dot of the new picture looks up the old one.
    seen = corners(30, 25, 162, 40, 150, 230, 18, 205)
    back = within(seen, WIDE, HIGH).back.numbers
    for x, y in ((20, 30), (90, 130), (150, 240)):
        place = within(seen, WIDE, HIGH).back.of(Point(x + 0.5, y + 0.5))
        picture = Image.new("L", (200, 260))
        picture.putpixel((int(place.x), int(place.y)), 255)
        laid = picture.transform((178, 262), Image.Transform.PERSPECTIVE, back[:8], Image.Resampling.NEAREST)
        assert laid.getpixel((x, y)) == 255


def test_two_ways_of_fitting_agree_where_the_camera_was_square_to_the_sheet() -> None:
    turned = to_scale(Point(40, 20), Point(20, 220), HIGH)
    seen = tuple(turned.back.of(Point(*each)) for each in ((0, 0), (WIDE, 0), (WIDE, HIGH), (0, HIGH)))
    one, two, three, four = seen
    place = Point(77, 99)
    found = turned.of(place)
    assert (found.x, found.y) == at(within((one, two, three, four), WIDE, HIGH).of(place))


@pytest.mark.parametrize(
    "wrong",
    [
        (0, 0, 100, 100, 100, 0, 0, 100),
        (0, 0, 0, 100, 100, 100, 100, 0),
        (0, 0, 100, 0, 50, 10, 0, 100),
        (0, 0, 0, 0, 100, 100, 0, 100),
        (0, 0, 50, 0, 100, 0, 0, 100),
    ],
)
def test_corners_that_cross_or_are_one_place_go_round_no_face(wrong: tuple[float, ...]) -> None:
    assert not goes_round(corners(*wrong))


def test_nine_numbers_are_written_as_the_page_reads_them() -> None:
    assert Projection((1, 0, -2.5, 0, 1, 0, 0, 0, 1)).written == "1 0 -2.5 0 1 0 0 0 1"
