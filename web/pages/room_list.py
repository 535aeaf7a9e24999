"""Rooms, boxes and safes: which there are, and how many books are in each."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from fastapi import APIRouter, Response

from ledger.events.placement import Placement
from ledger.events.room import Room
from ledger.usecases.places import Places, look_at_places
from ledger.views import PlaceTally
from web.deps import ActorDep, FrameDep, LedgerDep
from web.filters import when
from web.frame import Place
from web.render import Page, page, render
from web.wall_names import room_name, wall_name
from web.wording import t

router = APIRouter()

ROOMS: Final = f"{Place.WALL.path}/rooms"
CHANGE: Final = f"{Place.COLLECTION.path}/change"


@dataclass(frozen=True, kw_only=True)
class WallLine:
    """One wall in the list of rooms."""

    title: str
    size: str
    books: int
    path: str


@dataclass(frozen=True, kw_only=True)
class RoomLine:
    """One room in the list, with its walls."""

    name: str
    href: str
    since: str
    walls: tuple[WallLine, ...]


@dataclass(frozen=True, kw_only=True)
class KeptLine:
    """One box or safe, and where its books are listed."""

    name: str
    spot: str
    stands: str
    """Name of the room it stands in; empty where that is not known."""
    change: str
    """Where it is said for all books in it; empty where it is known, or the place has no name."""
    books: int
    href: str


@page("rooms.html")
@dataclass(frozen=True, kw_only=True)
class RoomsPage(Page):
    """Every place there is."""

    rooms: tuple[RoomLine, ...]
    kept: tuple[KeptLine, ...]


@router.get(ROOMS)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Which rooms, walls, boxes and safes there are."""
    places = look_at_places(ledger, actor)
    rooms = tuple(
        RoomLine(
            name=room_name(places.by_id, each.id),
            href=f"{ROOMS}/{each.id}",
            since=when(each.event.on),
            walls=tuple(_walls(places, each.event)),
        )
        for each in places.rooms
    )
    kept = tuple(_kept(places, each) for each in places.kept)
    return render(RoomsPage(frame=frame.at(Place.WALL), rooms=rooms, kept=kept))


def _kept(places: Places, each: PlaceTally) -> KeptLine:
    href = f"{Place.COLLECTION.path}?{urlencode({'place': each.place} if each.place else {'unnamed': 'yes'})}"
    again = {"found": href, "kind": Placement.kind, "spot": each.spot, "place": each.place or ""}
    return KeptLine(
        name=each.place or t(f"wall.nameless.{each.spot}"),
        spot=t(f"rooms.spots.{each.spot}"),
        stands=room_name(places.by_id, each.room) if each.room else "",
        change=f"{CHANGE}?{urlencode(again)}" if each.place and not each.room else "",
        books=each.books,
        href=href,
    )


def _walls(places: Places, room: Room) -> Sequence[WallLine]:
    return [
        WallLine(
            title=wall_name(places.by_id, room.room, each.id),
            size=t("rooms.size", width=each.width_cm, height=each.height_cm),
            books=len(places.on_wall(room.room, each.id)),
            path=f"{Place.WALL.path}/{room.room}/{each.id}",
        )
        for each in room.walls
    ]
