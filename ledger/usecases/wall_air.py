"""What a room's air comes to at the surface of a wall, as it is asked for in figures that somebody typed."""

from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, Problem
from ledger.history import fold_collection, history
from ledger.ports import Ledger
from ledger.rules.walls import TABLE, WallRules, wall_rules
from ledger.usecases.rulings import edited_rows
from ledger.wall_air import WallAir, WallAsked, wall_air

__all__ = ["FIGURES", "air_at_wall", "walls_known"]

FIGURES: Final[Mapping[str, tuple[int, int]]] = {
    "celsius": (-20, 50),
    "rh": (0, 100),
    "outside": (-50, 50),
    "surface": (-50, 60),
}
"""Each figure with the least and the most that is believed. Units: degrees Celsius, per cent."""
_NEEDED: Final = ("celsius", "rh")


def walls_known(ledger: Ledger, actor: Actor) -> WallRules:
    """The walls of the table, as the collector ruled."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        moments = history(reader.of_collection(), ledger.codec)
    events = {each.entry.seq: each.event for each in moments}
    return wall_rules(edited_rows(fold_collection(ledger.collection, moments).rulings, events, TABLE))


def air_at_wall(ledger: Ledger, actor: Actor, typed: Mapping[str, str], kind: str = "") -> WallAir:
    """The air at a wall; what is left out is not known, and nothing is written.

    Raises: InvalidError.
    """
    rules = walls_known(ledger, actor)
    given = {name: _number(text) for name in FIGURES if (text := typed.get(name, "").strip())}
    if problems := (*_problems(given), *_unknown(rules, given, kind)):
        raise InvalidError(problems=problems)
    figures = {name: float(value) for name, value in given.items() if value is not None}
    return wall_air(WallAsked(**figures, kind=kind or None), rules)


def _problems(given: Mapping[str, Decimal | None]) -> Iterator[Problem]:
    for name, (least, most) in FIGURES.items():
        if name not in given:
            if name in _NEEDED:
                yield Problem(field=name, sentence="The air of the room is needed. Give this figure.")
            continue
        value = given[name]
        if value is None or not least <= value <= most:
            yield Problem(field=name, sentence=f"This is a number from {least} to {most}. Write it so.")


def _unknown(rules: WallRules, given: Mapping[str, Decimal | None], kind: str) -> Iterator[Problem]:
    if kind and rules.kind(kind) is None:
        yield Problem(field="kind", sentence="No wall of that name is in the table. Name one of it, or leave it out.")
    if "outside" not in given and "surface" not in given:
        sentence = "Give the temperature outdoors for an estimate, or the surface as you measured it."
        yield Problem(field="outside", sentence=sentence)


def _number(text: str) -> Decimal | None:
    """A number as it is typed, a comma as good as a point; None for what is none."""
    try:
        found = Decimal(text.replace(",", ".").replace("\N{MINUS SIGN}", "-"))
    except InvalidOperation:
        return None
    return found if found.is_finite() else None
