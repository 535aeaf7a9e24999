"""Harbor Lamp: a diver and a squid."""

import math

from seeds.covers.curves import Point, box, chance, ellipse, moved, ribbon, ridge, smooth
from seeds.covers.inks import (
    BLACK,
    CREAM,
    CYAN,
    GOLD,
    ICE,
    INDIGO,
    ORANGE,
    PINE,
    RED,
    RUST,
    SILVER,
    SLATE,
    TAN,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import harbor_lamp
from seeds.covers.plate import Plate

_ARMS: tuple[tuple[bool, tuple[Point, ...]], ...] = (
    (True, ((132, 122), (120, 150), (128, 178), (112, 196), (96, 188))),
    (True, ((140, 124), (150, 152), (142, 182), (156, 206), (176, 200))),
    (True, ((150, 122), (168, 140), (166, 166), (182, 178))),
    (True, ((124, 118), (104, 118), (92, 102), (72, 96), (58, 106))),
    (False, ((128, 122), (112, 142), (102, 164), (84, 176), (66, 176), (52, 184))),
    (False, ((134, 124), (128, 152), (116, 182), (106, 206), (84, 214), (72, 206))),
    (False, ((146, 124), (156, 160), (140, 196), (146, 226), (124, 240), (104, 232))),
)


def diver_squid(plate: Plate, issue: Issue) -> None:
    """A diver in copper helmet meets a squid at the edge of a wreck."""
    plate.ground(Ink(100, 50, 20))
    plate.fade(box(-2, 50, 186, 262), Ink(100, 20, 20), Ink(100, 90, 20))
    for i in range(6):
        x = 40 + i * 26
        plate.fade([(x, -2), (x + 12, -2), (x - 16, 210), (x - 44, 210)], CYAN, Ink(100, 60, 20))
    _wreck(plate)
    _squid_arms(plate, behind=True)
    _squid_head(plate)
    _diver(plate, (70, 172))
    _squid_arms(plate, behind=False)
    plate.fill([*ridge((-4, 244), (190, 236), rough=3, seed="bed"), (190, 264), (-4, 264)], BLACK)
    _weeds(plate)
    dice = chance("bubbles")
    for i in range(26):
        at = (60 + dice.uniform(-5, 8) + i * 0.8, 132 - i * 3.1)
        plate.disc(at, dice.uniform(0.8, 2.4), ICE, line=0.5)
    harbor_lamp(plate, issue, (ORANGE, WHITE, YELLOW))


def _wreck(plate: Plate) -> None:
    hull = smooth([(118, 262), (112, 226), (122, 196), (150, 180), (196, 172), (200, 262)], steps=6)
    plate.fill(hull, Ink(100, 100, 50))
    for i in range(5):
        plate.line([(120 + i * 4, 206 + i * 10), (196, 188 + i * 13)], 0.6)
    for mast, lean in (((150, 182), -14), ((176, 176), -6)):
        plate.line([mast, (mast[0] + lean, mast[1] - 66)], 2.4, Ink(100, 100, 50))
        plate.line([(mast[0] + lean - 14, mast[1] - 44), (mast[0] + lean + 22, mast[1] - 50)], 1.6,
                   Ink(100, 100, 50))  # fmt: skip
    for x, y in ((136, 214), (158, 206), (178, 200)):
        plate.disc((x, y), 4, BLACK)
        plate.line(ellipse((x, y), 4), 0.7, CYAN)


def _squid_arms(plate: Plate, *, behind: bool) -> None:
    for back, points in _ARMS:
        if back != behind:
            continue
        spine = smooth(points, closed=False, steps=12)
        body = ribbon(spine, (11, 9, 7, 4.6, 1.6))
        plate.line(body, 1.8, closed=True)
        plate.fill(body, ORANGE if not behind else RUST)
        under = ribbon([(x + 2.2, y + 1) for x, y in spine], (4, 3, 2.4, 1.6, 0.4))
        plate.fill(under, RED)
        for i in range(2, len(spine) - 4, 3):
            size = 2.1 * (1 - i / len(spine)) + 0.5
            plate.disc((spine[i][0] + 2.6, spine[i][1] + 1.2), size, CREAM, line=0.4)


def _squid_head(plate: Plate) -> None:
    for side in (-1, 1):
        fin = smooth([(139 + side * 10, 72), (139 + side * 34, 82), (139 + side * 30, 98), (139 + side * 12, 100)])
        plate.shape(fin, RUST, 1)
    mantle = smooth([(139, 52), (152, 70), (158, 92), (155, 112), (160, 124), (150, 132), (139, 134), (128, 132),
                     (118, 124), (123, 112), (120, 92), (126, 70)])  # fmt: skip
    plate.shape(mantle, ORANGE, 1.2)
    with plate.clip(mantle):
        plate.fill(smooth([(146, 52), (166, 90), (164, 136), (142, 136), (150, 110), (150, 80)]), RED)
        dice = chance("spots")
        for _ in range(22):
            plate.disc((dice.uniform(122, 150), dice.uniform(64, 116)), dice.uniform(0.5, 1.6), RED)
    for side in (-1, 1):
        at = (139 + side * 11, 119)
        plate.disc(at, (7, 6.4), WHITE, line=1)
        plate.disc(at, (5, 5.2), YELLOW, line=0.6)
        plate.fill(ellipse((at[0] - 1.2, at[1] + 0.6), (3.6, 1.5)), BLACK)
        plate.brush([(at[0] - 8 * side, at[1] - 2), (at[0], at[1] - 7.4), (at[0] + 8 * side, at[1] - 8)], 0.8, 2.6, 0.8)


def _diver(plate: Plate, at: Point) -> None:
    with plate.at(at, turn=-6):
        hose = smooth([(-6, -46), (-22, -70), (-10, -96), (-24, -130), (-20, -180)], closed=False)
        plate.line(hose, 2.6)
        plate.line(hose, 1.5, RED)
        for side, foot in ((-1, -15), (1, 15)):
            leg = smooth([(side * 2, 24), (side * 16, 22), (foot + 9, 58), (foot - 9, 58)], steps=5)
            plate.shape(leg, TAN, 1)
            plate.shape(smooth([(foot - 9, 56), (foot + 9, 56), (foot + 11, 66), (foot - 13, 66)]), SLATE, 1)
        body = smooth([(-21, -14), (-10, -22), (10, -22), (21, -14), (20, 12), (18, 30), (-18, 30), (-20, 12)], steps=6)
        plate.shape(body, TAN, 1.1)
        with plate.clip(body):
            plate.fill(smooth([(8, -26), (26, -14), (24, 34), (4, 34), (12, 8)]), RUST)
        for x in (-8, 4):
            plate.brush([(x, 4), (x + 3, 14), (x, 24)], 0.2, 1.3, 0.2)
        plate.shape(box(-19, 17, 19, 22), BLACK, 0.6)
        plate.shape(box(-6, 15.6, 6, 23.4), GOLD, 0.8)
        _diver_arms(plate)
        _helmet(plate)


def _diver_arms(plate: Plate) -> None:
    left = ribbon(smooth([(-17, -10), (-28, 4), (-24, 20)], closed=False), (13, 11, 9))
    plate.shape(left, TAN, 1)
    plate.disc((-23, 23), 5.4, RUST, line=0.9)
    plate.brush([(-24, 22), (-35, 6)], 2.4, 2.2)
    plate.shape([(-34, 8), (-38, 4), (-46, -16), (-31, 3)], SILVER, 0.8)
    right = ribbon(smooth([(17, -10), (30, -16), (34, -32)], closed=False), (13, 11, 9))
    plate.shape(right, TAN, 1)
    plate.disc((34.5, -36), 5.4, RUST, line=0.9)


def _helmet(plate: Plate) -> None:
    plate.shape(smooth([(-17, -17), (-10, -24), (10, -24), (17, -17), (12, -11), (-12, -11)]), GOLD, 1)
    for x in (-12, -4, 4, 12):
        plate.disc((x, -15 - 2 * math.cos(x / 8)), 1, BLACK)
    plate.disc((0, -37), 16.5, GOLD, line=1.2)
    with plate.clip(ellipse((0, -37), 16)):
        plate.fill(moved(ellipse((0, -37), 19), -10, -5), YELLOW)
        plate.fill(smooth([(17, -52), (20, -36), (14, -20), (4, -20), (12, -34)]), RUST)
    plate.disc((-2, -36), 9.2, RUST, line=1)
    plate.disc((-2, -36), 7.2, INDIGO, line=0.8)
    with plate.clip(ellipse((-2, -36), 7)):
        plate.disc((-2, -34), (4.6, 5.4), Ink(0, 25, 35))
        plate.fill(box(-8, -44, 6, -38.4), BLACK)
        plate.disc((-4, -36), 1.3, WHITE)
        plate.disc((0.6, -36), 1.3, WHITE)
        plate.disc((-3.6, -36), 0.6, BLACK)
        plate.disc((1, -36), 0.6, BLACK)
        plate.disc((-1.4, -31), (1.2, 1.6), BLACK)
    plate.line([(-9, -36), (5, -36)], 0.001, GOLD)
    plate.brush(ellipse((-2, -36), 6, arc=(200, 265)), 0.2, 1.1, 0.2, ink=WHITE)
    plate.disc((14, -40), (3.4, 5), RUST, line=0.9)
    plate.shape(box(-3, -56.5, 3, -52), RUST, 0.9)


def _weeds(plate: Plate) -> None:
    for x, high in ((6, 70), (16, 50), (28, 34), (172, 44), (181, 66), (158, 26)):
        spine = smooth([(x, 254), (x + 4, 254 - high * 0.3), (x - 3, 254 - high * 0.65), (x + 3, 254 - high)],
                       closed=False)  # fmt: skip
        plate.shape(ribbon(spine, (4.4, 5.4, 0.3)), PINE, 0.7)
