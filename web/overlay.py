"""Lays one picture over another by two points of each: turned, made larger or smaller, moved, and nothing else.

A similarity has four numbers, and two points give four; so there is always one that fits both points and no remainder
that could say how well they were set. Whoever shows the pair has to say that it was aligned by hand.
"""

import math
from dataclasses import dataclass

__all__ = ["Pair", "Point", "Similarity", "drawn", "laid_over"]


@dataclass(frozen=True)
class Point:
    """A place in a picture, from its upper left; in one unit on both axes."""

    x: float
    y: float


Pair = tuple[Point, Point]


@dataclass(frozen=True)
class Similarity:
    """Takes (x, y) to (a x - b y + right, b x + a y + down). Source: SVG 2 section 8.5, matrix(a b -b a right down)."""

    a: float
    b: float
    right: float
    down: float

    def of(self, point: Point) -> Point:
        """Where the point comes to lie."""
        return Point(
            self.a * point.x - self.b * point.y + self.right,
            self.b * point.x + self.a * point.y + self.down,
        )

    @property
    def scale(self) -> float:
        """How many times as large it becomes."""
        return math.hypot(self.a, self.b)

    @property
    def turned(self) -> float:
        """How far it is turned clockwise, as y points down. Units: degrees."""
        return math.degrees(math.atan2(self.b, self.a))

    @property
    def matrix(self) -> str:
        """It as the value of the attribute `transform` of SVG."""
        return drawn((self.a, self.b, -self.b, self.a, self.right, self.down))


def drawn(numbers: tuple[float, float, float, float, float, float]) -> str:
    """Six numbers, in the order of SVG, as the value of its attribute `transform`."""
    return f"matrix({' '.join(f'{each:.6f}' for each in numbers)})"


def laid_over(later: Pair, earlier: Pair) -> Similarity:
    """The one similarity that takes the points of the later picture onto those of the earlier.

    Requires: two points that differ in each picture.
    Source: linear equations in a, b, right and down; solved by hand, they are a quotient of complex numbers.
    """
    (p, q), (s, e) = later, earlier
    across, along = q.x - p.x, q.y - p.y
    to_across, to_along = e.x - s.x, e.y - s.y
    length = across * across + along * along
    assert length > 0
    assert to_across or to_along
    a = (to_across * across + to_along * along) / length
    b = (to_along * across - to_across * along) / length
    return Similarity(a, b, s.x - (a * p.x - b * p.y), s.y - (b * p.x + a * p.y))
