"""Whatever call to the disk fails, an archive is there whole or not at all, and so is what is brought in from one."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.bootstrap import OWNER, open_ledger
from ledger.keeping.bring_in import bring_in
from ledger.keeping.take_out import take_out_to
from ledger.manifest import DATABASE_FILE
from ledger.usecases.verify import verify_ledger
from tests.check import check_ledger
from tests.counts import count
from tests.keeping.archived import PASSPHRASE, archive_of
from tests.keeping.conftest import House
from tests.keeping.failing import WAYS, Failing, Way

pytestmark = pytest.mark.long
EACH = count(7, 1)
"""Every so many calls one fails, and each of the last ones, which give names."""
LAST = 14


def tried(calls: int) -> list[int]:
    """Which of so many calls fail, one in each round."""
    return sorted({*range(1, calls + 1, EACH), *range(max(1, calls - LAST), calls + 1)})


@pytest.mark.parametrize("way", WAYS)
def test_no_half_archive_is_there(plain_house: House, way: Way) -> None:
    archive_of(plain_house.settings, plain_house.around / "first.zip")
    with pytest.MonkeyPatch.context() as patch:
        counted = Failing(patch)
        take_out_to(plain_house.settings, plain_house.around / "counted.zip")
    seen = set()
    for at in tried(counted.count):
        path = plain_house.around / f"{at}.zip"
        with pytest.MonkeyPatch.context() as patch:
            failing = Failing(patch, at, way)
            try:
                take_out_to(plain_house.settings, path)
            except OSError as error:
                assert error.strerror == "Input/output error"  # noqa: PT017 - it may also have been written
        seen.add(failing.failed)
        if path.exists():
            place = plain_house.elsewhere("whole")
            assert bring_in(path, place).report.ok
            shutil.rmtree(place.folder)
        assert not list(plain_house.around.glob(".draft-*"))
    assert seen >= {"write", "fsync", "rename"}


@pytest.mark.parametrize("way", WAYS)
def test_no_half_ledger_is_brought_in(plain_house: House, way: Way) -> None:
    path = archive_of(plain_house.settings, plain_house.around / "all.zip", PASSPHRASE)

    def bring(name: str) -> Path:
        place = replace(plain_house.elsewhere(name), keys=str(plain_house.around / f"{name} keys"))
        bring_in(path, place, passphrase=PASSPHRASE)
        return Path(place.folder)

    with pytest.MonkeyPatch.context() as patch:
        counted = Failing(patch)
        bring("counted")
    seen = set()
    for at in tried(counted.count):
        name = f"{way} {at}"
        with pytest.MonkeyPatch.context() as patch:
            failing = Failing(patch, at, way)
            try:
                bring(name)
            except OSError as error:
                assert error.strerror == "Input/output error"  # noqa: PT017 - it may also have been put back
        seen.add(failing.failed)
        place, keys = plain_house.elsewhere(name), str(plain_house.around / f"{name} keys")
        if (Path(place.folder) / DATABASE_FILE).exists():
            with open_ledger(replace(place, keys=keys)) as ledger:
                assert check_ledger(ledger) == 5
                assert verify_ledger(ledger, OWNER).ok
        else:
            assert not Path(place.folder).exists()
            assert not list(Path(keys).glob("*.key"))
    assert seen >= {"write", "fsync", "rename"}
