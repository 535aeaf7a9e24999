"""Faults that stand out of the paper: ticks, bends, creases, folds, dents, waves, a rolled spine."""

import math
import random

from PIL import Image, ImageChops

from seeds.covers.curves import Path, Point, ellipse, polar, ribbon, smooth
from seeds.covers.faults import Fault
from seeds.covers.paper import FIBRE
from seeds.covers.wear import FULL, Patch, Wear

_NORMAL_TO_LINE = 90


def slant(wear: Wear, angle: float) -> float:
    """How much of a ridge shows: the lamp stands at the left, so a level ridge hardly throws a shade when it rakes."""
    across = abs(math.sin(math.radians(angle)))
    return 0.35 + 0.65 * across if wear.light == "raking" else 0.75 + 0.25 * across


def spine_side(wear: Wear) -> tuple[float, int]:
    """Where the spine is on this face, and which way the face runs from it."""
    return (0.0, 1) if wear.face == "front" else (float(wear.issue.width_mm), -1)


def course(fault: Fault, dice: random.Random, sway: float) -> Path:
    """The line of a long fault: straight by intent, a little bowed in fact."""
    start = polar((fault.x_mm, fault.y_mm), -fault.size_mm / 2, fault.angle)
    points: Path = []
    for i in range(6):
        along = polar(start, fault.size_mm * i / 5, fault.angle)
        off = dice.uniform(-sway, sway) if 0 < i < 5 else 0  # noqa: PLR2004 - both ends stay where they are
        points.append(polar(along, off, fault.angle + _NORMAL_TO_LINE))
    return smooth(points, closed=False, steps=6)


def ridge(wear: Wear, patch: Patch, path: Path, width: float, strength: float, angle: float) -> None:  # noqa: PLR0913 - a ridge has many measures
    """Light on one side of a line, shade on the other."""
    normal = angle + _NORMAL_TO_LINE
    towards = 1 if math.cos(math.radians(normal)) + 0.3 * math.sin(math.radians(normal)) < 0 else -1
    profile = (0.2, 1, 1, 1, 0.2)
    sides = []
    for side in (towards, -towards):
        moved = [polar(point, side * width * 0.5, normal) for point in path]
        body = ribbon(moved, [width * 1.1 * share for share in profile])
        sides.append(patch.area(body, blur=width * 0.32))
    wear.raise_(patch, sides[0], sides[1], strength * slant(wear, angle))


def broken(path: Path, dice: random.Random, width: float) -> list[Path]:
    """A line along which colour has come off in flakes."""
    flakes: list[Path] = []
    i = 0
    while i < len(path) - 2:
        long = dice.randint(2, 5)
        part = path[i : i + long + 1]
        if len(part) > 1:
            flakes.append(ribbon(part, (0.1, width * dice.uniform(0.5, 1.2), width * dice.uniform(0.4, 1), 0.1)))
        i += long if dice.random() < 0.75 else long + 1  # noqa: PLR2004 - three flakes in four touch
    return flakes


def spine_tick(wear: Wear, fault: Fault) -> None:
    """A short stress line that runs in from the spine."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    x, way = spine_side(wear)
    lean = fault.angle or dice.uniform(-14, 14)
    tip = (x + way * fault.size_mm, fault.y_mm + math.tan(math.radians(lean)) * fault.size_mm * way)
    path = smooth([(x, fault.y_mm), ((x + tip[0]) / 2, (fault.y_mm + tip[1]) / 2 + dice.uniform(-0.2, 0.2)), tip],
                  closed=False)  # fmt: skip
    above = [(px, py - 0.35) for px, py in path]
    below = [(px, py + 0.4) for px, py in path]
    wear.raise_(patch, patch.area(ribbon(above, (0.9, 0.7, 0.1)), blur=0.12),
                patch.area(ribbon(below, (1.3, 1, 0.2)), blur=0.16), 0.85)  # fmt: skip
    if fault.breaks_colour:
        wear.paint(patch, patch.area(ribbon(path, (0.95, 0.7, 0.12)), blur=0.05), FIBRE, 0.95)
    else:
        wear.soak(patch, patch.area(ribbon(path, (0.5, 0.4, 0.1)), blur=0.08), (110, 100, 92), 0.7)


def bend(wear: Wear, fault: Fault) -> None:
    """A long soft bend: a light and a shade side by side, no colour lost."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    path = course(fault, dice, fault.size_mm * 0.025)
    ridge(wear, patch, path, min(5.2, 2.2 + fault.size_mm * 0.05), 0.5, fault.angle)
    ridge(wear, patch, path, 1.0, 0.3, fault.angle)


