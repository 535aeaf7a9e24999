"""ruling: the collector holds something else than a row of a rule table says; both are shown from now on."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import MalformedError, Problem
from ledger.events._base import At, Event, Lane, Scope, fact, sealed
from ledger.proof.canonical import read
from ledger.rules._tables import Row, Table, TableError, table
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.collection import Collection

NOT_EDITED = frozenset({"cautions", "climate", "currencies", "currency_signs", "grades", "steps"})
"""Tables that are no opinion: warnings, a standard, the scale everything is counted on, steps one begins with, and what
others published of climates."""
FIXED = frozenset({"id", "source"})
"""Fields of a row that a ruling leaves alone: its name, and where its shipped figures come from."""
YES_NO = {"yes": True, "no": False}
WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,8})")


@dataclass(frozen=True, kw_only=True)
class NewValue:
    """One field of the row with the value it has from now on, as text.

    Units: a whole number in digits; yes or no; texts of a list one per line; a list of classes as JSON; any other text
    as it is.
    """

    field: str = fact("Field", pattern=r"^[a-z][a-z0-9_]{0,39}$")
    value: str = fact(
        "Value", "As text: digits, yes or no, one list item per line, or JSON for classes.", max_length=4000
    )


@dataclass(frozen=True, kw_only=True)
class Ruling(Event):
    """A row of a rule table counts with other values in this collection.

    Keeps: it is a ruling on one version of the table. A later ruling on the same row takes its place whole; withdrawing
    it brings the shipped row back.

    Rules: 1 the table is a rule table that can be edited. 2 It is the version this program has. 3 The row stands in
    it. 4 Every field is one of the row, named once, and neither id nor source. 5 A value reads as its field does.
    6 Something is changed.
    """

    kind: ClassVar[str] = "ruling"
    title: ClassVar[str] = "Ruling"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.COLLECTION

    table: str = fact("Table", "Name of the rule table.", pattern=r"^[a-z][a-z0-9_]{0,39}$")
    row: str = fact("Row", "Id of the row.", min_length=1, max_length=60)
    version: int = fact("Version", "Version of the table that was read.", ge=1)
    values: tuple[NewValue, ...] = fact("New values", "Only the fields that differ.", max_length=40)
    why: Sealed[str] = sealed("Why", shown=True)

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 to 6."""
        yield from super().flaws()
        shipped = _edited(self.table)
        if shipped is None:
            yield self.rule(1, f"{self.table} is no rule table that can be edited. Name one of them.", "table")
            return
        if shipped.version != self.version:
            sentence = (
                f"The table has version {shipped.version}, not {self.version}. Read the row again, then rule on it."
            )
            yield self.rule(2, sentence, "version")
            return
        row = shipped.row(self.row)
        if row is None:
            yield self.rule(3, f"The table {self.table} has no row {self.row}. Name one of its rows.", "row")
            return
        yield from self._value_flaws(row)

    def _value_flaws(self, row: Row) -> Iterator[Problem]:
        named = [each.field for each in self.values]
        changed = False
        for place, each in enumerate(self.values):
            if each.field in FIXED or each.field not in row.fields or each.field in named[:place]:
                sentence = f"{each.field} is no field of this row to give one new value. Take another, or leave it out."
                yield self.rule(4, sentence, f"values.{place}.field")
                continue
            meant = _read(each.value, row.fields[each.field])
            if meant is None:
                sentence = f"{each.field} is {_words(row.fields[each.field])}. Write it so."
                yield self.rule(5, sentence, f"values.{place}.value")
            changed = changed or meant != row.fields[each.field]
        if not changed:
            yield self.rule(6, "The row says this already. Give at least one value that differs.", "values")

    def edited(self, row: Row) -> Row:
        """The shipped row with these values in it; a value that does not fit its field is passed over.

        Keeps: its sources say that it is a ruling of this collection.
        """
        meant = {each.field: _read(each.value, row.fields.get(each.field)) for each in self.values}
        fitting = {name: value for name, value in meant.items() if value is not None and name not in FIXED}
        return replace(row, fields=MappingProxyType({**row.fields, **fitting}), sources=(*row.sources, RULED))

    def apply_collection(self, collection: "Collection", at: At) -> "Collection":
        """It holds for its row, in place of any ruling before."""
        return replace(collection, rulings=MappingProxyType({**collection.rulings, (self.table, self.row): at.seq}))

    def summary(self) -> str:
        """Table, row and the fields ruled on."""
        fields = ", ".join(each.field for each in self.values)
        return f"Ruling on {self.table}, {self.row}: {fields or 'nothing'}"


RULED = "a ruling of this collection"


def _edited(name: str) -> Table | None:
    if name in NOT_EDITED:
        return None
    try:
        return table(name)
    except (TableError, OSError):
        return None


def _read(value: str, like: object) -> object:
    """The value as the kind of thing the field holds; None when it cannot be read so."""
    if isinstance(like, bool):
        return YES_NO.get(value)
    if isinstance(like, int):
        return int(value) if WHOLE.fullmatch(value) and value != "-0" else None
    if isinstance(like, tuple) and like and isinstance(like[0], Mapping):
        return _read_classes(value, frozenset(like[0]))
    if isinstance(like, tuple):
        items = tuple(value.split("\n")) if value else ()
        return items if all(each.strip() for each in items) else None
    return value if isinstance(like, str) and value.strip() else None


def _read_classes(value: str, names: frozenset[str]) -> object:
    """A list of objects that each have these members, every one a text or null."""
    try:
        found = read(value)
    except MalformedError:
        return None
    classes = [each for each in found if isinstance(each, dict)] if isinstance(found, list) else []
    alike = all(each.keys() == names for each in classes)
    plain = all(isinstance(member, str | None) for each in classes for member in each.values())
    if not classes or classes != found or not alike or not plain:
        return None
    return tuple(MappingProxyType(each) for each in classes)


def _words(like: object) -> str:
    if isinstance(like, bool):
        return "yes or no"
    if isinstance(like, int):
        return "a whole number"
    if isinstance(like, tuple) and like and isinstance(like[0], Mapping):
        return f"a JSON list of objects with {' and '.join(sorted(like[0]))}, each a text or null"
    return "a list, one item per line" if isinstance(like, tuple) else "a text that is not blank"
