"""Climate: what loggers say of each room, in figures and day by day."""

from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import NotFoundError
from ledger.rules.cautions import Caution, caution
from ledger.usecases.air import air_of_room, logs
from web.climate_lines import RoomLines, room_lines
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.render import Page, page, render

router = APIRouter()

PATH: Final = "/climate"


@page("climate.html")
@dataclass(frozen=True, kw_only=True)
class ClimatePage(Page):
    """Every room of which there is a log."""

    rooms: tuple[RoomLines, ...]
    mould: Caution
    may_take_in: bool


@page("climate_room.html")
@dataclass(frozen=True, kw_only=True)
class ClimateRoomPage(Page):
    """One room."""

    room: RoomLines
    mould: Caution
    may_take_in: bool


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """All rooms."""
    names = sorted({each.event.room for each in logs(ledger, actor)})
    airs = [air for name in names if (air := air_of_room(ledger, actor, name)) is not None]
    return render(
        ClimatePage(
            frame=frame.at(Place.WALL),
            rooms=tuple(map(room_lines, airs)),
            mould=caution("mould"),
            may_take_in=not frame.phone,
        )
    )


@router.get(f"{PATH}/rooms/{{room}}")
def one(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, room: str) -> Response:
    """One room, over all that is logged of it."""
    air = air_of_room(ledger, actor, room)
    if air is None:
        raise NotFoundError(what="climate log of room", name=room[:40])
    return render(
        ClimateRoomPage(
            frame=frame.at(Place.WALL), room=room_lines(air), mould=caution("mould"), may_take_in=not frame.phone
        )
    )
