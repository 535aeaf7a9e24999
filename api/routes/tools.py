"""tools: presses and tools of the bench, how many books each takes, and what it was measured at."""

from collections.abc import Iterable
from typing import Annotated

from fastapi import APIRouter, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from api.answers import placed
from api.bodies import read_body, read_json
from api.deps import LedgerDep, OwningBodyDep, OwningDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.schemas import Answer
from ledger.actor import Actor
from ledger.proof.envelope import moment_text
from ledger.tools import CAPACITY_MOST, NAME_MOST, NOTE_MOST, POINTS_MOST, Tool, ToolKind, ToolSaid
from ledger.usecases import tools as work

__all__ = ["ToolAnswer", "ToolBody", "router", "told"]

router = APIRouter(prefix="/bench/tools", tags=["bench"])

_ID = "t5o2l6e3x4a7m2p5l6e3t4o7o2"
_SHAPE = r"^-?[0-9]{1,3}(\.[0-9]{1,2})?$"
_WHAT = "tool"

ToolId = Annotated[str, Path(description="Id of the tool.", examples=[_ID])]


class PointBody(BaseModel):
    """One point of a calibration."""

    model_config = ConfigDict(extra="forbid")

    set_celsius: str = Field(pattern=_SHAPE, description="What the dial was set to. Units: °C, a decimal as text.")
    measured_celsius: str = Field(pattern=_SHAPE, description="What was measured. Units: °C, a decimal as text.")


class CalibrationBody(BaseModel):
    """One round of measuring; no two points for one place of the dial."""

    model_config = ConfigDict(extra="forbid")

    on: str = Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$", description="On which day. Units: ISO 8601 date.")
    measured_with: str = Field(min_length=1, max_length=NAME_MOST, description="With what it was measured.")
    points: list[PointBody] = Field(min_length=1, max_length=POINTS_MOST, description="The points, in any order.")


class ToolBody(BaseModel):
    """A tool, whole."""

    model_config = ConfigDict(extra="forbid")

    name: str = Field(min_length=1, max_length=NAME_MOST, description="What it is called on the bench; no two alike.")
    kind: ToolKind = Field(description="What it is.")
    capacity: int | None = Field(
        None, ge=1, le=CAPACITY_MOST, description="How many books it takes at once; null where that is left open."
    )
    calibration: CalibrationBody | None = Field(
        None, description="What it was measured at; null where it was not. Only for a tool that heats."
    )
    note: str = Field("", max_length=NOTE_MOST, description="Whatever is to be known of it.")
    retired: bool = Field(default=False, description="It takes no new load.")

    def said(self) -> ToolSaid:
        """As the ledger hears it."""
        found = self.calibration
        return ToolSaid(
            name=self.name,
            kind=self.kind.value,
            capacity="" if self.capacity is None else str(self.capacity),
            on=found.on if found else "",
            measured_with=found.measured_with if found else "",
            points=[(each.set_celsius, each.measured_celsius) for each in found.points] if found else (),
            note=self.note,
        )


class PointAnswer(Answer):
    """One point of a calibration."""

    set_celsius: str = Field(description="What the dial was set to. Units: °C, a decimal as text.")
    measured_celsius: str = Field(description="What was measured. Units: °C, a decimal as text.")


class CalibrationAnswer(Answer):
    """One round of measuring; outside of its points nothing is known."""

    on: str = Field(description="On which day. Units: ISO 8601 date.")
    measured_with: str = Field(description="With what it was measured.")
    points: list[PointAnswer] = Field(description="The points, by what was set.")


class ToolAnswer(Answer):
    """One press or tool."""

    id: str = Field(description="Id of the tool.", examples=[_ID])
    name: str = Field(description="What it is called on the bench.")
    kind: ToolKind = Field(description="What it is.")
    capacity: int | None = Field(description="How many books it takes at once; null where that was left open.")
    room: int | None = Field(description="For how many more books there is room now; null where that was left open.")
    calibration: CalibrationAnswer | None = Field(description="What it was measured at; null where it was not.")
    note: str = Field(description="Whatever is to be known of it.")
    retired: bool = Field(description="It takes no new load.")
    made: str = Field(description="When it was added. Units: UTC.")


class ToolList(Answer):
    """All presses and tools."""

    tools: list[ToolAnswer] = Field(description="The tools, by name, retired ones too.")


@router.get("", summary="List tools", response_description="The tools.", responses=failures(*EVERYWHERE))
def list_tools(ledger: LedgerDep, actor: ReadingDep) -> ToolList:
    """Presses and tools with the room that is left in each now."""
    return ToolList(tools=told(work.look_at_rooms(ledger, actor)))


@router.get("/{tool}", summary="Read a tool", response_description="The tool.", responses=failures(404, *EVERYWHERE))
def read_tool(ledger: LedgerDep, actor: ReadingDep, tool: ToolId) -> ToolAnswer:
    """One of them, with the room that is left in it now."""
    return _told(ledger, actor, work.look_at_tool(ledger, actor, an_id(_WHAT, tool)))


@router.post(
    "",
    summary="Add a tool",
    status_code=201,
    response_description="The tool.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/bench/tools/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def add_tool(
    request: Request, response: Response, ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep
) -> ToolAnswer:
    """A press or tool under a name of its own. It lies beside the ledger; nothing is written into it."""
    asked = read_body(ToolBody, read_json(data))
    made = work.add_tool(ledger, actor, asked.said(), retired=asked.retired)
    placed(request, response, f"/bench/tools/{made.id}")
    return _told(ledger, actor, made)


@router.put(
    "/{tool}",
    summary="Change a tool",
    response_description="The tool as it is now.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def change_tool(ledger: LedgerDep, actor: OwningDep, tool: ToolId, data: OwningBodyDep) -> ToolAnswer:
    """The tool is sent whole: what is left out is left out of it. Loads that are in it stay in it."""
    asked = read_body(ToolBody, read_json(data))
    return _told(
        ledger, actor, work.change_tool(ledger, actor, an_id(_WHAT, tool), asked.said(), retired=asked.retired)
    )


@router.delete(
    "/{tool}",
    summary="Take a tool away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(404, 409, *EVERYWHERE),
)
def take_tool(ledger: LedgerDep, actor: OwningDep, tool: ToolId) -> None:
    """Refused while a load of it is on the bench: retire it then. What entries call by its name stays as it was."""
    work.take_tool(ledger, actor, an_id(_WHAT, tool))


def told(rooms: Iterable[tuple[Tool, int | None]]) -> list[ToolAnswer]:
    """The tools, each with the room that is left in it."""
    return [_answer(tool, room) for tool, room in rooms]


def _told(ledger: LedgerDep, actor: Actor, tool: Tool) -> ToolAnswer:
    rooms = {each.id: room for each, room in work.look_at_rooms(ledger, actor)}
    return _answer(tool, rooms.get(tool.id))


def _answer(tool: Tool, room: int | None) -> ToolAnswer:
    found = tool.calibration
    points = [
        PointAnswer(set_celsius=str(each.set_celsius), measured_celsius=str(each.measured_celsius))
        for each in (found.points if found else ())
    ]
    return ToolAnswer(
        id=tool.id,
        name=tool.name,
        kind=tool.kind,
        capacity=tool.capacity,
        room=room,
        calibration=None
        if found is None
        else CalibrationAnswer(on=found.on.isoformat(), measured_with=found.measured_with, points=points),
        note=tool.note,
        retired=tool.retired,
        made=moment_text(tool.made),
    )
