"""The Unlit Stair, late run: a stair that looks back."""

import math

from seeds.covers.curves import Path, Point, box, ellipse, polar, ribbon, smooth
from seeds.covers.inks import (
    BLACK,
    BUFF,
    GOLD,
    LEAF,
    LIME,
    MAROON,
    ORANGE,
    RED,
    RUST,
    SKY,
    UMBER,
    VIOLET,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import foot_band, stair_again
from seeds.covers.plate import Plate

_NIGHT = Ink(100, 100, 60)


def spiral_stair(plate: Plate, issue: Issue) -> None:
    """Seen from the top floor, the stair winds down to an open eye."""
    plate.ground(_NIGHT)
    hub = (88.0, 156.0)
    turns, steps = 3.25, 66
    for i in range(steps):
        share, after = i / steps, (i + 1) / steps
        far, near = _reach(share), _reach(after)
        a, b = -70 + 360 * turns * share, -70 + 360 * turns * after
        tread = [polar(hub, far, a), polar(hub, near, b), polar(hub, near * 0.66, b), polar(hub, far * 0.66, a)]
        lit = 0.5 + 0.5 * math.cos(math.radians((a + b) / 2 - 300))
        ink = (MAROON, RUST, RED, ORANGE, GOLD)[min(4, int(lit * 5))]
        plate.shape(tread, ink, 0.9)
        plate.fill([polar(hub, far, a), polar(hub, far * 0.66, a), polar(hub, far * 0.66, a + 2.4),
                    polar(hub, far, a + 3.4)], BLACK)  # fmt: skip
    _rail(plate, hub, turns)
    _pupil(plate, hub)
    _climber(plate, (133, 214))
    _long_shadow(plate)
    stair_again(plate, issue, (LIME, VIOLET, YELLOW))
    foot_band(plate, "COUNT THE STEPS. NOW COUNT THEM AGAIN.", (BLACK, LIME))


def _reach(share: float) -> float:
    return 20 + 150 * math.pow(1 - share, 1.5)


def _rail(plate: Plate, hub: Point, turns: float) -> None:
    rail: Path = [polar(hub, _reach(i / 200) * 0.67, -70 + 360 * turns * i / 200) for i in range(201)]
    plate.line(rail, 3.2)
    plate.line(rail, 1.6, GOLD)
    for i in range(0, 200, 3):
        plate.line([rail[i], polar(hub, _reach(i / 200) * 0.73, -70 + 360 * turns * i / 200)], 0.7)


def _pupil(plate: Plate, hub: Point) -> None:
    lid = smooth([(hub[0] - 20, hub[1] + 1), (hub[0] - 8, hub[1] - 10), (hub[0] + 9, hub[1] - 10),
                  (hub[0] + 20, hub[1] - 1), (hub[0] + 8, hub[1] + 9), (hub[0] - 9, hub[1] + 10)])  # fmt: skip
    plate.disc(hub, 21, BLACK)
    plate.shape(lid, WHITE, 1)
    with plate.clip(lid):
        plate.disc(hub, 9.4, LIME, line=1)
        plate.disc(hub, 4.4, BLACK)
        plate.disc((hub[0] + 3, hub[1] - 4), 1.7, WHITE)
        for angle in (150, 170, 195, 10, -15, 30):
            plate.brush([polar(hub, 19, angle), polar(hub, 12, angle + 8)], 0.8, 0.2, ink=RED)


def _climber(plate: Plate, at: Point) -> None:
    with plate.at(at, size=0.86, turn=6):
        plate.glow(ellipse((-15, -22), 24), (-15, -22), 24, (YELLOW, GOLD))
        plate.shape(smooth([(-8, 20), (-6, -8), (0, -20), (7, -8), (12, 20)]), WHITE, 1)
        plate.fill(smooth([(4, -12), (8, -4), (12, 20), (4, 20)]), SKY)
        plate.shape(ribbon(smooth([(-4, -14), (-12, -14), (-15, -20)], closed=False), (5, 4, 3)), WHITE, 0.8)
        plate.disc((0, -26), (6, 6.6), BUFF, line=0.9)
        plate.shape(
            smooth([(-6, -25), (-4, -33), (4, -33), (8, -24), (9, -8), (3, -10), (3, -24), (-1, -29)]), UMBER, 0.9
        )
        plate.shape(box(-17.6, -27, -12.6, -20), YELLOW, 0.8)
        plate.line(ellipse((-15, -27), (2, 3), arc=(180, 360)), 0.6)


def _long_shadow(plate: Plate) -> None:
    """A long green hand that reaches up the treads behind the climber."""
    sleeve = ribbon(smooth([(-14, 222), (14, 214), (36, 210)], closed=False), (30, 24, 19))
    fingers = [
        ribbon(smooth([(48, 210), knee, tip], closed=False), (8, 6.4, 4.6, 0.6))
        for tip, knee in (((92, 204), (72, 198)), ((96, 218), (74, 210)), ((90, 231), (70, 221)), ((76, 240), (60, 226)),
                          ((64, 188), (56, 198)))
    ]  # fmt: skip
    palm = smooth([(26, 202), (44, 198), (58, 202), (58, 220), (44, 224), (28, 220)])
    for outline in (*fingers, palm):
        plate.line(outline, 2.2, closed=True)
    for outline in (*fingers, palm):
        plate.fill(outline, LEAF)
    for x, y in ((40, 204), (44, 211), (40, 218)):
        plate.brush([(x, y), (x + 12, y)], 0.3, 1.2, 0.3)
    plate.shape(sleeve, VIOLET, 1.2)
