"""The wall: what hangs, wall by wall, as an elevation to scale or as a plain list; what lies in boxes, in a few words."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Response

from ledger.events.placement import Spot
from ledger.usecases.browse import Walls, look_up
from ledger.usecases.light import SpotDays, spot_days
from ledger.views import HungRow, PlaceTally
from web.deps import ActorDep, FrameDep, LedgerDep
from web.elevation import elevations
from web.frame import Place
from web.hung_lines import HungLine, Used, hung_line, light_line, used_of
from web.render import Page, page, render
from web.shelf_filters import totals
from web.wall_names import named_wall
from web.wall_shapes import Elevation, Named
from web.wording import t

router = APIRouter()

LIST: Final = "list"


@dataclass(frozen=True, kw_only=True)
class Kept:
    """Books in one box or safe."""

    where: str
    books: int
    href: str


@dataclass(frozen=True, kw_only=True)
class Fading:
    """A book that hangs longer than the light of its spot allows."""

    book: str
    name: str
    light: str
    sure: bool
    """Else it only may be so."""


@page("wall.html")
@dataclass(frozen=True, kw_only=True)
class WallPage(Page):
    """The walls, drawn."""

    sentence: str
    walls: Sequence[Elevation]
    fading: Sequence[Fading]
    kept: Sequence[Kept]
    further: int
    """Books that hang and are not drawn."""
    owns_books: bool


@page("wall_list.html")
@dataclass(frozen=True, kw_only=True)
class WallListPage(Page):
    """The same in words."""

    sentence: str
    walls: Sequence[tuple[Named, Sequence[HungLine]]]
    kept: Sequence[Kept]
    further: int


@router.get(Place.WALL.path)
def wall(
    frame: FrameDep, ledger: LedgerDep, actor: ActorDep, shown_as: Annotated[str, Query(alias="as")] = ""
) -> Response:
    """What hangs."""
    found = look_up(ledger, actor)
    days = spot_days(ledger, actor, found.hung)
    light = {book: light_line(each) for book, each in days.items()}
    named = sorted(_walls(found, light), key=lambda each: -len(each.hung))
    hanging = sum(each.books for each in found.tallies.places if each.spot == Spot.WALL.value)
    further, on_walls = hanging - len(found.hung), t.n("wall.walls", len(named))
    kept = [_kept(each) for each in found.tallies.places if each.spot != Spot.WALL.value]
    frame = frame.at(Place.WALL)
    if shown_as == LIST and named:
        lines = [(each, [hung_line(row, light.get(row.book, "")) for row in each.hung]) for each in named]
        sentence = t.n("wall.listed", hanging, walls=on_walls)
        return render(WallListPage(frame=frame, sentence=sentence, walls=lines, kept=kept, further=further))
    sentence = t.n("wall.hanging", hanging, walls=on_walls) if named else ""
    drawn, owns = elevations(named, found.reach), sum(totals(found.tallies)) > 0
    return render(
        WallPage(
            frame=frame,
            sentence=sentence,
            walls=drawn,
            fading=tuple(_fading(found.hung, days)),
            kept=kept,
            further=further,
            owns_books=owns,
        )
    )


def _fading(hung: Sequence[HungRow], days: Mapping[str, SpotDays]) -> Iterator[Fading]:
    """Books that have had, or may have had, the days a year their spot allows; the surest first."""
    of = [(used_of(days[row.book]), row) for row in hung if row.book in days]
    for used in (Used.UP, Used.MAY_BE):
        for row in (row for found, row in of if found is used):
            name = f"{row.title} {row.number}".strip() or t("wall.untitled")
            yield Fading(book=row.book, name=name, light=light_line(days[row.book]), sure=used is Used.UP)


def _walls(found: Walls, light: Mapping[str, str]) -> Iterator[Named]:
    """Books by the wall of a room, from the left; where no room was named, by the name of their place."""
    for (room, wall_id, place), rows in groupby(sorted(found.hung, key=_key), key=_key):
        hung = sorted(rows, key=lambda row: (row.x_cm is None, float(row.x_cm or 0), -float(row.y_cm or 0)))
        if room:
            yield named_wall(found.rooms, room, wall_id, hung, light)
        else:
            yield Named(title=place or t("wall.not_named"), hung=tuple(hung), light_left=light)


def _key(row: HungRow) -> tuple[str, str, str]:
    return (row.room, row.wall or "", "") if row.room else ("", "", row.place or "")


def _kept(each: PlaceTally) -> Kept:
    """A box or safe, and the list of what is in it."""
    asked = {"place": each.place} if each.place else {"unnamed": "yes"}
    where = each.place or t(f"wall.nameless.{each.spot}")
    return Kept(where=where, books=each.books, href=f"{Place.COLLECTION.path}?{urlencode(asked)}")
