"""The mastheads of the series of sea, space, west and adventure."""

from seeds.covers.curves import box, ellipse, polar, ribbon, rounded, smooth
from seeds.covers.furniture import corner_box, date_lines, envelope, plank, price_burst, price_disc, seal, strip
from seeds.covers.inks import BLACK, WHITE, YELLOW, Ink
from seeds.covers.issues import Issue
from seeds.covers.lettering import (
    DECO,
    GOTHIC,
    POSTER,
    SPEED,
    TALL,
    WESTERN,
    arched,
    bent,
    fitted,
    growing,
)
from seeds.covers.plate import Plate
from seeds.covers.signs import barred, edged, halved, plain, raised

Inks3 = tuple[Ink, Ink, Ink]


def harbor_lamp(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """HARBOR bowed like a breakwater, LAMP below it with a lantern in front."""
    face, side, patch = inks
    wide = plate.width
    top = arched("HARBOR", GOTHIC, (8, 21, wide - 10, 47), (5, 2))
    raised(plate, top, (face, side, BLACK), (1.8, 2.6), 1)
    low = fitted("LAMP", GOTHIC, (wide * 0.5, 50, wide - 12, 68))
    raised(plate, low, (face, side, BLACK), (1.6, 2.2), 0.9)
    seal(plate, issue.publisher, (15, 59), 8, (WHITE, BLACK))
    plate.fill(box(-2, -2, wide + 2, 11), BLACK)
    strip(plate, issue, (0, 1, wide, 10), (BLACK, patch))


def ganymede_mail(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """GANYMEDE coming nearer at speed, MAIL on an air-mail letter."""
    face, side, patch = inks
    wide = plate.width
    top = growing("GANYMEDE", SPEED, (7, 8, wide - 10, 38), (0.62, 1))
    raised(plate, top, (face, side, BLACK), (-1.4, 2.6), 0.9)
    halved(plate, top, WHITE, 0.5)
    with plate.at((wide - 44, 54), turn=-5):
        envelope(plate, (-31, -9.5, 33, 9.5), (patch, Ink(100, 50, 0)))
        plain(plate, fitted("MAIL", SPEED, (-22, -5.4, 26, 5.4)), patch)
    if issue.cover_date < "1956":
        price_disc(plate, issue, (12, 14), 6.8, (patch, WHITE))
        date_lines(plate, issue, (33, 7.6), 3)
    else:
        corner_box(plate, issue, (5, 41), (WHITE, BLACK))


def ganymede_again(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """The late run: one heavy line cut by level bars."""
    face, side, patch = inks
    wide = plate.width
    strip(plate, issue, (0, 0, wide, 9), (BLACK, WHITE))
    top = fitted("GANYMEDE", POSTER, (7, 15, wide - 8, 40))
    raised(plate, top, (face, side, BLACK), (0, 2.4), 0.9)
    barred(plate, top, patch)
    low = fitted("MAIL", SPEED, (wide - 62, 45, wide - 8, 58))
    edged(plate, low, WHITE, 0.9)
    seal(plate, issue.publisher, (15, 53), 8, (WHITE, BLACK))


def dry_ford(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """DRY FORD in slabs, DEPUTY on a board."""
    face, side, patch = inks
    wide = plate.width
    top = arched("DRY FORD", WESTERN, (9, 10, wide - 11, 37), (4, 1))
    raised(plate, top, (face, side, BLACK), (1.6, 2.2), 0.9)
    plank(plate, (wide * 0.28, 43, wide - 10, 62), Ink(15, 40, 70), tilt=-2)
    plain(plate, fitted("DEPUTY", WESTERN, (wide * 0.28 + 9, 46.4, wide - 21, 57.4)), BLACK)
    if issue.cover_date < "1956":
        price_disc(plate, issue, (20, 53), 8.4, (patch, BLACK))
        date_lines(plate, issue, (39, 49), 3)
    else:
        corner_box(plate, issue, (6, 42), (patch, BLACK))


def bold_sextant(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """SEXTANT along a graduated arc, BOLD above it."""
    face, side, patch = inks
    wide = plate.width
    hub = (wide / 2, 250.0)
    for radius, thick in ((198.0, 1.0), (190.0, 1.0)):
        plate.line(ellipse(hub, radius, arc=(-114, -66)), thick)
    for i in range(61):
        angle = -114 + 48 * i / 60
        plate.line([polar(hub, 190, angle), polar(hub, 198 if i % 5 == 0 else 194, angle)], 0.5)
    letters = fitted("SEXTANT", DECO, (0, 0, 1, 1))
    bow = bent(letters, lambda x, y: polar(hub, 201 + 28 * (1 - y), -111.6 + 42.6 * x))
    raised(plate, bow, (face, side, BLACK), (1.4, 2.2), 0.9)
    raised(plate, fitted("BOLD", DECO, (wide / 2 - 22, 5, wide / 2 + 22, 15)), (face, side, BLACK), (0.8, 1.2), 0.7)
    price_burst(plate, issue, (16, 17), 8, (patch, BLACK))
    date_lines(plate, issue, (wide - 17, 10), 3.4)


def jungle_meridian(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """JUNGLE huge, MERIDIAN on a line of longitude crossed by ticks."""
    face, side, patch = inks
    wide = plate.width
    top = arched("JUNGLE", POSTER, (8, 12, wide - 10, 46), (-5, 3))
    raised(plate, top, (face, side, BLACK), (2, 2.6), 1)
    halved(plate, top, patch, 0.52, slope=4)
    plate.shape(rounded(24, 50, wide - 24, 63, radius=6), BLACK, 0.5)
    plain(plate, fitted("MERIDIAN", TALL, (33, 52.6, wide - 33, 60.4)), face)
    price_disc(plate, issue, (14, 57), 8.4, (YELLOW, BLACK))
    date_lines(plate, issue, (wide - 12.5, 52), 3)


def linen_squadron(plate: Plate, issue: Issue, inks: Inks3) -> None:
    """LINEN between wings, SQUADRON below in full width."""
    face, side, patch = inks
    wide = plate.width
    for hand in (-1, 1):
        for i in range(5):
            root = (wide / 2 + hand * 26, 9 + i * 3.1)
            tip = (wide / 2 + hand * (84 - i * 9), 6 + i * 4.2)
            middle = ((root[0] + tip[0]) / 2, (root[1] + tip[1]) / 2 + 3)
            wing = ribbon(smooth([root, middle, tip], closed=False), (3, 4, 0.6))
            plate.shape(wing, WHITE, 0.6)
    raised(plate, fitted("LINEN", GOTHIC, (wide / 2 - 30, 6, wide / 2 + 30, 25)), (face, side, BLACK), (1, 1.6), 0.9)
    low = fitted("SQUADRON", SPEED, (6, 30, wide - 14, 54))
    raised(plate, low, (face, side, BLACK), (1.6, 2.4), 0.9)
    halved(plate, low, patch, 0.5)
    price_disc(plate, issue, (13, 64), 7.6, (YELLOW, BLACK))
    date_lines(plate, issue, (wide - 14, 60), 3.2)


def ruled(plate: Plate, ink: Ink, foot: float) -> None:
    """A flat field behind a masthead, ruled off at its foot."""
    plate.fill(box(-2, -2, plate.width + 2, foot), ink)
    plate.line([(-2, foot), (plate.width + 2, foot)], 0.9)
