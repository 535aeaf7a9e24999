"""A picture of a face while faults are put on it: what lies on the paper, what stands out of it, what is gone."""

import random
from collections.abc import Sequence

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from seeds.covers.curves import Point, chance
from seeds.covers.faults import Fault, Frame, region
from seeds.covers.issues import Issue

FINE = 4
FLAT = 128
FULL = 255
Colour = tuple[int, int, int]


class Patch:
    """The part of a face that one fault may change.

    Units: all places are mm from the top left of the face.
    """

    def __init__(self, frame: Frame, scale: float) -> None:
        self.frame, self.scale = frame, scale
        self.place = (int(frame.left * scale), int(frame.top * scale))
        self.size = (
            max(2, int(frame.right * scale) - self.place[0]),
            max(2, int(frame.bottom * scale) - self.place[1]),
        )

    def _spots(self, points: Sequence[Point]) -> list[Point]:
        x0, y0 = self.place
        return [((x * self.scale - x0) * FINE, (y * self.scale - y0) * FINE) for x, y in points]

    def area(self, *outlines: Sequence[Point], blur: float = 0) -> Image.Image:
        """A mask of the inside of outlines; blur in mm."""
        mask = Image.new("L", (self.size[0] * FINE, self.size[1] * FINE), 0)
        draw = ImageDraw.Draw(mask)
        for outline in outlines:
            draw.polygon(self._spots(outline), fill=FULL)
        return self._soft(mask.reduce(FINE), blur)

    def lines(self, *paths: Sequence[Point], width: float, blur: float = 0) -> Image.Image:
        """A mask of lines; width and blur in mm."""
        mask = Image.new("L", (self.size[0] * FINE, self.size[1] * FINE), 0)
        draw = ImageDraw.Draw(mask)
        for path in paths:
            draw.line(self._spots(path), fill=FULL, width=max(1, round(width * self.scale * FINE)), joint="curve")
        return self._soft(mask.reduce(FINE), blur)

    def _soft(self, mask: Image.Image, blur: float) -> Image.Image:
        return mask.filter(ImageFilter.GaussianBlur(blur * self.scale)) if blur else mask

    def cloud(self, cell: float, dice: random.Random, *, tall: float = 1) -> Image.Image:
        """Uneven grey all over the patch, its lumps so many mm wide and so many times as tall."""
        across, down = max(1, round(cell * self.scale)), max(1, round(cell * tall * self.scale))
        small = (self.size[0] // across + 3, self.size[1] // down + 3)
        field = Image.frombytes("L", small, bytes(dice.randrange(256) for _ in range(small[0] * small[1])))
        grown = field.resize((small[0] * across, small[1] * down), Image.Resampling.BICUBIC)
        return grown.crop((0, 0, *self.size))

    def fading(self, edge: float) -> Image.Image:
        """A mask that is full inside and reaches nothing at the patch's sides, over so many mm."""
        reach = max(1, round(edge * self.scale))
        mask = Image.new("L", self.size, 0)
        ImageDraw.Draw(mask).rectangle((reach, reach, self.size[0] - reach - 1, self.size[1] - reach - 1), fill=FULL)
        soft = mask.filter(ImageFilter.GaussianBlur(reach * 0.5))
        return soft.point([max(0, v - 6) * FULL // (FULL - 6) for v in range(256)])


class Wear:
    """A face with its faults gathering on it."""

    def __init__(self, picture: Image.Image, issue: Issue, face: str, light: str) -> None:
        self.picture, self.issue, self.face, self.light = picture.copy(), issue, face, light
        self.scale = picture.width / issue.width_mm
        self.relief = Image.new("L", picture.size, FLAT)
        self.glow = Image.new("L", picture.size, 0)
        self.dark = Image.new("L", picture.size, 0)
        self.gone = Image.new("L", picture.size, 0)

    def patch(self, fault: Fault) -> Patch:
        """The part of the face the fault may change."""
        return Patch(region(fault, self.issue), self.scale)

    def dice(self, fault: Fault) -> random.Random:
        """Chance that belongs to this fault alone."""
        place = f"{fault.kind} {fault.x_mm:.1f} {fault.y_mm:.1f} {fault.size_mm:.1f}"
        return chance(f"{self.issue.key} {self.face} {place}")

    def paint(self, patch: Patch, mask: Image.Image, colour: Colour, strength: float = 1) -> None:
        """Something opaque on the paper, or the bare fibre under broken colour."""
        if strength < 1:
            mask = mask.point([round(v * strength) for v in range(256)])
        self.picture.paste(Image.new("RGB", patch.size, colour), patch.place, mask)

    def soak(self, patch: Patch, mask: Image.Image, colour: Colour, strength: float = 1) -> None:
        """Something the paper took up: it darkens what lies under it."""
        box = (*patch.place, patch.place[0] + patch.size[0], patch.place[1] + patch.size[1])
        under = self.picture.crop(box)
        soaked = ImageChops.multiply(under, Image.new("RGB", patch.size, colour))
        self.picture.paste(soaked, patch.place, mask.point([round(v * strength) for v in range(256)]))

    def bleach(self, patch: Patch, mask: Image.Image, colour: Colour, strength: float) -> None:
        """Colour that left the paper: what lies there moves towards another tone."""
        box = (*patch.place, patch.place[0] + patch.size[0], patch.place[1] + patch.size[1])
        under = self.picture.crop(box)
        paler = Image.blend(under, Image.new("RGB", patch.size, colour), strength)
        self.picture.paste(paler, patch.place, mask)

    def raise_(self, patch: Patch, light: Image.Image, dark: Image.Image, strength: float) -> None:
        """Paper that stands out of the plane: where it catches the light and where it lies in its own shade."""
        rise = ImageChops.subtract(light, dark, 2 / strength, FLAT)
        box = (*patch.place, patch.place[0] + patch.size[0], patch.place[1] + patch.size[1])
        held = self.relief.crop(box)
        self.relief.paste(ImageChops.add(held, rise, 1, -FLAT), patch.place)

    def mark(self, layer: Image.Image, patch: Patch, mask: Image.Image, strength: float = 1) -> None:
        """Something that only shows in another light."""
        box = (*patch.place, patch.place[0] + patch.size[0], patch.place[1] + patch.size[1])
        layer.paste(ImageChops.lighter(layer.crop(box), mask.point([round(v * strength) for v in range(256)])),
                    patch.place)  # fmt: skip

    def cut(self, patch: Patch, mask: Image.Image) -> None:
        """Paper that is no longer there."""
        self.mark(self.gone, patch, mask)
