"""What stands behind a story: rays, stars, moons, clouds, rain, seas, hills, towns and trees."""

import math
from collections.abc import Sequence

from seeds.covers.curves import Point, box, chance, ellipse, polar, ribbon, ridge, rounded, smooth, star, waves
from seeds.covers.inks import BLACK, CREAM, WHITE, YELLOW, Ink
from seeds.covers.plate import Plate

Frame = tuple[float, float, float, float]


def rays(plate: Plate, centre: Point, ink: Ink, *, count: int = 16, turn: float = 0, share: float = 0.5) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """Beams from a centre to beyond the edges."""
    step = 360 / count
    for i in range(count):
        start = turn + i * step
        plate.fill([centre, polar(centre, 420, start), polar(centre, 420, start + step * share)], ink)


def stars(plate: Plate, frame: Frame, count: int, *, seed: str, ink: Ink = WHITE) -> None:
    """Small stars, a few of them with four points."""
    dice = chance(seed)
    for i in range(count):
        at = dice.uniform(frame[0], frame[2]), dice.uniform(frame[1], frame[3])
        if i % 6:
            plate.disc(at, dice.choice((0.3, 0.4, 0.6)), ink)
        else:
            plate.fill(star(at, dice.uniform(1.8, 3), 0.45, points=4), ink)


def moon(plate: Plate, centre: Point, radius: float, inks: tuple[Ink, Ink], *, seed: str = "moon") -> None:
    """A full moon with its seas."""
    plate.disc(centre, radius, inks[0])
    dice = chance(seed)
    with plate.clip(ellipse(centre, radius)):
        for _ in range(9):
            at = polar(centre, radius * dice.uniform(0.1, 0.95), dice.uniform(0, 360))
            size = radius * dice.uniform(0.06, 0.22)
            plate.disc(at, (size, size * dice.uniform(0.7, 1)), inks[1])


def cloud(plate: Plate, centre: Point, size: Point, ink: Ink, *, seed: str, line: float = 0) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A heaped cloud with a flat foot."""
    dice = chance(seed)
    (x, y), (wide, high) = centre, size
    balls: list[tuple[Point, float]] = []
    for i in range(6):
        share = (i + 0.5) / 6
        rise = math.sin(math.pi * share)
        radius = high * (0.42 + 0.4 * rise) * dice.uniform(0.85, 1.15)
        balls.append(((x + wide * (share * 2 - 1) * 0.86, y - radius * 0.72 - high * 0.2 * rise), radius))
    base = rounded(x - wide, y - high * 0.5, x + wide, y, radius=high * 0.25)
    if line:
        plate.line(base, line * 2, closed=True)
        for at, radius in balls:
            plate.disc(at, radius + line, BLACK)
    plate.fill(base, ink)
    for at, radius in balls:
        plate.disc(at, radius, ink)


def puffs(plate: Plate, spine: Sequence[Point], sizes: tuple[float, float], inks: tuple[Ink, Ink], seed: str) -> None:
    """Smoke along a line, its balls growing from the first size to the last, each with a lit side."""
    dice = chance(seed)
    balls = [
        (
            (x + dice.uniform(-0.3, 0.3) * size, y + dice.uniform(-0.3, 0.3) * size),
            size * dice.uniform(0.8, 1.15),
        )
        for i, (x, y) in enumerate(spine)
        for size in (sizes[0] + (sizes[1] - sizes[0]) * i / max(1, len(spine) - 1),)
    ]
    for at, radius in balls:
        plate.disc(at, radius + 0.9, BLACK)
    for at, radius in balls:
        plate.disc(at, radius, inks[1])
    for (x, y), radius in balls:
        plate.disc((x - radius * 0.16, y - radius * 0.2), radius * 0.76, inks[0])


def rain(plate: Plate, frame: Frame, count: int, *, seed: str, lean: float = 0.25, ink: Ink = WHITE) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """Slanting rain, each drop a thin wedge."""
    dice = chance(seed)
    for _ in range(count):
        x, y = dice.uniform(frame[0], frame[2]), dice.uniform(frame[1], frame[3])
        long = dice.uniform(7, 16)
        plate.brush([(x, y), (x - lean * long, y + long)], 0.1, 0.55, ink=ink)


def bolt(plate: Plate, points: Sequence[Point], width: float, ink: Ink = YELLOW) -> None:
    """Lightning: a broken wedge with a black edge, ending in a point."""
    last = len(points) - 1
    back = [(x + width * (1 - i / last), y + width * 0.3 * (1 - i / last)) for i, (x, y) in enumerate(points)]
    plate.shape([*points, *reversed(back[:-1])], ink, 0.8)


def sea(plate: Plate, top: float, inks: Sequence[Ink], *, step: float = 14, height: float = 7, seed: str) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """Rows of peaked waves, one ink after another, each with a white crest."""
    dice = chance(seed)
    for i, ink in enumerate(inks):
        grown = 1 + i * 0.45
        start = (-dice.uniform(5, 30), top + i * step * (1 + i * 0.1))
        crest = waves(start, plate.width + 60, height * grown, count=max(3, int(8 / grown)))
        body = [*crest, (plate.width + 60, plate.height + 5), (-40, plate.height + 5)]
        plate.fill(body, ink)
        plate.line(crest, 0.7 + 0.1 * i)
        foam = [(x + 2, y + 1.8 + 0.5 * i) for x, y in crest]
        for j in range(0, len(foam) - 8, 14):
            plate.brush(foam[j + 9 : j + 20], 0.1, 1.2 + 0.3 * i, 0.1, ink=WHITE)


def hills(plate: Plate, left: Point, right: Point, ink: Ink, *, rough: float, seed: str, line: float = 0) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A broken skyline filled down to the foot of the cover."""
    crest = ridge(left, right, rough=rough, seed=seed)
    plate.fill([*crest, (right[0], plate.height + 5), (left[0], plate.height + 5)], ink)
    if line:
        plate.line(crest, line)


