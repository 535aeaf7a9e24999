"""A room's air at the surface of a wall, in words: an estimate from the one end to the other, beside what was measured."""

from dataclasses import dataclass, field

from ledger.errors import Problem
from ledger.rules.mould import Seen
from ledger.rules.walls import WallRules
from ledger.wall_air import AtSurface, WallAir
from web.wording import t

__all__ = ["ASKED", "WallAsked", "WallColumn", "kinds_of", "seen_words", "wall_columns"]

ASKED = ("celsius", "rh", "outside", "kind", "surface")
"""Fields of the form."""


@dataclass(frozen=True, kw_only=True)
class WallColumn:
    """One surface: its name, and what it is like there."""

    name: str
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class WallAsked:
    """What was asked, what came of it, and what could not be read."""

    typed: dict[str, str] = field(default_factory=lambda: dict.fromkeys(ASKED, ""))
    dew: str = ""
    columns: tuple[WallColumn, ...] = ()
    problems: tuple[Problem, ...] = ()


def kinds_of(rules: WallRules) -> tuple[tuple[str, str], ...]:
    """The walls to choose from, each with what it lets through."""
    named = (
        (each.id, t("climate.wall.kind_of", title=each.title, transmittance=f"{each.transmittance:g}"))
        for each in rules.kinds
    )
    return ("", t("climate.wall.any_kind")), *named


def wall_columns(found: WallAir) -> tuple[WallColumn, ...]:
    """The estimate first, the coldest before the warmest, then what was measured."""
    columns = [
        WallColumn(name=t(f"climate.wall.{name}"), facts=_facts(at))
        for name, at in zip(("coldest", "warmest"), found.estimate or (), strict=False)
    ]
    if found.measured is not None:
        columns.append(WallColumn(name=t("climate.wall.measured"), facts=_facts(found.measured)))
    return tuple(columns)


def _facts(of: AtSurface) -> tuple[tuple[str, str], ...]:
    mould = "grows" if of.mould_grows else "begins" if of.mould_begins else "neither"
    weeks = of.wood_weeks
    return (
        (t("climate.wall.surface_is"), t("climate.wall.celsius_value", celsius=f"{of.celsius:.1f}")),
        (
            t("climate.wall.rh_there"),
            t("climate.wall.wet") if of.wet else t("climate.wall.rh_value", rh=f"{of.rh:.0f}"),
        ),
        (t("climate.wall.mould"), t(f"climate.wall.mould_is.{mould}")),
        (t("climate.wall.seen"), t("climate.seen_after.drier") if of.seen is None else seen_words(of.seen)),
        (
            t("climate.wall.wood"),
            t("climate.wall.wood_not")
            if weeks is None
            else t("climate.wall.wood_value", growth=_weeks(weeks[0]), seen=_weeks(weeks[1])),
        ),
    )


def seen_words(seen: Seen) -> str:
    """After how long mould is seen."""
    _, least, most = seen
    if least is None:
        return t("climate.seen_after.years")
    if most is None:
        return t("climate.seen_after.year")
    if least == most:
        return t("climate.seen_after.about", days=least)
    return t("climate.seen_after.between", least=least, most=most)


def _weeks(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}"  # noqa: PLR2004 - two figures are enough
