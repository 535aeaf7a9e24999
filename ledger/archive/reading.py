"""Looks an archive through from front to back, before anything of it is put anywhere: every file, line and entry.

Nothing is believed that was not worked out again: checksums, numbers of rows, the chain of the entries and both roots.
"""

import hashlib
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import BinaryIO, Final

from ledger.archive.bag_lines import BAGIT_TEXT, faults_of_list, info_text
from ledger.archive.layout import (
    BAG_INFO,
    BAGIT,
    ENTRIES,
    HEAD,
    KEYS,
    MANIFEST,
    SIGNED,
    TAG_MANIFEST,
    TAGS,
    TOP,
    Head,
    picture_of,
    table_of,
    table_path,
    to_sign,
)
from ledger.archive.lines import LINE_MOST, Row, lines_of, row_of
from ledger.archive.zip_files import FILES_MOST, Written, ZipReader, refuse
from ledger.errors import ConflictError
from ledger.proof.chain import Walk

__all__ = ["Hashed", "Known", "Looked", "Progress", "look_through"]

Progress = Callable[[int, int], None]
Known = Mapping[str, tuple[Collection[str], Collection[str]]]
"""By the name of each table that this program knows: its columns, and those of them that must be there."""

_SHORT_MOST: Final = 1024 * 1024
"""Bytes of a file that is no list and holds neither rows nor a photograph."""
_LIST_MOST: Final = FILES_MOST * 256
_TOLD: Final = 5
"""Faults that are told one by one."""


@dataclass(kw_only=True)
class Looked:
    """An archive that was looked through: what it says of itself, and every file of it as it was found."""

    head: Head
    files: dict[str, Written] = field(default_factory=dict)
    held: dict[str, bytes] = field(default_factory=dict)
    """Tag files and the locked key, whole."""
    reader: ZipReader = field(repr=False)

    @property
    def note(self) -> str | None:
        """The signed statement; None where the archive has none."""
        found = self.held.get(SIGNED)
        return None if found is None else found.decode("utf-8", "replace")

    @property
    def tables(self) -> list[str]:
        """The tables that are in it."""
        return [name for path in self.files if (name := table_of(path)) is not None]

    @property
    def pictures(self) -> list[str]:
        """The digests of its photographs."""
        return [name for path in self.files if (name := picture_of(path)) is not None]

    @property
    def to_sign(self) -> str:
        """What the signed statement must be about."""
        return to_sign(self.head, self.files[MANIFEST].sha256)

    def pieces(self, name: str) -> Iterator[bytes]:
        """A file of it once more, held against what it was before once all of it was read.

        Raises: MalformedError.
        """
        hashed = Hashed(self.reader.again(name))
        yield from hashed
        if hashed.written() != self.files[name]:
            refuse(name, "it was changed while it was read")

    def entries(self) -> Iterator[bytes]:
        """The bytes of each entry. They have no end of a line in them. Source: RFC 8785 section 3.2.1."""
        return _entries(self.pieces(ENTRIES))

    def rows(self, table: str) -> Iterator[Row]:
        """Every row of a table."""
        return _rows(table, self.pieces(table_path(table)))


def look_through(file: BinaryIO, length: int, known: Known, progress: Progress) -> Looked:
    """What is in it, every byte read once.

    Raises: MalformedError, naming the file in it and what is wrong; ConflictError with all that does not fit together.
    """
    reader = ZipReader(file, length, TOP)
    reading = _Reading(known, reader)
    done = 0
    for name, pieces in reader:
        done += reading.take(name, pieces)
        progress(done, length)
    return reading.finish()


def _entries(pieces: Iterator[bytes]) -> Iterator[bytes]:
    return (line[:-1] for line in lines_of(ENTRIES, pieces))


def _rows(table: str, pieces: Iterator[bytes]) -> Iterator[Row]:
    path = table_path(table)
    return (row_of(path, number, line) for number, line in enumerate(lines_of(path, pieces), start=1))


