"""Dry Ford Deputy: a rider at sunset, a meeting on the main street."""

from seeds.covers.curves import Path, Point, box, chance, ribbon, rounded, smooth
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BROWN,
    BUFF,
    CREAM,
    CRIMSON,
    FLESH,
    GOLD,
    INDIGO,
    MAROON,
    ORANGE,
    RED,
    RUST,
    SLATE,
    TEAL,
    UMBER,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import dry_ford
from seeds.covers.people import Outfit, Pose, figure, hat, head, limb
from seeds.covers.plate import Plate
from seeds.covers.scenery import feather, rays, tuft

_SUN = (104.0, 138.0)


def mesa_rider(plate: Plate, issue: Issue) -> None:
    """The deputy reins in on a ledge, black against a falling sun."""
    plate.ground(RED)
    rays(plate, _SUN, ORANGE, count=20, turn=4)
    plate.disc(_SUN, 62, ORANGE)
    plate.disc(_SUN, 55, GOLD)
    plate.disc(_SUN, 47, YELLOW)
    for x, y, wide in ((24, 92, 30), (164, 104, 26), (30, 150, 22)):
        plate.fill(ribbon([(x - wide, y), (x, y - 1), (x + wide, y)], (0.2, 3, 0.2)), CREAM)
        plate.fill(ribbon([(x - wide * 0.4, y + 5), (x + wide * 0.2, y + 4), (x + wide, y + 5)], (0.2, 2, 0.2)), CREAM)
    _mesas(plate)
    ledge = [(-4, 222), (20, 214), (52, 212), (96, 208), (124, 211), (140, 220), (150, 236), (158, 264), (-4, 264)]
    plate.fill(ledge, BLACK)
    for start, end in (((20, 218), (60, 216)), ((66, 214), (120, 214)), ((120, 216), (148, 240))):
        feather(plate, start, end, 20, angle=96, count=9, width=1.6)
    for i in range(13):
        x, y = 12 + (i * 37) % 120, 226 + (i * 17) % 32
        plate.brush([(x - 9, y + 1), (x, y), (x + 12, y + 1.5)], 0.2, 1.5, 0.2, ink=RED)
    with plate.at((64, 211), size=1.12):
        _rearing(plate)
        _horseman(plate)
    for x, high in ((14, 8), (28, 6), (118, 7)):
        tuft(plate, (x, 215), high, seed=f"tuft{x}")
    _saguaro(plate, (168, 264), 64)
    dry_ford(plate, issue, (YELLOW, RED, YELLOW))


def _mesas(plate: Plate) -> None:
    for ink, parts in (
        (CRIMSON, ([(-4, 190), (-4, 172), (18, 170), (22, 190)], [(140, 190), (146, 158), (176, 158), (190, 190)])),
        (MAROON, ([(-4, 214), (-4, 186), (36, 184), (46, 200), (60, 214)],
                  [(112, 214), (124, 196), (128, 182), (190, 180), (190, 214)])),
    ):  # fmt: skip
        for part in parts:
            plate.shape(part, ink, 0.9)
            (x0, y0), (x1, y1) = part[1], part[2]
            feather(plate, (min(x0, x1) + 3, min(y0, y1) + 2), (max(x0, x1) - 3, min(y0, y1) + 2), 15, angle=88,
                    count=9, width=1.2)  # fmt: skip
    plate.fill(box(-4, 206, 190, 264), MAROON)


