"""Reads the records that are kept beside the ledger, so that one that was changed is never taken for what it was."""

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Final

from ledger.errors import DamagedError, MalformedError, NotFoundError, StoreError
from ledger.handing import HandingReader, KeptRecord
from ledger.ports import Ledger
from ledger.proof.handed import Glance
from ledger.proof.record_file import RecordFile, digest_of, earlier_of

__all__ = [
    "AT_ONCE",
    "Brought",
    "earlier_kept",
    "kept_picture",
    "kept_pictures",
    "kept_record",
    "need_unchanged",
    "received_file",
    "whole_record",
]

AT_ONCE: Final = 2
"""Photographs read and checked at one time: hashing one keeps a core busy, and some are left to others. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Brought:
    """What goes with a record and is kept here: the earlier records, and those of these in turn, by digest."""

    beside: Mapping[str, bytes]
    glanced: Mapping[str, Glance | None]
    """What is seen of each photograph without reading it; None for what is not kept here, earlier records too."""

    @property
    def lost(self) -> tuple[str, ...]:
        """What the record names and is not kept here, as with one that came without it."""
        return tuple(each for each, there in self.glanced.items() if there is None)


def need_unchanged(kept: KeptRecord) -> KeptRecord:
    """The record, whose bytes are those of its digest.

    Raises: DamagedError.
    """
    if digest_of(kept.data) != kept.sha256:
        raise DamagedError(what=f"The record {kept.sha256[:12]}", problem="it was changed where it is kept")
    return kept


def kept_record(reader: HandingReader, sha256: str) -> KeptRecord:
    """A record as it was made or came.

    Raises: NotFoundError, DamagedError.
    """
    kept = reader.record(sha256)
    if kept is None:
        raise NotFoundError(what="record", name=sha256[:12])
    return need_unchanged(kept)


def earlier_kept(ledger: Ledger, reader: HandingReader, file: RecordFile) -> Brought:
    """The records of owners before that go with it, as far as they are kept here; photographs are looked for, none is read.

    Raises: DamagedError for a record that is here and was changed.
    """
    beside: dict[str, bytes] = {}
    glanced: dict[str, Glance | None] = {}
    waiting = [file]
    while waiting:
        one = waiting.pop()
        glanced |= {each.sha256: ledger.pictures.glance(each.sha256) for each in one.pictures}
        for name in one.earlier:
            if name in beside or name in glanced:
                continue
            kept = reader.record(name)
            if kept is None:
                glanced[name] = None
            else:
                beside[name] = need_unchanged(kept).data
                waiting.append(RecordFile.from_bytes(kept.data))
    return Brought(beside=beside, glanced=glanced)


def kept_pictures(ledger: Ledger, names: Sequence[str]) -> dict[str, bytes]:
    """Photographs as they were kept, by their digests.

    Raises: NotFoundError, StoreError; DamagedError where the bytes of one are others now.
    """
    with ThreadPoolExecutor(AT_ONCE) as reading:
        return dict(zip(names, reading.map(lambda name: kept_picture(ledger, name), names), strict=True))


def kept_picture(ledger: Ledger, sha256: str, where: str = "") -> bytes:
    """One photograph, its bytes read once and held against its name; `where` tells of it.

    Raises: as `kept_pictures`.
    """
    data = ledger.pictures.read(sha256)
    if digest_of(data) != sha256:
        mend = "Put its file back from a backup, or leave the photograph out. Verify names every one that is damaged."
        raise DamagedError(
            what=f"Photograph {sha256[:12]}", where=where, problem="it is not what its name says", mend=mend
        )
    return data


def received_file(ledger: Ledger, sha256: str) -> RecordFile | None:
    """A received record that is kept and can be read."""
    if ledger.handing is None:
        return None
    try:
        with ledger.handing.read() as reader:
            return RecordFile.from_bytes(kept_record(reader, sha256).data)
    except (NotFoundError, MalformedError):
        return None


def whole_record(ledger: Ledger, sha256: str) -> tuple[bytes, Mapping[str, bytes]] | None:
    """A record with all that goes with it, where every piece is here as it was; None where one is not."""
    if ledger.handing is None:
        return None
    try:
        with ledger.handing.read() as reader:
            kept = kept_record(reader, sha256)
            file = RecordFile.from_bytes(kept.data)
            found = earlier_kept(ledger, reader, file)
        if found.lost:
            return None
        files = (file, *earlier_of(file, found.beside).values())
        pictures = kept_pictures(ledger, list(dict.fromkeys(each.sha256 for one in files for each in one.pictures)))
    except (NotFoundError, MalformedError, StoreError):
        return None
    return kept.data, {**found.beside, **pictures}
