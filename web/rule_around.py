"""The rule tables of what surrounds the books, as a reader takes them in: light, and the air."""

from typing import Final

from ledger.rules._tables import Row, table
from ledger.rules.light import LightClass
from web.rule_parts import Group, Sheet, column, line_of
from web.wording import t

__all__ = ["climate_sheet", "damp_walls_sheet", "light_sheet"]

YEARS: Final = 9999
"""A whole number up to here may be a year, and is written without a comma."""


def light_sheet() -> Sheet:
    """Every row with its figures, each under its own name."""
    by_group: dict[str, list[Row]] = {name: [] for name in ("doses", "light_classes", "taken_for", "inks", "counting")}
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
    if "first_step" in row.fields and row.id not in set(LightClass):
        return "inks"
    return "light_classes" if row.id in {*LightClass, "special", "photographs"} else "counting"


def _figures(row: Row) -> str:
    given = ((name, value) for name, value in row.fields.items() if name not in ("id", "title", "source"))
    said = (
        f"{t(f'rules.fields.{name}')}: {f'{value:,}' if type(value) is int and value > YEARS else value}"
        for name, value in given
    )
    return "; ".join(said) or t("rules.no_limit").capitalize()


def climate_sheet() -> Sheet:
    """Ranges of air that were published, as labels, and from where on it is damp."""
    uses = ("range", "limit", "swing", "season", "mould")
    by_use = {use: [row for row in table("climate").rows if row.text("use") == use] for use in uses}
    groups = tuple(
        Group(
            title=t(f"rules.groups.climate.{use}"),
            lines=tuple(line_of(row, row.text("title"), *_reaches(row)) for row in found),
        )
        for use, found in by_use.items()
    )
    return Sheet(columns=tuple(column(name) for name in ("range", "celsius", "rh")), groups=groups)


def damp_walls_sheet() -> Sheet:
    """What is assumed of damp and of outer walls, each figure under its own name."""
    groups: dict[str, list[Row]] = {"damp_assumed": [], "wall_kinds": []}
    for row in table("damp_walls").rows:
        groups["wall_kinds" if "hundredths_w_m2k" in row.fields else "damp_assumed"].append(row)
    return Sheet(
        columns=(column("light_row"), column("figures")),
        groups=tuple(
            Group(
                title=t(f"rules.groups.{name}"),
                lines=tuple(line_of(row, row.text("title"), _figures(row)) for row in rows),
            )
            for name, rows in groups.items()
        ),
    )


def _reaches(row: Row) -> tuple[str, str]:
    """From what to what, of temperature and humidity; empty where a row says nothing of it."""
    seasonal = row.text("use") == "season"
    warm, damp = (
        _reach(*(row.texts(name) if name in row.fields else ("", "")), seasonal=seasonal) for name in ("celsius", "rh")
    )
    return warm, damp


def _reach(low: str, high: str, *, seasonal: bool) -> str:
    """In words; of a season how far below and above the mean."""
    if not low and not high:
        return ""
    if seasonal:
        below = t("rules.reaches.below", low=low) if low else t("rules.reaches.as_needed")
        return f"{below}, {t('rules.reaches.above', high=high)}"
    if low and high:
        return f"{low} \N{EN DASH} {high}"
    return t("rules.reaches.from", low=low) if low else t("rules.reaches.to", high=high)
