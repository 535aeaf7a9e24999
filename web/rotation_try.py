"""The light of a plan on its page: of its spots, the days they allow, and what the turns would come to in another light."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from ledger.events._parts import Answer
from ledger.rotations import Rotation
from ledger.usecases.rotation_known import KnownLight
from ledger.usecases.rotation_what_if import RotationWhatIf
from web.rotation_days import DaysTable, days_table
from web.rotation_light import SpotLine, ThenLine, spot_lines, spot_words, then_lines
from web.rotation_lines import largest_hung_words
from web.wall_names import wall_name
from web.wording import t

__all__ = ["TRIED", "PlanLit", "Tried", "plan_lit", "tried"]

TRIED: Final = ("spot", "wall", "x_cm", "y_cm", "dim_to_percent", "uv_filter")
"""Fields of the form."""
_APART: Final = "/"
"""Between a room and its wall; no id has it."""
_NO_NUMBER: Final = -1
_DIGITS: Final = 3


@dataclass(frozen=True, kw_only=True)
class Tried:
    """What was asked for in another light, and the plan in it."""

    asked: Mapping[str, str] = field(default_factory=lambda: dict.fromkeys(TRIED, ""))
    then: Rotation | None = None


@dataclass(frozen=True, kw_only=True)
class PlanLit:
    """The light of a plan, as its page shows it."""

    spots: tuple[SpotLine, ...]
    days: DaysTable
    asked: Mapping[str, str]
    then: tuple[ThenLine, ...]
    then_said: str
    """Both in one sentence; empty where nothing was asked."""
    walls: tuple[tuple[str, str], ...]


def plan_lit(known: KnownLight, plan: Rotation, books: Sequence[tuple[str, str]], shown: Tried) -> PlanLit:
    """Of a plan with these books, by their ids and names."""
    then: tuple[ThenLine, ...] = ()
    rooms = known.house.current
    said = ""
    if shown.then is not None:
        then = then_lines(plan, shown.then, dict(books))
        said = t("rotation.then_said", then=largest_hung_words(shown.then), now=largest_hung_words(plan))
    return PlanLit(
        spots=spot_lines(plan, rooms),
        days=days_table(known, [(each, spot_words(each, rooms)) for each in plan.spots], books),
        asked=shown.asked,
        then=then,
        then_said=said,
        walls=_walls(known),
    )


def tried(asked: Mapping[str, str]) -> RotationWhatIf:
    """What was typed; a comma is as good as a point."""
    room, _, wall = asked["wall"].partition(_APART)
    dim, uv = asked["dim_to_percent"], asked["uv_filter"]
    is_whole = dim.isascii() and dim.isdecimal() and len(dim) <= _DIGITS
    return RotationWhatIf(
        spot=asked["spot"] or None,
        wall=(room, wall) if room and wall else None,
        x_cm=asked["x_cm"].replace(",", ".") or None,
        y_cm=asked["y_cm"].replace(",", ".") or None,
        dim_to_percent=None if not dim else int(dim) if is_whole else _NO_NUMBER,
        uv_filter=Answer(uv) if uv in set(Answer) else None,
    )


def _walls(known: KnownLight) -> tuple[tuple[str, str], ...]:
    """Every wall of every room, and the one where a spot is."""
    rooms = known.house.current
    named = (
        (f"{name}{_APART}{wall.id}", wall_name(rooms, name, wall.id))
        for name, room in sorted(rooms.items())
        for wall in room.walls
    )
    return (("", t("light.try.stays")), *named)
