"""What is handed on, in memory; a work that fails keeps nothing."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from ledger.handing import HandingReader, HandingWriter, KeptRecord, Link, Stamp

__all__ = ["FakeHanding"]

T = TypeVar("T")


class FakeHanding:
    """As `handing.HandingStore`."""

    def __init__(self) -> None:
        self._records: dict[str, KeptRecord] = {}
        self._links: dict[str, Link] = {}
        self._stamps: dict[str, Stamp] = {}

    @contextmanager
    def read(self) -> Iterator[HandingReader]:
        yield self

    def write(self, work: Callable[[HandingWriter], T]) -> T:
        before = dict(self._records), dict(self._links), dict(self._stamps)
        try:
            return work(self)
        except BaseException:
            self._records, self._links, self._stamps = before
            raise

    def record(self, sha256: str) -> KeptRecord | None:
        return self._records.get(sha256)

    def records(self, book: str) -> list[KeptRecord]:
        found = [each for each in self._records.values() if each.book == book]
        return sorted(found, key=lambda each: (each.made, each.sha256))

    def all_records(self) -> Iterator[KeptRecord]:
        yield from (self._records[name] for name in sorted(self._records))

    def links(self, book: str) -> list[Link]:
        return sorted((each for each in self._links.values() if each.book == book), key=lambda each: each.made)

    def link(self, link: str) -> Link | None:
        return self._links.get(link)

    def link_by(self, hashed: str) -> Link | None:
        return next((each for each in self._links.values() if each.hashed == hashed), None)

    def stamps(self) -> list[Stamp]:
        return sorted(self._stamps.values(), key=lambda each: each.size)

    def put_record(self, record: KeptRecord) -> None:
        self._records.setdefault(record.sha256, record)

    def take_record(self, sha256: str) -> None:
        self._records.pop(sha256, None)

    def put_link(self, link: Link) -> None:
        self._links[link.id] = link

    def take_link(self, link: str) -> None:
        self._links.pop(link, None)

    def put_stamp(self, stamp: Stamp) -> None:
        self._stamps.setdefault(stamp.id, stamp)
