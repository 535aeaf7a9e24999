"""Linen Squadron: a patched biplane, a submarine that was never built."""

from seeds.covers.curves import Point, box, ellipse, polar, ribbon, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BROWN,
    BUFF,
    CREAM,
    CYAN,
    FLESH,
    GOLD,
    GREEN,
    GREY,
    LIME,
    MAROON,
    NAVY,
    RED,
    SILVER,
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
from seeds.covers.mastheads import linen_squadron
from seeds.covers.mastheads_town import foot_band
from seeds.covers.plate import Plate
from seeds.covers.scenery import cloud, feather, hills, puffs, rain, sea, stars
from seeds.covers.signs import caption

_NIGHT = Ink(100, 100, 60)


def biplanes_sunset(plate: Plate, issue: Issue) -> None:
    """A patched biplane banks out of the sun over a quilt of fields."""
    plate.ground(YELLOW)
    plate.fade(box(-2, 40, 186, 200), Ink(0, 70, 100), YELLOW)
    plate.disc((130, 128), 34, CREAM)
    for x, y, wide in ((36, 160, 44), (150, 176, 48), (90, 184, 60)):
        cloud(plate, (x, y), (wide, 14), WHITE, seed=f"lin{x}", line=0.9)
    _fields(plate)
    with plate.at((146, 92), size=0.34, turn=-18, flip=True):
        _biplane(plate, SLATE, BLACK)
    puffs(plate, [(152, 96), (160, 92), (168, 88), (176, 84), (186, 80)], (2.4, 6), (GREY, BLACK), "trail")
    with plate.at((98, 144), size=0.98, turn=-16):
        _biplane(plate, RED, GREEN)
    linen_squadron(plate, issue, (WHITE, RED, YELLOW))
    caption(plate, ("EIGHT PATCHES. NINE HOLES.",), (10, 244, 84, 254), WHITE)


def _fields(plate: Plate) -> None:
    hills(plate, (-4, 196), (190, 190), VIOLET, rough=5, seed="field hills")
    plate.fill(box(-2, 204, 186, 264), LIME)
    edges = [(-60 + i * 38, 262 + 20) for i in range(9)]
    inks = (GREEN, LIME, GOLD, TAN, LIME, GREEN, BUFF, LIME)
    for i in range(8):
        top0, top1 = 40 + i * 14, 54 + i * 14
        for row, (a, b) in enumerate(((0.0, 0.3), (0.3, 0.6), (0.6, 1.0))):
            corners = [_between((top0, 204), edges[i], a), _between((top1, 204), edges[i + 1], a),
                       _between((top1, 204), edges[i + 1], b), _between((top0, 204), edges[i], b)]  # fmt: skip
            plate.shape(corners, inks[(i * 3 + row * 2) % 8], 0.6)
    plate.line([(-2, 204), (186, 204)], 0.8)
    river = smooth([(110, 204), (104, 214), (126, 226), (112, 240), (140, 264)], closed=False)
    plate.shape(ribbon(river, (2, 5, 8, 11, 15)), CYAN, 0.7)


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _biplane(plate: Plate, coat: Ink, band: Ink) -> None:
    tail = smooth([(-66, -6), (-84, -26), (-92, -22), (-86, -2)], steps=5)
    plate.shape(tail, coat, 1.1)
    plate.fill([(-80, -19), (-90, -21), (-87, -8), (-76, -12)], YELLOW)
    plate.shape(smooth([(-62, 0), (-92, 2), (-96, 8), (-64, 7)], steps=5), band, 1)
    lower = [(-18, 12), (34, 12), (66, 34), (22, 38)]
    plate.shape(lower, coat, 1.1)
    body = smooth([(-88, -2), (-60, -8), (-20, -14), (10, -17), (34, -15), (46, -8), (48, 2), (42, 10), (10, 14), (-30, 11),
                   (-64, 5)], steps=6)  # fmt: skip
    plate.shape(body, coat, 1.3)
    with plate.clip(body):
        plate.fill([(-90, 2), (50, 4), (50, 20), (-90, 20)], MAROON if coat == RED else BLACK)
        plate.fill([(-52, -20), (-40, -20), (-42, 20), (-54, 20)], band)
        plate.fill([(28, -20), (34, -20), (35, 20), (29, 20)], WHITE)
    for x, y, turn in ((-24, -2, 12), (-66, -3, -20), (8, 6, 30)):
        with plate.at((x, y), turn=turn):
            plate.shape(box(-4.6, -3.6, 4.6, 3.6), BUFF, 0.6)
            for k in (-4, 0, 4):
                plate.line([(k, -4.6), (k, -2.8)], 0.5)
                plate.line([(k, 2.8), (k, 4.6)], 0.5)
    _airman(plate)
    _upper_wing(plate, coat, band)
    for side in (0, 10):
        plate.line([(10, 13), (16 + side, 26)], 1.6)
        plate.disc((17 + side, 29), 6.6, BLACK)
        plate.disc((17 + side, 29), 3, SILVER, line=0.6)
    plate.shape(smooth([(44, -10), (54, -5), (54, 4), (44, 8)]), SILVER, 1)
    plate.disc((57, -1), (3, 34), Ink(0, 0, 20), tilt=4)
    plate.line(ellipse((57, -1), (3, 34), tilt=4), 0.6)
    for angle in (60, 240):
        plate.brush([(57, -1), polar((57, -1), 32, angle + 30)], 2.6, 3.4, 0.8, ink=BROWN)


