"""Ganymede Mail: a letter box on the moon, a ship adrift."""

from seeds.covers.curves import Point, box, chance, ellipse, moved, polar, ribbon, ridge, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    CREAM,
    CYAN,
    FLESH,
    GREY,
    INDIGO,
    MAGENTA,
    MAROON,
    ORANGE,
    RED,
    RUST,
    SILVER,
    SLATE,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import ganymede_again, ganymede_mail
from seeds.covers.plate import Plate
from seeds.covers.scenery import feather, stars
from seeds.covers.signs import caption

_DEEP = Ink(100, 100, 60)


def moon_postbox(plate: Plate, issue: Issue) -> None:
    """A spaceman posts a letter on the moon while the earth hangs overhead."""
    plate.ground(BLACK)
    plate.fill(box(-2, -2, 175, 180), _DEEP)
    stars(plate, (0, 44, 171, 170), 60, seed="moon stars")
    _earth(plate, (120, 108), 34)
    for top, rough, ink, seed in ((166, 7, GREY, "m1"), (184, 5, SILVER, "m2")):
        crest = ridge((-4, top), (176, top + 4), rough=rough, seed=seed, steps=14)
        plate.shape([*crest, (176, 264), (-4, 264)], ink, 0.9)
    plate.fill(smooth([(-10, 212), (60, 200), (130, 206), (190, 198), (190, 270), (-10, 270)]), CREAM)
    for x, y, size in ((26, 238, 13), (150, 222, 9), (120, 250, 15), (58, 214, 5), (84, 226, 4)):
        plate.shape(ellipse((x, y), (size, size * 0.32)), GREY, 0.8)
        plate.fill(ellipse((x + size * 0.1, y + size * 0.1), (size * 0.8, size * 0.2)), CREAM)
    for i in range(7):
        plate.disc((166 - i * 9, 243 - i * 2.6 + (i % 2) * 4), (2.4, 1), BLACK)
    _postbox(plate, (46, 226))
    plate.fill(ellipse((106, 232), (32, 5)), BLACK)
    _spaceman(plate, (96, 230))
    ganymede_mail(plate, issue, (YELLOW, RED, RED))
    caption(plate, ("NEXT COLLECTION: 2061",), (10, 244, 82, 254), YELLOW)


def _earth(plate: Plate, at: Point, radius: float) -> None:
    plate.disc(at, radius + 2.4, BLUE)
    plate.disc(at, radius, CYAN)
    x, y = at
    with plate.clip(ellipse(at, radius)):
        for points in ([(-20, -30), (2, -32), (8, -18), (-4, -10), (-6, 2), (-16, -6), (-26, -14)],
                       [(-8, 6), (6, 4), (12, 16), (4, 32), (-4, 26), (-8, 14)],
                       [(18, -22), (36, -26), (40, 0), (28, 8), (22, -6)]):  # fmt: skip
            plate.fill(smooth(moved(points, x, y)), Ink(60, 0, 100))
        for dy, long in ((-14, 40), (6, 54), (20, 36)):
            plate.fill(ribbon(smooth([(x - long, y + dy), (x, y + dy + 4), (x + long, y + dy - 3)], closed=False),
                              (0.2, 3.4, 0.2)), WHITE)  # fmt: skip
        plate.fill(smooth([(x + 10, y - 40), (x + 24, y), (x + 8, y + 40), (x + 50, y + 40), (x + 50, y - 40)]), INDIGO)


def _postbox(plate: Plate, at: Point) -> None:
    with plate.at(at, turn=-3):
        plate.fill(ellipse((8, 2), (26, 4)), BLACK)
        for side in (-1, 1):
            plate.shape([(side * 9 - 2, -10), (side * 9 + 2, -10), (side * 13 + 2, 2), (side * 13 - 2, 2)], SLATE, 0.8)
        body = [(-16, -58), *ellipse((0, -58), (16, 15), arc=(180, 360)), (16, -8), (-16, -8)]
        plate.shape(body, BLUE, 1.1)
        with plate.clip(body):
            plate.fill(box(7, -76, 17, -6), INDIGO)
        plate.shape(rounded(-11, -62, 11, -57, radius=1), BLACK, 0.6)
        plate.shape(rounded(-11, -48, 9, -24, radius=1), WHITE, 0.8)
        plate.shape(box(-8, -45, 6, -37), CREAM, 0.6)
        plate.line([(-8, -45), (-1, -40), (6, -45)], 0.6)
        for y in (-33, -30, -27):
            plate.line([(-8, y), (6, y)], 0.7)
        plate.line([(12, -70), (18, -86)], 0.9, SILVER)
        plate.disc((18, -87), 2, RED, line=0.6)


