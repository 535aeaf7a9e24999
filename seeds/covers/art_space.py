"""Ganymede Mail: a mail rocket, a giant of tin."""

from seeds.covers.curves import Point, box, chance, ellipse, moved, ribbon, ridge, rounded, smooth
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BUFF,
    CREAM,
    CYAN,
    GOLD,
    GREY,
    INDIGO,
    MAGENTA,
    MAROON,
    ORANGE,
    RED,
    SILVER,
    SKY,
    TEAL,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import ganymede_mail
from seeds.covers.mastheads_town import foot_band
from seeds.covers.plate import Plate
from seeds.covers.scenery import stars, town

_DEEP = Ink(100, 100, 60)


def rocket_ringed_planet(plate: Plate, issue: Issue) -> None:
    """The mail rocket climbs past a ringed giant and its moons."""
    plate.ground(INDIGO)
    plate.glow(box(-2, -2, 186, 262), (128, 186), 150, (Ink(70, 100, 0), INDIGO))
    stars(plate, (0, 44, 184, 258), 90, seed="ring stars", ink=WHITE)
    _ringed(plate, (126, 188), 52)
    plate.disc((28, 96), 11, TEAL, line=0.9)
    with plate.clip(ellipse((28, 96), 11)):
        plate.disc((36, 102), 12, BLACK)
    plate.disc((166, 92), 5, ORANGE, line=0.8)
    with plate.at((70, 150), turn=34, size=1.22):
        _flame(plate, (0, 46), 62)
        _rocket(plate)
    ganymede_mail(plate, issue, (YELLOW, RED, RED))
    foot_band(plate, "ROUND TRIP: ELEVEN YEARS. POSTAGE DUE!", (YELLOW, BLACK))


def _ringed(plate: Plate, at: Point, radius: float) -> None:
    def ring(arc: tuple[float, float]) -> None:
        for outer, inner, ink in ((1.95, 1.66, BUFF), (1.62, 1.4, ORANGE), (1.36, 1.26, CREAM)):
            far = ellipse((0, 0), (radius * outer, radius * outer * 0.27), arc=arc)
            near = ellipse((0, 0), (radius * inner, radius * inner * 0.24), arc=arc)
            plate.shape([*far, *reversed(near)], ink, 0.6)

    with plate.at(at, turn=-18):
        ring((180, 360))
        plate.disc((0, 0), radius, GOLD, line=1.2)
        with plate.clip(ellipse((0, 0), radius - 0.5)):
            for y, thick, ink in ((-38, 8, ORANGE), (-22, 5, RED), (-8, 9, ORANGE), (10, 4, CREAM), (20, 9, RED),
                                  (36, 7, ORANGE)):  # fmt: skip
                plate.fill(ribbon(smooth([(-60, y - 3), (-20, y + 2), (20, y + 2), (60, y - 3)], closed=False),
                                  (thick * 0.6, thick, thick * 0.8)), ink)  # fmt: skip
            plate.fill(smooth([(20, -60), (34, -20), (32, 20), (12, 60), (80, 60), (80, -60)]), MAROON)
            plate.fill(smooth([(36, -60), (46, -20), (44, 20), (28, 60), (90, 60), (90, -60)]), BLACK)
        ring((0, 180))


def _flame(plate: Plate, at: Point, long: float) -> None:
    dice = chance("flame")
    for wide, reach, ink, line in ((15, 1.0, RED, 1), (11, 0.8, ORANGE, 0), (7.4, 0.62, YELLOW, 0),
                                   (3.6, 0.4, WHITE, 0)):  # fmt: skip
        side = [(wide * (1 - i / 6) * (1.15 if i % 2 else 0.8), long * reach * i / 6 + dice.uniform(-1, 2))
                for i in range(6)]  # fmt: skip
        outline = moved([*side, (0, long * reach * 1.1), *[(-x, y) for x, y in reversed(side)]], *at)
        if line:
            plate.shape(outline, ink, line)
        else:
            plate.fill(outline, ink)


