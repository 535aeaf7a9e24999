"""Old cover stock: its tone, darker towards the edges, and the two staples at the spine."""

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from seeds.covers.curves import chance
from seeds.covers.issues import Issue

GROUND = (196, 199, 196)  # the table the book lies on, seen where paper is missing
FIBRE = (240, 231, 208)  # bare paper where colour is broken
STAPLE_MM = 11.5
GRAIN = 3  # fine pixels: one pixel of the picture
_NEW, _OLD = 1980, 1939
_FAINT = [round((v - 128) * 0.6) + 128 for v in range(256)]


def staples(issue: Issue) -> tuple[float, float]:
    """Where the middles of the two staples are.

    Units: mm from the top edge.
    """
    dice = chance(issue.key + " staples")
    return issue.height_mm * 0.24 + dice.uniform(-4, 4), issue.height_mm * 0.76 + dice.uniform(-4, 4)


def _cloudy(size: tuple[int, int], cell: int, seed: str) -> Image.Image:
    dice = chance(seed)
    small = (size[0] // cell + 2, size[1] // cell + 2)
    field = Image.frombytes("L", small, bytes(dice.randrange(256) for _ in range(small[0] * small[1])))
    return field.resize(size, Image.Resampling.BICUBIC)


def edge_tone(size: tuple[int, int], reach: int, seed: str) -> Image.Image:
    """How far the browning has come in from the edges: 255 at the edge, 0 inside, its front uneven."""
    inner = Image.new("L", size, 0)
    ImageDraw.Draw(inner).rectangle((reach // 5, reach // 5, size[0] - reach // 5, size[1] - reach // 5), fill=255)
    soft = inner.filter(ImageFilter.GaussianBlur(reach / 2))
    uneven = _cloudy(size, 90, seed).point([round((v - 128) * 0.3 + 128) for v in range(256)])
    rim = ImageChops.invert(soft)
    return ImageChops.multiply(rim, uneven.point([min(255, v + 90) for v in range(256)]))


def stock(issue: Issue, size: tuple[int, int]) -> Image.Image:
    """The unprinted cover sheet; the older, the more toned."""
    age = (_NEW - int(issue.cover_date[:4])) / (_NEW - _OLD)
    base = (round(249 - 6 * age), round(244 - 10 * age), round(229 - 22 * age))
    brown = (round(232 - 16 * age), round(212 - 26 * age), round(172 - 40 * age))
    tone = ImageChops.overlay(edge_tone(size, size[0] // 14, issue.key + " tone"), _tooth(size, issue.key))
    return Image.composite(Image.new("RGB", size, brown), Image.new("RGB", size, base), tone)


def _tooth(size: tuple[int, int], seed: str) -> Image.Image:
    """The grain of the sheet: it keeps the browning from lying in rings."""
    dice = chance(seed + " tooth")
    small = (size[0] // GRAIN + 1, size[1] // GRAIN + 1)
    field = Image.frombytes("L", small, dice.randbytes(small[0] * small[1])).point(_FAINT)
    return field.resize((small[0] * GRAIN, small[1] * GRAIN), Image.Resampling.NEAREST).crop((0, 0, *size))


def bound(picture: Image.Image, issue: Issue, face: str) -> Image.Image:
    """The printed cover folded round the book: the fold's soft shade and the staples at the spine."""
    scale = picture.width / issue.width_mm
    spine_left = face == "front"
    shade = Image.new("L", picture.size, 255)
    draw = ImageDraw.Draw(shade)
    for i in range(round(2.6 * scale)):
        x = i if spine_left else picture.width - 1 - i
        draw.line((x, 0, x, picture.height), fill=round(255 - 62 * (1 - i / (2.6 * scale)) ** 1.6))
    glass = Image.merge("RGB", (shade, shade, shade))
    result = ImageChops.multiply(picture, glass)
    for middle in staples(issue):
        _staple(result, middle, scale, spine_left=spine_left)
    return result


def _staple(picture: Image.Image, middle: float, scale: float, *, spine_left: bool) -> None:
    fine = 4
    wide, high = round(3 * scale), round((STAPLE_MM + 2) * scale)
    wire = Image.new("RGBA", (wide * fine, high * fine))
    draw = ImageDraw.Draw(wire)
    x, top, foot = 0.75 * scale * fine, scale * fine, high * fine - scale * fine
    for thick, colour, shift in ((1.25, (40, 36, 34, 150), 0.25), (0.85, (122, 120, 118, 255), 0.0)):
        half = thick * scale * fine / 2
        place = (x - half + shift * scale * fine, top - half / 2, x + half + shift * scale * fine, foot + half / 2)
        draw.rounded_rectangle(place, radius=half, fill=colour)
    draw.line((x - 0.12 * scale * fine, top, x - 0.12 * scale * fine, foot), fill=(214, 214, 212, 255), width=fine)
    patch = wire.reduce(fine)
    if not spine_left:
        patch = patch.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    corner = (0 if spine_left else picture.width - wide, round(middle * scale) - high // 2)
    picture.paste(patch, corner, patch)