def _rearing(plate: Plate) -> None:
    coat, dark = WHITE, BLACK
    tail = smooth([(-9, -48), (-22, -50), (-36, -36), (-42, -14), (-34, -20), (-32, -10), (-24, -26), (-14, -36)])
    plate.shape(tail, BLACK, 0.8)
    limb(plate, ((28, -60), (50, -66), (58, -52), (52, -42)), (10, 7, 5, 4), dark)
    limb(plate, ((2, -38), (-2, -20), (-10, -16), (-3, -2)), (15, 9, 5.4, 5), dark)
    body: Path = smooth([(-12, -44), (-10, -54), (-2, -60), (10, -64), (22, -78), (32, -94), (42, -106), (49, -110),
                         (52, -100), (50, -88), (45, -74), (44, -62), (36, -52), (24, -42), (14, -34), (6, -28),
                         (-6, -32)], steps=7)  # fmt: skip
    plate.shape(body, coat, 1)
    with plate.clip(body):
        plate.fill(smooth([(50, -88), (44, -70), (40, -60), (26, -46), (10, -36), (0, -34), (10, -26), (40, -40),
                           (60, -70)]), dark)  # fmt: skip
        plate.brush(smooth([(-8, -54), (4, -58), (18, -70), (34, -92)], closed=False), 0.2, 1.2, 0.2)
        plate.fill(smooth([(-12, -50), (-2, -58), (4, -50), (2, -40), (-8, -36)]), RUST)
        plate.fill(smooth([(26, -84), (40, -92), (46, -80), (36, -68), (24, -72)]), RUST)
    limb(plate, ((4, -40), (14, -22), (8, -14), (16, -1)), (17, 10, 6, 5.4), coat, shade=dark)
    limb(plate, ((36, -60), (56, -74), (66, -62), (60, -54)), (11, 8, 5.4, 4.4), coat, shade=dark)
    for hoof in ((17, 0), (-2, 0), (59, -52), (51, -40)):
        plate.disc(hoof, (4, 2.8), BLACK)
    mane = smooth([(24, -80), (20, -92), (28, -98), (26, -108), (36, -108), (40, -116), (50, -112), (44, -104), (36, -92),
                   (28, -80)])  # fmt: skip
    plate.shape(mane, BLACK, 0.6)
    muzzle = smooth([(44, -112), (50, -112), (58, -106), (68, -98), (72, -92), (68, -87), (61, -89), (54, -92), (47, -94),
                     (43, -102)])  # fmt: skip
    plate.shape(muzzle, coat, 1)
    plate.fill(smooth([(47, -95), (56, -93), (62, -90), (60, -95), (52, -98)]), dark)
    plate.shape([(45, -111), (44, -120), (50, -112)], coat, 0.8)
    plate.disc((55, -104), 1.1, BLACK)
    plate.disc((69, -92), 0.9, BLACK)
    plate.brush([(66, -89), (62, -92)], 0.4, 0.8)
    for points in ([(58, -108), (56, -92)], [(65, -100), (62, -89)], [(57, -100), (64, -96)]):
        plate.line(points, 0.9, YELLOW)
    plate.line(smooth([(63, -93), (48, -84), (30, -82)], closed=False), 0.9)


def _horseman(plate: Plate) -> None:
    plate.shape(
        smooth([(-6, -62), (0, -70), (6, -66), (16, -74), (22, -82), (24, -74), (16, -64), (2, -56)]), UMBER, 0.9
    )
    outfit = Outfit(top=BLUE, legs=INDIGO, boots=BLACK)
    pose = Pose(neck=(14, -104), shoulders=((4, -99), (20, -101)), elbows=((-8, -112), (28, -88)),
                hands=((-16, -130), (32, -83)), hips=((6, -72), (14, -74)), knees=((24, -64), (24, -64)),
                feet=((18, -44), (18, -44)), toes=((26, -42), (26, -42)))  # fmt: skip
    figure(plate, pose, outfit)
    plate.shape(smooth([(8, -105), (16, -107), (22, -104), (18, -98), (8, -99)]), RED, 0.8)
    plate.shape([(8, -102), (-2, -104), (2, -99), (-4, -95), (8, -99)], RED, 0.8)
    head(plate, (15, -105), hair=BLACK, size=0.92)
    hat(plate, (14, -121), ink=WHITE, band=BLACK, size=0.95, turn=-8, brim=14)
    plate.brush(smooth([(-16, -132), (-30, -140), (-46, -134), (-56, -118), (-44, -108), (-30, -118)], closed=False), 1.3,
                1.1, 0.9)  # fmt: skip


def _saguaro(plate: Plate, foot: Point, high: float) -> None:
    x, y = foot
    for points in ([(x, y), (x, y - high)], [(x, y - high * 0.35), (x - 13, y - high * 0.38), (x - 13, y - high * 0.75)],
                   [(x, y - high * 0.5), (x + 11, y - high * 0.52), (x + 11, y - high * 0.8)]):  # fmt: skip
        plate.line(points, 9.4)
    for points in ([(x - 1.6, y), (x - 1.6, y - high + 2)], [(x - 14.4, y - high * 0.42), (x - 14.4, y - high * 0.72)],
                   [(x + 9.6, y - high * 0.54), (x + 9.6, y - high * 0.77)]):  # fmt: skip
        plate.line(points, 0.8, ORANGE)


def main_street(plate: Plate, issue: Issue) -> None:
    """Between a gunman's boots, the deputy waits at the end of the street."""
    plate.ground(ORANGE)
    plate.fade(box(-2, 40, 175, 160), Ink(0, 60, 100), YELLOW)
    plate.disc((86, 150), 26, CREAM)
    _street(plate)
    _far_deputy(plate, (86, 206))
    _legs(plate)
    dry_ford(plate, issue, (CREAM, RED, YELLOW))


