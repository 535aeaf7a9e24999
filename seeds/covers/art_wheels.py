"""Gearbox Garrity: a racing car in the hairpin."""

from seeds.covers.curves import Point, box, chance, ellipse, polar, rounded, smooth, star
from seeds.covers.inks import (
    BLACK,
    BLUE,
    CYAN,
    FLESH,
    GOLD,
    GREEN,
    GREY,
    INDIGO,
    LIME,
    MAROON,
    NAVY,
    ORANGE,
    RED,
    SILVER,
    SKY,
    WHITE,
    YELLOW,
    Ink,
)
from seeds.covers.issues import Issue
from seeds.covers.mastheads_town import foot_band, gearbox_garrity
from seeds.covers.people import limb
from seeds.covers.plate import Plate
from seeds.covers.scenery import cloud, hills, puffs


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def racing_curve(plate: Plate, issue: Issue) -> None:
    """Number 7 takes the hairpin on two wheels, and there is somebody else's wheel in front."""
    plate.ground(CYAN)
    plate.fade(box(-2, 60, 175, 150), CYAN, WHITE)
    hills(plate, (-4, 140), (176, 128), LIME, rough=6, seed="race hills", line=0.8)
    hills(plate, (-4, 152), (176, 146), GREEN, rough=5, seed="race hills 2", line=0.8)
    for place in ((30, 98, 24), (96, 84, 18), (150, 78, 22)):
        cloud(plate, place[:2], (place[2], 9), WHITE, seed=f"race{place[0]}", line=0.8)
    _stand(plate)
    track = smooth([(-20, 166), (60, 158), (140, 166), (190, 190), (200, 280), (-30, 280), (-30, 210)])
    plate.shape(track, GREY, 1.1)
    for i in range(15):
        start = _between((-20, 168), (176, 176), i / 15)
        plate.shape([(start[0], start[1] - 2), (start[0] + 13.4, start[1] - 2), (start[0] + 13.4, start[1] + 6),
                     (start[0], start[1] + 6)], RED if i % 2 else WHITE, 0.6)  # fmt: skip
    with plate.at((34, 178), size=0.36, turn=-4):
        _racer(plate, BLUE, "3")
    for i in range(14):
        y = 190 + i * 5.4
        plate.brush([(-4, y + 10), (34 + (i * 29) % 40, y)], 0.3, 1.7, 0.2, ink=WHITE)
    puffs(plate, [(40, 232), (26, 238), (10, 242), (-6, 240)], (7, 15), (WHITE, SILVER), "tyre")
    with plate.at((84, 216), size=1.0, turn=-10):
        _racer(plate, RED, "7")
    _loose_wheel(plate)
    gearbox_garrity(plate, issue, (RED, NAVY, ORANGE))
    foot_band(plate, "SOMEBODY HAD LOOSENED EVERY SECOND NUT", (YELLOW, BLACK))


def _stand(plate: Plate) -> None:
    plate.shape([(92, 118), (176, 108), (176, 156), (96, 154)], WHITE, 0.9)
    plate.shape([(88, 116), (178, 102), (178, 110), (90, 122)], RED, 0.9)
    dice = chance("stand")
    for row in range(4):
        for i in range(16):
            plate.disc((98 + i * 5.2, 126 + row * 7.4 - i * 0.2), 2,
                       dice.choice((FLESH, ORANGE, BLUE, YELLOW, RED, WHITE)), line=0.4)  # fmt: skip
    for x in (104, 128, 152):
        plate.line([(x, 113), (x, 94)], 0.8)
        plate.shape([(x, 94), (x + 14, 97), (x, 101)], YELLOW, 0.7)


