"""Back covers: puzzles and notices of the invented publishers, one design by turns for every issue."""

from seeds.covers.curves import Path, Point, box, chance, ellipse, polar, ribbon, rounded, smooth, star
from seeds.covers.furniture import banner, seal, words
from seeds.covers.inks import BLACK, BLUE, CREAM, CYAN, GOLD, GREEN, ORANGE, PINK, RED, SKY, TEAL, WHITE, YELLOW, Ink
from seeds.covers.issues import ISSUES, Issue
from seeds.covers.lettering import GOTHIC, PLAIN, TALL, WESTERN, fitted
from seeds.covers.mazes import maze_walls
from seeds.covers.plate import Plate
from seeds.covers.signs import edged, plain, raised

_PAIRS: dict[str, tuple[Ink, Ink]] = {
    "Slate Heron Publishing": (TEAL, YELLOW),
    "Thistlegate Features": (BLUE, ORANGE),
    "Brindle & Oake": (RED, CREAM),
    "Nettleby Magazines": (PINK, RED),
    "Marlpit Picture Press": (GREEN, YELLOW),
    "Kettle Row Group": (CYAN, YELLOW),
}


def back(plate: Plate, issue: Issue) -> None:
    """The back cover of an issue."""
    designs = (_maze, _dots, _next_month, _mask, _wrong_things, _squares)
    designs[list(ISSUES).index(issue.key) % len(designs)](plate, issue)
    plate.fill(rounded(plate.width * 0.2, plate.height - 9.6, plate.width * 0.8, plate.height - 3, radius=2), WHITE)
    words(plate, f"{issue.series}  No. {issue.number}  {issue.publisher}".upper(), (plate.width / 2, plate.height - 7.4),
          2.4, face=PLAIN)  # fmt: skip


def _page(plate: Plate, issue: Issue, title: str) -> tuple[Ink, Ink]:
    ground, mark = _PAIRS[issue.publisher]
    plate.ground(ground)
    plate.shape(rounded(8, 34, plate.width - 8, plate.height - 12, radius=4), WHITE, 1)
    letters = fitted(title, GOTHIC, (12, 12, plate.width - 34, 25))
    raised(plate, letters, (mark, BLACK, BLACK), (0.8, 1.2), 0.7)
    seal(plate, issue.publisher, (plate.width - 19, 18), 9, (WHITE, BLACK))
    return ground, mark


def _maze(plate: Plate, issue: Issue) -> None:
    """A maze from the boat to the lamp."""
    _, mark = _page(plate, issue, "ROW TO THE LAMP")
    columns, rows = 15, 19
    left, top, pitch = 17.0, 48.0, (plate.width - 34) / columns
    for start, end in maze_walls(columns, rows, issue.key):
        a = (left + start[0] * pitch, top + start[1] * pitch)
        b = (left + end[0] * pitch, top + end[1] * pitch)
        plate.line([a, b], 1.1)
    plate.shape(smooth([(18, 41), (30, 41), (27, 46), (21, 46)]), mark, 0.8)
    plate.line([(24, 41), (24, 36)], 0.7)
    foot = top + rows * pitch
    plate.shape([(plate.width - 30, foot + 1), (plate.width - 22, foot + 1), (plate.width - 24, foot - 4),
                 (plate.width - 28, foot - 4)], RED, 0.8)  # fmt: skip
    plate.fill(star((plate.width - 26, foot + 6), 6, 2.6, points=8), YELLOW)
    plate.line(star((plate.width - 26, foot + 6), 6, 2.6, points=8), 0.6, closed=True)


_BOAT = ((36, 176), (52, 197), (76, 206), (108, 206), (134, 196), (150, 175), (98, 178), (98, 166), (142, 160), (134, 134),
         (118, 106), (98, 84), (92, 74), (90, 120), (90, 166), (56, 158), (66, 124), (84, 92), (86, 178))  # fmt: skip


def _dots(plate: Plate, issue: Issue) -> None:
    """Dots to be joined by number; the first few are."""
    _, mark = _page(plate, issue, "JOIN THE DOTS")
    wide = plate.width / 184
    spots: list[Point] = [(x * wide, y) for x, y in _BOAT]
    plate.line(spots[:5], 1.2, mark)
    for i, (x, y) in enumerate(spots):
        plate.disc((x, y), 1.2, BLACK)
        words(plate, str(i + 1), (x + (4 if i % 2 else -4), y - 4.5), 3, face=PLAIN)
    for i in range(4):
        crest = [(16 + (plate.width - 32) * k / 40, 212 + i * 8 + (1.6 if k % 4 < 2 else -0.6)) for k in range(41)]  # noqa: PLR2004 - two up, two down
        plate.line(smooth(crest, closed=False, steps=3), 0.8, BLUE)
    words(plate, "WHAT DOES HE SEE FROM THE PIER?", (plate.width / 2, 42), 4.4, face=TALL)


def _next_month(plate: Plate, issue: Issue) -> None:
    """What the publisher promises for the month after."""
    ground, mark = _PAIRS[issue.publisher]
    plate.ground(mark)
    for i in range(20):
        plate.fill([(plate.width / 2, 120), polar((plate.width / 2, 120), 300, i * 18),
                    polar((plate.width / 2, 120), 300, i * 18 + 9)], ground)  # fmt: skip
    plate.shape(star((plate.width / 2, 120), 76, 60, points=18), WHITE, 1.2)
    seal(plate, issue.publisher, (plate.width / 2, 104), 32, (WHITE, BLACK))
    words(plate, issue.publisher.upper(), (plate.width / 2, 143), 5.6, face=GOTHIC)
    edged(plate, fitted("NEXT MONTH", WESTERN, (18, 16, plate.width - 18, 36)), WHITE, 1)
    titles = list(dict.fromkeys(each.series for each in ISSUES.values() if each.publisher == issue.publisher))
    for i, title in enumerate(titles[:3]):
        top = 204 + i * 15.0
        banner(plate, title.upper(), (28, top, plate.width - 28, top + 11), (BLACK, YELLOW))


