"""Jukebox Hettie: the wrong record, danced to."""

from seeds.covers.curves import Path, Point, box, ellipse, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BROWN,
    CREAM,
    CYAN,
    FLESH,
    GOLD,
    GREEN,
    INDIGO,
    LIME,
    MAGENTA,
    NAVY,
    ORANGE,
    PINK,
    RED,
    ROSE,
    RUST,
    SILVER,
    SKY,
    TEAL,
    WHITE,
    YELLOW,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import foot_band, jukebox_hettie
from seeds.covers.people import limb
from seeds.covers.plate import Plate


def jukebox_dance(plate: Plate, issue: Issue) -> None:
    """Hettie has put the last nickel on the wrong record, and everybody likes it."""
    plate.ground(PINK)
    for radius, ink in ((170, ROSE), (132, PINK), (100, YELLOW), (72, CREAM)):
        plate.disc((112, 150), radius, ink)
    plate.fill(box(-2, 208, 175, 264), TEAL)
    for row in range(4):
        for i in range(14):
            if (row + i) % 2:
                x, wide = -30 + i * 18 - row * 5, 18 + row * 1.0
                plate.fill([(x, 208 + row * 15), (x + wide, 208 + row * 15), (x + wide - 5, 223 + row * 15),
                            (x - 6, 223 + row * 15)], WHITE)  # fmt: skip
    plate.line([(-2, 208), (175, 208)], 1.1)
    _jukebox(plate, (128, 226))
    _dancer_boy(plate)
    _dancer_girl(plate)
    for x, y, turn in ((20, 92, -12), (78, 88, 10), (100, 106, -8), (160, 84, 14), (14, 140, 8)):
        _note(plate, (x, y), turn)
    jukebox_hettie(plate, issue, (CYAN, INDIGO, YELLOW))
    foot_band(plate, "IT'S NOT A POLKA IF YOU DO IT FAST", (RED, WHITE))


def _note(plate: Plate, at: Point, turn: float) -> None:
    with plate.at(at, turn=turn):
        plate.line([(-5, 5), (-5, -11), (7, -14), (7, 2)], 1.6)
        plate.line([(-5, -7.6), (7, -10.6)], 2.4)
        for x, y in ((-7.6, 5.4), (4.4, 2.4)):
            plate.disc((x, y), (3.6, 2.7), BLACK, tilt=-20)


def _jukebox(plate: Plate, at: Point) -> None:
    with plate.at(at):
        plate.fill(ellipse((0, 4), (46, 7)), BLACK)
        shell = [(-38, 4), (-38, -78), *ellipse((0, -78), (38, 38), arc=(180, 360)), (38, 4)]
        plate.shape(shell, RED, 1.4)
        for inset, ink in ((4, YELLOW), (8, ORANGE), (12, MAGENTA)):
            arch = [(-38 + inset, -20), (-38 + inset, -78), *ellipse((0, -78), (38 - inset, 38 - inset), arc=(180, 360)),
                    (38 - inset, -20)]  # fmt: skip
            plate.shape(arch, ink, 0.9)
        glass = [(-22, -46), (-22, -78), *ellipse((0, -78), (22, 22), arc=(180, 360)), (22, -46)]
        plate.shape(glass, SKY, 1)
        plate.disc((0, -74), 15, BLACK)
        for radius in (12, 9.6):
            plate.line(ellipse((0, -74), radius, arc=(200, 290)), 0.6, SILVER)
        plate.disc((0, -74), 5, RED, line=0.7)
        plate.disc((0, -74), 1, WHITE)
        plate.line([(18, -92), (8, -78)], 1.6, SILVER)
        plate.shape(rounded(-24, -46, 24, -34, radius=2), CREAM, 0.9)
        for i in range(8):
            plate.line([(-21 + i * 6, -43), (-17 + i * 6, -43)], 1)
            plate.line([(-21 + i * 6, -39), (-17 + i * 6, -39)], 1)
        grille = rounded(-24, -30, 24, 0, radius=8)
        plate.shape(grille, GOLD, 1)
        with plate.clip(grille):
            for i in range(9):
                plate.line([(-28 + i * 7, -32), (-28 + i * 7, 2)], 1.1, RUST)
            plate.fill(star((0, -15), 13, 5, points=8), YELLOW)
            plate.line(star((0, -15), 13, 5, points=8), 0.8, closed=True)
        for side in (-1, 1):
            for i in range(6):
                plate.disc((side * 34, -66 + i * 11), 1.7, WHITE, line=0.5)