def peak(plate: Plate, top: Point, foot: float, width: float, inks: tuple[Ink, Ink, Ink], *, seed: str) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A mountain with a lit side, a dark side and snow: inks for rock, shadow and snow."""
    dice = chance(seed)
    left, right = (top[0] - width * 0.55, foot), (top[0] + width * 0.45, foot)
    spine = [top]
    for i in range(1, 6):
        lean = dice.uniform(-0.05, 0.07) * width
        spine.append((top[0] + lean, top[1] + (foot - top[1]) * i / 5))
    plate.fill([top, right, left], inks[0])
    plate.fill([*spine, right], inks[1])
    depth = (foot - top[1]) * 0.3
    jag = [(top[0] - width * 0.165, top[1] + depth)]
    for i in range(1, 6):
        x = jag[0][0] + width * 0.3 * i / 6
        jag.append((x, top[1] + depth * (0.65 if i % 2 else 1.15)))
    jag.append((top[0] + width * 0.135, top[1] + depth))
    plate.fill([top, *reversed(jag)], inks[2])
    plate.line([left, top, right], 0.8)


def town(  # noqa: PLR0913 - a drawing has many knobs
    plate: Plate, foot: float, frame: tuple[float, float], inks: tuple[Ink, Ink], *, seed: str, high: Point
) -> None:
    """A row of tall houses with lit windows: inks for wall and window, heights between two figures."""
    dice = chance(seed)
    x = frame[0]
    while x < frame[1]:
        wide, tall = dice.uniform(11, 22), dice.uniform(*high)
        top = foot - tall
        plate.fill(box(x, top, x + wide, plate.height + 5), inks[0])
        if dice.random() < 0.45:  # noqa: PLR2004 - nearly half of the roofs carry something
            plate.fill(box(x + wide * 0.3, top - 5, x + wide * 0.62, top), inks[0])
            plate.line([(x + wide * 0.45, top - 5), (x + wide * 0.45, top - 13)], 0.6, inks[0])
        columns = int(wide // 4)
        for row in range(int(tall // 6)):
            for column in range(columns):
                if dice.random() < 0.36:  # noqa: PLR2004 - about a third of the rooms are lit
                    left = x + 1.6 + column * (wide - 2) / columns
                    plate.fill(box(left, top + 3 + row * 6, left + 1.9, top + 6.2 + row * 6), inks[1])
        x += wide


def bricks(plate: Plate, frame: Frame, size: Point, inks: tuple[Ink, Ink], *, seed: str, share: float = 0.35) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A wall on which only some bricks are drawn, as an artist in a hurry does."""
    dice = chance(seed)
    plate.fill(box(*frame), inks[0])
    row = 0
    y = frame[1]
    while y < frame[3]:
        x = frame[0] - (size[0] / 2 if row % 2 else 0)
        while x < frame[2]:
            if dice.random() < share:
                plate.fill(box(x + 0.4, y + 0.4, x + size[0] - 0.4, y + size[1] - 0.4), inks[1])
            x += size[0]
        y += size[1]
        row += 1


