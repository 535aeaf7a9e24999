"""The cat and the mouse of the funny pages."""

from seeds.covers.curves import Point, ellipse, ribbon, smooth
from seeds.covers.inks import (
    BLACK,
    CREAM,
    MAGENTA,
    PINK,
    RED,
    ROSE,
    RUST,
    SKY,
    WHITE,
    Ink,
)
from seeds.covers.plate import Plate

_FUR = Ink(0, 45, 100)


def cat(plate: Plate, *, wink: bool = False, scarf: Ink | None = None) -> None:
    """Dumpling, sitting, seen from the front."""
    tail = smooth([(24, 26), (46, 24), (54, 4), (46, -10), (38, -2)], closed=False)
    body_tail = ribbon(tail, (11, 11, 10, 8, 5))
    plate.shape(body_tail, _FUR, 1.2)
    with plate.clip(body_tail):
        plate.fill(ellipse((40, -5), 7), WHITE)
    trunk = smooth([(-30, 34), (-32, 10), (-20, -14), (20, -14), (32, 10), (30, 34), (0, 40)])
    plate.shape(trunk, _FUR, 1.3)
    plate.fill(smooth([(-15, 34), (-16, 10), (0, -4), (16, 10), (15, 34), (0, 38)]), CREAM)
    for side in (-1, 1):
        plate.shape(smooth([(side * 8, 39), (side * 12, 28), (side * 24, 27), (side * 30, 36), (side * 24, 41)]), CREAM,
                    1.1)  # fmt: skip
        for k in (0, 1):
            plate.line([(side * (17 + k * 5), 33), (side * (17 + k * 5), 38)], 0.7)
        arm = ribbon(smooth([(side * 24, -2), (side * 27, 12), (side * 12, 20)], closed=False), (12, 11, 9))
        plate.shape(arm, _FUR, 1.1)
        plate.disc((side * 10, 20), (6, 5), CREAM, line=1)
    for side in (-1, 1):
        for y in (2, 10, 18):
            plate.brush([(side * 31, y), (side * 22, y + 1)], 2.6, 0.4, ink=RUST)
    if scarf is not None:
        plate.shape(smooth([(-24, -14), (0, -8), (24, -14), (22, -4), (0, 2), (-22, -4)]), scarf, 1)
        plate.shape(smooth([(14, -6), (24, -6), (34, 10), (26, 14), (18, 4)]), scarf, 1)
    with plate.at((0, -32)):
        _cat_head(plate, wink=wink)


def _cat_head(plate: Plate, *, wink: bool) -> None:
    for side in (-1, 1):
        ear = smooth([(side * 8, -20), (side * 27, -40), (side * 34, -8), (side * 24, -4)], steps=5)
        plate.shape(ear, _FUR, 1.2)
        plate.fill(smooth([(side * 16, -20), (side * 25, -31), (side * 29, -12)], steps=4), ROSE)
    skull = smooth([(0, -26), (24, -22), (37, -2), (42, 12), (28, 22), (0, 26), (-28, 22), (-42, 12), (-37, -2),
                    (-24, -22)])  # fmt: skip
    plate.shape(skull, _FUR, 1.3)
    for x, lean in ((-7, -1), (0, 0), (7, 1)):
        plate.brush([(x, -25), (x * 0.7 + lean, -14)], 3.4, 0.4, ink=RUST)
    for side in (-1, 1):
        for y in (2, 9):
            plate.brush([(side * 40, y), (side * 28, y + 2)], 2.4, 0.3, ink=RUST)
    plate.shape(smooth([(0, 4), (13, 6), (20, 14), (12, 22), (0, 21), (-12, 22), (-20, 14), (-13, 6)]), CREAM, 0.8)
    for side in (-1, 1):
        if wink and side > 0:
            plate.brush(smooth([(side * 6, -1), (side * 14, 3), (side * 22, -2)], closed=False), 1, 2, 1)
            continue
        plate.disc((side * 13, -3), (9, 11), WHITE, line=1.1)
        plate.disc((side * 13 + 3, -1), (4, 6), BLACK)
        plate.disc((side * 13 + 4.2, -3.4), 1.6, WHITE)
    plate.shape(smooth([(-4.6, 6), (0, 4.4), (4.6, 6), (0, 10.6)]), ROSE, 0.8)
    plate.line([(0, 10), (0, 14)], 0.9)
    plate.line(smooth([(-10, 13), (-5, 17), (0, 14), (5, 17), (10, 13)], closed=False), 1)
    plate.fill(smooth([(-3.4, 16), (0, 15.4), (3.4, 16), (2, 20.4), (-2, 20.4)]), RED)
    for side in (-1, 1):
        for y, tip in ((11, 6), (14, 14), (17, 21)):
            plate.brush([(side * 18, y), (side * 46, tip)], 0.9, 0.2)


def mouse(plate: Plate, *, reach: tuple[Point, Point] = ((16, -12), (22, -22)), scarf: Ink = RED) -> None:
    """Tack, standing, one arm reaching through two points."""
    tail = smooth([(-8, 8), (-20, 10), (-26, 0), (-34, 4)], closed=False)
    plate.brush(tail, 2.6, 2, 0.6)
    for side in (-1, 1):
        plate.shape(smooth([(side * 2, 10), (side * 5, 6), (side * 12, 8), (side * 13, 12), (side * 3, 13)]), PINK, 0.9)
    plate.shape(smooth([(-9, 8), (-10, -4), (-5, -12), (5, -12), (10, -4), (9, 8), (0, 11)]), SKY, 1)
    plate.fill(smooth([(-5, 7), (-6, -2), (0, -7), (6, -2), (5, 7), (0, 9)]), WHITE)
    plate.shape(ribbon([(-7, -8), (-13, -2), (-10, 4)], (4.4, 4, 3.4)), SKY, 0.9)
    plate.shape(ribbon(smooth([(7, -8), *reach], closed=False), (4.4, 4, 3.4)), SKY, 0.9)
    plate.disc(reach[1], 2.6, PINK, line=0.8)
    plate.shape(smooth([(-8, -13), (0, -10), (8, -13), (8, -8), (0, -5), (-8, -8)]), scarf, 0.8)
    with plate.at((0, -22)):
        for side in (-1, 1):
            plate.disc((side * 13, -10), 9.4, SKY, line=1.1)
            plate.disc((side * 13.4, -9.4), 6, PINK)
        plate.shape(smooth([(-12, -6), (0, -13), (12, -6), (15, 4), (8, 10), (0, 12), (-8, 10), (-15, 4)]), SKY, 1.1)
        plate.fill(smooth([(-9, 6), (0, 2), (9, 6), (6, 10), (0, 11), (-6, 10)]), WHITE)
        for side in (-1, 1):
            plate.disc((side * 5, -2), (4, 5), WHITE, line=0.8)
            plate.disc((side * 5 + 1, -1), (1.8, 2.8), BLACK)
        plate.disc((0, 4.4), (2.6, 2), MAGENTA, line=0.7)
        plate.line(smooth([(-4, 7.4), (0, 9.4), (4, 7.4)], closed=False), 0.8)
