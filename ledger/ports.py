"""What the use cases need from the world: a log, views, pictures, a clock, chance, a signer, a codec."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Protocol, TypeVar

from ledger.accounts import Accounts
from ledger.alignment import Aligner
from ledger.archive.carrier import Carrier, KeyCase
from ledger.arriving import Partials
from ledger.barcodes import BarcodeReader
from ledger.bench import BenchStore
from ledger.book import Book
from ledger.care import CareStore
from ledger.catalogues import Catalogues
from ledger.codes import Codes
from ledger.cost_rows import KeptCosts
from ledger.damage import MissingTable
from ledger.entry import Entry
from ledger.events import Event
from ledger.exports import Exports
from ledger.feed import Calendars
from ledger.handing import HandingStore, TimeStamps
from ledger.history import Moment
from ledger.importing.tables import Tables
from ledger.kept import BookHead, LogHead, Receipt, SealedValue, StoredCheckpoint, StoredEntry, StoredToken
from ledger.many import ManyBooks
from ledger.market import MarketStore
from ledger.picture_port import KeptPicture, Pictures, Told
from ledger.proof.canonical import Plain
from ledger.proof.signature import VerifierKey
from ledger.returns import Returns
from ledger.rows import Listing
from ledger.sealed import Sealed
from ledger.sheets import Sheets
from ledger.upkeep import UpkeepNotes
from ledger.views import (
    BookQuery,
    BookRow,
    DaybookRow,
    EntryQuery,
    FoundRow,
    HungRow,
    NumberedRow,
    Page,
    ShelfQuery,
    ShelfRow,
    Span,
    Tallies,
)
from ledger.workbooks import Workbooks

__all__ = [
    "ENTRIES",
    "HEADS",
    "Aligner",
    "Anchor",
    "BookHead",
    "Chance",
    "Clock",
    "Codec",
    "KeptPicture",
    "Ledger",
    "Log",
    "LogHead",
    "Partials",
    "Pictures",
    "Reader",
    "Receipt",
    "SealedValue",
    "Sheets",
    "Signer",
    "StoredCheckpoint",
    "StoredEntry",
    "StoredToken",
    "Told",
    "UpkeepNotes",
    "Writer",
]

T = TypeVar("T")

ENTRIES = "entries"
HEADS = "heads"
"""The two trees: over all entries, and over the books' heads."""


class Reader(Protocol):
    """One unchanging view of one collection, as of the moment it was opened.

    Keeps: `stored`, `nodes`, `sealed` and the like give what lies there, right or wrong, for a verifier to judge: `nodes`
    gives empty bytes for a node that is missing.
    Raises: NotFoundError for an entry, book or act that is not there.
    """

    @property
    def collection(self) -> str: ...
    def head(self) -> LogHead: ...
    def entry(self, seq: int) -> Entry: ...
    def stored(self, first: int, count: int) -> list[StoredEntry]: ...
    def of_book(self, book: str) -> list[Entry]: ...
    def of_collection(self) -> list[Entry]: ...
    def of_act(self, act: str) -> list[Entry]: ...
    def numbers_of(self, kind: str) -> list[int]: ...
    def entries(self, query: EntryQuery) -> Page[Entry]: ...
    def daybook(self, query: EntryQuery) -> Page[DaybookRow]: ...
    def book_head(self, book: str) -> BookHead: ...
    def book_heads(self) -> list[BookHead]: ...
    def nodes(self, tree: str, which: Sequence[tuple[int, int]]) -> list[bytes]: ...
    def node_count(self, tree: str) -> int: ...
    def sealed(self, seq: int) -> list[SealedValue]: ...
    def sealed_between(self, first: int, count: int) -> list[SealedValue]: ...
    def guards_missing(self) -> list[str]: ...
    def tables_missing(self) -> list[MissingTable]: ...
    def strangers(self) -> list[str]:
        """What is in the database and was never made by this program, each as its kind and its name."""
        ...

    def strays(self) -> list[str]:
        """Rows of the lists that belong to no book in them, each as what it is and its name."""

    def receipts(self) -> Iterator[Receipt]:
        """What every idempotency key did, in the order of the entries."""
        ...

    def receipt(self, key: str) -> Receipt | None: ...
    def used_keys(self, keys: Sequence[str]) -> set[str]: ...
    def checkpoints(self) -> list[StoredCheckpoint]: ...
    def last_checkpoint(self) -> StoredCheckpoint | None: ...
    def book(self, book: str) -> BookRow: ...
    def books(self, query: BookQuery) -> Page[BookRow]: ...
    def shelf(self, query: ShelfQuery) -> Page[ShelfRow]: ...
    def nearest_titles(self, text: str, limit: int) -> list[str]: ...
    def found(self, wanted: Sequence[Sequence[Span]], limit: int) -> list[FoundRow]: ...
    def vocabulary(self) -> Sequence[str]: ...
    def numbered(self, title: str | None = None) -> list[NumberedRow]: ...
    def hung(self, limit: int) -> list[HungRow]: ...
    def tallies(self) -> Tallies: ...
    def is_clean(self, sha256: str) -> bool: ...
    def books_in_holder(self, holder_number: str) -> list[str]: ...
    def costs(self, home: str, year: int | None = None) -> KeptCosts: ...
    def listings(self) -> Iterator[Listing]: ...
    def tokens(self) -> list[StoredToken]: ...
    def token(self, hashed: bytes) -> StoredToken | None: ...


