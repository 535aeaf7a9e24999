"""What is handed on by one collection, in the same store as its ledger and through the same writer."""

from base64 import b64decode, b64encode
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from sqlalchemy import Row, select

from ledger.handing import HandingReader, HandingWriter, KeptRecord, Link, Stamp, StampKind
from ledger.proof.envelope import moment_text
from ledger.store.engine import Store
from ledger.store.handing_tables import LINK, RECORD, STAMP
from ledger.store.json_rows import JsonRows, said_in
from ledger.store.records import moment
from ledger.store.single_writer import SCRUB

__all__ = ["SqlHanding"]

T = TypeVar("T")


class SqlHanding:
    """As `handing.HandingStore`."""

    def __init__(self, collection: str, store: Store) -> None:
        self._collection, self._store = collection, store

    @contextmanager
    def read(self) -> Iterator[HandingReader]:
        """What there is at this moment."""
        with self._store.snapshot(self._collection) as connection:
            yield _Rows(connection, self._collection)

    def write(self, work: Callable[[HandingWriter], T]) -> T:
        """What the work returned, once it is durable."""
        return self._store.write(self._collection, lambda connection: work(_Rows(connection, self._collection)))


class _Rows(JsonRows):
    """As `handing.HandingWriter`, over one connection."""

    def record(self, sha256: str) -> KeptRecord | None:
        row = self._one(RECORD, sha256)
        return None if row is None else _record(row)

    def records(self, book: str) -> list[KeptRecord]:
        return [each for each in map(_record, self._all(RECORD, RECORD.c.made)) if each.book == book]

    def all_records(self) -> Iterator[KeptRecord]:
        asked = select(RECORD.c.id).where(RECORD.c.collection_id == self._collection).order_by(RECORD.c.id)
        for name in self._connection.execute(asked).scalars().all():
            row = self._one(RECORD, name)
            if row is not None:
                yield _record(row)

    def links(self, book: str) -> list[Link]:
        return [each for each in map(_link, self._all(LINK, LINK.c.made)) if each.book == book]

    def link(self, link: str) -> Link | None:
        row = self._one(LINK, link)
        return None if row is None else _link(row)

    def link_by(self, hashed: str) -> Link | None:
        return next((each for each in map(_link, self._all(LINK, LINK.c.made)) if each.hashed == hashed), None)

    def stamps(self) -> list[Stamp]:
        return sorted(map(_stamp, self._all(STAMP, STAMP.c.made)), key=lambda each: each.size)

    def put_record(self, record: KeptRecord) -> None:
        if self._one(RECORD, record.sha256) is None:
            said = {
                "book": record.book,
                "received": record.received,
                "seq": record.seq,
                "file": b64encode(record.data).decode("ascii"),
            }
            self._add(RECORD, record.sha256, said, made=moment_text(record.made))

    def take_record(self, sha256: str) -> None:
        self._take(RECORD, sha256)
        # What it showed may have been erased, so nothing of it stays in the file or in the write-ahead log.
        self._connection.info[SCRUB] = True

    def put_link(self, link: Link) -> None:
        said = {
            "hashed": link.hashed,
            "record": link.record,
            "book": link.book,
            "expires": moment_text(link.expires),
            "seen": link.seen,
        }
        self._put(LINK, link.id, said, made=moment_text(link.made))

    def take_link(self, link: str) -> None:
        self._take(LINK, link)

    def put_stamp(self, stamp: Stamp) -> None:
        if self._one(STAMP, stamp.id) is None:
            said = {
                "kind": stamp.kind.value,
                "size": stamp.size,
                "by": stamp.by,
                "said": b64encode(stamp.data).decode("ascii"),
            }
            self._add(STAMP, stamp.id, said, made=moment_text(stamp.made))


def _bytes(value: object) -> bytes:
    """Bytes out of a row; none where it was tampered with, so that whatever checks them says so."""
    try:
        return b64decode(value, validate=True) if isinstance(value, str) else b""
    except ValueError:
        return b""


def _number(value: object) -> int:
    return value if isinstance(value, int) else 0


def _record(row: Row[Any]) -> KeptRecord:
    said = said_in(row.data)
    return KeptRecord(
        sha256=row.id,
        book=str(said.get("book", "")),
        received=said.get("received") is not False,
        seq=_number(said.get("seq")),
        made=moment(row.made),
        data=_bytes(said.get("file")),
    )


def _link(row: Row[Any]) -> Link:
    said = said_in(row.data)
    expires = said.get("expires")
    return Link(
        id=row.id,
        hashed=str(said.get("hashed", "")),
        record=str(said.get("record", "")),
        book=str(said.get("book", "")),
        made=moment(row.made),
        # One that was tampered with has expired.
        expires=moment(expires) if isinstance(expires, str) else moment(row.made),
        seen=_number(said.get("seen")),
    )


def _stamp(row: Row[Any]) -> Stamp:
    said = said_in(row.data)
    kinds = {each.value: each for each in StampKind}
    return Stamp(
        id=row.id,
        kind=kinds.get(str(said.get("kind")), StampKind.COSIGNATURE),
        size=_number(said.get("size")),
        made=moment(row.made),
        by=str(said.get("by", "")),
        data=_bytes(said.get("said")),
    )
