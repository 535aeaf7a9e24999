"""The drawing board for one face: shapes in millimetres, inked as colour and key, then printed on paper."""

import contextlib
import math
from collections.abc import Iterator, Sequence

from PIL import Image, ImageChops, ImageDraw

from seeds.covers import inks
from seeds.covers.curves import Path, Point, box, ellipse, ribbon
from seeds.covers.inks import BLACK, FULL, Ink

WIDTH_PX = 640
OVERSAMPLING = 3
_SOLID = 100

Affine = tuple[float, float, float, float, float, float]


def _level(tint: int) -> int:
    return tint * FULL // 100


def _after(outer: Affine, inner: Affine) -> Affine:
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (a * g + b * j, a * h + b * k, a * i + b * m + c, d * g + e * j, d * h + e * k, d * i + e * m + f)


class Plate:
    """A face being drawn. Solid black prints over the colours below it; any other ink knocks them out."""

    def __init__(self, width_mm: float, height_mm: float, *, fine: int = OVERSAMPLING) -> None:
        self.width, self.height = width_mm, height_mm
        self.scale = WIDTH_PX * fine / width_mm
        size = (WIDTH_PX * fine, round(height_mm * WIDTH_PX / width_mm) * fine)
        self.colour = Image.new("RGB", size, 0)
        self.key = Image.new("L", size, 0)
        self._affine: Affine = (1, 0, 0, 0, 1, 0)
        self._grown = 1.0

    @contextlib.contextmanager
    def at(self, place: Point, *, size: float = 1, turn: float = 0, flip: bool = False) -> Iterator[None]:
        """Within this block a part is drawn round its own origin: put at a place, sized, turned, mirrored."""
        kept = self._affine, self._grown
        cos, sin = math.cos(math.radians(turn)) * size, math.sin(math.radians(turn)) * size
        hand = -1 if flip else 1
        self._affine = _after(self._affine, (cos * hand, -sin, place[0], sin * hand, cos, place[1]))
        self._grown *= size
        yield
        self._affine, self._grown = kept

    @contextlib.contextmanager
    def clip(self, *outlines: Sequence[Point]) -> Iterator[None]:
        """Within this block ink reaches only the inside of the outlines."""
        mask = self.mask(*outlines)
        colour, key = self.colour.copy(), self.key.copy()
        yield
        outside = ImageChops.invert(mask)
        self.colour.paste(colour, mask=outside)
        self.key.paste(key, mask=outside)

    def mask(self, *outlines: Sequence[Point]) -> Image.Image:
        """The inside of the outlines as a picture in black and white."""
        mask = Image.new("L", self.key.size, 0)
        draw = ImageDraw.Draw(mask)
        for outline in outlines:
            draw.polygon(self._pixels(outline), fill=FULL)
        return mask

    def _pixels(self, points: Sequence[Point]) -> Path:
        a, b, c, d, e, f = self._affine
        scale = self.scale
        return [((a * x + b * y + c) * scale, (d * x + e * y + f) * scale) for x, y in points]

    def _pens(self, ink: Ink) -> list[tuple[ImageDraw.ImageDraw, int | tuple[int, ...]]]:
        pens: list[tuple[ImageDraw.ImageDraw, int | tuple[int, ...]]] = [(ImageDraw.Draw(self.key), _level(ink.black))]
        if ink.black < _SOLID:
            pens.append((ImageDraw.Draw(self.colour), tuple(_level(tint) for tint in ink[:3])))
        return pens

    def fill(self, points: Sequence[Point], ink: Ink) -> None:
        """An area in one ink, without a line round it."""
        pixels = self._pixels(points)
        for pen, value in self._pens(ink):
            pen.polygon(pixels, fill=value)

    def line(self, points: Sequence[Point], width: float, ink: Ink = BLACK, *, closed: bool = False) -> None:
        """A line of even width with round joints and ends."""
        pixels = self._pixels([*points, points[0], points[1]] if closed else points)
        wide = max(1, round(width * self.scale * self._grown))
        for pen, value in self._pens(ink):
            pen.line(pixels, fill=value, width=wide, joint="curve")
            for x, y in (pixels[0], pixels[-1]) if not closed else ():
                pen.ellipse((x - wide / 2, y - wide / 2, x + wide / 2, y + wide / 2), fill=value)

    def shape(self, points: Sequence[Point], ink: Ink, line: float = 0.8, edge: Ink = BLACK) -> None:
        """An area with a line round it."""
        self.fill(points, ink)
        self.line(points, line, edge, closed=True)

    def brush(self, points: Sequence[Point], *widths: float, ink: Ink = BLACK) -> None:
        """A brush stroke that swells and thins as the widths say."""
        self.fill(ribbon(points, widths), ink)

    def disc(self, centre: Point, radius: Point | float, ink: Ink, *, line: float = 0, tilt: float = 0) -> None:
        """A round area, with a line round it if asked."""
        outline = ellipse(centre, radius, tilt=tilt)
        if line:
            self.shape(outline, ink, line)
        else:
            self.fill(outline, ink)

    def ground(self, ink: Ink) -> None:
        """The whole face in one ink."""
        self.fill(box(-5, -5, self.width + 5, self.height + 5), ink)

    def fade(self, outline: Sequence[Point], first: Ink, last: Ink, *, angle: float = 90) -> None:
        """An area that passes from one ink to another along an angle, in dots that grow."""
        pixels = self._pixels(outline)
        xs, ys = [x for x, _ in pixels], [y for _, y in pixels]
        left, top = int(min(xs)), int(min(ys))
        size = (max(1, int(max(xs)) + 1 - left), max(1, int(max(ys)) + 1 - top))
        ramp = _ramp(size, angle)
        self._tone(outline, ramp, (left, top), (first, last))

    def glow(self, outline: Sequence[Point], centre: Point, radius: float, inks_: tuple[Ink, Ink]) -> None:
        """An area that passes from one ink at a centre to another at a distance from it."""
        (x, y), reach = self._pixels([centre])[0], radius * self.scale * self._grown
        disc = Image.radial_gradient("L").resize((int(reach * 2), int(reach * 2)))
        ramp = Image.new("L", self.key.size, FULL)
        ramp.paste(disc, (int(x - reach), int(y - reach)))
        self._tone(outline, ramp, (0, 0), inks_)

    def _tone(self, outline: Sequence[Point], ramp: Image.Image, place: tuple[int, int], pair: tuple[Ink, Ink]) -> None:
        first, last = pair
        mask = self.mask(outline).crop((*place, place[0] + ramp.width, place[1] + ramp.height))
        bands = [
            ramp.point([round(_level(a) + (_level(b) - _level(a)) * v / FULL) for v in range(256)])
            for a, b in zip(first, last, strict=True)
        ]
        self.colour.paste(Image.merge("RGB", bands[:3]), place, mask)
        self.key.paste(bands[3], place, mask)

    def printed(self, paper: Image.Image, shifts: Sequence[tuple[int, int]]) -> Image.Image:
        """The plate printed on a sheet, each ink out of register by so many fine pixels, and trimmed to size."""
        planes = [*self.colour.split(), self.key]
        moved = [ImageChops.offset(plane, *shift) for plane, shift in zip(planes, shifts, strict=True)]
        sheet = paper.resize(self.key.size) if paper.size != self.key.size else paper
        inked = inks.laid(sheet, tuple(inks.broken(plane, i) for i, plane in enumerate(moved)))
        return inked.reduce(OVERSAMPLING)


def _ramp(size: tuple[int, int], angle: float) -> Image.Image:
    """Light from 0 to 255 across a rectangle along an angle."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    wide, high = size
    reach = abs(cos) * wide + abs(sin) * high
    base = Image.linear_gradient("L")
    scale = 256 / reach
    start = (reach - cos * wide - sin * high) / 2 * scale
    # The gradient runs down its own y: take v = start + (x cos + y sin) * scale, any column.
    return base.transform(
        size, Image.Transform.AFFINE, (0, 0, 128, cos * scale, sin * scale, start), Image.Resampling.BILINEAR
    )
