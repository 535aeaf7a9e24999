"""What is handed on: record files made here or received, links at which one can be read, stamps of checkpoints.

It lies beside the ledger: that a record was made or received is told by an entry, which has its digest.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Protocol, TypeVar

from ledger.proof.stamped import StampCheck, StampSaid

__all__ = [
    "HandingReader",
    "HandingStore",
    "HandingWriter",
    "KeptRecord",
    "Link",
    "Stamp",
    "StampKind",
    "TimeStamps",
]

T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class KeptRecord:
    """A record file by the SHA-256 of its bytes, and the book that it is kept with.

    `received` is true for one that another collection made; `seq` is the entry of the disclosure it was made by, 0 for a
    received one.
    """

    sha256: str
    book: str
    received: bool
    seq: int
    made: datetime
    data: bytes


@dataclass(frozen=True, kw_only=True)
class Link:
    """An address at which one record can be read until it expires or is ended; only the hash of its secret is kept."""

    id: str
    hashed: str
    record: str
    book: str
    made: datetime
    expires: datetime
    seen: int = 0
    """How often it was opened."""


class StampKind(StrEnum):
    """What somebody else said of a checkpoint."""

    TIME_STAMP = "time stamp"
    COSIGNATURE = "cosignature"


@dataclass(frozen=True, kw_only=True)
class Stamp:
    """What somebody else said of the checkpoint of that size: the token (RFC 3161) or the line of a cosignature."""

    id: str
    kind: StampKind
    size: int
    made: datetime
    by: str
    """The verifier key of whoever cosigned, or the authority's name as the certificate in its token has it."""
    data: bytes


class HandingReader(Protocol):
    """One unchanging view; records and links the oldest first, stamps by size."""

    def record(self, sha256: str) -> KeptRecord | None: ...
    def records(self, book: str) -> list[KeptRecord]: ...
    def all_records(self) -> Iterator[KeptRecord]: ...
    def links(self, book: str) -> list[Link]: ...
    def link(self, link: str) -> Link | None: ...
    def link_by(self, hashed: str) -> Link | None: ...
    def stamps(self) -> list[Stamp]: ...


class HandingWriter(HandingReader, Protocol):
    """The writer's transaction: all of it is kept or none. A record or a stamp that is there already stays as it is."""

    def put_record(self, record: KeptRecord) -> None: ...
    def take_record(self, sha256: str) -> None: ...
    def put_link(self, link: Link) -> None: ...
    def take_link(self, link: str) -> None: ...
    def put_stamp(self, stamp: Stamp) -> None: ...


class HandingStore(Protocol):
    """Where it is kept; what `write` returned is durable.

    Raises: StoreError, ClosedError.
    """

    def read(self) -> AbstractContextManager[HandingReader]: ...
    def write(self, work: Callable[[HandingWriter], T]) -> T: ...


class TimeStamps(Protocol):
    """Time stamps checked with their signatures; a token, and the bytes that it must be of.

    `whole` says what it comes to by itself, whoever gave it; `under` is a check against the certificates of a PEM file.
    Raises: StampError, MalformedError.
    """

    def whole(self, token: bytes, stamped: bytes) -> StampSaid: ...
    def under(self, authority: bytes) -> StampCheck: ...
