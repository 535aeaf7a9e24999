"""Records on paper for tests: a whole book with photographs, its record, and what can be read out of a PDF."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from ledger.disclosed import Telling, disclosed_sheet
from ledger.events import Event
from ledger.events.photograph import Photograph
from ledger.history import fold, history
from ledger.ports import Ledger
from ledger.proof.proof_file import ProofFile
from ledger.proof.record_file import PictureNamed, RecordFile
from ledger.proof.sheet import Sheet
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.prove import book_proof
from ledger.usecases.record import Draft, record
from tests.pdf import elements, opened, words
from tests.pictures import a_picture
from tests.usecases.telling import OWNER

__all__ = ["MADE", "Handed", "a_record", "elements", "opened", "streams", "text_of_pdf", "words"]

MADE = datetime(2026, 3, 20, 9, tzinfo=UTC)


@dataclass(frozen=True)
class Handed:
    """A record and what lies beside it."""

    data: bytes
    beside: Mapping[str, bytes]

    @property
    def sheet(self) -> Sheet:
        """Its words."""
        return RecordFile.from_bytes(self.data).sheet


def a_record(ledger: Ledger, *events: Event, shots: Mapping[str, Mapping[str, Any]] | None = None) -> Handed:
    """The record of a new book, open as it is unless its maker says otherwise; photographs by their colours.

    Keeps: it ends without the entry by which it is made, which no paper asks for.
    """
    first, *more = events
    book = str(record(ledger, OWNER, [Draft(event=first, new_book=True)]).entries[0].book)
    for event in more:
        record(ledger, OWNER, [Draft(event=event, book=book)])
    for colour, said in (shots or {}).items():
        photograph(ledger, OWNER, book, [Shot(data=a_picture(colour, (300, 420), "JPEG"), said=dict(said))])
    sign_checkpoint(ledger, OWNER)
    with ledger.log.read() as reader:
        moments = history(reader.of_book(book), ledger.codec)
        number = reader.book(book).no
    pictures = {each.entry.seq: each.event.clean for each in moments if isinstance(each.event, Photograph)}
    beside = {sha: ledger.pictures.read(sha) for sha in pictures.values()}
    telling = Telling(
        collection=ledger.collection,
        book=fold(book, number, moments),
        moments=moments,
        opened=frozenset((each.entry.seq, name) for each in moments for name in each.entry.event.shown_fields()),
        pictures=pictures,
        earlier=(),
        stamped=False,
        made=date(2026, 3, 20),
    )
    named = (PictureNamed(sha256=sha, media="image/jpeg", size=len(data)) for sha, data in beside.items())
    proof = ProofFile.from_plain(book_proof(ledger, OWNER, book))
    return Handed(RecordFile(proof=proof, sheet=disclosed_sheet(telling), pictures=tuple(named)).to_bytes(), beside)


def text_of_pdf(data: bytes) -> str:
    """What is printed, without the foot of each page."""
    pages = [re.sub(r"[^\n]*, record [0-9a-f]{8}\s*Page \d+ of \d+", "", page.extract_text()) for page in opened(data).pages]  # fmt: skip
    return words("".join(pages))


def streams(data: bytes) -> Iterator[bytes]:
    """Every object of a PDF as bytes, and every stream as it is once it is unpacked."""
    reader = opened(data)
    yield data
    for number in range(1, int(str(reader.trailer["/Size"]))):
        found: Any = reader.get_object(number)
        if found is not None:
            yield repr(found).encode()
        if hasattr(found, "get_data"):
            yield found.get_data()
