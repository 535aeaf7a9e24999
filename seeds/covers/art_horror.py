"""The Unlit Stair: a house on a hill, a bony hand with a candle."""

import itertools
import math

from seeds.covers.curves import Point, box, ellipse, polar, ribbon, rounded, smooth
from seeds.covers.inks import (
    BLACK,
    BUFF,
    CREAM,
    GOLD,
    GREEN,
    LIME,
    MAGENTA,
    MAROON,
    ORANGE,
    PINE,
    RED,
    RUST,
    SEA,
    SLATE,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import unlit_stair
from seeds.covers.plate import Plate
from seeds.covers.scenery import feather, moon, tuft
from seeds.covers.signs import caption

_NIGHT = Ink(100, 100, 60)
_DUSK = Ink(60, 100, 0)


def haunted_house(plate: Plate, issue: Issue) -> None:
    """One window is lit in the house on the hill, and the gate stands open."""
    plate.ground(Ink(100, 60, 60))
    plate.fade(box(-2, 60, 186, 230), Ink(100, 60, 60), Ink(40, 0, 90))
    moon(plate, (132, 118), 36, (Ink(0, 0, 60), Ink(20, 0, 90)), seed="house moon")
    for y, x, wide in ((106, 120, 40), (124, 152, 34), (136, 110, 30)):
        plate.fill(ribbon([(x - wide, y), (x, y - 1.4), (x + wide, y)], (0.2, 4, 0.2)), Ink(100, 60, 60))
    _bats(plate)
    hill = smooth([(-20, 240), (20, 222), (56, 200), (92, 194), (128, 202), (160, 226), (204, 240), (204, 280),
                   (-20, 280)])  # fmt: skip
    plate.shape(hill, PINE, 1)
    _house(plate, (84, 200))
    path = smooth([(82, 200), (88, 212), (72, 224), (92, 240), (70, 264), (130, 264), (124, 240), (96, 226), (98, 212),
                   (92, 200)])  # fmt: skip
    plate.shape(path, LIME, 0.8)
    for i in range(34):
        at = -4 + i * 5.8
        tuft(plate, (at, 226 + abs(at - 90) * 0.12 + (i * 13) % 26), 7, seed=f"hill{i}", blades=5)
    _graves(plate)
    _gate(plate)
    _bare_tree(plate, (22, 236), 1.0)
    unlit_stair(plate, issue, (LIME, VIOLET, YELLOW))


def _house(plate: Plate, at: Point) -> None:
    wall, side, roof = VIOLET, _NIGHT, BLACK
    with plate.at(at):
        plate.shape(box(-34, -52, 10, 2), wall, 1)
        plate.shape(box(10, -44, 40, 2), side, 1)
        plate.shape([(-40, -50), (-30, -74), (4, -74), (14, -50)], roof, 1)
        plate.shape([(8, -43), (14, -60), (36, -60), (46, -43)], roof, 1)
        plate.shape(box(-12, -96, 12, -50), wall, 1)
        plate.fill(box(4, -95, 12, -50), side)
        plate.shape([(-17, -95), (0, -132), (17, -95)], roof, 1)
        plate.line([(0, -132), (0, -142)], 0.9)
        plate.shape(box(-28, -88, -22, -72), side, 0.9)
        plate.shape(box(28, -76, 33, -58), side, 0.9)
        for i in range(5):
            plate.line([(-38 + i * 2.2, -55 - i * 4), (12 - i * 1.8, -55 - i * 4)], 0.5, VIOLET)
        for x, y, lit in ((-25, -40, 0), (-25, -18, 0), (-5, -40, 0), (22, -34, 0), (22, -14, 0), (0, -80, 1)):
            _window(plate, (x, y), lit=bool(lit))
        plate.shape(rounded(-10, -22, 4, 2, radius=5), BLACK, 0.9)
        plate.disc((1, -9), 0.9, GOLD)
        for i in range(3):
            plate.shape(box(-14 - i * 2, 0 + i * 2, 8 + i * 2, 2.6 + i * 2), SLATE, 0.7)
        feather(plate, (9, -50), (9, 0), 9, angle=180, count=16, width=1.4)
        plate.brush([(-33, -50), (-22, -30), (-33, -6)], 0.4, 0.9, 0.4)


def _window(plate: Plate, at: Point, *, lit: bool) -> None:
    x, y = at
    frame = [(x - 4.4, y + 7), (x - 4.4, y - 4), *ellipse((x, y - 4), (4.4, 5), arc=(180, 360)), (x + 4.4, y + 7)]
    plate.shape(frame, YELLOW if lit else BLACK, 0.9)
    if lit:
        plate.fill(smooth([(x - 2.6, y + 7), (x - 2, y), (x, y - 3.4), (x + 2, y), (x + 2.6, y + 7)]), BLACK)
    else:
        plate.line([(x, y - 8), (x, y + 7)], 0.5, _DUSK)
        plate.line([(x - 4, y - 1), (x + 4, y - 1)], 0.5, _DUSK)


def _bats(plate: Plate) -> None:
    for x, y, size, turn in ((52, 96, 1.2, -8), (34, 118, 0.8, 12), (160, 86, 1, 6), (66, 124, 0.6, -14)):
        with plate.at((x, y), size=size, turn=turn):
            wing = [(0, -2), (2, -4), (3, -1), (10, -7), (19, -3), (14, -1), (12, 3), (8, 0.6), (5, 4), (2, 1), (0, 5)]
            plate.fill([*wing, *[(-px, py) for px, py in reversed(wing)]], BLACK)


def _bare_tree(plate: Plate, foot: Point, size: float) -> None:
    with plate.at(foot, size=size):
        plate.brush(smooth([(-4, 20), (2, -20), (-5, -60), (4, -96)], closed=False), 18, 11, 7, 2)
        for points, width in (
            (((0, -40), (-14, -58), (-10, -76), (-22, -96)), 5), (((-2, -60), (16, -78), (14, -94), (28, -112)), 5),
            (((-10, -66), (-24, -72), (-30, -84)), 2.6), (((14, -84), (28, -86), (38, -98)), 2.6),
            (((2, -88), (-6, -104), (-2, -118)), 2.6), (((0, -30), (18, -44), (32, -42)), 4),
            (((20, -44), (28, -54), (26, -62)), 2.2),
        ):  # fmt: skip
            plate.brush(smooth(points, closed=False), width, width * 0.6, 0.3)
        plate.disc((3, -28), (2.6, 4), _DUSK)


def _graves(plate: Plate) -> None:
    for x, y, lean, wide in ((146, 236, 6, 9), (164, 246, -8, 11), (132, 250, 3, 8)):
        with plate.at((x, y), turn=lean):
            stone = [(-wide, 10), (-wide, -8), *ellipse((0, -8), (wide, 9), arc=(180, 360)), (wide, 10)]
            plate.shape(stone, SEA, 1)
            plate.fill([(wide * 0.4, 10), (wide * 0.4, -15), (wide, -8), (wide, 10)], BLACK)
            plate.line([(-wide * 0.5, -6), (wide * 0.2, -6)], 0.8)
            plate.line([(-wide * 0.5, -2), (wide * 0.1, -2)], 0.8)


def _gate(plate: Plate) -> None:
    for x in (48, 138):
        plate.fill(box(x - 3.4, 214 + abs(x - 92) * 0.1, x + 3.4, 266), BLACK)
        plate.disc((x, 214), 4.6, BLACK)
    for start, step in ((-2, 7), (146, 7)):
        for i in range(7):
            x = start + i * step
            plate.line([(x, 230), (x, 266)], 1.5)
            plate.fill([(x - 2, 231), (x, 223), (x + 2, 231)], BLACK)
        for y in (236, 256):
            plate.line([(start - 4, y), (start + 46, y)], 1.3)


def candle_hand(plate: Plate, issue: Issue) -> None:
    """A hand of bone holds the only candle at the head of the cellar stair."""
    plate.ground(BLACK)
    for radius, ink in ((150, Ink(70, 100, 0)), (112, MAGENTA), (84, RED), (60, ORANGE), (40, YELLOW)):
        plate.glow(ellipse((112, 118), radius), (112, 118), radius, (ink, _NIGHT if radius > 140 else ink))  # noqa: PLR2004
    _steps(plate)
    _watcher(plate)
    _sleeve(plate)
    _bones(plate)
    _candle(plate, (112, 150))
    unlit_stair(plate, issue, (WHITE, RED, YELLOW))
    caption(plate, ("GRANDFATHER ALWAYS SAID HE WOULD", "WALK ME DOWN..."), (10, 236, 124, 254), YELLOW)


def _steps(plate: Plate) -> None:
    for i in range(7):
        y, inset = 262 - i * 17, i * 10
        plate.shape(box(-20 + inset, y - 17, 60 - i * 2, y), MAROON if i % 2 else Ink(80, 100, 60), 0.8)
        plate.fill(box(-20 + inset, y - 17, 60 - i * 2, y - 13.6), RED)


def _watcher(plate: Plate) -> None:
    """A face in the dark behind the flame: only brow, nose and grin catch the light."""
    with plate.at((54, 124), turn=-6):
        plate.fill(smooth([(-30, -22), (-16, -46), (14, -48), (32, -24), (30, 8), (20, 36), (0, 48), (-18, 38), (-30, 8)]),
                   BLACK)  # fmt: skip
        plate.fill(smooth([(20, -36), (31, -18), (30, 6), (22, 30), (12, 38), (20, 10), (16, -6), (22, -20)]), GREEN)
        plate.fill(smooth([(24, -28), (30, -10), (27, 8), (20, 22), (23, 4), (20, -8)]), LIME)
        for x, wide in ((-8, 9), (15, 8)):
            plate.disc((x, -12), (wide, 7), BLACK)
            plate.line(ellipse((x, -12), (wide, 7), arc=(200, 350)), 1.1, GREEN)
            plate.disc((x + 1.4, -11), 2.4, YELLOW)
            plate.disc((x + 1.8, -11), 1, RED)
        plate.fill([(6, -4), (11, 10), (3, 12)], GREEN)
        grin = smooth([(-14, 20), (2, 24), (22, 17), (16, 30), (2, 35), (-10, 31)])
        plate.fill(grin, LIME)
        with plate.clip(grin):
            for i in range(9):
                plate.line([(-14 + i * 4.4, 14), (-15 + i * 4.6, 38)], 0.9)
            plate.line(smooth([(-14, 25), (2, 29), (22, 22)], closed=False), 0.9)


def _sleeve(plate: Plate) -> None:
    sleeve = smooth([(196, 206), (160, 196), (136, 200), (130, 214), (134, 232), (150, 244), (196, 270)])
    plate.shape(sleeve, VIOLET, 1.4)
    for points in ([(136, 206), (160, 210), (192, 226)], [(134, 222), (156, 228), (192, 250)]):
        plate.brush(smooth(points, closed=False), 0.6, 4, 2)
    cuff = smooth([(128, 200), (138, 196), (146, 214), (146, 238), (136, 236), (128, 220)])
    plate.shape(cuff, CREAM, 1.2)
    for y in (206, 214, 222, 230):
        plate.brush([(131, y), (144, y + 1)], 0.4, 1, 0.4)


def _bone(plate: Plate, start: Point, end: Point, width: float) -> None:
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    ends = [polar(p, width * 0.42, angle + side) for p in (start, end) for side in (-90, 90)]
    shaft = ribbon([start, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), end], (width, width * 0.6, width))
    for outline in ends:
        plate.disc(outline, width * 0.55, CREAM, line=0.9)
    plate.shape(shaft, CREAM, 0.9)
    for outline in ends:
        plate.disc(outline, width * 0.48, CREAM)
    plate.brush([polar(start, width * 0.25, angle + 90), polar(end, width * 0.25, angle + 90)], 0.4, 1.3, 0.4, ink=RUST)


