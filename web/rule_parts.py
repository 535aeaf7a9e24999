"""What a rule table is made of on a page: columns, groups of rows, and what stands in a cell."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from ledger.rules._tables import Row
from ledger.rules.headings import Heading
from web.wording import t

__all__ = ["Cell", "Classes", "Column", "Group", "Line", "Link", "Sheet", "column", "in_short", "line_of"]

_OWN: Final = ("common practice, no source", "from memory", "our assumption, editable", "our assumption, not editable")
"""How a source that is not published begins, in every table."""


@dataclass(frozen=True)
class Classes:
    """Sizes with what each allows, the smallest first."""

    steps: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Link:
    """Words that lead to another row."""

    words: str
    href: str


Cell = str | Classes | Link


@dataclass(frozen=True)
class Column:
    """One column of a table."""

    label: str
    num: bool = False


@dataclass(frozen=True, kw_only=True)
class Line:
    """One row: its name, what stands in each column, and where its figures come from, in short."""

    id: str
    name: str
    cells: tuple[Cell, ...]
    sources: str
    now: str = ""
    """What stands in its line while it is folded."""


@dataclass(frozen=True, kw_only=True)
class Group:
    """Rows that belong together; the first of their words is empty for a table that has no groups."""

    title: str
    lines: tuple[Line, ...]
    heading: Heading | None = None


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One whole table; `folded` rows are too long to stand in columns."""

    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    folded: bool = False


def line_of(row: Row, name: str, *cells: Cell) -> Line:
    """The row with its sources in short."""
    return Line(id=row.id, name=name, cells=cells, sources=in_short(row.sources))


def column(name: str, *, num: bool = False) -> Column:
    """A column by the name of its words."""
    return Column(t(f"rules.fields.{name}"), num)


def in_short(sources: Iterable[str]) -> str:
    """The sources of a row; what an unpublished one rests on in detail stands once, over the table."""
    return "; ".join(next((own for own in _OWN if each.startswith(own)), each) for each in sources)
