"""Two points lay one picture over another: checked against worked values, and against a library that moves pictures."""

import random
from itertools import pairwise

import pytest
from PIL import Image

from web.overlay import Pair, Point, Similarity, laid_over

NEAR = 1e-9


def pair(x1: float, y1: float, x2: float, y2: float) -> Pair:
    return Point(x1, y1), Point(x2, y2)


# Worked by hand: what moves, what grows and what turns each on its own, then all of them at once.
WORKED = [
    (pair(0, 0, 10, 0), pair(5, 7, 15, 7), (1, 0, 5, 7)),
    (pair(0, 0, 10, 0), pair(0, 0, 25, 0), (2.5, 0, 0, 0)),
    (pair(0, 0, 10, 0), pair(0, 0, 0, 10), (0, 1, 0, 0)),
    (pair(1, 2, 3, 2), pair(10, 10, 10, 16), (0, 3, 16, 7)),
]


@pytest.mark.parametrize(("later", "earlier", "numbers"), WORKED)
def test_worked_values(later: Pair, earlier: Pair, numbers: tuple[float, float, float, float]) -> None:
    laid = laid_over(later, earlier)
    assert (laid.a, laid.b, laid.right, laid.down) == pytest.approx(numbers, abs=NEAR)


def test_both_points_fit_without_remainder_whatever_they_are_and_shapes_stay_alike() -> None:
    chance = random.Random(11)
    for _ in range(300):
        x = [chance.uniform(0, 150) for _ in range(8)]
        later, earlier = pair(*x[:4]), pair(*x[4:])
        laid = laid_over(later, earlier)
        for point, onto in zip(later, earlier, strict=True):
            found = laid.of(point)
            assert (found.x, found.y) == pytest.approx((onto.x, onto.y), abs=1e-6)
        corners = [Point(0, 0), Point(30, 0), Point(30, 40)]
        moved = [laid.of(each) for each in corners]
        sides = [((q.x - p.x) ** 2 + (q.y - p.y) ** 2) ** 0.5 for p, q in pairwise(moved)]
        assert sides == pytest.approx([30 * laid.scale, 40 * laid.scale])


def test_a_picture_moved_by_the_library_lies_where_it_says() -> None:
    """The library's own affine transform takes each place of the result to a place of the source, so it gets the way back."""
    later, earlier = pair(20, 30, 80, 40), pair(50, 40, 90, 90)
    laid, back = laid_over(later, earlier), laid_over(earlier, later)
    source = Image.new("L", (140, 140), 0)
    spots = [Point(20, 30), Point(80, 40), Point(55, 60), Point(70, 20)]
    for spot in spots:
        source.paste(255, (int(spot.x) - 2, int(spot.y) - 2, int(spot.x) + 3, int(spot.y) + 3))
    numbers = (back.a, -back.b, back.right, back.b, back.a, back.down)
    moved = source.transform((140, 140), Image.Transform.AFFINE, numbers)
    for spot in spots:
        at = laid.of(spot)
        assert moved.getpixel((round(at.x), round(at.y))) == 255, spot


def test_the_matrix_is_written_in_the_order_of_its_standard() -> None:
    # Source: SVG 2 section 8.5: matrix(a b c d e f) takes (x, y) to (a x + c y + e, b x + d y + f).
    laid = Similarity(0, 2, 16, -7.5)
    assert laid.matrix == "matrix(0.000000 2.000000 -2.000000 0.000000 16.000000 -7.500000)"
    a, b, c, d, e, f = (float(each) for each in laid.matrix[7:-1].split())
    found = laid.of(Point(3, 5))
    assert (found.x, found.y) == (a * 3 + c * 5 + e, b * 3 + d * 5 + f)
    assert (laid.scale, laid.turned) == (2, 90)
