"""How a face with its faults looks: in plain light, with a lamp at the side, under UV-A."""

from PIL import Image, ImageChops, ImageFilter

from seeds.covers.curves import chance
from seeds.covers.paper import GROUND
from seeds.covers.wear import FLAT, FULL, Wear

_DAY, _RAKE = 1.0, 2.3


def seen(wear: Wear) -> Image.Image:
    """The picture that a camera takes."""
    if wear.light == "ultraviolet":
        picture = _ultraviolet(wear)
    elif wear.light == "raking":
        picture = _raked(wear)
    else:
        picture = _shaded(wear.picture, wear.relief, _DAY)
    return _laid_down(picture, wear)


def _shaded(picture: Image.Image, relief: Image.Image, gain: float) -> Image.Image:
    dark = relief.point([max(0, min(FULL, round(FULL - max(0, FLAT - v) * 1.5 * gain))) for v in range(256)])
    lit = relief.point([max(0, min(FULL, round(max(0, v - FLAT) * 0.95 * gain))) for v in range(256)])
    shaded = ImageChops.multiply(picture, Image.merge("RGB", (dark, dark, dark)))
    return ImageChops.screen(shaded, Image.merge("RGB", (lit, lit, lit)))


def _raked(wear: Wear) -> Image.Image:
    """One warm lamp low at the left: the near side bright, the far side dim, every ridge drawn."""
    size = wear.picture.size
    fall = Image.linear_gradient("L").transpose(Image.Transpose.ROTATE_270).resize(size)
    lamp = Image.merge("RGB", [fall.point([round(low + (high - low) * v / FULL) for v in range(256)])
                               for low, high in ((112, 255), (98, 242), (80, 208))])  # fmt: skip
    dice = chance(wear.issue.key + wear.face + " tooth")
    small = (size[0] // 2, size[1] // 2)
    tooth = Image.frombytes("L", small, dice.randbytes(small[0] * small[1])).filter(ImageFilter.GaussianBlur(1.1))
    tooth = tooth.resize(size).point([round(FLAT + (v - FLAT) * 0.16) for v in range(256)])
    grained = _shaded(ImageChops.multiply(wear.picture, lamp), tooth, 1)
    return _shaded(grained, wear.relief, _RAKE)


def _ultraviolet(wear: Wear) -> Image.Image:
    """Paper glows a dull blue, inks drink the light; added colour is darker, size and glue brighter."""
    grey = wear.picture.convert("L")
    red, green, blue = wear.picture.split()
    drunk = ImageChops.multiply(ImageChops.lighter(blue, green.point([v // 2 for v in range(256)])), grey)
    bands = [
        ImageChops.add(
            drunk.point([round(base + v * gain) for v in range(256)]), red.point([v // 16 for v in range(256)])
        )
        for base, gain in ((34, 0.44), (32, 0.48), (78, 0.62))
    ]
    picture = Image.merge("RGB", bands)
    night, shine = Image.new("RGB", picture.size, (14, 4, 22)), Image.new("RGB", picture.size, (206, 222, 226))
    picture.paste(night, mask=wear.dark.point([round(v * 0.92) for v in range(256)]))
    rim = ImageChops.subtract(wear.dark.filter(ImageFilter.GaussianBlur(1.4)), wear.dark)
    picture.paste(
        Image.new("RGB", picture.size, (150, 74, 176)), mask=rim.point([min(FULL, v * 2) for v in range(256)])
    )
    picture.paste(shine, mask=wear.glow.point([round(v * 0.72) for v in range(256)]))
    return _shaded(picture, wear.relief, _DAY * 0.6)


def _laid_down(picture: Image.Image, wear: Wear) -> Image.Image:
    """The table where paper is gone, in the paper's own thin shadow."""
    if wear.gone.getbbox() is None:
        return picture
    table = Image.new("RGB", picture.size, GROUND if wear.light != "ultraviolet" else (14, 12, 30))
    inner = wear.gone.filter(ImageFilter.GaussianBlur(1.6))
    shade = ImageChops.subtract(Image.new("L", picture.size, FULL), inner).point([v * 5 // 12 for v in range(256)])
    dim = ImageChops.invert(shade)
    table = ImageChops.multiply(table, Image.merge("RGB", (dim, dim, dim)))
    result = picture.copy()
    result.paste(table, mask=wear.gone)
    return result
