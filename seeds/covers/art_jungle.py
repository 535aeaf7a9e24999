"""Jungle Meridian: a stone head, a city on no chart."""

from seeds.covers.curves import Path, Point, box, chance, ellipse, ribbon, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BROWN,
    BUFF,
    CREAM,
    CYAN,
    GOLD,
    GREEN,
    LEAF,
    LIME,
    MAROON,
    NAVY,
    ORANGE,
    PINE,
    RED,
    RUST,
    SEA,
    TAN,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import jungle_meridian
from seeds.covers.mastheads_town import foot_band
from seeds.covers.people import Outfit, Pose, figure, hat, head
from seeds.covers.plate import Plate
from seeds.covers.scenery import frond, hills, tuft

_DEEP = Ink(100, 60, 80)


def jungle_idol(plate: Plate, issue: Issue) -> None:
    """Two with one lantern find the stone head the forest has been eating."""
    plate.ground(PINE)
    plate.glow(box(-2, -2, 186, 262), (92, 140), 120, (LIME, _DEEP))
    for x, lean, wide in ((10, 6, 14), (172, -8, 16), (40, 3, 8), (150, -4, 9)):
        trunk = ribbon(smooth([(x, 270), (x + lean, 160), (x, 40)], closed=False), (wide * 1.5, wide, wide * 1.1))
        plate.fill(trunk, _DEEP)
        plate.brush(smooth([(x + lean * 2, 40), (x + lean * 2 - 4, 120), (x + lean, 190)], closed=False), 1.6, 1, 0.4)
    _idol(plate, (92, 150))
    for root, tip, bow, ink in (((-4, 90), (64, 84), -0.2, GREEN), ((188, 84), (128, 92), 0.24, GREEN),
                                ((-6, 196), (44, 168), -0.24, LEAF), ((190, 190), (140, 166), 0.24, LEAF),
                                ((-6, 250), (52, 214), -0.3, GREEN), ((190, 252), (136, 212), 0.28, GREEN)):  # fmt: skip
        frond(plate, root, tip, bow, ink)
    for start, sag in (((30, 60), 70), ((60, 62), 38), ((132, 62), 50), ((160, 60), 84)):
        vine = smooth([start, (start[0] - 3, start[1] + sag * 0.5), (start[0] + 2, start[1] + sag)], closed=False)
        plate.line(vine, 1.6)
        for leaf in vine[2::4]:
            plate.shape(ellipse((leaf[0] + 2, leaf[1]), (2.6, 1.4), tilt=30), LIME, 0.5)
    _explorers(plate)
    jungle_meridian(plate, issue, (YELLOW, MAROON, ORANGE))
    foot_band(plate, "IT COUNTED THEM BEFORE THEY COUNTED IT", (BLACK, YELLOW))


