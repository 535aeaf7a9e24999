"""What the owner holds otherwise than a rule table: the rulings in force, with the entries that made them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, TypeVar

from ledger.actor import Actor, Permission
from ledger.errors import MalformedError
from ledger.events import Event
from ledger.events.ruling import Ruling
from ledger.history import fold_collection, history
from ledger.ports import Ledger, Reader
from ledger.rules._tables import Row, TableError, table
from ledger.rules.ceilings import Ceiling, ceilings, read_ceiling
from ledger.rules.chances import ChanceRow, chance_rows, read_chances
from ledger.rules.graders import GraderRow, grader_row, read_grader

__all__ = ["InForce", "Ruled", "edited_rows", "in_force", "rulings", "rulings_in"]

T = TypeVar("T")

_TABLES: Final = frozenset({"ceilings", "chances", "graders"})


@dataclass(frozen=True, kw_only=True)
class Ruled:
    """A ruling in force, as it was last corrected, and the number of its entry."""

    seq: int
    ruling: Ruling


@dataclass(frozen=True, kw_only=True)
class InForce:
    """The rows that an outlook rests on, as they count in this collection."""

    ceilings: tuple[Ceiling, ...]
    chances: tuple[ChanceRow, ...]
    grader: GraderRow
    ruled: tuple[int, ...] = ()
    """The entries of the rulings that count among them."""
    passed_over: tuple[int, ...] = ()
    """The entries of rulings that leave a row which cannot be read, so that the shipped one counts."""


def rulings(ledger: Ledger, actor: Actor) -> Mapping[tuple[str, str], Ruled]:
    """Every ruling in force by table and row; of several on one row the last."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        return rulings_in(ledger, reader)


def rulings_in(ledger: Ledger, reader: Reader) -> Mapping[tuple[str, str], Ruled]:
    """The same at the moment of a reader."""
    moments = history(reader.of_collection(), ledger.codec)
    events = {moment.entry.seq: moment.event for moment in moments}
    standing = fold_collection(ledger.collection, moments).rulings
    found = {place: (seq, events[seq]) for place, seq in standing.items()}
    return MappingProxyType(
        {place: Ruled(seq=seq, ruling=event) for place, (seq, event) in found.items() if isinstance(event, Ruling)}
    )


def edited_rows(standing: Mapping[tuple[str, str], int], events: Mapping[int, Event], name: str) -> Mapping[str, Row]:
    """The rows of one table on which there is a ruling, by id, as they count in this collection."""
    shipped, found = table(name), {}
    for (of, row_id), seq in standing.items():
        ruling, row = events[seq], shipped.row(row_id) if of == name else None
        if isinstance(ruling, Ruling) and row is not None:
            found[row_id] = ruling.edited(row)
    return found


def in_force(ruled: Mapping[tuple[str, str], Ruled]) -> InForce:
    """The tables of an outlook with these rulings in them.

    Keeps: a ruling that leaves a row which cannot be read is passed over and named, and the shipped row counts.
    """
    over: list[int] = []

    def read(name: str, one: Callable[[Row], T]) -> tuple[T, ...]:
        return tuple(_as_ruled(row, ruled.get((name, row.id)), one, over) for row in table(name).rows)

    if not any(name in _TABLES for name, _ in ruled):
        return InForce(ceilings=ceilings(), chances=chance_rows(), grader=grader_row())
    limits, chances, graders = (
        read("ceilings", read_ceiling),
        read("chances", _same_kind),
        read("graders", read_grader),
    )
    counted = {each.seq for (name, _), each in ruled.items() if name in _TABLES} - set(over)
    return InForce(
        ceilings=limits,
        chances=chances,
        grader=graders[0],
        ruled=tuple(sorted(counted)),
        passed_over=tuple(sorted(over)),
    )


def _same_kind(row: Row) -> ChanceRow:
    """A row of chances that speaks of the defects it was shipped for, so that every defect has one."""
    found, shipped = read_chances(row), next(each for each in chance_rows() if each.id == row.id)
    if (found.type, found.breaks_colour) != (shipped.type, shipped.breaks_colour):
        raise TableError(where=f"{row.table}, row {row.id}", problem="the row speaks of other defects than it did")
    return found


def _as_ruled(row: Row, ruled: Ruled | None, read: Callable[[Row], T], over: list[int]) -> T:
    if ruled is not None:
        try:
            return read(ruled.ruling.edited(row))
        except MalformedError:
            over.append(ruled.seq)
    return read(row)
