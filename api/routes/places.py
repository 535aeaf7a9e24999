"""places: rooms with their walls, boxes and safes, what is where, and several books moved as one act."""

from typing import Annotated, Final

from fastapi import APIRouter, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from api.answers import answered
from api.bodies import read_body
from api.deps import ID, AppendDep, LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, appended, failures
from api.place_answers import (
    KeptPlace,
    PlacesAnswer,
    RoomDrawing,
    room_answer,
    room_drawing,
)
from api.schemas import Written
from ledger.damage import stored_so
from ledger.errors import InvalidError, MalformedError, NotFoundError, Problem
from ledger.events.placement import PLACE_MOST, Spot
from ledger.usecases.drafts import ACT_MOST
from ledger.usecases.places import Move, in_place, look_at_places, move
from ledger.views import NOTHING
from ledger.when import When

router = APIRouter(prefix="/places", tags=["places"])

_MEASURE: Final = r"^(0|[1-9]\d{0,5})(\.\d{1,3})?$"
_UNIT: Final = {"x-unit": "cm"}
RoomId = Annotated[str, Path(description="The collector's own id of the room.", examples=["study"])]


class MoveLine(BaseModel):
    """One book and where it goes."""

    model_config = ConfigDict(extra="forbid")

    book: str = Field(pattern=f"^{ID.pattern}$", description="Id of the book.")
    spot: Spot = Field(description="The kind of spot it goes to: a wall, a box or a safe.")
    room: str | None = Field(
        None,
        max_length=40,
        description="Id of the room. Of a box or safe left out, it is the one room that the books in it name.",
    )
    wall: str | None = Field(None, max_length=40, description="Id of the wall within the room.")
    x_cm: str | None = Field(
        None,
        pattern=_MEASURE,
        description="From the left end of the wall to the middle of the book. Units: cm, a decimal as text.",
        json_schema_extra=dict(_UNIT),
    )
    y_cm: str | None = Field(
        None,
        pattern=_MEASURE,
        description="From the floor to the middle of the book. Units: cm, a decimal as text.",
        json_schema_extra=dict(_UNIT),
    )
    place: str | None = Field(
        None,
        max_length=PLACE_MOST,
        description="Name of the box or safe, or of the place on the wall; sealed. Left out on the same wall, the name "
        "that it had there stays.",
    )


class MoveBody(BaseModel):
    """Books that are moved together."""

    model_config = ConfigDict(extra="forbid")

    moves: list[MoveLine] = Field(min_length=1, max_length=ACT_MOST, description="Each book with its new place.")
    on: str | None = Field(None, max_length=60, description="Since when, in EDTF; null is not known.")
    despite: bool = Field(
        default=False, description="Written although something is in the way: sizes may be assumed, a wall may differ."
    )


@router.get(
    "",
    summary="List the places",
    response_description="Rooms with what hangs on their walls, boxes and safes with what is in them.",
    responses=failures(*EVERYWHERE),
)
def read_places(ledger: LedgerDep, actor: ReadingDep) -> PlacesAnswer:
    """Where every book is that has a place."""
    with stored_so():
        places = look_at_places(ledger, actor)
        kept = [
            KeptPlace(
                spot=each.spot,
                place=each.place,
                count=each.books,
                room=each.room,
                books=[row.book for row in in_place(ledger, actor, each.place or NOTHING) if row.spot == each.spot],
            )
            for each in places.kept
        ]
        known = {(room.id, wall.id) for room in places.rooms for wall in room.event.walls}
        return PlacesAnswer(
            rooms=[room_answer(places, each) for each in places.rooms],
            elsewhere=[each.book for each in places.hung if (each.room, each.wall) not in known],
            kept=kept,
        )


@router.get(
    "/rooms/{room}",
    summary="Read what the walls of a room are drawn from",
    response_description="Every wall to scale: its windows, lamps and light, what hangs on it, and what is in the way.",
    responses=failures(404, *EVERYWHERE),
)
def read_room(ledger: LedgerDep, actor: ReadingDep, room: RoomId) -> RoomDrawing:
    """Sizes of what hangs are as measured, else those common at the time; a holder reaches beyond its book."""
    with stored_so():
        places = look_at_places(ledger, actor)
    own = an_id("room", room)
    found = next((each for each in places.rooms if each.id == own), None)
    if found is None:
        raise NotFoundError(what="room", name=room)
    return room_drawing(places, found)


@router.post(
    "/move",
    summary="Move books",
    status_code=201,
    response_description="A placement of each book, all of one act.",
    responses=appended(404),
)
def move_books(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """All of it is written, or nothing; what is in the way is refused, unless it is sent with `despite`.

    Each book keeps what it is housed in: a sleeve, a board, a box, a frame.
    """
    plain = append.plain()
    body = read_body(MoveBody, plain)
    moves = [Move(**each.model_dump()) for each in body.moves]
    asked = append.asked("move", plain)
    recorded = move(ledger, append.actor, moves, _when(body.on), asked, despite=body.despite)
    return answered(request, response, recorded, f"/acts/{recorded.act}")


def _when(text: str | None) -> When | None:
    """The date.

    Raises: InvalidError.
    """
    try:
        return When.parse(text) if text is not None else None
    except MalformedError as error:
        raise InvalidError(problems=(Problem(field="on", sentence=str(error)),)) from error
