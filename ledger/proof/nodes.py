"""The nodes of a tree over a list of entries: how they are hashed, and which of them are kept.

A node `(level, index)` is the hash of the whole subtree over the leaves `index * 2**level` up to, not including,
`(index + 1) * 2**level`. Only whole subtrees are kept; they never change while a tree grows at its end.

Source: RFC 9162 section 2.1.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from hashlib import sha256
from typing import Final, TypeAlias

from ledger.proof.report import MalformedError

Node: TypeAlias = tuple[int, int]
NodeReader: TypeAlias = Callable[[Sequence[Node]], Sequence[bytes]]
"""Gives the kept hashes of the nodes asked for, in that order."""

Span: TypeAlias = tuple[int, int]
"""Leaves from the first number up to, not including, the second; the first is a multiple of the greatest power of
two that fits in."""

HASH_BYTES: Final = 32
EMPTY_ROOT: Final = sha256(b"").digest()
"""The root of a list without entries. Source: RFC 9162 section 2.1.1."""


def leaf_hash(data: bytes) -> bytes:
    """The hash of an entry's bytes. Source: RFC 9162 section 2.1.1."""
    return sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash over two neighbouring subtrees. Source: RFC 9162 section 2.1.1."""
    return sha256(b"\x01" + left + right).digest()


def appended(size: int, leaf: bytes, read: NodeReader) -> list[tuple[int, int, bytes]]:
    """The nodes that become whole when a leaf comes after `size` others: the leaf, and each parent it finishes.

    Keeps: on average two nodes, at most 1 + log2(size + 1); one call of `read`.
    """
    need(size >= 0, "A tree", f"a tree has no size {size}")
    lefts = _asked(read, [(level, (size >> level) - 1) for level in range(_trailing_ones(size))])
    made = [(0, size, leaf)]
    for left in lefts:
        level, index, right = made[-1]
        made.append((level + 1, index >> 1, node_hash(left, right)))
    return made


def replaced(size: int, index: int, leaf: bytes, read: NodeReader) -> list[tuple[int, int, bytes]]:
    """The whole nodes that change when the leaf at `index` changes, the leaf first.

    Keeps: at most 1 + log2(size) nodes; one call of `read`.
    Requires: 0 <= index < size
    """
    need(0 <= index < size, "A tree", f"there is no leaf {index} among {size}")
    height = 0
    while ((index >> (height + 1)) + 1) << (height + 1) <= size:
        height += 1
    siblings = _asked(read, [(level, (index >> level) ^ 1) for level in range(height)])
    made = [(0, index, leaf)]
    for sibling in siblings:
        level, place, own = made[-1]
        parent = node_hash(sibling, own) if place & 1 else node_hash(own, sibling)
        made.append((level + 1, place >> 1, parent))
    return made


def root(size: int, read: NodeReader) -> bytes:
    """The root over the first `size` leaves.

    Keeps: at most log2(size) + 1 nodes are read, in one call.
    """
    need(size >= 0, "A tree", f"a tree has no size {size}")
    return span_hashes([(0, size)], read)[0] if size else EMPTY_ROOT


def root_of(leaves: Iterable[bytes]) -> bytes:
    """The root over leaf hashes, worked out from the definition; for lists that fit in memory.

    Source: RFC 9162 section 2.1.1.
    """
    held = list(leaves)
    if not held:
        return EMPTY_ROOT
    if len(held) == 1:
        return held[0]
    middle = greatest_power_below(len(held))
    return node_hash(root_of(held[:middle]), root_of(held[middle:]))


class Frontier:
    """A tree that only grows, kept as the few whole subtrees at its right edge.

    Keeps: at most log2(size) + 1 hashes in memory.
    """

    def __init__(self) -> None:
        self.size = 0
        self._edge: list[bytes] = []

    def append(self, leaf: bytes) -> None:
        """Add a leaf hash at the end."""
        for _ in range(_trailing_ones(self.size)):
            leaf = node_hash(self._edge.pop(), leaf)
        self._edge.append(leaf)
        self.size += 1

    @property
    def root(self) -> bytes:
        """The root over everything added."""
        return _folded(self._edge) if self._edge else EMPTY_ROOT


def span_hashes(spans: Sequence[Span], read: NodeReader) -> list[bytes]:
    """The hash over each span, with one call of `read` for all of them."""
    nodes = [list(_whole_nodes(span)) for span in spans]
    hashes = iter(_asked(read, [node for each in nodes for node in each]))
    return [_folded([next(hashes) for _ in each]) for each in nodes]


def greatest_power_below(number: int) -> int:
    """The greatest power of two below a number of at least 2."""
    return 1 << ((number - 1).bit_length() - 1)


def need(holds: bool, what: str, problem: str) -> None:  # noqa: FBT001 - reads as "need that"
    """Refuse places and sizes that no tree has."""
    if not holds:
        raise MalformedError(what=what, problem=problem, mend="Take place and size from what was signed.")


def _asked(read: NodeReader, nodes: Sequence[Node]) -> Sequence[bytes]:
    """The hashes of nodes; a reader is never asked for nothing."""
    return read(nodes) if nodes else ()


def _trailing_ones(number: int) -> int:
    return (number ^ (number + 1)).bit_length() - 1


def _whole_nodes(span: Span) -> Iterator[Node]:
    """The whole subtrees a span of leaves is made of, left to right; its start is a multiple of the first one."""
    start, end = span
    while start < end:
        level = (end - start).bit_length() - 1
        yield level, start >> level
        start += 1 << level


def _folded(edge: Sequence[bytes]) -> bytes:
    """One hash over whole subtrees that stand side by side, the greatest first."""
    *others, found = edge
    for left in reversed(others):
        found = node_hash(left, found)
    return found
