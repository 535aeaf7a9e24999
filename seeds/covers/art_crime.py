"""Raincoat Squad: a man under a lamp post, a chase on a bridge."""

from seeds.covers.curves import Point, box, ellipse, ribbon, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BUFF,
    CREAM,
    CYAN,
    GOLD,
    GREY,
    ICE,
    INDIGO,
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
from seeds.covers.mastheads_town import foot_band, raincoat_squad
from seeds.covers.people import Outfit, Pose, figure, hat, head, limb
from seeds.covers.plate import Plate
from seeds.covers.scenery import bricks, feather, rain
from seeds.covers.signs import caption

_NIGHT = Ink(100, 100, 60)


def lamp_post(plate: Plate, issue: Issue) -> None:
    """A man in a raincoat waits under a lamp; a second shadow waits on the wall."""
    plate.ground(TEAL)
    bricks(plate, (-2, 40, 186, 204), (19, 8.4), (TEAL, Ink(100, 40, 60)), seed="alley")
    light = [(122, 92), (184, 262), (6, 262)]
    plate.fade(light, YELLOW, Ink(0, 0, 60))
    with plate.clip(light):
        bricks(plate, (-2, 92, 186, 204), (19, 8.4), (YELLOW, GOLD), seed="alley")
        plate.fill(box(-2, 204, 186, 264), CREAM)
    plate.fill([(-2, 204), (20, 204), (8, 264), (-2, 264)], INDIGO)
    plate.fill([(160, 204), (186, 204), (186, 264), (184, 264)], INDIGO)
    plate.line([(-2, 204), (186, 204)], 1.2)
    _wall_shadow(plate)
    _door(plate)
    plate.shape(ellipse((106, 252), (60, 9)), GOLD, 0.01)
    _post(plate)
    _raincoat(plate, (90, 250))
    rain(plate, (0, 40, 200, 258), 60, seed="alley rain", lean=0.12, ink=ICE)
    raincoat_squad(plate, issue, (WHITE, RED, RED))
    caption(plate, ("HE WAS PAID TO WATCH THE DOOR.", "WHO PAID TO WATCH HIM?"), (8, 241, 70, 256), WHITE)


def _post(plate: Plate) -> None:
    plate.line([(138, 256), (138, 96)], 4.4)
    plate.line([(137, 250), (137, 100)], 1, SLATE)
    plate.fill([(130, 260), (146, 260), (141, 226), (135, 226)], BLACK)
    for y in (222, 130):
        plate.fill(rounded(133.6, y, 142.4, y + 5, radius=1.6), BLACK)
    plate.line(smooth([(138, 100), (136, 82), (122, 78)], closed=False), 3.4)
    plate.fill(ellipse((122, 86), (14, 9), arc=(180, 360)), BLACK)
    plate.fill(ellipse((122, 86), (10, 6), arc=(0, 180)), WHITE)
    plate.line(ellipse((122, 86), (10, 6), arc=(0, 180)), 0.8)


def _wall_shadow(plate: Plate) -> None:
    plate.fill(smooth([(28, 206), (28, 168), (34, 148), (46, 140), (45, 128), (34, 128), (34, 124), (44, 121), (46, 110),
                       (60, 108), (64, 120), (76, 124), (75, 128), (66, 129), (65, 141), (78, 152), (82, 172), (78, 206)],
                      steps=5), Ink(100, 100, 60))  # fmt: skip
    plate.fill(ribbon([(76, 160), (94, 150), (98, 140)], (9, 7, 5)), Ink(100, 100, 60))
    plate.fill([(96, 142), (94, 136), (112, 130), (113, 134), (101, 139)], Ink(100, 100, 60))


def _door(plate: Plate) -> None:
    plate.shape(box(150, 128, 190, 204), NAVY, 1.2)
    plate.shape(box(156, 134, 190, 160), BLACK, 0.8)
    plate.disc((156, 170), 1.8, GOLD, line=0.6)
    plate.shape(box(142, 202, 190, 208), SLATE, 1)


