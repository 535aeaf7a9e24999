"""Faults that lie on the paper or in it: dirt, marks, stains, light, tape, rust, rubbed places."""

import math
from collections.abc import Mapping

from PIL import Image, ImageChops

from seeds.covers.curves import Path, Point, ellipse, polar, ribbon, smooth, turned
from seeds.covers.faults import Fault
from seeds.covers.faults_relief import course, spine_side
from seeds.covers.lettering import GOTHIC, PEN, Face, fitted
from seeds.covers.paper import FIBRE, STAPLE_MM, edge_tone, staples
from seeds.covers.wear import FULL, Patch, Wear

_GRAPHITE = (92, 92, 96)
_INK = (38, 52, 128)
_STAMP = (92, 46, 120)
_WRITTEN: Mapping[str, str] = {"harbor-lamp-31": "Piet", "umbrella-for-two-3": "for W.", "bold-sextant-57": "Wendel"}


def _lettered(patch: Patch, text: str, face: Face, fault: Fault, high: float) -> Image.Image:
    """A word as a mask, as long as the fault and turned as it."""
    half = fault.size_mm / 2
    frame = (fault.x_mm - half, fault.y_mm - high / 2, fault.x_mm + half, fault.y_mm + high / 2)
    letters = fitted(text, face, frame)
    return patch.area(*(turned(o, fault.angle, (fault.x_mm, fault.y_mm)) for letter in letters for o in letter))


def _grain(wear: Wear, patch: Patch, fault: Fault, cell: float, low: int) -> Image.Image:
    """The tooth of the paper: what a dry point leaves out."""
    return patch.cloud(cell, wear.dice(fault)).point(
        [FULL if v > low else max(0, (v - low + 60) * 4) for v in range(256)]
    )


def surface_dirt(wear: Wear, fault: Fault) -> None:
    """A grey-brown bloom of handling dirt with a few drawn-out smears."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    lumps = []
    for _ in range(9):
        at = polar((fault.x_mm, fault.y_mm), half * dice.uniform(0, 0.5), dice.uniform(0, 360))
        lumps.append(ellipse(at, (half * dice.uniform(0.2, 0.42), half * dice.uniform(0.15, 0.34)),
                             tilt=fault.angle + dice.uniform(-20, 20)))  # fmt: skip
    cloud = patch.cloud(3.2, dice).point([min(FULL, 90 + v) for v in range(256)])
    bloom = ImageChops.multiply(patch.area(*lumps, blur=min(2.2, half * 0.14)), cloud)
    smears = []
    for _ in range(6):
        at = polar((fault.x_mm, fault.y_mm), half * dice.uniform(0, 0.5), dice.uniform(0, 360))
        end = polar(at, half * dice.uniform(0.2, 0.42), fault.angle + dice.uniform(-12, 12))
        smears.append(ribbon([at, end], (0.4, dice.uniform(0.8, 2), 0.2)))
    streaks = ImageChops.multiply(patch.area(*smears, blur=0.25), cloud)
    inside = patch.fading(1.5)
    wear.soak(patch, ImageChops.multiply(bloom, inside), (150, 138, 120), 0.75)
    wear.soak(patch, ImageChops.multiply(streaks, inside), (128, 118, 104), 0.6)
    wear.mark(wear.dark, patch, ImageChops.multiply(bloom, inside), 0.4)


def pencil_mark(wear: Wear, fault: Fault) -> None:
    """A dealer's figures in soft pencil."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    text = dice.choice(("35-", "W4", "no.2", "8/6", "10-", "x12"))
    face = Face(stem=0.1, bar=0.1, power=2, round_ends=True, slant=0.2, gap=0.2)
    word = _lettered(patch, text, face, fault, min(7.5, fault.size_mm * 0.55))
    grain = _grain(wear, patch, fault, 0.3, 84)
    wear.paint(patch, ImageChops.multiply(word, grain), _GRAPHITE, 0.82)
    wear.mark(wear.dark, patch, word, 0.5)