def _spaceman(plate: Plate, at: Point) -> None:
    with plate.at(at):
        plate.shape(rounded(2, -68, 24, -26, radius=5), SLATE, 1)
        for foot, knee in ((-8, -12), (12, 10)):
            plate.shape(
                ribbon(smooth([(knee * 0.6, -28), (knee, -14), (foot, -2)], closed=False), (15, 14, 12)), RED, 1
            )
            plate.shape(smooth([(foot - 9, -5), (foot + 5, -6), (foot + 6, 2), (foot - 10, 2)]), WHITE, 1)
        plate.shape(ribbon(smooth([(12, -58), (24, -44), (20, -30)], closed=False), (11, 10, 8)), RED, 1)
        trunk = smooth([(-13, -60), (0, -66), (14, -60), (15, -40), (13, -24), (-13, -24), (-14, -42)])
        plate.shape(trunk, RED, 1.1)
        with plate.clip(trunk):
            plate.fill(smooth([(6, -70), (22, -60), (20, -20), (4, -20), (9, -40)]), MAROON)
        plate.shape(rounded(-9, -54, 5, -42, radius=1.5), WHITE, 0.8)
        for x, ink in ((-6, CYAN), (-2, YELLOW), (2, RED)):
            plate.disc((x, -48), 1.5, ink, line=0.5)
        for y in (-36, -32):
            plate.line(smooth([(-14, y), (0, y + 2), (14, y)], closed=False), 0.7)
        plate.disc((-1, -76), 15, WHITE, line=1.2)
        plate.disc((-4, -76), (10.4, 9), BLACK, line=1)
        with plate.clip(ellipse((-4, -76), (10, 8.6))):
            plate.disc((-5, -73), (5.4, 6.4), FLESH)
            plate.fill(smooth([(-12, -78), (-6, -82), (2, -79), (0, -86), (-12, -86)]), RUST)
            for pupil in (-8, -3.6):
                plate.disc((pupil, -74), 0.8, BLACK)
            plate.brush([(-8, -69.6), (-5.4, -68.6), (-2.6, -70)], 0.3, 0.8, 0.3)
        plate.brush(ellipse((-4, -76), (8.4, 7), arc=(-70, 10)), 0.3, 1.5, 0.3, ink=WHITE)
        plate.line([(12, -84), (20, -98)], 0.8)
        plate.disc((20, -99), 1.8, YELLOW, line=0.6)
        plate.shape(ribbon(smooth([(-12, -56), (-24, -52), (-31, -60)], closed=False), (11, 10, 7)), RED, 1)
        plate.shape([(-47, -70), (-33, -66), (-35, -56), (-49, -60)], CREAM, 0.8)
        plate.line([(-47, -70), (-42, -62.5), (-33, -66)], 0.6)
        plate.disc((-32, -61), (4, 3.6), WHITE, line=0.9)


def derelict_ship(plate: Plate, issue: Issue) -> None:
    """A lone postman with a lamp drifts towards a torn freighter in a red cloud of gas."""
    plate.ground(INDIGO)
    plate.glow(ellipse((98, 128), 116), (98, 128), 116, (MAGENTA, INDIGO))
    plate.glow(ellipse((98, 128), 60), (98, 128), 60, (Ink(0, 10, 90), MAGENTA))
    stars(plate, (0, 60, 171, 258), 110, seed="late stars")
    dice = chance("rocks")
    for _ in range(26):
        at, size = (dice.uniform(0, 171), dice.uniform(196, 258)), dice.uniform(1.2, 5)
        plate.fill(smooth([polar(at, size * dice.uniform(0.6, 1.1), a) for a in range(0, 360, 60)], steps=2), BLACK)
    with plate.at((88, 134), turn=-24):
        _freighter(plate)
    plate.fade([(50, 224), (80, 138), (112, 162)], Ink(0, 0, 60), Ink(0, 40, 60), angle=-60)
    with plate.at((44, 232), turn=18, size=0.62):
        _spaceman(plate, (0, 0))
    plate.line(smooth([(40, 224), (20, 240), (14, 230), (-4, 250)], closed=False), 0.9, WHITE)
    ganymede_again(plate, issue, (CYAN, RED, YELLOW))


def _freighter(plate: Plate) -> None:
    hull = [(-92, -6), (-80, -18), (-20, -22), (-14, -30), (14, -32), (20, -24), (64, -24), (82, -12), (96, -10),
            (96, 4), (82, 8), (66, 22), (20, 22), (14, 15), (4, 24), (-6, 12), (-16, 25), (-24, 20), (-70, 18),
            (-92, 8)]  # fmt: skip
    plate.shape(hull, INDIGO, 1.2)
    with plate.clip(hull):
        plate.fill([(-92, -30), (96, -34), (96, -14), (-92, -10)], SLATE)
        plate.fill([(-92, -30), (96, -34), (96, -22), (-92, -18)], SILVER)
        for i in range(17):
            plate.line([(-88 + i * 11, -34), (-88 + i * 11 + 3, 30)], 0.6)
        for y in (-10, 6):
            plate.line([(-96, y), (98, y - 3)], 0.6)
        feather(plate, (-90, 18), (90, 22), 16, angle=-86, count=44, width=1.5)
        for i in range(15):
            plate.fill(box(-80 + i * 11, -5, -76 + i * 11, -2.4), YELLOW if i in {3, 4, 11} else BLACK)
    hole = star((8, 2), 17, 9, points=9, turn=12)
    plate.shape(hole, BLACK, 1)
    for i in range(5):
        plate.line([(0 + i * 4, -8), (1 + i * 4, 12)], 0.6, ORANGE)
    plate.line([(-2, 1), (18, 0)], 0.7, ORANGE)
    for y in (-16, 0, 14):
        plate.shape([(96, y - 5), (108, y - 8), (108, y + 6), (96, y + 4)], SLATE, 0.9)
    plate.shape(rounded(-66, -34, -36, -19, radius=3), SLATE, 1)
    for i in range(4):
        plate.fill(box(-62 + i * 6.4, -31, -58 + i * 6.4, -27), BLACK)
    for x, high in ((-52, 22), (-44, 15), (40, 18)):
        plate.line([(x, -30), (x + 2, -30 - high)], 1)
    plate.shape(ellipse((46, -34), (12, 3.4), tilt=-20), SILVER, 0.8)
