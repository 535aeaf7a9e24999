"""The file a stranger gets: one book's entries as they are stored, and what proves that they are all of them.

FORMAT.md beside this file gives its names one by one.
"""

from base64 import b64decode, b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NoReturn

from ledger.proof.canonical import Plain, encode, read
from ledger.proof.report import MalformedError

__all__ = ["PROOF_FORMAT", "Consistency", "EntryProof", "HeadProof", "ProofFile"]

PROOF_FORMAT: Final = "slipsheet-proof/1"
_MOST_BYTES: Final = 64 * 1024 * 1024
"""A book's whole chain takes a few hundred kilobytes; whoever sends more than this wants something else."""
_WHAT: Final = "The proof file"


@dataclass(frozen=True, kw_only=True)
class EntryProof:
    """One entry's stored bytes, its way to the root, and what opens those of its sealed fields that are shown."""

    data: bytes
    proof: tuple[bytes, ...]
    opened: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class HeadProof:
    """The end of the book's chain, with its way to the root over all books."""

    book: str
    book_no: int
    book_seq: int
    leaf: str
    proof: tuple[bytes, ...]


@dataclass(frozen=True, kw_only=True)
class Consistency:
    """What shows that the ledger only grew since it had `first` entries."""

    first: int
    proof: tuple[bytes, ...]


@dataclass(frozen=True, kw_only=True)
class ProofFile:
    """A signed checkpoint, all entries of one book in their order, and the proofs that join the two."""

    checkpoint: str
    head: HeadProof
    entries: tuple[EntryProof, ...]
    consistency: Consistency | None = None

    def to_plain(self) -> dict[str, Plain]:
        """The file as plain data, under the names it has in JSON."""
        said: dict[str, Plain] = {
            "format": PROOF_FORMAT,
            "checkpoint": self.checkpoint,
            "head": {
                "book": self.head.book,
                "book_no": self.head.book_no,
                "book_seq": self.head.book_seq,
                "leaf": self.head.leaf,
                "proof": _base64(self.head.proof),
            },
            "entries": [
                {"bytes": _base64([each.data])[0], "proof": _base64(each.proof), "open": list(each.opened)}
                for each in self.entries
            ],
        }
        if self.consistency:
            proof = _base64(self.consistency.proof)
            said["consistency"] = {"first": self.consistency.first, "proof": proof}
        return said

    def to_bytes(self) -> bytes:
        """The file as JSON in UTF-8.

        Raises: MalformedError.
        """
        return encode(self.to_plain(), what=_WHAT)

    @classmethod
    def from_bytes(cls, data: bytes) -> "ProofFile":
        """The file from JSON in any spacing, with every name that belongs there and no other.

        Raises: MalformedError.
        """
        if len(data) > _MOST_BYTES:
            _refuse("", f"it has more than {_MOST_BYTES} bytes", "A proof file holds one book's entries, no pictures.")
        said = _members(read(data, what=_WHAT), "", ("format", "checkpoint", "head", "entries"), ("consistency",))
        if said["format"] != PROOF_FORMAT:
            _refuse("format", f"this program reads {PROOF_FORMAT}", "Read it with the program that wrote it.")
        entries = enumerate(_list(said["entries"], "entries"))
        return cls(
            checkpoint=_text(said["checkpoint"], "checkpoint"),
            head=_head(said["head"]),
            entries=tuple(_entry(each, f"entries[{place}]") for place, each in entries),
            consistency=_consistency(said["consistency"]) if "consistency" in said else None,
        )


def _entry(value: Plain, where: str) -> EntryProof:
    said = _members(value, where, ("bytes", "proof", "open"))
    opened = enumerate(_list(said["open"], f"{where}.open"))
    return EntryProof(
        data=_bytes(said["bytes"], f"{where}.bytes"),
        proof=_hashes(said["proof"], f"{where}.proof"),
        opened=tuple(_text(each, f"{where}.open[{place}]") for place, each in opened),
    )


def _head(value: Plain) -> HeadProof:
    said = _members(value, "head", ("book", "book_no", "book_seq", "leaf", "proof"))
    return HeadProof(
        book=_text(said["book"], "head.book"),
        book_no=_number(said["book_no"], "head.book_no"),
        book_seq=_number(said["book_seq"], "head.book_seq"),
        leaf=_text(said["leaf"], "head.leaf"),
        proof=_hashes(said["proof"], "head.proof"),
    )


def _consistency(value: Plain) -> Consistency:
    said = _members(value, "consistency", ("first", "proof"))
    return Consistency(
        first=_number(said["first"], "consistency.first"), proof=_hashes(said["proof"], "consistency.proof")
    )


def _members(value: Plain, where: str, needed: Sequence[str], allowed: Sequence[str] = ()) -> dict[str, Plain]:
    if not isinstance(value, dict):
        _refuse(where, "it is no object with names", f"It has the names {', '.join(needed)}.")
    for name in needed:
        if name not in value:
            _refuse(where, f"the name {name} is missing", f"It has the names {', '.join(needed)}.")
    for name in value:
        if name not in needed and name not in allowed:
            _refuse(where, f"the name {name[:40]!a} does not belong here", f"It has the names {', '.join(needed)}.")
    return value


def _list(value: Plain, where: str) -> list[Plain]:
    if not isinstance(value, list):
        _refuse(where, "it is no list", "It is a list, if only an empty one.")
    return value


def _text(value: Plain, where: str) -> str:
    if not isinstance(value, str):
        _refuse(where, "it is no text", "It is a string.")
    return value


def _number(value: Plain, where: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        _refuse(where, "it is no number from 0 upwards", "It is a whole number.")
    return value


def _hashes(value: Plain, where: str) -> tuple[bytes, ...]:
    return tuple(_bytes(each, f"{where}[{place}]") for place, each in enumerate(_list(value, where)))


def _bytes(value: Plain, where: str) -> bytes:
    text = _text(value, where)
    try:
        data = b64decode(text, validate=True)
    except ValueError:
        data = b""
    if not data or b64encode(data).decode("ascii") != text:
        _refuse(where, "it is not base64", "Standard base64, with its padding.")
    return data


def _base64(each: Sequence[bytes]) -> list[Plain]:
    return [b64encode(data).decode("ascii") for data in each]


def _refuse(where: str, problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=_WHAT, where=where, problem=problem, mend=mend)