def ink_writing(wear: Wear, fault: Fault) -> None:
    """A name in pen and ink."""
    patch = wear.patch(fault)
    text = _WRITTEN.get(wear.issue.key, "R. Oost")
    word = _lettered(patch, text, PEN, fault, min(8.0, fault.size_mm * 0.42))
    wear.soak(patch, word, _INK, 0.92)
    wear.mark(wear.dark, patch, word)


def date_mark(wear: Wear, fault: Fault) -> None:
    """The day of arrival, stamped by the shop."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    month = int(wear.issue.cover_date[5:7])
    names = ("JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC")
    text = f"{names[(month - 3) % 12]} {dice.randint(2, 28)}"
    word = _lettered(patch, text, GOTHIC, fault, fault.size_mm * 0.3)
    grain = _grain(wear, patch, fault, 0.5, 70)
    wear.soak(patch, ImageChops.multiply(word, grain), _STAMP, 0.9)
    wear.mark(wear.dark, patch, word, 0.8)


def abrasion(wear: Wear, fault: Fault) -> None:
    """A scuffed place: fine scratches that took colour with them."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    scratches: list[Path] = []
    for _ in range(46):
        at = polar((fault.x_mm, fault.y_mm), half * math.sqrt(dice.random()) * 0.9, dice.uniform(0, 360))
        end = polar(at, dice.uniform(0.5, half * 0.5), fault.angle + dice.uniform(-16, 16))
        scratches.append(ribbon([at, end], (0.1, dice.uniform(0.2, 0.7), 0.1)))
    grain = _grain(wear, patch, fault, 0.4, 96)
    wear.paint(patch, ImageChops.multiply(patch.area(*scratches, blur=0.05), grain), FIBRE, 0.85)


def gloss_loss(wear: Wear, fault: Fault) -> None:
    """A rubbed place that is dull: no colour lost, only its depth."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    spot = [polar((fault.x_mm, fault.y_mm), half * dice.uniform(0.7, 0.95), a) for a in range(0, 360, 24)]
    mask = ImageChops.multiply(patch.area(smooth(spot), blur=0.9), patch.fading(1.2))
    wear.bleach(patch, mask, (176, 170, 160), 0.2)


def stain(wear: Wear, fault: Fault) -> None:
    """A spill that dried: a brown spot, darker at its rim."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    rim = smooth([polar((fault.x_mm, fault.y_mm), half * dice.uniform(0.78, 1), a) for a in range(0, 360, 30)])
    wear.soak(patch, patch.area(rim, blur=0.3), (206, 176, 122), 0.8)
    wear.soak(patch, patch.lines([*rim, rim[0]], width=0.8, blur=0.25), (150, 108, 62), 0.75)
    wear.mark(wear.glow, patch, patch.area(rim, blur=0.4), 0.55)


