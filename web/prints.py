"""The photographs of a book at their moment, side by side where one look took several."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from ledger.events import Event
from ledger.events._parts import Light
from ledger.events.photograph import Photograph
from ledger.history import Moment
from web.axis import Placed
from web.columns import side_by_side
from web.wording import t

__all__ = ["Alone", "Print", "PrintGroup", "Prints", "address_of", "alone", "prints_of", "shown_as"]

WIDE, HIGH = 60.0, 84.0
"""The frame a print is fitted into. Units: px."""
CELL_X, CELL_Y = 70.0, 128.0
"""From one print to the next, with its two lines of words. Units: px."""
APART = 16.0
"""Between the prints of one look and those of the next. Units: px."""
TOP = 34.0
"""Where the prints begin, below the bends of their leaders. Units: px."""
ONE_LOOK = (8.0, 30.0, 90.0, 270.0, 2000.0)
"""Photographs whose days lie closer than this are of one look: the first that leaves room for all. Units: px."""
ALONE = 1200
"""How wide a photograph is fetched that a page shows by itself. Units: px."""
IN_A_ROW = (6, 4, 3, 2, 1)


@dataclass(frozen=True)
class Print:
    """One photograph: its entry, a copy of it, where it lies in its group, and what it shows. Units: px."""

    seq: int
    href: str
    """Of a group picture the part that shows this book, and nothing of the others."""
    x: float
    y: float
    face: str
    light: str
    """Empty for normal light."""
    caption: str
    tall: float
    """Height of what is shown when it is 100 wide."""


@dataclass(frozen=True)
class PrintGroup:
    """The photographs of one look. Units: per cent."""

    x: float
    """Where their mark is."""
    foot: float
    """Where its leader meets them."""
    start: float
    """Where the first one begins."""
    prints: tuple[Print, ...]


@dataclass(frozen=True)
class Prints:
    """The whole lane; its height is 0 when there are none. Units: px."""

    height: float
    groups: tuple[PrintGroup, ...]


def prints_of(at: Sequence[Placed], plot: float) -> Prints:
    """The photographs in force, as many in a row as there is room for.

    Units: plot px.
    """
    own = [each for each in at if each.moment.in_force and isinstance(each.moment.event, Photograph)]
    own.sort(key=lambda each: each.x)
    for near, row in product(ONE_LOOK, IN_A_ROW):
        looks = _looks(own, plot, near)
        wide = [min(row, len(look)) * CELL_X - (CELL_X - WIDE) + APART for _, look in looks]
        if sum(wide) <= plot:
            break
    wished = [x / 100 * plot + width / 2 for (x, _), width in zip(looks, wide, strict=True)]
    rights = side_by_side(wished, wide, 0.0, plot)
    groups = tuple(
        _group(x, look, row, (right - width) / plot * 100, (right - APART) / plot * 100)
        for (x, look), width, right in zip(looks, wide, rights, strict=True)
    )
    rows = max((-(-len(look) // row) for _, look in looks), default=0)
    return Prints(height=TOP + rows * CELL_Y if rows else 0.0, groups=groups)


def shown_as(event: Photograph) -> str:
    """What a photograph shows, in the owner's words where there are some."""
    return event.caption.value or t("book.brief.photograph", face=event.face, light=event.light)


@dataclass(frozen=True)
class Alone:
    """A photograph by itself, as large as a page shows one. Units: px."""

    href: str
    width: int
    height: int
    words: str


def alone(event: Event) -> Alone | None:
    """The photograph of an entry; None for an entry of another kind."""
    if not isinstance(event, Photograph):
        return None
    return Alone(address_of(event, ALONE), ALONE, round(ALONE * _tall(event) / 100), shown_as(event))


def address_of(event: Photograph, size: int) -> str:
    """Where a copy of the photograph is, so wide: of a group picture only the part that shows this book.

    Units: px.
    """
    part = event.region
    if part is None:
        return f"/pictures/{event.clean}?size={size}"
    crop = f"{part.x_percent},{part.y_percent},{part.width_percent},{part.height_percent}"
    return f"/pictures/{event.clean}?size={size}&part={crop}"


def _looks(own: Sequence[Placed], plot: float, near: float) -> list[tuple[float, list[Moment]]]:
    """The photographs by look, each with its place in per cent."""
    looks: list[tuple[float, list[Moment]]] = []
    for moment, _, x in own:
        if looks and (x - looks[-1][0]) / 100 * plot < near:
            looks[-1][1].append(moment)
        else:
            looks.append((x, [moment]))
    return looks


def _group(x: float, look: Sequence[Moment], row: int, start: float, stop: float) -> PrintGroup:
    prints = []
    for at, moment in enumerate(look):
        event = moment.event
        assert isinstance(event, Photograph)  # looks are made of photographs
        prints.append(
            Print(
                seq=moment.entry.seq,
                href=address_of(event, 160),
                x=at % row * CELL_X,
                y=TOP + at // row * CELL_Y,
                face=event.face.value,
                light="" if event.light is Light.NORMAL else event.light.value,
                caption=shown_as(event),
                tall=_tall(event),
            )
        )
    return PrintGroup(x=x, foot=min(max(x, start + 0.5), stop - 0.5), start=start, prints=tuple(prints))


def _tall(event: Photograph) -> float:
    """How high what is shown is when it is 100 wide."""
    wide, high = event.width_px, event.height_px
    if not wide or not high:
        return 100 * HIGH / WIDE
    if event.region is not None:
        wide, high = wide * event.region.width_percent, high * event.region.height_percent
    return 100 * high / wide
