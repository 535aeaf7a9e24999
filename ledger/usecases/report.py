"""The condition report of a book: all of it read in one moment, so that it holds together."""

from collections.abc import Mapping, Sequence

from ledger.actor import Actor, Permission
from ledger.errors import MalformedError, NotFoundError, StoreError
from ledger.history import Moment, fold, history
from ledger.ports import Ledger, Reader
from ledger.report import LedgerState, Report, report
from ledger.usecases.browse import small_picture
from ledger.usecases.checkpoint import current
from ledger.views import BookRow

__all__ = ["condition_report", "report_of", "report_pictures"]


def condition_report(ledger: Ledger, actor: Actor, book: str) -> Report:
    """What the ledger says of a book's condition, its sealed values among it: the report is the owner's own.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        row = reader.book(book)
        return report_of(reader, row, history(reader.of_book(book), ledger.codec))


def report_of(reader: Reader, row: BookRow, moments: Sequence[Moment]) -> Report:
    """The report from entries that were read in this moment."""
    return report(fold(row.book, row.no, moments), moments, _state(reader, row.book))


def report_pictures(ledger: Ledger, actor: Actor, of: Report, width: int) -> Mapping[int, bytes]:
    """A small copy of every photograph of a report that is at hand, by the number of its entry; JPEG.

    Units: width px.
    """
    found = {}
    for each in of.photographs:
        try:
            found[each.seq] = small_picture(ledger, actor, each.event.clean, width, each.event.region)
        except (NotFoundError, StoreError, MalformedError):
            # The report says of it that it is not at hand; whether it should be is the check's to say.
            continue
    return found


def _state(reader: Reader, book: str) -> LedgerState:
    now, head, signed = current(reader), reader.book_head(book), reader.last_checkpoint()
    return LedgerState(
        collection=reader.collection,
        size=now.size,
        root=now.root.hex(),
        heads_root=now.heads_root.hex(),
        recorded=reader.entry(now.size).recorded,
        book_seq=head.seq,
        book_leaf=head.leaf,
        signed_size=signed.size if signed else None,
        signed=signed.signed if signed else None,
    )
