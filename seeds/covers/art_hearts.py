"""Umbrella for Two and Jukebox Hettie: rain, a telephone, a wheel, a dance."""

import math

from seeds.covers.curves import Path, Point, box, chance, ellipse, polar, ribbon, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BROWN,
    BUFF,
    CREAM,
    CYAN,
    FLESH,
    GOLD,
    ICE,
    INDIGO,
    LIME,
    MAGENTA,
    NAVY,
    ORANGE,
    PINK,
    RED,
    ROSE,
    SKY,
    TEAL,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import umbrella_for_two
from seeds.covers.plate import Plate
from seeds.covers.scenery import rain
from seeds.covers.signs import balloon, caption


def umbrella_rain(plate: Plate, issue: Issue) -> None:
    """Two seen from behind under one umbrella, the town's lights in the wet street."""
    plate.ground(INDIGO)
    plate.fade(box(-2, 50, 186, 200), INDIGO, Ink(60, 70, 0))
    dice = chance("lights")
    for _ in range(34):
        at, size = (dice.uniform(0, 184), dice.uniform(76, 186)), dice.uniform(2, 7)
        ink = dice.choice((YELLOW, ROSE, ORANGE, CREAM, MAGENTA))
        plate.disc(at, size, ink)
    plate.fill(box(-2, 196, 186, 264), NAVY)
    for _ in range(40):
        x, y, long = dice.uniform(0, 184), dice.uniform(198, 256), dice.uniform(6, 20)
        ink = dice.choice((YELLOW, ROSE, ORANGE, MAGENTA, SKY))
        plate.fill(ribbon([(x - long, y), (x, y - 0.5), (x + long, y)], (0.2, 2, 0.2)), ink)
    _street_lamp(plate, (22, 214))
    rain(plate, (0, 60, 200, 240), 90, seed="soft rain", lean=0.2, ink=ICE)
    plate.fill(ellipse((96, 250), (62, 8)), BLACK)
    _pair(plate)
    _umbrella(plate, (94, 126))
    umbrella_for_two(plate, issue, (WHITE, MAGENTA, YELLOW))
    caption(plate, ("HE CARRIED IT FOR ME...", "BUT WHOSE NAME WAS ON THE HANDLE?"), (14, 240, 170, 255), PINK)


def _street_lamp(plate: Plate, at: Point) -> None:
    x, y = at
    plate.disc((x, y - 104), 19, Ink(0, 20, 80))
    plate.line([(x, y + 4), (x, y - 92)], 2.6)
    plate.shape([(x - 5, y - 96), (x + 5, y - 96), (x + 7, y - 112), (x - 7, y - 112)], YELLOW, 1)
    plate.fill([(x - 8.4, y - 112), (x + 8.4, y - 112), (x, y - 121)], BLACK)
    plate.fill([(x - 6, y + 8), (x + 6, y + 8), (x + 2, y - 8), (x - 2, y - 8)], BLACK)


def _umbrella(plate: Plate, at: Point) -> None:
    with plate.at(at, turn=-5):
        plate.line([(2, -44), (2, 74)], 1.8)
        plate.line([(2, -44), (2, -52)], 1.4)
        top, wide = -44.0, 70.0
        ribs = [-1.0, -0.62, -0.22, 0.22, 0.62, 1.0]
        dome: Path = [(wide * math.sin(t * math.pi / 2), top + 48 * (1 - math.cos(t * math.pi / 2)))
                      for t in (i / 12 for i in range(-12, 13))]  # fmt: skip
        hem: Path = []
        for a, b in zip(ribs[::-1], ribs[-2::-1], strict=False):
            hem += [(wide * (a + (b - a) * k / 6), top + 48 - 9 * math.sin(math.pi * k / 6)) for k in range(6)]
        outline = [*dome, *hem]
        plate.shape(outline, RED, 1.4)
        with plate.clip(outline):
            for a, b, ink in ((-0.62, -0.22, MAGENTA), (0.22, 0.62, MAGENTA), (0.62, 1.0, Ink(30, 100, 80))):
                plate.fill([(2, top), *_rib(a, top, wide), *reversed(_rib(b, top, wide))], ink)
            for a in ribs[1:-1]:
                plate.line(_rib(a, top, wide), 0.9)
            plate.brush(ellipse((0, top + 46), (52, 40), arc=(205, 250)), 0.3, 2.6, 0.3, ink=WHITE)
        plate.line(outline, 1.4, closed=True)
        for a in ribs:
            plate.disc((wide * a, top + 48.6), 1.2, BLACK)


