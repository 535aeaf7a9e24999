"""Presses and tools are kept, changed, retired and taken away by the owner; whoever works at the bench chooses one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.actor import Actor, Permission
from ledger.bench import BenchStore, BenchWriter, Load, books_in
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.tools import TOOLS_MOST, Calibration, Tool, ToolSaid, flaws_of_tool, tool_of
from ledger.usecases.record import random_id

__all__ = [
    "Expected",
    "add_tool",
    "change_tool",
    "expected_at",
    "expected_of",
    "look_at_rooms",
    "look_at_tool",
    "look_at_tools",
    "retire_tool",
    "take_tool",
    "tool_of_load",
]

_PLACES_LEAST: Final = 1
"""Decimals of a temperature that was worked out; more only where the calibration has more. Our assumption."""
_A_DAY: Final = timedelta(days=1)
"""Somewhere it is tomorrow already."""


@dataclass(frozen=True, kw_only=True)
class Expected:
    """What a tool is known to measure where a load set it: from its calibration, and not measured in this run."""

    tool: Tool
    calibration: Calibration
    set_celsius: str
    celsius: Decimal | None
    """None where the calibration does not reach there. Units: °C, as finely as it was measured."""


def look_at_tools(ledger: Ledger, actor: Actor) -> tuple[Tool, ...]:
    """All of them by name, retired ones too."""
    _let_look(actor)
    with _store(ledger).read() as reader:
        return tuple(reader.tools())


def look_at_tool(ledger: Ledger, actor: Actor, tool: str) -> Tool:
    """One of them.

    Raises: NotFoundError.
    """
    _let_look(actor)
    with _store(ledger).read() as reader:
        return _found(reader.tool(tool), tool)


def look_at_rooms(ledger: Ledger, actor: Actor) -> tuple[tuple[Tool, int | None], ...]:
    """Every tool by name, with the room that is left in it now; None where its capacity was left open."""
    _let_look(actor)
    with _store(ledger).read() as reader:
        loads = reader.loads()
        return tuple((each, each.room(books_in(loads, each.id))) for each in reader.tools())


def add_tool(ledger: Ledger, actor: Actor, said: ToolSaid, *, retired: bool = False) -> Tool:
    """One more tool.

    Raises: InvalidError, ConflictError.
    """
    actor.require(Permission.RECORD)
    _refuse(said, ledger.clock.today())
    made = tool_of(said, id=random_id(ledger.chance), made=ledger.clock.now(), retired=retired)

    def work(writer: BenchWriter) -> Tool:
        others = writer.tools()
        if len(others) >= TOOLS_MOST:
            raise ConflictError(sentence=f"There are {TOOLS_MOST} tools. Take one away first.")
        return _put(writer, made, others)

    return _store(ledger).write(work)


def change_tool(ledger: Ledger, actor: Actor, tool: str, said: ToolSaid, *, retired: bool | None = None) -> Tool:
    """The tool as it is described now, whole; `retired` is left as it was unless it is said.

    Raises: InvalidError, ConflictError, NotFoundError.
    """
    actor.require(Permission.RECORD)
    _refuse(said, ledger.clock.today())

    def work(writer: BenchWriter) -> Tool:
        before = _found(writer.tool(tool), tool)
        kept = before.retired if retired is None else retired
        made = tool_of(said, id=tool, made=before.made, retired=kept)
        return _put(writer, made, [each for each in writer.tools() if each.id != tool])

    return _store(ledger).write(work)


def retire_tool(ledger: Ledger, actor: Actor, tool: str, *, retired: bool) -> Tool:
    """The tool, which takes no new load from now on, or takes them again; what is in it stays in.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)

    def work(writer: BenchWriter) -> Tool:
        made = replace(_found(writer.tool(tool), tool), retired=retired)
        writer.put_tool(made)
        return made

    return _store(ledger).write(work)


def take_tool(ledger: Ledger, actor: Actor, tool: str) -> None:
    """It is no longer kept; what entries call by its name stays in the ledger.

    Raises: NotFoundError, ConflictError while a load of it has not been told.
    """
    actor.require(Permission.RECORD)

    def work(writer: BenchWriter) -> None:
        found = _found(writer.tool(tool), tool)
        if any(each.tool == tool for each in writer.loads()):
            sentence = f"A load on the bench is of {found.name}. Write down what came of it first, or retire the tool."
            raise ConflictError(sentence=sentence)
        writer.take_tool(tool)

    _store(ledger).write(work)


def expected_of(load: Load, tools: Sequence[Tool]) -> Expected | None:
    """What the tool of a load is known to measure; None where it was never measured, or nothing was set."""
    tool = next((each for each in tools if each.id == load.tool), None)
    return None if tool is None else expected_at(tool, load.step.values.get("settings.set_celsius", ""))


def expected_at(tool: Tool, set_celsius: str) -> Expected | None:
    """What a tool is known to measure there; None where it was never measured, or that cannot be read.

    Keeps: nothing beyond the calibration is worked out.
    """
    put = set_celsius.strip()
    if tool.calibration is None or not put:
        return None
    try:
        measured = tool.measured_at(Decimal(put.replace(",", ".")))
    except InvalidOperation:
        return None
    celsius = None if measured is None else _as_finely(measured, tool.calibration)
    return Expected(tool=tool, calibration=tool.calibration, set_celsius=put, celsius=celsius)


def tool_of_load(ledger: Ledger, actor: Actor, load: str) -> Tool | None:
    """The tool that a load on the bench is of; None where it is of none, or either is gone."""
    _let_look(actor)
    if ledger.bench is None:
        return None
    with ledger.bench.read() as reader:
        found = reader.load(load)
        return reader.tool(found.tool) if found is not None and found.tool is not None else None


def _let_look(actor: Actor) -> None:
    """Whoever works at the bench chooses a tool, even somebody who may not read the collection."""
    if not actor.may(Permission.BENCH):
        actor.require(Permission.READ)


def _as_finely(celsius: Decimal, calibration: Calibration) -> Decimal:
    """A worked-out temperature says no more than the thermometer did."""
    places = [len(str(each.measured_celsius).partition(".")[2]) for each in calibration.points]
    return celsius.quantize(Decimal(1).scaleb(-max(_PLACES_LEAST, *places)))


def _refuse(said: ToolSaid, today: date) -> None:
    problems = flaws_of_tool(said)
    if not any(each.field == "calibration.on" for each in problems) and said.on > (today + _A_DAY).isoformat():
        problems.append(Problem(field="calibration.on", sentence="That day is still to come. Write the day it was."))
    if problems:
        raise InvalidError(problems=tuple(problems))


def _put(writer: BenchWriter, tool: Tool, others: Sequence[Tool]) -> Tool:
    """Keeps: no two tools have one name, for a step names its tool."""
    if any(each.name.casefold() == tool.name.casefold() for each in others):
        raise ConflictError(sentence=f"There is a tool called {tool.name} already. Give this one another name.")
    writer.put_tool(tool)
    return tool


def _found(tool: Tool | None, name: str) -> Tool:
    if tool is None:
        raise NotFoundError(what="tool", name=name)
    return tool


def _store(ledger: Ledger) -> BenchStore:
    if ledger.bench is None:
        raise ConflictError(sentence="This ledger is open for reading only, and has no bench.")
    return ledger.bench
