"""What is known of a table that is being brought in, and of a source that was brought in from before; as JSON and back."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any, Final, Literal, cast, get_args

from ledger.importing.below import Below
from ledger.importing.columns import By, Columns, Matched
from ledger.importing.identity import Double, Why
from ledger.importing.reading import Ways
from ledger.importing.tables import TableFacts
from ledger.importing.whole_row import Several, Untitled

__all__ = [
    "HERE",
    "LISTED_MOST",
    "Begun",
    "Done",
    "Found",
    "Here",
    "Options",
    "Source",
    "begun_of",
    "plain_begun",
    "plain_source",
    "source_of",
]

LISTED_MOST: Final = 5_000
"""Rows with problems, and likely doubles, that are named one by one."""

Marks = Literal["1,234.50", "1.234,50"]
Order = Literal["dmy", "mdy", "ymd"]
Here = Literal["yes", "no"]
HERE: Final[tuple[Here, ...]] = get_args(Here)


@dataclass(frozen=True, kw_only=True)
class Options:
    """What is said once for a whole file."""

    order: Order | None = None
    marks: Marks | None = None
    currency: str | None = None
    several: Several | None = None
    here: Here | None = None
    untitled: Untitled | None = None
    below: Below | None = None

    def over(self, before: "Options") -> "Options":
        """What is said here, and where nothing is what was said before."""
        said = {name: value for name, value in vars(self).items() if value is not None}
        return replace(before, **said)

    def ways(self, today: date) -> Ways:
        """By what its cells are read."""
        return Ways(
            day=today,
            currency=self.currency,
            marks=self.marks,
            order=self.order,
            several=self.several,
            here=self.here,
            untitled=self.untitled,
        )


@dataclass(frozen=True, kw_only=True)
class Found:
    """What a dry run came to; nothing was written by it."""

    rows: int
    good: int
    """Books that would be brought in, likely doubles among them until they are decided on."""
    more: int = 0
    """How many of them come from rows that speak of several, beyond one a row."""
    already: int
    """Books that were brought in before."""
    wrong: tuple[int, ...] = ()
    """Rows with a problem, the first of them by number."""
    wrong_count: int = 0
    doubles: tuple[Double, ...] = ()
    doubles_count: int = 0
    asks: Mapping[str, tuple[int, str]] = field(default_factory=dict)
    """What has to be said once: how many cells wait for it, and one of them."""
    kept: tuple[str, str] | None = None
    """The first words that say more than what was read of them, and what was; None where there are none."""
    aside: int = 0
    """Rows that say themselves that they are no book that is here; they are passed over."""
    no_book: tuple[int, str] | None = None
    """The first of them, and its words."""


@dataclass(frozen=True, kw_only=True)
class Done:
    """What was written."""

    books: int
    entries: int
    already: int
    left: int
    at: datetime


@dataclass(frozen=True, kw_only=True)
class Begun:
    """A table on its way in: from a file that was read to books that were written."""

    id: str
    made: datetime
    name: str
    """Of the file."""
    source: str
    facts: TableFacts
    columns: Columns
    options: Options = field(default_factory=Options)
    mends: Mapping[int, Mapping[str, str]] = field(default_factory=dict)
    """Fields written anew, by row."""
    left: frozenset[int] = frozenset()
    """Rows left out."""
    real: frozenset[int] = frozenset()
    """Likely doubles that are books of their own."""
    found: Found | None = None
    done: Done | None = None

    @property
    def rows(self) -> int:
        """How many rows stand under the names of its columns; empty ones do not count."""
        return max(self.facts.rows - self.columns.above, 0)

    @property
    def undecided(self) -> tuple[Double, ...]:
        """Likely doubles that nobody has decided on."""
        doubles = self.found.doubles if self.found else ()
        return tuple(each for each in doubles if each.row not in self.left and each.row not in self.real)

    def without_rows(self) -> "Begun":
        """What is kept of it once it is done: nothing that stood in a row."""
        return replace(self, mends={}, left=frozenset(), real=frozenset(), found=None)


@dataclass(frozen=True, kw_only=True)
class Source:
    """What is remembered of where tables come from."""

    name: str
    heads: Mapping[str, str] = field(default_factory=dict)
    """Of each name over a column the field it was read as; empty for none."""
    options: Options = field(default_factory=Options)
    left: frozenset[str] = frozenset()
    """Keys of rows that were left out as doubles."""
    real: frozenset[str] = frozenset()
    """Keys of rows that looked like doubles and are none."""


def plain_begun(begun: Begun) -> dict[str, Any]:
    """As JSON."""
    return {
        "name": begun.name,
        "source": begun.source,
        "facts": vars(begun.facts) | {"sheets": list(begun.facts.sheets)},
        "head_at": begun.columns.head_at,
        "above": begun.columns.above,
        "below": [begun.columns.below, begun.columns.below_says, begun.columns.is_renamed],
        "columns": [[each.head, each.field, each.by.value] for each in begun.columns.columns],
        "options": vars(begun.options),
        "mends": {str(row): dict(said) for row, said in begun.mends.items()},
        "left": sorted(begun.left),
        "real": sorted(begun.real),
        "found": None if begun.found is None else _plain_found(begun.found),
        "done": None if begun.done is None else vars(begun.done) | {"at": begun.done.at.isoformat()},
    }


def begun_of(own: str, made: datetime, said: Mapping[str, Any]) -> Begun:
    """From JSON.

    Raises: KeyError, TypeError, ValueError for what was tampered with.
    """
    found, done = said["found"], said["done"]
    matched = tuple(Matched(head=head, field=name, by=By(by)) for head, name, by in said["columns"])
    above = said.get("above", 1 if said["head_at"] else 0)  # what was begun before it was counted has none
    below, below_says, is_renamed = said.get("below", (0, "", False))
    return Begun(
        id=own,
        made=made,
        name=said["name"],
        source=said["source"],
        facts=TableFacts(**{**said["facts"], "sheets": tuple(said["facts"]["sheets"])}),
        columns=Columns(
            columns=matched,
            head_at=said["head_at"],
            above=above,
            below=below,
            below_says=below_says,
            is_renamed=is_renamed,
        ),
        options=_options(said["options"]),
        mends={int(row): dict(each) for row, each in said["mends"].items()},
        left=frozenset(said["left"]),
        real=frozenset(said["real"]),
        found=None if found is None else _found(found),
        done=None if done is None else Done(**{**done, "at": datetime.fromisoformat(done["at"])}),
    )


def plain_source(source: Source) -> dict[str, Any]:
    """As JSON."""
    return {
        "name": source.name,
        "heads": dict(source.heads),
        "options": vars(source.options),
        "left": sorted(source.left),
        "real": sorted(source.real),
    }


def source_of(said: Mapping[str, Any]) -> Source:
    """From JSON; what was tampered with remembers nothing."""
    try:
        return Source(
            name=str(said["name"]),
            heads={str(head): str(name) for head, name in said["heads"].items()},
            options=_options(said["options"]),
            left=frozenset(map(str, said["left"])),
            real=frozenset(map(str, said["real"])),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        return Source(name="")


def _options(said: Mapping[str, Any]) -> Options:
    return Options(
        order=cast("Order | None", said["order"]),
        marks=cast("Marks | None", said["marks"]),
        currency=said["currency"],
        several=said.get("several"),
        here=said.get("here"),
        untitled=said.get("untitled"),
        below=said.get("below"),
    )


def _plain_found(found: Found) -> dict[str, Any]:
    doubles = [[each.row, each.book, each.why.value] for each in found.doubles]
    return vars(found) | {
        "wrong": list(found.wrong),
        "doubles": doubles,
        "asks": {k: list(v) for k, v in found.asks.items()},
    }


def _found(said: Mapping[str, Any]) -> Found:
    doubles = tuple(Double(row=row, book=book, why=Why(why)) for row, book, why in said["doubles"])
    asks = {rule: (int(count), str(example)) for rule, (count, example) in said["asks"].items()}
    kept = said.get("kept") and tuple(said["kept"])
    no_book = said.get("no_book") and tuple(said["no_book"])
    told = {"doubles": doubles, "asks": asks, "kept": kept, "no_book": no_book}
    return Found(**{**said, "wrong": tuple(said["wrong"]), **told})
