"""A new signing key: in the right order, whatever breaks off; the old one's checkpoints stay good, and the new ones are."""

import subprocess
import sys
from pathlib import Path

import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.keys import signer_of
from ledger.bootstrap import OWNER, open_ledger, open_to_read
from ledger.errors import ConflictError, ForbiddenError, HeldError, InvalidError, KeyReusedError, RuleError
from ledger.events.key import Action, Key
from ledger.ports import Ledger
from ledger.proof.canonical import encode
from ledger.proof.signature import open_note, parse_vkey
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases.anchored import confirm_restored
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.prove import book_proof
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.rotate import KeyEnd, Why, keys_on_record, start_new_key
from ledger.usecases.verify import verify_ledger
from ledger.when import When
from tests.builders import a_purchase
from tests.usecases.keyed import a_ledger

ROOT = Path(__file__).parent.parent.parent
TODAY = When("2026-11-25")
REQUEST = Request(key="form a", body=b"rotate")


@pytest.fixture
def ledger(keyed_ledger: Ledger) -> Ledger:
    return keyed_ledger


def vkeys(ledger: Ledger) -> list[str]:
    return [each.period.vkey for each in keys_on_record(ledger, OWNER)]


def size(ledger: Ledger) -> int:
    with ledger.log.read() as reader:
        return reader.head().size


def files(settings: Settings) -> set[str]:
    return {path.name for path in Path(settings.keys).glob("*.key")}


def verdict_of_a_stranger(ledger: Ledger, folder: Path, vkey: str) -> int:
    """What `python -m ledger.proof` says of the first book's proof file, with a verifier key from elsewhere."""
    with ledger.log.read() as reader:
        book = reader.book_heads()[0].book
    file = folder / "proof.json"
    file.write_bytes(encode(book_proof(ledger, OWNER, book)))
    command = [sys.executable, "-m", "ledger.proof", str(file), "--key", vkey]
    return subprocess.run(command, cwd=ROOT, capture_output=True, check=False).returncode


# --- the key hands over -----------------------------------------------------------------------------------------------


def test_the_old_key_hands_over_and_the_new_one_signs(ledger: Ledger, settings: Settings) -> None:
    old = ledger.signer.verifier
    started = start_new_key(ledger, OWNER, Why(on=TODAY, remark=Sealed.of("a new machine")))
    (entry,) = started.recorded.entries
    assert isinstance(entry.event, Key)
    new = ledger.signer.verifier
    assert (entry.event.action, entry.event.vkey, entry.event.on) == (Action.ROTATE, new.vkey, TODAY)
    assert vkeys(ledger) == [old.vkey, new.vkey]
    assert keys_on_record(ledger, OWNER)[0].ended == KeyEnd(entry=entry, how=Action.ROTATE, handed_over=True)
    assert open_note(entry.event.handover or "", [old])
    assert started.checkpoint is not None
    assert (started.checkpoint.size, started.unsigned) == (3, "")
    assert open_note(started.checkpoint.note, [new])
    assert files(settings) == {
        f"{ledger.collection}.key",
        f"{ledger.collection}.{old.key_id.hex()}.key",
        f"{ledger.collection}.{new.key_id.hex()}.key",
    }


def test_everything_before_the_change_is_signed_by_the_old_key_first(ledger: Ledger) -> None:
    old = ledger.signer.verifier
    record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
    start_new_key(ledger, OWNER, Why())
    with ledger.log.read() as reader:
        *_, last_of_old, _first_of_new = reader.checkpoints()
    assert last_of_old.size == 3
    assert open_note(last_of_old.note, [old])


def test_verify_is_clean_from_either_key_and_after_two_changes(ledger: Ledger, settings: Settings) -> None:
    old = ledger.signer.verifier.vkey
    start_new_key(ledger, OWNER, Why())
    between = ledger.signer.verifier.vkey
    start_new_key(ledger, OWNER, Why())
    assert len(set(vkeys(ledger))) == 3
    anchor = last_checkpoint(ledger, OWNER)
    assert anchor is not None
    for vkey in (old, between, ledger.signer.verifier.vkey, None):
        with open_to_read(settings, vkey=vkey) as reading:
            report = verify_ledger(reading, OWNER, anchor=anchor.note)
            assert (report.findings, report.notes) == ([], [])


def test_a_stranger_takes_a_proof_made_afterwards_with_the_new_key_and_with_no_other(
    ledger: Ledger, tmp_path: Path
) -> None:
    old = ledger.signer.verifier.vkey
    assert verdict_of_a_stranger(ledger, tmp_path, old) == 0
    start_new_key(ledger, OWNER, Why())
    assert verdict_of_a_stranger(ledger, tmp_path, ledger.signer.verifier.vkey) == 0
    assert verdict_of_a_stranger(ledger, tmp_path, old) == 1


