"""A checkpoint is signed over all there is, never over less than before, never over something else, with the one key."""

import sqlite3
from contextlib import closing

import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.keys import NoKey, signer_of
from ledger.bootstrap import OWNER, open_to_read
from ledger.errors import ClosedError, ConflictError, DamagedError, ForbiddenError
from ledger.events.key import Action, Key, rotation_statement
from ledger.proof.checkpoint import parse
from ledger.proof.signature import open_note, parse_vkey
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.record import Draft, record
from tests.usecases.tampering import COLLECTION, OTHER_SEED, SEED, Bench, cut, put_bytes, remake_from, vkey_of


def signed_sizes(bench: Bench) -> list[int]:
    """The sizes of the checkpoints kept, as the database has them."""
    with closing(sqlite3.connect(bench.database)) as db:
        return [row[0] for row in db.execute("SELECT size FROM checkpoint ORDER BY no")]


def refused(bench: Bench, seed: bytes = SEED) -> str:
    """What is said instead of signing; nothing was kept of it."""
    before = signed_sizes(bench)
    with bench.opened(seed) as ledger, pytest.raises((ConflictError, DamagedError)) as caught:
        sign_checkpoint(ledger, OWNER)
    assert signed_sizes(bench) == before
    return str(caught.value)


def test_it_speaks_of_all_there_is_and_is_signed_by_the_key_in_use(bench: Bench) -> None:
    bench.noted("third look")
    note = bench.signed_anew()
    opened = open_note(note, [parse_vkey(vkey_of(SEED))])
    with bench.opened() as ledger, ledger.log.read() as reader:
        said = parse(opened.text)
        assert (said.size, said.heads_count) == (reader.head().size, reader.head().books) == (8, 2)
        last = reader.last_checkpoint()
    assert last
    assert last.note == note
    assert bench.verified(note).findings == []


def test_when_nothing_was_added_the_last_one_is_given_again(bench: Bench) -> None:
    assert bench.signed_anew() == bench.anchor
    assert signed_sizes(bench) == [4, 7]


def test_the_last_one_can_be_read_by_who_may_read(bench: Bench) -> None:
    with bench.opened() as ledger:
        last = last_checkpoint(ledger, Actor(id="x", scopes=frozenset({Permission.READ})))
        assert last
        assert last.note == bench.anchor
        with pytest.raises(ForbiddenError) as caught:
            sign_checkpoint(ledger, Actor(id="x", scopes=frozenset(Permission) - {Permission.SIGN}))
    assert caught.value.needs == "sign"


def test_nothing_is_signed_over_fewer_entries_than_before(bench: Bench) -> None:
    kept: list[tuple[object, ...]] = []
    bench.behind_its_back(lambda db: kept.extend(db.execute("SELECT * FROM checkpoint WHERE size = 7")))
    cut(bench, 6)
    bench.behind_its_back(lambda db: db.execute("INSERT INTO checkpoint VALUES (?, ?, ?, ?, ?)", kept[0]))
    assert refused(bench) == (
        "A checkpoint of 7 entries was signed and there are 6 now: entries are missing. Run verify before anything else."
    )


@pytest.mark.parametrize("more", [0, 1])
def test_nothing_is_signed_over_entries_that_are_not_the_ones_signed_before(bench: Bench, more: int) -> None:
    remake_from(bench, 3, sign=False)
    for number in range(more):
        bench.noted(f"look {number}")
    assert refused(bench) == "The first 7 entries are not the ones that were signed. Run verify before anything else."


def test_nothing_is_signed_over_other_last_entries_of_the_books(bench: Bench) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE node SET hash = zeroblob(32) WHERE tree = 'heads'"))
    assert refused(bench) == (
        "The last entries of the books are not the ones that were signed. Run verify, then rebuild."
    )


def test_nothing_is_signed_where_a_node_of_a_tree_is_missing(bench: Bench) -> None:
    bench.behind_its_back(lambda db: db.execute("DELETE FROM node WHERE tree = 'entries'"))
    assert refused(bench) == "The tree of entries: nodes of it are missing or changed. Run verify, then rebuild."


@pytest.mark.parametrize("size", [-1, 0, 6, 99, 2**62])
def test_nothing_is_signed_where_the_head_says_another_size(bench: Bench, size: int) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE head SET size = ?", (size,)))
    assert refused(bench) == (
        f"The head: it says that there are {size} entries, and that is not so. Run verify: it names all that is wrong."
    )


@pytest.mark.parametrize("damage", ["another key", "no checkpoint at all"])
def test_nothing_is_signed_after_a_checkpoint_that_is_not_this_ledgers(bench: Bench, damage: str) -> None:
    text = bench.anchor.split("\n\n", 1)[0] + "\n"
    note = signer_of(COLLECTION, OTHER_SEED).sign(text) if damage == "another key" else damage
    bench.behind_its_back(lambda db: db.execute("UPDATE checkpoint SET note = ? WHERE size = 7", (note,)))
    assert refused(bench) == (
        "The last checkpoint is not one that a key of this ledger signed. Run verify before anything else."
    )


def test_a_key_file_of_another_ledger_signs_nothing_here(bench: Bench) -> None:
    bench.noted("third look")
    assert refused(bench, OTHER_SEED) == (
        "The key file at hand is not the key in use. Put the right key file back, or record a new key first."
    )


def test_a_ledger_opened_for_reading_signs_nothing(bench: Bench) -> None:
    with open_to_read(bench.settings) as ledger:
        assert isinstance(ledger.signer, NoKey)
        with pytest.raises(ConflictError):
            ledger.signer.sign("text\n")
        with pytest.raises(ClosedError):
            sign_checkpoint(ledger, OWNER)


@pytest.mark.parametrize("handed_over", [True, False])
def test_a_new_key_goes_on_where_the_old_one_ended(bench: Bench, handed_over: bool) -> None:  # noqa: FBT001
    statement = rotation_statement(COLLECTION, vkey_of(SEED), vkey_of(OTHER_SEED))
    handover = signer_of(COLLECTION, SEED).sign(statement) if handed_over else None
    action = Action.ROTATE if handed_over else Action.LOST
    with bench.opened() as ledger:
        record(ledger, OWNER, [Draft(event=Key(action=action, vkey=vkey_of(OTHER_SEED), handover=handover))])
    assert refused(bench, SEED).startswith("The key file at hand is not the key in use.")
    note = bench.signed_anew(OTHER_SEED)
    assert parse(open_note(note, [parse_vkey(vkey_of(OTHER_SEED))]).text).size == 8
    assert signed_sizes(bench) == [4, 7, 8]
    # Also what the earlier key signed is held against the entries before anything is signed after it.
    bench.behind_its_back(lambda db: db.execute("DELETE FROM checkpoint WHERE size = 8"))
    remake_from(bench, 5, sign=False)
    assert "are not the ones that were signed" in refused(bench, OTHER_SEED)


def test_a_ledger_whose_key_entry_cannot_be_read_signs_nothing(bench: Bench) -> None:
    bench.behind_its_back(lambda db: put_bytes(db, 1, b"{}"))
    with bench.opened() as ledger, pytest.raises(DamagedError) as caught:
        sign_checkpoint(ledger, OWNER)
    assert caught.value.what == "Entry 1"
    assert signed_sizes(bench) == [4, 7]
