"""Harbor Lamp: a lighthouse in a storm, a whale under a longboat."""

import math

from seeds.covers.curves import Path, Point, box, chance, ellipse, polar, ribbon, rounded, smooth
from seeds.covers.inks import (
    BLACK,
    BLUE,
    CREAM,
    CYAN,
    FLESH,
    GOLD,
    INDIGO,
    NAVY,
    ORANGE,
    RED,
    RUST,
    SEA,
    SKY,
    SLATE,
    TAN,
    TEAL,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import harbor_lamp
from seeds.covers.plate import Plate
from seeds.covers.scenery import bolt, cloud, feather, rain, sea, stars
from seeds.covers.signs import caption


def lighthouse_storm(plate: Plate, issue: Issue) -> None:
    """A lighthouse holds its beam over a rowing boat while the sea climbs the rock."""
    plate.ground(INDIGO)
    plate.fade(box(-2, 60, 186, 215), INDIGO, TEAL)
    bolt(plate, [(150, 70), (139, 104), (149, 105), (134, 136), (142, 137), (124, 176)], 8)
    for i, (x, y, wide) in enumerate(((20, 74, 60), (160, 80, 50), (95, 64, 80), (-4, 96, 34), (184, 100, 30))):
        cloud(plate, (x, y), (wide, 15), BLACK if i % 2 else Ink(100, 100, 60), seed=f"storm{i}")
    lamp = (66.0, 104.0)
    plate.fade([lamp, (190, 92), (190, 146)], YELLOW, Ink(60, 0, 90), angle=0)
    plate.fade([lamp, (-4, 80), (-4, 116)], YELLOW, Ink(40, 0, 95), angle=180)
    sea(plate, 196, (TEAL,), seed="far", height=5)
    _rock(plate)
    _tower(plate, lamp[0])
    _breaker(plate)
    _rowing_boat(plate, (124, 214))
    sea(plate, 232, (BLUE, TEAL, NAVY), seed="near", height=10, step=12)
    for at, size in (((34, 214), 9), ((50, 205), 6), ((92, 214), 7), ((104, 222), 5), ((22, 226), 7)):
        _spray(plate, at, size)
    rain(plate, (0, 60, 200, 250), 70, seed="rain", lean=0.45)
    harbor_lamp(plate, issue, (YELLOW, RED, YELLOW))


def _rock(plate: Plate) -> None:
    outline = [(4, 250), (10, 224), (24, 216), (30, 203), (44, 199), (50, 193), (84, 193), (92, 202), (104, 210),
               (112, 228), (126, 250)]  # fmt: skip
    plate.shape(outline, Ink(100, 100, 60), 1)
    plate.fill([(11, 224), (24, 217), (31, 204), (44, 200), (36, 214), (26, 232), (24, 250), (6, 250)], VIOLET)
    plate.fill([(52, 196), (64, 196), (58, 222), (54, 248), (46, 240), (44, 214)], VIOLET)
    for edge in ([(44, 199), (40, 222), (48, 250)], [(84, 193), (80, 214), (90, 250)], [(24, 216), (28, 250)],
                 [(62, 196), (66, 222), (60, 250)], [(104, 210), (98, 226), (104, 250)]):  # fmt: skip
        plate.brush(edge, 0.4, 3.4, 1)
        feather(plate, edge[0], edge[1], 7, angle=20, count=7)


def _tower(plate: Plate, x: float) -> None:
    foot, head, top = 194.0, 118.0, 17.0
    body = [(x - 9, head), (x + 9, head), (x + top * 0.88, foot), (x - top * 0.88, foot)]
    plate.shape(body, WHITE, 1)
    with plate.clip(body):
        for i in range(4):
            y = head + 2 + i * 20
            plate.fill([(x - 20, y + 3), (x + 20, y - 3), (x + 20, y + 8), (x - 20, y + 14)], RED)
        plate.fill([(x + 3.4, head), (x + 12, head), (x + 20, foot), (x + 6.5, foot)], BLACK)
        feather(plate, (x + 3.6, head + 2), (x + 6.5, foot), 6, angle=172, count=26, width=1.1)
    for y in (136, 160, 182):
        plate.shape(rounded(x - 5, y - 4, x - 1.4, y + 4, radius=1.7), YELLOW, 0.7)
    plate.shape(box(x - 13, head - 3.5, x + 13, head), SLATE, 0.9)
    for i in range(9):
        plate.line([(x - 12 + i * 3, head - 3.5), (x - 12 + i * 3, head - 9)], 0.5)
    plate.line([(x - 12.5, head - 9), (x + 12.5, head - 9)], 0.7)
    plate.shape(box(x - 7, head - 21, x + 7, head - 3.5), YELLOW, 0.9)
    plate.disc((x, head - 13), 4.2, WHITE)
    for i in (-1, 1):
        plate.line([(x + i * 2.6, head - 21), (x + i * 2.6, head - 3.5)], 0.6)
    dome = ellipse((x, head - 21), (9.5, 11), arc=(180, 360))
    plate.shape(dome, RED, 0.9)
    plate.fill([(x + 2, head - 31.6), (x + 9, head - 25), (x + 9.4, head - 21.2), (x + 3.4, head - 21.2)], BLACK)
    plate.line([(x, head - 32), (x, head - 38)], 1)
    plate.disc((x, head - 33), 1.5, BLACK)


def _breaker(plate: Plate) -> None:
    """The great wave on the right, curling over."""
    back = smooth([(190, 140), (172, 133), (156, 138), (147, 150), (149, 164), (156, 160), (163, 162), (158, 172),
                   (155, 188), (146, 206), (128, 222), (104, 236), (190, 250)], steps=8)  # fmt: skip
    plate.shape(back, CYAN, 1.1)
    with plate.clip(back):
        for i in range(7):
            bow = smooth([(152 + i * 6, 138 + i), (162 + i * 5, 170), (148 + i * 6, 205), (112 + i * 9, 236)],
                         closed=False)  # fmt: skip
            plate.brush(bow, 0.3, 1.8 if i % 2 else 3.4, 0.4, ink=WHITE if i % 2 else BLUE)
    foam = [(147, 150), (149, 164), (156, 160), (163, 162), (172, 133), (156, 138)]
    dice = chance("foam")
    for i in range(34):
        a, b = foam[i % 6], foam[(i + 1) % 6]
        share = dice.random()
        at = (a[0] + (b[0] - a[0]) * share + dice.uniform(-2, 2), a[1] + (b[1] - a[1]) * share + dice.uniform(-3, 3))
        plate.disc(at, dice.uniform(1.2, 3), WHITE, line=0.5)
    for _ in range(16):
        plate.disc((dice.uniform(134, 152), dice.uniform(146, 182)), dice.uniform(0.4, 1.2), WHITE)


def _spray(plate: Plate, at: Point, size: float) -> None:
    dice = chance(f"spray{at}")
    for i in range(11):
        angle = -165 + i * 15 + dice.uniform(-5, 5)
        tip = polar(at, size * dice.uniform(1.2, 2.3), angle)
        plate.brush([at, tip], size * 0.42, 0.2, ink=WHITE)
        plate.disc(polar(tip, size * 0.3, angle), size * 0.08, WHITE)


def _rowing_boat(plate: Plate, at: Point) -> None:
    with plate.at(at, turn=-16):
        for x, lean in ((-8, -9), (1, -8), (10, -7)):
            plate.brush([(x, -3), (x + lean, 10)], 0.7, 1, 2.4, ink=TAN)
            plate.shape(smooth([(x - 4, 1), (x - 3.6, -5), (x, -7.4), (x + 3.6, -5), (x + 4, 1)]), YELLOW, 0.7)
            plate.disc((x - 0.4, -9.4), (2.7, 2.9), FLESH, line=0.6)
            plate.disc((x - 1.4, -9.2), 0.5, BLACK)
            plate.line([(x - 2, -7.6), (x - 0.8, -7.6)], 0.5)
            plate.shape(ellipse((x, -10.6), (3, 3.4), arc=(180, 360)), GOLD, 0.6)
            plate.shape(smooth([(x - 4.4, -10), (x, -11.2), (x + 4.6, -9.4), (x + 5, -8), (x, -9.8)]), GOLD, 0.6)
        hull = smooth([(-21, -5), (-13, 0.5), (9, 0.5), (21, -6), (16, 5), (9, 8.4), (-9, 8.4), (-16, 4)])
        plate.shape(hull, RUST, 0.9)
        plate.line(smooth([(-18, -1), (-9, 3), (9, 3), (18, -2.4)], closed=False), 0.8, GOLD)
        plate.fill(smooth([(-15, 4.4), (-4, 5.8), (9, 5.4), (15, 2.4), (9, 8), (-9, 8)]), BLACK)


def whale_longboat(plate: Plate, issue: Issue) -> None:
    """A white whale rises under a longboat at sunset."""
    plate.ground(GOLD)
    plate.fade(box(-2, 40, 186, 160), ORANGE, YELLOW)
    plate.disc((126, 150), 34, RED)
    for y, long in ((120, 60), (130, 90), (140, 74)):
        plate.fill(ribbon([(126 - long, y), (126, y - 1), (126 + long, y)], (0.2, 2.4, 0.2)), CREAM)
    plate.fill(box(-2, 150, 186, 262), TEAL)
    sea(plate, 160, (TEAL,), seed="wfar", height=4)
    _ship(plate, (34, 146))
    _whale(plate)
    for at, size in (((84, 128), 9), ((132, 130), 9), ((108, 120), 7)):
        _spray(plate, at, size)
    with plate.at((108, 106), turn=2, size=1.5):
        _rowing_boat(plate, (0, 0))
    _oars(plate)
    sea(plate, 226, (CYAN, BLUE, NAVY), seed="wnear", height=10, step=13)
    for at, size in (((44, 214), 10), ((60, 222), 7), ((142, 216), 10), ((128, 224), 7), ((158, 226), 6)):
        _spray(plate, at, size)
    caption(plate, ("THERE SHE BLOWS...", "UNDER US!"), (8, 232, 66, 250), YELLOW)
    harbor_lamp(plate, issue, (WHITE, TEAL, YELLOW))


def _ship(plate: Plate, at: Point) -> None:
    with plate.at(at):
        plate.fill(smooth([(-26, 4), (26, 2), (20, 14), (-20, 14)]), BLACK)
        for x, high in ((-14, 44), (0, 52), (14, 42)):
            plate.line([(x, 6), (x, -high)], 0.9)
            for i in range(3):
                top = -high + 4 + i * 12
                wide = 6 + i * 1.6
                sail = smooth(
                    [(x - wide, top + 10), (x - wide + 1, top), (x + wide - 1, top), (x + wide + 2, top + 10)]
                )
                plate.shape(sail, CREAM, 0.5)
        plate.line([(-26, 2), (-40, -8)], 0.8)


def _whale(plate: Plate) -> None:
    body = smooth([(62, 262), (50, 220), (52, 180), (66, 146), (88, 124), (108, 118), (124, 124), (134, 142),
                   (140, 176), (138, 214), (146, 262)], steps=9)  # fmt: skip
    plate.shape(body, WHITE, 1.4)
    with plate.clip(body):
        plate.fill(smooth([(50, 262), (46, 200), (62, 150), (84, 128), (70, 160), (66, 204), (78, 262)]), SKY)
        plate.fill(smooth([(112, 118), (128, 124), (146, 180), (150, 262), (126, 262), (132, 200), (126, 150)]), SEA)
        jaw: Path = smooth([(104, 122), (112, 150), (110, 190), (98, 232), (92, 262)], closed=False)
        plate.brush(jaw, 0.8, 2.6, 1.4)
        for i in range(9):
            x = 113 + i * 2.6
            plate.brush(smooth([(x, 140 + i * 4), (x + 3, 190), (x - 4, 250)], closed=False), 0.2, 0.9, 0.4)
    plate.disc((92, 186), (4.4, 5), WHITE, line=1)
    plate.disc((92.6, 187), (2.4, 3), BLACK)
    plate.brush(smooth([(84, 181), (91, 177), (99, 181)], closed=False), 0.4, 2.4, 0.4)
    for points in ([(70, 160), (80, 172)], [(76, 150), (88, 160)], [(64, 196), (76, 206)]):
        plate.brush(points, 0.2, 1.4, 0.2)
    for x, y in ((72, 204), (78, 212), (69, 214), (84, 150), (90, 144)):
        plate.disc((x, y), (2, 1.6), CREAM, line=0.6)
    fin = smooth([(60, 206), (40, 200), (20, 212), (14, 226), (36, 226), (58, 224)])
    plate.shape(fin, SKY, 1.2)


def _oars(plate: Plate) -> None:
    for start, end in (((70, 96), (54, 78)), ((146, 92), (166, 102))):
        plate.line([start, end], 1.5)
        plate.line([start, end], 0.8, TAN)
        plate.shape(ellipse(end, (5, 1.8), tilt=math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))), TAN,
                    0.6)  # fmt: skip
    stars(plate, (60, 78, 156, 112), 12, seed="drops")