def tide_line(wear: Wear, fault: Fault) -> None:
    """How far the water came from the nearest edge: yellowed inside, a brown line where it stopped."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    width, height = wear.issue.width_mm, wear.issue.height_mm
    ways = ((fault.x_mm, 180), (width - fault.x_mm, 0), (fault.y_mm, 270), (height - fault.y_mm, 90))
    gap, outward = min(ways)
    edge = polar((fault.x_mm, fault.y_mm), gap, outward)
    along, half = outward + 90, fault.size_mm / 2
    deep = min(gap + half * 0.7, fault.size_mm * 0.6)
    front: Path = []
    for i in range(11):
        share = i / 10
        bulge = math.sin(math.pi * share) ** 0.6 * deep * dice.uniform(0.86, 1.06)
        front.append(polar(polar(edge, half * (share * 2 - 1), along), -bulge, outward))
    line = smooth(front, closed=False, steps=6)
    wet = patch.area([*line, polar(edge, half, along), polar(edge, -half, along)], blur=0.5)
    wear.soak(patch, wet, (238, 222, 184), 0.85)
    wear.soak(patch, patch.lines(line, width=2.6, blur=0.9), (190, 152, 98), 0.55)
    wear.soak(patch, patch.lines(line, width=0.7, blur=0.14), (122, 84, 46), 0.8)
    wear.mark(wear.glow, patch, patch.lines(line, width=1.6, blur=0.5), 0.9)


def shadow(wear: Wear, fault: Fault) -> None:
    """A strip that stood out of the pile in daylight: paler colours, yellower paper, one straight border."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    width, height = wear.issue.width_mm, wear.issue.height_mm
    upright = min(fault.x_mm, width - fault.x_mm) < min(fault.y_mm, height - fault.y_mm)
    lean = dice.uniform(-1.2, 1.2)
    strip: Path
    if upright:
        side, way = (0.0, 1) if fault.x_mm < width / 2 else (float(width), -1)
        strip = [(side - way * 9, -9), (side + way * (fault.size_mm + lean), -9),
                 (side + way * (fault.size_mm - lean), height + 9), (side - way * 9, height + 9)]  # fmt: skip
    else:
        side, way = (0.0, 1) if fault.y_mm < height / 2 else (float(height), -1)
        strip = [(-9, side - way * 9), (-9, side + way * (fault.size_mm + lean)),
                 (width + 9, side + way * (fault.size_mm - lean)), (width + 9, side - way * 9)]  # fmt: skip
    mask = patch.area(strip, blur=0.5)
    wear.bleach(patch, mask, (226, 214, 180), 0.3)
    wear.soak(patch, mask, (246, 232, 196), 0.8)
    wear.mark(wear.dark, patch, mask, 0.3)


def paper_tone(wear: Wear, fault: Fault) -> None:
    """Paper gone tan, deepest along the open edges."""
    patch = wear.patch(fault)
    rim = edge_tone(patch.size, max(8, round(fault.size_mm * wear.scale)), wear.issue.key + " tan")
    wear.soak(patch, rim, (196, 160, 106), 0.75)
    wear.soak(patch, Image.new("L", patch.size, FULL), (244, 232, 206), 0.8)
    wear.mark(wear.dark, patch, rim, 0.55)


def _strip(fault: Fault, high: float) -> Path:
    """A length of tape, its ends torn off by hand."""
    half = fault.size_mm / 2
    teeth = [(half + (0.6 if i % 2 else 0), high * (i / 6 - 0.5)) for i in range(7)]
    outline: list[Point] = [*teeth, *[(-x, y) for x, y in reversed(teeth)]]
    return turned([(fault.x_mm + x, fault.y_mm + y) for x, y in outline], fault.angle, (fault.x_mm, fault.y_mm))


def tape(wear: Wear, fault: Fault) -> None:
    """Clear tape gone amber, its edge catching the light."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    outline = _strip(fault, min(12.0, max(4.0, fault.size_mm * 0.36)))
    mask = patch.area(outline)
    wear.soak(patch, mask, (232, 202, 136), 0.85)
    wear.bleach(patch, mask, (250, 240, 214), 0.1)
    lit = patch.lines([(x - 0.2, y - 0.2) for x, y in outline], width=0.5, blur=0.1)
    dark = patch.lines([(x + 0.3, y + 0.3) for x, y in outline], width=0.6, blur=0.15)
    wear.raise_(patch, lit, dark, 0.5)
    wear.mark(
        wear.glow, patch, ImageChops.multiply(mask, patch.cloud(2, dice).point([min(255, v + 120) for v in range(256)]))
    )


def tape_residue(wear: Wear, fault: Fault) -> None:
    """What tape leaves when it falls off: amber glue in the shape of the strip."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    mask = patch.area(_strip(fault, min(12.0, max(4.0, fault.size_mm * 0.56))), blur=0.2)
    blotched = ImageChops.multiply(mask, patch.cloud(1.4, dice).point([min(255, v + 90) for v in range(256)]))
    wear.soak(patch, blotched, (204, 156, 84), 0.9)
    wear.mark(wear.glow, patch, blotched, 0.9)


