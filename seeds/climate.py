"""A year of the house's climate as a logger would have written it: a summer, a dry winter, a flat battery, a damp week."""

from datetime import UTC, datetime, timedelta
from functools import cache
from hashlib import sha256
from typing import Final

from ledger.actor import Actor
from ledger.events.climate import Climate
from ledger.ports import Ledger
from ledger.usecases.climate import Where, events_of
from ledger.usecases.climate_back import put_back

__all__ = ["lay_climate", "logged", "logger_file"]

BEGINS: Final = datetime(2025, 11, 15, tzinfo=UTC)
DAYS: Final = 365
STEP: Final = timedelta(minutes=30)
A_DAY: Final = 48
"""Steps."""
COLDEST: Final = 65
"""Days from the beginning to the middle of January."""
BATTERY: Final = range(146, 149)
"""Days on which it was flat, in April."""
DAMP: Final = range(233, 241)
"""Days of the damp week in July: rain, and a gutter that ran over beside the study."""
CHANNELS: Final = (Where(channel=1, room="study"), Where(channel=2, room="landing"))


@cache
def logger_file() -> bytes:
    """The file of both rooms. Whole numbers alone, so that every machine writes the same bytes."""
    lines = ["Household logger", "Serial;0417", "Interval;30 min", "", "Time;Study °C;Study %RH;Landing °C;Landing %RH"]
    for step in range(DAYS * A_DAY):
        day = step // A_DAY
        if day in BATTERY:
            continue
        lines.append(f"{BEGINS + step * STEP:%d.%m.%Y %H:%M};{_air('study', step)};{_air('landing', step)}")
    return ("\r\n".join([*lines, "", "Limits;5,0;30,0;20,0;75,0"]) + "\r\n").encode("cp1252")


def logged() -> list[Climate]:
    """What the story tells of it."""
    return events_of(
        logger_file(),
        CHANNELS,
        file_name="house-logger-2026.csv",
        remark="Read out on the day the gutter man came back. April has a hole: the battery.",
    )


def lay_climate(ledger: Ledger, actor: Actor) -> None:
    """The file and its readings beside the told ledger."""
    assert put_back(ledger, actor, logger_file()) == len(CHANNELS)


def _air(room: str, step: int) -> str:
    """Temperature and humidity, in hundredths, with a decimal comma."""
    day, hour = divmod(step, A_DAY)
    season = _wave(day - COLDEST, DAYS)
    light = _wave(hour - 10, A_DAY)
    swing, warm = (3, 1930) if room == "study" else (1, 1790)
    celsius = warm + season * 55 // 100 + light * swing // 10 + _drawn(room, step, 25)
    rh = 4700 + season * 9 // 10 - light * swing // 10 + _drawn(room, day, 250) + _drawn(room, step, 60)
    if day in DAMP:
        deep = min(day - DAMP.start, DAMP.stop - 1 - day, 2) + 1
        rh += deep * (820 if room == "study" else 180)
    return f"{_comma(celsius)};{_comma(min(rh, 9900))}"


def _wave(place: int, length: int) -> int:
    """From -500 up to 500 and back, the lowest at 0."""
    at = place % length
    return min(at, length - at) * 2000 // length - 500


def _drawn(room: str, number: int, most: int) -> int:
    """A number from -most to most that is always the same."""
    return int.from_bytes(sha256(f"{room} {number} {most}".encode()).digest()[:4], "big") % (2 * most + 1) - most


def _comma(hundredths: int) -> str:
    return f"{hundredths // 100},{hundredths % 100:02}"
