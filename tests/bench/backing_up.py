"""A backup of a long ledger, beside copying the same file, made just as safe on the disk and hashed as well.

Timed until the copy is there with its signed manifest. Then the backup is verified, which is a row of the verification.
"""

import os
import shutil
import tempfile
from collections.abc import Iterator
from hashlib import file_digest
from pathlib import Path
from time import perf_counter
from typing import Final

from ledger.adapters.keys import key_file, key_path, write_key
from ledger.keeping.backup import back_up
from ledger.store.engine import DATABASE
from tests.bench.many_entries import SEED, many_entries, settings_of
from tests.bench.measuring import Ratio
from tests.conftest import COLLECTION

ENTRIES: Final = 100_000
ROUNDS: Final = 3
VERIFYING: Final = "entries of the copy"


class _CopiedError(Exception):
    """The copy is there, and its verification begins."""


def ratios() -> Iterator[Ratio]:
    """Units: s, the best of each."""
    folder = many_entries(ENTRIES)
    _lay_key(folder)
    ours, theirs = [], []
    with tempfile.TemporaryDirectory() as place:
        for number in range(ROUNDS):
            theirs.append(_copied(folder, Path(place) / f"theirs {number}"))
            ours.append(_backed_up(folder, Path(place) / f"ours {number}"))
    what, reference = f"backup of {ENTRIES:,} entries", "copying and hashing the same file"
    yield Ratio(what=what, ours=min(ours), reference=reference, theirs=min(theirs), unit="s", goal=1.5)


def _lay_key(folder: Path) -> None:
    """The key of that ledger in a file, for a backup is signed."""
    path = key_path(Path(settings_of(folder).keys), COLLECTION)
    if not path.exists():
        path.parent.mkdir(exist_ok=True)
        write_key(path, key_file(SEED))


def _backed_up(folder: Path, to: Path) -> float:
    def until(what: str, _done: int, _all: int) -> None:
        if what == VERIFYING:
            raise _CopiedError

    start = perf_counter()
    try:
        back_up(settings_of(folder), to, until)
    except _CopiedError:
        return perf_counter() - start
    raise AssertionError("a backup is verified")


def _copied(folder: Path, to: Path) -> float:
    source = Path(settings_of(folder).folder) / DATABASE
    to.mkdir()
    start = perf_counter()
    shutil.copyfile(source, to / DATABASE)
    with (to / DATABASE).open("r+b") as file:
        os.fsync(file.fileno())
        file_digest(file, "sha256")
    return perf_counter() - start