def _rib(share: float, top: float, wide: float) -> Path:
    return [(wide * share * math.sin(i / 8 * math.pi / 2), top + 48 * (1 - math.cos(i / 8 * math.pi / 2)))
            for i in range(9)]  # fmt: skip


def _pair(plate: Plate) -> None:
    man = smooth([(96, 256), (92, 214), (94, 186), (104, 174), (116, 170), (130, 174), (140, 186), (146, 214),
                  (146, 256)])  # fmt: skip
    plate.shape(man, Ink(100, 75, 25), 1.2)
    plate.brush(smooth([(120, 178), (121, 214), (118, 252)], closed=False), 0.4, 1.6, 0.6)
    plate.fill(smooth([(134, 178), (142, 190), (148, 258), (132, 258), (136, 214)]), BLACK)
    plate.shape(ribbon([(117, 176), (117, 166)], (12, 10)), FLESH, 0.8)
    plate.shape(smooth([(106, 160), (107, 148), (117, 143), (127, 148), (128, 160), (123, 169), (111, 169)]), BROWN, 1)
    plate.shape(smooth([(100, 152), (108, 150), (126, 150), (134, 152), (128, 156), (106, 156)]), BUFF, 0.9)
    plate.shape(smooth([(107, 151), (108, 140), (117, 137), (126, 140), (127, 151), (117, 153)]), BUFF, 0.9)
    plate.fill([(107.4, 147), (126.6, 147), (127, 151), (117, 152.6), (107, 151)], BLACK)
    plate.shape(smooth([(102, 180), (110, 172), (117, 175), (124, 172), (131, 180), (117, 184)]), Ink(100, 75, 25), 0.8)
    woman = smooth([(44, 256), (50, 222), (54, 200), (60, 186), (74, 181), (88, 186), (94, 200), (92, 222), (100, 256)])
    plate.shape(woman, YELLOW, 1.2)
    plate.fill(smooth([(84, 188), (94, 200), (93, 222), (102, 258), (84, 258), (86, 220)]), ORANGE)
    for x in (58, 68, 80):
        plate.brush(smooth([(70 + (x - 70) * 0.4, 222), (x, 240), (x - 3, 256)], closed=False), 0.2, 1.4, 0.4)
    plate.line(smooth([(52, 216), (72, 220), (92, 214)], closed=False), 2, RED)
    hair = smooth([(62, 172), (61, 162), (66, 154), (76, 152), (86, 156), (89, 166), (88, 178), (92, 186), (82, 188),
                   (74, 184), (64, 189), (58, 184)])  # fmt: skip
    plate.shape(hair, GOLD, 1.1)
    for x in (66, 72, 78, 84):
        plate.brush(smooth([(75 + (x - 75) * 0.7, 158), (x, 170), (x - 1, 184)], closed=False), 0.2, 1.2, 0.2)
    plate.shape(smooth([(63, 158), (70, 148), (82, 150), (87, 158), (76, 155)]), RED, 0.9)
    plate.shape(ribbon(smooth([(134, 196), (116, 208), (96, 204), (80, 206)], closed=False), (13, 11, 9)),
                Ink(100, 75, 25), 1)  # fmt: skip
    plate.disc((78, 206), (4.6, 4), FLESH, line=0.9)


def telephone_tear(plate: Plate, issue: Issue) -> None:
    """A close-up: closed eyes, one tear, a receiver that has gone quiet."""
    plate.ground(CYAN)
    for i in range(12):
        plate.fill(box(-6 + i * 16, -2, 2 + i * 16, 262), Ink(60, 0, 0))
    for i in range(11):
        _daisy(plate, (10 + (i * 48) % 170, 66 + (i % 2) * 22 + i * 12), 5, WHITE)
    plate.fill(smooth([(-10, 250), (30, 224), (80, 218), (140, 226), (186, 256), (186, 280), (-10, 280)]), MAGENTA)
    with plate.at((92, 150), turn=-9):
        _crying_face(plate)
    _receiver(plate)
    plate.brush(smooth([(96, 262), (120, 250), (150, 262)], closed=False), 1, 2, 1)
    umbrella_for_two(plate, issue, (RED, WHITE, YELLOW))
    balloon(plate, ("WRONG NUMBER", "...AGAIN?"), (36, 94), (62, 118), height=3.6)


