"""Rules: what the program works by, each figure with where it comes from, and what this collection rules instead."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import NotFoundError
from ledger.events.ruling import NOT_EDITED
from ledger.rules._tables import Row, table
from ledger.rules.headings import HEADINGS_VERSION, Fact, Heading, Purpose, heading
from ledger.usecases.rulings import Ruled, rulings
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.render import Page, page, render
from web.rule_parts import Sheet
from web.rule_sheets import SHEETS
from web.wording import t

router = APIRouter()

HEADINGS: Final = "headings"
"""The one table that is worked out and not kept."""
FACTS: Final = (Fact.NO, Fact.YES, Fact.NOT_KNOWN)


@dataclass(frozen=True, kw_only=True)
class TableLine:
    """One table in the list of all."""

    name: str
    version: int
    rows: int
    ruled: int
    """Rows on which this collection has ruled."""


@page("rules.html")
@dataclass(frozen=True, kw_only=True)
class RulesPage(Page):
    """How work is described, and every table."""

    headings: tuple[Heading, ...]
    lines: Sequence[TableLine]


@dataclass(frozen=True, kw_only=True)
class Case:
    """One way in which the three facts can stand, and the heading for either purpose."""

    facts: tuple[Fact, Fact, Fact]
    stabilise: Heading
    appearance: Heading


@page("headings.html")
@dataclass(frozen=True, kw_only=True)
class HeadingsPage(Page):
    """The heading of every case there is."""

    version: int
    cases: tuple[Case, ...]


@dataclass(frozen=True, kw_only=True)
class Change:
    """One field that was ruled on: as it was shipped, and as it counts here."""

    field: str
    shipped: str
    here: str


@dataclass(frozen=True, kw_only=True)
class Beside:
    """A ruling as it stands beside its row."""

    seq: int
    why: str
    version: int
    """Of the table that was read then."""
    changes: tuple[Change, ...]


@page("rule_table.html")
@dataclass(frozen=True, kw_only=True)
class RuleTablePage(Page):
    """One table, whole."""

    name: str
    version: int
    rows: int
    sheet: Sheet
    aids: tuple[str, ...]
    """What helps to read it."""
    sources: Mapping[str, int]
    """The words of each source, with how many rows rest on it."""
    beside: Mapping[str, Beside]
    editable: bool
    scale: tuple[str, ...]
    """The steps of the scale to be drawn, the lowest first; none for another table."""


@router.get("/rules")
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Every table, after how work is described."""
    ruled = [name for name, _row in rulings(ledger, actor)]
    tables = (table(name) for name in SHEETS)
    lines = [
        TableLine(name=each.name, version=each.version, rows=len(each.rows), ruled=ruled.count(each.name))
        for each in tables
    ]
    lines.insert(1, TableLine(name=HEADINGS, version=HEADINGS_VERSION, rows=len(_cases()) * len(Purpose), ruled=0))
    return render(RulesPage(frame=frame.at(Place.RULES), headings=tuple(Heading), lines=lines))


@router.get("/rules/headings")
def headings(frame: FrameDep, _actor: ActorDep) -> Response:
    """The heading of all cases: it is total, so each has one."""
    return render(HeadingsPage(frame=frame.at(Place.RULES), version=HEADINGS_VERSION, cases=_cases()))


@router.get("/rules/{name}")
def look_at(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, name: str) -> Response:
    """One table with what was ruled on it.

    Raises: NotFoundError.
    """
    if name not in SHEETS:
        raise NotFoundError(what="rule table", name=name)
    shipped = table(name)
    ruled = {row: each for (of, row), each in rulings(ledger, actor).items() if of == name}
    counted = [words for row in shipped.rows for words in row.sources]
    shown = RuleTablePage(
        frame=frame.at(Place.RULES),
        name=name,
        version=shipped.version,
        rows=len(shipped.rows),
        sheet=SHEETS[name](),
        aids=_aids(name),
        sources={words: counted.count(words) for words in shipped.sources.values()},
        beside={row.id: _beside(row, ruled[row.id]) for row in shipped.rows if row.id in ruled},
        editable=name not in NOT_EDITED,
        scale=tuple(row.id for row in reversed(shipped.rows)) if name == "grades" else (),
    )
    return render(shown)


def _aids(name: str) -> tuple[str, ...]:
    """The sentences that help to read a table, in their order."""
    count = sum(key.startswith(f"rules.aids.{name}.") for key in t.texts)
    return tuple(t(f"rules.aids.{name}.{number}") for number in range(1, count + 1))


def _cases() -> tuple[Case, ...]:
    return tuple(
        Case(
            facts=(adds, removes, alters),
            stabilise=heading(adds, removes, alters, Purpose.STABILISE),
            appearance=heading(adds, removes, alters, Purpose.APPEARANCE),
        )
        for adds, removes, alters in product(FACTS, repeat=3)
    )


def _beside(row: Row, ruled: Ruled) -> Beside:
    fields = ruled.ruling.edited(row).fields
    changes = tuple(
        Change(field=t(f"rules.fields.{name}"), shipped=_said(value), here=_said(fields[name]))
        for name, value in row.fields.items()
        if fields[name] != value
    )
    why = ruled.ruling.why.value or ""
    return Beside(seq=ruled.seq, why=why, version=ruled.ruling.version, changes=changes)


def _said(value: object) -> str:
    """What stands in a field, in words."""
    match value:
        case bool():
            return t("rules.answers.yes") if value else t("rules.answers.no")
        case tuple():
            return "; ".join(_class(each) if isinstance(each, Mapping) else str(each) for each in value)
        case "not-known":
            return t("frame.not_known")
    return str(value)


def _class(each: Mapping[str, object]) -> str:
    size, best = each.get("up_to"), each.get("allows") or t("rules.no_limit")
    return f"{size or t('rules.size.more')}: {best}"