def _dancer_boy(plate: Plate) -> None:
    with plate.at((96, 246), size=1.06):
        limb(plate, ((0, -38), (-4, -20), (-14, -2)), (12, 10, 9), NAVY)
        limb(plate, ((6, -38), (18, -22), (14, -3)), (12, 10, 9), NAVY, shade=BLACK)
        for x, y in ((-16, 0), (18, -1)):
            plate.shape(
                smooth([(x - 5, y - 4), (x + 4, y - 4), (x + 11, y), (x + 10, y + 3), (x - 6, y + 3)]), WHITE, 0.9
            )
            plate.line([(x - 5, y + 1), (x + 10, y + 1)], 1.2)
        limb(plate, ((-9, -66), (-24, -74), (-36, -66)), (8, 7, 5), LIME)
        trunk = smooth([(-12, -66), (0, -70), (12, -66), (12, -50), (9, -36), (-8, -36), (-11, -50)])
        plate.shape(trunk, LIME, 1)
        plate.shape([(-5, -70), (0, -63), (5, -70), (3, -72), (-3, -72)], WHITE, 0.8)
        limb(plate, ((10, -66), (24, -78), (22, -94)), (8, 7, 5), LIME, shade=GREEN)
        plate.disc((22, -97), 3.8, FLESH, line=0.8)
        with plate.at((0, -72), turn=-8, flip=True):
            plate.shape(smooth([(-8, -6), (-9, -16), (0, -22), (9, -16), (10, -8), (7, -1), (1, 2), (-5, 0)]), FLESH, 1)
            plate.shape(smooth([(-9, -8), (-12, -18), (-4, -27), (8, -28), (13, -21), (8, -18), (0, -17), (-5, -14),
                                (-6, -6)]), ORANGE, 0.9)  # fmt: skip
            for pupil in (1, 6.4):
                plate.disc((pupil, -10), (1.2, 1.7), BLACK)
            plate.brush(smooth([(0, -4), (4, -2), (8, -5)], closed=False), 0.4, 1.4, 0.4)
            plate.disc((-8, -8), (2.2, 3), FLESH, line=0.7)


def _dancer_girl(plate: Plate) -> None:
    with plate.at((46, 246), size=1.1):
        limb(plate, ((-3, -34), (-10, -18), (-4, -2)), (9, 7, 5), FLESH)
        limb(plate, ((5, -34), (20, -24), (30, -12)), (9, 7, 5), FLESH)
        for x, y, turn in ((-4, 0, 0), (33, -10, -40)):
            with plate.at((x, y), turn=turn):
                plate.fill(box(-3.4, -8, 3.4, -4.4), WHITE)
                plate.shape(smooth([(-5, -5), (3, -5), (9, -1), (8, 2), (-5, 2)]), BLACK, 0.8)
        skirt: Path = smooth([(-8, -48), (8, -48), (20, -40), (36, -34), (34, -24), (22, -22), (12, -18), (0, -22),
                              (-14, -18), (-26, -24), (-32, -22), (-30, -32), (-18, -40)], steps=6)  # fmt: skip
        plate.shape(skirt, MAGENTA, 1.2)
        with plate.clip(skirt):
            for x, y in ((-22, -30), (-8, -26), (6, -28), (20, -30), (-12, -38), (10, -40), (29, -28)):
                plate.disc((x, y), 2.4, WHITE)
            for x in (-16, 0, 16):
                plate.brush(smooth([(x * 0.4, -46), (x, -34), (x * 1.2, -22)], closed=False), 0.3, 1.3, 0.3)
        limb(plate, ((-8, -64), (-22, -70), (-30, -84)), (7, 6, 4.6), FLESH)
        plate.disc((-31, -86), 3.6, FLESH, line=0.8)
        top = smooth([(-10, -65), (0, -67), (10, -65), (9, -54), (8, -46), (-8, -46), (-9, -54)])
        plate.shape(top, YELLOW, 1)
        plate.shape(box(-8.4, -49, 8.4, -46), BLACK, 0.6)
        limb(plate, ((8, -64), (20, -72), (18, -70)), (7, 6, 4.6), FLESH)
        _girl_head(plate)


def _girl_head(plate: Plate) -> None:
    with plate.at((0, -70), turn=6):
        tail = smooth([(-8, -18), (-22, -26), (-34, -18), (-36, -4), (-28, -10), (-22, -6), (-18, -14), (-8, -12)])
        plate.shape(tail, BROWN, 1)
        plate.shape(smooth([(-9, -8), (-9, -18), (0, -23), (10, -18), (11, -9), (8, -2), (2, 2), (-5, 0)]), FLESH, 1)
        plate.shape(smooth([(-9, -6), (-12, -18), (-4, -27), (8, -26), (13, -18), (12, -12), (6, -18), (-2, -18),
                            (-6, -12)]), BROWN, 0.9)  # fmt: skip
        plate.shape(smooth([(-12, -22), (-18, -30), (-10, -30), (-8, -24)]), RED, 0.8)
        plate.shape(smooth([(-10, -20), (-6, -32), (-2, -26), (-6, -20)]), RED, 0.8)
        for x in (1, 7):
            plate.disc((x, -10), (1.5, 2.2), BLACK)
            plate.brush([(x - 2.4, -14), (x, -15.6), (x + 2, -14.6)], 0.4, 1, 0.4)
        plate.fill(smooth([(1, -5), (5, -4), (9, -6), (6, -1.4), (3, -1.6)]), RED)
        for x in (-3, 10):
            plate.disc((x, -6), 1.7, ROSE)