def _idol(plate: Plate, at: Point) -> None:
    stone, lit, dark = Ink(60, 20, 50), SEA, BLACK
    with plate.at(at, size=1.1):
        crown = [(-44, -40), (-50, -62), (-30, -52), (-24, -78), (-8, -58), (0, -86), (8, -58), (24, -78), (30, -52),
                 (50, -62), (44, -40)]  # fmt: skip
        plate.shape(crown, GOLD, 1.2)
        for x in (-37, -16, 0, 16, 37):
            plate.disc((x, -50 - (8 if abs(x) < 20 else 0)), 2.6, RED, line=0.7)  # noqa: PLR2004
        skull = smooth([(-46, -40), (0, -50), (46, -40), (52, -6), (46, 36), (30, 62), (0, 70), (-30, 62), (-46, 36),
                        (-52, -6)], steps=6)  # fmt: skip
        plate.shape(skull, stone, 1.5)
        with plate.clip(skull):
            plate.fill(smooth([(-52, -40), (-20, -50), (-30, 0), (-28, 50), (-52, 40)]), lit)
            plate.fill(smooth([(34, -50), (60, -40), (60, 60), (20, 76), (38, 30), (42, -10)]), dark)
            for line in ([(-18, -46), (-12, -34), (-17, -26)], [(30, 12), (24, 24), (28, 36)], [(-44, 10), (-34, 16)]):
                plate.brush(line, 1.4, 1, 0.2)
        plate.shape(smooth([(-48, -30), (-14, -24), (0, -14), (14, -24), (48, -30), (44, -18), (12, -8), (0, 2), (-12, -8),
                            (-44, -18)], steps=5), lit, 1.1)  # fmt: skip
        for side in (-1, 1):
            plate.fill(smooth([(side * 10, -7), (side * 40, -16), (side * 40, 0), (side * 24, 6)]), dark)
            plate.shape(smooth([(side * 15, -5), (side * 36, -11), (side * 35, -2), (side * 24, 2)]), RED, 0.8)
            plate.disc((side * 25, -5), 3, YELLOW)
            for i in range(3):
                plate.line(ellipse((side * 52, 8 + i * 9), 5), 3.6)
                plate.line(ellipse((side * 52, 8 + i * 9), 5), 2, GOLD)
        nose = smooth([(-6, -2), (6, -2), (14, 20), (8, 26), (-8, 26), (-14, 20)], steps=5)
        plate.shape(nose, lit, 1.2)
        plate.fill(smooth([(4, 0), (7, 0), (14, 20), (8, 26), (4, 20)]), dark)
        mouth = rounded(-32, 32, 32, 54, radius=9)
        plate.shape(mouth, dark, 1.2)
        for i in range(6):
            left = -27 + i * 9.2
            plate.shape(rounded(left, 33, left + 7.6, 42, radius=1.4), CREAM, 0.7)
            plate.shape(rounded(left, 44.6, left + 7.6, 53, radius=1.4), CREAM, 0.7)
        for x, y in ((-40, 44), (-30, 58), (36, 50), (-46, -22), (40, -34)):
            tuft(plate, (x, y), 9, GREEN, seed=f"moss{x}", blades=6)


def _explorers(plate: Plate) -> None:
    ground = smooth([(-20, 236), (40, 226), (92, 232), (150, 224), (204, 236), (204, 290), (-20, 290)])
    plate.fill(ground, BLACK)
    plate.fill(star((78, 216), 24, 15, points=14), GOLD)
    plate.fill(star((78, 216), 16, 10, points=14), YELLOW)
    with plate.at((60, 246), size=0.8):
        figure(plate, Pose(elbows=((-17, -46), (16, -48)), hands=((-16, -32), (22, -40))), Outfit(TAN, BUFF, BROWN))
        head(plate, (0, -62), hair=RUST)
        hat(plate, (0, -77), ink=CREAM, band=RED, brim=13)
    plate.line(ellipse((78, 210), (3, 4), arc=(180, 360)), 0.8)
    plate.shape(rounded(73, 210, 83, 222, radius=2), YELLOW, 0.9)
    with plate.at((112, 246), size=0.78, flip=True):
        figure(plate, Pose(elbows=((-16, -46), (20, -58)), hands=((-14, -32), (32, -66))), Outfit(RED, NAVY, BROWN))
        head(plate, (0, -62), hair=BLACK, turn=-8)


def lost_city(plate: Plate, issue: Issue) -> None:
    """A panther keeps the ledge above a stepped city that no chart shows."""
    plate.ground(ORANGE)
    plate.fade(box(-2, 50, 186, 160), Ink(0, 60, 80), YELLOW)
    plate.disc((60, 122), 25, WHITE)
    hills(plate, (-4, 140), (190, 128), Ink(40, 60, 0), rough=8, seed="city far")
    hills(plate, (-4, 158), (190, 150), Ink(70, 60, 20), rough=7, seed="city mid")
    _pyramid(plate, (118, 190), 96, 88)
    _pyramid(plate, (34, 196), 56, 48)
    plate.fill(smooth([(-10, 194), (60, 190), (130, 196), (200, 188), (200, 270), (-10, 270)]), GREEN)
    dice = chance("canopy")
    for row in range(4):
        for i in range(17):
            at = (-4 + i * 12 + dice.uniform(-3, 3), 198 + row * 10 + dice.uniform(-3, 3))
            plate.shape(ellipse(at, (8.6, 6.4)), (PINE, GREEN, LEAF)[(i + row) % 3], 0.7)
    river = smooth([(96, 200), (110, 208), (92, 220), (112, 240), (90, 270), (140, 270), (134, 240), (112, 222),
                    (124, 208), (112, 200)])  # fmt: skip
    plate.shape(river, CYAN, 0.8)
    _ledge_panther(plate)
    for x, y, size in ((140, 84, 1.0), (154, 94, 0.7), (128, 96, 0.6)):
        with plate.at((x, y), size=size):
            plate.brush(smooth([(-9, -3), (-4, -5), (0, 0), (4, -5), (9, -3)], closed=False), 0.4, 1.4, 1.6, 1.4, 0.4)
    frond(plate, (190, 262), (138, 214), 0.24, LEAF)
    frond(plate, (190, 214), (156, 176), 0.3, GREEN)
    jungle_meridian(plate, issue, (LIME, VIOLET, YELLOW))


