"""The tree over the books' last entries: whatever the order in which they move, it is the tree of the definition."""

import pytest

from ledger.proof.heads import Head, Heads
from ledger.proof.merkle import EMPTY_ROOT, inclusion_proof, leaf_hash, root_of, verify_inclusion
from tests.proof.making import BOOK_A, BOOK_C, Made, a_ledger


def by_definition(made: Made) -> bytes:
    heads = sorted(made.heads.values(), key=lambda head: head.book_no)
    return root_of(leaf_hash(head.to_bytes()) for head in heads)


def test_no_book_has_the_empty_root() -> None:
    assert (Heads().count, Heads().root) == (0, EMPTY_ROOT)


@pytest.mark.parametrize("every", [1, 2, 5, 40])
def test_the_root_is_that_of_the_definition_however_often_it_is_asked_for(every: int) -> None:
    made, heads = Made(), Heads()
    for number in range(1, 41):
        entry = made.write("note", f"book{(number * 7) % 11}")
        heads.move(entry, leaf_hash(made.entries[-1]))
        if number % every == 0:
            assert heads.root == made.heads_tree.root == by_definition(made)
    assert heads.count == 11


def test_a_head_is_proven_at_the_place_of_its_book_number() -> None:
    made = a_ledger()
    for head in made.heads.values():
        proof = inclusion_proof(head.book_no - 1, 3, made.heads_tree.read)
        verify_inclusion(head.book_no - 1, 3, leaf_hash(head.to_bytes()), proof, made.checkpoint.heads_root)
    assert made.heads[BOOK_A] == Head(BOOK_A, 1, 4, leaf_hash(made.entries[8]).hex())
    assert made.heads[BOOK_C].book_seq == 2


def test_a_book_keeps_the_number_it_had_first() -> None:
    made, heads = a_ledger(1), Heads()
    first = made.next_entry("purchase", BOOK_A)
    heads.move(first, b"\1" * 32)
    made.store(first)
    later = made.next_entry("note", BOOK_A)
    heads.move(later, b"\2" * 32)
    assert heads.by_book[BOOK_A] == Head(BOOK_A, 1, 2, "02" * 32)
