"""Four printing inks and how they come to lie on paper: tints broken into dots, colours a little out of register."""

import functools
import math
from typing import NamedTuple

from PIL import Image, ImageChops

SCREEN_GAIN = 2.4  # how hard the edge of a dot is: soft enough to shrink without a pattern
FULL = 255


class Ink(NamedTuple):
    """A colour as tints of cyan, magenta, yellow and black.

    Units: per cent of full ink.
    """

    cyan: int
    magenta: int
    yellow: int
    black: int = 0


WHITE = Ink(0, 0, 0)
BLACK = Ink(0, 0, 0, 100)
YELLOW = Ink(0, 0, 100)
GOLD = Ink(0, 25, 100)
ORANGE = Ink(0, 50, 100)
RED = Ink(0, 100, 100)
CRIMSON = Ink(30, 100, 80)
MAROON = Ink(60, 100, 100)
ROSE = Ink(0, 50, 15)
PINK = Ink(0, 25, 5)
MAGENTA = Ink(0, 100, 0)
VIOLET = Ink(70, 100, 0)
NAVY = Ink(100, 75, 0)
INDIGO = Ink(100, 100, 0)
BLUE = Ink(100, 50, 0)
CYAN = Ink(100, 0, 0)
SKY = Ink(50, 0, 0)
ICE = Ink(25, 0, 0)
TEAL = Ink(100, 0, 50)
SEA = Ink(50, 0, 25)
GREEN = Ink(100, 0, 100)
LEAF = Ink(70, 0, 100)
LIME = Ink(40, 0, 100)
PINE = Ink(100, 50, 100)
CREAM = Ink(0, 0, 25)
BUFF = Ink(0, 15, 45)
FLESH = Ink(0, 25, 35)
TAN = Ink(0, 40, 65)
RUST = Ink(40, 100, 100)
BROWN = Ink(70, 100, 100)
UMBER = Ink(85, 100, 100)
SILVER = Ink(0, 0, 0, 18)
GREY = Ink(0, 0, 0, 38)
SLATE = Ink(40, 0, 0, 45)

# What part of red, green and blue light each ink lets through, as seen on old cover stock.
_PASSES = ((0.04, 0.60, 0.80), (0.87, 0.13, 0.36), (1.00, 0.87, 0.17), (0.08, 0.072, 0.078))
_SOLID_BLACK = (21, 19, 20)  # so much black covers what lies below
# The vectors of each screen at three times the final size: near 15, 75, 0 and 45 degrees.
_UNSEEN = 2
_SCREENS = ((12, 3), (3, 12), (12, 0), (9, 9))


def _spot(x: float, y: float, vector: tuple[int, int]) -> float:
    a, b = vector
    size = a * a + b * b
    u, v = (a * x + b * y) / size, (a * y - b * x) / size
    return math.cos(2 * math.pi * u) + math.cos(2 * math.pi * v)


@functools.cache
def _tile(vector: tuple[int, int]) -> Image.Image:
    a, b = vector
    side = (a * a + b * b) // math.gcd(a, b)
    values = [_spot(x + 0.31, y + 0.17, vector) for y in range(side) for x in range(side)]
    order = sorted(range(len(values)), key=values.__getitem__, reverse=True)
    ranks = bytearray(len(values))
    for rank, place in enumerate(order):
        ranks[place] = rank * FULL // (len(values) - 1)
    return Image.frombytes("L", (side, side), bytes(ranks))


@functools.cache
def _screen(vector: tuple[int, int], size: tuple[int, int]) -> Image.Image:
    tile = _tile(vector)
    whole = Image.new("L", size)
    whole.paste(tile, (0, 0))
    step = tile.width
    while step < size[0]:
        whole.paste(whole.crop((0, 0, step, tile.height)), (step, 0))
        step *= 2
    step = tile.height
    while step < size[1]:
        whole.paste(whole.crop((0, 0, size[0], step)), (0, step))
        step *= 2
    return whole


@functools.cache
def _levels() -> list[int]:
    """Which level of the screen covers as much paper as the tint asks for."""
    covers = [
        sum(min(max((level - s) * SCREEN_GAIN + 128, 0), FULL) for s in range(256)) / 256 for level in range(-64, 320)
    ]
    low, high = 0, 255
    table = []
    for tint in range(256):
        best = min(range(len(covers)), key=lambda i: abs(covers[i] - tint))
        table.append(min(max(best - 64, low), high))
    return table


def broken(plane: Image.Image, ink: int, nearer: int = 1) -> Image.Image:
    """One ink's plane with its tints broken into dots, solids left whole; yellow's dots are too pale to be seen."""
    if ink == _UNSEEN:
        return plane
    a, b = _SCREENS[ink]
    screen = _screen((a * nearer, b * nearer), plane.size)
    dots = ImageChops.subtract(plane.point(_levels()), screen, 1 / SCREEN_GAIN, 128)
    solid = plane.point([0] * 253 + [FULL] * 3)
    bare = plane.point([0] * 4 + [FULL] * 252)
    return ImageChops.lighter(ImageChops.darker(dots, bare), solid)


def laid(paper: Image.Image, planes: tuple[Image.Image, ...]) -> Image.Image:
    """The inks one over the other on the paper, each letting part of the light through."""
    bands = list(paper.split())
    for plane, passes in zip(planes, _PASSES, strict=True):
        for band, share in enumerate(passes):
            glass = plane.point([round(FULL - v * (1 - share)) for v in range(256)])
            bands[band] = ImageChops.multiply(bands[band], glass)
    sheet = Image.merge("RGB", bands)
    sheet.paste(_SOLID_BLACK, mask=planes[3].point([0] * 253 + [FULL] * 3))
    return sheet
