"""Proofs for somebody who does not trust this program: one entry, one growth, one book and nothing left out."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.entry import Entry
from ledger.errors import ConflictError, InvalidError, Problem
from ledger.ports import ENTRIES, HEADS, Ledger, Reader
from ledger.proof import merkle
from ledger.proof.canonical import Plain
from ledger.proof.merkle import NodeReader
from ledger.proof.proof_file import Consistency, EntryProof, HeadProof, ProofFile
from ledger.proof.sealing import disclosure
from ledger.usecases.checkpoint import current
from ledger.usecases.stamps import given_note
from ledger.usecases.stored import BATCH, nodes_of, size_of

_NEAR: Final = 8
"""Numbers between two entries of a book that are read along, to save one more read. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class InclusionProof:
    """That one entry is in the ledger of that size and root; hashes from the leaf's side up."""

    seq: int
    size: int
    leaf: str
    root: bytes
    proof: list[bytes]


@dataclass(frozen=True, kw_only=True)
class ConsistencyProof:
    """That the ledger of the second size begins with all of the ledger of the first."""

    first: int
    second: int
    first_root: bytes
    second_root: bytes
    proof: list[bytes]


def inclusion(ledger: Ledger, actor: Actor, seq: int, size: int | None = None) -> InclusionProof:
    """The proof of one entry, in the ledger as it is or as it was at an earlier size.

    Raises: NotFoundError, InvalidError.
    """
    actor.require(Permission.READ)
    with stored_so(), ledger.log.read() as reader:
        leaf = reader.entry(seq).leaf
        at = _size(reader, size, least=seq, name="size")
        read = nodes_of(reader, ENTRIES)
        proof = merkle.inclusion_proof(seq - 1, at, read)
        return InclusionProof(seq=seq, size=at, leaf=leaf, root=merkle.root(at, read), proof=proof)


def consistency(ledger: Ledger, actor: Actor, first: int, second: int | None = None) -> ConsistencyProof:
    """The proof that nothing was changed between two sizes.

    Raises: InvalidError.
    """
    actor.require(Permission.READ)
    with stored_so(), ledger.log.read() as reader:
        later = _size(reader, second, least=1, name="second")
        if not 1 <= first <= later:
            sentence = f"first must be from 1 to {later}; a ledger without entries proves nothing."
            raise InvalidError(problems=(Problem(field="first", sentence=sentence),))
        read = nodes_of(reader, ENTRIES)
        return ConsistencyProof(
            first=first,
            second=later,
            first_root=merkle.root(first, read),
            second_root=merkle.root(later, read),
            proof=merkle.consistency_proof(first, later, read),
        )


class Opened(StrEnum):
    """Which sealed values a proof opens; those it leaves closed are proven all the same, by their digests."""

    NONE = "none"
    SHOWN = "shown"
    ALL = "all"


def book_proof(
    ledger: Ledger, actor: Actor, book: str, *, held: int | None = None, opened: Opened = Opened.SHOWN
) -> dict[str, Plain]:
    """Everything `python -m ledger.proof` needs to check one book's whole chain, as plain data.

    It opens what a record shows by default, unless it is told to open nothing, or all that is at hand.
    `held` is the size of a checkpoint the reader has from before; then the growth since is proven too.
    Requires: the last checkpoint covers all entries.
    Raises: NotFoundError, ConflictError when a checkpoint must be signed first, InvalidError.
    """
    actor.require(Permission.READ)
    with stored_so(), ledger.log.read() as reader:
        since = None if held is None else _size(reader, held, least=1, name="held")
        file = proof_of_book(reader, book, lambda entry: _names(entry, opened), since)
    return replace(file, checkpoint=given_note(ledger, file.checkpoint)).to_plain()


