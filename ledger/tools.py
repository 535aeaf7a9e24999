"""Presses and tools of the bench: how many books each takes, and what it was measured at; no part of the account."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Final

from ledger.errors import Problem

__all__ = [
    "CAPACITY_MOST",
    "NAME_MOST",
    "NOTE_MOST",
    "POINTS_MOST",
    "TOOLS_MOST",
    "Calibration",
    "Point",
    "Tool",
    "ToolKind",
    "ToolSaid",
    "flaws_of_tool",
    "tool_of",
]

TOOLS_MOST: Final = 40
NAME_MOST: Final = 80
NOTE_MOST: Final = 400
POINTS_MOST: Final = 30
CAPACITY_MOST: Final = 60
"""Books in one tool. As many as a load holds."""
COLDEST, HOTTEST = Decimal(-40), Decimal(300)
"""No tool of the bench is set or measured beyond. Units: °C. Our assumption."""

_CELSIUS: Final = re.compile(r"-?[0-9]{1,3}(?:\.[0-9]{1,2})?")
_WHOLE: Final = re.compile(r"[0-9]{1,4}")
_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class ToolKind(StrEnum):
    """What a tool is; the value is how it is said."""

    HOT_PRESS = "hot press"
    COLD_PRESS = "cold press"
    IRON_TIP = "iron tip"
    HOT_TOOL = "other hot tool"
    WEIGHT = "boards and weight"
    OTHER = "other tool"

    @property
    def heats(self) -> bool:
        """It is set to a temperature, so that it can be measured at one."""
        return self in (ToolKind.HOT_PRESS, ToolKind.IRON_TIP, ToolKind.HOT_TOOL)


@dataclass(frozen=True, kw_only=True)
class Point:
    """What the dial was set to, and what was measured then. Units: °C."""

    set_celsius: Decimal
    measured_celsius: Decimal


@dataclass(frozen=True, kw_only=True)
class Calibration:
    """One round of measuring: on which day, with what, and its points in the order of the dial.

    Keeps: at least one point, and no two for one place of the dial.
    """

    on: date
    measured_with: str
    points: tuple[Point, ...]

    @property
    def reach(self) -> tuple[Decimal, Decimal]:
        """Between which places of the dial it holds. Units: °C."""
        return self.points[0].set_celsius, self.points[-1].set_celsius

    def measured_at(self, set_celsius: Decimal) -> Decimal | None:
        """What is measured with the dial there; None where that is not known. Units: °C.

        On the straight line between the two points beside it. Outside of the points, and beside a single one, nothing
        is known: a heater may do anything there.
        Source: linear interpolation, as numpy.interp works it out, which holds the last value outside; this does not.
        """
        for point in self.points:
            if point.set_celsius == set_celsius:
                return point.measured_celsius
        for low, high in zip(self.points, self.points[1:], strict=False):
            if low.set_celsius < set_celsius < high.set_celsius:
                way = (set_celsius - low.set_celsius) / (high.set_celsius - low.set_celsius)
                return low.measured_celsius + (high.measured_celsius - low.measured_celsius) * way
        return None


@dataclass(frozen=True, kw_only=True)
class Tool:
    """One press or tool under the name it has on the bench."""

    id: str
    name: str
    kind: ToolKind
    made: datetime
    capacity: int | None = None
    """Books that it takes at once; None where that was left open, and then nothing is refused."""
    calibration: Calibration | None = None
    note: str = ""
    retired: bool = False
    """It takes no new load."""

    def measured_at(self, set_celsius: Decimal) -> Decimal | None:
        """As the calibration has it; None where there is none, or it does not reach there. Units: °C."""
        return None if self.calibration is None else self.calibration.measured_at(set_celsius)

    def room(self, busy: int) -> int | None:
        """For how many books there is room beside those; None where that was left open."""
        return None if self.capacity is None else max(0, self.capacity - busy)


@dataclass(frozen=True, kw_only=True)
class ToolSaid:
    """A tool as somebody describes it: figures as text, the day as ISO 8601 has it, empty for what was left open."""

    name: str
    kind: str
    capacity: str = ""
    on: str = ""
    measured_with: str = ""
    points: Sequence[tuple[str, str]] = ()
    """Set, measured."""
    note: str = ""


def flaws_of_tool(said: ToolSaid) -> list[Problem]:
    """What cannot be so, each at its field."""
    return [*_flaws(said), *_flaws_of_calibration(said), *_flaws_of_points(said.points)]


def tool_of(said: ToolSaid, *, id: str, made: datetime, retired: bool = False) -> Tool:  # noqa: A002 - as the field is called
    """The tool that was described.

    Requires: a description without flaws.
    """
    points = sorted(
        (Point(set_celsius=Decimal(put), measured_celsius=Decimal(got)) for put, got in said.points),
        key=lambda each: each.set_celsius,
    )
    calibration = None
    if points:
        calibration = Calibration(
            on=date.fromisoformat(said.on), measured_with=said.measured_with.strip(), points=tuple(points)
        )
    return Tool(
        id=id,
        name=said.name.strip(),
        kind=ToolKind(said.kind),
        made=made,
        capacity=int(said.capacity) if said.capacity else None,
        calibration=calibration,
        note=said.note.strip(),
        retired=retired,
    )


def _flaws(said: ToolSaid) -> Iterator[Problem]:
    if not 1 <= len(said.name.strip()) <= NAME_MOST or not said.name.isprintable():
        yield Problem(field="name", sentence=f"A tool has a name of 1 to {NAME_MOST} characters, in one line.")
    if said.kind not in {each.value for each in ToolKind}:
        yield Problem(field="kind", sentence=f"Choose one of these: {', '.join(ToolKind)}.")
    if said.capacity and not (_WHOLE.fullmatch(said.capacity) and 1 <= int(said.capacity) <= CAPACITY_MOST):
        sentence = f"It takes 1 to {CAPACITY_MOST} books at once. Write a whole number, or leave it open."
        yield Problem(field="capacity", sentence=sentence)
    if len(said.note) > NOTE_MOST:
        yield Problem(field="note", sentence=f"It has up to {NOTE_MOST} characters. Shorten it.")


def _flaws_of_calibration(said: ToolSaid) -> Iterator[Problem]:
    """The day, the means, and that they come together with points."""
    points, heats = bool(said.points), {each.value: each.heats for each in ToolKind}.get(said.kind, True)
    if points and not heats:
        sentence = f"A tool of the kind {said.kind} is set to no temperature. Take the points away, or change its kind."
        yield Problem(field="calibration.points.0.set_celsius", sentence=sentence)
    if said.on and _day(said.on) is None:
        yield Problem(field="calibration.on", sentence="Write the day on which it was measured, such as 2026-03-01.")
    if points and not said.on:
        yield Problem(field="calibration.on", sentence="Say on which day it was measured.")
    if points and not said.measured_with.strip():
        yield Problem(field="calibration.measured_with", sentence="Say with what it was measured.")
    if len(said.measured_with) > NAME_MOST:
        sentence = f"It has up to {NAME_MOST} characters. Shorten it."
        yield Problem(field="calibration.measured_with", sentence=sentence)
    if not points and (said.on or said.measured_with.strip()):
        sentence = (
            "Write at least one point: what it was set to, and what was measured. Or leave the day and means out."
        )
        yield Problem(field="calibration.points.0.set_celsius", sentence=sentence)


def _flaws_of_points(points: Sequence[tuple[str, str]]) -> Iterator[Problem]:
    if len(points) > POINTS_MOST:
        yield Problem(field="calibration.points", sentence=f"Up to {POINTS_MOST} points are kept. Leave some out.")
    seen: dict[Decimal, int] = {}
    for place, pair in enumerate(points):
        for name, text in zip(("set_celsius", "measured_celsius"), pair, strict=True):
            if _celsius(text) is None:
                sentence = f"Write °C from {COLDEST} to {HOTTEST}, to hundredths at most, such as 58.5."
                yield Problem(field=f"calibration.points.{place}.{name}", sentence=sentence)
        put = _celsius(pair[0])
        if put is not None and put in seen:
            sentence = f"Row {seen[put] + 1} has this temperature already. Keep one of the two."
            yield Problem(field=f"calibration.points.{place}.set_celsius", sentence=sentence)
        elif put is not None:
            seen[put] = place


def _celsius(text: str) -> Decimal | None:
    value = Decimal(text) if _CELSIUS.fullmatch(text) else None
    return value if value is not None and COLDEST <= value <= HOTTEST else None


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        return None
