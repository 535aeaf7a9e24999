"""What a rule table is made of on a page: columns, groups of rows, and what stands in a cell."""

from dataclasses import dataclass

from ledger.rules.headings import Heading

__all__ = ["Cell", "Classes", "Column", "Group", "Line", "Link", "Sheet"]


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
