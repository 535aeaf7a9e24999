"""Presses and tools: what there is, how much room is left, what each was measured at; added and changed at the computer."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.errors import ConflictError, InvalidError, Problem
from ledger.tools import Tool
from ledger.usecases import tools as work
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.sender import SenderDep
from web.told import go_to
from web.tool_lines import KINDS, Row, Sent, ToolLine, line_of_tool
from web.wording import t

router = APIRouter()
"""What a phone may look at."""
keeping = APIRouter()
"""What changes a tool."""

PATH: Final = f"{Place.BENCH.path}/tools"
NEW: Final = f"{PATH}/new"
ONE: Final = f"{PATH}/{{tool}}"


@page("tools.html")
@dataclass(frozen=True, kw_only=True)
class ToolsPage(Page):
    """All of them; those in use first."""

    tools: tuple[ToolLine, ...]


@page("tool.html")
@dataclass(frozen=True, kw_only=True)
class ToolPage(Page):
    """The form of one tool; `id` is empty for a new one."""

    id: str
    name: str
    retired: bool
    action: str
    kinds: tuple[tuple[str, str], ...]
    values: Mapping[str, str]
    rows: tuple[Row, ...]
    waiting: str
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """What there is."""
    lines = [line_of_tool(tool, room) for tool, room in work.look_at_rooms(ledger, actor)]
    return render(ToolsPage(frame=frame.at(Place.BENCH), tools=tuple(sorted(lines, key=lambda each: each.retired))))


@keeping.get(NEW)
def new(frame: FrameDep, waiting: WaitingDep) -> Response:
    """The form of one more."""
    return render(_page(frame, None, _sent(waiting, NEW, None), waiting))


@keeping.post(NEW)
def add(by: SenderDep, posted: PostedDep) -> Response:
    """It is kept, or the form comes back: with more rows, or with what stands in its way."""
    sent = Sent.posted(posted)
    if posted.get("do") == "rows":
        return render(_page(by.frame, None, sent.with_more(), posted))
    try:
        made = work.add_tool(by.ledger, by.actor, sent.said(by.habits))
    except (InvalidError, ConflictError) as error:
        return _back(by.frame, None, sent, posted, error)
    return go_to(by.request, PATH, Told(sentence=t("tools.added", name=made.name)))


@keeping.get(ONE)
def one(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep, tool: str) -> Response:
    """The form of one."""
    found = work.look_at_tool(ledger, actor, tool)
    return render(_page(frame, found, _sent(waiting, f"{PATH}/{tool}", found), waiting))


@keeping.post(ONE)
def change(by: SenderDep, posted: PostedDep, tool: str) -> Response:
    """It is so from now on, or the form comes back."""
    found, sent = work.look_at_tool(by.ledger, by.actor, tool), Sent.posted(posted)
    if posted.get("do") == "rows":
        return render(_page(by.frame, found, sent.with_more(), posted))
    try:
        made = work.change_tool(by.ledger, by.actor, tool, sent.said(by.habits))
    except (InvalidError, ConflictError) as error:
        return _back(by.frame, found, sent, posted, error)
    return go_to(by.request, PATH, Told(sentence=t("tools.changed", name=made.name)))


@keeping.post(f"{ONE}/retire")
def retire(request: Request, ledger: LedgerDep, actor: ActorDep, tool: str) -> Response:
    """It takes no new load."""
    return _retired(request, work.retire_tool(ledger, actor, tool, retired=True))


@keeping.post(f"{ONE}/back")
def take_up(request: Request, ledger: LedgerDep, actor: ActorDep, tool: str) -> Response:
    """It takes loads again."""
    return _retired(request, work.retire_tool(ledger, actor, tool, retired=False))


@keeping.post(f"{ONE}/off")
def take_away(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, tool: str) -> Response:
    """It is no longer kept."""
    found = work.look_at_tool(ledger, actor, tool)
    try:
        work.take_tool(ledger, actor, tool)
    except ConflictError as error:
        return _back(frame, found, Sent.of(found), Posted(), error)
    return go_to(request, PATH, Told(sentence=t("tools.taken_away", name=found.name)))


def _retired(request: Request, tool: Tool) -> Response:
    said = t("tools.retired_now" if tool.retired else "tools.back_now", name=tool.name)
    return go_to(request, PATH, Told(sentence=said))


def _sent(waiting: Posted | None, action: str, tool: Tool | None) -> Sent:
    """What had been typed before its sender had to sign in, else the tool as it is."""
    return Sent.posted(waiting) if waiting is not None and waiting.action == action else Sent.of(tool)


def _back(frame: Frame, tool: Tool | None, sent: Sent, posted: Posted, error: InvalidError | ConflictError) -> Response:
    """The form with what stands in its way."""
    if isinstance(error, InvalidError):
        problems = tuple(sent.placed(each) for each in error.problems)
        return render(_page(frame, tool, sent, posted, problems), status=422)
    return render(_page(frame, tool, sent, posted, (Problem(field="name", sentence=str(error)),)), status=409)


def _page(
    frame: Frame, tool: Tool | None, sent: Sent, waiting: Posted | None, problems: tuple[Problem, ...] = ()
) -> ToolPage:
    faults: dict[str, str] = {}
    for each in problems:
        faults[each.field] = f"{faults.get(each.field, '')} {each.sentence}".strip()
    return ToolPage(
        frame=frame.at(Place.BENCH),
        id=tool.id if tool else "",
        name=tool.name if tool else "",
        retired=tool.retired if tool else False,
        action=f"{PATH}/{tool.id}" if tool else NEW,
        kinds=KINDS,
        values=sent.values,
        rows=sent.rows,
        waiting=waiting.waiting if waiting is not None else "",
        problems=problems,
        faults=faults,
    )
