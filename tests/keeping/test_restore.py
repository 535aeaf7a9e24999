"""A backup is looked through whole and put into an empty place, on either store; a rewind is never silent."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.adapters.anchors import FileAnchor, anchor_path
from ledger.adapters.keys import signer_of
from ledger.adapters.upkeep_file import FileUpkeep
from ledger.bootstrap import OWNER, open_ledger, open_to_read
from ledger.errors import ConflictError, HeldError, LedgerError
from ledger.events.restored import Restored
from ledger.keeping.backup import MANIFEST, Backup, back_up
from ledger.keeping.drill import drill
from ledger.keeping.restore import look_through, restore
from ledger.manifest import DATABASE_FILE
from ledger.proof.report import Report
from ledger.settings import Settings
from ledger.usecases.anchored import Against, confirm_restored, standing
from ledger.usecases.checkpoint import current, sign_checkpoint
from ledger.usecases.verify import verify_ledger
from tests.check import check_ledger
from tests.keeping.conftest import House, buy
from tests.keeping.failing import WAYS, Failing, Way
from tests.postgres import empty_database
from tests.usecases.tampering import OTHER_SEED


def state_of(settings: Settings) -> object:
    with open_to_read(settings) as ledger, ledger.log.read() as reader:
        return current(reader), list(reader.listings()), [reader.sealed(seq) for seq in range(1, 6)]


def test_it_comes_back_the_same_from_either_store_onto_either(house: House) -> None:
    back_up(house.settings, house.backups)
    before = state_of(house.settings)
    with empty_database() as database:
        for place in (house.elsewhere("folder"), house.elsewhere("server", database.application)):
            done = restore(house.backups, place)
            assert done.report.findings == []
            assert (done.found.trusted, done.standing.against) == (True, Against.COVERED)
            assert state_of(place) == before
            with open_ledger(place) as ledger:
                buy(ledger)
                check_ledger(ledger)


def test_the_newest_of_several_is_taken(plain_house: House) -> None:
    first = back_up(plain_house.settings, plain_house.backups)
    first.folder.rename(first.folder.with_name("2000-01-01T000000Z"))
    with plain_house.opened() as ledger:
        buy(ledger)
    back_up(plain_house.settings, plain_house.backups)
    assert look_through(plain_house.backups, plain_house.settings).manifest.state.size == 6
    old = look_through(plain_house.backups / "2000-01-01T000000Z", plain_house.settings)
    assert old.manifest.state.size == 5


def backed_up(house: House) -> tuple[Backup, Settings]:
    return back_up(house.settings, house.backups), house.elsewhere("back")


def test_a_restore_behind_the_anchor_is_read_only_until_the_owner_confirms_it(house: House) -> None:
    _, place = backed_up(house)
    with house.opened() as ledger:
        for _ in range(3):
            buy(ledger)
        sign_checkpoint(ledger, OWNER)
    done = restore(house.backups, place)
    assert (done.standing.against, done.standing.missing) == (Against.BEHIND, 3)
    with open_ledger(place) as ledger:
        with pytest.raises(HeldError, match="3 are missing"):
            buy(ledger)
        with pytest.raises(HeldError):
            sign_checkpoint(ledger, OWNER)
        assert "entries-cut" in {each.code for each in _verified(place).findings}
        seq = confirm_restored(ledger, OWNER, "the disk broke")
        with ledger.log.read() as reader:
            event = reader.entry(seq).event
        assert isinstance(event, Restored)
        assert (event.missing, event.anchor_size, event.restored_size) == (3, 8, 5)
        buy(ledger)
        with pytest.raises(ConflictError, match="Nothing is missing"):
            confirm_restored(ledger, OWNER)
    with open_ledger(place) as ledger:
        buy(ledger)
        assert standing(ledger).against is Against.COVERED
    assert _verified(place).findings == []


def _verified(settings: Settings) -> Report:
    with open_to_read(settings) as ledger:
        assert ledger.anchor is not None
        return verify_ledger(ledger, OWNER, anchor=ledger.anchor.read())


def test_a_restore_where_no_anchor_is_at_hand_waits_for_the_owner_too(plain_house: House) -> None:
    _, place = backed_up(plain_house)
    (anchor,) = (plain_house.around / "keys").glob("*.anchor")
    anchor.unlink()
    assert restore(plain_house.backups, place).standing.against is Against.PUT_BACK
    with open_ledger(place) as ledger:
        with pytest.raises(HeldError, match="no checkpoint kept outside it is at hand"):
            buy(ledger)
        seq = confirm_restored(ledger, OWNER)
        with ledger.log.read() as reader:
            event = reader.entry(seq).event
        assert isinstance(event, Restored)
        assert (event.missing, event.anchor_size, event.restored_size) == (0, None, 5)
        buy(ledger)
    assert anchor.exists()


def test_an_old_file_put_in_place_by_hand_is_noticed_and_not_written_to(plain_house: House) -> None:
    file = Path(plain_house.settings.folder) / DATABASE_FILE
    old = file.read_bytes()
    with plain_house.opened() as ledger:
        buy(ledger)
        sign_checkpoint(ledger, OWNER)
    file.write_bytes(old)
    with plain_house.opened() as ledger, pytest.raises(HeldError, match="One is missing"):
        buy(ledger)


def test_a_copy_without_its_write_ahead_log_is_noticed(plain_house: House) -> None:
    """As when somebody copies the one file beside a server that is running."""
    with plain_house.opened() as ledger:
        for _ in range(3):
            buy(ledger)
        sign_checkpoint(ledger, OWNER)
        place = plain_house.elsewhere("copied")
        shutil.copytree(plain_house.settings.folder, place.folder, ignore=shutil.ignore_patterns("*-wal", "*-shm"))
    with open_ledger(place) as ledger:
        assert standing(ledger).against is Against.BEHIND
        with pytest.raises(HeldError):
            buy(ledger)


def test_a_ledger_that_went_another_way_than_its_anchor_is_not_written_to_and_not_confirmed(plain_house: House) -> None:
    file = Path(plain_house.settings.folder) / DATABASE_FILE
    old = file.read_bytes()
    with plain_house.opened() as ledger:
        buy(ledger)
        sign_checkpoint(ledger, OWNER)
        collection = ledger.collection
    file.write_bytes(old)
    anchor = FileAnchor(anchor_path(Path(plain_house.settings.keys), collection))
    kept = anchor.read()
    assert kept is not None
    Path(anchor.place).unlink()
    with plain_house.opened() as ledger:
        for _ in range(2):
            buy(ledger)
    Path(anchor.place).write_text(kept, "utf-8")
    with plain_house.opened() as ledger:
        assert standing(ledger).against is Against.OTHER
        with pytest.raises(HeldError, match="are not those that the checkpoint"):
            buy(ledger)
        with pytest.raises(ConflictError, match="move the anchor file away"):
            confirm_restored(ledger, OWNER)


def test_an_anchor_that_another_key_signed_holds_the_ledger_too(plain_house: House) -> None:
    (path,) = (plain_house.around / "keys").glob("*.anchor")
    text = path.read_text("utf-8").split("\n\n", 1)[0] + "\n"
    path.write_text(signer_of(path.stem, OTHER_SEED).sign(text), "utf-8")
    with plain_house.opened() as ledger, pytest.raises(HeldError, match="not signed by a key of it"):
        buy(ledger)


def changed(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        path = next(iter(sorted(folder.parent.glob(name)))) if "*" in name else folder / name
        data = bytearray(path.read_bytes())
        data[len(data) // 2] ^= 1
        path.write_bytes(bytes(data))

    return change


def removed(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        (next(iter(sorted(folder.parent.glob(name)))) if "*" in name else folder / name).unlink()

    return change


def one_picture_less(folder: Path) -> None:
    text = (folder / MANIFEST).read_text("utf-8")
    lines = text.split("\n")
    (folder / MANIFEST).write_text("\n".join(line for line in lines if "pictures/" not in line), "utf-8")


HARMED: dict[str, tuple[Callable[[Path], None], str]] = {
    "the database changed": (changed(DATABASE_FILE), "was changed"),
    "a photograph changed": (changed("pictures/*/*"), "was changed"),
    "the database missing": (removed(DATABASE_FILE), "is missing"),
    "a photograph missing": (removed("pictures/*/*"), "is missing"),
    "no manifest": (removed(MANIFEST), "no backup with a manifest"),
    "the manifest changed": (changed(MANIFEST), "manifest|signature"),
    "photographs left out of the manifest": (one_picture_less, "signature"),
}


@pytest.mark.parametrize("name", HARMED)
def test_a_backup_that_is_not_whole_is_refused_and_nothing_is_put_back(plain_house: House, name: str) -> None:
    made, place = backed_up(plain_house)
    harm, says = HARMED[name]
    harm(made.folder)
    with pytest.raises(LedgerError, match=says):
        restore(plain_house.backups, place)
    assert not Path(place.folder).exists()


def test_a_backup_that_another_key_signed_is_refused(plain_house: House) -> None:
    made, place = backed_up(plain_house)
    text = (made.folder / MANIFEST).read_text("utf-8").split("\n\n", 1)[0] + "\n"
    collection = text.split("\n")[3].split(".")[0]
    (made.folder / MANIFEST).write_text(signer_of(collection, OTHER_SEED).sign(text), "utf-8")
    with pytest.raises(ConflictError, match="signed neither by the key at hand"):
        restore(plain_house.backups, place)


def test_without_a_key_at_hand_it_is_taken_and_told(plain_house: House) -> None:
    _, place = backed_up(plain_house)
    nowhere = replace(place, keys=str(plain_house.around / "no keys"))
    done = restore(plain_house.backups, nowhere)
    assert not done.found.trusted
    assert done.report.ok


def test_it_goes_nowhere_where_something_is_already(plain_house: House) -> None:
    backed_up(plain_house)
    with pytest.raises(ConflictError, match="something in"):
        restore(plain_house.backups, plain_house.settings)


@pytest.mark.long
@pytest.mark.parametrize("way", WAYS)
def test_whatever_call_fails_no_half_ledger_is_there(plain_house: House, way: Way) -> None:
    back_up(plain_house.settings, plain_house.backups)
    with pytest.MonkeyPatch.context() as patch:
        counted = Failing(patch)
        restore(plain_house.backups, plain_house.elsewhere("counted"))
    seen = set()
    for at in range(1, counted.count + 1):
        place = plain_house.elsewhere(f"{way} {at}")
        with pytest.MonkeyPatch.context() as patch:
            failing = Failing(patch, at, way)
            try:
                restore(plain_house.backups, place)
            except OSError as error:
                assert error.strerror == "Input/output error"  # noqa: PT017 - it may also have been put back
        seen.add(failing.failed)
        if (Path(place.folder) / DATABASE_FILE).exists():
            with open_ledger(place) as ledger:
                assert check_ledger(ledger) == 5
                assert verify_ledger(ledger, OWNER).ok
        else:
            shutil.rmtree(place.folder, ignore_errors=True)
            assert restore(plain_house.backups, place).report.ok
    assert seen >= {"write", "fsync", "replace"}


def test_a_drill_tells_whether_it_can_be_put_back_and_when_that_was(house: House) -> None:
    made = back_up(house.settings, house.backups)
    before = state_of(house.settings)
    done = drill(house.backups, house.settings)
    assert done.report.ok
    noted = FileUpkeep(Path(house.settings.folder)).read().drill
    assert noted is not None
    assert (noted.place, noted.size, noted.whole) == (str(made.folder), 5, True)
    assert state_of(house.settings) == before
