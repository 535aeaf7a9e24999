"""The mastheads of the series of town, stage, kitchen and cellar."""

from seeds.covers.curves import Path, box, moved, ribbon, smooth, turned
from seeds.covers.furniture import corner_box, date_lines, price_burst, price_disc, seal, strip, words
from seeds.covers.inks import BLACK, RED, WHITE, YELLOW, Ink
from seeds.covers.issues import Issue
from seeds.covers.lettering import (
    BALLOON,
    BRUSH,
    GOTHIC,
    POSTER,
    SPEED,
    TALL,
    Lines,
    arched,
    fitted,
    growing,
    jumping,
    written,
)
from seeds.covers.mastheads import Inks3
from seeds.covers.plate import Plate
from seeds.covers.signs import dripping, edged, halved, plain, raised, thrown


def crimson_semaphore(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """CRIMSON in the round, SEMAPHORE letter by letter on signal flags."""
    face, side, patch = inks
    wide = plate.width
    top = growing("CRIMSON", GOTHIC, (24, 7, wide - 8, 35), (0.78, 1))
    raised(plate, top, (face, side, BLACK), (1.8, 2.4), 1)
    plate.line(smooth([(4, 41), (wide / 2, 39), (wide - 4, 41)], closed=False), 0.9)
    pitch = (wide - 14) / 9
    for i, sign in enumerate("SEMAPHORE"):
        left, y = 7 + i * pitch, 40 + (1 if i % 2 else 0)
        flag = [(left + 0.6, y), (left + pitch - 0.6, y), (left + pitch - 1.2, y + 19), (left + 0.2, y + 20)]
        plate.shape(flag, RED if i % 2 else YELLOW, 0.7)
        if i % 2 == 0:
            plate.fill([flag[0], flag[1], flag[3]], WHITE)
        plate.line(flag, 0.7, closed=True)
        plain(plate, fitted(sign, GOTHIC, (left + 3.6, y + 4, left + pitch - 3.6, y + 16)), BLACK)
    price_burst(plate, issue, (13, 15), 7.4, (patch, BLACK))
    date_lines(plate, issue, (14, 28), 2.6)


def crimson_again(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """The late run: both words leaning into the wind, the box in the corner."""
    face, side, patch = inks
    wide = plate.width
    strip(plate, issue, (0, 0, wide, 8), (patch, WHITE))
    top = growing("CRIMSON", SPEED, (30, 13, wide - 9, 32), (0.9, 1))
    raised(plate, top, (face, side, BLACK), (1.2, 1.8), 0.8)
    low = growing("SEMAPHORE", SPEED, (28, 35, wide - 7, 56), (0.86, 1))
    raised(plate, low, (YELLOW, side, BLACK), (1.2, 1.8), 0.8)
    halved(plate, low, WHITE, 0.3)
    corner_box(plate, issue, (5, 12), (WHITE, BLACK))


def umbrella_for_two(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """A hand-written title sheltered by its own umbrella stroke."""
    face, side, patch = inks
    wide = plate.width
    golden = issue.cover_date < "1956"
    left = 8 if golden else 30
    top = fitted("Umbrella", BRUSH, (left, 12, wide - 22, 37))
    thrown(plate, top, (1.2, 1.6), side, 0.6)
    edged(plate, top, face, 0.8, side)
    low = fitted("for Two", BRUSH, (wide * 0.42, 38, wide - 12, 56))
    thrown(plate, low, (1.2, 1.6), side, 0.6)
    edged(plate, low, face, 0.8, side)
    plate.brush(smooth([(left + 2, 41), (wide * 0.3, 39), (wide * 0.41, 40)], closed=False), 0.3, 2.2, 0.4, ink=face)
    if golden:
        price_disc(plate, issue, (16, 52), 7.6, (patch, BLACK))
        date_lines(plate, issue, (36, 46), 3)
    else:
        corner_box(plate, issue, (6, 8), (patch, BLACK))


def stepped(text: str, frame: tuple[float, float, float, float], drop: float) -> Lines:
    """Letters that go down one step each."""
    left, top, right, bottom = frame
    length, letters = written(text, POSTER)
    scale = (right - left) / length
    return [
        [[(left + x * scale, top + y * (bottom - top) + i * drop) for x, y in outline] for outline in letter]
        for i, letter in enumerate(letters)
    ]


def unlit_stair(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """UNLIT across, STAIR going down step by step."""
    face, side, patch = inks
    wide = plate.width
    raised(plate, fitted("THE", GOTHIC, (8, 8, 28, 17)), (face, side, BLACK), (0.8, 1), 0.7)
    top = fitted("UNLIT", POSTER, (32, 7, wide - 22, 31))
    raised(plate, top, (face, side, BLACK), (1.6, 2), 0.9)
    low = stepped("STAIR", (wide * 0.36, 35, wide - 9, 53), 3)
    raised(plate, low, (face, side, BLACK), (1.6, 2), 0.9)
    halved(plate, top, patch, 0.6)
    price_disc(plate, issue, (15, 32), 8, (patch, BLACK))
    date_lines(plate, issue, (15, 44), 3)
    seal(plate, issue.publisher, (wide - 11, 13), 6.8, (face, BLACK))


def stair_again(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """The late run, running down in drops."""
    face, _, patch = inks
    wide = plate.width
    corner_box(plate, issue, (6, 6), (WHITE, BLACK))
    edged(plate, fitted("THE", GOTHIC, (30, 6, 48, 13)), WHITE, 0.7)
    dripping(plate, arched("UNLIT STAIR", POSTER, (30, 17, wide - 8, 42), (3, -3)), face, 1.0, "drops")
    words(plate, "TALES FOR THE LAST ONE UP TO BED", ((wide + 24) / 2, 8.2), 3.2, face=TALL, ink=patch)


def dumpling_and_tack(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """Fat hopping letters and a small Tack."""
    face, side, patch = inks
    wide = plate.width
    golden = issue.cover_date < "1956"
    left = 8 if golden else 28
    top = jumping("DUMPLING", BALLOON, (left, 13, wide - 9, 40), 3.4)
    raised(plate, top, (face, side, BLACK), (1.2, 2), 1)
    low = jumping("& Tack", BALLOON, (wide * 0.44, 44, wide - 14, 61), 1.6)
    raised(plate, low, (patch, side, BLACK), (1, 1.6), 0.9)
    if golden:
        price_burst(plate, issue, (17, 55), 8, (YELLOW, BLACK))
        date_lines(plate, issue, (39, 50), 3.2)
    else:
        corner_box(plate, issue, (5, 6), (WHITE, BLACK))


def raincoat_squad(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """RAINCOAT as a headline, SQUAD like a torn strip of newspaper."""
    face, side, patch = inks
    wide = plate.width
    top = fitted("RAINCOAT", GOTHIC, (7, 10, wide - 8, 38))
    raised(plate, top, (face, side, BLACK), (1.4, 2.2), 0.9)
    torn: Path = [(wide * 0.4, 44), (wide - 8, 41), (wide - 10, 46), (wide - 7, 52), (wide - 9, 61), (wide * 0.41, 63),
                  (wide * 0.39, 57), (wide * 0.415, 52)]  # fmt: skip
    plate.fill(moved(torn, 1.4, 1.8), BLACK)
    plate.shape(torn, WHITE, 0.7)
    word = fitted("SQUAD", POSTER, (wide * 0.45, 46.6, wide - 15, 58.4))
    plain(plate, [[turned(o, -1.6, (wide * 0.7, 52)) for o in letter] for letter in word], patch)
    price_disc(plate, issue, (16, 52), 8.4, (YELLOW, BLACK))
    date_lines(plate, issue, (42, 47), 3.4)


def jukebox_hettie(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """JUKEBOX as a sign, Hettie in handwriting across it."""
    face, side, patch = inks
    wide = plate.width
    top = jumping("JUKEBOX", GOTHIC, (28, 8, wide - 8, 29), 1.4)
    raised(plate, top, (face, side, BLACK), (1, 1.6), 0.8)
    low = fitted("Hettie", BRUSH, (wide * 0.34, 25, wide - 12, 54))
    thrown(plate, low, (1, 1.4), BLACK, 0.7)
    edged(plate, low, patch, 0.9)
    corner_box(plate, issue, (5, 7), (WHITE, BLACK))


def gearbox_garrity(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """GEARBOX small and fast, GARRITY bursting out to the right with speed lines."""
    face, side, patch = inks
    wide = plate.width
    for i in range(9):
        y = 31 + i * 2.7
        plate.fill(ribbon([(26, y), (70 + 9 * (i % 4), y)], (0.2, 1.6)), patch)
    raised(plate, growing("GEARBOX", SPEED, (31, 8, wide - 26, 24), (0.9, 1)), (WHITE, side, BLACK), (-1.2, 1.4), 0.8)
    low = growing("GARRITY", SPEED, (28, 24, wide - 13, 56), (0.66, 1))
    raised(plate, low, (face, side, BLACK), (-1.8, 2), 0.9)
    halved(plate, low, YELLOW, 0.45)
    corner_box(plate, issue, (5, 7), (WHITE, BLACK))


def foot_band(plate: Plate, text: str, inks: tuple[Ink, Ink]) -> None:
    """A flat band of words at the foot of the cover."""
    top = plate.height - 12
    plate.fill(box(-2, top, plate.width + 2, plate.height + 2), inks[0])
    plate.line([(-2, top), (plate.width + 2, top)], 0.8)
    words(plate, text, (plate.width / 2, top + 3.6), 4.4, face=TALL, ink=inks[1])
