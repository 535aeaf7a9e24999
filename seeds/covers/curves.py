"""Outlines on a cover as lists of points: smooth curves, ellipses, stars, waves, and how to move them.

Units: millimetres from the top left of the face, y downwards; angles in degrees, clockwise from the right.
"""

import math
import random
from collections.abc import Iterable, Sequence

Point = tuple[float, float]
Path = list[Point]


def chance(seed: str) -> random.Random:
    """A source of chance that gives the same picture for the same words, on every machine."""
    return random.Random(seed)  # noqa: S311 - for pictures, never for keys


def polar(centre: Point, radius: float, angle: float) -> Point:
    """The point at a distance and an angle from a centre."""
    turn = math.radians(angle)
    return centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)


def smooth(points: Sequence[Point], *, closed: bool = True, steps: int = 7) -> Path:
    """A rounded line through all the points (Catmull-Rom)."""
    count = len(points)
    path: Path = []
    spans = count if closed else count - 1
    for i in range(spans):
        if closed:
            a, b, c, d = (points[(i + k) % count] for k in (-1, 0, 1, 2))
        else:
            a, b, c, d = (points[min(max(i + k, 0), count - 1)] for k in (-1, 0, 1, 2))
        for step in range(steps):
            path.append(_spline(a, b, c, d, step / steps))
    if not closed:
        path.append(points[-1])
    return path


def _spline(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    def axis(i: int) -> float:
        linear = c[i] - a[i]
        square = 2 * a[i] - 5 * b[i] + 4 * c[i] - d[i]
        cube = 3 * b[i] - a[i] - 3 * c[i] + d[i]
        return b[i] + 0.5 * t * (linear + t * (square + t * cube))

    return axis(0), axis(1)


def ellipse(
    centre: Point, radii: Point | float, *, tilt: float = 0, arc: tuple[float, float] = (0, 360), power: float = 2
) -> Path:
    """An ellipse, a part of one, or (with a power over two) a box with round corners."""
    rx, ry = (radii, radii) if isinstance(radii, (int, float)) else radii
    steps = max(10, int(abs(arc[1] - arc[0]) / 5))
    path: Path = []
    for i in range(steps + 1):
        turn = math.radians(arc[0] + (arc[1] - arc[0]) * i / steps)
        x, y = (math.copysign(abs(part) ** (2 / power), part) for part in (math.cos(turn), math.sin(turn)))
        path.append((centre[0] + rx * x, centre[1] + ry * y))
    return turned(path, tilt, centre) if tilt else path


def box(left: float, top: float, right: float, bottom: float) -> Path:
    """A rectangle by its four sides."""
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def rounded(left: float, top: float, right: float, bottom: float, *, radius: float) -> Path:
    """A rectangle with rounded corners."""
    path: Path = []
    for cx, cy, start in (
        (right - radius, top + radius, -90),
        (right - radius, bottom - radius, 0),
        (left + radius, bottom - radius, 90),
        (left + radius, top + radius, 180),
    ):
        path += [polar((cx, cy), radius, start + 15 * i) for i in range(7)]
    return path


def star(centre: Point, outer: float, inner: float, *, points: int = 5, turn: float = -90) -> Path:
    """A star or a burst: far and near points by turns."""
    step = 180 / points
    return [polar(centre, inner if i % 2 else outer, turn + i * step) for i in range(points * 2)]


def burst(centre: Point, radii: tuple[float, float], *, points: int, seed: str) -> Path:
    """An uneven burst, as a bang is drawn."""
    dice = chance(seed)
    step = 180 / points
    return [
        polar(centre, radii[i % 2] * dice.uniform(0.82, 1.18), i * step + dice.uniform(-3, 3))
        for i in range(points * 2)
    ]


def waves(start: Point, length: float, height: float, *, count: int, sharp: float = 1.6) -> Path:
    """A row of waves with peaked crests, from left to right."""
    path: Path = []
    steps = count * 14
    for i in range(steps + 1):
        swing = abs(math.sin(math.pi * count * i / steps)) ** (1 / sharp)
        path.append((start[0] + length * i / steps, start[1] + height * (swing - 1)))
    return path


def ridge(left: Point, right: Point, *, rough: float, seed: str, steps: int = 24) -> Path:
    """A broken skyline between two points: hills, rocks, tree tops."""
    dice = chance(seed)
    path: Path = []
    for i in range(steps + 1):
        share = i / steps
        x = left[0] + (right[0] - left[0]) * share
        path.append((x, left[1] + (right[1] - left[1]) * share + dice.uniform(-rough, rough)))
    return path


def moved(points: Iterable[Point], dx: float, dy: float) -> Path:
    """The same outline elsewhere."""
    return [(x + dx, y + dy) for x, y in points]


def turned(points: Iterable[Point], angle: float, about: Point) -> Path:
    """The same outline turned about a point."""
    turn = math.radians(angle)
    cos, sin = math.cos(turn), math.sin(turn)
    return [
        (about[0] + (x - about[0]) * cos - (y - about[1]) * sin, about[1] + (x - about[0]) * sin + (y - about[1]) * cos)
        for x, y in points
    ]


def mirrored(points: Iterable[Point], axis: float) -> Path:
    """The same outline seen in a mirror standing at x = axis."""
    return [(2 * axis - x, y) for x, y in points]


def ribbon(points: Sequence[Point], widths: Sequence[float]) -> Path:
    """A line with a body: as wide at each place as the widths say, spread evenly along it."""
    left: Path = []
    right: Path = []
    last = len(points) - 1
    for i, (x, y) in enumerate(points):
        before, after = points[max(i - 1, 0)], points[min(i + 1, last)]
        dx, dy = after[0] - before[0], after[1] - before[1]
        size = math.hypot(dx, dy) or 1.0
        half = _spread(widths, i / last if last else 0) / 2
        left.append((x - dy / size * half, y + dx / size * half))
        right.append((x + dy / size * half, y - dx / size * half))
    return [*left, *reversed(right)]


def _spread(values: Sequence[float], share: float) -> float:
    place = share * (len(values) - 1)
    index = min(int(place), len(values) - 2)
    return values[index] + (values[index + 1] - values[index]) * (place - index)
