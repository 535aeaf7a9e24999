"""Signing keys: their rules, the hand-over that the old key signs, what they leave, their line."""

from typing import Any

import pytest

from ledger.collection import Collection, KeyPeriod
from ledger.errors import Problem
from ledger.events import Event
from ledger.events.key import Action, Key, rotation_statement
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold_collection, history, verdict
from ledger.proof.keys import COSIGNATURE, VerifierKey
from ledger.proof.signature import SigningKey
from tests.builders import CODEC, an_entry, at, on, shut

NAME = "example.org/ledger"
HOUSE = "c-1"
# Seeds of RFC 8032 section 7.1, TEST 1 to TEST 3.
OLD = SigningKey.from_seed(NAME, bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"))
NEW = SigningKey.from_seed(NAME, bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb"))
THIRD = SigningKey.from_seed(NAME, bytes.fromhex("c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7"))
FIRST = KeyPeriod(vkey=OLD.verifier.vkey, started_by=1, signed_by_old=False)
STARTED = Collection(id=HOUSE, keys=(FIRST,))


def key(action: Action, signer: SigningKey = NEW, when: str | None = "2025-01-01", **changes: Any) -> Key:
    return Key(**{"on": on(when), "action": action, "vkey": signer.verifier.vkey, **changes})


def rotated(**changes: Any) -> Key:
    said = rotation_statement(HOUSE, OLD.verifier.vkey, NEW.verifier.vkey)
    return key(Action.ROTATE, **{"handover": OLD.sign(said), **changes})


def broken_rules(event: Event, collection: Collection = STARTED) -> list[tuple[str, str, tuple[int, ...]]]:
    found: list[Problem] = [*event.flaws(), *event.check_collection(collection)]
    return [(problem.rule, problem.field, problem.entries) for problem in found]


def test_the_statement_of_a_hand_over_is_four_lines() -> None:
    assert rotation_statement("c", "old", "new") == "slipsheet key rotation\nc\nold\nnew\n"


def test_the_key_of_the_worked_example_is_read_and_one_changed_digit_is_not() -> None:
    # The public key of RFC 8032 section 7.1, TEST 1, as section 9 of FORMAT.md writes it.
    written = "examplecollectionforproofs.slipsheet.invalid+0d3ac544+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea"
    assert broken_rules(key(Action.START, vkey=written), Collection(id=HOUSE)) == []
    changed = written.replace("0d3ac544", "0d3ac545")
    assert broken_rules(key(Action.START, vkey=changed), Collection(id=HOUSE)) == [("key.1", "vkey", ())]


def test_a_key_for_cosignatures_does_not_sign_a_ledger() -> None:
    witness = VerifierKey.of("example.org/witness", OLD.verifier.public, COSIGNATURE)
    assert broken_rules(key(Action.START, vkey=witness.vkey), Collection(id=HOUSE)) == [("key.1", "vkey", ())]


def test_the_first_key_is_started_and_only_once() -> None:
    assert broken_rules(key(Action.START), Collection(id=HOUSE)) == []
    assert broken_rules(key(Action.START)) == [("key.2", "action", (1,))]


@pytest.mark.parametrize("action", [Action.ROTATE, Action.LOST, Action.STOLEN])
def test_every_other_act_follows_a_key_in_use(action: Action) -> None:
    since = on("2024-12-01") if action is Action.STOLEN else None
    event = key(action, stolen_since=since)
    assert broken_rules(event, Collection(id=HOUSE)) == [("key.2", "action", ())]
    assert broken_rules(event) == []


def test_a_key_comes_into_use_once() -> None:
    assert broken_rules(key(Action.LOST, OLD)) == [("key.3", "vkey", (1,))]


@pytest.mark.parametrize("action", [Action.START, Action.LOST])
def test_only_a_rotation_is_handed_over(action: Action) -> None:
    before = Collection(id=HOUSE) if action is Action.START else STARTED
    said = rotated().handover
    assert broken_rules(key(action, handover=said), before) == [("key.4", "handover", ())]


def test_a_rotation_signed_by_the_key_in_use_breaks_no_rule() -> None:
    assert broken_rules(rotated()) == []


OTHERS = {
    "signed by the new key": NEW.sign(rotation_statement(HOUSE, OLD.verifier.vkey, NEW.verifier.vkey)),
    "another new key": OLD.sign(rotation_statement(HOUSE, OLD.verifier.vkey, THIRD.verifier.vkey)),
    "another old key": OLD.sign(rotation_statement(HOUSE, THIRD.verifier.vkey, NEW.verifier.vkey)),
    "another collection": OLD.sign(rotation_statement("c-2", OLD.verifier.vkey, NEW.verifier.vkey)),
    "one line": OLD.sign("slipsheet key rotation\n"),
    "a line more": OLD.sign(rotation_statement(HOUSE, OLD.verifier.vkey, NEW.verifier.vkey) + "and more\n"),
    "changed after signing": (rotated().handover or "").replace("slipsheet", "Slipsheet"),
    "no note": "slipsheet key rotation",
}


@pytest.mark.parametrize("handover", OTHERS.values(), ids=OTHERS)
def test_a_hand_over_that_is_not_this_one_signed_by_the_key_in_use_is_refused(handover: str) -> None:
    assert broken_rules(rotated(handover=handover)) == [("key.5", "handover", (1,))]


def test_an_old_hand_over_is_refused_once_another_key_is_in_use() -> None:
    later = key(Action.LOST, THIRD).apply_collection(STARTED, at(4))
    assert broken_rules(rotated(), later) == [("key.5", "handover", (4,))]


def test_a_theft_says_since_when_and_nothing_else_does() -> None:
    assert broken_rules(key(Action.STOLEN)) == [("key.6", "stolen_since", ())]
    assert broken_rules(key(Action.LOST, stolen_since=on("2024"))) == [("key.6", "stolen_since", ())]


def test_a_theft_is_not_written_for_a_day_before_it() -> None:
    late = key(Action.STOLEN, stolen_since=on("2025-01-02"))
    assert broken_rules(late) == [("key.6", "stolen_since", ())]


def test_a_signed_rotation_is_no_break_and_an_unsigned_one_is() -> None:
    signed, unsigned = rotated(), rotated(handover=None)
    assert broken_rules(unsigned) == []
    for event, by_old in ((signed, True), (unsigned, False)):
        after = event.apply_collection(STARTED, at(7))
        assert after.key == KeyPeriod(vkey=NEW.verifier.vkey, started_by=7, signed_by_old=by_old)
        assert after.keys[0].ended_by == 7


def test_a_stolen_key_ends_with_the_day_it_may_have_been_taken() -> None:
    event = key(Action.STOLEN, stolen_since=on("2024-12-24"))
    after = event.apply_collection(STARTED, at(7))
    assert (after.keys[0].ended_by, after.keys[0].stolen_since) == (7, on("2024-12-24"))
    assert after.key is not None
    assert (after.key.signed_by_old, after.key.stolen_since) == (False, None)


def test_the_keys_of_a_ledger_go_by_one_name() -> None:
    other = SigningKey.from_seed("example.org/else", bytes(32))
    assert broken_rules(key(Action.LOST, other)) == [("key.7", "vkey", (1,))]


def test_keys_follow_one_another_as_they_were_recorded_whatever_dates_they_give() -> None:
    entries = [
        an_entry(key(Action.START, OLD, None), 1, book=None),
        an_entry(rotated(on=on("2025-06-01")), 2, book=None),
    ]
    lost = an_entry(key(Action.LOST, THIRD, "2025-03-01"), 3, book=None)
    assert verdict(entries, lost, CODEC, HOUSE) == ([], [])
    after = fold_collection(HOUSE, history([*entries, lost], CODEC))
    assert after.key is not None
    assert after.key.vkey == THIRD.verifier.vkey
    assert [each.ended_by for each in after.keys] == [2, 3, None]


def test_a_key_without_a_date_is_not_warned_of() -> None:
    entries = [an_entry(key(Action.START, OLD, None), 1, book=None)]
    assert verdict(entries, an_entry(key(Action.LOST, NEW, None), 2, book=None), CODEC, HOUSE) == ([], [])


def test_a_chain_of_keys_is_checked_and_folded_and_cannot_be_unsaid() -> None:
    entries = [
        an_entry(key(Action.START, OLD, "2024-01-01"), 1, book=None),
        an_entry(rotated(), 2, book=None),
    ]
    assert verdict(entries[:1], entries[1], CODEC) == ([], [])
    assert [each.signed_by_old for each in fold_collection(HOUSE, history(entries, CODEC)).keys] == [False, True]
    refused, _ = verdict(entries, an_entry(Withdrawal(on=on("2025-02-01"), entry=2), 3, book=None), CODEC)
    assert [problem.rule for problem in refused] == ["withdrawal.3"]


def test_its_line_tells_a_break_as_one() -> None:
    assert key(Action.START).summary() == "Key started"
    assert shut(rotated()).summary() == "Key rotated, signed by the old key"
    assert rotated(handover=None).summary() == "Key rotated without the old key's signature: a break"
    assert key(Action.LOST).summary() == "Key lost, a new one started: a break"
    stolen = key(Action.STOLEN, stolen_since=on("2024-12"))
    assert stolen.summary() == "Key stolen since December 2024, a new one started: a break"
