"""People on covers: limbs and bodies with a shadowed side, heads with hats, masks and hair."""

import dataclasses
from collections.abc import Sequence

from seeds.covers.curves import Path, Point, ellipse, ribbon, smooth
from seeds.covers.inks import BLACK, FLESH, ORANGE, RED, RUST, WHITE, Ink
from seeds.covers.plate import Plate


@dataclasses.dataclass(frozen=True)
class Outfit:
    """What a figure wears, as inks."""

    top: Ink
    legs: Ink
    boots: Ink = BLACK
    hands: Ink = FLESH
    skin: Ink = FLESH
    shade: Ink = BLACK


@dataclasses.dataclass(frozen=True)
class Pose:
    """Where a figure's joints are, for a figure about eighty high; left and right as seen on the page."""

    neck: Point = (0, -62)
    shoulders: tuple[Point, Point] = ((-10, -58), (10, -58))
    elbows: tuple[Point, Point] = ((-15, -44), (15, -44))
    hands: tuple[Point, Point] = ((-14, -30), (14, -30))
    hips: tuple[Point, Point] = ((-6, -32), (6, -32))
    knees: tuple[Point, Point] = ((-8, -16), (8, -16))
    feet: tuple[Point, Point] = ((-9, 0), (9, 0))
    toes: tuple[Point, Point] = ((-15, 1), (15, 1))


def limb(plate: Plate, joints: Sequence[Point], widths: Sequence[float], ink: Ink, *, shade: Ink | None = None) -> None:
    """An arm or a leg, its far side in shade if asked."""
    spine = smooth(joints, closed=False, steps=8)
    plate.shape(ribbon(spine, widths), ink, 0.9)
    if shade is not None:
        off = max(widths) * 0.3
        plate.fill(ribbon([(x + off, y + off * 0.2) for x, y in spine], [w * 0.36 for w in widths]), shade)


def leg(plate: Plate, pose: Pose, side: int, outfit: Outfit) -> None:
    """A leg with its boot."""
    hip, knee, foot, toe = (part[side] for part in (pose.hips, pose.knees, pose.feet, pose.toes))
    limb(plate, (hip, knee, foot), (10, 8.6, 6), outfit.legs, shade=outfit.shade)
    shin = (knee[0] * 0.35 + foot[0] * 0.65, knee[1] * 0.35 + foot[1] * 0.65)
    plate.shape(ribbon([shin, foot], (8, 6.4)), outfit.boots, 0.8)
    heel = (foot[0] - (toe[0] - foot[0]) * 0.35, foot[1] + 1)
    sole = smooth([(heel[0], heel[1] - 4), (foot[0], foot[1] - 4.6), (toe[0], toe[1] - 2.4), (toe[0], toe[1] + 0.6),
                   (heel[0], heel[1] + 0.6)], steps=4)  # fmt: skip
    plate.shape(sole, outfit.boots, 0.8)


def arm(plate: Plate, pose: Pose, side: int, outfit: Outfit) -> None:
    """An arm with its hand as a fist."""
    shoulder, elbow, hand = (part[side] for part in (pose.shoulders, pose.elbows, pose.hands))
    limb(plate, (shoulder, elbow, hand), (7.6, 6.6, 5), outfit.top, shade=outfit.shade)
    plate.disc(hand, (3.4, 3.2), outfit.hands, line=0.8)
    plate.line([(hand[0] - 1.4, hand[1] + 0.6), (hand[0] + 1.6, hand[1] + 0.4)], 0.4)


def body(plate: Plate, pose: Pose, outfit: Outfit) -> Path:
    """The trunk from shoulders to hips; its outline, for belts and badges."""
    (lx, ly), (rx, ry) = pose.shoulders
    (hx, hy), (kx, ky) = pose.hips
    waist = ((hx + lx) / 2 * 0.9 + (kx + rx) / 2 * 0.1, (hy * 2 + ly) / 3)
    waist_right = ((kx + rx) / 2 * 0.9 + (hx + lx) / 2 * 0.1, (ky * 2 + ry) / 3)
    outline = smooth([(lx - 2.6, ly + 1), (lx + 2, ly - 3.4), pose.neck, (rx - 2, ry - 3.4), (rx + 2.6, ry + 1),
                      (rx + 0.6, ry + 9), waist_right, (kx + 4, ky + 2), (hx - 4, hy + 2), waist,
                      (lx - 0.6, ly + 9)], steps=5)  # fmt: skip
    plate.shape(outline, outfit.top, 0.9)
    with plate.clip(outline):
        off = abs(rx - lx) * 0.3
        plate.fill(smooth([(rx - off * 0.2, ry - 6), (rx + 6, ry), (kx + 8, ky + 6), (kx - 1, ky + 6),
                           (waist_right[0] - off * 0.5, waist_right[1])]), outfit.shade)  # fmt: skip
    return outline


def figure(plate: Plate, pose: Pose, outfit: Outfit, *, front_arm: int = 1) -> Path:
    """A whole figure without its head; one arm behind the body, one before it. Gives the trunk's outline."""
    arm(plate, pose, 1 - front_arm, outfit)
    leg(plate, pose, 1 - front_arm, outfit)
    leg(plate, pose, front_arm, outfit)
    outline = body(plate, pose, outfit)
    arm(plate, pose, front_arm, outfit)
    return outline


