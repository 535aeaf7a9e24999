"""Bold Sextant: the circus without its master."""

from seeds.covers.curves import Point, box, chance, ellipse, ribbon, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BUFF,
    CREAM,
    FLESH,
    GOLD,
    MAGENTA,
    MAROON,
    RED,
    ROSE,
    SKY,
    TAN,
    TEAL,
    UMBER,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import bold_sextant, ruled
from seeds.covers.people import Outfit, Pose, figure, head
from seeds.covers.plate import Plate
from seeds.covers.scenery import rays
from seeds.covers.signs import caption


def circus_ring(plate: Plate, issue: Issue) -> None:
    """The ring master's hat is on the elephant and nobody has seen the ring master."""
    plate.ground(RED)
    rays(plate, (92, 92), YELLOW, count=24, turn=3)
    ruled(plate, CREAM, 79)
    for i in range(13):
        outline = ellipse((2 + i * 15, 79), (7.6, 8), arc=(0, 180))
        plate.shape(outline, BLUE if i % 2 else WHITE, 0.8)
    plate.fill(box(-2, 184, 186, 264), TAN)
    _seats(plate)
    plate.shape(ellipse((92, 232), (100, 30)), BUFF, 1.4)
    plate.shape(ellipse((92, 228), (92, 25)), GOLD, 1)
    _elephant(plate, (86, 226))
    _acrobat(plate)
    caption(plate, ("AND WHERE IS MR. PELLINGER?",), (46, 243, 138, 254), WHITE)
    bold_sextant(plate, issue, (BLUE, YELLOW, YELLOW))


def _seats(plate: Plate) -> None:
    dice = chance("seats")
    plate.fill(box(-2, 166, 186, 206), MAROON)
    for row in range(3):
        for i in range(24):
            x, y = i * 8 + (row % 2) * 4 + dice.uniform(-1, 1), 174 + row * 11
            plate.fill(smooth([(x - 4, y + 9), (x - 3, y + 1), (x + 3, y + 1), (x + 4, y + 9)]),
                       dice.choice((BLUE, MAGENTA, TEAL, VIOLET)))  # fmt: skip
            plate.disc((x, y - 2), 2.8, dice.choice((FLESH, BUFF, TAN)), line=0.5)


def _elephant(plate: Plate, at: Point) -> None:
    hide, shade = SKY, BLUE
    with plate.at(at, size=1.12):
        plate.fill(ellipse((0, 2), (56, 7)), BLACK)
        for x in (-34, -12):
            plate.shape(rounded(x - 8, -34, x + 8, 2, radius=4), shade, 1.1)
        body = smooth([(-48, -20), (-46, -52), (-22, -68), (6, -66), (20, -52), (18, -24), (-4, -16), (-34, -16)])
        plate.shape(body, hide, 1.3)
        with plate.clip(body):
            plate.fill(smooth([(-50, -30), (-20, -22), (20, -28), (20, -10), (-50, -10)]), shade)
        for x in (-42, 2):
            leg = rounded(x - 9, -34, x + 9, 3, radius=4)
            plate.shape(leg, hide, 1.2)
            for i in (-5, 0, 5):
                plate.disc((x + i, 1), (2, 2.6), CREAM, line=0.6)
        plate.brush(smooth([(-48, -48), (-56, -38), (-54, -26)], closed=False), 2, 1.6, 2.4)
        cloth = smooth([(-38, -66), (-16, -70), (4, -68), (8, -44), (-14, -36), (-40, -42)], steps=5)
        plate.shape(cloth, MAGENTA, 1.1)
        for i in range(6):
            plate.disc((-36 + i * 8.6, -42 - 2 * (1 - abs(i - 3) / 3)), 2.2, YELLOW, line=0.6)
        plate.fill(star((-16, -54), 8, 3.4), YELLOW)
        _elephant_head(plate, hide)


def _elephant_head(plate: Plate, hide: Ink) -> None:
    trunk = smooth([(44, -48), (56, -34), (58, -50), (62, -76), (72, -84), (78, -78)], closed=False)
    plate.shape(ribbon(trunk, (20, 15, 12, 9, 7, 6)), hide, 1.2)
    for x, y in trunk[8:34:3]:
        plate.line([(x - 4, y + 1), (x + 3, y - 1)], 0.6)
    skull = smooth([(16, -72), (34, -84), (52, -76), (56, -58), (50, -42), (34, -38), (20, -46)])
    plate.shape(skull, hide, 1.2)
    plate.shape(smooth([(46, -44), (58, -34), (70, -38), (60, -44), (52, -50)]), CREAM, 0.9)
    ear = smooth([(28, -74), (12, -80), (-4, -66), (-2, -44), (12, -30), (24, -38), (30, -54)])
    plate.shape(ear, hide, 1.3)
    plate.fill(smooth([(22, -70), (8, -70), (4, -54), (12, -40), (20, -46)]), ROSE)
    plate.disc((42, -64), (3.4, 4), WHITE, line=0.9)
    plate.disc((43, -63.4), 1.8, BLACK)
    plate.brush(smooth([(36, -69), (42, -72), (48, -68)], closed=False), 0.6, 1.8, 0.6)
    plate.brush(smooth([(36, -48), (42, -45), (48, -48)], closed=False), 0.4, 1.4, 0.4)
    plate.shape(smooth([(20, -82), (34, -88), (50, -80), (34, -78)]), BLACK, 0.8)
    plate.shape([(25, -84), (23, -106), (43, -108), (44, -84), (34, -81)], BLACK, 0.8)
    plate.fill([(24.6, -90), (43.8, -91), (44, -85), (34, -82), (25, -85)], RED)
    plate.brush([(27, -102), (28, -92)], 0.5, 1.4, 0.5, ink=WHITE)


def _acrobat(plate: Plate) -> None:
    plate.line([(36, 79), (44, 116)], 0.8)
    plate.line([(60, 79), (56, 114)], 0.8)
    plate.line([(41, 116), (60, 114)], 1.6)
    with plate.at((50, 101), size=0.62, turn=186):
        pose = Pose(elbows=((-12, -70), (12, -72)), hands=((-15, -86), (17, -88)), knees=((-7, -14), (7, -14)),
                    feet=((-6, -22), (7, -22)), toes=((-10, -26), (11, -26)))  # fmt: skip
        figure(plate, pose, Outfit(MAGENTA, WHITE, MAGENTA))
        head(plate, (0, -61), hair=UMBER)
    plate.fill(star((150, 108), 4, 1.6), WHITE)