def fir(plate: Plate, foot: Point, high: float, ink: Ink, *, snow: bool = False) -> None:
    """A fir tree in tiers."""
    x, y = foot
    for i in range(4):
        top, wide = y - high + high * 0.2 * i, high * (0.14 + 0.075 * i)
        low = top + high * 0.4
        tier = [(x, top), (x + wide, low), (x + wide * 0.5, low - high * 0.04), (x, low + high * 0.01),
                (x - wide * 0.5, low - high * 0.04), (x - wide, low)]  # fmt: skip
        plate.shape(tier, ink, 0.5)
        if snow:
            plate.fill([(x, top + 0.5), (x + wide * 0.42, top + high * 0.17), (x, top + high * 0.13),
                        (x - wide * 0.42, top + high * 0.17)], CREAM)  # fmt: skip


def frond(plate: Plate, root: Point, tip: Point, bow: float, ink: Ink, *, leaves: int = 11, line: float = 0.5) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A palm or fern leaf: a bowed rib with leaflets that hang from it."""
    (x0, y0), (x1, y1) = root, tip
    nx, ny = -(y1 - y0), x1 - x0
    middle = ((x0 + x1) / 2 + nx * bow, (y0 + y1) / 2 + ny * bow)
    rib = smooth([root, middle, tip], closed=False, steps=leaves)
    long = math.dist(root, tip) * 0.3
    for i in range(2, len(rib) - 1, 2):
        (x, y), (ax, ay) = rib[i], rib[i + 1]
        angle = math.degrees(math.atan2(ay - y, ax - x))
        size = long * (1 - abs(i / len(rib) - 0.45) * 1.1)
        for side in (-52, 52):
            end = polar((x, y), size, angle + side)
            mid = polar((x, y), size * 0.55, angle + side * 0.55)
            leaf = ribbon(smooth([(x, y), mid, end], closed=False, steps=4), (0.6, size * 0.24, 0.1))
            plate.shape(leaf, ink, line)
    plate.brush(rib, 1.4, 0.5)


def tuft(plate: Plate, foot: Point, high: float, ink: Ink = BLACK, *, seed: str, blades: int = 7) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A tuft of grass."""
    dice = chance(seed)
    for i in range(blades):
        lean = (i - blades / 2) * high * 0.16 + dice.uniform(-0.5, 0.5)
        tip = (foot[0] + lean, foot[1] - high * dice.uniform(0.6, 1))
        plate.brush([(foot[0] + lean * 0.3, foot[1]), ((foot[0] * 2 + lean) / 2, foot[1] - high * 0.5), tip],
                    high * 0.1, high * 0.07, 0.05, ink=ink)  # fmt: skip


def feather(  # noqa: PLR0913 - a drawing has many knobs
    plate: Plate, start: Point, end: Point, long: float, *, angle: float, count: int, width: float = 0.9
) -> None:
    """Brush hatching between two points: strokes that thin away along an angle."""
    for i in range(count):
        share = (i + 0.5) / count
        root = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
        size = long * (0.75 + 0.25 * math.sin(i * 2.3))
        plate.brush([root, polar(root, size, angle)], width, 0.05)
