"""One bit, changed anywhere: in a backup it is always noticed, and no reader is brought down by it."""

import random
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from ledger.bootstrap import OWNER, open_to_read
from ledger.errors import LedgerError
from ledger.keeping.backup import MANIFEST, back_up
from ledger.keeping.restore import look_through
from ledger.manifest import DATABASE_FILE
from ledger.settings import Settings
from ledger.usecases.verify import verify_ledger
from tests.counts import count
from tests.keeping.conftest import House, a_house

IN_BACKUPS, IN_DATABASES = count(500, 10_000), count(150, 10_000)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    with a_house("sqlite", tmp_path_factory.mktemp("flips")) as made:
        yield made


def flip(path: Path, bit: int) -> None:
    """That bit of the file, the other way round."""
    with path.open("r+b") as file:
        file.seek(bit // 8)
        byte = file.read(1)[0]
        file.seek(bit // 8)
        file.write(bytes([byte ^ (1 << bit % 8)]))


@pytest.mark.long
def test_a_bit_changed_in_any_file_of_a_backup_is_noticed(house: House) -> None:
    made = back_up(house.settings, house.backups)
    files = sorted(path for path in house.backups.rglob("*") if path.is_file())
    assert {path.name for path in files} > {DATABASE_FILE, MANIFEST}
    chance = random.Random(3)
    for _ in range(IN_BACKUPS):
        path = chance.choice(files)
        bit = chance.randrange(path.stat().st_size * 8)
        flip(path, bit)
        with pytest.raises(LedgerError):
            look_through(made.folder, house.settings)
        flip(path, bit)
    assert look_through(made.folder, house.settings).trusted


@pytest.mark.long
def test_a_bit_changed_anywhere_in_a_database_brings_no_check_down(house: House, tmp_path: Path) -> None:
    source = Path(house.settings.folder) / DATABASE_FILE
    copy = tmp_path / "copy"
    shutil.copytree(house.settings.folder, copy)
    settings = Settings(folder=str(copy), keys=house.settings.keys)
    written = [place for place, byte in enumerate(source.read_bytes()) if byte]
    chance, seen = random.Random(4), 0
    for _ in range(IN_DATABASES):
        shutil.copyfile(source, copy / DATABASE_FILE)
        # A file of so few entries is mostly empty; where it is, nothing is read.
        flip(copy / DATABASE_FILE, 8 * chance.choice(written) + chance.randrange(8))
        seen += _is_noticed(settings)
    # Some of what is written is read by nobody, such as indexes; a backup's manifest covers that too.
    assert seen > IN_DATABASES // 4


def _is_noticed(settings: Settings) -> bool:
    with suppress(LedgerError), open_to_read(settings) as ledger:
        try:
            return not verify_ledger(ledger, OWNER).ok
        except (DBAPIError, sqlite3.Error) as error:
            raise AssertionError("the check was brought down") from error
    return True
