"""How light it commonly is in places of a house, for who has no meter; a figure from here is an estimate and says so."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Final

from ledger.rules._tables import table

__all__ = ["TABLE", "LitPlace", "as_ruled", "lit_places"]

TABLE: Final = "lit_places"
"""The name of the table."""


@dataclass(frozen=True)
class LitPlace:
    """One kind of place: what it commonly gets, between which ends, and for how many hours a day we assume it.

    Units: lx, hours a day.
    """

    id: str
    title: str
    low: int
    lux: int
    high: int
    hours: int


_FIELDS: Final = {"lux_low": "low", "lux": "lux", "lux_high": "high", "hours": "hours"}


def as_ruled(said: Mapping[str, Mapping[str, str]]) -> tuple[LitPlace, ...]:
    """Every row, with what the collector ruled of it; `said` has new values by row and field.

    Source: the row's own, our assumption, editable.
    """
    return tuple(replace(each, **_values(said.get(each.id, {}))) for each in lit_places())


def _values(said: Mapping[str, str]) -> dict[str, Any]:
    """Those of the fields that are figures, and the title."""
    figures = {_FIELDS[name]: int(value) for name, value in said.items() if name in _FIELDS and value.isdecimal()}
    return {**figures, **({"title": said["title"]} if "title" in said else {})}


@cache
def lit_places() -> tuple[LitPlace, ...]:
    """Every row of the table, the brightest first.

    Source: the row's own.
    """
    return tuple(
        LitPlace(row.id, row.text("title"), *(row.whole(name) for name in ("lux_low", "lux", "lux_high", "hours")))
        for row in table(TABLE).rows
    )