def _racer(plate: Plate, coat: Ink, number: str) -> None:
    plate.fill(ellipse((0, 27), (72, 6)), BLACK)
    for x, size in ((-38, 19), (46, 16)):
        plate.disc((x + 6, 4), (size * 0.9, size), BLACK)
    body = smooth([(-70, 6), (-66, -14), (-40, -20), (-18, -22), (-12, -14), (12, -16), (40, -14), (66, -6), (82, 4),
                   (80, 11), (56, 17), (0, 20), (-56, 18)], steps=6)  # fmt: skip
    plate.shape(body, coat, 1.4)
    with plate.clip(body):
        plate.fill(smooth([(-70, 8), (0, 11), (84, 6), (84, 26), (-70, 26)]), MAROON if coat == RED else INDIGO)
        plate.fill(smooth([(-64, -12), (-18, -17), (60, -10), (60, -7), (-18, -13), (-64, -9)]), WHITE)
    _driver(plate)
    plate.disc((32, 0), 10, WHITE, line=1)
    if number == "7":
        plate.fill([(27, -6.4), (38, -6.4), (38, -3.4), (33, 7), (29, 7), (33.6, -2.8), (27, -2.8)], BLACK)
    else:
        plate.line(ellipse((32, -2.6), (3.4, 3), arc=(-160, 90)), 2)
        plate.line(ellipse((32, 3.2), (3.6, 3), arc=(-90, 160)), 2)
    for i in range(4):
        pipe = smooth([(48 + i * 5, -9 + i * 1.4), (50 + i * 5, -14), (58 + i * 4, -12)], closed=False)
        plate.line(pipe, 1.8, SILVER)
        plate.line([(-52 + i * 5, -12), (-56 + i * 5, -3)], 1.3)
    for x, size in ((-44, 22), (52, 18)):
        plate.disc((x, 10), size, BLACK)
        plate.line(ellipse((x, 10), size * 0.8, arc=(150, 300)), 0.9, SILVER)
        plate.disc((x, 10), size * 0.55, SILVER, line=0.9)
        for i in range(10):
            plate.line([(x, 10), polar((x, 10), size * 0.53, i * 36)], 0.6)
        plate.disc((x, 10), size * 0.16, GOLD, line=0.7)


def _driver(plate: Plate) -> None:
    with plate.at((-22, -22)):
        plate.shape(smooth([(-13, 8), (-10, -6), (2, -9), (11, 0), (10, 8)]), BLUE, 1)
        plate.disc((1, -15), (10.4, 10), YELLOW, line=1.2)
        plate.fill(smooth([(-8, -20), (2, -24.4), (8, -21), (-8, -16)]), RED)
        visor = smooth([(2, -18), (11.6, -17), (11, -10), (3, -9)])
        plate.shape(visor, FLESH, 0.8)
        plate.shape(rounded(2, -17.6, 12, -12.6, radius=2), SKY, 0.8)
        plate.brush([(5, -9.6), (9.6, -10.6)], 0.4, 1, 0.4)
        scarf = smooth([(-8, -6), (-22, -12), (-40, -6), (-34, -2), (-44, 3), (-22, 0), (-8, -1)])
        plate.shape(scarf, WHITE, 0.9)
        limb(plate, ((4, 0), (16, 2), (22, -4)), (6, 5, 4), BLUE)
    plate.line([(2, -16), (10, -30)], 1.4)
    plate.fade([(4, -16), (9, -31), (22, -14)], SKY, WHITE)
    plate.line([(9, -31), (22, -14)], 0.9)


def _loose_wheel(plate: Plate) -> None:
    at = (146.0, 178.0)
    for i in range(5):
        plate.brush([(150 + i * 6, 196 + i * 3), (158 + i * 7, 212 + i * 2)], 1.4, 0.2, ink=WHITE)
    plate.disc(at, (11, 15), BLACK, tilt=24)
    plate.disc((at[0] + 1, at[1]), (6.4, 9), SILVER, line=0.9, tilt=24)
    plate.disc((at[0] + 1, at[1]), 2, GOLD, line=0.6)
    for angle in (-140, -100, -60):
        nut = polar(at, 26, angle)
        plate.shape(star(nut, 2.6, 2.2, points=3), GOLD, 0.6)
