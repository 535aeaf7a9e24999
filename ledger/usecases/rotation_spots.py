"""Which book hangs at which spot now, as its last placement says."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Protocol

from ledger.ports import Reader
from ledger.usecases.browse import HUNG_MOST
from ledger.views import HungRow

__all__ = ["At", "HasPlace", "at_spots", "where_of"]

At = tuple[str, str, Decimal, Decimal]
"""Room, wall, and both measures, so that 60 and 60.0 are one spot."""


class HasPlace(Protocol):
    """A spot on a wall."""

    @property
    def where(self) -> At:
        """Where it is."""


def at_spots(reader: Reader, spots: Sequence[HasPlace]) -> Mapping[At, tuple[str, ...]]:
    """The books at each of these spots; more than one where entries say so."""
    asked = {each.where for each in spots}
    found: dict[At, tuple[str, ...]] = {}
    for row in reader.hung(HUNG_MOST):
        where = where_of(row)
        if where in asked:
            found[where] = (*found.get(where, ()), row.book)
    return found


def where_of(row: HungRow) -> At | None:
    """Its spot; None where its placement left something of it open."""
    if row.room is None or row.wall is None or row.x_cm is None or row.y_cm is None:
        return None
    return row.room, row.wall, Decimal(row.x_cm), Decimal(row.y_cm)
