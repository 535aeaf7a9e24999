"""Rows of the tables as the ports' records, and back.

What lies in a row may have been tampered with: a reader gets it right or wrong and never an error of conversion, so that
a verifier can name it.
"""

import json
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any, Final

from sqlalchemy import Row

from ledger.ports import BookHead, Receipt, SealedValue, StoredCheckpoint, StoredEntry, StoredToken
from ledger.proof.canonical import Plain, read
from ledger.proof.envelope import moment_text
from ledger.proof.report import MalformedError

__all__ = [
    "book_head",
    "book_head_row",
    "checkpoint",
    "checkpoint_row",
    "entry_row",
    "moment",
    "node_rows",
    "place",
    "receipt",
    "receipt_row",
    "run",
    "sealed_row",
    "sealed_value",
    "stored_entry",
    "token",
    "token_row",
    "whereabouts",
    "whole",
]

Found = Row[Any]

_WRITER: Final = json.JSONEncoder(ensure_ascii=False)
_NEVER: Final = datetime.min.replace(tzinfo=UTC)
_MOST: Final = 2**63 - 1
_LEVEL: Final = 48
"""Bits that a node's index may take; higher ones are its level."""


def moment(text: str) -> datetime:
    """The moment a column says; the beginning of time where it says none."""
    try:
        return datetime.fromisoformat(text).astimezone(UTC)
    except (ValueError, OverflowError):
        return _NEVER


def whole(number: int) -> int:
    """A number as near to the one asked for as a database can hold; nothing is kept under those beyond."""
    return max(-_MOST, min(number, _MOST))


def run(first: int, count: int) -> dict[str, int]:
    """The first and the last of so many numbers."""
    return {"first": whole(first), "last": whole(first + count - 1)}


def place(level: int, index: int) -> int:
    """The one number by which a node is found."""
    return level << _LEVEL | index


def whereabouts(at: int) -> tuple[int, int]:
    """Level and index of the node in that place."""
    return at >> _LEVEL, at & ((1 << _LEVEL) - 1)


def _value(text: str | None) -> Plain:
    if text is None:
        return None
    try:
        return read(text)
    except MalformedError:
        # It goes on as the text it is, which does not have the digest that was sealed.
        return text


def _words(text: str) -> tuple[str, ...]:
    """The texts in a column."""
    try:
        found = json.loads(text)
    except ValueError:
        return (text,)
    return tuple(str(each) for each in found) if isinstance(found, list) else (text,)


def stored_entry(row: Found) -> StoredEntry:
    """A row of `entry`."""
    return StoredEntry(
        seq=row.seq,
        data=row.bytes,
        leaf=row.leaf.hex(),
        book=row.book_id,
        book_no=row.book_no,
        book_seq=row.book_seq,
        act=row.act,
        kind=row.kind,
        actor=row.actor,
        recorded=moment(row.recorded),
    )


def book_head(row: Found) -> BookHead:
    """A row of `book_head`."""
    return BookHead(book=row.book_id, no=row.no, seq=row.seq, leaf=row.leaf.hex())


def sealed_value(row: Found) -> SealedValue:
    """A row of `sealed_value`."""
    return SealedValue(seq=row.seq, name=row.name, salt=row.salt, value=_value(row.value))


def receipt(row: Found) -> Receipt:
    """A row of `receipt`."""
    return Receipt(
        key=row.key,
        salt=row.salt,
        request=row.request,
        first=row.first,
        # A row of a result has a method of that name.
        count=row._mapping["count"],  # noqa: SLF001 - the documented way to a column by its name
        warnings=_words(row.warnings),
    )


def checkpoint(row: Found) -> StoredCheckpoint:
    """A row of `checkpoint`."""
    return StoredCheckpoint(size=row.size, note=row.note, signed=moment(row.signed))


def token(row: Found) -> StoredToken:
    """A row of `token`."""
    return StoredToken(
        id=row.id,
        label=row.label,
        hashed=row.hashed,
        scopes=_words(row.scopes),
        person=row.person,
        created=moment(row.created),
        expires=moment(row.expires),
        revoked=None if row.revoked is None else moment(row.revoked),
    )


def entry_row(collection: str, entry: StoredEntry) -> dict[str, Any]:
    """The row of an entry."""
    return {
        "collection_id": collection,
        "seq": entry.seq,
        "bytes": entry.data,
        "leaf": bytes.fromhex(entry.leaf),
        "book_id": entry.book,
        "book_no": entry.book_no,
        "book_seq": entry.book_seq,
        "act": entry.act,
        "kind": entry.kind,
        "actor": entry.actor,
        "recorded": moment_text(entry.recorded),
    }


def node_rows(collection: str, tree: str, nodes: Iterable[tuple[int, int, bytes]]) -> list[dict[str, Any]]:
    """The rows of nodes."""
    return [
        {"collection_id": collection, "tree": tree, "place": place(level, index), "hash": found}
        for level, index, found in nodes
    ]


def book_head_row(collection: str, head: BookHead) -> dict[str, Any]:
    """The row of a book's head."""
    leaf = bytes.fromhex(head.leaf)
    return {"collection_id": collection, "book_id": head.book, "no": head.no, "seq": head.seq, "leaf": leaf}


def sealed_row(collection: str, value: SealedValue) -> dict[str, Any]:
    """The row of a sealed value; an empty value is kept as `null`, an erased one not at all."""
    erased = value.salt is None
    return {
        "collection_id": collection,
        "seq": value.seq,
        "name": value.name,
        "salt": value.salt,
        "value": None if erased else "null" if value.value is None else _WRITER.encode(value.value),
    }


def receipt_row(collection: str, receipt: Receipt) -> dict[str, Any]:
    """The row of a receipt."""
    return {
        "collection_id": collection,
        "key": receipt.key,
        "salt": receipt.salt,
        "request": receipt.request,
        "first": receipt.first,
        "count": receipt.count,
        "warnings": json.dumps(receipt.warnings),
    }


def checkpoint_row(collection: str, number: int, checkpoint: StoredCheckpoint) -> dict[str, Any]:
    """The row of a checkpoint."""
    return {
        "collection_id": collection,
        "no": number,
        "size": checkpoint.size,
        "note": checkpoint.note,
        "signed": moment_text(checkpoint.signed),
    }


def token_row(collection: str, token: StoredToken) -> dict[str, Any]:
    """The row of a token."""
    return {
        "collection_id": collection,
        "id": token.id,
        "label": token.label,
        "hashed": token.hashed,
        "scopes": json.dumps(token.scopes),
        "person": token.person,
        "created": moment_text(token.created),
        "expires": moment_text(token.expires),
        "revoked": None if token.revoked is None else moment_text(token.revoked),
    }
