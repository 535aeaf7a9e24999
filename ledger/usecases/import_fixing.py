"""The rows of a table that have problems, given out as a file to mend and taken back in."""

from ledger.actor import Actor
from ledger.importing.begun import Begun
from ledger.importing.fixing import fixed_rows, sheet_to_fix
from ledger.importing.reading import RowRead
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases.import_kept import look_at_import, open_import, tables_of
from ledger.usecases.import_tried import tried_again
from ledger.usecases.imports import mend_rows

__all__ = ["file_to_fix", "take_fixed"]


def file_to_fix(ledger: Ledger, actor: Actor, own: str) -> str:
    """CSV of the rows with problems, each with what is wrong.

    Raises: NotFoundError.
    """
    begun = look_at_import(ledger, actor, own)
    return sheet_to_fix(begun, _wrong(ledger, begun))


def take_fixed(ledger: Ledger, actor: Actor, own: str, data: bytes) -> tuple[Begun, int]:
    """The table with what was mended in that file, and in how many rows something was.

    Raises: MalformedError, NotFoundError, ConflictError.
    """
    begun, tables, name = open_import(ledger, actor, own), tables_of(ledger), f"{own}0fixed"
    try:
        tables.keep(name, data, TableAsked())
        mends = fixed_rows(tables.rows(name), _wrong(ledger, begun))
    finally:
        tables.drop(name)
    return mend_rows(ledger, actor, own, mends), len(mends)


def _wrong(ledger: Ledger, begun: Begun) -> list[RowRead]:
    numbers = begun.found.wrong if begun.found else ()
    return [each.row for each in tried_again(ledger, begun, numbers)]