def test_the_next_start_signs_with_the_new_key(settings: Settings) -> None:
    with a_ledger(settings) as ledger:
        start_new_key(ledger, OWNER, Why())
        new = ledger.signer.verifier.vkey
    with open_ledger(settings) as again:
        assert again.signer.verifier.vkey == new
        record(again, OWNER, [Draft(event=a_purchase(), new_book=True)])
        assert open_note(sign_checkpoint(again, OWNER).note, [parse_vkey(new)])


def test_the_demo_changes_its_key_and_leaves_no_key_file(settings: Settings) -> None:
    with open_ledger(settings, seed=b"\x07" * 32) as ledger:
        start_new_key(ledger, OWNER, Why())
        assert len(vkeys(ledger)) == 2
        assert verify_ledger(ledger, OWNER).ok
    assert not Path(settings.keys).exists()


# --- what is refused --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("why", "error", "rule"),
    [
        (Why(action=Action.STOLEN, on=TODAY), InvalidError, "key.6"),
        (Why(action=Action.STOLEN, on=TODAY, stolen_since=When("2026-11-26")), InvalidError, "key.6"),
        (Why(action=Action.LOST, stolen_since=TODAY), InvalidError, "key.6"),
        (Why(action=Action.ROTATE, stolen_since=TODAY), InvalidError, "key.6"),
        (Why(action=Action.START), RuleError, "key.2"),
    ],
)
def test_what_cannot_stand_makes_no_key_and_writes_nothing(
    ledger: Ledger, settings: Settings, why: Why, error: type[InvalidError | RuleError], rule: str
) -> None:
    before, old = files(settings), ledger.signer.verifier.vkey
    with pytest.raises(error) as caught:
        start_new_key(ledger, OWNER, why)
    assert isinstance(caught.value, InvalidError | RuleError)
    assert [each.rule for each in caught.value.problems] == [rule]
    assert (files(settings), size(ledger), ledger.signer.verifier.vkey) == (before, 2, old)


@pytest.mark.parametrize("missing", [Permission.KEYS, Permission.SIGN, Permission.RECORD])
def test_who_may_not_do_all_of_it_does_none_of_it(ledger: Ledger, settings: Settings, missing: Permission) -> None:
    before = files(settings)
    with pytest.raises(ForbiddenError):
        start_new_key(ledger, Actor(id="x", scopes=frozenset(Permission) - {missing}), Why())
    assert (files(settings), size(ledger)) == (before, 2)


def test_a_request_sent_again_makes_no_second_key(ledger: Ledger, settings: Settings) -> None:
    first = start_new_key(ledger, OWNER, Why(), REQUEST)
    there = files(settings)
    again = start_new_key(ledger, OWNER, Why(), REQUEST)
    assert (again.recorded.entries, again.recorded.replayed) == (first.recorded.entries, True)
    assert again.checkpoint == first.checkpoint
    assert files(settings) == there
    with pytest.raises(KeyReusedError):
        start_new_key(ledger, OWNER, Why(action=Action.LOST), Request(key="form a", body=b"lost"))
    assert files(settings) == there


def test_a_key_recorded_from_elsewhere_is_not_made_up(ledger: Ledger, settings: Settings) -> None:
    elsewhere = signer_of(ledger.collection, b"\x09" * 32).verifier.vkey
    record(ledger, OWNER, [Draft(event=Key(action=Action.LOST, vkey=elsewhere))])
    with pytest.raises(ConflictError):
        start_new_key(ledger, OWNER, Why())
    with pytest.raises(ConflictError):
        sign_checkpoint(ledger, OWNER)
    started = start_new_key(ledger, OWNER, Why(action=Action.LOST))
    assert started.checkpoint is not None
    assert len(files(settings)) == 3


def test_an_older_state_that_was_put_back_is_not_signed_with_a_later_key_nor_with_an_earlier_one(
    settings: Settings, tmp_path: Path
) -> None:
    with a_ledger(settings):
        pass
    folder = Path(settings.folder)
    backup = tmp_path / "backup"
    backup.mkdir()
    for file in folder.glob("slipsheet.sqlite3*"):
        (backup / file.name).write_bytes(file.read_bytes())
    with open_ledger(settings) as ledger:
        start_new_key(ledger, OWNER, Why())
        new = ledger.signer.verifier.vkey
    for file in folder.glob("slipsheet.sqlite3*"):
        file.unlink()
    for file in backup.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    with open_ledger(settings) as ledger:
        assert ledger.signer.verifier.vkey == new
        with pytest.raises(HeldError, match="One is missing"):
            record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
        confirm_restored(ledger, OWNER)
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
        with pytest.raises(ConflictError):
            sign_checkpoint(ledger, OWNER)
        assert "key-differs" in [each.code for each in verify_ledger(ledger, OWNER).findings]
        started = start_new_key(ledger, OWNER, Why(action=Action.LOST))
        assert started.checkpoint is not None
        assert verify_ledger(ledger, OWNER).findings == []
    with open_ledger(settings) as ledger:
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
