"""How lettering is inked: plain, with an edge, with a thrown shadow, in two colours, or dripping."""

from collections.abc import Iterator, Sequence

from seeds.covers.curves import Path, Point, box, chance, ellipse, moved
from seeds.covers.inks import BLACK, WHITE, Ink
from seeds.covers.lettering import PLAIN, Face, Lines, small, written
from seeds.covers.plate import Plate


def outlines(letters: Lines) -> Iterator[Path]:
    """Every stroke's outline, letter after letter."""
    for letter in letters:
        yield from letter


def extent(letters: Lines) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a lettering."""
    points = [point for outline in outlines(letters) for point in outline]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def plain(plate: Plate, letters: Lines, ink: Ink = BLACK) -> None:
    """Lettering in one ink."""
    for outline in outlines(letters):
        plate.fill(outline, ink)


def edged(plate: Plate, letters: Lines, ink: Ink, edge: float = 1.0, around: Ink = BLACK) -> None:
    """Lettering with a line of another ink round it."""
    for outline in outlines(letters):
        plate.fill(outline, around)
        plate.line(outline, edge * 2, around, closed=True)
    plain(plate, letters, ink)


def thrown(plate: Plate, letters: Lines, throw: Point, ink: Ink = BLACK, edge: float = 0) -> None:
    """The block that lettering standing out from the page would cast along a direction."""
    steps = max(6, int(max(abs(throw[0]), abs(throw[1])) * 4))
    for outline in outlines(letters):
        for i in range(steps, -1, -1):
            at = moved(outline, throw[0] * i / steps, throw[1] * i / steps)
            plate.fill(at, ink)
            if edge and i in {0, steps}:
                plate.line(at, edge * 2, ink, closed=True)
        if edge:
            for x, y in outline[::3]:
                plate.line([(x, y), (x + throw[0], y + throw[1])], edge * 2, ink)


def raised(plate: Plate, letters: Lines, inks: Sequence[Ink], throw: Point, edge: float = 0.9) -> None:
    """A masthead in the round: face, side and edge inks, thrown along a direction."""
    face, side, around = inks
    thrown(plate, letters, throw, around, edge)
    thrown(plate, letters, throw, side)
    edged(plate, letters, face, edge, around)


def halved(plate: Plate, letters: Lines, ink: Ink, share: float = 0.5, *, slope: float = 0) -> None:
    """The lower part of a lettering in a second ink."""
    left, top, right, bottom = extent(letters)
    cut = top + (bottom - top) * share
    with plate.clip(*outlines(letters)):
        plate.fill([(left, cut), (right, cut - slope), (right, bottom + 1), (left, bottom + 1)], ink)


def barred(plate: Plate, letters: Lines, ink: Ink, *, bars: int = 5, start: float = 0.45) -> None:
    """Level bars of a second ink that thicken towards the foot."""
    left, top, right, bottom = extent(letters)
    with plate.clip(*outlines(letters)):
        for i in range(bars):
            y = top + (bottom - top) * (start + (1 - start) * i / bars)
            thick = (bottom - top) * (1 - start) / bars * (0.25 + 0.6 * i / bars)
            plate.fill(box(left - 1, y, right + 1, y + thick), ink)


def dripping(plate: Plate, letters: Lines, ink: Ink, edge: float, seed: str) -> None:
    """Lettering that runs down in drops."""
    dice = chance(seed)
    drops: list[Path] = []
    for letter in letters:
        points = [point for outline in letter for point in outline]
        foot = max(y for _, y in points)
        high = foot - min(y for _, y in points)
        low = [x for x, y in points if y > foot - high * 0.06]
        for _ in range(dice.choice((1, 2, 2))):
            x, long, wide = dice.uniform(min(low), max(low)), high * dice.uniform(0.1, 0.34), high * 0.035
            drops.append([(x - wide * 1.9, foot - wide), (x - wide * 0.7, foot + long * 0.4), (x - wide, foot + long),
                          (x + wide, foot + long), (x + wide * 0.7, foot + long * 0.4),
                          (x + wide * 1.9, foot - wide)])  # fmt: skip
            drops.append(ellipse((x, foot + long), (wide * 1.25, wide * 1.7)))
    edged(plate, [*letters, drops], ink, edge)


def note(plate: Plate, text: str, place: Point, height: float, *, ink: Ink = BLACK, anchor: float = 0) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A line of small plain capitals."""
    plain(plate, small(text, PLAIN, place, height, anchor=anchor), ink)


def lines(plate: Plate, texts: Sequence[str], place: Point, height: float, *, face: Face, ink: Ink = BLACK) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """Several centred lines under each other."""
    for i, text in enumerate(texts):
        plain(plate, small(text, face, (place[0], place[1] + i * height * 1.6), height, anchor=0.5), ink)


def caption(plate: Plate, texts: Sequence[str], frame: tuple[float, float, float, float], ink: Ink) -> None:
    """A ruled box with lines of lettering, as big as the box allows."""
    left, top, right, bottom = frame
    plate.shape(box(*frame), ink, 0.7)
    height = (bottom - top) / (len(texts) * 1.6 + 0.6)
    widest = max(written(text, PLAIN)[0] for text in texts)
    height = min(height, (right - left - 4) / widest)
    start = (top + bottom) / 2 - (len(texts) * 1.6 - 0.6) * height / 2
    lines(plate, texts, ((left + right) / 2, start), height, face=PLAIN)


def balloon(plate: Plate, texts: Sequence[str], centre: Point, tail: Point, *, height: float = 3.4) -> None:
    """A speech balloon with its tail at the speaker's mouth."""
    wide = max(written(text, PLAIN)[0] for text in texts) * height * 0.5 + height * 1.5
    high = len(texts) * height * 0.8 + height * 0.95
    body = ellipse(centre, (wide, high), power=2.5)
    dx, dy = tail[0] - centre[0], tail[1] - centre[1]
    side = wide * 0.16
    root = (centre[0] + dx * 0.3, centre[1] + (high * 0.8 if dy > 0 else -high * 0.8))
    spike = [(root[0] - side, root[1]), tail, (root[0] + side, root[1])]
    for outline in (body, spike):
        plate.line(outline, 1.3, BLACK, closed=True)
    for outline in (body, spike):
        plate.fill(outline, WHITE)
    top = centre[1] - (len(texts) * 1.6 - 0.6) * height / 2
    lines(plate, texts, (centre[0], top), height, face=PLAIN)
