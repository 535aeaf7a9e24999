"""Dumpling & Tack: a cat and a mouse after cheese, at sea in a teacup, down a hill of snow."""

from seeds.covers.animals import cat, mouse
from seeds.covers.curves import Path, Point, box, chance, ellipse, moved, polar, ribbon, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BROWN,
    CREAM,
    CYAN,
    GOLD,
    GREEN,
    ICE,
    LIME,
    MAGENTA,
    ORANGE,
    RED,
    ROSE,
    SILVER,
    SKY,
    TAN,
    TEAL,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import dumpling_and_tack
from seeds.covers.plate import Plate
from seeds.covers.scenery import cloud, fir
from seeds.covers.signs import balloon, caption


def kitchen_cheese(plate: Plate, issue: Issue) -> None:
    """Tack fishes for the cheese from the shelf while Dumpling sleeps with one eye open."""
    plate.ground(LIME)
    for i in range(13):
        plate.fill(box(-2 + i * 15, -2, 5 + i * 15, 186), Ink(25, 0, 100))
    _shelf(plate)
    _window_pane(plate)
    plate.fill(box(-2, 190, 186, 264), RED)
    for row in range(5):
        for column in range(-2, 12):
            if (row + column) % 2:
                top, low = 190 + row * 15, 205 + row * 15
                x0, x1 = _tile_x(column, top), _tile_x(column, low)
                y0, y1 = _tile_x(column + 1, top), _tile_x(column + 1, low)
                plate.fill([(x0, top), (y0, top), (y1, low), (x1, low)], WHITE)
    plate.line([(-2, 190), (186, 190)], 1.2)
    _table(plate)
    _cheese(plate, (134, 156))
    plate.line([(150, 106), (140, 138)], 0.7)
    plate.line(ellipse((138, 141), (2.4, 3), arc=(-60, 180)), 0.9)
    with plate.at((148, 99), size=0.86, flip=True):
        mouse(plate, reach=((-12, -16), (-2, 2)))
    with plate.at((62, 214), size=1.12):
        cat(plate, wink=True)
    dumpling_and_tack(plate, issue, (YELLOW, RED, WHITE))


def _tile_x(column: int, y: float) -> float:
    return 92 + (column - 5) * (18 + (y - 190) * 0.22)


def _shelf(plate: Plate) -> None:
    plate.shape(box(112, 108, 190, 114), TAN, 1)
    plate.shape([(120, 114), (126, 114), (122, 124), (120, 124)], TAN, 0.8)
    plate.shape(rounded(166, 86, 182, 108, radius=3), BLUE, 1)
    plate.shape(rounded(164, 82, 184, 88, radius=2), WHITE, 0.9)
    plate.shape(rounded(116, 92, 128, 108, radius=2), ROSE, 1)
    plate.shape(rounded(114.6, 88, 129.4, 93, radius=1.6), RED, 0.8)


def _window_pane(plate: Plate) -> None:
    plate.shape(box(18, 76, 74, 136), WHITE, 1.1)
    plate.fill(box(22, 80, 70, 132), CYAN)
    plate.disc((58, 94), 8, YELLOW)
    cloud(plate, (38, 110), (12, 6), WHITE, seed="pane")
    plate.fill(smooth([(22, 124), (36, 118), (52, 124), (70, 120), (70, 132), (22, 132)], steps=3), GREEN)
    plate.line([(46, 78), (46, 134)], 2.6, WHITE)
    plate.line([(20, 106), (72, 106)], 2.6, WHITE)
    plate.line(box(22, 80, 70, 132), 0.7, closed=True)
    for side in (-1, 1):
        x = 46 + side * 30
        curtain = smooth(
            [(x - 8, 72), (x + 8, 72), (x + 7 + side * 2, 96), (x + side * 4, 126), (x - 7 + side * 2, 96)]
        )
        plate.shape(curtain, MAGENTA, 1)
        for y in (82, 96, 108):
            plate.disc((x, y), 1.8, WHITE)
    plate.shape(box(10, 70, 82, 76), MAGENTA, 1)


def _table(plate: Plate) -> None:
    plate.shape([(92, 172), (190, 172), (190, 180), (88, 180)], BROWN, 1.1)
    cloth = [(90, 168), (190, 168), (190, 184), (178, 194), (166, 184), (154, 194), (142, 184), (130, 194), (118, 184),
             (106, 194), (90, 182)]  # fmt: skip
    plate.shape(cloth, WHITE, 1.1)
    with plate.clip(cloth):
        for i in range(9):
            plate.fill(box(92 + i * 12, 168, 97 + i * 12, 196), SKY)
    plate.shape([(100, 190), (108, 190), (104, 250), (98, 250)], BROWN, 1)
    plate.shape(ellipse((138, 168), (38, 6)), SILVER, 1)
    plate.shape(ellipse((138, 166.6), (34, 4.4)), WHITE, 0.7)