def _at_staple(wear: Wear, fault: Fault) -> Point:
    x, way = spine_side(wear)
    middle = min(staples(wear.issue), key=lambda y: abs(y - fault.y_mm))
    return x + way * 0.8, middle


def staple_rust(wear: Wear, fault: Fault) -> None:
    """Rust on the wire and a brown halo in the paper round it; tone is the same with less of it."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    x, middle = _at_staple(wear, fault)
    much = {"staple-tone": 0.3, "rust-migrated": 1.5}.get(fault.kind, 1.0)
    wire = [(x, middle - STAPLE_MM / 2), (x, middle + STAPLE_MM / 2)]
    halo = patch.lines(wire, width=2.2 + fault.size_mm * 0.35 * much, blur=0.7 * much + 0.2)
    wear.soak(patch, ImageChops.multiply(halo, patch.fading(0.8)), (186, 112, 52), min(1, 0.6 * much))
    crust = patch.lines(wire, width=1.15, blur=0.06)
    flakes = ImageChops.multiply(
        crust, patch.cloud(0.5, dice).point([FULL if v > 150 - 60 * much else 0 for v in range(256)])
    )
    wear.paint(patch, flakes, (126, 62, 26), min(1, 0.9 * much))
    wear.mark(wear.dark, patch, halo, 0.6)


def mould(wear: Wear, fault: Fault) -> None:
    """Grey-green specks that lie in a cluster."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    specks = [
        ellipse(polar((fault.x_mm, fault.y_mm), half * dice.random(), dice.uniform(0, 360)), dice.uniform(0.15, 0.6))
        for _ in range(40)
    ]
    wear.soak(patch, patch.area(*specks, blur=0.12), (104, 108, 84), 0.85)
    wear.mark(wear.glow, patch, patch.area(*specks, blur=0.2), 0.8)


def colour_touch(wear: Wear, fault: Fault) -> None:
    """Colour that somebody added: hardly seen by day, a dark violet patch under UV-A."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    if spine_side(wear)[0] - 6 < fault.x_mm < spine_side(wear)[0] + 6:
        side: Path = []
        for i in range(13):
            reach = 3.2 * dice.uniform(0.5, 1.2) if 0 < i < 12 else 0.4  # noqa: PLR2004 - the ends run out
            side.append((spine_side(wear)[0] + spine_side(wear)[1] * reach, fault.y_mm - half + fault.size_mm * i / 12))
        outline = [(spine_side(wear)[0], fault.y_mm - half), *side, (spine_side(wear)[0], fault.y_mm + half)]
    else:
        outline = smooth([polar((fault.x_mm, fault.y_mm), half * dice.uniform(0.7, 1), a) for a in range(0, 360, 30)])
    mask = patch.area(outline, blur=0.25)
    wear.soak(patch, mask, (150, 146, 158), 0.35)
    wear.mark(wear.dark, patch, mask)


def fibre(wear: Wear, fault: Fault) -> None:
    """A coloured fibre pressed into the cover stock."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    path = course(fault, dice, fault.size_mm * 0.2)
    wear.paint(patch, patch.area(ribbon(path, (0.12, 0.26, 0.22, 0.1))), (44, 74, 168), 0.9)
    wear.mark(wear.glow, patch, patch.lines(path, width=0.4))


def hair(wear: Wear, fault: Fault) -> None:
    """A hair that lay on the plate while the ink was printed."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    path = course(fault, dice, fault.size_mm * 0.28)
    wear.paint(patch, patch.area(ribbon(path, (0.1, 0.24, 0.2, 0.08))), FIBRE, 0.9)


def speck(wear: Wear, fault: Fault) -> None:
    """A spot the ink never reached, or (without a break) a stray spot of yellow."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    outline = smooth([polar((fault.x_mm, fault.y_mm), half * dice.uniform(0.8, 1.1), a) for a in range(0, 360, 45)])
    if fault.breaks_colour:
        wear.paint(patch, patch.area(outline), FIBRE)
    else:
        wear.paint(patch, patch.area(outline), (246, 208, 44))
