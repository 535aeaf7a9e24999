"""A backup is whole by itself, is taken beside a server that goes on writing, and leaves nothing half done."""

import sqlite3
from contextlib import closing
from itertools import pairwise
from pathlib import Path
from threading import Event, Thread

import pytest

from ledger.adapters.upkeep_file import FileUpkeep
from ledger.bootstrap import OWNER, key_at_hand, open_to_read
from ledger.errors import ConflictError
from ledger.events.erasure import Erasure
from ledger.keeping.backup import MANIFEST, UNFINISHED, back_up, picture_file
from ledger.keeping.restore import look_through
from ledger.manifest import DATABASE_FILE, parse
from ledger.proof.signature import open_note
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import current
from ledger.usecases.feed import calendar_at, feed_of, make_feed
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.counts import count
from tests.keeping.conftest import House, buy, picture
from tests.keeping.failing import WAYS, Failing, Way

CANARY = "Wilhelmina Canary"


def files(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def test_it_holds_the_database_every_photograph_and_a_manifest_that_the_key_signed(house: House) -> None:
    made = back_up(house.settings, house.backups)
    assert (made.size, made.pictures, made.new_pictures) == (5, 4, 4)
    assert made.report.findings == []
    assert made.report.checked["photographs"] == 4
    note = (made.folder / MANIFEST).read_text("utf-8")
    with house.opened() as ledger, ledger.log.read() as reader:
        key, state = ledger.signer.verifier, current(reader)
    manifest = parse(open_note(note, [key]).text)
    assert manifest.state == state
    names = {each.name for each in manifest.files}
    assert {name for name in names if name != DATABASE_FILE} == {
        name for name in files(house.backups) if name.startswith("pictures/")
    }
    assert files(made.folder) == {DATABASE_FILE, MANIFEST}


def test_no_calendar_address_is_in_it_for_it_may_have_been_renewed_since(house: House) -> None:
    with house.opened() as ledger:
        secret = make_feed(ledger, OWNER, titles=True)
        feed = feed_of(ledger, OWNER)
    assert feed is not None
    made = back_up(house.settings, house.backups)
    assert made.report.ok
    assert feed.hashed.encode() not in (made.folder / DATABASE_FILE).read_bytes()
    with house.opened() as ledger:
        assert calendar_at(ledger, secret)


def test_a_photograph_is_copied_once(house: House) -> None:
    first = back_up(house.settings, house.backups)
    again = back_up(house.settings, house.backups.with_name("other"))
    assert (first.new_pictures, again.new_pictures) == (4, 4)
    with house.opened() as ledger:
        picture(ledger, buy(ledger), "green")
    _later(house)
    second = back_up(house.settings, house.backups)
    assert (second.pictures, second.new_pictures) == (6, 2)
    assert second.report.ok


def _later(house: House) -> None:
    """Backups are named by the second; the one that was made is now from before."""
    (made,) = (path for path in house.backups.iterdir() if (path / MANIFEST).exists())
    made.rename(made.with_name("2000-01-01T000000Z"))


def test_a_photograph_that_was_changed_in_the_backup_is_copied_anew(house: House) -> None:
    back_up(house.settings, house.backups)
    (changed,) = sorted((house.backups / "pictures").rglob("??/*"))[:1]
    changed.write_bytes(b"other")
    _later(house)
    again = back_up(house.settings, house.backups)
    assert again.new_pictures == 1
    assert again.report.ok


def test_it_is_of_one_moment_while_others_go_on_writing(house: House) -> None:
    done = Event()

    with house.opened() as ledger:

        def write() -> None:
            while not done.is_set():
                picture(ledger, buy(ledger), "blue")

        writer = Thread(target=write)
        writer.start()
        try:
            made = [back_up(house.settings, house.backups / str(number)) for number in range(count(3, 200))]
        finally:
            done.set()
            writer.join()
    assert not any(each.report.findings for each in made)
    sizes = [each.size for each in made]
    assert sizes[0] >= 5
    assert all(one < other for one, other in pairwise(sizes))


def test_what_is_missing_at_the_source_is_told_and_the_rest_is_kept(plain_house: House) -> None:
    gone = next((Path(plain_house.settings.folder) / "pictures").glob("??/*"))
    gone.unlink()
    made = back_up(plain_house.settings, plain_house.backups)
    assert [each.code for each in made.report.findings] == ["picture-missing"]
    assert (made.folder / MANIFEST).exists()


def test_it_has_no_write_ahead_log_and_nobodys_session(plain_house: House) -> None:
    with plain_house.opened() as ledger:
        accounts = ledger.accounts
        assert accounts is not None
        made = back_up(plain_house.settings, plain_house.backups)
    with closing(sqlite3.connect(made.folder / DATABASE_FILE)) as copy:
        assert copy.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert copy.execute("SELECT count(*) FROM session").fetchone() == (0,)
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_what_was_erased_is_in_no_new_backup(house: House) -> None:
    with house.opened() as ledger:
        told = record(ledger, OWNER, [Draft(event=a_purchase(seller=Sealed.of(CANARY)), new_book=True)]).entries[0]
        before = back_up(house.settings, house.backups / "before")
        assert CANARY.encode() in (before.folder / DATABASE_FILE).read_bytes()
        record(ledger, OWNER, [Draft(event=Erasure(entry=told.seq, names=("seller",)), book=told.book)])
        after = back_up(house.settings, house.backups / "after")
    assert CANARY.encode() not in (after.folder / DATABASE_FILE).read_bytes()
    assert after.report.ok


@pytest.mark.parametrize("inside", ["data", "keys", "data/deeper"])
def test_it_does_not_lie_where_it_would_be_lost_with_the_ledger(plain_house: House, inside: str) -> None:
    with pytest.raises(ConflictError, match="Name another folder"):
        back_up(plain_house.settings, plain_house.around / inside)


def test_without_the_key_there_is_none(plain_house: House) -> None:
    (plain_house.around / "keys").rename(plain_house.around / "gone")
    with pytest.raises(ConflictError, match="--keys"):
        back_up(plain_house.settings, plain_house.backups)
    assert not plain_house.backups.exists()


def test_when_the_last_one_was_is_noted(house: House) -> None:
    made = back_up(house.settings, house.backups)
    noted = FileUpkeep(Path(house.settings.folder)).read()
    assert noted.backup is not None
    assert (noted.backup.when, noted.backup.place, noted.backup.size, noted.backup.whole) == (
        made.made,
        str(made.folder),
        5,
        True,
    )


@pytest.mark.long
@pytest.mark.parametrize("way", WAYS)
def test_whatever_call_fails_no_half_backup_bears_a_name_and_the_ledger_is_untouched(
    plain_house: House, way: Way
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        counted = Failing(patch)
        back_up(plain_house.settings, plain_house.backups / "counted")
    seen = set()
    for at in range(1, counted.count + 1):
        folder = plain_house.backups / f"{way} {at}"
        with pytest.MonkeyPatch.context() as patch:
            failing = Failing(patch, at, way)
            try:
                back_up(plain_house.settings, folder)
            except OSError as error:
                assert error.strerror == "Input/output error"  # noqa: PT017 - it may also have been made
        seen.add(failing.failed)
        whole = [path for path in folder.glob("*") if path.name != "pictures"]
        assert not [path for path in whole if path.name.startswith(UNFINISHED)], failing.failed
        for path in whole:
            # It may be there, where only the word of it failed; then it is whole.
            assert look_through(path, plain_house.settings).trusted
    assert seen >= {"write", "fsync", "replace", "rename"}
    with open_to_read(plain_house.settings) as ledger, ledger.log.read() as reader:
        assert reader.head().size == 5
    assert key_at_hand(plain_house.settings, ledger.collection) is not None


def test_a_photographs_place_in_it_is_its_digest() -> None:
    assert picture_file("ab" * 32) == f"pictures/ab/{'ab' * 32}"
