"""Dry Ford Deputy: a fight on a freight train."""

from seeds.covers.curves import Point, box, ellipse, polar, rounded, smooth
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BROWN,
    CREAM,
    CRIMSON,
    GOLD,
    GREY,
    MAROON,
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
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import dry_ford
from seeds.covers.people import Outfit, Pose, figure, hat, head
from seeds.covers.plate import Plate
from seeds.covers.scenery import cloud, feather, hills, puffs
from seeds.covers.signs import caption


def train_trestle(plate: Plate, issue: Issue) -> None:
    """The deputy and an outlaw fight on a box car high over the gorge."""
    plate.ground(SKY)
    plate.fade(box(-2, 50, 186, 190), SKY, CREAM)
    for x, y, wide in ((36, 100, 30), (150, 92, 34), (96, 120, 24)):
        cloud(plate, (x, y), (wide, 9), WHITE, seed=f"west{x}")
    hills(plate, (-4, 170), (190, 158), VIOLET, rough=6, seed="far range")
    _gorge(plate)
    plume = [(138, 112), (132, 101), (118, 93), (98, 88), (70, 84), (36, 80), (-8, 74)]
    puffs(plate, smooth(plume, closed=False, steps=3), (3.4, 13), (WHITE, SEA), "smoke")  # fmt: skip
    with plate.at((-2, 36), turn=-5, size=0.86):
        _trestle(plate)
        _engine(plate, (134, 158))
        _box_car(plate, (14, 158))
        _brawl(plate)
    caption(plate, ("NEXT STOP: STRAIGHT DOWN!",), (92, 242, 176, 253), YELLOW)
    dry_ford(plate, issue, (RED, YELLOW, YELLOW))


def _gorge(plate: Plate) -> None:
    left = [(-4, 178), (26, 176), (34, 196), (28, 214), (40, 232), (48, 264), (-4, 264)]
    right = [(190, 150), (164, 152), (158, 180), (166, 206), (150, 232), (142, 264), (190, 264)]
    for cliff, ink in ((left, RUST), (right, ORANGE)):
        plate.shape(cliff, ink, 1.1)
    for start, end, angle in (((26, 178), (44, 250), 168), ((164, 154), (146, 250), 8)):
        feather(plate, start, end, 26, angle=angle, count=16, width=2)
    plate.fill(smooth([(66, 264), (84, 240), (96, 228), (110, 222), (104, 234), (118, 246), (124, 264)]), TEAL)
    for x, y in ((90, 244), (104, 252), (96, 234)):
        plate.brush([(x - 8, y), (x, y - 1), (x + 8, y)], 0.1, 1.2, 0.1, ink=WHITE)


def _trestle(plate: Plate) -> None:
    top = 178
    for i in range(8):
        x = -6 + i * 34
        for lean in (-7, 7):
            plate.line([(x + lean * 0.4, top), (x + lean * 1.6, 290)], 2.6)
            plate.line([(x + lean * 0.4, top), (x + lean * 1.6, 290)], 1.5, TAN)
        for row in range(4):
            y = top + 6 + row * 27
            plate.line([(x + 2, y), (x + 32, y + 27)] if (i + row) % 2 else [(x + 32, y), (x + 2, y + 27)], 1.4)
            plate.line([(x - 12, y + 27), (x + 30, y + 27)], 2.4)
            plate.line([(x - 12, y + 27), (x + 30, y + 27)], 1.3, TAN)
    plate.shape(box(-20, top - 2, 230, top + 4), BROWN, 0.9)
    for i in range(34):
        plate.fill(box(-16 + i * 7, top - 4, -12 + i * 7, top - 1), BLACK)
    plate.line([(-20, top - 5), (230, top - 5)], 1.2)


def _wheel(plate: Plate, at: Point, radius: float) -> None:
    plate.disc(at, radius, RED, line=1.2)
    plate.disc(at, radius * 0.72, BLACK)
    for i in range(8):
        plate.line([at, polar(at, radius * 0.76, i * 45 + 12)], 1, RED)
    plate.disc(at, radius * 0.24, GOLD, line=0.7)


