"""Settings of one step at the bench: heat, times, moisture and stack, as set and as measured."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any

from ledger.events._base import fact, text

MINUTES_MOST = 527_040
"""A leap year; a longer rest is a placement."""
HOT_CELSIUS = Decimal(120)
"""Above it a dial in °F is the likelier reading: our assumption."""


class Moisture(StrEnum):
    """How moisture was given."""

    NONE = "none"
    ROOM = "room"
    LIGHT_MIST = "light mist"
    CHAMBER = "chamber"


class Cooling(StrEnum):
    """Where it cooled."""

    IN_THE_PRESS = "in the press"
    UNDER_WEIGHT = "under weight"
    AT_ROOM_AIR = "at room air"


class HeatSide(StrEnum):
    """Which side lay to the heat."""

    FRONT = "front"
    BACK = "back"
    BOTH = "both"


def celsius(title: str, description: str = "") -> Any:  # noqa: ANN401
    """A temperature, below zero too: pests are frozen."""
    words = f"{description} Units: °C, a decimal as text; null is not known.".strip()
    shape = r"^(0|-?[1-9]\d{0,2})(\.\d{1,2})?$"
    return fact(title, words, default=None, pattern=shape, json_schema_extra={"unit": "°C"})


def minutes(title: str, description: str = "") -> Any:  # noqa: ANN401
    """A time in whole minutes."""
    words = f"{description} Units: min; null is not known.".strip()
    return fact(title, words, default=None, ge=0, le=MINUTES_MOST, json_schema_extra={"unit": "min"})


@dataclass(frozen=True, kw_only=True)
class Settings:
    """What was set and what was measured; whatever is null is not known."""

    set_celsius: str | None = celsius("Temperature set")
    measured_celsius: str | None = celsius("Temperature measured", "At the paper, not at the dial.")
    hold_minutes: int | None = minutes("Hold", "Time at temperature.")
    cooling_minutes: int | None = minutes("Cooling", "After the hold.")
    total_minutes: int | None = minutes("Total", "From the start to the end, hold and cooling in it.")
    cooling: Cooling | None = fact("Cooled", default=None)
    moisture: Moisture | None = fact("Moisture", default=None)
    rh_percent: int | None = fact(
        "Relative humidity", "Of the room or chamber. Units: per cent.", default=None, ge=0, le=100
    )
    heat_side: HeatSide | None = fact("Side to the heat", default=None)
    stack: str | None = text("Stack", "Plates, boards and papers from top to bottom.", most=400, default=None)

    def flaws(self) -> Iterator[tuple[str, str]]:
        """Field and sentence of each contradiction."""
        spent = (self.hold_minutes or 0) + (self.cooling_minutes or 0)
        if self.total_minutes is not None and spent > self.total_minutes:
            yield (
                "total_minutes",
                f"Hold and cooling take {spent} minutes, more than the {self.total_minutes} in all. Count them in.",
            )
        if self.rh_percent is not None and self.moisture in (Moisture.NONE, Moisture.LIGHT_MIST):
            yield (
                "rh_percent",
                f"A relative humidity is that of a room or chamber, and moisture is {self.moisture}. Leave one out.",
            )

    def doubts(self) -> Iterator[tuple[str, str]]:
        """Field and sentence of each temperature that was perhaps read off a dial in °F."""
        for name, said in (("set_celsius", self.set_celsius), ("measured_celsius", self.measured_celsius)):
            if said is not None and Decimal(said) > HOT_CELSIUS:
                # The scale is defined so: 0 °C is 32 °F, and 5 K are 9 °F.
                meant = round((Decimal(said) - 32) * 5 / 9)
                yield (
                    name,
                    f"{said} °C is hotter than paper is pressed. If it was {said} °F, correct it: that is {meant} °C.",
                )

    @property
    def moistened(self) -> bool:
        """Moisture was given beyond that of the room."""
        return self.moisture in (Moisture.LIGHT_MIST, Moisture.CHAMBER)

    def told(self) -> Iterator[tuple[str, str | int]]:
        """What was written down, each value under its name in a sentence about it."""
        found = {
            "set": self.set_celsius,
            "measured": self.measured_celsius,
            "hold": self.hold_minutes,
            "cooling_for": self.cooling_minutes,
            "total": self.total_minutes,
            "cooled": self.cooling.value if self.cooling else None,
            "moisture": self.moisture.value if self.moisture else None,
            "rh": self.rh_percent,
            "side": self.heat_side.value if self.heat_side else None,
            "stack": self.stack,
        }
        yield from ((name, value) for name, value in found.items() if value is not None)

    def label(self) -> str:
        """Heat and hold in a few words, empty where neither is known."""
        parts = []
        if self.set_celsius is not None:
            parts.append(f"{self.set_celsius} °C")
        if self.hold_minutes is not None:
            parts.append(f"{self.hold_minutes} min")
        return " for ".join(parts)
