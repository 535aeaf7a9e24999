"""Bold Sextant: a balloon in a canyon, a sledge on the ice."""

import itertools
import math

from seeds.covers.curves import Path, Point, box, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    BROWN,
    BUFF,
    CREAM,
    CYAN,
    FLESH,
    GREEN,
    ICE,
    INDIGO,
    LIME,
    MAROON,
    NAVY,
    ORANGE,
    RED,
    RUST,
    SKY,
    TAN,
    TEAL,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads import bold_sextant, ruled
from seeds.covers.people import Outfit, Pose, figure, head
from seeds.covers.plate import Plate
from seeds.covers.scenery import cloud, peak
from seeds.covers.signs import caption


def balloon_canyon(plate: Plate, issue: Issue) -> None:
    """A striped balloon threads the canyon on its last sandbag."""
    plate.ground(CYAN)
    plate.fade(box(-2, 60, 186, 200), CYAN, CREAM)
    ruled(plate, CREAM, 79)
    for x, y, wide in ((30, 112, 26), (160, 96, 26), (150, 150, 20)):
        cloud(plate, (x, y), (wide, 9), WHITE, seed=f"air{x}", line=0.8)
    for left, ink in ((True, ORANGE), (False, RUST)):
        for i in range(3):
            _cliff(plate, i, ink if i % 2 else TAN, left=left)
    plate.fill(smooth([(78, 264), (90, 236), (84, 222), (96, 214), (104, 222), (98, 236), (112, 264)]), TEAL)
    with plate.at((96, 140), size=1.04, turn=4):
        _balloon(plate)
    caption(plate, ("THROW OUT THE CHARTS!", "KEEP THE COFFEE!"), (8, 238, 74, 254), YELLOW)
    bold_sextant(plate, issue, (RED, NAVY, YELLOW))


def _cliff(plate: Plate, depth: int, ink: Ink, *, left: bool) -> None:
    top, reach = 206 - depth * 2 - (0 if left else 12), 70 - depth * 24
    outline = [(-10, top - 34 + depth * 6), (reach * 0.5, top - 36 + depth * 7), (reach * 0.62, top - 14), (reach, top - 8),
               (reach - 6, top + 14), (reach + 8, top + 22), (reach + 2, 290), (-10, 290)]  # fmt: skip
    if not left:
        outline = [(184 - x, y) for x, y in outline]
    plate.shape(outline, ink, 1.1)
    hand = 1 if left else -1
    for x, y in outline[1:6]:
        plate.brush([(x - hand * 2, y + 3), (x - hand * 4, y + 20), (x - hand * 3, y + 40)], 2.6, 1.6, 0.2)
    for level in (18, 30, 44):
        x = 0 if left else 184
        plate.brush([(x, top + level), (x + hand * reach * 0.4, top + level - 2), (x + hand * reach * 0.8, top + level)],
                    0.3, 1.3, 0.3)  # fmt: skip


def _balloon(plate: Plate) -> None:
    gores: Path = [(48 * math.sin(i / 20 * math.pi) ** 0.9, -44 - 50 * math.cos(i / 20 * math.pi)) for i in range(17)]
    side = [*gores, (9, 22)]
    outline = smooth([*side, *[(-x, y) for x, y in reversed(side)]], steps=2)
    plate.shape(outline, YELLOW, 1.4)
    with plate.clip(outline):
        for i, ink in ((-5, RED), (-3, YELLOW), (-1, RED), (1, YELLOW), (3, RED)):
            stripe = [(x * i / 5, y) for x, y in side]
            after = [(x * (i + 2) / 5, y) for x, y in side]
            plate.fill([*stripe, *reversed(after)], ink)
            plate.line(stripe, 0.7)
        plate.fill([(x * 0.62, y) for x, y in side] + [(x * 1.1, y) for x, y in reversed(side)], MAROON)
        band = smooth([(-50, -46), (0, -36), (50, -46), (50, -30), (0, -20), (-50, -30)], steps=6)
        plate.shape(band, NAVY, 0.9)
        for i in range(-3, 4):
            plate.fill(star((i * 13, -29 - abs(i) * abs(i) * 0.9), 4.4, 1.8), WHITE)
    plate.line(outline, 1.4, closed=True)
    for x in (-8, -3, 3, 8):
        plate.line([(x, 22), (x * 1.5, 52)], 0.7)
    for x, y in ((-36, 0), (-24, 14), (24, 14), (36, 0)):
        plate.line([(x, y), (x * 0.4, 52)], 0.4)
    for x in (-6, 5):
        with plate.at((x, 60), size=0.34, flip=x > 0):
            figure(plate, Pose(hands=((-26, -60), (26, -64)), elbows=((-20, -50), (20, -50))),
                   Outfit(BLUE if x < 0 else GREEN, BROWN))  # fmt: skip
            head(plate, (0, -62), hair=RUST)
    basket = [(-14, 50), (14, 50), (11, 70), (-11, 70)]
    plate.shape(basket, TAN, 1.1)
    with plate.clip(basket):
        for i in range(-4, 8):
            plate.line([(-16 + i * 5, 48), (-8 + i * 5, 72)], 0.5)
            plate.line([(-8 + i * 5, 48), (-16 + i * 5, 72)], 0.5)
    plate.shape(rounded(-16, 48, 16, 52, radius=1.6), BROWN, 0.8)
    for x in (-12, 12):
        plate.disc((x, 62), (3, 4), BUFF, line=0.7)
    plate.disc((-17, 92), (3, 4), BUFF, line=0.7)
    for i in range(3):
        plate.line([(-19 + i * 2, 78 - i % 2 * 4), (-19 + i * 2, 86)], 0.5)


