"""Writes and reads the zip of an archive a piece at a time: memory stays flat however large its files are.

It is read from front to back and held against the one form in which it is written, so no two readers see different
files in it: nothing lies between the files, behind them or in their headers that was not written here.
"""

import hashlib
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import BinaryIO, Final, NoReturn

from ledger.archive.zip_form import (
    LOCAL_BYTES,
    LOCAL_SIGN,
    NAME_MOST,
    Member,
    crc_said,
    end_of,
    listed,
    local_header,
    read_local,
    size_said,
)
from ledger.proof.report import MalformedError

__all__ = ["FILES_MOST", "PIECE", "Written", "ZipReader", "ZipWriter", "refuse"]

PIECE: Final = 1 << 20
"""Bytes read at once."""
FILES_MOST: Final = 2_000_000
"""Far more photographs than a collection has; so many names still fit into memory. Our assumption."""

_WHAT: Final = "The archive"
AGAIN: Final = "Take another copy of the file."


@dataclass(frozen=True, kw_only=True)
class Written:
    """One file as it was written: its size, and SHA-256 of its bytes in lower hex."""

    size: int
    sha256: str


class ZipWriter:
    """Puts files under one folder into a zip.

    Keeps: the same files in the same order give the same bytes.
    Requires: a file that can be written to anywhere in it, and that is empty
    """

    def __init__(self, file: BinaryIO, top: str) -> None:
        self._file, self._top = file, top
        self._members: list[Member] = []
        self._place = 0

    def add(self, name: str, pieces: Iterable[bytes]) -> Written:
        """The file of these pieces; what is said of it in its header is set right once they are all written.

        Requires: a name in ASCII that was not there before
        """
        whole = f"{self._top}/{name}"
        head = local_header(whole, 0, 0)
        self._file.write(head)
        hashed, crc, size = hashlib.sha256(), 0, 0
        for piece in pieces:
            self._file.write(piece)
            hashed.update(piece)
            crc, size = zlib.crc32(piece, crc), size + len(piece)
        end = self._place + len(head) + size
        self._file.seek(self._place)
        self._file.write(local_header(whole, size, crc))
        self._file.seek(end)
        self._members.append(Member(name=whole, size=size, crc=crc, place=self._place))
        self._place = end
        return Written(size=size, sha256=hashed.hexdigest())

    def finish(self) -> int:
        """How many bytes the zip has, once the list of its files is behind them."""
        length = 0
        for member in self._members:
            length += self._file.write(listed(member))
        end = end_of(len(self._members), length, self._place)
        self._file.write(end)
        return self._place + length + len(end)


class ZipReader:
    """Goes through a zip of that form from front to back.

    Requires: a file that can be read from anywhere in it; `length` is how many bytes it has
    """

    def __init__(self, file: BinaryIO, length: int, top: str) -> None:
        self._file, self._length, self._top = file, length, f"{top}/"
        self._members: list[Member] = []
        self._begins: dict[str, tuple[Member, int]] = {}

    def __iter__(self) -> Iterator[tuple[str, Iterator[bytes]]]:
        """Each file's name below the folder, with its pieces, which are to be read before the next one is asked for.

        Raises: MalformedError, when the walk comes to what is wrong.
        """
        place = 0
        while (head := self._at(place, LOCAL_BYTES)).startswith(LOCAL_SIGN) and len(head) == LOCAL_BYTES:
            member, begins = self._member(head, place)
            name = member.name.removeprefix(self._top)
            if name in self._begins or len(self._begins) == FILES_MOST:
                refuse(name, "two files have this name, or there are more files than an archive has")
            self._begins[name] = (member, begins)
            pieces = self._pieces(member, begins)
            yield name, pieces
            for _ in pieces:
                pass
            self._members.append(member)
            place = begins + member.size
        if not place:
            refuse("", "it is no archive, or its beginning is gone", "Name the file that export wrote.")
        self._need_end(place)

    def again(self, name: str) -> Iterator[bytes]:
        """The pieces of a file that was walked over."""
        return self._pieces(*self._begins[name])

    def _member(self, head: bytes, place: int) -> tuple[Member, int]:
        name_bytes, extra_bytes = read_local(head)
        if name_bytes > NAME_MOST:
            refuse("", "a name in it is longer than any that an archive has")
        behind = self._at(place + LOCAL_BYTES, name_bytes + extra_bytes)
        size = size_said(behind[name_bytes:])
        if size < 0 and len(behind) == name_bytes + extra_bytes:
            refuse("", "another program packed it anew", "Name the file as export wrote it.")
        name = _name(behind[:name_bytes])
        crc = crc_said(head)
        if not name.startswith(self._top):
            refuse(name, "it does not lie in the folder of the archive, or leads out of it")
        begins = place + LOCAL_BYTES + name_bytes + extra_bytes
        if not 0 <= size <= self._length - begins:
            refuse(name, "it is said to have more bytes than the file has, or the file is cut short", AGAIN)
        if head + behind != local_header(name, size, crc):
            refuse(name, "its size or make is not said as an archive says it")
        return Member(name=name, size=size, crc=crc, place=place), begins

    def _pieces(self, member: Member, begins: int) -> Iterator[bytes]:
        """Its bytes, held against size and checksum once all were read."""
        crc, left = 0, member.size
        self._file.seek(begins)
        while left:
            piece = self._file.read(min(PIECE, left))
            if not piece:
                refuse(member.name, "it is cut short", AGAIN)
            crc, left = zlib.crc32(piece, crc), left - len(piece)
            yield piece
        if crc != member.crc:
            refuse(member.name, "it was changed: its bytes are not of the checksum it is said to have", AGAIN)

    def _need_end(self, place: int) -> None:
        """The list of files says what was found, and nothing is behind it."""
        at = place
        for member in self._members:
            expected = listed(member)
            if self._at(at, len(expected)) != expected:
                refuse(member.name, "the list of files says something else of it, or the file is cut short", AGAIN)
            at += len(expected)
        end = end_of(len(self._members), at - place, place)
        if self._at(at, len(end) + 1) != end:
            refuse("", "it ends otherwise than an archive does: cut short, or with bytes behind it", AGAIN)

    def _at(self, place: int, count: int) -> bytes:
        self._file.seek(place)
        return self._file.read(count)


def refuse(name: str, problem: str, mend: str = "") -> NoReturn:
    """Raises: MalformedError, naming the file in the archive so that it cannot be taken for words of ours."""
    raise MalformedError(what=_WHAT, where=ascii(name[:200]) if name else "", problem=problem, mend=mend)


def _name(spelled: bytes) -> str:
    try:
        name = spelled.decode("ascii")
    except UnicodeDecodeError:
        refuse(spelled.decode("ascii", "replace"), "its name is not one that an archive has")
    parts = name.split("/")
    if {"", ".", ".."} & set(parts) or "\\" in name or ":" in name or not name.isprintable():
        refuse(name, "its name leads elsewhere, or cannot be shown")
    return name
