"""Every archive that a released version wrote is read by this one, key and all, onto either store.

Golden: each `tests/vectors/archives/v*.zip`, made by `python -m tests.keeping.golden FILE` in the version that is in its
name; beside it, as JSON, what was in the ledger it was made of.
"""

import json
from pathlib import Path

import pytest

from ledger.bootstrap import OWNER, open_ledger, open_to_read
from ledger.keeping.bring_in import bring_in
from ledger.keeping.take_out import take_out_to
from ledger.settings import Settings
from ledger.usecases.anchored import confirm_restored
from tests.check import check_ledger
from tests.keeping.archived import files_of
from tests.keeping.conftest import buy
from tests.keeping.golden import COLLECTION, FOLDER, PASSPHRASE, SEED, told
from tests.postgres import empty_database

GOLDEN = sorted(FOLDER.glob("v*.zip"))


def test_there_is_one_of_every_version() -> None:
    assert [each.stem for each in GOLDEN] == ["v1"]


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_it_is_read_onto_either_store_as_it_was_written(path: Path, tmp_path: Path) -> None:
    expected = json.loads(path.with_suffix(".json").read_text("utf-8"))
    with empty_database() as database:
        for name, address in (("folder", ""), ("server", database.application)):
            keys = tmp_path / f"{name} keys"
            place = Settings(folder=str(tmp_path / name), keys=str(keys), database=address)
            done = bring_in(path, place, passphrase=PASSPHRASE)
            assert (done.key, done.signed, done.report.findings) == (True, True, [])
            assert (keys / f"{COLLECTION}.key").read_text("ascii").splitlines()[1] == SEED.hex()
            with open_to_read(place) as ledger:
                found = told(ledger)
            found["rows"] = {table: rows for table, rows in found["rows"].items() if rows}
            assert found == expected
            with open_ledger(place) as ledger:
                confirm_restored(ledger, OWNER)
                buy(ledger)
                check_ledger(ledger)


def test_taken_out_again_it_holds_the_same(tmp_path: Path) -> None:
    """Of the newest version: what was read is written again byte for byte, save for what says when."""
    place = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    bring_in(GOLDEN[-1], place)
    take_out_to(place, tmp_path / "again.zip")
    before, after = files_of(GOLDEN[-1]), files_of(tmp_path / "again.zip")
    same = [name for name in before if name.startswith(("data/entries", "data/tables", "data/pictures"))]
    assert len(same) > 10
    assert {name: after[name] for name in same} == {name: before[name] for name in same}
