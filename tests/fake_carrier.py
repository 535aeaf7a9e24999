"""What an archive is written from, without a store of tables: the ledger itself, and the row of its collection."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass

from ledger.archive.carrier import Carried
from ledger.archive.lines import Row
from ledger.ports import Log, Reader
from ledger.proof.checkpoint import origin_of


@dataclass
class FakeCarried:
    """As `archive.carrier.Carried`."""

    reader: Reader

    def counts(self) -> Mapping[str, int]:
        return {"collection": 1}

    def rows(self, table: str) -> Iterator[Row]:
        yield {"created": "2026-01-01T00:00:00.000000Z", "origin": origin_of(self.reader.collection)}


@dataclass
class FakeCarrier:
    """As `archive.carrier.Carrier`."""

    log: Log

    @contextmanager
    def read(self) -> Iterator[Carried]:
        with self.log.read() as reader:
            yield FakeCarried(reader)