def _raincoat(plate: Plate, at: Point) -> None:
    coat, dark = BUFF, BLACK
    with plate.at(at, size=1.5):
        plate.fill(smooth([(-30, 2), (-12, -3), (26, -2), (40, 3), (10, 7), (-20, 6)]), BLACK)
        for x in (-9, 8):
            plate.shape(ribbon([(x, -18), (x, -1)], (9, 8)), SLATE, 0.9)
            plate.shape(smooth([(x - 5, -3), (x + 3, -4), (x + 10, 0), (x + 9, 2.4), (x - 5, 2.4)]), BLACK, 0.8)
        skirt = smooth(
            [(-15, -62), (0, -66), (15, -62), (16, -42), (20, -12), (2, -9), (-20, -13), (-16, -42)], steps=6
        )
        plate.shape(skirt, coat, 1)
        with plate.clip(skirt):
            plate.fill(smooth([(6, -66), (20, -62), (26, -8), (10, -6), (9, -40)]), dark)
            feather(plate, (8, -60), (10, -10), 9, angle=176, count=15, width=1.6)
            plate.brush(smooth([(-2, -60), (0, -36), (-2, -10)], closed=False), 0.5, 1.1, 0.5)
        plate.shape([(-16.4, -40), (16, -40), (16.4, -36), (-16.8, -36)], TAN, 0.7)
        plate.shape(box(-4, -41, 3, -35), GOLD, 0.7)
        for y in (-54, -47, -30, -22):
            plate.disc((-6, y), 0.9, BLACK)
        for side in (-1, 1):
            limb(plate, ((side * 14, -59), (side * 21, -44), (side * 14, -31)), (9, 8.6, 7), coat,
                 shade=dark if side > 0 else TAN)  # fmt: skip
        plate.shape([(-12, -30), (-18, -31), (-17, -24), (-11, -24)], TAN, 0.7)
        plate.shape(smooth([(-5, -64), (0, -58), (5, -64), (4, -68), (-4, -68)]), WHITE, 0.8)
        plate.fill([(-1.4, -62), (1.4, -62), (2.2, -52), (0, -50), (-2.2, -52)], RED)
        for side in (-1, 1):
            plate.shape(
                [(side * 2, -60), (side * 5, -70), (side * 13, -66), (side * 10, -56), (side * 5, -52)], coat, 0.9
            )
        head(plate, (0, -65))
        plate.fill(smooth([(-6, -81), (8, -81), (7.6, -75), (-5, -74)]), BLACK)
        plate.disc((2, -75.6), 0.7, WHITE)
        plate.disc((5.4, -75.6), 0.7, WHITE)
        hat(plate, (1, -79.6), ink=BUFF, band=BLACK, brim=13, turn=4)
        plate.line([(5, -69), (9, -68.4)], 0.9, WHITE)
        plate.disc((9.4, -68.3), 0.7, RED)


def headlights_bridge(plate: Plate, issue: Issue) -> None:
    """Two headlights come straight out of the fog on the bridge, and the squad jumps for the cables."""
    plate.ground(INDIGO)
    plate.fade(box(-2, 40, 186, 178), INDIGO, Ink(100, 0, 0))
    _bridge(plate)
    for x in (66.0, 122.0):
        plate.fade([(x, 178), (x - 96, 300), (x + 96, 300)], YELLOW, CREAM)
    _sedan(plate)
    for x in (66.0, 122.0):
        for radius, ink in ((20, GOLD), (15, YELLOW), (10, WHITE)):
            plate.fill(star((x, 178), radius * 1.5, radius * 0.8, points=12, turn=7), ink)
    _runner(plate)
    raincoat_squad(plate, issue, (YELLOW, RED, RED))
    foot_band(plate, "THE BRIDGE THAT ENDED ON TUESDAY", (RED, WHITE))