def _crying_face(plate: Plate) -> None:
    back = smooth([(-52, 30), (-62, -4), (-52, -46), (-18, -70), (22, -68), (54, -44), (62, -2), (60, 40), (72, 66),
                   (44, 78), (0, 74), (-40, 80), (-66, 66)])  # fmt: skip
    plate.shape(back, BLACK, 1.4)
    neck = smooth([(-16, 50), (-18, 96), (-34, 114), (44, 114), (26, 94), (22, 46)])
    plate.shape(neck, FLESH, 1.2)
    plate.fill(smooth([(-15, 56), (-2, 70), (16, 64), (22, 54), (23, 76), (8, 84), (-14, 76)]), ORANGE)
    face = smooth([(-38, -20), (-30, -46), (0, -54), (32, -44), (40, -16), (39, 12), (30, 40), (12, 60), (0, 64),
                   (-14, 59), (-32, 38), (-39, 10)])  # fmt: skip
    plate.shape(face, FLESH, 1.2)
    with plate.clip(face):
        plate.fill(smooth([(28, -50), (44, -10), (42, 20), (28, 48), (8, 66), (40, 70), (60, 0)]), Ink(0, 45, 50))
        for x in (-24, 24):
            plate.disc((x, 24), (9, 7), ROSE)
    for side in (-1, 1):
        _closed_eye(plate, (side * 19, 2), side)
    plate.brush(smooth([(2, 2), (5, 20), (9, 27), (3, 31), (-4, 29)], closed=False), 0.3, 1.2, 1.5, 1, 0.3)
    _lips(plate, (1, 44))
    tear = smooth([(-20, 12), (-16.6, 20), (-17, 26), (-20, 28.4), (-23.4, 26), (-23.6, 20)])
    plate.shape(tear, WHITE, 0.8)
    plate.fill(smooth([(-18.4, 19), (-17.8, 25), (-20, 27), (-18.6, 22)]), CYAN)
    _fringe(plate)


def _closed_eye(plate: Plate, at: Point, side: int) -> None:
    with plate.at(at, flip=side < 0):
        plate.fill(smooth([(-11, 0), (-6, -7), (4, -8), (12, -1), (3, 4), (-6, 5)]), VIOLET if side else BLACK)
        plate.fill(smooth([(-10, 1), (-4, -4), (5, -4.6), (11, 0), (2, 5), (-6, 5)]), FLESH)
        plate.brush(smooth([(-11, 1), (-5, 5.6), (3, 6), (12, 0)], closed=False), 0.8, 2.4, 3, 1.2)
        for x, y, dx, dy in ((-6, 5, -2, 5), (-1, 6, 0, 6), (4, 5.6, 3, 6), (8, 3.4, 5, 5), (11, 0.6, 6, 3)):
            plate.brush(
                smooth([(x, y), (x + dx * 0.7, y + dy * 0.6), (x + dx * 1.2, y + dy)], closed=False), 1.6, 1, 0.1
            )
        plate.brush(smooth([(-13, -9), (-4, -16), (8, -15), (16, -9)], closed=False), 1, 3.4, 2.6, 0.4)


def _lips(plate: Plate, at: Point) -> None:
    with plate.at(at):
        upper = smooth([(-13, 1), (-5, -5), (0, -3), (5, -5), (13, 1), (0, 2)])
        lower = smooth([(-12, 1.4), (0, 2.4), (12, 1.4), (5, 8), (-5, 8)])
        plate.shape(lower, RED, 0.8)
        plate.shape(upper, RED, 0.8)
        plate.brush([(-13, 1.2), (0, 2.4), (13, 1.2)], 0.6, 1.5, 0.6)
        plate.brush([(-3, 5.6), (3, 5.4)], 0.3, 1.3, 0.3, ink=WHITE)


