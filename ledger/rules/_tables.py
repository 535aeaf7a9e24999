"""Reads the rule tables beside it: versioned data files in which every row says where its figures come from."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from types import MappingProxyType
from typing import NoReturn

from ledger.proof.report import MalformedError

__all__ = ["Row", "Table", "TableError", "read_table", "table"]

_FOLDER = Path(__file__).parent / "tables"
_MEMBERS = frozenset({"name", "version", "sources", "rows"})


@dataclass(eq=False, kw_only=True)
class TableError(MalformedError):
    """A rule table that is not well formed; no figure is taken from it."""

    what: str = "Rule table"


@dataclass(frozen=True)
class Row:
    """One row of a rule table. `sources` says, in words, where its figures come from."""

    table: str
    fields: Mapping[str, object]
    sources: tuple[str, ...]

    @property
    def id(self) -> str:
        """The row's name within its table."""
        return self.text("id")

    def text(self, name: str) -> str:
        """A field that must be text."""
        found = self.fields.get(name)
        return found if isinstance(found, str) else self._refuse(name, "text")

    def one_of(self, name: str, words: tuple[str, ...]) -> str:
        """A field that must be one of these words."""
        found = self.text(name)
        return found if found in words else self._refuse(name, f"one of {', '.join(words)}")

    def whole(self, name: str) -> int:
        """A field that must be a whole number."""
        found = self.fields.get(name)
        return found if type(found) is int else self._refuse(name, "a whole number")

    def flag(self, name: str) -> bool:
        """A field that must be true or false."""
        found = self.fields.get(name)
        return found if isinstance(found, bool) else self._refuse(name, "true or false")

    def texts(self, name: str) -> tuple[str, ...]:
        """A field that must be a list of texts."""
        found = self.fields.get(name)
        if not isinstance(found, tuple) or not all(isinstance(item, str) for item in found):
            self._refuse(name, "a list of texts")
        return found

    def _refuse(self, name: str, words: str) -> NoReturn:
        row = self.fields.get("id", "?")
        raise TableError(where=f"{self.table}, row {row}, field {name}", problem=f"this is not {words}")


@dataclass(frozen=True)
class Table:
    """A rule table: its name, its version, and its rows in order."""

    name: str
    version: int
    sources: Mapping[str, str]
    rows: tuple[Row, ...]

    def row(self, row_id: str) -> Row | None:
        """The row of that name, or None."""
        return self._by_id.get(row_id)

    @cached_property
    def _by_id(self) -> dict[str, Row]:
        return {row.id: row for row in self.rows}


@cache
def table(name: str) -> Table:
    """The table shipped under this name, read once.

    Raises: TableError, if it is not well formed or a row of it has no source.
    """
    return read_table(name, (_FOLDER / f"{name}.json").read_text(encoding="utf-8"))


def read_table(name: str, text: str) -> Table:
    """A table from its text, checked as a whole before a row of it is used."""
    try:
        found = json.loads(text, parse_float=_no_fraction, parse_constant=_no_fraction, object_pairs_hook=_members)
    except json.JSONDecodeError as error:
        raise TableError(where=name, problem=f"this is not JSON ({error.msg}, line {error.lineno})") from error
    if not isinstance(found, dict) or found.keys() != _MEMBERS:
        raise TableError(where=name, problem="a table has name, version, sources and rows, and nothing else")
    version, sources, rows = found["version"], found["sources"], found["rows"]
    if found["name"] != name:
        raise TableError(where=name, problem=f"the file says its name is {found['name']!r}")
    if type(version) is not int or version < 1:
        raise TableError(where=name, problem="the version is not a whole number from 1 up")
    if not isinstance(sources, dict) or not all(isinstance(words, str) and words for words in sources.values()):
        raise TableError(where=name, problem="sources does not map names to words")
    if not isinstance(rows, list) or not rows:
        raise TableError(where=name, problem="there are no rows")
    made = tuple(_row(name, sources, number, row) for number, row in enumerate(rows, start=1))
    _each_once(name, [row.id for row in made])
    _none_idle(name, sources, made)
    return Table(name, version, MappingProxyType(sources), made)


def _row(name: str, sources: Mapping[str, str], number: int, given: object) -> Row:
    if not isinstance(given, dict):
        raise TableError(where=f"{name}, row {number}", problem="this is not an object")
    marks = given.get("source")
    keys = [marks] if isinstance(marks, str) else marks
    if not isinstance(keys, list) or not keys or not all(isinstance(key, str) and key in sources for key in keys):
        raise TableError(
            where=f"{name}, row {number}",
            problem="the row has no source, or one that the table does not list",
            mend="Name a source that stands in the table's sources.",
        )
    return Row(
        name,
        MappingProxyType({key: _frozen(value) for key, value in given.items()}),
        tuple(sources[key] for key in keys),
    )


def _frozen(value: object) -> object:
    """Nothing in a table can be changed by who reads it."""
    if isinstance(value, list):
        return tuple(_frozen(item) for item in value)
    if isinstance(value, dict):
        return MappingProxyType({key: _frozen(item) for key, item in value.items()})
    return value


def _members(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise TableError(problem=f"a member stands twice among {', '.join(key for key, _ in pairs)}")
    return found


def _no_fraction(text: str) -> NoReturn:
    raise TableError(problem=f"{text} is a fraction", mend="Write decimals as text, so that they stay exact.")


def _each_once(name: str, ids: list[str]) -> None:
    seen: set[str] = set()
    for row_id in ids:
        if row_id in seen:
            raise TableError(where=f"{name}, row {row_id}", problem="two rows have this id")
        seen.add(row_id)


def _none_idle(name: str, sources: Mapping[str, str], rows: tuple[Row, ...]) -> None:
    """A source that no row names would lend the table a weight it does not have."""
    used = {words for row in rows for words in row.sources}
    for key, words in sources.items():
        if words not in used:
            raise TableError(where=f"{name}, source {key}", problem="no row rests on this source")
