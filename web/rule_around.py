"""The rule tables of what surrounds the books, as a reader takes them in: light, and the air."""

from typing import Final

from ledger.rules._tables import Row, table
from ledger.rules.light import LightClass
from web.rule_parts import Group, Sheet, column, line_of
from web.wording import t

__all__ = ["climate_sheet", "light_sheet"]

YEARS: Final = 9999
"""A whole number up to here may be a year, and is written without a comma."""


def light_sheet() -> Sheet:
    """Every row with its figures, each under its own name."""
    by_group: dict[str, list[Row]] = {name: [] for name in ("doses", "light_classes", "taken_for", "counting")}
    for row in table("light").rows:
        by_group[_light_group(row)].append(row)
    groups = tuple(
        Group(
            title=t(f"rules.groups.{name}"),
            lines=tuple(line_of(row, row.text("title"), _figures(row)) for row in found),
        )
        for name, found in by_group.items()
    )
    return Sheet(columns=(column("light_row"), column("figures")), groups=groups)


def _light_group(row: Row) -> str:
    if "with_uv_lux_hours" in row.fields:
        return "doses"
    if "class" in row.fields:
        return "taken_for"
    return "light_classes" if row.id in set(LightClass) else "counting"


def _figures(row: Row) -> str:
    given = ((name, value) for name, value in row.fields.items() if name not in ("id", "title", "source"))
    said = (
        f"{t(f'rules.fields.{name}')}: {f'{value:,}' if type(value) is int and value > YEARS else value}"
        for name, value in given
    )
    return "; ".join(said) or t("rules.no_limit").capitalize()


def climate_sheet() -> Sheet:
    """Ranges of air that were published, as labels, and from where on it is damp."""
    lines = tuple(line_of(row, row.text("title"), *_reaches(row)) for row in table("climate").rows)
    columns = tuple(column(name) for name in ("range", "celsius", "rh"))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _reaches(row: Row) -> tuple[str, str]:
    """From what to what, of temperature and humidity; empty where a row says nothing of it."""
    found = [row.texts(name) if name in row.fields else ("", "") for name in ("celsius", "rh")]
    found[0] = row.texts("colder") if "colder" in row.fields else found[0]
    warm, damp = (" \N{EN DASH} ".join(each) if any(each) else "" for each in found)
    return warm, damp
