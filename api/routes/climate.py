"""climate: a logger's file comes in as it is, is taken in for its rooms, and tells their air and what aged a book."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from pydantic import Field

from api.ageing_answers import AgeingAnswer, ageing_told
from api.answers import answered
from api.bodies import read_body
from api.climate_answers import (
    LogAnswer,
    LookedAnswer,
    RoomAirAnswer,
    log_told,
    looked_told,
    room_told,
)
from api.climate_bodies import TakeBody
from api.deps import AppendDep, BookId, LedgerDep, ReadingDep, RecordingDep, an_id, recording
from api.documents import EVERYWHERE, appended, failures
from api.queries import Asked
from api.raw_bodies import file_from, is_table
from api.schemas import Answer, Written
from api.wall_answers import WallAirAnswer, WallAsk, wall_air_told
from ledger.ageing_of_book import seconds_of
from ledger.climate_log import DAY
from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.events.climate import DateOrder, Unit
from ledger.usecases.air import ageing_of, air_of_room, logs
from ledger.usecases.climate import Said, Where, look_at_file, take_in
from ledger.usecases.wall_air import FIGURES, air_at_wall

router = APIRouter(tags=["climate"])

_FILE = "3f79bb7b435b05321651daefd374cdc681dc06faa65e374e38337b88ca046dea"
FileId = Annotated[str, Path(description="SHA-256 of the file as it came.", examples=[_FILE])]
RoomId = Annotated[str, Path(description="Id of the room.", examples=["study"])]


class LogList(Answer):
    """All logs in force."""

    logs: list[LogAnswer] = Field(description="The earliest first.")


class SaidAsked(Asked):
    """What its reader says of the file."""

    dates: DateOrder | None = Field(
        None, description="The order of dates, where all of them can be read in two ways.", examples=["day first"]
    )
    temperature_unit: Unit | None = Field(None, description="In what it gives temperatures.", examples=["°C"])


class TimeAsked(Asked):
    """Over which days; left out, over all that is logged."""

    first: date | None = Field(None, description="The first day. Units: ISO 8601 date.", examples=["2026-01-01"])
    last: date | None = Field(None, description="The last day. Units: ISO 8601 date.", examples=["2026-12-31"])


@router.get(
    "/climate", summary="List climate logs", response_description="Those in force.", responses=failures(*EVERYWHERE)
)
def list_climate(ledger: LedgerDep, actor: ReadingDep) -> LogList:
    """One for each channel of a file; a withdrawn one is not among them."""
    return LogList(logs=[log_told(each) for each in logs(ledger, actor)])


@router.post(
    "/climate",
    summary="Look at a logger's file",
    response_description="What is in it, and its digest, by which it is taken in.",
    responses=failures(413, 415, 422, *EVERYWHERE),
)
def look_at_climate(
    ledger: LedgerDep,
    actor: RecordingDep,
    data: Annotated[bytes, Depends(file_from(recording, is_table))],
    asked: Annotated[SaidAsked, Query()],
) -> LookedAnswer:
    """The CSV file as the body, up to 64 MiB. It is kept for a while, and nothing is written into the ledger."""
    return looked_told(look_at_file(ledger, actor, data, Said(dates=asked.dates, unit=asked.temperature_unit)))


@router.post(
    "/climate/{sha256}",
    summary="Take in a logger's file",
    status_code=201,
    response_description="An entry for each channel, all of one act.",
    responses=appended(404),
)
def take_in_climate(
    request: Request, response: Response, ledger: LedgerDep, append: AppendDep, sha256: FileId
) -> Written:
    """A file that was looked at before; it stays, so that every figure can be worked out again."""
    plain = append.plain()
    asked = read_body(TakeBody, plain)
    recorded = take_in(
        ledger,
        append.actor,
        sha256,
        [Where(channel=each.channel, room=each.room, wall=each.wall, place=each.place) for each in asked.channels],
        said=Said(dates=asked.dates, unit=asked.temperature_unit),
        file_name=asked.file_name,
        remark=asked.remark,
        request=append.asked(f"climate/{sha256}", plain),
    )
    return answered(request, response, recorded, f"/acts/{recorded.act}")


@router.get(
    "/climate/rooms/{room}",
    summary="Read the air of a room",
    response_description="Its figures over the known time.",
    responses=failures(404, 422, *EVERYWHERE),
)
def read_room_air(
    ledger: LedgerDep, actor: ReadingDep, room: RoomId, asked: Annotated[TimeAsked, Query()]
) -> RoomAirAnswer:
    """An index for comparing places and times, with its band; what no log knows is counted and never filled."""
    start = None if asked.first is None else seconds_of(asked.first)
    end = None if asked.last is None else seconds_of(asked.last) + DAY
    if start is not None and end is not None and end <= start:
        sentence = "The last day is before the first. Send them the other way round."
        raise InvalidError(problems=(Problem(field="last", sentence=sentence),))
    air = air_of_room(ledger, actor, room, start, end)
    if air is None:
        raise NotFoundError(what="climate log of room", name=room[:40])
    return room_told(air)


@router.get(
    "/climate/wall",
    summary="Work out the air at a wall",
    response_description="An estimate of the surface, beside what was measured.",
    responses=failures(422, *EVERYWHERE),
)
def read_wall_air(ledger: LedgerDep, actor: ReadingDep, asked: Annotated[WallAsk, Query()]) -> WallAirAnswer:
    """Of an outer wall while both sides stay as they are; nothing is written."""
    typed = {name: getattr(asked, name) or "" for name in FIGURES}
    return wall_air_told(air_at_wall(ledger, actor, typed, asked.kind or ""))


@router.get(
    "/books/{book}/ageing",
    summary="Read what aged a book",
    response_description="Presses, wall and storage side by side.",
    responses=failures(404, *EVERYWHERE),
)
def read_ageing(ledger: LedgerDep, actor: ReadingDep, book: BookId) -> AgeingAnswer:
    """Days at 20 °C and 50 % humidity, each with its band, from the book's placements and the logs of its rooms."""
    return ageing_told(ageing_of(ledger, actor, an_id("book", book)))
