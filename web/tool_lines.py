"""What the pages show of presses and tools: kind, room and calibration in words; and a tool as its form reads and holds it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from ledger.errors import InTheWay, InvalidError, NoRoomError, Problem
from ledger.tools import POINTS_MOST, Calibration, Tool, ToolKind, ToolSaid, flaws_of_tool
from ledger.when import When
from web.bench_lines import at_words
from web.form_values import Habits, date_read
from web.posted import Posted
from web.wording import t

__all__ = ["KINDS", "PointLine", "Row", "Sent", "ToolLine", "line_of_tool", "measured_words", "no_room", "room_words"]

_ROW: Final = re.compile(r"calibration\.points\.([0-9]{1,3})\.set_celsius")
_EMPTY_ROWS: Final = 2
_LEAST_ROWS: Final = 4
KINDS: Final = tuple((each.value, t(f"tools.kind.{each.name.lower()}")) for each in ToolKind)


@dataclass(frozen=True, kw_only=True)
class PointLine:
    """What was set, what was measured, and by how much that is more or less. Units: °C."""

    put: str
    got: str
    off: str


@dataclass(frozen=True, kw_only=True)
class ToolLine:
    """One tool as a page shows it."""

    id: str
    name: str
    kind: str
    room: str
    calibrated: str
    points: tuple[PointLine, ...]
    note: str
    retired: bool


def line_of_tool(tool: Tool, room: int | None) -> ToolLine:
    """A tool in words."""
    found = tool.calibration
    return ToolLine(
        id=tool.id,
        name=tool.name,
        kind=dict(KINDS)[tool.kind.value],
        room=room_words(tool, room),
        calibrated=_calibrated(tool),
        points=tuple(
            PointLine(
                put=str(each.set_celsius),
                got=str(each.measured_celsius),
                off=f"{each.measured_celsius - each.set_celsius:+}".replace("-", "\N{MINUS SIGN}"),
            )
            for each in (found.points if found else ())
        ),
        note=tool.note,
        retired=tool.retired,
    )


def room_words(tool: Tool, room: int | None) -> str:
    """How many of its places are free."""
    if tool.capacity is None or room is None:
        return t("tools.room_open")
    return t("tools.room", room=room, capacity=tool.capacity) if room else t("tools.room_none", capacity=tool.capacity)


def measured_words(calibration: Calibration) -> str:
    """When and with what a tool was measured."""
    return t("tools.measured", day=When.of_day(calibration.on).label(), means=calibration.measured_with)


def no_room(error: NoRoomError, now: datetime) -> str:
    """Why a press takes no more, and which load comes out when, by the clock of this place."""
    words = t.n("tools.full.wanted", error.wanted, tool=error.tool, room=_left(error.room))
    if not error.held:
        return f"{words} {t('tools.full.fewer')}"
    return f"{words} {' '.join(_out(each, now) for each in error.held)} {t('tools.full.mend')}"


def _left(room: int) -> str:
    return t.n("tools.full.room", room) if room else t("tools.full.none")


def _out(load: InTheWay, now: datetime) -> str:
    named = {"what": load.words, "books": t.n("tools.full.books", load.books)}
    if load.ends is None:
        return t("tools.full.open", **named)
    return t("tools.full.over" if load.ends <= now else "tools.full.out", at=at_words(load.ends, now), **named)


def _calibrated(tool: Tool) -> str:
    if tool.calibration is not None:
        return measured_words(tool.calibration)
    return t("tools.not_measured") if tool.kind.heats else ""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of the calibration as it stands in the form."""

    number: int
    put: str
    got: str


@dataclass(frozen=True, kw_only=True)
class Sent:
    """A tool as it stands in its form: every field as it was typed."""

    values: Mapping[str, str]
    rows: tuple[Row, ...]

    @classmethod
    def of(cls, tool: Tool | None) -> "Sent":
        """What would have to be typed for a tool; rows enough for a first one."""
        found = tool.calibration if tool is not None else None
        rows = [(str(each.set_celsius), str(each.measured_celsius)) for each in (found.points if found else ())]
        values = {
            "name": tool.name if tool else "",
            "kind": tool.kind.value if tool else ToolKind.HOT_PRESS.value,
            "capacity": str(tool.capacity) if tool and tool.capacity else "",
            "note": tool.note if tool else "",
            "calibration.on": When.of_day(found.on).label() if found else "",
            "calibration.measured_with": found.measured_with if found else "",
        }
        count = max(_LEAST_ROWS, len(rows) + _EMPTY_ROWS)
        return cls(values=values, rows=_numbered([*rows, *[("", "")] * (count - len(rows))]))

    @classmethod
    def posted(cls, posted: Posted) -> "Sent":
        """What was typed, row by row."""
        found = {int(row[1]) for name, _ in posted.fields if (row := _ROW.fullmatch(name))}
        count = min(POINTS_MOST, max(found, default=-1) + 1)
        at = "calibration.points"
        rows = [(posted.get(f"{at}.{n}.set_celsius"), posted.get(f"{at}.{n}.measured_celsius")) for n in range(count)]
        return cls(values={name: posted.get(name) for name in cls.of(None).values}, rows=_numbered(rows))

    def with_more(self) -> "Sent":
        """The same with rows to fill in."""
        rows = [(each.put, each.got) for each in self.rows]
        return replace(self, rows=_numbered([*rows, *[("", "")] * min(_EMPTY_ROWS, POINTS_MOST - len(rows))]))

    def said(self, habits: Habits) -> ToolSaid:
        """The tool that was described.

        Raises: InvalidError with every problem, where its day cannot be read.
        """
        filled = [each for each in self.rows if each.put.strip() or each.got.strip()]
        on, unread = self._day(habits)
        said = ToolSaid(
            name=self.values["name"],
            kind=self.values["kind"],
            capacity=self.values["capacity"].strip(),
            on=on,
            measured_with=self.values["calibration.measured_with"],
            points=[(_plain(each.put), _plain(each.got)) for each in filled],
            note=self.values["note"].replace("\r\n", "\n"),
        )
        if unread is not None:
            flaws = [each for each in flaws_of_tool(said) if each.field != unread.field]
            raise InvalidError(problems=(*flaws, unread))
        return said

    def placed(self, problem: Problem) -> Problem:
        """A problem at the row it is about: rows in which nothing stands are not counted by the ledger."""
        head, _, rest = problem.field.partition("points.")
        place, _, name = rest.partition(".")
        filled = [each.number for each in self.rows if each.put.strip() or each.got.strip()]
        if not (head and place.isdecimal() and name):
            return problem
        number = filled[int(place)] if int(place) < len(filled) else 0
        return replace(problem, field=f"{head}points.{number}.{name}")

    def _day(self, habits: Habits) -> tuple[str, Problem | None]:
        text = self.values["calibration.on"].strip()
        if not text:
            return "", None
        answer = date_read(text, habits)
        if isinstance(answer.plain, str):
            return answer.plain, None
        sentence = t("tools.two_ways") if answer.choices else answer.fault
        return "", Problem(field="calibration.on", sentence=sentence)


def _numbered(rows: Sequence[tuple[str, str]]) -> tuple[Row, ...]:
    return tuple(Row(number=number, put=put, got=got) for number, (put, got) in enumerate(rows))


def _plain(text: str) -> str:
    """A temperature as it was read off: with a comma or a point, with its unit or without."""
    return text.strip().removesuffix("°C").strip().replace("\N{MINUS SIGN}", "-").replace(",", ".")