class Writer(Reader, Protocol):
    """The one writer's transaction: all of it is kept or none, and it sees what it has written.

    Keeps: an entry's number is the head's size plus one, or the store refuses it.
    """

    def put_entry(self, entry: StoredEntry) -> None: ...
    def put_nodes(self, tree: str, nodes: Iterable[tuple[int, int, bytes]]) -> None: ...
    def put_book_head(self, head: BookHead) -> None: ...
    def put_sealed(self, values: Iterable[SealedValue]) -> None: ...
    def erase_sealed(self, seq: int, names: Sequence[str]) -> None: ...
    def put_receipt(self, receipt: Receipt) -> None: ...
    def forget_receipts(self, seqs: Sequence[int]) -> None: ...
    def put_checkpoint(self, checkpoint: StoredCheckpoint) -> None: ...
    def project(self, book: Book, history: Sequence[Moment]) -> None: ...
    def put_many(self, many: ManyBooks) -> None: ...
    def find_places(self, first: int, count: Callable[[int], None]) -> None:
        """Books put in by `put_many`, from that number on, are found by a search once this is done."""
        ...

    def put_token(self, token: StoredToken) -> None: ...
    def revoke_token(self, token: str, when: datetime) -> None: ...


class Log(Protocol):
    """The ledger of one collection.

    `write` runs the work alone and returns when it is durable; if the work raises, nothing of it is kept.
    Raises: StoreError when the store failed (it is then closed), ClosedError afterwards.
    """

    def write(self, work: Callable[[Writer], T]) -> T: ...
    def read(self) -> AbstractContextManager[Reader]: ...
    def rebuild(self) -> int:
        """How many books there are, after all that is worked out from the entries was made anew: trees, heads, lists."""
        ...


class Clock(Protocol):
    """The time, UTC and aware; and the day it is where the program runs, whose calendar every bare day is of."""

    def now(self) -> datetime: ...
    def today(self) -> date: ...


class Chance(Protocol):
    """Random bytes nobody can guess."""

    def bytes(self, count: int) -> bytes: ...


class Signer(Protocol):
    """The key that signs checkpoints; it lies outside the data folder.

    `paper` is the secret itself as lines to print and to type back in. `keep` lays the key of a seed beside the one in
    use, durable on return; it signs nothing until `use` names it, which is False where no such key is kept.
    Raises: ConflictError, where the key is not at hand and should sign or be printed.
    """

    @property
    def verifier(self) -> VerifierKey: ...
    @property
    def at_hand(self) -> bool: ...
    def sign(self, text: str) -> str: ...
    def paper(self) -> str: ...
    def keep(self, seed: bytes) -> None: ...
    def use(self, vkey: str) -> bool: ...


class Anchor(Protocol):
    """The newest checkpoint, kept where no restore of the ledger puts it back.

    `swap` puts one, or none, in the place of the one read, and says whether it did: another may be there. OSError from both.
    """

    @property
    def place(self) -> str: ...
    def read(self) -> str | None: ...
    def swap(self, expected: str | None, note: str | None) -> bool: ...


class Codec(Protocol):
    """Events to and from plain data.

    Raises: InvalidError with every problem, when plain data is not an event of that kind.
    """

    def read(self, kind: str, plain: Mapping[str, Plain]) -> Event:
        """The event of that kind, from plain data with its sealed values plainly in it.

        Requires: a kind this program knows.
        """
        ...

    def split(self, event: Event) -> tuple[dict[str, Plain], dict[str, Plain]]:
        """The open body, and the value of every sealed field by name."""
        ...

    def join(
        self, kind: str, v: int, on: str | None, body: Mapping[str, Plain], sealed: Mapping[str, Sealed[Any]]
    ) -> Event:
        """The event, brought up to the version of today; NotUnderstood for a kind this program does not know."""
        ...

    def amended(self, event: Event, changes: Mapping[str, Any]) -> Event:
        """The event with other values for these fields; values are plain, or sealed ones as they are."""
        ...


@dataclass(frozen=True, kw_only=True)
class Ledger:
    """One collection's ledger with everything the use cases need; made by `ledger.bootstrap.open_ledger`."""

    collection: str
    log: Log
    pictures: Pictures
    clock: Clock
    chance: Chance
    signer: Signer
    codec: Codec
    key_claimed: bool = False
    """The signer's key was taken from the ledger itself, since the key file was not at hand."""
    anchor: Anchor | None = None
    """None where none is kept: a throw-away ledger."""
    upkeep: UpkeepNotes | None = None
    sheets: Sheets | None = None
    codes: Codes | None = None
    """None where no PDF is made; None where no code is drawn."""
    bars: BarcodeReader | None = None
    aligner: Aligner | None = None
    """None where no picture is looked through for barcodes; None where no photographs are lined up."""
    calendars: Calendars | None = None
    timestamps: TimeStamps | None = None
    accounts: Accounts | None = None
    """Who can sign in; None where it is only read."""
    bench: BenchStore | None = None
    """What is under way; None where it is only read."""
    returns: Returns | None = None
    """None where no rate of return is worked out."""
    handing: HandingStore | None = None
    market: MarketStore | None = None
    care: CareStore | None = None
    """What is handed on, what the market told, what surrounds the books; None where there is no store of it."""
    carrier: Carrier | None = None
    """Where the whole of it is read to be taken out."""
    key_case: KeyCase | None = None
    workbooks: Workbooks | None = None
    """None where no XLSX is written."""
    exports: Exports | None = None
    catalogues: Catalogues | None = None
    tables: Tables | None = None
    """Where archives and catalogues are made, and tables on their way in; None where it is only read."""
