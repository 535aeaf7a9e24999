"""Proofs over the tree: short lists of hashes that show what is in a list of entries, and that it only grew.

A proof binds neither place nor size to the root: take both from what is signed, and hash the entry yourself.

Source: RFC 9162 section 2.1.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.proof.nodes import (
    EMPTY_ROOT,
    HASH_BYTES,
    Frontier,
    Node,
    NodeReader,
    Span,
    appended,
    greatest_power_below,
    leaf_hash,
    need,
    node_hash,
    replaced,
    root,
    root_of,
    span_hashes,
)
from ledger.proof.report import LedgerError, MalformedError

__all__ = [
    "EMPTY_ROOT",
    "HASH_BYTES",
    "Frontier",
    "Node",
    "NodeReader",
    "ProofError",
    "appended",
    "consistency_proof",
    "inclusion_proof",
    "leaf_hash",
    "node_hash",
    "replaced",
    "root",
    "root_from_inclusion",
    "root_of",
    "roots_from_consistency",
    "verify_consistency",
    "verify_inclusion",
]


@dataclass(eq=False, kw_only=True)
class ProofError(LedgerError):
    """A proof that is well formed and leads to another root than the one that was signed."""

    what: str
    expected: bytes
    computed: bytes

    def __str__(self) -> str:
        return (
            f"{self.what}: the proof leads to the root {self.computed.hex()}, not to {self.expected.hex()}. "
            "What it speaks of is not in the list that was signed; ask for a fresh copy, and do not rely on this one."
        )


def inclusion_proof(index: int, size: int, read: NodeReader) -> list[bytes]:
    """What a stranger needs to get from one leaf to the root over `size` leaves, leaf side first.

    Keeps: one call of `read`.
    Requires: 0 <= index < size
    Source: RFC 9162 section 2.1.3.1.
    """
    need(0 <= index < size, "An inclusion proof", f"there is no leaf {index} among {size}")
    spans: list[Span] = []
    low, high = 0, size
    while high - low > 1:
        middle = low + greatest_power_below(high - low)
        if index < middle:
            spans.append((middle, high))
            high = middle
        else:
            spans.append((low, middle))
            low = middle
    return span_hashes(spans[::-1], read)


def consistency_proof(first: int, second: int, read: NodeReader) -> list[bytes]:
    """What a stranger needs to see that the first `first` of `second` leaves are the old ones, untouched.

    Keeps: one call of `read`; empty when nothing was there before, or when nothing was added.
    Requires: 0 <= first <= second
    Source: RFC 9162 section 2.1.4.1.
    """
    need(0 <= first <= second, "A consistency proof", f"a list of {second} does not continue one of {first}")
    if first == 0:
        return []
    spans: list[Span] = []
    low, high = 0, second
    while high != first:
        middle = low + greatest_power_below(high - low)
        if first <= middle:
            spans.append((middle, high))
            high = middle
        else:
            spans.append((low, middle))
            low = middle
    if low:
        spans.append((low, high))
    return span_hashes(spans[::-1], read)


def root_from_inclusion(index: int, size: int, leaf: bytes, proof: Sequence[bytes]) -> bytes:
    """The root to which a proof leads from a leaf.

    Requires: 0 <= index < size, a proof of the length that place and size demand
    Raises: MalformedError.
    Source: RFC 9162 section 2.1.3.2.
    """
    what = "An inclusion proof"
    need(0 <= index < size, what, f"there is no leaf {index} among {size}")
    inner = (index ^ (size - 1)).bit_length()
    _need_hashes(proof, inner + (index >> inner).bit_count(), what)
    _need_hashes([leaf], 1, what)
    found = leaf
    for level, sibling in enumerate(proof):
        # Past `inner` the way leads along the right edge, where every sibling lies to the left.
        found = node_hash(sibling, found) if level >= inner or index >> level & 1 else node_hash(found, sibling)
    return found


def verify_inclusion(index: int, size: int, leaf: bytes, proof: Sequence[bytes], root: bytes) -> None:
    """Hold a leaf against a signed root; silence means it is in the list, at that place.

    Raises: MalformedError, ProofError.
    Source: RFC 9162 section 2.1.3.2.
    """
    found = root_from_inclusion(index, size, leaf, proof)
    if found != root:
        raise ProofError(what=f"Entry {index + 1} of {size}", expected=root, computed=found)


def roots_from_consistency(first: int, second: int, proof: Sequence[bytes], first_root: bytes) -> tuple[bytes, bytes]:
    """The two roots, older and newer, to which a consistency proof leads.

    `first_root` is where it starts when the older list is one whole subtree; then the proof leaves it out.
    Requires: 0 < first < second, a proof of the length that the sizes demand
    Raises: MalformedError.
    Source: RFC 9162 section 2.1.4.2.
    """
    what = "A consistency proof"
    need(0 < first < second, what, f"a list of {second} does not continue one of {first}")
    whole = first & (first - 1) == 0
    level = (first & -first).bit_length() - 1
    place, last = (first - 1) >> level, (second - 1) >> level
    inner = (place ^ last).bit_length()
    _need_hashes(proof, (not whole) + inner + (place >> inner).bit_count(), what)
    seed, path = (first_root, proof) if whole else (proof[0], proof[1:])
    older = newer = seed
    for step, sibling in enumerate(path):
        if step >= inner or place >> step & 1:
            older = node_hash(sibling, older)
            newer = node_hash(sibling, newer)
        else:
            newer = node_hash(newer, sibling)
    return older, newer


def verify_consistency(first: int, second: int, proof: Sequence[bytes], first_root: bytes, second_root: bytes) -> None:
    """Hold an older signed root against a newer one; silence means the newer list only added at the end.

    Every list continues the empty one: there the proof is empty too.
    Raises: MalformedError, ProofError.
    Source: RFC 9162 section 2.1.4.2; the empty list: C2SP tlog-witness.
    """
    what = "A consistency proof"
    need(0 <= first <= second, what, f"a list of {second} does not continue one of {first}")
    _need_hashes([first_root, second_root], 2, what)
    older, newer = first_root, second_root
    if first in (0, second):
        _need_hashes(proof, 0, what)
        older = EMPTY_ROOT if first == 0 else second_root
        newer = EMPTY_ROOT if second == 0 else second_root
    else:
        older, newer = roots_from_consistency(first, second, proof, first_root)
    for name, size, expected, computed in (("older", first, first_root, older), ("newer", second, second_root, newer)):
        if expected != computed:
            raise ProofError(what=f"The {name} list of {size}", expected=expected, computed=computed)


def _need_hashes(hashes: Sequence[bytes], count: int, what: str) -> None:
    if len(hashes) != count:
        raise MalformedError(
            what=what, problem=f"it has {len(hashes)} hashes where {count} belong", mend="Ask for the proof again."
        )
    for number, each in enumerate(hashes):
        if len(each) != HASH_BYTES:
            raise MalformedError(
                what=what,
                where=f"hash {number}",
                problem=f"{len(each)} bytes where {HASH_BYTES} belong",
                mend="Ask for the proof again.",
            )