def _bones(plate: Plate) -> None:
    for end in ((124, 202), (130, 210)):
        _bone(plate, (142, end[1] + 14), end, 6)
    palm = smooth([(112, 190), (122, 188), (132, 200), (130, 212), (120, 214), (110, 204)])
    plate.shape(palm, CREAM, 1)
    for points in ([(114, 194), (124, 204)], [(118, 191), (129, 202)], [(112, 200), (120, 210)]):
        plate.brush(points, 0.4, 1.4, 0.4)
    joints: tuple[tuple[Point, ...], ...] = (
        ((114, 196), (98, 188), (92, 176), (98, 168)),
        ((113, 201), (94, 199), (88, 186), (94, 178)),
        ((114, 206), (96, 209), (88, 197), (95, 189)),
        ((118, 211), (102, 219), (94, 208), (100, 200)),
        ((124, 192), (132, 180), (128, 168)),
    )
    for finger in joints:
        for knuckle, tip in itertools.pairwise(finger):
            _bone(plate, knuckle, tip, 5.4)


def _candle(plate: Plate, at: Point) -> None:
    x, y = at
    stick = [(x - 10, y), (x + 10, y), (x + 9, y + 50), (x - 9, y + 50)]
    plate.shape(stick, WHITE, 1.1)
    plate.fill([(x + 3, y), (x + 10, y), (x + 9, y + 50), (x + 4, y + 50)], BUFF)
    drips = smooth([(x - 11, y - 3), (x, y - 6), (x + 11, y - 3), (x + 11, y + 12), (x + 7.6, y + 18), (x + 6, y + 8),
                    (x + 2, y + 8), (x - 1, y + 28), (x - 4, y + 8), (x - 8, y + 10), (x - 10, y + 20)])  # fmt: skip
    plate.shape(drips, CREAM, 1)
    plate.line([(x, y - 4), (x + 1, y - 11)], 1.2)
    for wide, high, ink in ((8, 36, RED), (6.4, 28, ORANGE), (4.6, 20, YELLOW), (2.2, 11, WHITE)):
        flame = smooth([(x, y - 6), (x + wide, y - 8 - high * 0.25), (x + wide * 0.5, y - 8 - high * 0.6),
                        (x + 3, y - 8 - high), (x - wide * 0.5, y - 8 - high * 0.55),
                        (x - wide, y - 8 - high * 0.22)])  # fmt: skip
        if ink == RED:
            plate.shape(flame, ink, 0.9)
        else:
            plate.fill(flame, ink)
    for hold in ((98, 172), (96, 182), (97, 193), (102, 203)):
        _bone(plate, hold, (hold[0] + 12, hold[1] + 1), 5)
    _bone(plate, (128, 170), (117, 174), 5)
