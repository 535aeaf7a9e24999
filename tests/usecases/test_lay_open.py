"""An entry laid open: its bytes, its digests, its chain, what was written together with it, and its proof."""

from dataclasses import replace

import pytest

from ledger.actor import Actor
from ledger.errors import ForbiddenError, NotFoundError
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.proof import merkle
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.found import found
from ledger.usecases.lay_open import bytes_of, lay_open
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, an_examination

OWNER = Actor(id="owner")


def a_note() -> Note:
    return Note(words=Sealed.of("Looked in on it."))


@pytest.fixture
def book(ledger: Ledger) -> str:
    """A book of entries 2 to 4, the last two written together, in a founded ledger."""
    found(ledger, OWNER)
    written = record(ledger, OWNER, [Draft(event=a_purchase(seller=Sealed.of("A. Vendor")), new_book=True)]).entries[0]
    assert written.book is not None
    record(ledger, OWNER, [Draft(event=each, book=written.book) for each in (an_examination(), a_note())])
    return written.book


def test_its_bytes_hash_to_its_leaf_and_its_proof_leads_to_the_root(ledger: Ledger, book: str) -> None:
    laid = lay_open(ledger, OWNER, 3)
    assert merkle.leaf_hash(laid.data).hex() == laid.entry.leaf
    merkle.verify_inclusion(2, 4, bytes.fromhex(laid.entry.leaf), laid.proof.proof, laid.proof.root)
    assert laid.proof.size == 4
    assert laid.checkpoint is None


def test_it_is_proven_under_the_checkpoint_that_covers_it(ledger: Ledger, book: str) -> None:
    signed = sign_checkpoint(ledger, OWNER)
    record(ledger, OWNER, [Draft(event=a_note(), book=book)])
    covered, newer = lay_open(ledger, OWNER, 4), lay_open(ledger, OWNER, 5)
    assert covered.checkpoint == signed
    assert covered.proof.size == 4
    assert newer.checkpoint is None
    assert newer.proof.size == 5


def test_its_book_its_chain_and_its_act_come_with_it(ledger: Ledger, book: str) -> None:
    laid = lay_open(ledger, OWNER, 4)
    assert laid.row is not None
    assert (laid.row.book, laid.row.entries) == (book, 3)
    assert sorted(each.entry.seq for each in laid.moments) == [2, 3, 4]
    assert [each.seq for each in laid.act] == [3, 4]
    assert laid.moment.entry.seq == 4


def test_an_entry_of_the_collection_itself_has_no_book(ledger: Ledger, book: str) -> None:
    laid = lay_open(ledger, OWNER, 1)
    assert laid.row is None
    assert [each.entry.seq for each in laid.moments] == [1]
    assert laid.entry.event.kind == "key"


def test_every_sealed_field_has_its_digest_the_empty_ones_too(ledger: Ledger, book: str) -> None:
    laid = lay_open(ledger, OWNER, 2)
    assert set(laid.digests) == set(laid.entry.event.sealed_fields())
    assert all(len(digest) == 43 for digest in laid.digests.values())  # SHA-256 in base64url: RFC 4648 section 5


def test_an_entry_that_is_not_there_is_not_found(ledger: Ledger, book: str) -> None:
    for ask in (lay_open, bytes_of):
        with pytest.raises(NotFoundError) as refused:
            ask(ledger, OWNER, 99)
        assert (refused.value.what, refused.value.name) == ("entry", "99")


def test_only_who_may_read_sees_it(ledger: Ledger, book: str) -> None:
    nobody = replace(OWNER, scopes=frozenset())
    for ask in (lay_open, bytes_of):
        with pytest.raises(ForbiddenError):
            ask(ledger, nobody, 2)


def test_bytes_are_handed_out_as_they_lie_there(ledger: Ledger, book: str) -> None:
    assert bytes_of(ledger, OWNER, 2) == lay_open(ledger, OWNER, 2).data
