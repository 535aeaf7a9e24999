"""From values back to what would have to be typed for them: a form that is filled in from an entry, or from a book."""

from collections.abc import Mapping, Sequence
from typing import cast

from ledger.accounts import MARKS
from ledger.money import Money
from ledger.proof.canonical import Plain
from ledger.proof.report import MalformedError
from ledger.when import When, read_when
from web.form_fields import Group, Leaf, Part, Way
from web.form_reading import TO
from web.form_values import NO_STEP, Habits

__all__ = ["inputs_of"]


def inputs_of(
    parts: Sequence[Part], plain: Mapping[str, Plain], habits: Habits, at: str = ""
) -> dict[str, tuple[str, ...]]:
    """What would have to be typed for these values."""
    typed: dict[str, tuple[str, ...]] = {}
    for part in parts:
        name, value = f"{at}{part.name}", plain.get(part.name)
        if isinstance(part, Leaf):
            typed.update(_input(part, name, value, habits))
        elif isinstance(part, Group):
            typed.update(inputs_of(part.parts, cast("dict[str, Plain]", value or {}), habits, f"{name}."))
        else:
            for number, row in enumerate(cast("list[dict[str, Plain]]", value or [])):
                typed.update(inputs_of(part.row.parts, row, habits, f"{name}.{number}."))
    return typed


def _input(leaf: Leaf, name: str, value: Plain, habits: Habits) -> dict[str, tuple[str, ...]]:
    match leaf.way:
        case Way.SPAN:
            return _span(name, cast("list[str] | None", value))
        case Way.TICKS:
            return {name: tuple(cast("list[str]", value or []))}
        case Way.LIST:
            return {name: ("\n".join(cast("list[str]", value or [])),)}
        case Way.PICK | Way.CHOOSE:
            return {name: (_answer(leaf, value),)}
        case Way.MONEY if isinstance(value, dict):
            return {name: (_amount(cast("dict[str, int | str]", value), habits),)}
        case _:
            return {name: (_line(leaf, value, habits),)}


def _answer(leaf: Leaf, value: Plain) -> str:
    """The answer that stands for a value; where none was given, the one that says so, or what stood there at first."""
    if value is None:
        return next((each.value for each in leaf.options if each.value and each.plain is None), "".join(leaf.default))
    return next((each.value for each in leaf.options if each.value and each.plain == value), "")


def _span(name: str, steps: list[str] | None) -> dict[str, tuple[str, ...]]:
    if steps is None:
        return {name: ("",), f"{name}{TO}": ("",)}
    return {name: (steps[0] if steps else NO_STEP,), f"{name}{TO}": (steps[-1] if len(steps) > 1 else "",)}


def _line(leaf: Leaf, value: Plain, habits: Habits) -> str:
    """A value as one line; a date in words, where they are read as the same date, and as it is kept otherwise."""
    if leaf.way is not Way.DATE or not isinstance(value, str):
        return "" if value is None else str(value)
    try:
        words = When.parse(value).label()
        return words if str(read_when(words, today=habits.today)) == value else value
    except MalformedError:
        return value


def _amount(plain: dict[str, int | str], habits: Habits) -> str:
    """An amount as this person would write it, with its currency."""
    money = Money(minor=int(plain["minor"]), currency=str(plain["currency"]), exponent=int(plain["exponent"]))
    amount = money.amount.replace(".", ",") if habits.marks == MARKS[1] else money.amount
    return f"{amount} {money.currency}"
