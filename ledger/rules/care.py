"""How often what is kept is counted, looked at and housed anew: usual intervals, as a table that a ruling may change."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ledger.errors import MalformedError
from ledger.rules._tables import Row, TableError, table

__all__ = ["CareRules", "Interval", "care_rules", "read_interval"]

_DAYS_MOST: Final = 36_525
"""A hundred years."""


@dataclass(frozen=True, kw_only=True)
class Interval:
    """One row: after so many days it is due, or no look is older than them."""

    id: str
    title: str
    days: int
    says: str
    sources: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CareRules:
    """The table as it counts in a collection."""

    rows: Mapping[str, Interval]

    def of(self, name: str) -> Interval:
        """The row of that name."""
        return self.rows[name]

    def of_housing(self, around: str, material: str) -> Interval:
        """The row of what a book is kept in: that of its material, or the one for all others."""
        return self.rows.get(f"{around}-{material.replace(' ', '-')}") or self.rows[around]


def care_rules(edited: Mapping[str, Row] | None = None) -> CareRules:
    """The table, with these rows in place of its own; one that cannot be read is passed over.

    Source: our assumption, editable by a ruling.
    """
    found = {}
    for row in table("care").rows:
        try:
            found[row.id] = read_interval((edited or {}).get(row.id, row))
        except MalformedError:
            found[row.id] = read_interval(row)
    return CareRules(rows=found)


def read_interval(row: Row) -> Interval:
    """One row.

    Raises: TableError.
    """
    days = row.whole("days")
    if not 0 < days <= _DAYS_MOST:
        raise TableError(where=f"{row.table}, row {row.id}", problem=f"days are not from 1 to {_DAYS_MOST}")
    return Interval(id=row.id, title=row.text("title"), days=days, says=row.text("says"), sources=row.sources)
