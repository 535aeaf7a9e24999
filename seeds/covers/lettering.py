"""Mastheads and small print set in our own alphabet: strokes given a body, then bent to fit the cover."""

import dataclasses
import functools
import math
from collections.abc import Callable, Sequence

from seeds.covers.curves import Path, Point, ellipse, moved, smooth, turned
from seeds.covers.glyphs import GLYPHS, Glyph, Stroke

_STEEP = 0.6  # a straight stroke that rises more than this is cut level, else upright
_FLAT = 1e-6
_LENGTH = 9  # points of a bent stroke that are drawn as one


@dataclasses.dataclass(frozen=True)
class Face:
    """A style of lettering.

    Units: stem, bar, slab and gap are shares of the letters' height; slant is x per y; power over 2 squares the bows.
    """

    stem: float
    bar: float
    power: float = 2.6
    wide: float = 1.0
    slab: float = 0.0
    slant: float = 0.0
    gap: float = 0.12
    round_ends: bool = False
    pen: float = 0.0


GOTHIC = Face(stem=0.24, bar=0.2, power=3.2, gap=0.09)
POSTER = Face(stem=0.3, bar=0.24, power=3, wide=1.08, gap=0.08)
TALL = Face(stem=0.17, bar=0.13, power=4, wide=0.72, gap=0.1)
WESTERN = Face(stem=0.22, bar=0.14, power=12, slab=0.13, gap=0.2)
BALLOON = Face(stem=0.24, bar=0.22, power=2.1, round_ends=True, gap=0.07)
DECO = Face(stem=0.25, bar=0.085, power=2, wide=0.92, gap=0.1)
SPEED = Face(stem=0.25, bar=0.19, power=3.4, slant=0.24, wide=1.05, gap=0.1)
PEN = Face(stem=0.17, bar=0.1, power=2, slant=0.2, round_ends=True, pen=0.55, gap=0.09)
BRUSH = Face(stem=0.25, bar=0.13, power=2, slant=0.22, round_ends=True, pen=0.7, gap=0.06)
PLAIN = Face(stem=0.16, bar=0.14, power=3, gap=0.13)

_CLOSE = {"AV", "VA", "LT", "TA", "AT", "LY", "WA", "AW", "FA", "PA", "LV", "AY", "YA", "TO", "RT", "RY", "DA", "OA"}

Lines = list[list[Path]]  # per letter, its strokes as outlines


@functools.cache
def _skeleton(stroke: Stroke, power: float) -> tuple[Point, ...]:
    path: Path = []
    for piece in stroke:
        numbers = [float(v) for v in piece[1:]]
        if piece[0] == "a":
            cx, cy, rx, ry, start, end = numbers
            path += ellipse((cx, cy), (rx, ry), arc=(start, end), power=power)
        else:
            points = _pairs(numbers)
            path += smooth(points, closed=False) if piece[0] == "s" else points
    return tuple(path)


