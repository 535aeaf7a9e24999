"""Faults by which paper parted or is gone: tears, splits, missing pieces, insects, and a cover bound askew."""

import math

from PIL import Image, ImageChops

from seeds.covers.curves import Path, Point, ellipse, polar, ribbon, smooth
from seeds.covers.faults import Fault
from seeds.covers.faults_relief import corner, spine_side
from seeds.covers.paper import FIBRE
from seeds.covers.wear import Wear

_CORNER_REACH = 1.6


def nearest_edge(wear: Wear, fault: Fault) -> tuple[Point, float]:
    """The point of the nearest edge, and the direction out of the face there."""
    width, height = wear.issue.width_mm, wear.issue.height_mm
    gap, outward = min((fault.x_mm, 180), (width - fault.x_mm, 0), (fault.y_mm, 270), (height - fault.y_mm, 90))
    return polar((fault.x_mm, fault.y_mm), gap, outward), outward


def tear(wear: Wear, fault: Fault) -> None:
    """A tear that runs in from an edge: a fine dark line between two white lips, open at the edge."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    edge, outward = nearest_edge(wear, fault)
    inward = outward + 180 + (fault.angle or dice.uniform(-12, 12))
    path: Path = [polar(edge, 0.5, outward)]
    for i in range(1, 8):
        along = polar(edge, fault.size_mm * i / 7, inward)
        path.append(polar(along, dice.uniform(-0.7, 0.7), inward + 90))
    line = smooth(path, closed=False, steps=5)
    lips = ribbon(line, (2.6, 1.7, 1.3, 0.9, 0.2))
    wear.paint(patch, patch.area(lips, blur=0.12), FIBRE, 0.92)
    wear.raise_(patch, patch.area([(x - 0.8, y - 0.8) for x, y in lips], blur=0.4),
                patch.area([(x + 1, y + 1) for x, y in lips], blur=0.5), 0.4)  # fmt: skip
    wear.paint(patch, patch.area(ribbon(line, (0.7, 0.5, 0.4, 0.3, 0.1)), blur=0.04), (70, 60, 52), 0.85)
    gap = ribbon(line[: len(line) // 2], (1.7, 0.9, 0.1))
    wear.cut(patch, patch.area(gap))


def spine_split(wear: Wear, fault: Fault) -> None:
    """The fold worn through: a ragged white and dark slit along the spine."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    x, way = spine_side(wear)
    half = fault.size_mm / 2
    inner: Path = []
    count = max(6, int(fault.size_mm / 1.4))
    for i in range(count + 1):
        share = i / count
        reach = (0.5 + dice.uniform(0.3, 1.5)) * math.sin(math.pi * share) ** 0.4
        inner.append((x + way * reach, fault.y_mm - half + fault.size_mm * share))
    white = [(x, fault.y_mm - half), *[(px + way * 0.8, py) for px, py in inner], (x, fault.y_mm + half)]
    wear.paint(patch, patch.area(white, blur=0.1), FIBRE, 0.95)
    wear.raise_(patch, patch.lines([(px + way * 1.6, py) for px, py in inner], width=1, blur=0.4),
                patch.lines(inner, width=0.8, blur=0.2), 0.4)  # fmt: skip
    wear.cut(patch, patch.area([(x - way, fault.y_mm - half), *inner, (x - way, fault.y_mm + half)]))


def missing_piece(wear: Wear, fault: Fault) -> None:
    """A piece torn off at an edge or a corner, the break white and fibrous."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    edge, outward = nearest_edge(wear, fault)
    place, right, down = corner(wear, fault)
    size = fault.size_mm
    if math.dist(place, (fault.x_mm, fault.y_mm)) < size * _CORNER_REACH + 3:
        start, end = (place[0] + right * size, place[1]), (place[0], place[1] + down * size * 0.9)
        outside = [(place[0] - right * 3, place[1] + down * size * 0.9), (place[0] - right * 3, place[1] - down * 3),
                   (place[0] + right * size, place[1] - down * 3)]  # fmt: skip
        bow = (place[0] + right * size * 0.42, place[1] + down * size * 0.4)
    else:
        start, end = polar(edge, size / 2, outward + 90), polar(edge, -size / 2, outward + 90)
        outside = [polar(end, 3, outward), polar(start, 3, outward)]
        bow = polar(edge, -size * 0.55, outward)
    rim: Path = []
    for i in range(15):
        share = i / 14
        a = (start[0] + (bow[0] - start[0]) * share, start[1] + (bow[1] - start[1]) * share)
        b = (bow[0] + (end[0] - bow[0]) * share, bow[1] + (end[1] - bow[1]) * share)
        at = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
        off = dice.uniform(-0.5, 0.5) if 0 < i < 14 else 0  # noqa: PLR2004 - both ends lie on the edge
        rim.append((at[0] + off, at[1] + off * 0.6))
    wear.paint(patch, patch.area(ribbon(rim, (1.2, 2.6, 1.6, 2.8, 1.2)), blur=0.12), FIBRE, 0.95)
    wear.cut(patch, patch.area([*rim, *outside]))


def pest_damage(wear: Wear, fault: Fault) -> None:
    """Grazed by insects: small scalloped bites that join into each other."""
    patch, dice = wear.patch(fault), wear.dice(fault)
    half = fault.size_mm / 2
    bites = []
    for i in range(13):
        at = (fault.x_mm - half + fault.size_mm * (i + 0.5) / 13, fault.y_mm + dice.uniform(-1.8, 1.8))
        bites.append(ellipse(at, (dice.uniform(0.6, 1.5), dice.uniform(0.5, 1.1)), tilt=dice.uniform(0, 180)))
    grazed = patch.area(*(ellipse(b[0], 2) for b in bites), *bites, blur=0.3)
    wear.paint(patch, grazed, FIBRE, 0.85)
    wear.cut(patch, patch.area(*bites[::2]))


def bindery_miswrap(wear: Wear, fault: Fault) -> None:
    """The cover was folded off its line: the front begins too late and a strip of the back shows at the spine."""
    shift = max(1, round(fault.size_mm * wear.scale))
    way = spine_side(wear)[1]
    moved = ImageChops.offset(wear.picture, way * shift, 0)
    strip = (0, 0, shift, moved.height) if way > 0 else (moved.width - shift, 0, moved.width, moved.height)
    under = wear.picture.crop(strip).convert("L").convert("RGB")
    moved.paste(Image.blend(under, Image.new("RGB", under.size, FIBRE), 0.72), strip[:2])
    wear.picture = moved
