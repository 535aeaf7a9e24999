"""A barcode leads to the issue it was last seen on, and to the own copies of it; which issue that is, a book once told.

What is remembered lies beside the ledger: it is a fact about what was printed, and no part of a book's account.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.barcodes import Barcode, Proposal, proposal_of
from ledger.care import CareRow, CareWriter, Drawer
from ledger.errors import ConflictError, InvalidError, LedgerError, NotFoundError, Problem
from ledger.events._parts import Issue
from ledger.history import fold, history
from ledger.market import issue_key
from ledger.ports import Ledger, Reader
from ledger.rows import folded
from ledger.usecases.beside import care_store
from ledger.views import PAGE_MOST, BookQuery, BookRow
from ledger.when import When

__all__ = ["BOOKS_MOST", "PREFIX", "BarcodeLook", "forget_barcode", "keep_barcode", "look_at_barcode", "read_picture"]

PREFIX: Final = "barcode/"
"""How the ids of the rows begin that remember a barcode."""
BOOKS_MOST: Final = 50
"""Copies that are named of one issue."""
_SAID: Final = ("title", "number", "start_year", "publisher", "printing", "variant")


@dataclass(frozen=True, kw_only=True)
class BarcodeLook:
    """What a barcode leads to."""

    barcode: Barcode
    proposal: Proposal | None
    """What the digits beside it are mostly taken for."""
    issue: Issue | None
    """The issue it was remembered for, or else the one that its series and the proposal make; null for neither."""
    remembered: bool
    """This very code was remembered, so the issue is no proposal."""
    books: tuple[BookRow, ...]
    """Own copies of that issue, gone ones too, by their numbers."""


def read_picture(ledger: Ledger, actor: Actor, data: bytes) -> tuple[Barcode, ...]:
    """The barcodes of a photograph, of which nothing is kept.

    Raises: InvalidError for a file that is no picture; ConflictError where pictures are not looked through.
    """
    actor.require(Permission.READ)
    if ledger.bars is None:
        raise ConflictError(sentence="Pictures are not looked through for barcodes here. Type the digits instead.")
    try:
        return ledger.bars.read(data)
    except LedgerError as error:
        raise InvalidError(problems=(Problem(field="file", sentence=str(error)),)) from error


def look_at_barcode(ledger: Ledger, actor: Actor, barcode: Barcode) -> BarcodeLook:
    """The issue it leads to, and the own copies of that."""
    actor.require(Permission.READ)
    proposal = proposal_of(barcode)
    with care_store(ledger).read() as reader:
        own = reader.row(Drawer.CARE, _row_id(barcode))
        alike = reader.rows(Drawer.CARE, f"{PREFIX}{barcode.number}/")
    with ledger.log.read() as log:
        known = _issue(ledger, log, own.said) if own is not None else None
        issue = known if known is not None else _of_series(ledger, log, alike, proposal)
        books = () if issue is None else _copies(ledger, log, issue, exact=known is not None)
    return BarcodeLook(barcode=barcode, proposal=proposal, issue=issue, remembered=known is not None, books=books)


def keep_barcode(ledger: Ledger, actor: Actor, barcode: Barcode, book: str) -> BarcodeLook:
    """From now on this code leads to the issue of that book, as far as it is known now and later.

    Raises: NotFoundError; ConflictError for a book of which no issue is known.
    """
    actor.require(Permission.RECORD)
    with ledger.log.read() as reader:
        issue = _issue_of(ledger, reader, book)
    if issue is None:
        raise ConflictError(sentence="It is not known which issue this book is. Say that first.")
    said: dict[str, Any] = {name: getattr(issue, name) for name in _SAID}
    said |= {"cover_date": None if issue.cover_date is None else str(issue.cover_date), "book": book}
    row = CareRow(id=_row_id(barcode), made=ledger.clock.now(), said=said)
    care_store(ledger).write(lambda writer: writer.put(Drawer.CARE, row))
    return look_at_barcode(ledger, actor, barcode)


def forget_barcode(ledger: Ledger, actor: Actor, barcode: Barcode) -> None:
    """The code leads to nothing any more.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)

    def work(writer: CareWriter) -> None:
        if writer.row(Drawer.CARE, _row_id(barcode)) is None:
            raise NotFoundError(what="barcode", name=barcode.code)
        writer.take(Drawer.CARE, _row_id(barcode))

    care_store(ledger).write(work)


def _row_id(barcode: Barcode) -> str:
    return f"{PREFIX}{barcode.number}/{barcode.add_on}"


def _of_series(ledger: Ledger, log: Reader, alike: list[CareRow], proposal: Proposal | None) -> Issue | None:
    """The issue of the series that other codes of this number tell, with the number that is proposed."""
    told = [each for each in (_issue(ledger, log, row.said) for row in alike) if each is not None]
    if proposal is None or not told:
        return None
    last = told[-1]
    return replace(last, number=proposal.number, cover_date=None, printing=proposal.printing, variant=None)


def _issue(ledger: Ledger, log: Reader, said: Mapping[str, Any]) -> Issue | None:
    """The issue as its book is known now; as it was remembered, where there is no such book; None for a harmed row."""
    try:
        now = _issue_of(ledger, log, str(said.get("book", "")))
    except LedgerError:
        now = None
    if now is not None:
        return now
    if not isinstance(said.get("title"), str) or not isinstance(said.get("number"), str):
        return None
    dated = said.get("cover_date")
    cover_date = When.parse(dated) if isinstance(dated, str) else None
    known: dict[str, Any] = {name: said.get(name) for name in _SAID}
    return Issue(**known, cover_date=cover_date)


def _issue_of(ledger: Ledger, log: Reader, book: str) -> Issue | None:
    head = log.book_head(book)
    return fold(book, head.no, history(log.of_book(book), ledger.codec)).issue


def _copies(ledger: Ledger, log: Reader, issue: Issue, *, exact: bool) -> tuple[BookRow, ...]:
    """Own copies; where only series and number are proposed, of any year, printing and cover."""
    try:
        rows = log.books(BookQuery(text=f"{issue.title} {issue.number}", limit=PAGE_MOST)).rows
    except InvalidError:  # more words than a search may have: it is looked for by its title alone
        return ()
    alike = [
        row
        for row in rows
        if (folded(row.title), folded(row.number)) == (folded(issue.title), folded(issue.number))
        and issue.start_year in (row.start_year, None)
    ][:BOOKS_MOST]
    if exact:
        alike = [row for row in alike if _same(_issue_of(ledger, log, row.book), issue)]
    return tuple(sorted(alike, key=lambda row: row.no))


def _same(one: Issue | None, other: Issue) -> bool:
    return one is not None and issue_key(one) == issue_key(other)
