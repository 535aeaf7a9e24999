"""check_ledger: reread everything from its bytes; chain, trees, heads, sealed values and lists must hold."""

from collections.abc import Iterator, Sequence

from ledger.history import fold, history
from ledger.ports import ENTRIES, HEADS, Ledger, Log, Reader, SealedValue, StoredEntry
from ledger.proof import merkle
from ledger.proof.chain import Envelope, Walk
from ledger.proof.sealing import digest, disclosure
from ledger.rows import Listing, listing
from ledger.store.codec import EventCodec

BATCH = 200


def check_ledger(checked: Ledger | Log) -> int:
    """Fails the test unless the whole ledger holds, also after a rebuild; gives the number of its entries."""
    log = checked.log if isinstance(checked, Ledger) else checked
    with log.read() as reader:
        assert reader.guards_missing() == []
        walk = _check_entries(reader)
        _check_trees(reader, walk)
        before = _check_lists(reader)
        books = len(reader.book_heads())
    assert log.rebuild() == books
    with log.read() as reader:
        _check_trees(reader, walk)
        assert _check_lists(reader) == before, "a rebuild gives other lists"
    return walk.size


def stored_entries(reader: Reader) -> Iterator[StoredEntry]:
    """Every entry as it is stored."""
    after = 0
    while batch := reader.stored(after + 1, BATCH):
        yield from batch
        after = batch[-1].seq


def _check_entries(reader: Reader) -> Walk:
    walk = Walk(reader.collection)
    for stored in stored_entries(reader):
        leaf = walk.step(stored.seq, stored.data, bytes.fromhex(stored.leaf))
        assert leaf is not None, f"entry {stored.seq} cannot be read"
        said = Envelope.from_bytes(stored.data)
        beside = (stored.seq, stored.book, stored.book_no, stored.book_seq, stored.act, stored.kind, stored.actor)
        assert beside == (said.seq, said.book, said.book_no, said.book_seq, said.act, said.kind, said.actor)
        _check_sealed(said, reader.sealed(stored.seq))
        assert reader.entry(stored.seq).leaf == leaf.hex()
    assert walk.finish().findings == []
    head = reader.head()
    assert (head.size, head.books) == (walk.size, walk.heads_count), "the head is not the last entry"
    return walk


def _check_sealed(said: Envelope, kept: Sequence[SealedValue]) -> None:
    assert {value.name for value in kept} == set(said.sealed), f"sealed values of entry {said.seq} are missing"
    for value in kept:
        if value.salt is not None:
            assert digest(disclosure(value.salt, value.name, value.value)) == said.sealed[value.name]


def _check_trees(reader: Reader, walk: Walk) -> None:
    heads = reader.book_heads()
    kept = {head.book: (head.no, head.seq, head.leaf) for head in heads}
    assert kept == {head.book: (head.book_no, head.book_seq, head.leaf) for head in walk.heads.values()}
    leaves = [merkle.leaf_hash(stored.data) for stored in stored_entries(reader)]
    _check_tree(reader, ENTRIES, leaves, walk.root)
    _check_tree(reader, HEADS, [merkle.leaf_hash(walk.heads[head.book].to_bytes()) for head in heads], walk.heads_root)


def _check_tree(reader: Reader, tree: str, leaves: list[bytes], root: bytes) -> None:
    """Every node kept is the one that the leaves make, and there are no others."""
    made: dict[merkle.Node, bytes] = {}
    for size, leaf in enumerate(leaves):
        new = merkle.appended(size, leaf, lambda which: [made[node] for node in which])
        made.update({(level, index): found for level, index, found in new})
    assert reader.nodes(tree, list(made)) == list(made.values()), f"a node of the tree of {tree} is wrong"
    assert reader.node_count(tree) == len(made)
    assert merkle.root(len(leaves), lambda which: reader.nodes(tree, which)) == root


def _check_lists(reader: Reader) -> list[Listing]:
    codec = EventCodec()
    expected = []
    for head in reader.book_heads():
        moments = history(reader.of_book(head.book), codec)
        expected.append(listing(fold(head.book, head.no, moments), moments))
    found = list(reader.listings())
    assert found == expected, "the lists differ from the entries"
    assert [reader.book(each.row.book) for each in found] == [each.row for each in expected]
    return found