def _mask(plate: Plate, issue: Issue) -> None:
    """A mask to cut out along the dashes."""
    _, mark = _page(plate, issue, "CUT OUT AND CALL")
    middle, y = plate.width / 2, 118.0
    half = [(0, -44), (30, -50), (58, -34), (64, -4), (54, 26), (30, 40), (12, 30), (0, 18)]
    outline = smooth(
        [(middle + x, y + dy) for x, dy in half] + [(middle - x, y + dy) for x, dy in reversed(half[1:-1])]
    )
    plate.shape(outline, mark, 1.2)
    around = smooth([(middle + x * 1.09, y + dy * 1.09) for x, dy in half]
                    + [(middle - x * 1.09, y + dy * 1.09) for x, dy in reversed(half[1:-1])])  # fmt: skip
    for i in range(0, len(around) - 2, 4):
        plate.line(around[i : i + 3], 0.6)
    for side in (-1, 1):
        eye = smooth([(middle + side * 12, y + 2), (middle + side * 26, y - 10), (middle + side * 44, y - 4),
                      (middle + side * 28, y + 8)])  # fmt: skip
        plate.shape(eye, WHITE, 1)
        plate.brush(smooth([(middle + side * 8, y - 10), (middle + side * 26, y - 22), (middle + side * 50, y - 16)],
                           closed=False), 1, 4, 1)  # fmt: skip
        plate.disc((middle + side * 62, y - 4), 1.4, WHITE, line=0.7)
        for k in range(3):
            plate.line([(middle + side * (20 + k * 8), y + 18), (middle + side * (24 + k * 10), y + 26)], 0.8)
    for i, text in enumerate(("1. ASK WHOSE SCISSORS THEY ARE.", "2. CUT ALONG THE DASHES.", "3. THREAD A STRING.",
                              "4. TELL NOBODY.")):  # fmt: skip
        words(plate, text, (middle, 182 + i * 11.0), 4.6, face=TALL)


def _scene(plate: Plate, top: float, *, odd: bool) -> None:
    left, right = 16.0, plate.width - 16
    with plate.clip(box(left, top, right, top + 88)):
        plate.fill(box(left, top, right, top + 88), SKY)
        plate.disc((left + 26, top + 22), 11, YELLOW, line=0.8)
        plate.fill(ellipse((plate.width / 2, top + 104), (110, 44)), GREEN)
        plate.line(ellipse((plate.width / 2, top + 104), (110, 44)), 0.8)
        plate.shape(box(66, top + 36, 112, top + 70), CREAM, 1)
        plate.shape([(60, top + 37), (89, top + 14), (118, top + 37)], RED, 1)
        plate.shape(box(84, top + 50, 95, top + 70), ORANGE if odd else BLUE, 0.8)
        for x in (74, 104):
            plate.shape(box(x - 4, top + 44, x + 4, top + 53), YELLOW, 0.7)
        if not odd:
            plate.shape(box(101, top + 14, 107, top + 27), RED, 0.8)
        for i in range(3 if odd else 4):
            plate.line([(128 + i * 8, top + 76), (128 + i * 8, top + 60)], 1.4)
        plate.line([(124, top + 66), (158, top + 66)], 1.2)
        plate.shape(ellipse((36, top + 62), (10, 16)), GREEN, 0.9)
        plate.line([(36, top + 78), (36, top + 66)], 2)
        bird: Path = smooth([(140, top + 20), (146, top + 17), (150, top + 22), (154, top + 17), (160, top + 20)],
                            closed=False)  # fmt: skip
        plate.brush(bird if odd else [(x, y + 8) for x, y in bird], 0.4, 1.4, 1.6, 1.4, 0.4)
    plate.line(box(left, top, right, top + 88), 1.1, closed=True)


def _wrong_things(plate: Plate, issue: Issue) -> None:
    """Two pictures that ought to be the same."""
    _page(plate, issue, "FOUR THINGS MOVED")
    _scene(plate, 42, odd=False)
    _scene(plate, 140, odd=True)


def _squares(plate: Plate, issue: Issue) -> None:
    """A word square with its black fields."""
    _, mark = _page(plate, issue, "WORD SQUARE")
    dice = chance(issue.key + " squares")
    cells = 11
    pitch = (plate.width - 40) / cells
    number = 1
    black = {(row, column) for row in range(cells) for column in range(cells) if dice.random() < 0.14}  # noqa: PLR2004 - one in seven
    black |= {(cells - 1 - row, cells - 1 - column) for row, column in black}
    for row in range(cells):
        for column in range(cells):
            x, y = 20 + column * pitch, 44 + row * pitch
            plate.shape(box(x, y, x + pitch, y + pitch), BLACK if (row, column) in black else WHITE, 0.6)
            begins = column == 0 or (row, column - 1) in black or row == 0 or (row - 1, column) in black
            if (row, column) not in black and begins:
                plain(plate, fitted(str(number), PLAIN, (x + 1, y + 1, x + 1 + 1.4 * len(str(number)), y + 3.2)))
                number += 1
    foot = 44 + cells * pitch + 9
    for i in range(6):
        y = foot + i * 5.0
        for x, long in ((20, 62), (plate.width / 2 + 4, 60)):
            plate.line([(x, y), (x + long - (i * 17) % 23, y)], 1.3, BLACK if i % 3 else GOLD)
    plate.fill(ribbon([(20, foot - 4.5), (plate.width - 20, foot - 4.5)], (1.4, 1.4)), mark)
