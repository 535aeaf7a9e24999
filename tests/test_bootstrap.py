"""Where all parts meet: a first start, every later one, reading beside a writer, and what is refused on the way."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ledger.adapters.keys import NoKey, key_path, signer_of
from ledger.bootstrap import OWNER, open_ledger, open_to_read
from ledger.errors import BusyError, ClosedError, ConflictError, MalformedError, StoreError, UnfitStoreError
from ledger.settings import Settings
from ledger.store.engine import DATABASE
from ledger.usecases.record import Draft, record
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock
from tests.usecases.tampering import OTHER_SEED, SEED, a_bench, put_bytes, said_by, vkey_of
from tests.usecases.tampering import rewrite as rewritten


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))


def names(folder: str) -> list[str]:
    return sorted(path.name for path in Path(folder).rglob("*")) if Path(folder).exists() else []


def founded(settings: Settings) -> str:
    """A ledger that was started once; gives its collection."""
    with open_ledger(settings) as ledger:
        return ledger.collection


def test_a_new_folder_gets_a_collection_and_a_key_and_its_first_entry(settings: Settings) -> None:
    with open_ledger(settings) as ledger:
        assert len(ledger.collection) == 26
        assert names(settings.keys) == [f"{ledger.collection}.key"]
        with ledger.log.read() as reader:
            assert reader.head().size == 1
        assert ledger.key_claimed is False
        assert ledger.accounts is not None
        check_ledger(ledger)


def test_every_later_start_finds_the_same_collection_and_key(settings: Settings) -> None:
    with open_ledger(settings) as ledger:
        collection, vkey = ledger.collection, ledger.signer.verifier.vkey
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
    for make in (True, False):
        with open_ledger(settings, make=make) as ledger:
            assert (ledger.collection, ledger.signer.verifier.vkey) == (collection, vkey)
            with ledger.log.read() as reader:
                assert reader.head().size == 2
    assert names(settings.keys) == [f"{collection}.key"]


def test_two_folders_are_two_collections_with_two_keys(settings: Settings, tmp_path: Path) -> None:
    other = Settings(folder=str(tmp_path / "other"), keys=settings.keys)
    assert founded(settings) != founded(other)
    assert len(names(settings.keys)) == 2


def test_the_demo_brings_its_own_key_time_and_name_and_leaves_no_key_file(settings: Settings) -> None:
    def told(folder: str) -> list[bytes]:
        given = Settings(folder=folder, keys=settings.keys)
        made = {"clock": FakeClock(), "chance": FakeChance(), "seed": SEED, "collection": COLLECTION}
        with open_ledger(given, **made) as ledger:  # type: ignore[arg-type]  # a mixed bag by name
            assert ledger.collection == COLLECTION
            assert ledger.signer.verifier == signer_of(COLLECTION, SEED).verifier
            record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
            with ledger.log.read() as reader:
                return [each.data for each in reader.stored(1, 10)]

    assert told(settings.folder) == told(settings.folder + "-again")
    assert names(settings.keys) == []


def test_a_missing_key_file_is_never_made_anew(settings: Settings) -> None:
    path = key_path(Path(settings.keys), founded(settings))
    path.unlink()
    with pytest.raises(ConflictError) as caught, open_ledger(settings):
        pass
    assert f"The key file {path} is missing." in caught.value.sentence
    assert names(settings.keys) == []


def test_a_key_of_another_kind_opens_no_ledger_for_writing(settings: Settings) -> None:
    key_path(Path(settings.keys), founded(settings)).write_text("mislaid")
    with pytest.raises(MalformedError) as caught, open_ledger(settings):
        pass
    assert caught.value.problem == "it does not hold a key"


def test_a_key_folder_inside_the_data_folder_is_refused_and_the_next_start_is_a_first_one(settings: Settings) -> None:
    inside = Settings(folder=settings.folder, keys=str(Path(settings.folder) / "keys"))
    with pytest.raises(ConflictError) as caught, open_ledger(inside):
        pass
    assert "lies inside the data folder" in caught.value.sentence
    assert "keys" not in names(settings.folder)
    assert founded(settings)


def test_a_second_program_on_the_folder_is_told_who_has_it(settings: Settings) -> None:
    with open_ledger(settings), pytest.raises(BusyError) as caught, open_ledger(settings):
        pass
    assert caught.value.folder == settings.folder
    assert caught.value.owner.isdecimal()
    assert founded(settings)


def test_after_an_error_the_folder_is_free_again(settings: Settings) -> None:
    with pytest.raises(KeyError), open_ledger(settings):
        raise KeyError
    assert founded(settings)


def test_reading_goes_on_beside_a_writer_and_writes_nothing(settings: Settings) -> None:
    with open_ledger(settings) as writing, open_to_read(settings) as reading:
        record(writing, OWNER, [Draft(event=a_purchase(), new_book=True)])
        with reading.log.read() as reader:
            assert reader.head().size == 2
        with pytest.raises(ClosedError):
            record(reading, OWNER, [Draft(event=a_purchase(), new_book=True)])
        assert reading.accounts is None
        assert reading.signer.verifier == writing.signer.verifier


@pytest.mark.parametrize("there", ["nothing", "an empty folder", "a folder with something else"])
def test_a_folder_named_by_mistake_is_told_and_left_as_it_is(settings: Settings, there: str) -> None:
    if there != "nothing":
        Path(settings.folder).mkdir()
    if there == "a folder with something else":
        (Path(settings.folder) / "letter.txt").write_text("dear")
    before = names(settings.folder)
    sentence = f"There is no ledger in {settings.folder}. Name its folder with --folder."
    for opened in (open_to_read(settings), open_ledger(settings, make=False)):
        with pytest.raises(ConflictError) as caught, opened:
            pass
        assert caught.value.sentence == sentence
    assert names(settings.folder) == before
    assert names(settings.keys) == []


def test_a_database_of_another_program_is_refused_by_every_door_and_left_as_it_is(settings: Settings) -> None:
    Path(settings.folder).mkdir()
    path = Path(settings.folder) / DATABASE
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE recipe (words TEXT)")
    before = path.read_bytes()
    for opened in (open_to_read(settings), open_ledger(settings), open_ledger(settings, make=False)):
        with pytest.raises(UnfitStoreError) as caught, opened:
            pass
        assert caught.value.path == str(path)
    assert path.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_by_every_door_and_left_as_it_is(settings: Settings) -> None:
    Path(settings.folder).mkdir()
    path = Path(settings.folder) / DATABASE
    path.write_bytes(b"SQLite format 3\0" + bytes(4080))
    before = path.read_bytes()
    for opened in (open_to_read(settings), open_ledger(settings), open_ledger(settings, make=False)):
        with pytest.raises(StoreError) as caught, opened:
            pass
        assert caught.value.problem == "file is not a database"
    assert path.read_bytes() == before


def test_a_first_start_that_was_interrupted_is_finished_by_the_next(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("ledger.bootstrap.found", interrupted)
    with pytest.raises(KeyboardInterrupt), open_ledger(settings):
        pass
    monkeypatch.undo()
    with open_ledger(settings) as ledger:
        assert names(settings.keys) == [f"{ledger.collection}.key"]
        check_ledger(ledger)
        assert verify_ledger(ledger, OWNER).ok


def test_a_key_that_is_given_is_checked_with_whatever_the_key_file_says(settings: Settings) -> None:
    collection = founded(settings)
    other = signer_of(collection, OTHER_SEED).verifier
    with open_to_read(settings, vkey=other.vkey) as ledger:
        assert isinstance(ledger.signer, NoKey)
        assert (ledger.signer.verifier, ledger.key_claimed) == (other, False)
        assert [each.code for each in verify_ledger(ledger, OWNER).findings] == ["key-differs"]
    with pytest.raises(MalformedError) as caught, open_to_read(settings, vkey="mislaid"):
        pass
    assert caught.value.what == "The verifier key"


def test_with_no_key_at_hand_the_ledgers_own_claim_is_checked_and_said_to_be_one(tmp_path: Path) -> None:
    bench = a_bench(tmp_path)
    with open_to_read(bench.settings) as ledger:
        assert ledger.signer.verifier.vkey == vkey_of(SEED)
        report = verify_ledger(ledger, OWNER, anchor=bench.anchor)
    assert report.ok
    assert ["The key was taken from the ledger itself" in note for note in report.notes] == [True]


def test_a_ledger_that_claims_no_key_asks_for_one(tmp_path: Path) -> None:
    bench = a_bench(tmp_path)
    bench.behind_its_back(lambda db: put_bytes(db, 1, b"unreadable"))
    with pytest.raises(ConflictError) as caught, open_to_read(bench.settings):
        pass
    assert caught.value.sentence == "This ledger names no key. Give the one you know with --key."
    with open_to_read(bench.settings, vkey=vkey_of(SEED)) as ledger:
        assert not verify_ledger(ledger, OWNER).ok


def test_a_claimed_key_that_is_none_asks_for_a_better_one(tmp_path: Path) -> None:
    bench = a_bench(tmp_path)
    bench.behind_its_back(lambda db: rewritten(db, 1, body={**said_by(db, 1)["body"], "vkey": "x"}))
    with pytest.raises(ConflictError) as caught, open_to_read(bench.settings):
        pass
    assert caught.value.sentence.startswith("The key this ledger names cannot be used. The verifier key: ")
    assert caught.value.sentence.endswith("Give the one you know with --key.")


def test_a_guard_that_was_taken_away_is_put_back_when_asked_for_and_not_before(tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings):
        pass
    with closing(sqlite3.connect(tmp_path / "data" / "slipsheet.sqlite3")) as db:
        (name,) = db.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchone()
        db.execute(f"DROP TRIGGER {name}")
    for mend, missing in ((False, [name]), (True, [])):
        with open_ledger(settings, mend=mend) as ledger, ledger.log.read() as reader:
            assert reader.guards_missing() == missing
