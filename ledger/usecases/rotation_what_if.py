"""What a plan would come to with another light at its spots: a spot moved, light dimmed, ultraviolet filtered. Kept nowhere."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from ledger.actor import Actor
from ledger.errors import InvalidError, Problem
from ledger.events._parts import Answer
from ledger.ports import Ledger
from ledger.rotations import Rotation, RotationSpot
from ledger.usecases.rotation import look_at_rotation
from ledger.usecases.rotation_known import day_span, known_light, spot_in
from ledger.usecases.rotation_said import SpotSaid, flaws_of_spot

__all__ = ["RotationWhatIf", "rotation_what_if"]

_ALL: Final = 100
"""Per cent."""


@dataclass(frozen=True, kw_only=True)
class RotationWhatIf:
    """Another light at one spot of the plan, or at all of them; what is left out stays as it is. Units: cm, per cent."""

    spot: str | None = None
    """None is every spot."""
    wall: tuple[str, str] | None = None
    """Room and wall that the spot would be on; None is the one where it is."""
    x_cm: str | None = None
    y_cm: str | None = None
    dim_to_percent: int | None = None
    uv_filter: Answer | None = None


def rotation_what_if(ledger: Ledger, actor: Actor, rotation: str, asked: RotationWhatIf) -> tuple[Rotation, Rotation]:
    """The plan as it is, and the same turns in the light that was asked for.

    Raises: NotFoundError, InvalidError.
    """
    plan = look_at_rotation(ledger, actor, rotation)
    if problems := tuple(_flaws(plan, asked)):
        raise InvalidError(problems=problems)
    spots = tuple(
        _in_light(_moved(ledger, actor, each, asked), asked) if asked.spot in (None, each.id) else each
        for each in plan.spots
    )
    return plan, replace(plan, spots=spots)


def _moved(ledger: Ledger, actor: Actor, spot: RotationSpot, asked: RotationWhatIf) -> RotationSpot:
    """The spot elsewhere, or where it is; its frame goes along.

    Raises: InvalidError.
    """
    if asked.x_cm is None or asked.y_cm is None:
        return spot
    room, wall = asked.wall or (spot.room, spot.wall)
    there = SpotSaid(id=spot.id, room=room, wall=wall, x_cm=asked.x_cm, y_cm=asked.y_cm)
    if problems := [*flaws_of_spot(0, there)]:
        raise InvalidError(problems=tuple(replace(each, field=each.field.rpartition(".")[2]) for each in problems))
    known = known_light(ledger, actor, [spot], [])
    falls = spot_in(known.house, there.where, known.glazing[spot.where])
    light = day_span(falls)
    if light is None:
        sentence = "Nothing is known of the light there. Enter a reading in its room, or choose another spot."
        raise InvalidError(problems=(Problem(field="wall", sentence=sentence),))
    return replace(
        spot, room=room, wall=wall, x_cm=there.x_cm, y_cm=there.y_cm,
        light=light, known=falls.known.value, filtered=falls.filtered,
    )  # fmt: skip


def _in_light(spot: RotationSpot, asked: RotationWhatIf) -> RotationSpot:
    if asked.dim_to_percent is not None:
        spot = replace(spot, light=spot.light.times(Fraction(asked.dim_to_percent, _ALL)))
    return spot if asked.uv_filter is None else replace(spot, filtered=asked.uv_filter)


def _flaws(plan: Rotation, asked: RotationWhatIf) -> Iterator[Problem]:
    if asked.spot is not None and asked.spot not in {each.id for each in plan.spots}:
        yield Problem(field="spot", sentence="That is no spot of this plan. Choose one.")
    missing = [name for name in ("x_cm", "y_cm") if getattr(asked, name) is None]
    if len(missing) == 1 or (asked.wall is not None and missing):
        yield Problem(field=missing[0], sentence="A spot has two measures. Give this one too.")
    if asked.spot is None and not missing:
        yield Problem(field="spot", sentence="One spot is moved at a time. Choose which.")
    if asked.dim_to_percent is not None and not 0 <= asked.dim_to_percent <= _ALL:
        yield Problem(field="dim_to_percent", sentence="This is a whole number from 0 to 100. Write it so.")
