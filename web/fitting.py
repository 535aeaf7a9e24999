"""Fits a face of the book to a photograph of it: from a place in the picture to millimetres on the face, and back.

Two points a known length apart on one edge turn and scale the whole; the four corners of the cover take the slant of the
camera out as well. Either way there are as many numbers as unknowns, so nothing is left over that could say how well the
points were set. Whoever shows it has to say how it was fitted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from web.overlay import Point, laid_over

__all__ = ["Corners", "Projection", "goes_round", "to_scale", "upright", "within"]

Corners = tuple[Point, Point, Point, Point]
"""Upper left, upper right, lower right, lower left."""


@dataclass(frozen=True)
class Projection:
    """Takes (x, y) to ((a x + b y + c) / w, (d x + e y + f) / w) with w = g x + h y + i."""

    numbers: tuple[float, float, float, float, float, float, float, float, float]

    def of(self, point: Point) -> Point:
        """Where the point comes to lie."""
        a, b, c, d, e, f, g, h, i = self.numbers
        w = g * point.x + h * point.y + i
        return Point((a * point.x + b * point.y + c) / w, (d * point.x + e * point.y + f) / w)

    @property
    def back(self) -> "Projection":
        """The way back, as the adjoint of the matrix; a factor common to all nine changes nothing."""
        a, b, c, d, e, f, g, h, i = self.numbers
        found = (e * i - f * h, c * h - b * i, b * f - c * e, f * g - d * i, a * i - c * g, c * d - a * f)
        return _scaled((*found, d * h - e * g, b * g - a * h, a * e - b * d))

    @property
    def written(self) -> str:
        """Its nine numbers, row by row."""
        return " ".join(f"{each:.9g}" for each in self.numbers)


def upright(x: float, y: float, scale_x: float = 1.0) -> Projection:
    """A face drawn as it is, its upper left corner at this place, so many times wider than it is."""
    return Projection((1 / scale_x, 0.0, -x / scale_x, 0.0, 1.0, -y, 0.0, 0.0, 1.0))


def to_scale(head: Point, foot: Point, length: float) -> Projection:
    """From the picture to the face, whose left edge runs so far from one point to the other.

    Requires: two points that differ; a length above 0.
    """
    laid = laid_over((head, foot), (Point(0.0, 0.0), Point(0.0, length)))
    return Projection((laid.a, -laid.b, laid.right, laid.b, laid.a, laid.down, 0.0, 0.0, 1.0))


def within(corners: Corners, width: float, height: float) -> Projection:
    """From the picture to a face of that size, whose corners lie there.

    Requires: corners that go round a face, see `goes_round`.
    Source: P. S. Heckbert, Fundamentals of Texture Mapping and Image Warping (1989), section 2.2.3, square to quadrilateral.
    """
    one, two, three, four = corners
    x_1, y_1, x_2, y_2 = two.x - three.x, two.y - three.y, four.x - three.x, four.y - three.y
    x_3, y_3 = one.x - two.x + three.x - four.x, one.y - two.y + three.y - four.y
    across = x_1 * y_2 - x_2 * y_1
    g, h = (x_3 * y_2 - x_2 * y_3) / across, (x_1 * y_3 - x_3 * y_1) / across
    square = (two.x - one.x + g * two.x, four.x - one.x + h * four.x, one.x)
    down = (two.y - one.y + g * two.y, four.y - one.y + h * four.y, one.y)
    drawn = (square[0] / width, square[1] / height, square[2], down[0] / width, down[1] / height, down[2])
    return Projection((*drawn, g / width, h / height, 1.0)).back


def goes_round(corners: Corners) -> bool:
    """The corners go round one face, clockwise as it is seen, and it has no dent."""
    turns = [_turn(corners[place - 2], corners[place - 1], corners[place]) for place in range(len(corners))]
    return all(turn > 0 for turn in turns)


def _turn(one: Point, two: Point, three: Point) -> float:
    """Above 0 for a turn clockwise, as y points down."""
    return (two.x - one.x) * (three.y - two.y) - (two.y - one.y) * (three.x - two.x)


def _scaled(numbers: Sequence[float]) -> Projection:
    last = numbers[-1]
    a, b, c, d, e, f, g, h, i = (each / last for each in numbers)
    return Projection((a, b, c, d, e, f, g, h, i))
