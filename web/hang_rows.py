"""What is typed on the page of one wall: where each book is to hang or to go, and what of it would be written."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.errors import Problem
from ledger.events.placement import PLACE_MOST, Spot
from ledger.events.room import Wall, Window
from ledger.hanging import free_spot
from ledger.usecases.places import Move, Places
from ledger.views import HungRow
from web.posted import Posted
from web.wording import t

__all__ = ["HERE", "HangRow", "Hanging", "hanging", "measure", "moves_of", "typed_rows", "with_room"]

HERE: Final = ""
"""Among the places a book can go to: it hangs on this wall."""
MEASURE: Final = re.compile(r"(0|[1-9]\d{0,5})(?:[.,](\d{1,3}))?")


@dataclass(frozen=True, kw_only=True)
class HangRow:
    """One book in the form: as it is, and as it was typed."""

    row: HungRow
    x: str
    y: str
    to: str = HERE
    comes: bool = False
    """It did not hang on this wall before."""

    @property
    def x_name(self) -> str:
        """The name of the first input."""
        return f"x.{self.row.book}"

    @property
    def y_name(self) -> str:
        """The name of the second."""
        return f"y.{self.row.book}"

    @property
    def to_name(self) -> str:
        """The name of the choice of where it goes."""
        return f"to.{self.row.book}"

    @property
    def at(self) -> tuple[str | None, str | None]:
        """Both measures as they are kept; None where there is none, or it cannot be read."""
        return measure(self.x), measure(self.y)

    @property
    def changed(self) -> bool:
        """Something of it is not written yet."""
        return self.comes or self.to != HERE or self.at != (_short(self.row.x_cm), _short(self.row.y_cm))

    @property
    def hangs(self) -> HungRow:
        """The book as it would hang."""
        x_cm, y_cm = self.at
        both = x_cm is not None and y_cm is not None
        return self.row._replace(x_cm=x_cm if both else None, y_cm=y_cm if both else None)


@dataclass(frozen=True, kw_only=True)
class Hanging:
    """The whole form, read."""

    rows: tuple[HangRow, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def on_wall(self) -> tuple[HungRow, ...]:
        """What would hang on this wall."""
        return tuple(each.hangs for each in self.rows if each.to == HERE)

    @property
    def changed(self) -> tuple[HangRow, ...]:
        """What would be written."""
        return tuple(each for each in self.rows if each.changed)


def measure(text: str) -> str | None:
    """A measure as it is kept: a comma is a point, and zeros at its end are gone."""
    found = MEASURE.fullmatch(text.strip())
    if found is None:
        return None
    decimals = (found[2] or "").rstrip("0")
    return f"{found[1]}.{decimals}" if decimals else found[1]


def hanging(hung: Sequence[HungRow]) -> Hanging:
    """The form as it is when nothing was typed yet."""
    return Hanging(rows=tuple(HangRow(row=each, x=_short(each.x_cm) or "", y=_short(each.y_cm) or "") for each in hung))


def typed_rows(hung: Sequence[HungRow], others: Mapping[str, HungRow], posted: Posted) -> Hanging:
    """What was typed over it; `others` are the books that come to this wall."""
    rows = [
        *(each for each in hanging(hung).rows),
        *(HangRow(row=each, x="", y="", comes=True) for each in others.values()),
    ]
    read = [_typed(each, posted) for each in rows]
    return Hanging(rows=tuple(read), problems=tuple(_flaws(read, posted)))


def with_room(made: Hanging, places: Places, wall: Wall, windows: Sequence[Window]) -> Hanging:
    """Each book that comes and of which no place was typed, where there is room for it."""
    rows = list(made.rows)
    own = [each for each in windows if each.wall == wall.id]
    for number, each in enumerate(rows):
        if each.comes and not each.x and not each.y and each.to == HERE:
            pieces = places.pieces([one.hangs for one in rows if one.to == HERE])
            spot = free_spot(pieces, wall, own, places.extent(each.row))
            if spot is not None:
                rows[number] = replace(each, x=f"{spot[0].normalize():f}", y=f"{spot[1].normalize():f}")
    return replace(made, rows=tuple(rows))


def moves_of(made: Hanging, room: str, wall: str, posted: Posted) -> list[Move]:
    """What would be written, move by move."""
    return [_move(each, room, wall, posted.get("named")) for each in made.changed]


def _move(each: HangRow, room: str, wall: str, named: str) -> Move:
    if each.to == HERE:
        x_cm, y_cm = each.at
        return Move(book=each.row.book, spot=Spot.WALL, room=room, wall=wall, x_cm=x_cm, y_cm=y_cm)
    kind, _, where = each.to.partition(":")
    if kind == Spot.WALL.value:
        other, _, own = where.partition("/")
        return Move(book=each.row.book, spot=Spot.WALL, room=other, wall=own)
    return Move(book=each.row.book, spot=Spot(kind), place=where or named or None)


def _typed(each: HangRow, posted: Posted) -> HangRow:
    if each.x_name not in posted:
        return each
    return replace(each, x=posted.get(each.x_name), y=posted.get(each.y_name), to=posted.get(each.to_name))


def _flaws(rows: Sequence[HangRow], posted: Posted) -> Iterator[Problem]:
    for each in rows:
        if each.to == HERE:
            for name, text, other in ((each.x_name, each.x, each.y), (each.y_name, each.y, each.x)):
                if text and measure(text) is None:
                    yield Problem(field=name, sentence=t("hang.no_measure", text=text))
                elif not text and other:
                    yield Problem(field=name, sentence=t("hang.both"))
        elif each.to.partition(":")[0] not in tuple(Spot):
            yield Problem(field=each.to_name, sentence=t("hang.no_place"))
    if len(posted.get("named")) > PLACE_MOST:
        yield Problem(field="named", sentence=t("hang.name_too_long", most=PLACE_MOST))


def _short(text: str | None) -> str | None:
    return None if text is None else measure(text)
