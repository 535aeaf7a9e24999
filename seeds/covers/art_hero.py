"""Crimson Semaphore: a roof by moonlight, a clock tower, a giant out of the river."""

from seeds.covers.curves import Path, Point, box, chance, polar, smooth
from seeds.covers.inks import (
    BLACK,
    BUFF,
    CREAM,
    CYAN,
    GOLD,
    GREEN,
    GREY,
    INDIGO,
    LEAF,
    LIME,
    MAROON,
    NAVY,
    ORANGE,
    RED,
    SILVER,
    SLATE,
    TEAL,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import crimson_again, crimson_semaphore, foot_band
from seeds.covers.people import Outfit, Pose, cape, figure, masked
from seeds.covers.plate import Plate
from seeds.covers.scenery import bricks, feather, moon, rays, stars, town

_NIGHT = Ink(100, 100, 60)
_SUIT = Outfit(top=WHITE, legs=RED, boots=BLACK, hands=BLACK)


def rooftop_moon(plate: Plate, issue: Issue) -> None:
    """The Semaphore stands on the cornice against the moon and reads the lights below."""
    plate.ground(INDIGO)
    stars(plate, (0, 60, 184, 220), 60, seed="roof stars")
    plate.disc((104, 150), 69, Ink(60, 60, 0))
    moon(plate, (104, 150), 62, (YELLOW, GOLD), seed="roof moon")
    town(plate, 250, (-4, 190), (Ink(100, 90, 20), YELLOW), seed="roof town", high=(20, 60))
    cornice = [(-4, 232), (70, 224), (128, 224), (190, 240), (190, 264), (-4, 264)]
    plate.shape(cornice, _NIGHT, 1)
    plate.shape([(-4, 228), (70, 219), (130, 219), (190, 236), (190, 241), (128, 225), (70, 225), (-4, 234)], SLATE, 1)
    for i in range(9):
        plate.fill([(6 + i * 20, 236), (14 + i * 20, 236), (14 + i * 20, 262), (6 + i * 20, 262)], BLACK)
    with plate.at((98, 219), size=1.5):
        _standing(plate)
    _gargoyle(plate)
    crimson_semaphore(plate, issue, (RED, WHITE, YELLOW))


def _standing(plate: Plate) -> None:
    cape(plate, ((-9, -62), (10, -62), (20, -40), (40, -30), (58, -34), (66, -22), (52, -10), (40, -8), (24, 4), (4, -14),
                 (-6, -30)), RED, (((8, -56), (54, -16)), ((4, -56), (34, -6)), ((10, -50), (60, -28))))  # fmt: skip
    pose = Pose(shoulders=((-11, -58), (11, -58)), elbows=((-22, -48), (23, -50)), hands=((-13, -36), (13, -37)),
                knees=((-11, -16), (12, -18)), feet=((-14, 0), (15, -2)), toes=((-20, 1), (22, -1)))  # fmt: skip
    outline = figure(plate, pose, _SUIT)
    _chest_flag(plate, (0, -51))
    with plate.clip(outline):
        plate.fill(box(-14, -37, 14, -33), BLACK)
    plate.disc((0, -35), 2.6, YELLOW, line=0.7)
    masked(plate, (0, -61), hood=RED, turn=-4)


def _chest_flag(plate: Plate, at: Point) -> None:
    """The flag on the chest: parted cornerwise, red and yellow."""
    x, y = at
    plate.shape(box(x - 6, y - 5, x + 6, y + 6), YELLOW, 0.8)
    plate.fill([(x - 6, y - 5), (x + 6, y - 5), (x - 6, y + 6)], RED)
    plate.line([(x + 6, y - 5), (x - 6, y + 6)], 0.7)


def _gargoyle(plate: Plate) -> None:
    with plate.at((20, 226)):
        plate.shape(smooth([(-26, 20), (-22, -8), (-6, -20), (8, -26), (20, -22), (30, -14), (26, -8), (14, -8), (14, 2),
                            (22, 12), (10, 16), (0, 20)]), SLATE, 1.1)  # fmt: skip
        plate.shape(smooth([(-8, -16), (-26, -38), (-36, -30), (-28, -24), (-32, -12), (-20, -10)]), SLATE, 1)
        plate.shape([(4, -24), (0, -36), (12, -27)], SLATE, 0.9)
        plate.disc((17, -18), 1.5, YELLOW, line=0.6)
        feather(plate, (-20, 16), (8, 14), 14, angle=-80, count=9, width=1.5)


def clock_tower_swing(plate: Plate, issue: Issue) -> None:
    """Out of the bell tower on a rope, while the great clock reaches twelve."""
    plate.ground(YELLOW)
    rays(plate, (118, 132), ORANGE, count=22)
    town(plate, 262, (-4, 190), (MAROON, YELLOW), seed="noon town", high=(6, 34))
    _clock(plate, (122, 138))
    plate.line(smooth([(24, 58), (40, 96), (62, 124)], closed=False), 2.6)
    plate.line(smooth([(24, 58), (40, 96), (62, 124)], closed=False), 1.4, BUFF)
    with plate.at((70, 200), size=1.42, turn=24):
        _swinging(plate)
    crimson_semaphore(plate, issue, (RED, NAVY, WHITE))


def _clock(plate: Plate, at: Point) -> None:
    x, y = at
    plate.shape([(x - 52, 262), (x - 50, y - 40), (x + 50, y - 40), (x + 54, 262)], SLATE, 1.3)
    with plate.clip([(x - 51, 262), (x - 49.4, y + 48), (x + 49.4, y + 48), (x + 53, 262)]):
        bricks(plate, (x - 56, y + 48, x + 58, 262), (14, 7), (SLATE, GREY), seed="tower")
    plate.shape([(x - 58, y - 38), (x, y - 80), (x + 58, y - 38)], TEAL, 1.2)
    plate.shape(box(x - 57, y - 46, x + 57, y - 38), CREAM, 1)
    plate.disc(at, 46, BLACK)
    plate.disc(at, 44, GOLD, line=1)
    plate.disc(at, 39, CREAM, line=1)
    for i in range(60):
        far = 37 if i % 5 else 37.6
        plate.line([polar(at, far, i * 6), polar(at, 35.4 if i % 5 else 29, i * 6)], 0.5 if i % 5 else 2)
    plate.brush([polar(at, -8, -91), polar(at, 32, -91)], 1, 4.4, 0.6)
    plate.brush([polar(at, -6, -96), polar(at, 22, -96)], 1.4, 5.4, 0.8)
    plate.disc(at, 3.4, RED, line=0.8)


def _swinging(plate: Plate) -> None:
    cape(plate, ((-8, -60), (9, -60), (4, -44), (-8, -34), (-30, -20), (-52, -18), (-66, -26), (-60, -38), (-44, -44),
                 (-24, -56)), YELLOW, (((-2, -56), (-56, -26)), ((0, -50), (-40, -18)), ((-6, -58), (-54, -36))))  # fmt: skip
    pose = Pose(shoulders=((-11, -58), (11, -57)), elbows=((-8, -74), (26, -62)), hands=((-4, -90), (42, -68)),
                hips=((-6, -31), (6, -31)), knees=((10, -14), (22, -30)), feet=((-6, -2), (34, -10)),
                toes=((-2, 7), (44, -8)))  # fmt: skip
    outline = figure(plate, pose, _SUIT)
    _chest_flag(plate, (0, -50))
    with plate.clip(outline):
        plate.fill(box(-14, -36, 14, -32), BLACK)
    masked(plate, (0, -61), hood=RED, turn=6)
    plate.line([(42, -68), (58, -76)], 1.2)
    flag = smooth([(52, -96), (70, -92), (76, -74), (58, -76)], steps=3)
    plate.shape(flag, YELLOW, 0.9)
    plate.fill([(54, -94), (72, -88), (59, -77)], RED)


def bridge_giant(plate: Plate, issue: Issue) -> None:
    """A colossus of river mud tears the cables loose; one red figure dives at it."""
    plate.ground(Ink(0, 50, 25))
    plate.fade(box(-2, 50, 175, 200), VIOLET, Ink(0, 60, 70))
    plate.disc((34, 116), 20, YELLOW)
    town(plate, 206, (-4, 176), (Ink(80, 100, 20), GOLD), seed="late town", high=(20, 66))
    _mud_giant(plate)
    _deck(plate)
    for i in range(8):
        root = (18 + i * 5.4, 134 + i * 5.0)
        plate.brush([root, (root[0] - 30 - i % 3 * 8, root[1] + 24 + i % 3 * 6)], 1.6, 0.2, ink=WHITE)
    with plate.at((48, 138), size=0.92, turn=52):
        cape(plate, ((-8, -60), (9, -60), (8, -40), (20, -20), (30, 6), (24, 26), (8, 14), (0, 22), (-10, 4), (-8, -30)),
             YELLOW, (((0, -54), (20, 14)), ((4, -54), (4, 12))))  # fmt: skip
        pose = Pose(elbows=((-16, -70), (15, -72)), hands=((-13, -88), (12, -92)), knees=((-8, -14), (12, -16)),
                    feet=((-8, 4), (18, -2)), toes=((-8, 14), (24, 8)))  # fmt: skip
        figure(plate, pose, _SUIT)
        _chest_flag(plate, (0, -50))
        masked(plate, (0, -61), hood=RED, turn=-30)
    crimson_again(plate, issue, (RED, INDIGO, BLACK))
    foot_band(plate, "WHEN THE RIVER WALKED!", (BLACK, YELLOW))


def _mud_giant(plate: Plate) -> None:
    mass = smooth([(70, 264), (74, 214), (62, 196), (76, 172), (92, 160), (98, 142), (96, 122), (104, 104), (122, 96),
                   (140, 102), (148, 120), (146, 142), (158, 152), (180, 164), (190, 200), (190, 264)], steps=6)  # fmt: skip
    plate.shape(mass, LEAF, 1.4)
    with plate.clip(mass):
        plate.fill(smooth([(136, 96), (160, 140), (200, 160), (200, 270), (130, 270), (146, 200), (132, 150)]), GREEN)
        for start in ((84, 176), (96, 196), (112, 172), (126, 190), (150, 172), (164, 196), (90, 226), (140, 220)):
            plate.brush(smooth([start, (start[0] - 3, start[1] + 16), (start[0] + 2, start[1] + 38)], closed=False), 0.4,
                        4.6, 0.4)  # fmt: skip
        feather(plate, (146, 142), (186, 190), 26, angle=170, count=15, width=2.4)
    for x in (112, 133):
        plate.fill(smooth([(x - 8, 120), (x, 115), (x + 8, 121), (x, 127)]), BLACK)
        plate.disc((x - 1, 121), 3, YELLOW)
    plate.brush([(102, 112), (114, 112), (121, 118)], 1, 4, 1)
    plate.brush([(124, 118), (134, 112), (144, 114)], 1, 4, 1)
    mouth = smooth([(104, 140), (122, 134), (140, 141), (136, 154), (122, 158), (108, 154)])
    plate.fill(mouth, BLACK)
    for x in (110, 117, 125, 132):
        plate.fill([(x - 2.4, 136.6), (x + 2.4, 136.6), (x, 145)], LIME)
    for drop, size in (((104, 166), 3), (((118, 168)), 2), ((140, 164), 3)):
        plate.brush([(drop[0], drop[1] - 10), drop], 0.6, size * 1.6)
    fist = smooth([(66, 176), (50, 186), (34, 192), (22, 204), (30, 220), (46, 224), (62, 214), (80, 210)])
    plate.shape(fist, LEAF, 1.4)
    for x, y in ((26, 212), (34, 219), (44, 222)):
        plate.brush([(x, y), (x + 6, y - 10)], 0.5, 2.2, 0.4)


def _deck(plate: Plate) -> None:
    plate.shape([(-4, 226), (60, 222), (66, 234), (56, 240), (-4, 246)], SLATE, 1.1)
    plate.shape([(176, 214), (116, 220), (108, 230), (120, 238), (176, 236)], SLATE, 1.1)
    for start, middle, end in (((58, 224), (70, 206), (58, 192)), ((112, 224), (98, 206), (106, 188)),
                               ((40, 222), (46, 196), (30, 184))):  # fmt: skip
        plate.line(smooth([start, middle, end], closed=False), 1.4)
    plate.line([(-4, 168), (24, 200)], 1.6)
    for i in range(4):
        plate.line([(-2 + i * 8, 174 + i * 8), (-2 + i * 8, 226)], 0.7)
    for x, y, ink in ((14, 224, YELLOW), (136, 218, RED), (158, 217, CYAN)):
        plate.shape(smooth([(x - 10, y + 3), (x - 8, y - 3), (x - 4, y - 8), (x + 4, y - 8), (x + 8, y - 3), (x + 10, y + 3)],
                           steps=3), ink, 0.9)  # fmt: skip
        for side in (-5, 5):
            plate.disc((x + side, y + 3), 2.6, BLACK)
    dice = chance("rubble")
    for _ in range(18):
        at, size = (dice.uniform(56, 122), dice.uniform(224, 246)), dice.uniform(1, 3.4)
        block: Path = [polar(at, size, a + dice.uniform(-20, 20)) for a in range(0, 360, 72)]
        plate.shape(block, SILVER, 0.6)
