"""A collection begins with the entry of its key, once, however often it is opened."""

from concurrent.futures import ThreadPoolExecutor

from ledger.events.key import Key
from ledger.ports import Ledger
from ledger.usecases.found import found
from tests.check import check_ledger
from tests.usecases.telling import OWNER, Teller


def test_the_first_entry_names_the_key_at_hand(ledger: Ledger) -> None:
    started = found(ledger, OWNER)
    assert started
    (entry,) = started.entries
    assert isinstance(entry.event, Key)
    assert (entry.seq, entry.book, entry.event.vkey) == (1, None, ledger.signer.verifier.vkey)
    assert entry.event.action == "start"
    check_ledger(ledger)


def test_a_collection_that_has_entries_is_not_founded_again(teller: Teller) -> None:
    before = teller.kept()
    assert found(teller.ledger, OWNER) is None
    assert teller.kept() == before


def test_of_many_that_found_at_once_one_does(ledger: Ledger) -> None:
    with ThreadPoolExecutor(8) as people:
        list(people.map(lambda _: found(ledger, OWNER), range(16)))
    with ledger.log.read() as reader:
        assert reader.head().size == 1
