"""Whether a load can begin: no book is in two at a time, and no press holds more books than it takes."""

from collections.abc import Sequence
from dataclasses import replace

from ledger.bench import LOADS_MOST, BenchWriter, Load, Step, in_tool
from ledger.errors import ConflictError, InTheWay, NoRoomError, NotFoundError
from ledger.rules.techniques import techniques

__all__ = ["begun"]


def begun(writer: BenchWriter, load: Load, after: frozenset[str]) -> Load:
    """The load, now on the bench; `after` are loads whose books may go on in it.

    Raises: ConflictError, NoRoomError, NotFoundError for a tool that is not here.
    """
    others = writer.loads()
    if len(others) >= LOADS_MOST:
        raise ConflictError(sentence=f"There are {LOADS_MOST} loads on the bench. Write down what is over first.")
    busy = {book for each in others for book in each.books if each.id not in after}
    if taken := [book for book in load.books if book in busy]:
        count = "One of these books is" if len(taken) == 1 else f"{len(taken)} of these books are"
        raise ConflictError(sentence=f"{count} in another load. Write down what came of that first.")
    if load.tool is not None:
        load = _into(writer, load, load.tool, in_tool(others, load.tool))
    writer.put_load(load)
    return load


def _into(writer: BenchWriter, load: Load, name: str, held: Sequence[Load]) -> Load:
    """The load as it goes into a tool that takes it."""
    tool = writer.tool(name)
    if tool is None:
        raise NotFoundError(what="tool", name=name)
    if tool.retired:
        raise ConflictError(sentence=f"{tool.name} takes nothing new: it is retired. Choose another.")
    room = tool.room(sum(len(each.books) for each in held))
    if room is not None and room < len(load.books):
        raise NoRoomError(tool=tool.name, room=room, wanted=len(load.books), held=tuple(map(_in_the_way, held)))
    called = {"tool": tool.name} if not load.step.values.get("tool", "").strip() else {}
    return replace(load, step=Step(values={**load.step.values, **called}))


def _in_the_way(load: Load) -> InTheWay:
    title = next((each.title for each in techniques() if each.id == load.step.technique), load.step.technique)
    return InTheWay(words=title, books=len(load.books), ends=load.ends)
