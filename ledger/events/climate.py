"""climate: one channel of a climate logger's file, told by the file's digest, with the room it was read in."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, Scope, fact, sealed
from ledger.events._spelling import digest, short_id
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.collection import Collection

CLOCK = r"^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:[0-5]\d$"
_FORM = re.compile(CLOCK)


class Unit(StrEnum):
    """In what the file gives temperatures; here they are always kept in degrees Celsius."""

    CELSIUS = "°C"
    FAHRENHEIT = "°F"


class DateOrder(StrEnum):
    """How dates were read in the file."""

    YEAR_FIRST = "year first"
    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


@dataclass(frozen=True, kw_only=True)
class Climate(Event):
    """A climate logger's file was taken in, and one channel of it tells the air of a room.

    Keeps: with the file of that digest, the room, the unit and the order of dates, every figure can be worked out again.
    Times are those of the logger's own clock; nothing is filled in where it is silent.

    Rules: 1 first and last are times, and the last is not before the first. 2 A single reading has no interval, and
    more than one have. 3 A channel of a file is in force once. 4 There are not more readings than seconds from first
    to last.
    """

    kind: ClassVar[str] = "climate"
    title: ClassVar[str] = "Climate log"
    lane: ClassVar[Lane] = Lane.CARE
    scope: ClassVar[Scope] = Scope.COLLECTION

    room: str = short_id("Room", "The id of the room, as its own entry has it.")
    wall: str | None = short_id("Wall", "The wall at whose surface it was read; null is in the room.", default=None)
    file: str = digest("File", "The file as it came.")
    channel: int = fact("Channel", "Its number in the file, in the order of columns or of names.", ge=1, le=64)
    first: str = fact("First reading", "By the logger's clock, such as 2026-01-31T18:05:00.", pattern=CLOCK)
    last: str = fact("Last reading", "By the logger's clock, such as 2026-01-31T18:05:00.", pattern=CLOCK)
    readings: int = fact("Readings", "How many have temperature or humidity.", ge=1, le=10_000_000)
    interval_seconds: int | None = fact(
        "Interval", "The commonest step from one reading to the next. Units: s.", default=None, ge=1, le=31_622_400
    )
    coverage_per_mille: int = fact(
        "Coverage",
        "Share of the time from first to last for which both figures are known. Units: thousandths.",
        ge=0,
        le=1000,
    )
    temperature_unit: Unit = fact("Temperatures in", "In what the file gives temperatures.", default=Unit.CELSIUS)
    dates: DateOrder = fact("Order of dates", "How dates were read.", default=DateOrder.YEAR_FIRST)
    file_name: Sealed[str] = sealed("File name")
    channel_name: Sealed[str] = sealed("Channel's name", "As the file has it.")
    place: Sealed[str] = sealed("Where in the room", "In your own words.")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1, 2 and 4."""
        yield from super().flaws()
        ends = _time(self.first), _time(self.last)
        for name, end in zip(("first", "last"), ends, strict=True):
            if end is None:
                yield self.rule(1, "There is no such time. Write it like 2026-01-31T18:05:00.", name)
        if (self.interval_seconds is None) != (self.readings == 1):
            sentence = "One reading has no interval, and several have one. Give it, or leave it out."
            yield self.rule(2, sentence, "interval_seconds")
        if ends[0] is None or ends[1] is None:
            return
        if ends[1] < ends[0]:
            yield self.rule(1, "The last reading is before the first. Check both.", "last")
        elif self.readings > (ends[1] - ends[0]).total_seconds() + 1:
            yield self.rule(4, "There are more readings than seconds from first to last. Check them.", "readings")

    def check_collection(self, collection: "Collection") -> Iterator[Problem]:
        """Rule 3."""
        before = collection.climates.get((self.file, self.channel))
        if before is not None:
            sentence = f"This channel of the file is in force with entry {before}. Withdraw that first."
            yield self.rule(3, sentence, "file", [before])

    def apply_collection(self, collection: "Collection", at: At) -> "Collection":
        """The channel counts."""
        more = {**collection.climates, (self.file, self.channel): at.seq}
        return replace(collection, climates=MappingProxyType(more))

    def summary(self) -> str:
        """The room, from when to when, and how much of it is known."""
        where = f"wall {self.wall} of room {self.room}" if self.wall else f"room {self.room}"
        ends = f"{self.first[:10]} to {self.last[:10]}"
        known = f"{self.coverage_per_mille // 10}.{self.coverage_per_mille % 10} %"
        count = f"{self.readings} reading{'' if self.readings == 1 else 's'}"
        return f"Climate log of {where}: {ends}, {count}, {known} of the time known"


def _time(text: str) -> datetime | None:
    """Raises nothing: the form may fit and the day not be in the calendar."""
    try:
        return datetime.fromisoformat(text) if _FORM.match(text) else None
    except ValueError:
        return None
