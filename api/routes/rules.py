"""rules: the tables behind headings, ceilings and grades, each row with where its figures come from."""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Annotated, Any

from fastapi import APIRouter, Path

from api.deps import TO_READERS, LedgerDep, snapshot
from api.documents import EVERYWHERE, failures
from api.schemas import RuleRow, RuleRows, RuleTable, RuleTableList
from ledger import rules
from ledger.errors import NotFoundError
from ledger.events.ruling import Ruling
from ledger.ports import Ledger
from ledger.rules._tables import Row, table
from ledger.usecases.key_in_use import collection_state

router = APIRouter(tags=["rules"])


@router.get(
    "/rules",
    summary="List rule tables",
    response_description="The tables.",
    responses=failures(*EVERYWHERE),
    dependencies=TO_READERS,
)
def list_rules() -> RuleTableList:
    """Every table the program works by."""
    tables = [table(name) for name in names()]
    return RuleTableList(
        tables=[RuleTable(name=each.name, version=each.version, rows=len(each.rows)) for each in tables]
    )


@router.get(
    "/rules/{table}",
    summary="Read a rule table",
    response_description="Its rows.",
    responses=failures(404, *EVERYWHERE),
    dependencies=TO_READERS,
)
def read_rules(
    ledger: LedgerDep, name: Annotated[str, Path(alias="table", description="Name of the table.", examples=["grades"])]
) -> RuleRows:
    """Every row as it was shipped, with its sources; beside it what the owner of this collection ruled instead."""
    if name not in names():
        raise NotFoundError(what="rule table", name=name)
    shipped, ruled = table(name), _rulings(ledger, name)
    rows = [_row(row, *ruled.get(row.id, (None, None))) for row in shipped.rows]
    return RuleRows(name=shipped.name, version=shipped.version, rows=rows)


@cache
def names() -> tuple[str, ...]:
    """The tables that come with the program."""
    folder = files(rules) / "tables"
    return tuple(sorted(each.name.removesuffix(".json") for each in folder.iterdir() if each.name.endswith(".json")))


def _rulings(ledger: Ledger, name: str) -> Mapping[str, tuple[int, Ruling]]:
    """The ruling in force on each row of a table, with its entry."""
    with snapshot(ledger) as reader:
        standing = collection_state(ledger, reader).rulings
        found = {row: (seq, reader.entry(seq).event) for (of, row), seq in standing.items() if of == name}
    return {row: (seq, event) for row, (seq, event) in found.items() if isinstance(event, Ruling)}


def _row(row: Row, seq: int | None, ruling: Ruling | None) -> RuleRow:
    return RuleRow(
        id=row.id,
        fields=_plain(row.fields),
        sources=list(row.sources),
        edited=None if ruling is None else _plain(ruling.edited(row).fields),
        edited_by=seq,
    )


def _plain(value: Any) -> Any:  # noqa: ANN401 - a table's values are read as they are
    """Frozen rows as lists and objects."""
    if isinstance(value, Mapping):
        return {name: _plain(inner) for name, inner in value.items()}
    return [_plain(inner) for inner in value] if isinstance(value, tuple) else value