def _bridge(plate: Plate) -> None:
    plate.fill([(-4, 176), (190, 176), (260, 300), (-80, 300)], SLATE)
    plate.fill([(84, 176), (104, 176), (300, 300), (-110, 300)], GREY)
    for side in (-1, 1):
        tower = [(94 + side * 52, 60), (94 + side * 66, 60), (94 + side * 72, 190), (94 + side * 54, 190)]
        plate.shape(tower, _NIGHT, 1)
        for y in (84, 112, 140, 166):
            plate.line([(94 + side * 52, y), (94 + side * 70, y + 16)], 0.8, VIOLET)
            plate.line([(94 + side * 70, y), (94 + side * 52, y + 16)], 0.8, VIOLET)
        cable = smooth([(94 + side * 59, 64), (94 + side * 82, 120), (94 + side * 118, 168)], closed=False)
        plate.line(cable, 2)
        inner = smooth([(94 + side * 59, 64), (94 + side * 34, 126), (94 + side * 8, 166)], closed=False)
        plate.line(inner, 1.4)
        for end in inner[2::2]:
            plate.line([end, (end[0], 176)], 0.6)
        plate.line([(94 + side * 10, 172), (94 + side * 140, 214)], 2)
    for y in (72, 108):
        plate.shape(box(42, y, 146, y + 7), _NIGHT, 1)


def _sedan(plate: Plate) -> None:
    body = smooth([(46, 206), (44, 186), (50, 172), (60, 166), (66, 146), (80, 138), (108, 138), (122, 146), (128, 166),
                   (138, 172), (144, 186), (142, 206)], steps=6)  # fmt: skip
    plate.shape(body, BLACK, 1.2)
    plate.shape(smooth([(70, 162), (75, 147), (84, 143), (104, 143), (113, 147), (118, 162), (94, 164)], steps=5), SKY,
                0.9)  # fmt: skip
    for x in (80, 106):
        plate.fill(smooth([(x - 7, 163), (x - 6, 154), (x - 3, 150), (x - 7, 149), (x, 145), (x + 7, 149), (x + 3, 150),
                           (x + 6, 154), (x + 7, 163)]), BLACK)  # fmt: skip
    plate.line([(94, 143), (94, 163)], 1)
    grille = smooth([(84, 204), (80, 180), (88, 168), (100, 168), (108, 180), (104, 204)], steps=5)
    plate.shape(grille, SILVER, 1)
    for x in (86, 90, 94, 98, 102):
        plate.line([(x, 172), (x, 202)], 0.9)
    plate.brush(
        smooth([(58, 170), (76, 164), (94, 163), (112, 164), (130, 170)], closed=False), 0.4, 1.2, 0.4, ink=CYAN
    )
    plate.shape(rounded(40, 202, 148, 209, radius=3), SILVER, 1)
    for x in (48, 130):
        plate.fill(rounded(x - 6, 206, x + 14, 222, radius=4), BLACK)
    plate.shape(box(84, 209, 104, 215), YELLOW, 0.7)


def _runner(plate: Plate) -> None:
    with plate.at((132, 244), size=1.06, turn=14):
        pose = Pose(neck=(4, -60), shoulders=((-8, -58), (12, -56)), elbows=((-22, -62), (24, -62)),
                    hands=((-32, -76), (36, -74)), hips=((-6, -30), (6, -30)), knees=((-18, -18), (20, -24)),
                    feet=((-34, -12), (28, -4)), toes=((-40, -6), (36, -6)))  # fmt: skip
        plate.shape(smooth([(-9, -50), (-12, -30), (-30, -14), (-12, -8), (2, -14), (20, -12), (14, -30), (14, -52)]), BUFF,
                    1)  # fmt: skip
        figure(plate, pose, Outfit(top=BUFF, legs=SLATE, boots=BLACK))
        plate.shape([(-10, -33), (10, -33), (10, -30), (-10, -30)], TAN, 0.7)
        head(plate, (4, -60), turn=-8)
        with plate.at((-16, -92)):
            hat(plate, (0, 0), ink=BUFF, band=BLACK, turn=-24)