def _fringe(plate: Plate) -> None:
    fringe = smooth([(-44, 30), (-46, -8), (-36, -34), (-6, -46), (18, -34), (40, -10), (46, 32), (58, -6), (44, -50),
                     (0, -68), (-46, -50), (-60, -4)])  # fmt: skip
    plate.shape(fringe, BLACK, 1)
    for points in ([(-50, 10), (-48, -24), (-30, -50)], [(-40, -30), (-20, -52), (6, -58)], [(14, -52), (36, -38), (48, -8)],
                   [(24, -58), (44, -38), (54, 0)], [(-54, 50), (-50, 62), (-34, 70)], [(50, 46), (56, 60), (48, 72)]):  # fmt: skip
        plate.brush(smooth(points, closed=False), 0.3, 3, 0.3, ink=BLUE)
    plate.disc((-43, 36), 4, YELLOW, line=0.9)
    ribbon_bow = smooth([(8, -66), (22, -82), (34, -74), (30, -62), (44, -56), (40, -44), (24, -50)])
    plate.shape(ribbon_bow, RED, 1.1)
    plate.disc((25, -62), 4, RED, line=0.9)


def _receiver(plate: Plate) -> None:
    with plate.at((139, 172), turn=17):
        grip = smooth([(2, -50), (14, -30), (18, 0), (14, 30), (2, 50), (-5, 40), (4, 22), (6, 0), (4, -22), (-5, -40)],
                      steps=6)  # fmt: skip
        plate.shape(grip, WHITE, 1.2)
        plate.fill(smooth([(10, -30), (17, 0), (10, 34), (12, 0)]), SKY)
        for y in (-47, 47):
            plate.shape(rounded(-17, y - 10, 5, y + 10, radius=6), WHITE, 1.2)
            plate.shape(rounded(-19, y - 8, -13, y + 8, radius=2.6), SKY, 1)
        cord: Path = [(4 + 5 * math.sin(i * 1.1) + i * 0.9, 58 + i * 1.3) for i in range(40)]
        plate.line(cord, 1.3)
        for i, (x, y) in enumerate(((-4, -13), (-6, -3), (-6, 7), (-3, 16))):
            finger = smooth([(24, y + 4), (10, y - 3), (x, y - 4), (x - 3, y), (x, y + 4), (12, y + 5)])
            plate.shape(finger, FLESH, 1)
            plate.shape(smooth([(x - 5.4, y), (x - 1, y - 3), (x + 1.4, y), (x - 1, y + 2.8)]), RED, 0.7)
            if i == 2:  # noqa: PLR2004 - the third finger
                plate.line([(x + 9, y - 3.4), (x + 10, y + 4.4)], 1.6, GOLD)
        hand = smooth([(16, -18), (34, -10), (48, 12), (64, 60), (34, 80), (28, 40), (16, 24)])
        plate.shape(hand, FLESH, 1.1)
        plate.shape(smooth([(30, 44), (58, 34), (74, 74), (34, 90)]), YELLOW, 1.1)


def ferris_wheel(plate: Plate, issue: Issue) -> None:
    """A couple kiss in the lowest car of a wheel in mod colours."""
    plate.ground(ROSE)
    for reach, ink in ((150, PINK), (118, ORANGE), (106, YELLOW), (94, PINK)):
        plate.disc((92, 136), reach, ink)
    hub, radius = (86.0, 128.0), 68.0
    for outer in (radius, radius - 9):
        plate.line(ellipse(hub, outer), 3, BLACK)
        plate.line(ellipse(hub, outer), 1.6, WHITE)
    for i in range(16):
        plate.line([hub, polar(hub, radius, i * 22.5)], 1.1)
    plate.disc(hub, 9, RED, line=1)
    plate.fill(star(hub, 7, 3, points=8), YELLOW)
    for side in (-1, 1):
        plate.line([hub, (hub[0] + side * 50, 262)], 4)
        plate.line([hub, (hub[0] + side * 50, 262)], 2.4, MAGENTA)
    cars = (RED, BLUE, LIME, MAGENTA, ORANGE, TEAL, VIOLET)
    for i in range(8):
        angle = 90 + i * 45
        if i:
            _car(plate, polar(hub, radius, angle), cars[i - 1])
        plate.disc(polar(hub, radius - 4.5, angle + 22.5), 1.6, YELLOW, line=0.5)
    _kiss(plate, (86, 226))
    for x, y, size, ink in ((16, 236, 12, LIME), (34, 252, 9, YELLOW), (158, 240, 12, ORANGE), (142, 254, 8, LIME),
                            (12, 196, 7, WHITE), (160, 204, 8, WHITE)):  # fmt: skip
        _daisy(plate, (x, y), size, ink)
    umbrella_for_two(plate, issue, (MAGENTA, WHITE, LIME))


