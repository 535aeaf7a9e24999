"""What is sent and told of tables that are brought in: their columns, their rows, and what a dry run found."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from api.queries import Asked
from api.schemas import Answer
from ledger.importing.begun import Begun, Done, Found, Here, Options
from ledger.importing.below import Below
from ledger.importing.fields import FIELDS
from ledger.importing.identity import Why
from ledger.importing.reading import RowRead
from ledger.importing.runs import Run
from ledger.importing.tables import COLUMNS_MOST, ENCODINGS, MARKS
from ledger.importing.whole_row import Several, Untitled
from ledger.proof.envelope import moment_text
from ledger.usecases.bring_in import hindrance
from ledger.usecases.imports import SOURCE_MOST

__all__ = [
    "IMPORT_BODIES",
    "ColumnsBody",
    "DoublesBody",
    "FileAsked",
    "ImportAnswer",
    "ImportList",
    "MendedBody",
    "ProblemsAsked",
    "RowList",
    "told_import",
    "told_row",
]

_NAMES = [each.name for each in FIELDS]
_FIELD: dict[str, Any] = {"anyOf": [{"type": "string", "enum": _NAMES}, {"type": "null"}]}
_ROW = 10_000_000
"""Beyond every row of a spreadsheet."""
_AT_ONCE = 500


class _Body(BaseModel):
    model_config = ConfigDict(extra="forbid")


class FileAsked(Asked):
    """What the file is called, and how it is to be read where that should not be found out."""

    name: str = Field("table", min_length=1, max_length=200, description="Name of the file.", examples=["boxes.csv"])
    encoding: str | None = Field(
        None, description="Encoding of a text file.", examples=["cp1252"], json_schema_extra={"enum": list(ENCODINGS)}
    )
    mark: str | None = Field(
        None, description="What sets cells apart.", examples=["semicolon"], json_schema_extra={"enum": list(MARKS)}
    )
    sheet: str | None = Field(None, max_length=200, description="Name of a sheet of XLSX.", examples=["Books"])


class ProblemsAsked(Asked):
    """Which rows."""

    after: int = Field(0, ge=0, le=_ROW, description="Only rows behind this one.", examples=[25])


class ColumnsBody(_Body):
    """How the columns are read, and what is said once for all rows."""

    columns: list[str | None] = Field(
        max_length=COLUMNS_MOST,
        description="Of each column the field it is read as; null passes it over. Only gone may stand for several.",
        json_schema_extra={"items": _FIELD},
    )
    source: str = Field(min_length=1, max_length=SOURCE_MOST, description="A name for where the table is from.")
    order: Literal["dmy", "mdy", "ymd"] | None = Field(
        None, description="Which way round dates of three numbers are, where no line over them says it; null asks."
    )
    marks: Literal["1,234.50", "1.234,50"] | None = Field(
        None, description="How marks stand in amounts; null asks where it matters."
    )
    currency: str | None = Field(
        None,
        pattern=r"^[A-Z]{3}$",
        description="ISO 4217 code of amounts that name none, nor the line over them; null asks.",
    )
    several: Several | None = Field(
        None, description="What a row is that speaks of several books; null asks where there is one."
    )
    here: Here | None = Field(
        None, description="Whether a book is here where the column that tells it is empty; null asks."
    )
    untitled: Untitled | None = Field(
        None, description="Whether a row without a title has the one above it; null asks where there is such a row."
    )
    below: Below | None = Field(
        None, description="What rows are that stand below a line with which another table begins; null asks."
    )

    def options(self) -> Options:
        """As the ledger knows them."""
        return Options(**self.model_dump(exclude={"columns", "source"}))


class MendBody(_Body):
    """One row mended, or left out."""

    row: int = Field(ge=1, le=_ROW, description="Number of the row in the file.")
    fields: dict[str, str] = Field(
        default_factory=dict, max_length=len(_NAMES), description="Fields written anew, by their names."
    )
    left_out: bool = Field(False, description="The row is left out.")  # noqa: FBT003 - a default


class MendedBody(_Body):
    """Rows mended or left out."""

    rows: list[MendBody] = Field(min_length=1, max_length=_AT_ONCE, description="The rows.")


class DoublesBody(_Body):
    """What was decided of rows that are likely here already."""

    real: list[int] = Field(default_factory=list, max_length=5_000, description="Rows that are books of their own.")
    left_out: list[int] = Field(default_factory=list, max_length=5_000, description="Rows that are left out.")
    rest: Literal["real", "left", ""] = Field("", description="What all others are; empty leaves them undecided.")


class ColumnAnswer(Answer):
    """One column."""

    head: str = Field(description="What stands over it; empty for nothing.")
    field: str | None = Field(description="The field it is read as; null is passed over.")
    by: Literal["name", "content", "hand", "nothing"] = Field(description="How that was found.")


class DoubleAnswer(Answer):
    """A row that is likely here already."""

    row: int = Field(description="Number of the row in the file.")
    book: str = Field(description="Id of the book that is here.")
    why: Why = Field(description="What is the same of both, beside the issue.")


class FoundAnswer(Answer):
    """What a dry run found; nothing was written by it."""

    rows: int = Field(description="Rows that were tried.")
    good: int = Field(description="Books that would come in.")
    more: int = Field(description="How many of them are more than one a row, of rows that speak of several books.")
    aside: int = Field(description="Rows that are passed over, since they are no books that are here.")
    already: int = Field(description="Books that were brought in before, and are passed over.")
    wrong: int = Field(description="Rows with a problem.")
    doubles: list[DoubleAnswer] = Field(description="Rows that are likely here already and not decided on.")
    asks: dict[str, int] = Field(description="What is to be said once, and how many cells wait for it.")
    kept: "KeptWords | None" = Field(
        description="The first cell that says more than its field can hold: its words go into the note; null for none."
    )


class KeptWords(Answer):
    """Words that go into the note, since what is read of them says less."""

    words: str = Field(description="As they are written.")
    read: str = Field(description="What is read of them.")


class DoneAnswer(Answer):
    """What was written."""

    books: int = Field(description="Books that came in.")
    entries: int = Field(description="Entries that were written.")
    already: int = Field(description="Rows that were passed over, since they had been brought in before.")
    left_out: int = Field(description="Rows that were left out.")
    at: str = Field(description="When it was done. Units: UTC.")


class RunAnswer(Answer):
    """A work on the table that goes on now."""

    done: int = Field(description="How much is done.")
    expected: int = Field(description="Of how much.")


class ImportAnswer(Answer):
    """One table on its way in."""

    id: str = Field(description="Id of the table.")
    name: str = Field(description="Name of the file.")
    source: str = Field(description="Where it is from.")
    sha256: str = Field(description="SHA-256 of the file.")
    kind: str = Field(description="text or XLSX.")
    encoding: str = Field(description="Encoding of a text file; empty for XLSX.")
    mark: str = Field(description="What sets cells apart in a text file; empty for XLSX.")
    sheet: str = Field(description="The sheet that is read; empty for a text file.")
    sheets: list[str] = Field(description="All sheets.")
    rows: int = Field(description="Rows that are not empty, the line of names among them.")
    columns: list[ColumnAnswer] = Field(description="The columns.")
    head_at: int = Field(description="Number of the row that names the columns; 0 for none.")
    order: str | None = Field(description="Which way round dates are; null for not said.")
    marks: str | None = Field(description="How marks stand in amounts; null for not said.")
    currency: str | None = Field(description="Currency of amounts that name none; null for not said.")
    several: str | None = Field(description="What a row of several books is; null for not said.")
    here: str | None = Field(description="Whether books are here where the column is empty; null for not said.")
    untitled: str | None = Field(description="Whether rows without a title have the one above; null for not said.")
    below: str | None = Field(description="What rows below another table's first line are; null for not said.")
    below_at: int = Field(description="Number of the row at which another table seems to begin; 0 for none.")
    found: FoundAnswer | None = Field(description="What the last dry run found; null before one.")
    hindrance: str | None = Field(description="Why it cannot be brought in as it stands; null where it can, or was.")
    running: RunAnswer | None = Field(description="The work that goes on; null for none.")
    done: DoneAnswer | None = Field(description="What was written; null before that.")


class ImportList(Answer):
    """All of them."""

    imports: list[ImportAnswer] = Field(description="The newest first.")


class RowProblem(Answer):
    """What is wrong with a row."""

    field: str = Field(description="Name of the field.")
    detail: str = Field(description="What is wrong, and the mend.")


class RowAnswer(Answer):
    """One row as it was read."""

    row: int = Field(description="Number of the row in the file.")
    said: dict[str, str] = Field(description="What was written, by field.")
    read: dict[str, str] = Field(description="How it was read, by field, in words.")
    problems: list[RowProblem] = Field(description="What is wrong with it.")


class RowList(Answer):
    """Rows with problems."""

    rows: list[RowAnswer] = Field(description="By their numbers, up to a hundred; ask again after the last.")


IMPORT_BODIES = (ColumnsBody, MendedBody, DoublesBody)


def told_import(begun: Begun, run: Run | None) -> ImportAnswer:
    """As the service tells it."""
    facts, found, done = begun.facts, begun.found, begun.done
    return ImportAnswer(
        id=begun.id,
        name=begun.name,
        source=begun.source,
        sha256=facts.sha256,
        kind=facts.kind,
        encoding=facts.encoding,
        mark=facts.mark,
        sheet=facts.sheet,
        sheets=list(facts.sheets),
        rows=facts.rows,
        columns=[ColumnAnswer(head=each.head, field=each.field, by=each.by.value) for each in begun.columns.columns],
        head_at=begun.columns.head_at,
        order=begun.options.order,
        marks=begun.options.marks,
        currency=begun.options.currency,
        several=begun.options.several,
        here=begun.options.here,
        untitled=begun.options.untitled,
        below=begun.options.below,
        below_at=begun.columns.below,
        found=None if found is None else _told_found(begun, found),
        hindrance=None if done else hindrance(begun),
        running=None if run is None else RunAnswer(done=run.done, expected=run.expected),
        done=None if done is None else _told_done(done),
    )


def _told_found(begun: Begun, found: Found) -> FoundAnswer:
    return FoundAnswer(
        rows=found.rows,
        good=found.good,
        more=found.more,
        aside=found.aside,
        already=found.already,
        wrong=found.wrong_count,
        doubles=[DoubleAnswer(row=each.row, book=each.book, why=each.why) for each in begun.undecided],
        asks={rule.removeprefix("ask."): count for rule, (count, _) in found.asks.items()},
        kept=None if found.kept is None else KeptWords(words=found.kept[0], read=found.kept[1]),
    )


def _told_done(done: Done) -> DoneAnswer:
    at = moment_text(done.at)
    return DoneAnswer(books=done.books, entries=done.entries, already=done.already, left_out=done.left, at=at)


def told_row(row: RowRead) -> RowAnswer:
    """As the service tells it."""
    return RowAnswer(
        row=row.number,
        said=dict(row.said),
        read=row.shown,
        problems=[RowProblem(field=each.field, detail=each.sentence) for each in row.problems],
    )