def _rocket(plate: Plate) -> None:
    for side in (-1, 1):
        fin = smooth([(side * 12, 10), (side * 27, 30), (side * 30, 58), (side * 22, 48), (side * 11, 42)], steps=5)
        plate.shape(fin, RED, 1)
        if side > 0:
            plate.fill([(15, 20), (27, 34), (28, 50), (20, 42)], MAROON)
    hull = smooth([(0, -66), (9, -48), (15, -20), (15.5, 10), (12, 34), (9, 46), (-9, 46), (-12, 34), (-15.5, 10),
                   (-15, -20), (-9, -48)], steps=6)  # fmt: skip
    plate.shape(hull, WHITE, 1.2)
    with plate.clip(hull):
        plate.fill(smooth([(3, -66), (30, -40), (30, 50), (4, 50), (9, 10), (8, -30)]), SKY)
        plate.fill(smooth([(9, -60), (30, -40), (30, 50), (9, 50), (13.4, 10), (12, -30)]), BLUE)
        plate.fill([(-20, -66), (20, -66), (20, -42), (0, -38), (-20, -42)], RED)
        plate.fill([(6, -66), (20, -66), (20, -42), (9, -39.6)], MAROON)
        plate.fill(box(-20, 28, 20, 34), RED)
        plate.line(smooth([(-20, -42), (0, -38), (20, -42)], closed=False), 0.8)
        for y in (-4, 20, 28, 34):
            plate.line(smooth([(-20, y - 1), (0, y + 1.4), (20, y - 1)], closed=False), 0.6)
    plate.disc((-1, -20), 7, GOLD, line=1)
    plate.disc((-1, -20), 5, INDIGO, line=0.8)
    plate.brush(ellipse((-1, -20), 3.6, arc=(190, 270)), 0.2, 1.1, 0.2, ink=WHITE)
    plate.shape(rounded(-8, 4, 6, 14, radius=0.8), CREAM, 0.7)
    plate.line([(-8, 4), (-1, 9.4), (6, 4)], 0.6)
    plate.shape(smooth([(-3, 16), (0, 12), (3, 16), (2.4, 52), (0, 60), (-2.4, 52)]), RED, 0.9)
    plate.line([(0, -66), (0, -76)], 1)


def robot_city(plate: Plate, issue: Issue) -> None:
    """A giant of tin wades through the town with a mail rocket in its fist."""
    plate.ground(MAGENTA)
    plate.fade(box(-2, 30, 186, 220), Ink(50, 100, 0), Ink(0, 70, 60))
    for x, lean in ((30, 60), (80, -20), (120, 70), (160, -40)):
        plate.fade([(x, 236), (x + lean - 11, 50), (x + lean + 11, 50)], YELLOW, Ink(0, 75, 60), angle=-90)
    town(plate, 236, (-4, 190), (VIOLET, YELLOW), seed="far town", high=(26, 62))
    _giant(plate, (90, 158))
    town(plate, 246, (-4, 190), (_DEEP, YELLOW), seed="near town", high=(8, 34))
    _crowd(plate)
    ganymede_mail(plate, issue, (CYAN, INDIGO, RED))


def _giant(plate: Plate, at: Point) -> None:
    with plate.at(at):
        for side in (-1, 1):
            plate.shape(rounded(side * 17 - 10, 46, side * 17 + 10, 112, radius=3), GREY, 1)
            for i in range(5):
                plate.line([(side * 17 - 10, 56 + i * 9), (side * 17 + 10, 56 + i * 9)], 0.7)
            plate.fill(box(side * 17 + 4, 47, side * 17 + 9.4, 112), BLACK)
        _giant_arm(plate, ((-38, -20), (-58, 14), (-50, 52)), claw=False)
        trunk = smooth(
            [(-40, -30), (-20, -38), (20, -38), (40, -30), (36, 20), (28, 52), (-28, 52), (-36, 20)], steps=5
        )
        plate.shape(trunk, SILVER, 1.3)
        with plate.clip(trunk):
            plate.fill(smooth([(20, -44), (46, -30), (40, 60), (12, 60), (24, 20)]), BLUE)
            plate.fill(smooth([(32, -44), (50, -30), (46, 60), (24, 60), (32, 20)]), BLACK)
            for i in range(12):
                plate.disc((-34 + i * 5.4, 45), 1, BLACK)
                plate.disc((-37 + i * 5.4, -28 - 6 * (1 - abs(i - 6) / 6)), 1, BLACK)
        plate.shape(rounded(-22, -18, 12, 24, radius=4), RED, 1)
        plate.shape(rounded(-18, -14, 8, 2, radius=2), BLACK, 0.6)
        plate.line(smooth([(-16, -4), (-12, -4), (-10, -11), (-7, 0), (-4, -9), (-1, -4), (6, -4)], closed=False), 0.9,
                   YELLOW)  # fmt: skip
        for x, ink in ((-15, YELLOW), (-5, CYAN), (5, WHITE)):
            plate.disc((x, 12), 3.4, ink, line=0.8)
        _giant_head(plate)
        _giant_arm(plate, ((38, -20), (66, -26), (64, -52)), claw=True)