def _car(plate: Plate, at: Point, ink: Ink) -> None:
    x, y = at
    plate.line([(x, y), (x, y + 5)], 1.2)
    plate.shape(smooth([(x - 9, y + 9), (x, y + 1), (x + 9, y + 9)], steps=5), ink, 0.8)
    plate.shape([(x - 9, y + 14), (x + 9, y + 14), (x + 6.4, y + 22), (x - 6.4, y + 22)], ink, 0.9)
    for side in (-1, 1):
        plate.line([(x + side * 7.6, y + 8), (x + side * 7.6, y + 14)], 0.8)


def _kiss(plate: Plate, at: Point) -> None:
    with plate.at(at, size=1.12):
        plate.line([(0, -30), (0, -48)], 2)
        plate.shape(smooth([(-40, -20), (-30, -36), (0, -44), (30, -36), (40, -20), (0, -26)]), WHITE, 1.2)
        for i in range(-2, 3):
            plate.fill(smooth([(i * 15 - 4, -24), (i * 13 - 4, -36 + abs(i) * 3), (i * 13 + 4, -36 + abs(i) * 3),
                               (i * 15 + 4, -24)]), MAGENTA)  # fmt: skip
        plate.shape(smooth([(-34, 26), (-28, 6), (-14, 0), (-4, 8), (-2, 26)]), TEAL, 1)
        plate.shape(smooth([(34, 26), (30, 8), (16, 2), (6, 8), (0, 26)]), YELLOW, 1)
        plate.shape(smooth([(-3, -2), (-2, -10), (-8, -18), (-18, -16), (-20, -4), (-12, 4)]), FLESH, 0.9)
        plate.shape(smooth([(3, -2), (1, -10), (8, -19), (18, -16), (18, -4), (11, 4)]), FLESH, 0.9)
        plate.fill(smooth([(-1, -6), (3, -9), (3, -4)]), FLESH)
        plate.shape(smooth([(-5, -12), (-4, -20), (-14, -24), (-24, -16), (-22, -2), (-15, 2), (-16, -8)]), BROWN, 1)
        plate.shape(smooth([(5, -13), (4, -22), (16, -27), (28, -16), (30, 2), (26, 12), (17, 8), (18, -6), (12, -12)]),
                    ORANGE, 1)  # fmt: skip
        plate.shape(smooth([(10, -20), (18, -24), (24, -16), (18, -14)]), LIME, 0.7)
        for x, flip in ((-6, 1), (8, -1)):
            plate.brush(smooth([(x - 2.4 * flip, -8), (x, -6.6), (x + 2.4 * flip, -7.6)], closed=False), 0.4, 1, 0.4)
        plate.shape(ribbon(smooth([(22, 10), (6, 14), (-16, 8)], closed=False), (9, 8, 6)), YELLOW, 0.9)
        plate.disc((-17, 7.6), 3.2, FLESH, line=0.8)
        basket = smooth([(-42, 14), (42, 14), (36, 40), (20, 46), (-20, 46), (-36, 40)], steps=4)
        plate.shape(basket, RED, 1.3)
        with plate.clip(basket):
            for i in range(-3, 4):
                plate.fill(star((i * 13, 31), 5, 2), YELLOW)
        plate.shape(rounded(-44, 11, 44, 18, radius=3), WHITE, 1)


def _daisy(plate: Plate, at: Point, size: float, ink: Ink) -> None:
    for i in range(8):
        petal = polar(at, size * 0.58, i * 45)
        plate.shape(ellipse(petal, (size * 0.44, size * 0.22), tilt=i * 45), ink, 0.6)
    plate.disc(at, size * 0.3, GOLD, line=0.7)