def proof_of_book(
    reader: Reader, book: str, opens: Callable[[Entry], AbstractSet[str]], since: int | None = None
) -> ProofFile:
    """The whole chain of a book under the last checkpoint; `opens` names the sealed fields of an entry that it shows.

    Requires: `since` is a size the ledger had, where it is given
    Raises: ConflictError when a checkpoint must be signed first.
    """
    head, note = reader.book_head(book), covering(reader)
    size, books = size_of(reader), reader.head().books
    grown = None if since is None else merkle.consistency_proof(since, size, nodes_of(reader, ENTRIES))
    return ProofFile(
        checkpoint=note,
        head=HeadProof(
            book=head.book,
            book_no=head.no,
            book_seq=head.seq,
            leaf=head.leaf,
            proof=tuple(merkle.inclusion_proof(head.no - 1, books, nodes_of(reader, HEADS))),
        ),
        entries=proofs_of_entries(reader, {each.seq: opens(each) for each in reader.of_book(book)}, size),
        consistency=None if since is None or grown is None else Consistency(first=since, proof=tuple(grown)),
    )


def _names(entry: Entry, opened: Opened) -> AbstractSet[str]:
    """The sealed fields of an entry that are opened."""
    match opened:
        case Opened.NONE:
            return frozenset()
        case Opened.SHOWN:
            return entry.event.shown_fields()
        case Opened.ALL:
            return entry.event.sealed_fields().keys()


def proofs_of_entries(reader: Reader, names: Mapping[int, AbstractSet[str]], size: int) -> tuple[EntryProof, ...]:
    """Entries by their numbers, each with its bytes, its proof and those of its values that are opened.

    Keeps: what stands together is read together, for a book may have thousands.
    """
    rows: dict[int, bytes] = {}
    opened: dict[int, list[str]] = defaultdict(list)
    for first, count in _runs(sorted(names)):
        rows |= {each.seq: each.data for each in reader.stored(first, count)}
        for each in reader.sealed_between(first, count):
            if each.salt is not None and each.name in names.get(each.seq, ()):
                opened[each.seq].append(disclosure(each.salt, each.name, each.value))
    read = _read_together(names, size, nodes_of(reader, ENTRIES))
    return tuple(
        EntryProof(
            data=rows[seq], proof=tuple(merkle.inclusion_proof(seq - 1, size, read)), opened=tuple(opened.get(seq, ()))
        )
        for seq in names
    )


def _runs(seqs: Sequence[int]) -> Iterator[tuple[int, int]]:
    """First and length of runs of numbers that lie near each other."""
    first = last = 0
    for seq in seqs:
        if first and (seq - last > _NEAR or seq - first >= BATCH):
            yield first, last - first + 1
            first = 0
        first, last = first or seq, seq
    if first:
        yield first, last - first + 1


def _read_together(seqs: Iterable[int], size: int, read: NodeReader) -> NodeReader:
    """A reader of the nodes that the proofs of these entries ask for: all are read once, and at once."""
    asked: dict[tuple[int, int], bytes] = {}

    def note(which: Sequence[tuple[int, int]]) -> Sequence[bytes]:
        asked.update(dict.fromkeys(which, b""))
        return [b""] * len(which)

    for seq in seqs:
        merkle.inclusion_proof(seq - 1, size, note)
    found = dict(zip(asked, read(list(asked)), strict=True)) if asked else {}
    return lambda which: [found[each] for each in which]


def covering(reader: Reader) -> str:
    """The note of a checkpoint over all that is there now; the heads' tree keeps no earlier state."""
    last = reader.last_checkpoint()
    if last is None or last.size != size_of(reader):
        raise ConflictError(sentence="No checkpoint covers the newest entries yet. Sign one, then ask again.")
    if current(reader).to_text() not in last.note:
        raise ConflictError(sentence="The last checkpoint does not speak of these entries. Run verify.")
    return last.note


def _size(reader: Reader, asked: int | None, *, least: int, name: str) -> int:
    size = size_of(reader)
    if asked is None:
        return size
    if not least <= asked <= size:
        raise InvalidError(problems=(Problem(field=name, sentence=f"{name} must be from {least} to {size}."),))
    return asked


__all__ = [
    "ConsistencyProof",
    "InclusionProof",
    "Opened",
    "book_proof",
    "consistency",
    "inclusion",
    "proof_of_book",
    "proofs_of_entries",
]