def _pairs(numbers: Sequence[float]) -> Path:
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _straight(a: Point, b: Point, face: Face) -> Path:
    """A straight stroke with ends cut level or upright, as a chisel cuts them."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    if abs(dy) >= _STEEP * length:
        half = face.stem / 2 / max(abs(dy) / length, 0.72) if abs(dx) > _FLAT else face.stem / 2
        push = face.bar / 2 / abs(dy)
        a, b = (a[0] - dx * push, a[1] - dy * push), (b[0] + dx * push, b[1] + dy * push)
        return [(a[0] - half, a[1]), (a[0] + half, a[1]), (b[0] + half, b[1]), (b[0] - half, b[1])]
    half = face.bar / 2 / (abs(dx) / length)
    push = face.stem / 2 / abs(dx)
    a, b = (a[0] - dx * push, a[1] - dy * push), (b[0] + dx * push, b[1] + dy * push)
    return [(a[0], a[1] - half), (b[0], b[1] - half), (b[0], b[1] + half), (a[0], a[1] + half)]


def _band(path: Sequence[Point], face: Face) -> list[Path]:
    """A bent stroke: thick where it runs upright, thin where it runs level; a pen also thins one slope.

    It comes in lengths that overlap, so that a stroke may cross itself or close to a ring.
    """
    sides: list[tuple[Point, Point]] = []
    last = len(path) - 1
    loop = math.dist(path[0], path[-1]) < _FLAT
    for i, (x, y) in enumerate(path):
        before = path[last - 1] if loop and i == 0 else path[max(i - 1, 0)]
        after = path[1] if loop and i == last else path[min(i + 1, last)]
        dx, dy = after[0] - before[0], after[1] - before[1]
        size = math.hypot(dx, dy) or 1.0
        nx, ny = -dy / size, dx / size
        thin = 1 - face.pen * max(0.0, nx * ny) * 1.4
        wide, high = nx * face.stem / 2 * thin, ny * face.bar / 2 * thin
        sides.append(((x + wide, y + high), (x - wide, y - high)))
    lengths = [sides[i : i + _LENGTH + 1] for i in range(0, last, _LENGTH)]
    return [[*(a for a, _ in part), *(b for _, b in reversed(part))] for part in lengths]


def _body(stroke: Stroke, width: float, face: Face) -> list[Path]:
    path = [(face.stem / 2 + x * width, face.bar / 2 + y * (1 - face.bar)) for x, y in _skeleton(stroke, face.power)]
    straight = len(path) == 2  # noqa: PLR2004 - a line has two ends
    if straight and not face.round_ends:
        return [_straight(path[0], path[1], face)]
    bodies = _band(path, face)
    if face.round_ends:
        bodies += [ellipse(end, (face.stem / 2, face.bar / 2)) for end in (path[0], path[-1])]
    return bodies


def _slabs(glyph: Glyph, width: float, face: Face) -> list[Path]:
    ends = [
        (face.stem / 2 + x * width, y)
        for stroke in glyph.strokes
        if len(stroke) == 1 and stroke[0][0] == "l" and abs(float(stroke[0][4]) - float(stroke[0][2])) > _STEEP
        for x, y in _pairs([float(v) for v in stroke[0][1:]])
        if y in {0.0, 1.0}
    ]
    reach = face.stem / 2 + face.slab
    return [
        [(x - reach, top), (x + reach, top), (x + reach, top + face.bar), (x - reach, top + face.bar)]
        for x, y in ends
        if ends.count((x, y)) == 1
        for top in (0.0 if y == 0.0 else 1 - face.bar,)
    ]


@functools.cache
def _letter(sign: str, face: Face) -> tuple[float, list[Path]]:
    glyph = GLYPHS[sign]
    width = glyph.wide * face.wide - face.stem * (0.35 if glyph.wide else 0)
    outlines = [body for stroke in glyph.strokes for body in _body(stroke, width, face)]
    if face.slab:
        outlines += _slabs(glyph, width, face)
    slanted = [[(x - (y - 1) * face.slant, y) for x, y in outline] for outline in outlines]
    return width + face.stem, slanted


def written(text: str, face: Face) -> tuple[float, Lines]:
    """A line of lettering one high, standing on y = 1, and its length."""
    x, before = 0.0, " "
    letters: Lines = []
    for sign in text:
        if sign == " ":
            x += 0.34 * face.wide
        else:
            if before + sign in _CLOSE:
                x -= 0.11 * face.wide
            advance, outlines = _letter(sign, face)
            letters.append([[(px + x, py) for px, py in outline] for outline in outlines])
            x += advance + face.gap
        before = sign
    return x - face.gap, letters


def bent(letters: Lines, rule: Callable[[float, float], Point]) -> Lines:
    """The lettering moved point by point by a rule; long edges are broken up first, so that they bend too."""
    return [[[rule(x, y) for x, y in _finer(outline)] for outline in letter] for letter in letters]


def _finer(outline: Sequence[Point], step: float = 0.12) -> Path:
    path: Path = []
    for a, b in zip(outline, [*outline[1:], outline[0]], strict=True):
        pieces = max(1, int(math.dist(a, b) / step))
        path += [(a[0] + (b[0] - a[0]) * i / pieces, a[1] + (b[1] - a[1]) * i / pieces) for i in range(pieces)]
    return path


def fitted(text: str, face: Face, frame: tuple[float, float, float, float]) -> Lines:
    """Lettering that fills a frame (left, top, right, bottom)."""
    length, letters = written(text, face)
    left, top, right, bottom = frame
    return bent(letters, lambda x, y: (left + x / length * (right - left), top + y * (bottom - top)))


def arched(text: str, face: Face, frame: tuple[float, float, float, float], rise: tuple[float, float]) -> Lines:
    """Lettering in a frame whose top and foot are bowed up (or, below zero, down) in the middle."""
    length, letters = written(text, face)
    left, top, right, bottom = frame

    def rule(x: float, y: float) -> Point:
        share = x / length
        bow = 4 * share * (1 - share)
        high, low = top - rise[0] * bow, bottom - rise[1] * bow
        return left + share * (right - left), high + y * (low - high)

    return bent(letters, rule)


def growing(text: str, face: Face, frame: tuple[float, float, float, float], ends: tuple[float, float]) -> Lines:
    """Lettering in a frame that grows from the first height to the last, as if it came nearer."""
    length, letters = written(text, face)
    left, top, right, bottom = frame
    first, last = ends

    def rule(x: float, y: float) -> Point:
        share = x / length
        place = (first * share + (last - first) * share * share / 2) / ((first + last) / 2)
        high = (first + (last - first) * share) * (bottom - top)
        return left + place * (right - left), bottom - high * (1 - y)

    return bent(letters, rule)


def jumping(text: str, face: Face, frame: tuple[float, float, float, float], hop: float) -> Lines:
    """Lettering in a frame whose letters hop up and down and lean by turns."""
    letters = fitted(text, face, frame)
    result: Lines = []
    for i, letter in enumerate(letters):
        xs = [x for outline in letter for x, _ in outline]
        middle = (min(xs) + max(xs)) / 2, (frame[1] + frame[3]) / 2
        lean, up = (5.0, 0.0) if i % 2 else (-4.0, hop)
        result.append([moved(turned(outline, lean, middle), 0, -up) for outline in letter])
    return result


def small(text: str, face: Face, place: Point, height: float, *, anchor: float = 0) -> Lines:
    """Small lettering at a place; anchor 0 starts there, 0.5 is centred on it, 1 ends there."""
    length, letters = written(text, face)
    left = place[0] - length * height * anchor
    return [[[(left + x * height, place[1] + y * height) for x, y in o] for o in letter] for letter in letters]
