"""A drawn cover as a camera would see it: lying on a table, turned, nearer or farther, in other light, as JPEG.

Where each place of the cover comes to lie is known, so it can be held against what an aligner finds. Pillow moves the
picture, by its own affine transform, which takes each place of the result to a place of the source.
"""

import io
import math
import random
from dataclasses import dataclass

from PIL import Image, ImageEnhance

Numbers = tuple[float, float, float, float, float, float]
TABLE = (800, 1120)


@dataclass(frozen=True)
class Taken:
    """A photograph of a cover. `way` takes a place of the cover to one of the photograph: its two rows. Units: px."""

    data: bytes
    size: tuple[int, int]
    way: Numbers

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a place of the cover is seen, from the upper left corner of the picture."""
        a, c, right, b, d, down = self.way
        return a * x + c * y + right, b * x + d * y + down


def similarity(size: tuple[int, int], turned: float, scale: float, middle: tuple[float, float]) -> Numbers:
    """Turned clockwise by so many degrees and made so large about the middle of the cover, which comes to this place."""
    a, b = scale * math.cos(math.radians(turned)), scale * math.sin(math.radians(turned))
    x, y = size[0] / 2, size[1] / 2
    return a, -b, middle[0] - a * x + b * y, b, a, middle[1] - b * x - a * y


def photographed(
    cover: Image.Image,
    way: Numbers,
    chance: random.Random,
    *,
    table: str = "#c8c2b4",
    size: tuple[int, int] = TABLE,
    light: float = 1.0,
    contrast: float = 1.0,
    quality: int = 88,
) -> Taken:
    """The cover on a table, with the noise of a camera."""
    a, c, right, b, d, down = way
    area = a * d - b * c
    back = (d / area, -c / area, (c * down - d * right) / area, -b / area, a / area, (b * right - a * down) / area)
    # A ground that is part of the source, so that the edge of the cover is smoothed as the camera smooths it.
    seen = Image.new("RGB", size, table)
    moved = cover.convert("RGBA").transform(size, Image.Transform.AFFINE, back, Image.Resampling.BICUBIC)
    seen.paste(moved, mask=moved.getchannel("A"))
    seen = ImageEnhance.Contrast(ImageEnhance.Brightness(seen).enhance(light)).enhance(contrast)
    grain = Image.frombytes("L", size, chance.randbytes(size[0] * size[1]))
    seen = Image.blend(seen, Image.merge("RGB", (grain, grain, grain)), 0.03)
    return Taken(as_jpeg(seen, quality), size, way)


def at_random(cover: Image.Image, chance: random.Random) -> Taken:
    """By a hand that turns it up to 12 degrees, from 0.85 to 1.15 times as near, in light of its own."""
    middle = (TABLE[0] / 2 + chance.uniform(-25, 25), TABLE[1] / 2 + chance.uniform(-25, 25))
    way = similarity(cover.size, chance.uniform(-12, 12), chance.uniform(0.85, 1.15), middle)
    return photographed(
        cover,
        way,
        chance,
        table=chance.choice(("#c8c2b4", "#3a3d40", "#8a7a66", "#f4f4f2")),
        light=chance.uniform(0.75, 1.2),
        contrast=chance.uniform(0.8, 1.2),
        quality=chance.randint(70, 95),
    )


def as_jpeg(picture: Image.Image, quality: int = 90) -> bytes:
    """The bytes of a clean copy."""
    out = io.BytesIO()
    picture.convert("RGB").save(out, "JPEG", quality=quality, subsampling=0)
    return out.getvalue()