def _cheese(plate: Plate, at: Point) -> None:
    x, y = at
    plate.shape([(x - 26, y + 10), (x + 22, y - 16), (x + 30, y + 10)], YELLOW, 1.2)
    plate.shape([(x - 26, y - 6), (x + 22, y - 26), (x + 30, y - 8), (x + 30, y + 11), (x - 26, y + 11)], YELLOW, 1.2)
    plate.shape([(x - 26, y - 6), (x + 22, y - 26), (x + 30, y - 8)], CREAM, 1)
    for dx, dy, size in ((-10, 3, 4.6), (6, 6, 3), (18, 0, 5), (2, -3, 2.2), (-19, 6, 2), (24, 8, 2)):
        plate.disc((x + dx, y + dy), (size, size * 0.9), ORANGE, line=0.8)
    for dx, dy, size in ((6, -14, 3.4), (18, -14, 2)):
        plate.disc((x + dx, y + dy), (size, size * 0.55), GOLD, line=0.7)


def teacup_voyage(plate: Plate, issue: Issue) -> None:
    """The kitchen has flooded, and a teacup with a napkin for a sail is the only ship."""
    plate.ground(CYAN)
    plate.disc((40, 100), 20, YELLOW)
    for i in range(14):
        plate.brush([polar((40, 100), 24, i * 25.7), polar((40, 100), 33 + i % 2 * 5, i * 25.7)], 3, 0.6, ink=YELLOW)
    for x, y, wide in ((142, 96, 26), (96, 76, 20), (8, 136, 20), (176, 138, 20)):
        cloud(plate, (x, y), (wide, 9), WHITE, seed=f"tea{x}", line=0.9)
    _swell(plate, 196, TEAL, 5)
    with plate.at((92, 188), turn=-7):
        _teacup(plate)
    _swell(plate, 222, BLUE, 7)
    for x, y, turn in ((24, 222, 12), (164, 226, -16)):
        with plate.at((x, y), turn=turn):
            _spoon_fish(plate)
    _swell(plate, 240, TEAL, 8)
    balloon(plate, ("LAND HO!", "OR POSSIBLY LARD!"), (132, 112), (108, 130), height=3.5)
    dumpling_and_tack(plate, issue, (RED, WHITE, YELLOW))


def _swell(plate: Plate, top: float, ink: Ink, height: float) -> None:
    crest: Path = []
    for i in range(8):
        x = -12 + i * 28
        crest += [(x, top), (x + 10, top - height), (x + 20, top - height * 1.3), (x + 24, top - height * 0.4)]
    path = smooth(crest, closed=False, steps=4)
    plate.fill([*path, (230, 270), (-20, 270)], ink)
    plate.line(path, 1)
    plate.line(moved(path, 1, 3), 1.2, WHITE)


def _teacup(plate: Plate) -> None:
    plate.line([(18, 0), (18, -100)], 2.6)
    plate.line([(18, 0), (18, -100)], 1.4, TAN)
    sail = smooth([(20, -96), (56, -82), (64, -50), (54, -20), (20, -22), (30, -58)], steps=6)
    plate.shape(sail, WHITE, 1.2)
    with plate.clip(sail):
        for i in range(-2, 9):
            plate.line([(10 + i * 9, -100), (24 + i * 9, -14)], 2.6, RED)
        for i in range(9):
            plate.line([(10, -96 + i * 10), (70, -92 + i * 10)], 1.1, RED)
    plate.shape([(18, -100), (18, -108), (2, -104)], GOLD, 0.9)
    with plate.at((-18, -18), size=0.86):
        cat(plate)
    with plate.at((14, -62), size=0.7):
        mouse(plate, reach=((14, -14), (6, -30)), scarf=MAGENTA)
    handle = ellipse((58, 4), (16, 17), arc=(-100, 120))
    plate.line(handle, 8.4)
    plate.line(handle, 6, WHITE)
    cup = [(-58, -16), (58, -16), (52, 14), (38, 36), (20, 44), (-20, 44), (-38, 36), (-52, 14)]
    plate.shape(smooth(cup, steps=5), WHITE, 1.4)
    with plate.clip(smooth(cup, steps=5)):
        plate.fill(smooth([(30, -20), (70, -20), (60, 50), (8, 50), (36, 20)]), SKY)
        plate.fill(box(-60, -13, 60, -8), BLUE)
        for x in (-36, -12, 12, 36):
            for i in range(5):
                plate.fill(ellipse(polar((x, 8), 4.6, i * 72 - 90), (3, 2.2), tilt=i * 72 - 90), RED)
            plate.disc((x, 8), 2, YELLOW)
    plate.line(smooth([(-58, -16), (0, -13), (58, -16)], closed=False), 1.2)