def _airman(plate: Plate) -> None:
    with plate.at((-10, -14)):
        plate.shape(smooth([(-9, 0), (-6, -6), (8, -4), (10, 0)]), BLACK, 0.6)
        plate.disc((0, -8), (5.6, 6.2), BROWN, line=0.9)
        plate.fill(smooth([(1, -9), (5.6, -9), (5, -3), (1, -2)]), FLESH)
        plate.shape(rounded(0.4, -11, 6.4, -7.4, radius=1.6), SKY, 0.7)
        plate.shape(smooth([(-3, -3), (-14, -8), (-30, -4), (-26, -10), (-34, -12), (-14, -13), (-2, -7)]), WHITE, 0.8)


def _upper_wing(plate: Plate, coat: Ink, band: Ink) -> None:
    for x in (4, 30):
        plate.line([(x, -14), (x - 6, -44)], 1.2)
        plate.line([(x + 24, 22), (x + 20, -34)], 1.2)
    plate.line([(4, -14), (50, -36)], 0.6)
    plate.line([(28, 20), (24, -44)], 0.6)
    upper = [(-26, -44), (30, -46), (74, -30), (24, -28)]
    plate.shape(upper, coat, 1.2)
    plate.fill([(36, -42.6), (46, -39), (8, -37.4), (0, -40)], WHITE)
    plate.disc((43, -35), (8, 3.6), WHITE, line=0.8, tilt=8)
    plate.disc((43, -35), (4.6, 2), band, tilt=8)
    plate.brush([(-20, -43), (28, -44.6)], 0.3, 1.2, 0.3, ink=WHITE)


