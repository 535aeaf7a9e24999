"""The book as an object: its front at its true shape with its size in millimetres, in its holder if it is in one."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ledger.book import Book
from ledger.events._parts import Face, Holding, Light
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.history import Moment
from web.filters import when
from web.leaders import wrapped
from web.prints import address_of
from web.wording import t

__all__ = ["Figure", "figure_of", "measured"]

PX_PER_MM = 1.06
"""Every book is drawn at the same scale, so that a larger one is larger."""
SIDE_MM, HEAD_MM, FOOT_MM = 16.0, 34.0, 18.0
"""What a holder adds around the book. Source: common practice, no source."""
MARGIN, SERIF = 18.0, 1.2
"""Of the words on an outline: px beside them, and how much larger they are than the words of a drawing."""
USUAL_MM = (178.0, 262.0)
"""Drawn where nobody measured. Source: common practice, no source."""


@dataclass(frozen=True)
class Figure:
    """The front and what is around it. Units: px, but for the words."""

    picture: str
    """Address of a copy of it; empty where there is none."""
    width: float
    height: float
    x: float
    y: float
    whole_width: float
    whole_height: float
    title: tuple[str, ...]
    """Written on the outline where there is no picture."""
    slabbed: bool
    width_words: str
    """Its size in millimetres; empty where nobody measured."""
    height_words: str
    alt: str
    caption: tuple[str, ...]


def figure_of(book: Book, moments: Sequence[Moment]) -> Figure:
    """The book's front as it is now."""
    size = measured(moments)
    wide, high = (float(each) for each in size) if size else USUAL_MM
    slabbed = book.holding is Holding.SLABBED
    x, y = (SIDE_MM, HEAD_MM) if slabbed else (0.0, 0.0)
    shot = _front(book, moments)
    title = str(book.issue) if book.issue else t("book.unnamed")
    taken = when(shot.on) if shot else ""
    caption = [t("book.figure.taken", when=taken) if shot else t("book.figure.no_picture")]
    caption += [] if size else [t("book.figure.not_measured")]
    return Figure(
        picture=address_of(shot, 480) if shot else "",
        width=round(wide * PX_PER_MM, 1),
        height=round(high * PX_PER_MM, 1),
        x=round(x * PX_PER_MM, 1),
        y=round(y * PX_PER_MM, 1),
        whole_width=round((wide + 2 * x) * PX_PER_MM, 1),
        whole_height=round((high + y + (FOOT_MM if slabbed else 0.0)) * PX_PER_MM, 1),
        title=wrapped(title, (wide * PX_PER_MM - 2 * MARGIN) / SERIF, 5) if shot is None else (),
        slabbed=slabbed,
        width_words=t("book.figure.mm", size=_plain(size[0])) if size else "",
        height_words=t("book.figure.mm", size=_plain(size[1])) if size else "",
        alt=t("book.figure.alt" if shot else "book.figure.alt_outline", title=title, when=taken),
        caption=tuple(caption),
    )


def measured(moments: Sequence[Moment]) -> tuple[Decimal, Decimal] | None:
    """Width and height as last measured. Units: mm."""
    for moment in reversed(moments):
        event = moment.event
        if moment.in_force and isinstance(event, Examination) and event.width_mm and event.height_mm:
            return Decimal(event.width_mm), Decimal(event.height_mm)
    return None


def _plain(size: Decimal) -> str:
    """A measure without zeros at its end."""
    return f"{size:f}".rstrip("0").rstrip(".") if "." in f"{size:f}" else f"{size:f}"


def _front(book: Book, moments: Sequence[Moment]) -> Photograph | None:
    """The photograph of the cover; where there is none, the newest part of a group picture that shows the front."""
    shots = [each.event for each in moments if each.in_force and isinstance(each.event, Photograph)]
    whole = (each for each in shots if each.clean == book.cover and each.region is None)
    parts = (each for each in reversed(shots) if _is_front_of_a_group(each))
    return next(whole, None) or next(parts, None)


def _is_front_of_a_group(shot: Photograph) -> bool:
    in_sight = shot.face is Face.FRONT and shot.light is Light.NORMAL
    return in_sight and shot.region is not None and shot.of_defect is None
