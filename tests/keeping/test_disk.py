"""No room, no right to write, no descriptors, a clock that jumps: a clear refusal, and nothing acknowledged is lost."""

import os
import resource
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from ledger.bootstrap import open_ledger
from ledger.errors import StoreError
from ledger.settings import Settings
from tests.check import check_ledger
from tests.keeping.conftest import House, buy, picture

ROOT = Path(__file__).resolve().parents[2]
WITHOUT = """
import resource, sys
from ledger.bootstrap import open_ledger
from ledger.errors import LedgerError
from ledger.settings import Settings
from tests.keeping.conftest import buy, picture
with open_ledger(Settings(folder=sys.argv[1], keys=sys.argv[2])) as ledger:
    book = buy(ledger)
    print("kept", flush=True)
    name, most = sys.argv[3], int(sys.argv[4])
    resource.setrlimit(getattr(resource, name), (most, most))
    for _ in range(40):
        try:
            picture(ledger, book, "red")
            buy(ledger)
            print("kept", "kept", flush=True)
        except (LedgerError, OSError) as error:
            print("failed", type(error).__name__, flush=True)
"""


def limited(house: House, name: str, most: int) -> list[str]:
    """What a writer says whom the system refuses something from some moment on."""
    command = [sys.executable, "-c", WITHOUT, house.settings.folder, house.settings.keys, name, str(most)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "most"),
    [
        # Source: POSIX setrlimit(2): no further descriptor is given, and no file grows beyond that size.
        ("RLIMIT_NOFILE", 3),
        ("RLIMIT_FSIZE", 150_000),
    ],
)
def test_what_was_acknowledged_is_there_after_the_system_refused(plain_house: House, name: str, most: int) -> None:
    assert resource.getrlimit(getattr(resource, name))
    said = limited(plain_house, name, most)
    assert "failed" in said
    with plain_house.opened() as ledger:
        size = check_ledger(ledger)
    assert size >= 5 + said.count("kept")


@pytest.mark.skipif(os.name == "nt", reason="the rights of a folder are another matter there")
def test_a_folder_that_may_not_be_written_to_is_refused_and_left_as_it_was(plain_house: House) -> None:
    if os.geteuid() == 0:
        command = [sys.executable, "-c", _AS_NOBODY, plain_house.settings.folder, plain_house.settings.keys]
        folder = Path(plain_house.settings.folder)
        before = {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=60)
        assert done.stdout.startswith("refused"), done.stdout + done.stderr
        assert {path: path.stat().st_mtime_ns for path in folder.rglob("*")} == before
        return
    Path(plain_house.settings.folder).chmod(0o500)
    try:
        with pytest.raises((OSError, StoreError)), open_ledger(plain_house.settings):
            pass
    finally:
        Path(plain_house.settings.folder).chmod(0o700)


_AS_NOBODY = """
import os, sys
from ledger.bootstrap import open_ledger
from ledger.errors import LedgerError
from ledger.settings import Settings
os.chmod(os.path.dirname(sys.argv[1]), 0o755)
os.setuid(65534)
try:
    with open_ledger(Settings(folder=sys.argv[1], keys=sys.argv[2])):
        print("opened")
except (LedgerError, OSError) as error:
    print("refused", type(error).__name__)
"""


class Jumping:
    """A clock that is wrong in every way there is."""

    def __init__(self, *times: datetime) -> None:
        self.times = list(times)

    def now(self) -> datetime:
        """The next time, and then the last one for ever."""
        return self.times.pop(0) if len(self.times) > 1 else self.times[0]

    def today(self) -> date:
        return self.now().date()


@pytest.mark.parametrize("jump", [timedelta(days=-3650), timedelta(days=3650), timedelta(hours=-1)])
def test_the_order_does_not_hang_on_the_clock(tmp_path: Path, jump: timedelta) -> None:
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    start = datetime(2026, 5, 6, tzinfo=UTC)
    times = [start, start, *(start + jump * (number % 3) for number in range(40))]
    with open_ledger(settings, clock=Jumping(*times)) as ledger:
        books = [buy(ledger) for _ in range(5)]
        picture(ledger, books[0], "red")
        assert check_ledger(ledger) == 7
        with ledger.log.read() as reader:
            assert [reader.entry(seq).book for seq in range(2, 7)] == books
            assert [head.no for head in reader.book_heads()] == [1, 2, 3, 4, 5]