def submarine_night(plate: Plate, issue: Issue) -> None:
    """A flying boat's flare catches a submarine that was never built."""
    plate.ground(_NIGHT)
    plate.fade(box(-2, 50, 186, 190), _NIGHT, TEAL)
    stars(plate, (0, 70, 184, 150), 40, seed="sub stars")
    plate.glow(ellipse((140, 100), 46), (140, 100), 46, (YELLOW, Ink(90, 60, 60)))
    plate.fill(star((140, 100), 15, 6, points=10), WHITE)
    plate.line([(140, 100), (150, 60)], 0.8, WHITE)
    hills(plate, (-4, 172), (190, 168), _NIGHT, rough=4, seed="sub coast")
    plate.fill(box(-2, 180, 186, 264), TEAL)
    for i in range(9):
        y = 184 + i * 6
        plate.fill(ribbon([(140 - 26 - i * 3, y), (140, y - 1), (140 + 26 + i * 3, y)], (0.2, 2.2, 0.2)), YELLOW)
    _submarine(plate)
    sea(plate, 232, (BLUE, NAVY), seed="sub near", height=9, step=14)
    _periscope_birds(plate)
    rain(plate, (0, 70, 184, 90), 4, seed="sub rain")
    linen_squadron(plate, issue, (YELLOW, NAVY, LIME))
    foot_band(plate, "HULL NUMBER NOBODY", (RED, WHITE))


def _submarine(plate: Plate) -> None:
    hull = smooth([(-30, 226), (-20, 198), (40, 190), (110, 192), (150, 204), (168, 218), (172, 234), (140, 246),
                   (-30, 250)], steps=6)  # fmt: skip
    plate.shape(hull, SLATE, 1.4)
    with plate.clip(hull):
        plate.fill(smooth([(-30, 216), (60, 214), (130, 222), (176, 236), (176, 252), (-30, 252)]), BLACK)
        plate.brush(smooth([(-20, 200), (40, 193), (110, 195), (152, 207)], closed=False), 0.6, 2.2, 0.6, ink=YELLOW)
        for i in range(26):
            plate.disc((-16 + i * 7, 206 + max(0, i - 17) * 1.4), 0.9, BLACK)
        feather(plate, (-20, 214), (150, 226), 13, angle=-92, count=30, width=1.7)
    for x in (150, 158):
        plate.line(ellipse((x, 222), (3, 4)), 1)
    tower = smooth([(30, 194), (32, 160), (38, 148), (82, 146), (90, 154), (98, 194)], steps=5)
    plate.shape(tower, SLATE, 1.4)
    with plate.clip(tower):
        plate.fill([(74, 140), (110, 140), (110, 200), (80, 200)], BLACK)
        plate.brush([(33, 190), (35, 162), (40, 150)], 0.5, 2, 0.5, ink=YELLOW)
    plate.shape(star((56, 172), 10, 4.4, points=4, turn=0), RED, 0.9)
    plate.disc((56, 172), 3, WHITE, line=0.6)
    for x, top in ((48, 112), (60, 122), (70, 104)):
        plate.line([(x, 148), (x, top)], 2.6)
        plate.line([(x - 0.6, 146), (x - 0.6, top)], 0.8, SILVER)
    plate.shape(box(68, 100, 78, 106), SLATE, 0.9)
    plate.disc((78, 103), 2.4, CYAN, line=0.7)
    for x in (40, 46, 52, 58, 64, 70, 76):
        plate.line([(x, 147), (x, 139)], 0.7)
    plate.line([(38, 139), (80, 137)], 0.9)
    for x in (44, 66):
        plate.disc((x, 134), 3, BLACK)
        plate.fill(smooth([(x - 5, 147), (x - 4, 138), (x + 4, 138), (x + 5, 147)]), BLACK)
    plate.shape(box(112, 180, 126, 194), SLATE, 1)
    plate.line([(118, 184), (146, 174)], 3.4)
    plate.line([(118, 183.4), (145, 173.8)], 1, YELLOW)


def _periscope_birds(plate: Plate) -> None:
    with plate.at((142, 78), size=0.5):
        wing = [(0, -3), (60, -10), (64, -6), (4, 4)]
        plate.fill([*wing, *[(-x, y) for x, y in reversed(wing)]], BLACK)
        plate.fill(smooth([(-4, -8), (4, -8), (6, 6), (0, 12), (-6, 6)]), BLACK)
        for x in (-22, 22):
            plate.fill(ellipse((x, -8), (5, 4)), BLACK)
            plate.line([(x - 9, -10), (x + 9, -6)], 0.8)
