"""By which terms a fair value is found: half-life, least number of sales, band; from a table whose rows can be ruled on."""

from collections.abc import Mapping
from dataclasses import dataclass

from ledger.rules._tables import Row, table

__all__ = ["Terms", "terms"]

NAME = "fair_value"


@dataclass(frozen=True, kw_only=True)
class Terms:
    """The figures of the table, in this collection."""

    half_life_days: int
    least: int
    """Sales."""
    adjust_least: int
    """Sales of either sort."""
    band_percent: int
    spread_percent: int
    spread_weight: int
    """Sales that the assumed scatter counts for."""

    @property
    def spread_log(self) -> float:
        """The assumed scatter, of the natural logarithm of the price."""
        return self.spread_percent / 100


def terms(ruled: Mapping[str, Row] | None = None) -> Terms:
    """The shipped figures, each row as it is ruled on here by its id; one out of its bounds counts as shipped.

    Source: our assumption, editable.
    """
    shipped = {row.id: row for row in table(NAME).rows}
    found = {name: _value(row, (ruled or {}).get(name, row)) for name, row in shipped.items()}
    return Terms(
        half_life_days=found["half-life"],
        least=found["least"],
        adjust_least=found["adjust"],
        band_percent=found["band"],
        spread_percent=found["spread"],
        spread_weight=found["spread-weight"],
    )


def _value(shipped: Row, row: Row) -> int:
    """The bounds are the shipped ones: a ruling moves a figure, not what a figure can be."""
    value = row.whole("value")
    return value if shipped.whole("least") <= value <= shipped.whole("most") else shipped.whole("value")
