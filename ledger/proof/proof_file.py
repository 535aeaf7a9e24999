"""The file a stranger gets: one book's entries as they are stored, and what proves that they are all of them.

FORMAT.md beside this file gives its names one by one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.proof.canonical import Plain, encode, read
from ledger.proof.shapes import Shapes, base64_of

__all__ = ["PROOF_FORMAT", "Consistency", "EntryProof", "HeadProof", "ProofFile", "entries_from", "entries_plain"]

PROOF_FORMAT: Final = "slipsheet-proof/1"
_MOST_BYTES: Final = 64 * 1024 * 1024
"""A book's whole chain takes a few hundred kilobytes; whoever sends more than this wants something else."""
_WHAT: Final = "The proof file"
_READ: Final = Shapes(_WHAT)


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
                "proof": base64_of(self.head.proof),
            },
            "entries": entries_plain(self.entries),
        }
        if self.consistency:
            proof = base64_of(self.consistency.proof)
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
            _READ.refuse(
                "", f"it has more than {_MOST_BYTES} bytes", "A proof file holds one book's entries, no pictures."
            )
        return cls.from_plain(read(data, what=_WHAT))

    @classmethod
    def from_plain(cls, value: Plain) -> "ProofFile":
        """The file from what its JSON says.

        Raises: MalformedError.
        """
        said = _READ.members(value, "", ("format", "checkpoint", "head", "entries"), ("consistency",))
        if said["format"] != PROOF_FORMAT:
            _READ.refuse("format", f"this program reads {PROOF_FORMAT}", "Read it with the program that wrote it.")
        return cls(
            checkpoint=_READ.text(said["checkpoint"], "checkpoint"),
            head=_head(said["head"]),
            entries=entries_from(said["entries"], "entries"),
            consistency=_consistency(said["consistency"]) if "consistency" in said else None,
        )


def entries_plain(entries: Sequence[EntryProof]) -> list[Plain]:
    """Entries with their proofs, as they stand in JSON."""
    return [
        {"bytes": base64_of([each.data])[0], "proof": base64_of(each.proof), "open": list(each.opened)}
        for each in entries
    ]


def entries_from(value: Plain, where: str) -> tuple[EntryProof, ...]:
    """Entries with their proofs from JSON.

    Raises: MalformedError.
    """
    return tuple(_entry(each, f"{where}[{place}]") for place, each in enumerate(_READ.list(value, where)))


def _entry(value: Plain, where: str) -> EntryProof:
    said = _READ.members(value, where, ("bytes", "proof", "open"))
    opened = enumerate(_READ.list(said["open"], f"{where}.open"))
    return EntryProof(
        data=_READ.bytes(said["bytes"], f"{where}.bytes"),
        proof=_READ.hashes(said["proof"], f"{where}.proof"),
        opened=tuple(_READ.text(each, f"{where}.open[{place}]") for place, each in opened),
    )


def _head(value: Plain) -> HeadProof:
    said = _READ.members(value, "head", ("book", "book_no", "book_seq", "leaf", "proof"))
    return HeadProof(
        book=_READ.text(said["book"], "head.book"),
        book_no=_READ.number(said["book_no"], "head.book_no"),
        book_seq=_READ.number(said["book_seq"], "head.book_seq"),
        leaf=_READ.text(said["leaf"], "head.leaf"),
        proof=_READ.hashes(said["proof"], "head.proof"),
    )


def _consistency(value: Plain) -> Consistency:
    said = _READ.members(value, "consistency", ("first", "proof"))
    return Consistency(
        first=_READ.number(said["first"], "consistency.first"), proof=_READ.hashes(said["proof"], "consistency.proof")
    )
