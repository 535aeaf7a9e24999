"""Amounts as people write them, at any place of an event that takes an amount: counted before the event is read.

An amount is either counted, `{"minor": 125000, "currency": "EUR", "exponent": 2}`, or written,
`{"amount": "1.250,00", "currency": "EUR", "reading": "1.234,50"}`; the reading may be left out where there is only one.
"""

import types
from collections.abc import Iterator, Mapping
from dataclasses import is_dataclass
from functools import cache
from typing import Any, Final, Union, cast, get_args, get_origin, get_type_hints

from ledger.errors import MalformedError, Problem
from ledger.events import Event
from ledger.money import Money, read_amount
from ledger.proof.canonical import Plain
from ledger.sealed import Sealed

READINGS: Final = ("1,234.50", "1.234,50")
"""How the marks of an amount stand: point decimals or comma decimals."""

_WRITTEN: Final = frozenset({"amount", "currency", "reading"})


def as_counted(
    kind: type[Event], plain: Mapping[str, Plain], corrects: type[Event] | None = None
) -> tuple[dict[str, Plain], list[Problem]]:
    """The fields of an event with every written amount counted, and what could not be.

    `corrects` is the kind whose fields a correction changes.
    """
    found: list[Problem] = []
    counted = _fields(kind, plain, "", found)
    changes = counted.get("changes")
    if corrects is not None and isinstance(changes, dict):
        counted["changes"] = _fields(corrects, changes, "changes", found)
    return counted, found


def body_counted(model: type, plain: Mapping[str, Plain]) -> tuple[dict[str, Plain], list[Problem]]:
    """A body that is no event with every written amount counted, and what could not be."""
    found: list[Problem] = []
    return _fields(model, plain, "", found), found


def _fields(kind: type, plain: Mapping[str, Plain], at: str, found: list[Problem]) -> dict[str, Plain]:
    hints = field_types(kind)
    return {
        name: _value(hints[name], value, f"{at}.{name}".lstrip("."), found) if name in hints else value
        for name, value in plain.items()
    }


def _value(hint: Any, value: Plain, at: str, found: list[Problem]) -> Plain:  # noqa: ANN401
    """A value of that type, with what is written in it counted."""
    for each in _choices(hint):
        if isinstance(value, dict):
            if each is Money and "amount" in value:
                return _amount(value, at, found)
            if isinstance(each, type) and each is not Money and (is_dataclass(each) or hasattr(each, "model_fields")):
                return _fields(each, value, at, found)
        elif isinstance(value, list) and get_origin(each) in (tuple, list):
            inner = get_args(each)[0]
            return [_value(inner, item, f"{at}.{place}", found) for place, item in enumerate(value)]
    return value


def _choices(hint: Any) -> Iterator[Any]:  # noqa: ANN401
    """The types a field may have, with optional and sealed ones laid open."""
    if get_origin(hint) in (Union, types.UnionType, Sealed):
        for each in get_args(hint):
            yield from _choices(each)
    else:
        yield hint


@cache
def field_types(kind: type) -> dict[str, Any]:
    """The type of every field, as its file says it."""
    return get_type_hints(kind)


def _amount(value: dict[str, Plain], at: str, found: list[Problem]) -> Plain:
    """The amount counted; left as it is, with a problem, where it cannot be."""
    found.extend(
        Problem(field=f"{at}.{name}", sentence=f"There is no field {name} in a written amount. Leave it out.")
        for name in sorted(value.keys() - _WRITTEN)
    )
    text, currency, reading = value.get("amount"), value.get("currency"), value.get("reading")
    if not isinstance(text, str):
        found.append(Problem(field=f"{at}.amount", sentence='The amount is written as text. Write it like "1250.00".'))
    if not isinstance(currency, str):
        found.append(
            Problem(field=f"{at}.currency", sentence="The currency is missing. Write its three capital letters.")
        )
    if reading is not None and reading not in READINGS:
        words = " or ".join(READINGS)
        found.append(Problem(field=f"{at}.reading", sentence=f"The reading tells how the marks stand. Write {words}."))
    if any(each.field.startswith(f"{at}.") for each in found):
        return value
    assert isinstance(text, str)
    assert isinstance(currency, str)
    try:
        money = read_amount(text, currency=currency, reading=cast("Any", reading))
    except MalformedError as error:
        field = f"{at}.currency" if hasattr(error, "code") else f"{at}.amount"
        found.append(Problem(field=field, sentence=str(error)))
        return value
    return {"minor": money.minor, "currency": money.currency, "exponent": money.exponent}
