"""What a store gives back: entries, values, receipts, checkpoints and tokens as they lie there."""

from dataclasses import dataclass
from datetime import datetime

from ledger.proof.canonical import Plain

__all__ = ["BookHead", "LogHead", "Receipt", "SealedValue", "StoredCheckpoint", "StoredEntry", "StoredToken"]


@dataclass(frozen=True, kw_only=True)
class LogHead:
    """The end of a collection's chain: how many entries and books it has."""

    size: int
    books: int


@dataclass(frozen=True, kw_only=True)
class BookHead:
    """The end of one book's own chain."""

    book: str
    no: int
    seq: int
    """Its last `book_seq`."""
    leaf: str
    """Leaf hash of its last entry, lower hex."""


@dataclass(frozen=True, kw_only=True)
class StoredEntry:
    """One entry as it lies in the store: its bytes and what was indexed beside them."""

    seq: int
    data: bytes
    leaf: str
    book: str | None
    book_no: int | None
    book_seq: int | None
    act: str
    kind: str
    actor: str
    recorded: datetime


@dataclass(frozen=True, kw_only=True)
class SealedValue:
    """Salt and value of one sealed field; both None once erased."""

    seq: int
    name: str
    salt: bytes | None
    value: Plain


@dataclass(frozen=True, kw_only=True)
class Receipt:
    """What one idempotency key did: a salted hash of the request, and the entries it made."""

    key: str
    salt: bytes | None
    request: bytes | None
    first: int
    count: int
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class StoredCheckpoint:
    """One checkpoint that was signed."""

    size: int
    note: str
    signed: datetime


@dataclass(frozen=True, kw_only=True)
class StoredToken:
    """An API token as it is kept: never the token, only its hash."""

    id: str
    label: str
    hashed: bytes
    scopes: tuple[str, ...]
    person: str
    created: datetime
    expires: datetime
    revoked: datetime | None = None