def _street(plate: Plate) -> None:
    vanish = (86.0, 164.0)
    plate.fill([vanish, (240, 264), (-70, 264)], BUFF)
    plate.fill([(-4, 163), (176, 163), (240, 264), (-70, 264)], BUFF)
    for side, near in ((-1, 0.0), (1, 171.0)):
        for i, (share, next_share, roof) in enumerate(((1.0, 0.66, 74), (0.66, 0.42, 96), (0.42, 0.24, 112))):
            x0, x1 = vanish[0] + (near - vanish[0]) * share, vanish[0] + (near - vanish[0]) * next_share
            foot0, foot1 = vanish[1] + 58 * share, vanish[1] + 58 * next_share
            top0, top1 = vanish[1] - (vanish[1] - roof) * share * 1.2, vanish[1] - (vanish[1] - roof) * next_share * 1.2
            front = [(x0, top0), (x1, top1), (x1, foot1), (x0, foot0)]
            plate.shape(front, (RUST, TEAL, BROWN)[i] if side < 0 else (SLATE, CRIMSON, BROWN)[i], 1)
            with plate.clip(front):
                for row in range(7):
                    share_row = row / 7
                    plate.line([(x0, top0 + (foot0 - top0) * share_row), (x1, top1 + (foot1 - top1) * share_row)], 0.5)
            for low, high, part in ((0.25, 0.42, 0.3), (0.25, 0.42, 0.7), (0.62, 0.98, 0.5)):
                wide = 0.14
                pane = [(x0 + (x1 - x0) * (part + k * wide),
                         (top0 + (foot0 - top0) * v) + ((top1 + (foot1 - top1) * v) - (top0 + (foot0 - top0) * v))
                         * (part + k * wide)) for k, v in ((-1, low), (1, low), (1, high), (-1, high))]  # fmt: skip
                plate.shape(pane, YELLOW if (i + side) % 2 else BLACK, 0.7)
    dice = chance("dust")
    for _ in range(26):
        x, y = dice.uniform(0, 171), dice.uniform(206, 256)
        plate.brush([(x, y), (x + 9, y - 0.4)], 0.1, 0.9, 0.1, ink=RUST)


def _far_deputy(plate: Plate, at: Point) -> None:
    plate.fill([(at[0] - 3, at[1]), (at[0] + 3, at[1]), (at[0] + 13, at[1] + 62), (at[0] - 13, at[1] + 62)], RUST)
    with plate.at(at, size=0.84):
        pose = Pose(elbows=((-19, -46), (19, -46)), hands=((-15, -32), (15, -32)))
        outline = figure(plate, pose, Outfit(top=BLUE, legs=INDIGO, boots=BLACK))
        with plate.clip(outline):
            plate.fill(box(-12, -37, 12, -33), BLACK)
        plate.disc((-4, -52), 2, YELLOW, line=0.5)
        plate.shape(smooth([(-6, -63), (6, -63), (2, -55), (-2, -55)]), RED, 0.8)
        head(plate, (0, -62))
        hat(plate, (0, -77), ink=WHITE, band=BLACK, brim=15)


def _legs(plate: Plate) -> None:
    for side in (-1, 1):
        hip, knee, foot = 85 + side * 22, 85 + side * 48, 85 + side * 58
        outline = smooth([(85 + side * 4, 84), (hip + side * 32, 84), (knee + side * 26, 150), (foot + side * 17, 206),
                          (foot + side * 15, 244), (foot - side * 13, 244), (foot - side * 15, 206),
                          (knee - side * 14, 150), (85 + side * 10, 100)], steps=6)  # fmt: skip
        plate.fill(outline, BLACK)
        plate.brush(smooth([(hip - side * 6, 112), (knee - side * 10, 150), (foot - side * 11, 200)], closed=False), 0.4,
                    1.8, 0.6, ink=ORANGE)  # fmt: skip
        boot = smooth([(foot - side * 14, 206), (foot + side * 16, 206), (foot + side * 15, 236), (foot + side * 26, 252),
                       (foot + side * 22, 258), (foot - side * 14, 258), (foot - side * 16, 236)])  # fmt: skip
        plate.shape(boot, UMBER, 1)
        plate.brush([(foot - side * 12, 212), (foot - side * 12, 240)], 0.5, 1.8, 0.5, ink=ORANGE)
        plate.line(smooth([(foot - side * 15, 240), (foot, 245), (foot + side * 15, 240)], closed=False), 1, SLATE)
        plate.disc((foot - side * 4, 246), 2.6, GOLD, line=0.6)
    plate.fill([(40, 80), (132, 80), (140, 104), (86, 96), (34, 104)], BLACK)
    plate.fill([(30, 96), (142, 90), (143, 99), (29, 105)], BROWN)
    for i in range(13):
        x = 36 + i * 8.4
        plate.shape(rounded(x, 93.4 - i * 0.3, x + 3.4, 103 - i * 0.3, radius=1), GOLD, 0.5)
    limb(plate, ((168, 62), (166, 92), (146, 112)), (20, 17, 11), BLACK)
    plate.brush([(160, 70), (158, 92), (144, 106)], 0.4, 1.6, 0.4, ink=ORANGE)
    plate.shape(smooth([(134, 106), (146, 106), (149, 118), (142, 126), (134, 122)]), FLESH, 1)
    for i in range(3):
        plate.line([(136, 112 + i * 4), (143, 113 + i * 4)], 0.6)
    plate.shape([(128, 118), (140, 108), (144, 114), (137, 124), (139, 134), (131, 138)], SLATE, 1)
