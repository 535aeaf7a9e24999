"""A picture taken by hand: the book lies on the table a little turned, and farther from the camera."""

import math
from random import Random

from PIL import Image

from seeds.covers.paper import GROUND

__all__ = ["askew", "laid"]

_TURNED = (0.5, 1.2)
"""Units: degrees, to either side."""
_SMALLER = (0.93, 0.955)
_EDGE = 4
"""Units: px."""


def laid(name: str) -> tuple[float, float]:
    """How far the picture of that name is turned, in degrees against the clock, and how much smaller it is."""
    chance = Random(name)  # noqa: S311 - a drawing, always the same for a name
    return chance.choice((-1, 1)) * chance.uniform(*_TURNED), chance.uniform(*_SMALLER)


def askew(picture: Image.Image, name: str) -> Image.Image:
    """The picture of that name on its table, as large as before, turned and made smaller about its middle."""
    against_the_clock, smaller = laid(name)
    cos, sin = (each(math.radians(against_the_clock)) / smaller for each in (math.cos, math.sin))
    wide, high = picture.size
    # A ground that is part of the source, so that the edge of the book is smoothed with the rest.
    table = Image.new("RGB", (wide + 2 * _EDGE, high + 2 * _EDGE), GROUND)
    table.paste(picture, (_EDGE, _EDGE))
    x, y = wide / 2, high / 2
    back = (cos, -sin, x - cos * x + sin * y + _EDGE, sin, cos, y - sin * x - cos * y + _EDGE)
    return table.transform(picture.size, Image.Transform.AFFINE, back, Image.Resampling.BICUBIC, fillcolor=GROUND)
