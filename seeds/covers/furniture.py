"""What every cover carries: price, number, month, the publisher's seal, banners and ribbons."""

from collections.abc import Callable, Mapping

from seeds.covers.curves import Path, Point, box, ellipse, rounded, smooth, star
from seeds.covers.inks import BLACK, WHITE, Ink
from seeds.covers.issues import Issue
from seeds.covers.lettering import GOTHIC, PLAIN, TALL, Face, small, written
from seeds.covers.plate import Plate
from seeds.covers.signs import note, plain

_MONTHS = ("JAN.", "FEB.", "MARCH", "APRIL", "MAY", "JUNE", "JULY", "AUG.", "SEPT.", "OCT.", "NOV.", "DEC.")


def month(issue: Issue) -> str:
    """The month as covers print it."""
    return _MONTHS[int(issue.cover_date[5:7]) - 1]


def words(plate: Plate, text: str, place: Point, height: float, *, face: Face = GOTHIC, ink: Ink = BLACK) -> None:  # noqa: PLR0913 - a drawing has many knobs
    """A centred word or two."""
    plain(plate, small(text, face, place, height, anchor=0.5), ink)


def price_disc(plate: Plate, issue: Issue, centre: Point, radius: float, inks: tuple[Ink, Ink]) -> None:
    """The price in a round patch."""
    plate.disc(centre, radius, inks[0], line=0.8)
    words(plate, issue.price_printed, (centre[0], centre[1] - radius * 0.42), radius * 0.84, ink=inks[1])


def price_burst(plate: Plate, issue: Issue, centre: Point, radius: float, inks: tuple[Ink, Ink]) -> None:
    """The price in a star patch."""
    plate.shape(star(centre, radius * 1.32, radius * 1.05, points=14), inks[0], 0.7)
    words(plate, issue.price_printed, (centre[0], centre[1] - radius * 0.4), radius * 0.8, ink=inks[1])


def date_lines(plate: Plate, issue: Issue, place: Point, height: float) -> None:
    """Number over month on a small black tag, centred."""
    number = f"NO. {issue.number}"
    wide = max(written(text, PLAIN)[0] for text in (number, month(issue))) * height / 2 + height * 0.7
    x, y = place
    plate.fill(rounded(x - wide, y - height * 0.7, x + wide, y + height * 3.2, radius=height * 0.6), BLACK)
    words(plate, number, (x, y), height, face=PLAIN, ink=WHITE)
    words(plate, month(issue), (x, y + height * 1.5), height, face=PLAIN, ink=WHITE)


def strip(plate: Plate, issue: Issue, frame: tuple[float, float, float, float], inks: tuple[Ink, Ink]) -> None:
    """A band along the top with month, number, publisher and price."""
    left, top, right, bottom = frame
    plate.fill(box(*frame), inks[0])
    high = (bottom - top) * 0.44
    y = top + (bottom - top) * 0.28
    note(plate, f"{month(issue)}   NO. {issue.number}", (left + 4, y), high, ink=inks[1])
    note(plate, issue.publisher.upper(), ((left + right) / 2, y), high, ink=inks[1], anchor=0.5)
    note(plate, issue.price_printed, (right - 4, y - high * 0.2), high * 1.4, ink=inks[1], anchor=1)


def corner_box(plate: Plate, issue: Issue, place: Point, inks: tuple[Ink, Ink]) -> None:
    """The upright box of later years: seal, price, number, month."""
    x, y = place
    plate.shape(box(x, y, x + 19, y + 34), inks[0], 0.7)
    seal(plate, issue.publisher, (x + 9.5, y + 8.6), 6.8, inks)
    words(plate, issue.price_printed, (x + 9.5, y + 17.4), 5.4, ink=inks[1])
    words(plate, f"{issue.number}", (x + 9.5, y + 24.4), 3.6, face=GOTHIC, ink=inks[1])
    words(plate, month(issue), (x + 9.5, y + 29.4), 2.7, face=PLAIN, ink=inks[1])


def banner(plate: Plate, text: str, frame: tuple[float, float, float, float], inks: tuple[Ink, Ink]) -> None:
    """A ribbon with swallow tails and a line of words."""
    left, top, right, bottom = frame
    middle, tail = (top + bottom) / 2, (bottom - top) * 0.55
    for side, x in ((-1, left), (1, right)):
        ends = [(x - side * 3, top + 2), (x + side * tail * 1.6, top + 2), (x + side * tail * 0.9, middle + 2),
                (x + side * tail * 1.6, bottom + 2), (x - side * 3, bottom + 2)]  # fmt: skip
        plate.shape(ends, inks[0], 0.7)
    plate.shape(box(*frame), inks[0], 0.7)
    high = min((bottom - top) * 0.5, (right - left) * 0.92 / (len(text) * 0.62))
    letters = small(text, TALL, ((left + right) / 2, middle - high / 2), high, anchor=0.5)
    plain(plate, letters, inks[1])


def _heron(plate: Plate, ink: Ink, ground: Ink) -> None:
    plate.brush(smooth([(-1, 8), (-0.5, 2), (-3, -1), (1.5, -4), (1, -7), (3, -8)], closed=False), 0.5, 1.6, 4.6, 1.4, 1,
                ink=ink)  # fmt: skip
    plate.fill([(2.6, -8.8), (8, -7.4), (2.6, -7.2)], ink)
    plate.fill([(-3, -2), (-8, 3), (-1.5, 2.5)], ink)
    plate.disc((3, -8.1), 0.35, ground)
    plate.line([(1, 3), (1.2, 8)], 0.5, ink)


