"""Starter steps in a form: one tap fills the fields, and what another one had put there goes with it."""

from collections.abc import Mapping
from typing import Final

from ledger.bench import FIELDS, NOTE
from ledger.rules.steps import Starter, starter, starters
from web.forms import Typed
from web.posted import Posted

__all__ = ["asked_for", "filled", "filled_form", "filled_typed"]

ASKED: Final = "starter:"
"""How the value of the button begins that asks for one."""
REMARK: Final = "remark"
"""The field of an entry into which the note of a step goes."""


def asked_for(do: str) -> Starter | None:
    """The starter step that a button asks for."""
    return starter(do.removeprefix(ASKED)) if do.startswith(ASKED) else None


def filled(values: Mapping[str, str], by: Starter) -> dict[str, str]:
    """Planned values with those of a starter step; a note that was typed stays before its own.

    Keeps: whatever was typed and is not its business. What one put there that was tapped before is gone.
    """
    own = {name: value for name, value in values.items() if value}
    fitting = (each for each in starters() if each.values.items() <= own.items())
    before = max(fitting, key=lambda each: len(each.values), default=None)
    rest = {name: value for name, value in own.items() if before is None or name not in before.values}
    note = rest.get(NOTE, "")
    if by.note not in note:
        note = f"{note} {by.note}".strip()
    return {**rest, **by.values, **({NOTE: note} if note else {})}


def filled_form(posted: Posted, by: Starter) -> Posted:
    """A form of the bench with its fields filled in."""
    values = filled({name: posted.get(name) for name in FIELDS}, by)
    others = tuple(each for each in posted.fields if each[0] not in FIELDS)
    return Posted(fields=(*others, *values.items()), waiting=posted.waiting, action=posted.action)


def filled_typed(typed: Typed, by: Starter) -> Typed:
    """The form of an entry with its fields filled in; the note becomes its remark."""
    names = {**{name: name for name in FIELDS}, NOTE: REMARK}
    own = {name: "".join(typed.get(at, ())[:1]).strip() for name, at in names.items()}
    values = filled(own, by)
    return {**typed, **{at: (values.get(name, ""),) for name, at in names.items() if at in typed or name in values}}