def crease(wear: Wear, fault: Fault) -> None:
    """A sharp line; where it breaks colour the fibre shows white."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    path = course(fault, dice, fault.size_mm * 0.012)
    ridge(wear, patch, path, 1.5, 0.6, fault.angle)
    if fault.breaks_colour:
        wear.paint(patch, patch.area(*broken(path, dice, 0.95), blur=0.05), FIBRE, 0.95)
    else:
        wear.soak(patch, patch.area(ribbon(path, (0.1, 0.45, 0.4, 0.1)), blur=0.1), (120, 112, 106), 0.8)


def subscription_fold(wear: Wear, fault: Fault) -> None:
    """The crease down the middle of a copy that was folded for the post."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    upright = Fault(fault.type, fault.face, fault.x_mm, fault.y_mm, fault.size_mm, fault.breaks_colour, 90)
    path = course(upright, dice, 0.5)
    ridge(wear, patch, path, 4.4, 0.42, 90)
    ridge(wear, patch, path, 1.1, 0.6, 90)
    if fault.breaks_colour:
        wear.paint(patch, patch.area(*broken(path, dice, 0.5), blur=0.05), FIBRE, 0.9)
    else:
        wear.soak(patch, patch.area(ribbon(path, (0.3, 0.5, 0.5, 0.3)), blur=0.12), (140, 132, 124), 0.8)


def corner(wear: Wear, fault: Fault) -> tuple[Point, int, int]:
    """The corner nearest to a fault, and which way the face runs from it."""
    right, low = fault.x_mm > wear.issue.width_mm / 2, fault.y_mm > wear.issue.height_mm / 2
    place = (wear.issue.width_mm if right else 0.0, wear.issue.height_mm if low else 0.0)
    return place, (-1 if right else 1), (-1 if low else 1)


def fold(wear: Wear, fault: Fault) -> None:
    """A corner that was turned over and laid back: a slanting line, the flap a shade apart."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    (x, y), right, down = corner(wear, fault)
    reach = fault.size_mm * 0.72
    start, end = (x + right * reach, y), (x, y + down * reach * dice.uniform(0.8, 1.05))
    path = smooth([start, ((start[0] + end[0]) / 2 + right * 0.3, (start[1] + end[1]) / 2), end], closed=False)
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    flap = patch.area([start, end, (x, y)], blur=0.6)
    wear.raise_(patch, Image.new("L", patch.size, 0), flap, 0.16)
    ridge(wear, patch, path, 1.4, 0.7, angle)
    if fault.breaks_colour:
        wear.paint(patch, patch.area(*broken(path, dice, 0.75), blur=0.05), FIBRE, 0.95)
    else:
        wear.soak(patch, patch.area(ribbon(path, (0.3, 0.5, 0.3)), blur=0.1), (126, 118, 110), 0.8)


def corner_blunting(wear: Wear, fault: Fault) -> None:
    """A corner worn round, its tip bruised; where colour broke, white fibre."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    (x, y), right, down = corner(wear, fault)
    size = fault.size_mm
    rim: Path = []
    for i in range(9):
        angle = math.radians(90 * i / 8)
        worn = size * (1 + dice.uniform(-0.08, 0.08))
        rim.append((x + right * (size - worn * math.sin(angle)), y + down * (size - worn * math.cos(angle))))
    outside = [(x + right * size, y), *rim, (x, y + down * size), (x - right * 2, y - down * 2)]
    around = ribbon(rim, (0.2, size * 0.5, size * 0.55, size * 0.4, 0.2))
    wear.raise_(patch, patch.area([(px + right * 0.4, py + down * 0.4) for px, py in around], blur=size * 0.16),
                patch.area(around, blur=size * 0.16), 0.35)  # fmt: skip
    if fault.breaks_colour:
        flakes = [ellipse(dice.choice(rim), (dice.uniform(0.2, size * 0.3), dice.uniform(0.2, size * 0.22)))
                  for _ in range(10)]  # fmt: skip
        wear.paint(patch, patch.area(*flakes, ribbon(rim, (0.2, 0.7, 0.2)), blur=0.08), FIBRE, 0.95)
    else:
        wear.soak(patch, patch.area(ribbon(rim, (0.3, 0.9, 0.3)), blur=0.3), (170, 160, 148), 0.8)
    wear.cut(patch, patch.area(outside))


