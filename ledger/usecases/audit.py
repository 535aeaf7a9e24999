"""Holds what is made of the entries against them: the lists and the photographs."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from typing import Final

from ledger.errors import LedgerError
from ledger.events.correction import Correction
from ledger.events.photograph import Photograph
from ledger.finding import all_words
from ledger.history import Moment, fold, history
from ledger.ports import Ledger, Reader
from ledger.proof.report import Evidence, Report
from ledger.rows import Listing, listing
from ledger.usecases.stored import all_entries, readable

_OF_SEALED: Final = frozenset({"sealed-changed", "sealed-missing", "sealed-kept"})
"""Said of sealed values; what the lists made of them cannot be held against them any more."""
TOLD = 20
"""Nodes of a tree, or rows left over, that are named one by one; a single entry taken out moves all behind it."""


def audit_models(ledger: Ledger, reader: Reader, report: Report) -> None:
    """Everything the lists keep of every book against a fold of its entries: row, sort keys and search text."""
    kept = {each.row.book: each for each in reader.listings()}
    unread: set[str | None] = set()
    damaged = {each.seq for each in report.findings if each.code in _OF_SEALED}
    for head in reader.book_heads():
        own = kept.pop(head.book, None)
        try:
            moments = history(reader.of_book(head.book), ledger.codec)
            expected = listing(fold(head.book, head.no, moments), moments)
        except LedgerError:
            unread.add(head.book)
            continue
        report.count("read models")
        if own is None:
            sentence = f"Book {head.book} is missing from the lists; rebuild mends it."
            report.add("read-model-missing", sentence, book=head.book)
        elif not _alike(own, expected, moments, damaged):
            sentence = f"The lists show book {head.book} other than its entries; rebuild mends it."
            report.add("read-model-differs", sentence, book=head.book)
    for book in kept:
        sentence = f"The lists show book {book}, which has no entries; rebuild mends it."
        report.add("read-model-differs", sentence, book=book)
    _tell_strays(reader.strays(), report)
    try:
        reader.of_collection()
    except LedgerError:
        unread.add(None)
    if unread:
        _tell_unreadable(reader, unread, report)


def _alike(own: Listing, expected: Listing, moments: Sequence[Moment], damaged: AbstractSet[int | None]) -> bool:
    """The lists say the same; of a book whose sealed values were changed, all but its costs and the words of these.

    What a changed value came to before, nobody can tell any more: the words of the other entries must be there.
    """
    harmed = [each for each in moments if each.entry.seq in damaged]
    if not harmed:
        return own == expected
    corrected = {each.event.entry for each in harmed if isinstance(each.event, Correction)}
    others = all_words([each for each in moments if each.entry.seq not in damaged | corrected])
    bare, expected = (replace(each, costs=(), words=()) for each in (own, expected))
    return bare == expected and set(others) <= set(own.words)


def _tell_strays(strays: Sequence[str], report: Report) -> None:
    for each in strays[:TOLD]:
        report.add(
            "read-model-stray", f"The lists hold {each}, which belongs to no book in them; rebuild takes it out."
        )
    if len(strays) > TOLD:
        more = f"The lists hold {len(strays) - TOLD} more rows that belong to no book in them; rebuild takes them out."
        report.add("read-model-stray", more)


def _tell_unreadable(reader: Reader, chains: set[str | None], report: Report) -> None:
    """Entries of these chains that are whole and are not what their kind says; what else is wrong was told before."""
    told = {each.seq for each in report.findings}
    for row in all_entries(reader):
        if row.book not in chains or row.seq in told:
            continue
        try:
            reader.entry(row.seq)
        except LedgerError as error:
            sentence = f"Entry {row.seq} is whole and yet cannot be understood: {error}"
            report.add("event-unreadable", sentence, seq=row.seq, book=row.book)


def audit_pictures(ledger: Ledger, reader: Reader, report: Report) -> None:
    """Every photograph the entries name, original and clean copy, read and hashed again."""
    for entry in readable(reader, "photograph"):
        if not isinstance(entry.event, Photograph):
            continue  # of a newer program, or another kind than the column beside it says, which the walk tells
        for which, expected in (("original", entry.event.original), ("clean copy", entry.event.clean)):
            report.count("photographs")
            found = ledger.pictures.digest(expected)
            if found is None:
                sentence = f"The {which} of the photograph in entry {entry.seq} is missing."
                report.add("picture-missing", sentence, evidence=Evidence.MISSING, seq=entry.seq, book=entry.book)
            elif found != expected:
                report.add(
                    "picture-changed", f"The {which} of the photograph in entry {entry.seq} was changed.", seq=entry.seq
                )