def _pyramid(plate: Plate, foot: Point, wide: float, high: float) -> None:
    x, y = foot
    steps = 6
    for i in range(steps):
        low, top = y - high * i / steps, y - high * (i + 1) / steps
        half = wide / 2 * (1 - i * 0.135)
        plate.shape([(x - half, low), (x - half + 2, top), (x + half - 2, top), (x + half, low)], BUFF, 0.9)
        plate.fill([(x + half * 0.2, low), (x + half * 0.2, top), (x + half - 2, top), (x + half, low)], RUST)
        plate.line([(x - half + 2, top), (x + half - 2, top)], 0.9)
    head_half, top = wide * 0.14, y - high
    plate.shape(box(x - head_half, top - high * 0.16, x + head_half, top), BUFF, 0.9)
    plate.fill(box(x - head_half * 0.36, top - high * 0.1, x + head_half * 0.36, top), BLACK)
    plate.shape([(x - head_half * 1.3, top - high * 0.16), (x - head_half, top - high * 0.23),
                 (x + head_half, top - high * 0.23), (x + head_half * 1.3, top - high * 0.16)], RED, 0.9)  # fmt: skip
    stair = [(x - wide * 0.1, y), (x - wide * 0.06, top), (x + wide * 0.06, top), (x + wide * 0.1, y)]
    plate.shape(stair, CREAM, 0.7)
    for i in range(14):
        level = y - high * i / 14
        plate.line([(x - wide * 0.09, level), (x + wide * 0.09, level)], 0.5)


def _ledge_panther(plate: Plate) -> None:
    ledge = smooth(
        [(-20, 214), (20, 206), (60, 210), (92, 216), (104, 226), (96, 238), (80, 250), (70, 280), (-20, 280)]
    )
    plate.shape(ledge, Ink(70, 60, 20), 1.2)
    for x in (8, 30, 52, 74):
        plate.brush(smooth([(x, 214), (x - 4, 232), (x + 2, 258)], closed=False), 0.5, 4, 0.5)
    tail = smooth([(12, 196), (-4, 190), (-6, 168), (6, 160), (10, 168)], closed=False)
    plate.brush(tail, 6, 4.6, 3.6, 2)
    body: Path = smooth([(6, 208), (8, 190), (20, 182), (40, 184), (58, 180), (68, 170), (72, 160), (78, 162), (84, 158),
                         (87, 165), (93, 172), (98, 180), (94, 186), (84, 188), (78, 196), (74, 210), (64, 210),
                         (60, 200), (44, 202), (30, 202), (24, 210)], steps=7)  # fmt: skip
    plate.fill(body, BLACK)
    for paw, width in ((((70, 200), (80, 208), (92, 212)), 8), (((60, 200), (66, 212), (80, 216)), 8),
                          (((14, 198), (22, 210), (36, 212)), 9)):  # fmt: skip
        plate.brush(smooth(paw, closed=False), width, width * 0.8, width * 0.6)
    for points in ([(22, 184), (40, 186), (58, 182)], [(70, 172), (74, 164)], [(86, 166), (94, 174)], [(10, 192), (16, 186)],
                   [(64, 186), (74, 192)], [(-5, 186), (-6, 172), (2, 163)]):  # fmt: skip
        plate.brush(smooth(points, closed=False), 0.2, 1.3, 0.2, ink=ORANGE)
    plate.fill(ellipse((86, 172), (3, 1.6), tilt=24), YELLOW)
    plate.disc((86.6, 172.2), 0.8, BLACK)
    plate.disc((77, 171), (1.2, 1), YELLOW)
    plate.brush([(92, 183), (97, 180)], 0.6, 0.4, ink=WHITE)
    for dy in (-1, 2):
        plate.brush([(92, 179), (106, 178 + dy * 2)], 0.6, 0.2, ink=WHITE)
