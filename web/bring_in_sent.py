"""What the forms of a table on its way in send: ways of reading, cells written anew, decisions on likely doubles."""

from collections.abc import Collection, Mapping
from typing import Any, Final, cast

from ledger.accounts import DATE_ORDERS, MARKS
from ledger.importing.begun import HERE, Options
from ledger.importing.below import BELOW
from ledger.importing.whole_row import SEVERAL, UNTITLED
from web.posted import Posted

__all__ = ["decisions_sent", "mends_sent", "options_sent"]

_WAYS: Final[Mapping[str, Collection[str]]] = {
    "order": DATE_ORDERS,
    "marks": MARKS,
    "several": SEVERAL,
    "here": HERE,
    "untitled": UNTITLED,
    "below": BELOW,
}
"""What can be chosen of each, once for a whole file."""


def options_sent(posted: Posted, before: str = "") -> Options:
    """How dates and amounts are read, by names that begin so; what was left open, or is no choice, is not said."""
    chosen = {name: value for name, ways in _WAYS.items() if (value := posted.get(before + name)) in ways}
    return Options(currency=posted.get(f"{before}currency").upper() or None, **cast("dict[str, Any]", chosen))


def mends_sent(posted: Posted) -> tuple[dict[int, dict[str, str]], set[int]]:
    """Cells written anew by row and field, and the rows that are left out."""
    mends: dict[int, dict[str, str]] = {}
    for name, value in posted.fields:
        parts = name.split(".")
        if parts[0] == "row" and len(parts) == len(("row", "number", "field")) and _whole(parts[1]):
            mends.setdefault(int(parts[1]), {})[parts[2]] = value.strip()
    left = {int(each) for each in posted.all("left") if _whole(each)}
    return {row: said for row, said in mends.items() if row not in left}, left


def decisions_sent(posted: Posted) -> tuple[set[int], set[int]]:
    """The rows that are books of their own, and those that are left out as the same."""
    said = {name.removeprefix("double."): value for name, value in posted.fields if name.startswith("double.")}
    real = {int(row) for row, value in said.items() if value == "real" and _whole(row)}
    left = {int(row) for row, value in said.items() if value == "left" and _whole(row)}
    return real, left


def _whole(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= len("200000000")