def _giant_arm(plate: Plate, joints: tuple[Point, Point, Point], *, claw: bool) -> None:
    spine = smooth(joints, closed=False, steps=6)
    plate.shape(ribbon(spine, (15, 13, 14)), GREY, 1.1)
    for i in range(1, len(spine) - 1, 2):
        (x, y), (ax, ay) = spine[i], spine[i + 1]
        dx, dy = (ax - x), (ay - y)
        size = 6.6 / (dx * dx + dy * dy) ** 0.5
        plate.line([(x - dy * size, y + dx * size), (x + dy * size, y - dx * size)], 0.8)
    plate.disc(joints[0], 10, SILVER, line=1.1)
    plate.disc(joints[0], 4, RED, line=0.8)
    hand = joints[2]
    if claw:
        with plate.at((hand[0], hand[1] - 18), turn=14, size=0.56):
            _flame(plate, (0, 46), 40)
            _rocket(plate)
    plate.shape(rounded(hand[0] - 9, hand[1] - 7, hand[0] + 9, hand[1] + 5, radius=3), SILVER, 1)
    for i in range(3):
        x = hand[0] - 7 + i * 5.2
        y = hand[1] - 13 if claw else hand[1] + 2
        plate.shape(rounded(x, y, x + 4.4, y + 10, radius=2), SILVER, 0.9)


def _giant_head(plate: Plate) -> None:
    plate.shape(box(-10, -46, 10, -36), GREY, 1)
    for y in (-43, -40):
        plate.line([(-10, y), (10, y)], 0.7)
    dome = [(-22, -46), *ellipse((0, -66), (22, 24), arc=(180, 360)), (22, -46)]
    plate.shape(dome, SILVER, 1.3)
    with plate.clip(dome):
        plate.fill([(10, -94), (30, -94), (30, -40), (12, -40)], BLUE)
        plate.fill([(17, -94), (30, -94), (30, -40), (18, -40)], BLACK)
    for x in (-10, 8):
        plate.disc((x, -66), 6.4, BLACK)
        plate.disc((x, -66), 5, YELLOW)
        plate.disc((x, -66), 2.4, RED)
    plate.shape(rounded(-14, -56, 12, -49, radius=1.5), BLACK, 0.6)
    for i in range(6):
        plate.fill(box(-12.6 + i * 4, -55, -9.8 + i * 4, -50), YELLOW)
    for side in (-1, 1):
        plate.shape(box(side * 22 - 3, -70, side * 22 + 3, -58), RED, 0.9)
    plate.line([(0, -90), (0, -102)], 1.2)
    plate.disc((0, -104), 3, RED, line=0.8)
    for radius in (6, 9):
        plate.line(ellipse((0, -104), radius, arc=(-60, 0)), 0.7, YELLOW)
        plate.line(ellipse((0, -104), radius, arc=(180, 240)), 0.7, YELLOW)


def _crowd(plate: Plate) -> None:
    plate.fill([*ridge((-4, 250), (190, 250), rough=1, seed="street"), (190, 264), (-4, 264)], BLACK)
    dice = chance("crowd")
    for i in range(26):
        x, y = i * 7.4 + dice.uniform(-2, 2), 250 + dice.uniform(-3, 3)
        plate.disc((x, y - 7), 2.2, BLACK)
        plate.fill(smooth([(x - 4, y + 6), (x - 3, y - 4), (x + 3, y - 4), (x + 4, y + 6)]), BLACK)
        if i % 3 == 0:
            plate.line([(x + 2.6, y - 3), (x + 5.4, y - 12)], 1.4)