def edge_dent(wear: Wear, fault: Fault) -> None:
    """A knock against an edge: a small hollow with a crushed rim."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    width, height = wear.issue.width_mm, wear.issue.height_mm
    near = min(((fault.x_mm, 180), (width - fault.x_mm, 0), (fault.y_mm, -90), (height - fault.y_mm, 90)))
    outward = near[1]
    at = polar((fault.x_mm, fault.y_mm), near[0], outward)
    deep, half = fault.size_mm * 0.32, fault.size_mm / 2
    along = outward + 90
    hollow = smooth([polar(at, half, along), polar(polar(at, half * 0.5, along), -deep * 0.7, outward),
                     polar(at, -deep, outward), polar(polar(at, -half * 0.5, along), -deep * 0.8, outward),
                     polar(at, -half, along)], closed=False)  # fmt: skip
    shade = ribbon([polar(p, -0.5, outward) for p in hollow], (0.4, 1.8, 2, 1.8, 0.4))
    lit = ribbon([polar(p, -1.6, outward) for p in hollow], (0.3, 1.2, 1.4, 1.2, 0.3))
    wear.raise_(patch, patch.area(lit, blur=0.3), patch.area(shade, blur=0.3), 0.6)
    if fault.breaks_colour:
        wear.paint(patch, patch.area(*broken(hollow, dice, 0.9), blur=0.06), FIBRE, 0.95)
    wear.cut(patch, patch.area([polar(at, half, along), *hollow, polar(at, -half, along), polar(at, 3, outward)]))


def indentation(wear: Wear, fault: Fault) -> None:
    """Something pressed into the cover: a groove that closes, as a coin or a pen leaves it."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    wide = fault.size_mm / 2
    high = wide * dice.uniform(0.3, 0.8)
    centre = (fault.x_mm, fault.y_mm)
    groove = ellipse(centre, (wide, high), tilt=fault.angle, arc=(20, 20 + dice.choice((300, 330, 350))))
    lit = patch.lines([(x + 0.45, y + 0.45) for x, y in groove], width=0.9, blur=0.22)
    dark = patch.lines([(x - 0.25, y - 0.25) for x, y in groove], width=0.9, blur=0.22)
    wear.raise_(patch, lit, dark, 0.62)
    wear.raise_(patch, Image.new("L", patch.size, 0), patch.area(groove, blur=0.8), 0.08)


def waviness(wear: Wear, fault: Fault) -> None:
    """Paper that took up damp and dried in waves: broad lights and shades."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    broad = patch.cloud(max(5.0, fault.size_mm * 0.09), dice, tall=5)
    cross = patch.cloud(max(9.0, fault.size_mm * 0.2), dice, tall=0.9)
    both = ImageChops.add(broad, cross, 2)
    inside = patch.fading(7)
    light = both.point([min(FULL, max(0, (v - 128) * 4)) for v in range(256)])
    dark = both.point([min(FULL, max(0, (128 - v) * 4)) for v in range(256)])
    wear.raise_(patch, ImageChops.multiply(light, inside), ImageChops.multiply(dark, inside),
                0.32 if wear.light == "raking" else 0.2)  # fmt: skip


def spine_roll(wear: Wear, fault: Fault) -> None:
    """A spine that crept to one side: the fold's own light lies further in, a shade beside it."""
    patch = wear.patch(fault)
    x, way = spine_side(wear)
    size, height = fault.size_mm, wear.issue.height_mm
    lit_at, dark_at = x + way * (1.2 + size * 0.9), x + way * (2.6 + size * 2.2)
    lit = patch.lines([(lit_at, -3), (lit_at, height + 3)], width=1 + size * 0.8, blur=0.3 + size * 0.25)
    dark = patch.lines([(dark_at, -3), (dark_at, height + 3)], width=1 + size, blur=0.5 + size * 0.4)
    inside = patch.fading(1.2) if patch.size[0] > patch.scale else Image.new("L", patch.size, FULL)
    column = inside.crop((0, patch.size[1] // 2, patch.size[0], patch.size[1] // 2 + 1)).resize(patch.size)
    full = Image.new("L", patch.size, FULL)
    full.paste(column, (0, 0))
    keep = ImageChops.lighter(column, patch.lines([(x, -3), (x, height + 3)], width=8 + size * 4))
    wear.raise_(patch, ImageChops.multiply(lit, keep), ImageChops.multiply(dark, keep), 0.5)