def _spoon_fish(plate: Plate) -> None:
    plate.shape(smooth([(-18, 0), (-6, -9), (10, -6), (18, 0), (10, 6), (-6, 9)]), ORANGE, 1.1)
    plate.shape([(-16, 0), (-27, -8), (-24, 0), (-27, 8)], ORANGE, 1)
    plate.disc((9, -1.6), 3, WHITE, line=0.8)
    plate.disc((10, -1.2), 1.3, BLACK)
    for x in (-6, -1):
        plate.line(ellipse((x, 0), (3, 5), arc=(-70, 70)), 0.8)


def snow_hill(plate: Plate, issue: Issue) -> None:
    """A baking tray makes a fine sledge, if nobody asks how to steer it."""
    plate.ground(SKY)
    plate.fade(box(-2, 40, 175, 170), CYAN, ICE)
    plate.shape(smooth([(-10, 150), (40, 128), (100, 140), (190, 112), (190, 270), (-10, 270)]), ICE, 1)
    for x, y, high in ((16, 150, 42), (36, 144, 32), (150, 132, 46), (166, 140, 36), (126, 140, 26)):
        fir(plate, (x, y), high, TEAL, snow=True)
    plate.shape(smooth([(-20, 176), (30, 184), (84, 208), (130, 240), (160, 280), (-20, 290)]), WHITE, 1.1)
    for start, end in (((-6, 186), (46, 204)), ((-6, 196), (42, 213))):
        plate.line(smooth([start, ((start[0] + end[0]) / 2, start[1] + 6), end], closed=False), 1.1, CYAN)
    with plate.at((88, 176), turn=22):
        _sledge(plate)
    dice = chance("flakes")
    for i in range(60):
        at = dice.uniform(0, 171), dice.uniform(56, 250)
        if i % 4:
            plate.disc(at, dice.uniform(0.7, 1.6), WHITE)
        else:
            for k in range(3):
                tip, back = polar(at, 3, k * 60), polar(at, -3, k * 60)
                plate.line([tip, back], 0.6, WHITE)
    for i in range(7):
        root = (34 + i * 3.4, 198 + i * 1.6)
        plate.brush([root, polar(root, 12 + (i * 7) % 9, -150 + i * 6)], 3.4, 0.3, ink=WHITE)
    _snow_bunny(plate, (144, 226))
    caption(plate, ("THE TRAY SAID", "OVEN USE ONLY!"), (10, 236, 74, 254), YELLOW)
    dumpling_and_tack(plate, issue, (RED, YELLOW, LIME))


def _sledge(plate: Plate) -> None:
    with plate.at((-14, -26)):
        cat(plate, scarf=RED)
    with plate.at((26, 2), size=0.86):
        mouse(plate, reach=((14, -14), (16, -30)), scarf=LIME)
    tray = smooth([(-56, 6), (-50, 16), (44, 16), (60, 2), (66, -8), (70, -4), (62, 14), (48, 25), (-52, 25), (-62, 8)],
                  steps=4)  # fmt: skip
    plate.shape(tray, SILVER, 1.2)
    plate.brush([(-48, 20), (10, 21), (48, 18)], 0.4, 1.8, 0.4, ink=WHITE)
    for i in range(6):
        plate.brush([(-70 - i * 3, -30 + i * 9), (-92 - i * 5, -32 + i * 9)], 1.4, 0.2)


def _snow_bunny(plate: Plate, at: Point) -> None:
    with plate.at(at):
        for side in (-1, 1):
            plate.shape(smooth([(side * 3, -22), (side * 9, -44), (side * 14, -40), (side * 11, -20)]), WHITE, 1)
            plate.fill(smooth([(side * 6, -24), (side * 10, -39), (side * 11, -22)]), ROSE)
        plate.shape(smooth([(-16, 14), (-15, -4), (0, -8), (15, -4), (16, 14), (0, 18)]), WHITE, 1)
        plate.disc((0, -14), (14, 12), WHITE, line=1)
        for side in (-1, 1):
            plate.disc((side * 5.4, -16), (3, 4.4), WHITE, line=0.7)
            plate.disc((side * 5 - 1, -15), (1.4, 2.4), BLACK)
        plate.disc((0, -10), (2.4, 1.7), ROSE, line=0.6)
        plate.disc((0, -5), (2, 2.6), RED, line=0.6)
        plate.shape(star((0, 5), 5, 2.2), GOLD, 0.6)
        for side in (-1, 1):
            plate.shape(ribbon([(side * 13, 0), (side * 22, -8)], (5, 4)), WHITE, 0.9)