def _engine(plate: Plate, at: Point) -> None:
    with plate.at(at):
        plate.shape(box(-24, -6, 44, 3), BLACK, 0.8)
        plate.shape([(44, -6), (52, 3), (62, 14), (40, 14)], RED, 1)
        for i in range(4):
            plate.line([(46 + i * 2, -3), (44 + i * 5, 13)], 0.7)
        plate.shape(rounded(-8, -30, 44, -5, radius=4), NAVY, 1.2)
        plate.fill(rounded(-6, -28, 42, -24, radius=1.5), SKY)
        for x in (4, 18, 32):
            plate.fill(box(x, -30, x + 2.4, -5), GOLD)
        plate.disc((44, -17.5), (4, 12), SLATE, line=1)
        plate.shape([(30, -30), (28, -42), (24, -52), (42, -52), (38, -42), (37, -30)], BLACK, 0.8)
        plate.shape(rounded(23, -55, 43, -51, radius=1.5), RED, 0.9)
        plate.shape(ellipse((14, -30), (5, 8), arc=(180, 360)), GOLD, 0.9)
        plate.shape(ellipse((0, -30), (4, 6), arc=(180, 360)), GOLD, 0.9)
        plate.shape(rounded(40, -42, 49, -32, radius=1.5), YELLOW, 1)
        plate.fill([(49, -40), (68, -48), (68, -26), (49, -34)], CREAM)
        plate.shape(box(-28, -46, -8, -5), RED, 1.2)
        plate.shape(box(-24, -40, -12, -26), YELLOW, 0.9)
        plate.shape([(-32, -50), (-5, -50), (-4, -45), (-33, -45)], BLACK, 0.8)
        for x, radius in ((-18, 11), (4, 11), (26, 7), (40, 7)):
            _wheel(plate, (x, 13 - radius + 2), radius)
        plate.line([(-18, 4), (4, 4), (26, 7)], 2.2, SLATE)


def _box_car(plate: Plate, at: Point) -> None:
    with plate.at(at):
        plate.shape(box(-30, -34, 76, 4), CRIMSON, 1.2)
        for i in range(13):
            plate.line([(-30 + i * 8.6, -34), (-30 + i * 8.6, 4)], 0.6)
        plate.shape(box(12, -31, 38, 2), MAROON, 1)
        plate.line([(12, -31), (38, 2)], 1)
        plate.line([(38, -31), (12, 2)], 1)
        plate.shape(box(-34, -39, 80, -33), SLATE, 1)
        plate.line([(76, 0), (102, 0)], 2.4)
        for x in (-18, -2, 52, 66):
            _wheel(plate, (x, 8), 7)


def _brawl(plate: Plate) -> None:
    with plate.at((36, 119), size=0.8):
        pose = Pose(elbows=((-19, -50), (22, -56)), hands=((-12, -40), (37, -63)), knees=((-16, -18), (14, -18)),
                    feet=((-22, 0), (16, 0)), toes=((-16, 1), (24, 1)))  # fmt: skip
        figure(plate, pose, Outfit(top=BLUE, legs=TAN, boots=BROWN))
        plate.shape(smooth([(-6, -62), (6, -62), (4, -56), (-5, -57)]), RED, 0.8)
        head(plate, (1, -62))
        hat(plate, (0, -77), ink=WHITE, band=BLACK, brim=14)
    with plate.at((78, 119), size=0.8, turn=12, flip=True):
        pose = Pose(elbows=((-20, -62), (22, -68)), hands=((-30, -70), (34, -76)), knees=((-4, -18), (20, -22)),
                    feet=((-6, 0), (34, -12)), toes=((2, 1), (42, -16)))  # fmt: skip
        figure(plate, pose, Outfit(top=GREY, legs=BLACK, boots=BROWN))
        head(plate, (0, -62), turn=-18)
    with plate.at((98, 58), size=0.8, turn=40):
        hat(plate, (0, 0), ink=BLACK, band=RED, brim=13)
