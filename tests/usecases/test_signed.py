"""Which keys a verification believes: the one at hand, those a hand-over joins to it, and no other."""

import sqlite3

from ledger.adapters.keys import signer_of
from ledger.bootstrap import OWNER
from ledger.events.key import Action, Key, rotation_statement
from ledger.proof.report import Report
from ledger.usecases.record import Draft, record
from ledger.when import When
from tests.usecases.tampering import (
    COLLECTION,
    OTHER_SEED,
    SEED,
    Bench,
    another_signature,
    remake_from,
    rewrite,
    said_by,
    vkey_of,
)

THIRD_SEED = b"\x09" * 32


def rotated(bench: Bench, old: bytes = SEED, new: bytes = OTHER_SEED) -> None:
    """The old key hands over to the new one, which signs a checkpoint."""
    statement = rotation_statement(COLLECTION, vkey_of(old), vkey_of(new))
    handover = signer_of(COLLECTION, old).sign(statement)
    with bench.opened(old) as ledger:
        record(ledger, OWNER, [Draft(event=Key(action=Action.ROTATE, vkey=vkey_of(new), handover=handover))])
    bench.signed_anew(new)


def broken(bench: Bench, action: Action = Action.LOST) -> None:
    """A new key is in use, and the old one said nothing."""
    since = When("2025") if action is Action.STOLEN else None
    with bench.opened() as ledger:
        record(ledger, OWNER, [Draft(event=Key(action=action, vkey=vkey_of(OTHER_SEED), stolen_since=since))])
    bench.signed_anew(OTHER_SEED)


def codes(report: Report) -> list[str]:
    return [each.code for each in report.findings]


def test_after_a_hand_over_checkpoints_of_both_keys_hold_for_whoever_has_either(bench: Bench) -> None:
    rotated(bench)
    for seed in (SEED, OTHER_SEED):
        report = bench.verified(bench.anchor, seed=seed)
        assert report.findings == []
        assert report.checked["checkpoints"] == 3  # the anchor is one of them
        assert report.notes == []


def test_a_key_joined_by_two_hand_overs_is_believed_from_either_end(bench: Bench) -> None:
    rotated(bench)
    rotated(bench, OTHER_SEED, THIRD_SEED)
    for seed in (SEED, OTHER_SEED, THIRD_SEED):
        assert bench.verified(bench.anchor, seed=seed).findings == []


def test_a_damaged_checkpoint_of_the_earlier_key_is_still_named(bench: Bench) -> None:
    rotated(bench)
    remake_from(bench, 3, sign=False)
    assert "root-differs" in codes(bench.verified(seed=OTHER_SEED))


def test_checkpoints_from_before_a_lost_key_are_held_against_the_entries_and_said_to_be_weak(bench: Bench) -> None:
    broken(bench)
    report = bench.verified(bench.anchor, seed=OTHER_SEED)
    assert report.findings == []
    assert report.checked["checkpoints"] == 3
    weak = [note for note in report.notes if "was signed by a key that was lost, stolen or changed" in note]
    assert [note.split(" was signed")[0] for note in weak] == [
        "The checkpoint over 4 entries",
        "The checkpoint over 7 entries",
        "The checkpoint kept elsewhere",
    ]
    remake_from(bench, 3, sign=False)
    assert "root-differs" in codes(bench.verified(seed=OTHER_SEED))


def test_what_follows_a_break_is_not_believed_by_who_has_only_the_older_key(bench: Bench) -> None:
    broken(bench, Action.STOLEN)
    report = bench.verified(seed=SEED)
    assert [(each.code, each.sentence[:45]) for each in report.findings] == [
        ("checkpoint-forged", "The checkpoint over 8 entries is not one that")
    ]


def test_a_hand_over_that_the_old_key_never_signed_joins_nothing(bench: Bench) -> None:
    rotated(bench)

    def change(db: sqlite3.Connection) -> None:
        forged = another_signature(rotation_statement(COLLECTION, vkey_of(SEED), vkey_of(OTHER_SEED)))
        rewrite(db, 8, body={**said_by(db, 8)["body"], "handover": forged})
        db.execute("DELETE FROM checkpoint WHERE size = 8")

    bench.behind_its_back(change)
    bench.remade()
    bench.signed_anew(OTHER_SEED)
    report = bench.verified(seed=SEED)
    assert [(each.code, each.sentence[:45]) for each in report.findings] == [
        ("checkpoint-forged", "The checkpoint over 8 entries is not one that")
    ]


def test_a_key_that_the_ledger_does_not_name_signs_nothing_here(bench: Bench) -> None:
    report = bench.verified(seed=THIRD_SEED)
    assert codes(report) == ["key-differs", "checkpoint-forged", "checkpoint-forged"]
    assert report.findings[0].sentence == (
        "The ledger names another signing key than the one at hand: it was made anew, or this key is not its own."
    )
