"""Rule tables that are plain figures, as the page of the rules shows them."""

from collections.abc import Callable, Mapping
from typing import Final

from ledger.rules._tables import Row, table
from ledger.rules.lit_places import lit_places
from web.rule_parts import Group, Sheet, column, line_of
from web.wording import t

__all__ = ["FIGURE_SHEETS"]


def _worth() -> Sheet:
    names = ("risk_per_mille", "harm_takes_per_mille", "sale_keeps_per_mille", "days")
    lines = tuple(
        line_of(row, row.text("title"), *(str(row.whole(name)) for name in names)) for row in table("worth").rows
    )
    columns = (column("choice"), *(column(name, num=True) for name in names))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _care() -> Sheet:
    rows = table("care").rows
    lines = tuple(line_of(row, row.text("title"), str(row.whole("days")), row.text("says")) for row in rows)
    columns = (column("title"), column("days", num=True), column("says"))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _sizes() -> Sheet:
    rows = table("sizes").rows
    lines = tuple(
        line_of(row, row.text("title"), str(row.whole("width_mm")), str(row.whole("height_mm"))) for row in rows
    )
    columns = (column("issues"), column("width_mm", num=True), column("height_mm", num=True))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _fair_value() -> Sheet:
    rows = table("fair_value").rows
    lines = tuple(
        line_of(row, row.text("title"), str(row.whole("value")), row.text("unit"), _reach(row)) for row in rows
    )
    columns = (column("figure"), column("value", num=True), column("unit"), column("reach", num=True))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _reach(row: Row) -> str:
    return t("rules.reach", least=row.whole("least"), most=row.whole("most"))


def _lit_places() -> Sheet:
    lines = tuple(
        line_of(
            table("lit_places").rows[place],
            each.title,
            *(f"{each.lux:,}", _band(each.low, each.high), f"{each.hours}", _band(each.hours_low, each.hours_high)),
        )
        for place, each in enumerate(lit_places())
    )
    columns = (column("lit_place"), *(column(name, num=True) for name in ("lux", "lux_band", "hours", "hours_band")))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _band(low: int, high: int) -> str:
    """From and to; nothing where no band is known."""
    return "" if low == high else t("rules.reach", least=f"{low:,}", most=f"{high:,}")


FIGURE_SHEETS: Final[Mapping[str, Callable[[], Sheet]]] = {
    "worth": _worth,
    "care": _care,
    "sizes": _sizes,
    "fair_value": _fair_value,
    "lit_places": _lit_places,
}
"""Table -> how it is shown."""
