"""Kept nodes: one more entry, one entry replaced, and the root, against the definition and a package of others."""

from collections.abc import Iterator
from typing import Any

import pytest
from pymerkle import InmemoryTree

from ledger.proof.nodes import EMPTY_ROOT, Frontier, appended, leaf_hash, node_hash, replaced, root, root_of
from ledger.proof.report import MalformedError
from tests.proof.making import Kept
from tests.proof.vectors import hexed, load

MOST = 300
ENTRIES = [b"entry %d" % number for number in range(MOST)]
LEAVES = [leaf_hash(entry) for entry in ENTRIES]


def grown(size: int) -> Kept:
    kept = Kept()
    for leaf in LEAVES[:size]:
        kept.append(leaf)
    return kept


def growing() -> Iterator[Kept]:
    kept = Kept()
    yield kept
    for leaf in LEAVES:
        kept.append(leaf)
        yield kept


def test_the_published_tree_has_the_published_nodes_and_roots() -> None:
    tree = load("merkle/tree.json")
    leaves = [leaf_hash(entry) for entry in hexed(tree["entries"])]
    assert leaves == hexed(tree["leaves"])
    kept = Kept()
    for size, expected in enumerate(hexed(tree["roots"])):
        assert root_of(leaves[:size]) == expected
        assert kept.root == expected
        kept.append(leaves[size % len(leaves)])
    for level in ("1", "2"):
        assert [kept.nodes[int(level), index] for index in range(len(tree["nodes"][level]))] == hexed(
            tree["nodes"][level]
        )


@pytest.mark.parametrize("case", load("merkle/tree.json")["single"])
def test_a_leaf_and_a_node_never_hash_alike(case: Any) -> None:
    if "leaf_of" in case:
        assert leaf_hash(bytes.fromhex(case["leaf_of"])).hex() == case["hash"]
    else:
        left, right = hexed(case["node_of"])
        assert node_hash(left, right).hex() == case["hash"]


def test_the_empty_root_is_the_hash_of_nothing() -> None:
    # Source: FIPS 180-4 example values: SHA-256 of the empty message.
    assert EMPTY_ROOT.hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert Kept().root == EMPTY_ROOT
    assert Frontier().root == EMPTY_ROOT


def test_the_root_is_that_of_an_independent_package_at_every_size() -> None:
    other = InmemoryTree(algorithm="sha256")
    for entry in ENTRIES:
        other.append_entry(entry)
    frontier = Frontier()
    for size, kept in enumerate(growing()):
        expected = other.get_root(size) if size else EMPTY_ROOT
        assert kept.root == expected == root_of(LEAVES[:size]) == frontier.root
        assert frontier.size == kept.size == size
        if size < MOST:
            frontier.append(LEAVES[size])


def test_exactly_the_whole_subtrees_are_kept() -> None:
    for size, kept in enumerate(growing()):
        whole = {
            (level, index): root_of(LEAVES[index << level : index + 1 << level])
            for level in range(size.bit_length())
            for index in range(size >> level)
        }
        if size <= 64 or size == MOST:
            assert kept.nodes == whole
        assert len(kept.nodes) == len(whole)


def test_an_append_writes_two_nodes_on_average_and_reads_once() -> None:
    kept = grown(256)
    assert len(kept.nodes) < 2 * 256
    assert kept.calls <= 128  # every second append finishes nothing and asks for nothing
    assert kept.asked < 256


def test_a_replaced_leaf_changes_the_nodes_above_it_and_no_other() -> None:
    for size in (1, 2, 3, 7, 8, 21, 64):
        for index in range(size):
            kept = grown(size)
            before = dict(kept.nodes)
            kept.replace(index, leaf_hash(b"another"))
            leaves = [*LEAVES[:index], leaf_hash(b"another"), *LEAVES[index + 1 : size]]
            assert kept.root == root_of(leaves)
            changed = {node for node in kept.nodes if kept.nodes[node] != before[node]}
            assert changed == {(level, at) for level, at in before if at == index >> level}


def test_a_root_or_a_replacement_reads_few_nodes_in_one_call() -> None:
    kept = grown(MOST)
    for ask, most in ((lambda: kept.root, 9), (lambda: kept.replace(0, LEAVES[1]), 9)):
        kept.calls = kept.asked = 0
        ask()
        assert kept.calls == 1
        assert kept.asked <= most


@pytest.mark.parametrize(("size", "index"), [(0, 0), (3, 3), (3, -1)])
def test_a_leaf_outside_the_tree_cannot_be_replaced(size: int, index: int) -> None:
    with pytest.raises(MalformedError) as caught:
        replaced(size, index, LEAVES[0], grown(size).read)
    assert caught.value.problem == f"there is no leaf {index} among {size}"


def test_no_tree_has_a_negative_size() -> None:
    for ask in (lambda: root(-1, Kept().read), lambda: appended(-1, LEAVES[0], Kept().read)):
        with pytest.raises(MalformedError) as caught:
            ask()
        assert caught.value.problem == "a tree has no size -1"
