"""Proofs over the tree: the published ones, damaged ones, and every place and size up to some hundred."""

from collections.abc import Iterator, Sequence
from typing import Any

import pytest

from ledger.proof.merkle import (
    EMPTY_ROOT,
    ProofError,
    consistency_proof,
    inclusion_proof,
    leaf_hash,
    root_from_inclusion,
    root_of,
    roots_from_consistency,
    verify_consistency,
    verify_inclusion,
)
from ledger.proof.report import LedgerError, MalformedError
from tests.proof.making import Kept
from tests.proof.vectors import each_in, each_of, hexed, load

TREE = load("merkle/tree.json")
PUBLISHED = hexed(TREE["leaves"])
ROOTS = hexed(TREE["roots"])
MOST = 300
LEAVES = [leaf_hash(b"entry %d" % number) for number in range(MOST)]


def kept_of(leaves: Sequence[bytes]) -> Kept:
    kept = Kept()
    for leaf in leaves:
        kept.append(leaf)
    return kept


KEPT = kept_of(LEAVES)


def path(place: int, leaves: Sequence[bytes]) -> list[bytes]:
    """The definition, word for word. Source: RFC 9162 section 2.1.3.1."""
    if len(leaves) == 1:
        return []
    middle = 1 << (len(leaves) - 1).bit_length() - 1
    if place < middle:
        return [*path(place, leaves[:middle]), root_of(leaves[middle:])]
    return [*path(place - middle, leaves[middle:]), root_of(leaves[:middle])]


def subproof(first: int, leaves: Sequence[bytes], whole: bool) -> list[bytes]:  # noqa: FBT001 - as the RFC has it
    """The definition, word for word. Source: RFC 9162 section 2.1.4.1."""
    if first == len(leaves):
        return [] if whole else [root_of(leaves)]
    middle = 1 << (len(leaves) - 1).bit_length() - 1
    if first <= middle:
        return [*subproof(first, leaves[:middle], whole), root_of(leaves[middle:])]
    return [*subproof(first - middle, leaves[middle:], whole=False), root_of(leaves[:middle])]


def verify(case: Any) -> None:
    proof = hexed(case["proof"])
    if "leaf" in case:
        leaf, root = hexed([case["leaf"], case["root"]])
        verify_inclusion(case["index"], case["size"], leaf, proof, root)
    else:
        first_root, second_root = hexed([case["first_root"], case["second_root"]])
        verify_consistency(case["first"], case["second"], proof, first_root, second_root)


def fields_of(error: LedgerError) -> dict[str, Any]:
    return {name: value.hex() if isinstance(value, bytes) else value for name, value in vars(error).items()}


@pytest.mark.parametrize("case", each_of("merkle/inclusion.json"))
def test_a_published_inclusion_proof_is_made_and_accepted(case: Any) -> None:
    index, size, proof = case[0], case[1], hexed(case[2])
    assert inclusion_proof(index, size, kept_of(PUBLISHED).read) == proof
    verify_inclusion(index, size, PUBLISHED[index], proof, ROOTS[size])


@pytest.mark.parametrize("case", each_of("merkle/consistency.json"))
def test_a_published_consistency_proof_is_made_and_accepted(case: Any) -> None:
    first, second, proof = case[0], case[1], hexed(case[2])
    assert consistency_proof(first, second, kept_of(PUBLISHED).read) == proof
    verify_consistency(first, second, proof, ROOTS[first], ROOTS[second])


@pytest.mark.parametrize("case", each_in("merkle/refused"))
def test_a_bad_proof_is_refused_for_its_reason(case: Any) -> None:
    with pytest.raises(MalformedError if case["error"] == "MalformedError" else ProofError) as caught:
        verify(case)
    found = fields_of(caught.value)
    names = {"problem", "where", "expected", "computed"} & case.keys()
    assert names
    assert {name: found[name] for name in names} == {name: case[name] for name in names}


@pytest.mark.parametrize("case", each_of("merkle/other-sizes.json", "inclusion"))
def test_an_inclusion_proof_does_not_bind_place_and_size(case: Any) -> None:
    index, size, other_index, other_size = case
    proof = inclusion_proof(index, size, kept_of(PUBLISHED).read)
    assert root_from_inclusion(other_index, other_size, PUBLISHED[index], proof) == ROOTS[size]


@pytest.mark.parametrize("case", each_of("merkle/other-sizes.json", "consistency"))
def test_a_consistency_proof_does_not_bind_the_sizes(case: Any) -> None:
    first, second, other_first, other_second = case
    proof = consistency_proof(first, second, kept_of(PUBLISHED).read)
    verify_consistency(other_first, other_second, proof, ROOTS[first], ROOTS[second])


