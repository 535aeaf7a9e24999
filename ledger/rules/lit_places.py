"""How light it commonly is in places of a house, for who has no meter; a figure from here is an estimate and says so."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from ledger.rules._tables import Row, table

__all__ = ["TABLE", "LitPlace", "as_ruled", "lit_places"]

TABLE: Final = "lit_places"
"""The name of the table."""


@dataclass(frozen=True)
class LitPlace:
    """One kind of place: what it commonly gets, and for how many hours a day we assume it, each between which ends.

    Units: lx, hours a day.
    """

    id: str
    title: str
    low: int
    lux: int
    high: int
    hours_low: int
    hours: int
    hours_high: int


_FIELDS: Final = {
    "lux_low": "low",
    "lux": "lux",
    "lux_high": "high",
    **{name: name for name in ("hours_low", "hours", "hours_high")},
}
"""What a field of the table is here."""


def as_ruled(edited: Mapping[str, Row]) -> tuple[LitPlace, ...]:
    """Every row, with these in place of the shipped ones, the brightest first; less than nothing is nothing.

    Source: the row's own, our assumption, editable.
    """
    return tuple(_read(edited.get(row.id, row)) for row in table(TABLE).rows)


@cache
def lit_places() -> tuple[LitPlace, ...]:
    """Every row of the table as it was shipped, the brightest first.

    Source: the row's own.
    """
    return as_ruled({})


def _read(row: Row) -> LitPlace:
    return LitPlace(row.id, row.text("title"), **{here: max(0, row.whole(name)) for name, here in _FIELDS.items()})
