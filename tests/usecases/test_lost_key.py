"""A key that is lost or stolen: said to be so, and the ledger goes on with a new one, also without the old one's file."""

from pathlib import Path

import pytest

from ledger.adapters.keys import key_path
from ledger.bootstrap import OWNER, open_ledger
from ledger.errors import ConflictError, MalformedError
from ledger.events.key import Action
from ledger.ports import Ledger
from ledger.proof.signature import open_note
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, record
from ledger.usecases.rotate import KeyEnd, Why, keys_on_record, start_new_key
from ledger.usecases.verify import verify_ledger
from ledger.when import When
from tests.builders import a_purchase
from tests.usecases.keyed import a_ledger
from tests.usecases.test_rotate import TODAY, files


@pytest.fixture
def ledger(keyed_ledger: Ledger) -> Ledger:
    return keyed_ledger


@pytest.mark.parametrize(
    ("action", "since"), [(Action.LOST, None), (Action.STOLEN, When("2026-10")), (Action.STOLEN, TODAY)]
)
def test_a_lost_or_stolen_key_is_said_to_be_one_and_hands_nothing_over(
    ledger: Ledger, action: Action, since: When | None
) -> None:
    started = start_new_key(ledger, OWNER, Why(action=action, on=TODAY, stolen_since=since))
    first, second = keys_on_record(ledger, OWNER)
    assert (second.event.handover, second.event.stolen_since) == (None, since)
    assert first.ended == KeyEnd(entry=started.recorded.entries[0], how=action, handed_over=False)
    assert (first.period.stolen_since, second.period.signed_by_old) == (since, False)
    assert second.ended is None
    assert started.checkpoint is not None
    assert open_note(started.checkpoint.note, [ledger.signer.verifier])


def test_a_ledger_whose_key_file_is_lost_goes_on_with_a_new_key(settings: Settings) -> None:
    with a_ledger(settings) as ledger:
        path, old = key_path(Path(settings.keys), ledger.collection), ledger.signer.verifier.vkey
    path.unlink()
    with open_ledger(settings, lost_key=True) as ledger:
        assert (ledger.signer.verifier.vkey, ledger.signer.at_hand) == (old, False)
        notes = " ".join(verify_ledger(ledger, OWNER).notes)
        assert "The key was taken from the ledger itself" in notes
        with pytest.raises(ConflictError) as caught:
            start_new_key(ledger, OWNER, Why())
        assert caught.value.sentence.startswith("The key at hand is not the key in use, so it cannot hand over.")
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
        with pytest.raises(ConflictError):
            sign_checkpoint(ledger, OWNER)
        started = start_new_key(ledger, OWNER, Why(action=Action.LOST))
        assert started.checkpoint is not None
        report = verify_ledger(ledger, OWNER)
        assert report.findings == []
        assert "The key was taken from the ledger itself" not in " ".join(report.notes)
    with open_ledger(settings) as again:
        assert (again.signer.at_hand, again.key_claimed) == (True, False)
        assert verify_ledger(again, OWNER).findings == []


def test_a_key_file_that_cannot_be_read_is_a_lost_one_only_where_that_is_said(settings: Settings) -> None:
    with a_ledger(settings) as ledger:
        path = key_path(Path(settings.keys), ledger.collection)
    path.write_text("mislaid")
    with pytest.raises(MalformedError), open_ledger(settings):
        pass
    with open_ledger(settings, lost_key=True) as ledger:
        assert ledger.signer.at_hand is False
        start_new_key(ledger, OWNER, Why(action=Action.LOST))
    assert [name for name in files(settings) if "unread" in name]
    with open_ledger(settings) as ledger:
        assert verify_ledger(ledger, OWNER).findings == []


def test_a_key_that_is_there_is_not_taken_for_lost(settings: Settings) -> None:
    with a_ledger(settings) as ledger:
        old = ledger.signer.verifier.vkey
    with open_ledger(settings, lost_key=True) as ledger:
        assert (ledger.signer.verifier.vkey, ledger.signer.at_hand, ledger.key_claimed) == (old, True, False)


def test_a_lost_key_does_not_open_a_key_folder_inside_the_data(settings: Settings) -> None:
    with a_ledger(settings):
        pass
    inside = Settings(folder=settings.folder, keys=str(Path(settings.folder) / "keys"))
    with pytest.raises(ConflictError) as caught, open_ledger(inside, lost_key=True):
        pass
    assert "lies inside the data folder" in caught.value.sentence