def head(plate: Plate, at: Point, *, skin: Ink = FLESH, hair: Ink = BLACK, turn: float = 0, size: float = 1) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A small head seen three quarters from the front, looking right; its neck ends at the place."""
    with plate.at(at, size=size, turn=turn):
        plate.shape(ribbon([(0, 2), (0.6, -6)], (6, 5.4)), skin, 0.7)
        face = smooth([(-5.4, -12), (-1, -17), (4.6, -15.6), (6, -11), (6.8, -8.6), (5.8, -6.4), (5, -3.2), (1.6, -1.6),
                       (-2, -3.6), (-4.8, -7)], steps=6)  # fmt: skip
        plate.shape(face, skin, 0.8)
        plate.shape(smooth([(-5.8, -7), (-7, -13), (-3.4, -18.4), (3, -18.6), (6.4, -15.4), (5.4, -13.4), (0, -14),
                            (-2.6, -12.4), (-3.2, -9), (-4.4, -6)]), hair, 0.6)  # fmt: skip
        plate.brush([(0, -11), (2.2, -11.6)], 0.5, 0.9)
        plate.brush([(4.2, -11.6), (5.8, -11)], 0.9, 0.5)
        plate.disc((1.6, -9.8), 0.6, BLACK)
        plate.disc((4.8, -9.7), 0.6, BLACK)
        plate.brush([(4, -9), (5.2, -7.2), (3.8, -6.8)], 0.3, 0.6, 0.2)
        plate.brush([(1.6, -4.7), (4.4, -4.9)], 0.6, 0.3)
        plate.fill(smooth([(-3.6, -6.6), (-1.4, -6), (0.6, -3.2), (-1.6, -3.6)]), ORANGE if skin == FLESH else RUST)


def masked(plate: Plate, at: Point, *, hood: Ink = RED, turn: float = 0, size: float = 1, eyes: Ink = WHITE) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A hooded head with a half mask, looking right; its neck ends at the place."""
    with plate.at(at, size=size, turn=turn):
        plate.shape(ribbon([(0, 2), (0.6, -6)], (7, 6)), hood, 0.7)
        skull = smooth([(-6, -10), (-4.4, -16.6), (1, -18.8), (5.6, -16), (6.6, -10.6), (6, -6), (4.6, -2.6), (0, -2),
                        (-4, -5)])  # fmt: skip
        plate.shape(skull, hood, 0.9)
        plate.shape(smooth([(-1, -7.6), (2, -6.6), (6.4, -7.8), (5.6, -3.6), (3, -1.6), (0, -2.6)]), FLESH, 0.6)
        plate.brush([(1.6, -4.2), (4.6, -4.4)], 0.7, 0.4)
        plate.fill([(-1.2, -9.4), (2.4, -10.4), (2, -8.6), (0, -8.2)], eyes)
        plate.fill([(4, -10.4), (6.6, -9.6), (5.6, -8.2), (4.2, -8.6)], eyes)
        plate.brush(smooth([(-1.8, -10.2), (2.4, -11.6), (3.2, -9.6), (4, -11.4), (6.8, -10.4)], closed=False), 0.4, 1,
                    1, 0.4)  # fmt: skip
        plate.fill(smooth([(-6, -10), (-4.4, -16.6), (-1.6, -17.6), (-3.6, -11), (-2, -5), (-4, -5)]), BLACK)


def hat(plate: Plate, at: Point, *, ink: Ink, band: Ink, size: float = 1, turn: float = 0, brim: float = 12) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A soft hat with a dented crown; the place is the middle of its brim."""
    with plate.at(at, size=size, turn=turn):
        plate.shape(smooth([(-brim, 1), (-brim * 0.5, -1.4), (0, -2), (brim * 0.6, -1.4), (brim * 1.1, 1.4),
                            (brim * 0.5, 2.6), (-brim * 0.5, 2.6)]), ink, 0.8)  # fmt: skip
        plate.shape(smooth([(-7, 0), (-6.4, -7), (-3.4, -9.6), (0, -8), (3.4, -9.8), (6.6, -7), (7.2, 0), (0, 1.2)]),
                    ink, 0.8)  # fmt: skip
        plate.fill([(-7, -0.2), (-6.8, -3.2), (0, -2), (6.9, -3.2), (7.1, -0.2), (0, 1)], band)
        plate.brush([(0, -8), (0.6, -4)], 0.9, 0.2)


def cape(plate: Plate, points: Sequence[Point], ink: Ink, folds: Sequence[tuple[Point, Point]]) -> None:
    """A cape in the wind with its folds."""
    outline = smooth(points, steps=8)
    plate.shape(outline, ink, 1)
    with plate.clip(outline):
        for start, end in folds:
            middle = ((start[0] + end[0]) / 2 + (end[1] - start[1]) * 0.08, (start[1] + end[1]) / 2)
            plate.fill(ribbon(smooth([start, middle, end], closed=False), (0.3, 3, 6)), BLACK)


def eye(plate: Plate, at: Point, size: Point, iris: Ink, *, look: float = 0) -> None:
    """A large open eye with lashes."""
    with plate.at(at):
        wide, high = size
        white = smooth([(-wide, high * 0.2), (-wide * 0.3, -high), (wide * 0.5, -high * 0.8), (wide, high * 0.1),
                        (wide * 0.2, high * 0.8), (-wide * 0.5, high * 0.7)])  # fmt: skip
        plate.shape(white, WHITE, 0.5)
        with plate.clip(white):
            plate.disc((look * wide, -0.1 * high), high * 0.95, iris, line=0.5)
            plate.disc((look * wide, -0.1 * high), high * 0.5, BLACK)
            plate.disc((look * wide + high * 0.35, -high * 0.45), high * 0.24, WHITE)
        plate.brush(smooth([(-wide * 1.1, high * 0.3), (-wide * 0.3, -high * 1.1), (wide * 0.6, -high),
                            (wide * 1.25, -high * 0.3)], closed=False), 0.6, 1.8, 1.6, 0.3)  # fmt: skip
        plate.brush(ellipse((0, 0), (wide, high * 0.8), arc=(40, 150)), 0.2, 0.6, 0.2)