def test_every_proof_up_to_64_is_the_one_of_the_definition() -> None:
    for size in range(1, 65):
        leaves = LEAVES[:size]
        for place in range(size):
            assert inclusion_proof(place, size, KEPT.read) == path(place, leaves)
        for first in range(1, size + 1):
            assert consistency_proof(first, size, KEPT.read) == subproof(first, leaves, whole=True)


def test_every_entry_of_every_size_is_proven_and_no_other_root_is() -> None:
    for size in range(1, MOST + 1):
        root = root_of(LEAVES[:size])
        places = range(size) if size <= 64 else {0, 1, size // 2, size * 7 // 9, size - 2, size - 1}
        for place in places:
            proof = inclusion_proof(place, size, KEPT.read)
            verify_inclusion(place, size, LEAVES[place], proof, root)
            with pytest.raises(ProofError) as caught:
                verify_inclusion(place, size, LEAVES[(place + 1) % MOST], proof, root)
            assert caught.value.expected == root != caught.value.computed


def test_every_pair_of_sizes_up_to_100_is_consistent() -> None:
    roots = [root_of(LEAVES[:size]) for size in range(101)]
    for second in range(101):
        for first in range(second + 1):
            proof = consistency_proof(first, second, KEPT.read)
            verify_consistency(first, second, proof, roots[first], roots[second])
            if 0 < first < second:
                assert roots_from_consistency(first, second, proof, roots[first]) == (roots[first], roots[second])


def test_a_changed_old_entry_breaks_consistency_and_names_the_older_list() -> None:
    old = [*LEAVES[:10], leaf_hash(b"as it was"), *LEAVES[11:20]]
    proof = consistency_proof(20, 33, KEPT.read)
    with pytest.raises(ProofError) as caught:
        verify_consistency(20, 33, proof, root_of(old), root_of(LEAVES[:33]))
    assert caught.value.what == "The older list of 20"
    assert caught.value.expected == root_of(old)
    assert caught.value.computed == root_of(LEAVES[:20])
    assert "not in the list that was signed" in str(caught.value)


def flips(hashes: Sequence[bytes]) -> Iterator[list[bytes]]:
    """The same hashes with one bit turned, for every bit of every hash."""
    for which, each in enumerate(hashes):
        for bit in range(256):
            turned = (int.from_bytes(each, "big") ^ 1 << bit).to_bytes(32, "big")
            yield [*hashes[:which], turned, *hashes[which + 1 :]]


def test_every_flipped_bit_of_a_proof_is_refused() -> None:
    size, place = 11, 6
    old_root, root = root_of(LEAVES[:place]), root_of(LEAVES[:size])
    for bad in flips(inclusion_proof(place, size, KEPT.read)):
        with pytest.raises(ProofError):
            verify_inclusion(place, size, LEAVES[place], bad, root)
    for bad in flips(consistency_proof(place, size, KEPT.read)):
        with pytest.raises(ProofError):
            verify_consistency(place, size, bad, old_root, root)


def test_a_proof_reads_few_nodes_in_one_call() -> None:
    kept = kept_of(LEAVES)
    for size in (1, 2, 3, 100, 255, 256, 257, MOST):
        for place in range(size):
            kept.calls = kept.asked = 0
            inclusion_proof(place, size, kept.read)
            consistency_proof(place, size, kept.read)
            assert kept.calls <= 2
            assert kept.asked <= 4 * size.bit_length()


def test_the_empty_list_is_continued_by_every_list() -> None:
    assert consistency_proof(0, 0, KEPT.read) == consistency_proof(0, 7, KEPT.read) == []
    verify_consistency(0, 0, [], EMPTY_ROOT, EMPTY_ROOT)
    verify_consistency(0, 7, [], EMPTY_ROOT, root_of(LEAVES[:7]))


@pytest.mark.parametrize(("first", "second"), [(-1, 3), (4, 3), (0, -1)])
def test_no_proof_is_made_for_sizes_that_do_not_follow(first: int, second: int) -> None:
    with pytest.raises(MalformedError) as caught:
        consistency_proof(first, second, KEPT.read)
    assert caught.value.problem == f"a list of {second} does not continue one of {first}"


@pytest.mark.parametrize(("index", "size"), [(0, 0), (3, 3), (-1, 3)])
def test_no_proof_is_made_for_an_entry_that_is_not_there(index: int, size: int) -> None:
    with pytest.raises(MalformedError) as caught:
        inclusion_proof(index, size, KEPT.read)
    assert caught.value.problem == f"there is no leaf {index} among {size}"
