"""What a year would come to for a book on another spot, in less light, or behind a filter."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.actor import Actor
from ledger.errors import InvalidError, Problem
from ledger.events._parts import Answer
from ledger.events.room import HOURS_A_DAY, Basis, Reading
from ledger.light_share import Light, Prospect, prospect_of
from ledger.light_spot import DayLight, Where, light_at, of_spot, where_of
from ledger.ports import Ledger
from ledger.usecases.light import BookLight, House, read_light

__all__ = ["WhatIf", "what_if"]

_ALL: Final = 100
"""Per cent."""
_MOST: Final = {"lux": 200_000, "hours_per_day": int(HOURS_A_DAY), "x_cm": 10_000, "y_cm": 10_000}
"""Of each figure, the most that is believed."""


@dataclass(frozen=True, kw_only=True)
class WhatIf:
    """Another spot, another light, less of it, or a filter; what is left out stays as it is.

    Units: cm, lx, h a day, per cent of the light as it would be otherwise.
    """

    room: str | None = None
    wall: str | None = None
    x_cm: str | None = None
    y_cm: str | None = None
    lux: str | None = None
    hours_per_day: str | None = None
    dim_to_percent: int | None = None
    uv_filter: Answer | None = None


def what_if(ledger: Ledger, actor: Actor, book: str, asked: WhatIf) -> tuple[BookLight, Prospect]:
    """The book as it is, and what a year would come to were it so.

    Raises: NotFoundError, InvalidError.
    """
    found, house = read_light(ledger, actor, book)
    light = found.light
    if problems := (*_figures(asked), *_spot(asked, house, light)):
        raise InvalidError(problems=problems)
    there = _other_light(asked, house, light)
    return found, prospect_of(there, house.rules, light.standing.book, light.faded)


def _other_light(asked: WhatIf, house: House, light: Light) -> DayLight:
    """The light as it would be."""
    placement = light.stays[-1].placement if light.stays else None
    here = light.here.light if light.here is not None else None
    if asked.lux is not None and asked.hours_per_day is not None:
        wall = Reading(
            wall="w", x_cm="0", y_cm="0", lux=asked.lux, hours_per_day=asked.hours_per_day, basis=Basis.MEASURED
        )
        found = replace(of_spot([wall], house.rules), filtered=here.filtered if here else Answer.UNSURE)
    elif asked.room is not None:
        glazing = where_of(placement).glazing if placement is not None else Answer.NO
        where = Where(room=asked.room, wall=asked.wall, x_cm=asked.x_cm, y_cm=asked.y_cm, glazing=glazing)
        found = light_at(where, house.current, house.rules)
    else:
        assert here is not None
        found = here
    if asked.dim_to_percent is not None:
        found = found.dimmed(asked.dim_to_percent / _ALL)
    return found if asked.uv_filter is None else replace(found, filtered=asked.uv_filter)


def _figures(asked: WhatIf) -> Iterator[Problem]:
    """What is wrong with the figures."""
    for name, most in _MOST.items():
        value = _decimal(getattr(asked, name))
        if getattr(asked, name) is not None and (value is None or value > most):
            yield Problem(field=name, sentence=f"This is a number from 0 to {most}. Write it so.")
    for pair in (("lux", "hours_per_day"), ("x_cm", "y_cm")):
        missing = [name for name in pair if getattr(asked, name) is None]
        if len(missing) == 1:
            yield Problem(field=missing[0], sentence="Two figures belong together. Give this one too, or neither.")
    if asked.dim_to_percent is not None and not 0 <= asked.dim_to_percent <= _ALL:
        yield Problem(field="dim_to_percent", sentence="This is a whole number from 0 to 100. Write it so.")


def _spot(asked: WhatIf, house: House, light: Light) -> Iterator[Problem]:
    """What is wrong with the spot."""
    if asked.room is None:
        if asked.wall is not None or asked.x_cm is not None:
            yield Problem(field="room", sentence="A spot is in a room. Name the room too.")
        elif asked.lux is None and (light.here is None or light.here.light.lux_hours is None):
            sentence = "The light where it is now is not known. Name a spot, or light and hours."
            yield Problem(field="room", sentence=sentence)
        return
    room = house.current.get(asked.room)
    if room is None:
        yield Problem(field="room", sentence=f"No room {asked.room} was entered. Name one that was.")
    elif asked.wall not in {each.id for each in room.walls}:
        yield Problem(field="wall", sentence=f"Name a wall of room {asked.room}.")


def _decimal(value: str | None) -> Decimal | None:
    """A number as it is typed, not below nothing; None for what is none."""
    try:
        found = Decimal(value or "")
    except InvalidOperation:
        return None
    return found if found.is_finite() and found >= 0 else None
