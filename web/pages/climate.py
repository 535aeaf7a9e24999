"""Climate: what loggers say of each room, in figures and day by day."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.actor import Actor
from ledger.errors import InvalidError, NotFoundError
from ledger.ports import Ledger
from ledger.rules.cautions import Caution, caution
from ledger.usecases.air import RoomAir, air_of_room, logs
from ledger.usecases.wall_air import air_at_wall, walls_known
from web.climate_lines import RoomLines, room_lines
from web.deps import ActorDep, FrameDep, LedgerDep
from web.entering import faults_of
from web.frame import Place
from web.render import Page, page, render
from web.wall_air_lines import ASKED, WallAsked, kinds_of, wall_columns
from web.wording import t

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
    wall: WallAsked
    kinds: tuple[tuple[str, str], ...]
    faults: Mapping[str, str]
    mould: Caution
    lifting: Caution
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
def one(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, room: str) -> Response:
    """One room, over all that is logged of it; with a wall asked for in the address what its air comes to there."""
    air = air_of_room(ledger, actor, room)
    if air is None:
        raise NotFoundError(what="climate log of room", name=room[:40])
    wall = _wall(ledger, actor, {name: request.query_params.get(name, "").strip() for name in ASKED}, air)
    shown = ClimateRoomPage(
        frame=frame.at(Place.WALL),
        room=room_lines(air),
        wall=wall,
        kinds=kinds_of(walls_known(ledger, actor)),
        faults=faults_of(wall.problems),
        mould=caution("mould"),
        lifting=caution("lifting"),
        may_take_in=not frame.phone,
    )
    return render(shown, status=422 if wall.problems else 200)


def _wall(ledger: Ledger, actor: Actor, typed: dict[str, str], air: RoomAir) -> WallAsked:
    """What is asked; where nothing is, the form stands ready with the means of the room."""
    if not any(typed.values()):
        means = {"celsius": air.figures.celsius, "rh": air.figures.rh}
        return WallAsked(typed=typed | {name: f"{each.mean:.1f}" for name, each in means.items() if each is not None})
    try:
        found = air_at_wall(ledger, actor, typed, typed["kind"])
    except InvalidError as error:
        return WallAsked(typed=typed, problems=error.problems)
    dew = found.dew_point
    return WallAsked(
        typed=typed,
        dew=t("climate.wall.dew_none") if dew is None else t("climate.wall.dew", dew=f"{dew:.1f}"),
        columns=wall_columns(found),
    )
