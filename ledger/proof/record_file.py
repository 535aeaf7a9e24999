"""The record of one book as a file: its proof, what it says in words, and the names of what comes with it.

Photographs and records of earlier owners lie beside it, each under the SHA-256 of its bytes. FORMAT.md gives the names
one by one.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from typing import Final

from ledger.proof.canonical import Plain, encode, read
from ledger.proof.proof_file import EntryProof, ProofFile, entries_from, entries_plain
from ledger.proof.report import MalformedError
from ledger.proof.shapes import Shapes, base64_of
from ledger.proof.sheet import Sheet
from ledger.proof.sheet_file import sheet_from

__all__ = [
    "BEGINS",
    "MEDIA",
    "RECORD_FORMAT",
    "PictureNamed",
    "RecordFile",
    "digest_of",
    "earlier_of",
    "earlier_there",
]

RECORD_FORMAT: Final = "slipsheet-record/1"
MEDIA: Final = {"image/jpeg": "jpg", "image/png": "png"}
"""What clean copies are made of, and how their names end."""
BEGINS: Final = {"image/jpeg": b"\xff\xd8", "image/png": b"\x89PNG\r\n\x1a\n"}
"""How their bytes begin. Source: ITU-T T.81 table B.1 (SOI); PNG, third edition, section 5.2."""
_MOST_BYTES: Final = 64 * 1024 * 1024
_KEPT_MOST: Final = 2 * 1024 * 1024
"""Bytes of a record that stays read: one that somebody made to be large is not to fill the memory for good."""
_READ: Final = Shapes("The record")
_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_NAMES: Final = ("format", "proof", "collection", "sheet", "pictures", "earlier", "keys", "stamps")


@dataclass(frozen=True, kw_only=True)
class PictureNamed:
    """A clean copy that comes with the record. Units: size in bytes."""

    sha256: str
    media: str
    size: int


@dataclass(frozen=True, kw_only=True)
class RecordFile:
    """What a next owner gets of one book.

    `collection` are entries of the collection itself, such as its keys and its rooms. `earlier` are digests of earlier
    owners' record files, the oldest first. `keys` are verifier keys as its maker says them, which prove nothing.
    `stamps` are time stamps of the checkpoint by somebody else (RFC 3161).
    """

    proof: ProofFile
    sheet: Sheet
    collection: tuple[EntryProof, ...] = ()
    pictures: tuple[PictureNamed, ...] = ()
    earlier: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    stamps: tuple[bytes, ...] = ()

    def to_plain(self) -> dict[str, Plain]:
        """The file as plain data, under the names it has in JSON."""
        return {
            "format": RECORD_FORMAT,
            "proof": self.proof.to_plain(),
            "collection": entries_plain(self.collection),
            "sheet": self.sheet.to_plain(),
            "pictures": [{"sha256": each.sha256, "media": each.media, "size": each.size} for each in self.pictures],
            "earlier": list(self.earlier),
            "keys": list(self.keys),
            "stamps": base64_of(self.stamps),
        }

    def to_bytes(self) -> bytes:
        """The file in its one byte form.

        Raises: MalformedError.
        """
        return encode(self.to_plain(), what=_READ.what)

    @classmethod
    def from_bytes(cls, data: bytes) -> "RecordFile":
        """The file from its one byte form, with every name that belongs there and no other.

        Raises: MalformedError.
        """
        return _kept(data) if len(data) <= _KEPT_MOST else _from_bytes(data)


def digest_of(data: bytes) -> str:
    """The name of a file that comes with a record: SHA-256 of its bytes, in lower hexadecimal."""
    return sha256(data).hexdigest()


def earlier_of(record: RecordFile, beside: Mapping[str, bytes]) -> dict[str, RecordFile]:
    """The records of all earlier owners by their digests: its own, and those that these have in turn.

    Requires: they lie beside it
    Raises: KeyError, MalformedError.
    """
    found, lost = earlier_there(record, beside)
    for name in lost:
        RecordFile.from_bytes(beside[name])
    return found


def earlier_there(record: RecordFile, beside: Mapping[str, bytes]) -> tuple[dict[str, RecordFile], tuple[str, ...]]:
    """As `earlier_of`, as far as they lie there and can be read; and the names of those of which that is not so."""
    found: dict[str, RecordFile] = {}
    lost: dict[str, None] = {}
    waiting = [*reversed(record.earlier)]
    while waiting:
        name = waiting.pop()
        if name in found or name in lost:
            continue
        try:
            found[name] = RecordFile.from_bytes(beside[name])
        except (KeyError, MalformedError):
            lost[name] = None
        else:
            waiting += reversed(found[name].earlier)
    return found, tuple(lost)


def _pictures(value: Plain) -> tuple[PictureNamed, ...]:
    found: list[PictureNamed] = []
    for place, each in enumerate(_READ.list(value, "pictures")):
        where = f"pictures[{place}]"
        said = _READ.members(each, where, ("sha256", "media", "size"))
        media = _READ.text(said["media"], f"{where}.media")
        if media not in MEDIA:
            _READ.refuse(f"{where}.media", "it is no kind of picture that a record has", f"It is {' or '.join(MEDIA)}.")
        sha = _digest(said["sha256"], f"{where}.sha256")
        found.append(PictureNamed(sha256=sha, media=media, size=_READ.number(said["size"], f"{where}.size")))
    _need_once([each.sha256 for each in found], "pictures")
    return tuple(found)


def _digests(value: Plain, where: str) -> tuple[str, ...]:
    found = tuple(_digest(each, f"{where}[{place}]") for place, each in enumerate(_READ.list(value, where)))
    _need_once(found, where)
    return found


def _digest(value: Plain, where: str) -> str:
    text = _READ.text(value, where)
    if _DIGEST.fullmatch(text) is None:
        _READ.refuse(where, "it is no digest", "It is 64 digits of lower-case hexadecimal.")
    return text


def _need_once(names: Sequence[str], where: str) -> None:
    if len(set(names)) != len(names):
        _READ.refuse(where, "something is named twice", "Each is named once.")


@lru_cache(maxsize=4)
def _kept(data: bytes) -> RecordFile:
    """Read once, for the same record is asked for again and again while it is given away."""
    return _from_bytes(data)


def _from_bytes(data: bytes) -> RecordFile:
    if len(data) > _MOST_BYTES:
        _READ.refuse("", f"it has more than {_MOST_BYTES} bytes", "Photographs lie beside it, not in it.")
    said = _READ.members(read(data, what=_READ.what), "", _NAMES)
    if said["format"] != RECORD_FORMAT:
        _READ.refuse("format", f"this program reads {RECORD_FORMAT}", "Read it with the program that wrote it.")
    found = RecordFile(
        proof=ProofFile.from_plain(said["proof"]),
        sheet=sheet_from(said["sheet"]),
        collection=entries_from(said["collection"], "collection"),
        pictures=_pictures(said["pictures"]),
        earlier=_digests(said["earlier"], "earlier"),
        keys=_READ.texts(said["keys"], "keys"),
        stamps=_READ.hashes(said["stamps"], "stamps"),
    )
    if found.to_bytes() != data:
        _READ.refuse("", "it is not in its one byte form", "Take the file again as it was given.")
    return found