def _thistle(plate: Plate, ink: Ink, ground: Ink) -> None:
    plate.disc((0, 0.5), (3.4, 3), ink)
    for i in range(-3, 4):
        plate.brush([(i * 0.7, -1), (i * 1.5, -7.5 + abs(i) * 0.7)], 1.3, 0.4, ink=ink)
    plate.brush([(0, 2), (0.3, 8.5)], 1.3, 0.9, ink=ink)
    for side in (-1, 1):
        plate.fill([(0, 7), (side * 5.4, 2.6), (side * 4, 6), (side * 2, 7.6)], ink)
    plate.line([(-2.6, 0.3), (2.6, 0.3)], 0.5, ground)


def _acorn(plate: Plate, ink: Ink, ground: Ink) -> None:
    plate.fill(smooth([(-4.4, -1), (4.4, -1), (3, 5), (0, 8.5), (-3, 5)]), ink)
    plate.fill(ellipse((0, -2.4), (5.6, 4), arc=(180, 360)), ink)
    plate.fill(box(-5.6, -2.6, 5.6, -1.3), ink)
    plate.line([(-5, -0.9), (5, -0.9)], 0.6, ground)
    plate.line([(0, -6), (1.2, -9)], 1.3, ink)


def _nettle(plate: Plate, ink: Ink, ground: Ink) -> None:
    leaf: Path = []
    for i in range(8):
        share = i / 7
        wide = 5.4 * (1 - share) * min(1, share * 3 + 0.55)
        leaf += [(wide, 4 - share * 12), (wide * 0.74, 4 - share * 12 - 0.9)]
    plate.fill([(0, 6), *leaf, *[(-x, y) for x, y in reversed(leaf)]], ink)
    plate.line([(0, 8.6), (0, -6)], 0.6, ground)
    plate.line([(0, 5), (0, 8.8)], 1.0, ink)
    for y in (2.5, -0.5, -3):
        plate.line([(0, y), (2.6, y - 2)], 0.4, ground)
        plate.line([(0, y), (-2.6, y - 2)], 0.4, ground)


def _pick(plate: Plate, ink: Ink, ground: Ink) -> None:
    for side in (-1, 1):
        plate.line([(side * 5, 7.4), (-side * 3.4, -4.6)], 1.4, ground)
        plate.line([(side * 5, 7.4), (-side * 3.4, -4.6)], 1.1, ink)
        arc = ellipse((-side * 1.4, -1.6), 6.4, arc=(200, 320) if side > 0 else (220, 340))
        plate.brush(arc, 0.2, 1.8, 0.2, ink=ink)


def _kettle(plate: Plate, ink: Ink, ground: Ink) -> None:
    plate.fill(smooth([(-5, 5.5), (-5.8, 1), (-2.6, -3), (2.6, -3), (5.8, 1), (5, 5.5)]), ink)
    plate.brush(smooth([(4.5, 3), (7.4, 1), (8, -2.6)], closed=False), 2.2, 1.2, ink=ink)
    plate.line(ellipse((0, -2.4), (4.6, 5), arc=(190, 350)), 1, ink)
    plate.disc((0, -3.6), 1, ink)
    plate.line([(-3.4, -1.6), (3.4, -1.6)], 0.5, ground)


_SEALS: Mapping[str, Callable[[Plate, Ink, Ink], None]] = {
    "Slate Heron Publishing": _heron,
    "Thistlegate Features": _thistle,
    "Brindle & Oake": _acorn,
    "Nettleby Magazines": _nettle,
    "Marlpit Picture Press": _pick,
    "Kettle Row Group": _kettle,
}


def seal(plate: Plate, publisher: str, centre: Point, radius: float, inks: tuple[Ink, Ink]) -> None:
    """The publisher's mark in a ring."""
    plate.disc(centre, radius, inks[1])
    plate.disc(centre, radius * 0.9, inks[0])
    with plate.at(centre, size=radius / 11.5):
        _SEALS[publisher](plate, inks[1], inks[0])


def plank(plate: Plate, frame: tuple[float, float, float, float], ink: Ink, *, tilt: float = 0) -> None:
    """A sign board with a split end and two nails."""
    left, top, right, bottom = frame
    third = (bottom - top) / 3
    outline = [(left, top), (right - 2, top + tilt), (right, top + third), (right - 5, top + third * 1.4),
               (right, top + third * 2), (right - 1, bottom + tilt), (left + 2, bottom),
               (left - 2, bottom - third)]  # fmt: skip
    plate.shape(outline, ink, 0.9)
    for share in (0.2, 0.5, 0.82):
        y = top + (bottom - top) * share
        plate.brush([(left + 4, y), ((left + right) / 2, y + 0.8), (right - 8, y + tilt)], 0.1, 0.5, 0.1)
    for x in (left + 3.4, right - 7):
        plate.disc((x, (top + bottom) / 2), 0.9, BLACK)


def envelope(plate: Plate, frame: tuple[float, float, float, float], inks: tuple[Ink, Ink]) -> None:
    """A letter with an air-mail border."""
    left, top, right, bottom = frame
    plate.shape(rounded(*frame, radius=1.5), WHITE, 0.8)
    with plate.clip(rounded(left + 0.4, top + 0.4, right - 0.4, bottom - 0.4, radius=1.2)):
        count = int((right - left + bottom - top) / 6)
        for i in range(-2, count + 2):
            x = left + i * 6.0
            plate.fill([(x, bottom), (x + 3, bottom), (x + 3 + 12, top), (x + 12, top)], inks[i % 2])
        plate.fill(box(left + 2.4, top + 2.4, right - 2.4, bottom - 2.4), WHITE)