class _Reading:
    """What was found so far."""

    def __init__(self, known: Known, reader: ZipReader) -> None:
        self._known, self._reader = known, reader
        self._looked: Looked | None = None
        self._walk: Walk | None = None
        self._rows: dict[str, int] = {}
        self._files: dict[str, Written] = {}
        self._held: dict[str, bytes] = {}

    def take(self, name: str, pieces: Iterator[bytes]) -> int:
        """How many bytes the next file has, once it was looked at."""
        hashed = Hashed(pieces)
        if name in TAGS:
            self._held[name] = _whole(name, hashed, _SHORT_MOST if name in (BAGIT, BAG_INFO, SIGNED) else _LIST_MOST)
        elif name == HEAD:
            self._begin(Head.from_bytes(_whole(name, hashed, _SHORT_MOST)))
        elif self._looked is None or self._walk is None:
            refuse(name, "it lies before what the archive says of itself, which is missing or out of its place")
        elif name == ENTRIES:
            for entry in _entries(hashed):
                self._walk.step(self._walk.size + 1, entry)
        elif (table := table_of(name)) is not None:
            self._rows[table] = self._table(table, hashed)
        elif name == KEYS:
            self._held[name] = _whole(name, hashed, _SHORT_MOST)
        elif picture_of(name) is None:
            refuse(name, "it is extra: an archive has no file of that name")
        self._files[name] = hashed.written()
        if (digest := picture_of(name)) is not None and digest != self._files[name].sha256:
            refuse(name, "it was changed: it is not the photograph of that digest")
        return self._files[name].size

    def finish(self) -> Looked:
        """All of it, once it fits together."""
        if self._looked is None or self._walk is None:
            refuse(HEAD, "it is missing, and nothing can be said of the rest without it")
        looked, held = self._looked, self._held
        looked.files, looked.held = self._files, held
        faults = [f"{name} is missing." for name in (BAGIT, BAG_INFO, MANIFEST, TAG_MANIFEST) if name not in held]
        if not faults:
            faults = [*_bag_faults(looked), *self._faults(looked.head, self._walk)]
        if faults:
            more = f" And {len(faults) - _TOLD} more." if len(faults) > _TOLD else ""
            raise ConflictError(sentence=f"The archive is not whole. {' '.join(faults[:_TOLD])}{more}")
        return looked

    def _begin(self, head: Head) -> None:
        self._looked, self._walk = Looked(head=head, reader=self._reader), Walk(head.collection)
        if head.state.size:
            self._walk.expect(head.state)

    def _table(self, table: str, pieces: Iterator[bytes]) -> int:
        if table not in self._known:
            refuse(table_path(table), "this program knows no such table", "Read it with a newer program.")
        columns, needed = self._known[table]
        count = 0
        for count, row in enumerate(_rows(table, pieces), start=1):
            if not set(needed) <= row.keys() <= set(columns):
                refuse(
                    table_path(table), f"row {count} has other columns than the table", "Read it with a newer program."
                )
        return count

    def _faults(self, head: Head, walk: Walk) -> list[str]:
        faults = [each.sentence for each in walk.finish().findings] if head.state.size or walk.size else []
        if ENTRIES not in self._files:
            faults.append(f"{ENTRIES} is missing.")
        for table in head.tables.keys() | self._rows.keys():
            said, found = head.tables.get(table), self._rows.get(table)
            if said != found:
                faults.append(f"Of the table {table}, {said or 0} rows are said to be here and there are {found or 0}.")
        pictures = sum(picture_of(name) is not None for name in self._files)
        if pictures != head.pictures:
            faults.append(f"{head.pictures} photographs are said to be here and there are {pictures}.")
        if head.keys != (KEYS in self._files):
            faults.append("Whether the key is in it is said otherwise than it is.")
        return faults


def _bag_faults(looked: Looked) -> list[str]:
    """Both lists of checksums against what was found; the second speaks of the bag's own files."""
    payload = {name: each for name, each in looked.files.items() if name not in TAGS}
    own = {name: each for name, each in looked.files.items() if name in TAGS and name != TAG_MANIFEST}
    faults = faults_of_list(looked.held[MANIFEST], payload, MANIFEST)
    faults += faults_of_list(looked.held[TAG_MANIFEST], own, TAG_MANIFEST)
    if looked.held[BAGIT] != BAGIT_TEXT:
        faults.append(f"{BAGIT} is not the two lines that version 1.0 has.")
    if not faults and looked.held[BAG_INFO] != info_text(looked.head, payload):
        faults.append(f"{BAG_INFO} says something else than is here.")
    return faults


class Hashed:
    """Pieces that are hashed as they go by."""

    def __init__(self, pieces: Iterator[bytes]) -> None:
        self._pieces, self._hashed, self._size = pieces, hashlib.sha256(), 0

    def __iter__(self) -> "Hashed":
        return self

    def __next__(self) -> bytes:
        piece = next(self._pieces)
        self._hashed.update(piece)
        self._size += len(piece)
        return piece

    def written(self) -> Written:
        """What they came to, the rest of them too."""
        for _ in self:
            pass
        return Written(size=self._size, sha256=self._hashed.hexdigest())


def _whole(name: str, pieces: Iterator[bytes], most: int) -> bytes:
    assert most <= max(LINE_MOST, _LIST_MOST)
    data = bytearray()
    for piece in pieces:
        data += piece
        if len(data) > most:
            refuse(name, f"it has more than {most} bytes")
    return bytes(data)
