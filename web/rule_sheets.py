"""The rule tables as a reader takes them in: columns or blocks, each row with its source, a ruling beside it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Final

from ledger.bench import Step
from ledger.rules._tables import Row, table
from ledger.rules.cautions import Caution, cautions
from ledger.rules.ceilings import Ceiling, ceilings
from ledger.rules.chances import ChanceRow, chance_rows
from ledger.rules.currencies import currency
from ledger.rules.defects import defect_type, defect_types
from ledger.rules.graders import FIELDS, grader_row
from ledger.rules.grades import grades
from ledger.rules.headings import Heading
from ledger.rules.steps import Starter, starters
from ledger.rules.techniques import Technique, technique, techniques
from ledger.when import When
from web.bench_lines import step_words
from web.figure_sheets import FIGURE_SHEETS
from web.rule_around import climate_sheet, damp_walls_sheet, light_sheet
from web.rule_parts import Cell, Classes, Group, Line, Link, Sheet, column, in_short, line_of
from web.wording import t

__all__ = ["SHEETS"]


def _grades() -> Sheet:
    rows = {row.id: row for row in table("grades").rows}
    lines = tuple(
        Line(
            id=each.text,
            name=each.text,
            cells=(str(each.step + 1), each.letters, each.words, ", ".join(rows[each.text].texts("also"))),
            sources=in_short(rows[each.text].sources),
        )
        for each in reversed(grades())
    )
    columns = (column("grade"), column("step", num=True), column("letters"), column("words"), column("also"))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _techniques() -> Sheet:
    names = ("facts", "purpose", "reversible", "aim", "trade_view", "where_views_differ", "side_effects")
    more = ("detectable_by", "caution", "record", "sentence")
    by_heading = {heading: [each for each in techniques() if each.heading is heading] for heading in Heading}
    groups = tuple(
        Group(
            title=t(f"rules.groups.{heading.value}"),
            heading=heading,
            lines=tuple(_technique(each) for each in found),
        )
        for heading, found in by_heading.items()
        if found
    )
    return Sheet(columns=tuple(column(name) for name in (*names, *more)), groups=groups, folded=True)


def _technique(each: Technique) -> Line:
    facts = t("rules.facts", adds=_word(each.adds), removes=_word(each.removes_original), alters=_word(each.alters))
    aims = (", ".join(each.aims) or t("rules.no_aim")).capitalize()
    return Line(
        id=each.id,
        name=each.title,
        now=each.trade_view,
        cells=(
            facts,
            _word(each.purpose),
            _word(each.reversible),
            t("rules.aim", aims=aims, words=each.aim),
            each.trade_view,
            each.where_views_differ,
            each.side_effects,
            each.detectable_by,
            _caution(each.caution),
            each.record,
            each.sentence,
        ),
        sources=in_short(each.sources),
    )


def _defects() -> Sheet:
    names = dict.fromkeys(each.group for each in defect_types())
    by_group = {name: [each for each in defect_types() if each.group == name] for name in names}
    groups = tuple(
        Group(
            title=t(f"rules.groups.{name}"),
            lines=tuple(
                Line(
                    id=each.id,
                    name=each.title,
                    cells=(
                        each.measure,
                        t(f"rules.breaks.{each.breaks_colour}"),
                        ", ".join(each.faces),
                        each.work,
                    ),
                    sources=in_short(each.sources),
                )
                for each in found
            ),
        )
        for name, found in by_group.items()
    )
    columns = tuple(column(name) for name in ("defect", "measure", "breaks_colour", "faces", "work"))
    return Sheet(columns=columns, groups=groups)


def _chances() -> Sheet:
    lines = tuple(
        Line(
            id=each.id,
            name=defect_type(each.type).title,
            cells=(t(f"rules.breaks.{each.breaks_colour}"), *map(str, _of_chances(each)), str(each.strength)),
            sources=in_short(each.sources),
        )
        for each in chance_rows()
    )
    numbers = tuple(column(name, num=True) for name in ("gone", "lessened", "same", "strength"))
    return Sheet(columns=(column("defect"), column("breaks_colour"), *numbers), groups=(Group(title="", lines=lines),))


def _of_chances(row: ChanceRow) -> tuple[int, int, int]:
    return row.chances.gone, row.chances.lessened, row.chances.same


def _graders() -> Sheet:
    row = grader_row()
    cells = (*(str(row.kernel.weights[steps]) for steps in FIELDS.values()), str(row.strength))
    line = Line(id=row.id, name=t("rules.any_service"), cells=cells, sources=in_short(row.sources))
    numbers = tuple(column(name, num=True) for name in (*FIELDS, "strength"))
    return Sheet(columns=(column("service"), *numbers), groups=(Group(title="", lines=(line,)),))


def _ceilings() -> Sheet:
    lines = tuple(
        Line(
            id=each.id,
            name=defect_type(each.type).title,
            cells=(
                t(f"rules.breaks.{each.breaks_colour}"),
                t(f"rules.by.{each.by}"),
                Classes(tuple(_classes(each))),
                t(f"rules.unmeasured.{'least' if each.unmeasured_is_least else 'refused'}"),
            ),
            sources=in_short(each.sources),
        )
        for each in ceilings()
    )
    columns = tuple(column(name) for name in ("defect", "breaks_colour", "by", "classes", "unmeasured"))
    return Sheet(columns=columns, groups=(Group(title="", lines=lines),))


def _classes(each: Ceiling) -> Iterator[tuple[str, str]]:
    for size in each.classes:
        best = str(size.allows) if size.allows else t("rules.no_limit")
        if each.by in ("word", "any"):
            yield each.word or t("rules.is_there"), best
        elif size.up_to is None:
            yield t("rules.size.more"), best
        else:
            yield t(f"rules.size.{each.by}", size=f"{size.up_to}"), best


def _cautions() -> Sheet:
    rows = table("cautions")
    lines = tuple(line_of(row, cautions()[row.id].title, cautions()[row.id].text) for row in rows.rows)
    return Sheet(columns=(column("caution_name"), column("text")), groups=(Group(title="", lines=lines),))


def _record_levels() -> Sheet:
    lines = tuple(line_of(row, row.id, row.text("text")) for row in table("record_levels").rows)
    return Sheet(columns=(column("level"), column("text")), groups=(Group(title="", lines=lines),))


def _steps() -> Sheet:
    names = ("starter", "technique", "settings", "note", "says", "caution")
    lines = tuple(
        line_of(table("steps").rows[place], each.title, *_cells(each)) for place, each in enumerate(starters())
    )
    return Sheet(columns=tuple(map(column, names)), groups=(Group(title="", lines=lines),))


def _cells(each: Starter) -> tuple[Cell, ...]:
    of = Link(technique(each.technique).title, f"/rules/techniques#{each.technique}")
    return (
        of,
        step_words(Step(values=each.values)) or t("rules.left_open"),
        each.note,
        each.says,
        _caution(each.caution),
    )


def _caution(of: Caution | None) -> Cell:
    return t("rules.no_caution") if of is None else Link(of.title, f"/rules/cautions#{of.key}")


def _currencies() -> Sheet:
    def lines(rows: Iterable[Row]) -> tuple[Line, ...]:
        return tuple(line_of(row, row.id, _decimals(row), _month(row)) for row in rows)

    rows = table("currencies").rows
    active = [row for row in rows if "withdrawn" not in row.fields]
    groups = (
        Group(title=t("rules.groups.active"), lines=lines(active)),
        Group(title=t("rules.groups.withdrawn"), lines=lines(row for row in rows if "withdrawn" in row.fields)),
    )
    return Sheet(columns=(column("code"), column("decimals", num=True), column("withdrawn")), groups=groups)


def _decimals(row: Row) -> str:
    """How many decimals; words for a code in which nothing is counted."""
    return t("rules.no_unit") if row.fields["exponent"] is None else str(currency(row.id).exponent)


def _month(row: Row) -> str:
    """From when on a code is history, in words; empty for one in use."""
    return When.parse(row.text("withdrawn")).label() if "withdrawn" in row.fields else ""


def _currency_signs() -> Sheet:
    lines = tuple(line_of(row, row.id, ", ".join(row.texts("codes"))) for row in table("currency_signs").rows)
    return Sheet(columns=(column("sign"), column("codes")), groups=(Group(title="", lines=lines),))


def _word(value: str) -> str:
    return t(f"rules.answers.{value}")


SHEETS: Final[Mapping[str, Callable[[], Sheet]]] = {
    **FIGURE_SHEETS,
    "techniques": _techniques,
    "grades": _grades,
    "defects": _defects,
    "chances": _chances,
    "ceilings": _ceilings,
    "graders": _graders,
    "record_levels": _record_levels,
    "light": light_sheet,
    "climate": climate_sheet,
    "damp_walls": damp_walls_sheet,
    "steps": _steps,
    "cautions": _cautions,
    "currencies": _currencies,
    "currency_signs": _currency_signs,
}
"""Every table that comes with the program, in the order in which a reader needs them."""