def polar_sledge(plate: Plate, issue: Issue) -> None:
    """A ship is beset under green fire in the sky; one man leans into the traces."""
    plate.ground(INDIGO)
    _aurora(plate)
    ruled(plate, YELLOW, 79)
    for top, foot, wide, seed in (((30, 128), 190, 84, "p1"), ((150, 120), 190, 96, "p2"), ((92, 144), 190, 70, "p3")):
        peak(plate, top, foot, wide, (CYAN, NAVY, WHITE), seed=seed)
    plate.shape(smooth([(-10, 186), (60, 182), (130, 188), (200, 180), (200, 270), (-10, 270)]), WHITE, 1)
    _beset_ship(plate, (134, 186))
    for points in ([(-6, 204), (30, 200), (54, 206)], [(120, 214), (150, 210), (190, 216)], [(20, 244), (80, 240), (130, 248)],
                   [(90, 226), (130, 222), (176, 230)]):  # fmt: skip
        plate.brush(smooth(points, closed=False), 0.3, 2.4, 0.3, ink=SKY)
    _hauler(plate)
    caption(plate, ("NINETY MILES. ELEVEN BISCUITS.",), (92, 240, 176, 252), YELLOW)
    bold_sextant(plate, issue, (RED, WHITE, WHITE))


def _aurora(plate: Plate) -> None:
    for y, ink, phase in ((88, TEAL, 4.0), (98, GREEN, 0.0), (112, LIME, 2.0)):
        wave = smooth([(-10, y + 8), (24, y - 6), (60, y + 10), (96, y - 8), (132, y + 8), (166, y - 6), (200, y + 6)],
                      closed=False)  # fmt: skip
        for i, ((x0, y0), (x1, y1)) in enumerate(itertools.pairwise(wave)):
            long = 34 + 9 * math.sin(i * 0.7 + phase) + (5 if i % 3 else -4)
            curtain = [(x0 - 0.2, y0), (x1 + 0.2, y1), (x1 + 0.2, y1 + long), (x0 - 0.2, y0 + long)]
            plate.fade(curtain, ink, INDIGO)
        plate.line(wave, 1, CREAM)


def _beset_ship(plate: Plate, at: Point) -> None:
    with plate.at(at, turn=9):
        plate.shape(smooth([(-38, -12), (-30, -8), (26, -8), (40, -16), (32, 6), (-28, 8)], steps=5), BLACK, 1)
        plate.line([(-34, -4), (34, -6)], 1.2, RED)
        plate.line([(40, -16), (58, -28)], 1.4)
        for x, high in ((-22, 44), (2, 54), (24, 46)):
            plate.line([(x, -8), (x, -high)], 1.7)
            for share in (0.45, 0.7, 0.9):
                plate.line([(x - 11 * (1.2 - share), -high * share), (x + 11 * (1.2 - share), -high * share)], 1)
            plate.line([(x, -high), (x - 20, -8)], 0.4)
            plate.line([(x, -high), (x + 20, -8)], 0.4)
    for x, size in ((100, 8), (112, 6), (158, 9), (170, 7), (140, 6), (126, 8)):
        block = [(x - size, 196), (x - size * 0.5, 196 - size * 1.3), (x + size * 0.4, 196 - size), (x + size, 197)]
        plate.shape(block, ICE, 0.8)


def _hauler(plate: Plate) -> None:
    plate.fill(smooth([(20, 250), (70, 246), (96, 252), (60, 256)]), SKY)
    with plate.at((66, 246), size=1.16, turn=16):
        pose = Pose(elbows=((-18, -46), (8, -44)), hands=((-12, -34), (18, -38)), knees=((-14, -16), (14, -20)),
                    feet=((-24, 2), (12, -2)), toes=((-18, 5), (20, -1)))  # fmt: skip
        figure(plate, pose, Outfit(RED, BROWN, BLACK, hands=BROWN))
        plate.shape(smooth([(-12, -34), (12, -34), (16, -24), (-15, -22)]), RED, 0.9)
        plate.shape(rounded(-15, -26, 15, -21, radius=2), WHITE, 0.8)
        plate.line([(-8, -58), (10, -40)], 1.6, TAN)
        with plate.at((1, -60)):
            plate.disc((0, -8), (10, 11), WHITE, line=1)
            plate.disc((2.4, -8), (6.6, 7.4), FLESH, line=0.7)
            plate.fill(rounded(-3, -11.6, 9.6, -7.4, radius=2), BLACK)
            plate.fill(rounded(-1, -11, 3, -8, radius=1), CYAN)
            plate.fill(rounded(4.6, -11, 8.4, -8, radius=1), CYAN)
            plate.fill(smooth([(-2, -5), (3, -4), (8, -5), (6, 0), (2, 1)]), BROWN)
    plate.line([(62, 200), (20, 226), (-4, 232)], 1)
    sled = smooth([(-20, 240), (16, 240), (26, 232), (22, 228), (12, 236), (-20, 236)], steps=4)
    plate.shape(sled, TAN, 0.9)
    plate.shape(rounded(-20, 214, 12, 236, radius=4), BUFF, 1)
    for x in (-8, 4):
        plate.line([(x, 214), (x, 236)], 0.9)
