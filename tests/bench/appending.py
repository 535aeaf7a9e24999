"""Appending one entry through the use case: what it costs beside the same rows put in bare, and how often it flushes."""

import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from statistics import median
from time import process_time
from typing import Any, Final

from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, open_store
from ledger.store.log import SqlLog, make_collection, open_log
from tests.bench.many_entries import SEED, SIZE, many_entries, settings_of
from tests.bench.measuring import Ratio
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe, a_note

TIMES: Final = 400
FEW, MORE = 100, 300
TABLES: Final = ("entry", "sealed_value", "node", "book_head", "receipt", "book_row")
ROOT: Final = Path(__file__).resolve().parents[2]
_FLUSH: Final = re.compile(r"^\s*[\d.]+\s+[\d.]+\s+\d+\s+(\d+)(?:\s+\d+)?\s+f(?:data)?sync$", re.MULTILINE)
"""A line of the summary: share, seconds, microseconds a call, calls, errors, name. Source: strace(1)."""


def ratios() -> Iterator[Ratio]:
    """CPU of one entry, its flushes, and what a long ledger adds."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        ours = cpu_of_one(a_log(folder / "ours"))
        theirs = cpu_of_rows(folder / "ours" / DATABASE, folder / "theirs.sqlite3")
    yield Ratio(what="append: CPU of one entry", ours=ours, reference="a millisecond", theirs=1, unit="ms", goal=1)
    reference = "its rows, put in bare"
    yield Ratio(what="append: CPU of one entry", ours=ours, reference=reference, theirs=theirs, unit="ms", goal=20)
    if shutil.which("strace"):
        flushes = flushes_of_one()
        yield Ratio(what="append: flushes a commit", ours=flushes, reference="one", theirs=1, unit="", goal=1)
    yield longer()


def a_log(folder: Path) -> SqlLog:
    """An empty one."""
    store = open_store(folder)
    make_collection(store, COLLECTION, WHEN)
    return open_log(COLLECTION, store, EventCodec())


def cpu_of_one(log: SqlLog) -> float:
    """Units: ms of this process, all its threads: a note of a book that has few entries."""
    scribe = Scribe(log)
    for number in range(TIMES):
        scribe.buy(book=f"b{number}", key=f"b{number}")
    start = process_time()
    for number in range(TIMES):
        scribe.add(f"b{number}", a_note(), key=f"n{number}")
    taken = (process_time() - start) / TIMES * 1000
    log._store.close()
    return taken


def cpu_of_rows(source: Path, target: Path) -> float:
    """Units: ms. The rows that such an entry leaves, one transaction each, by the driver alone and just as durable."""
    with closing(sqlite3.connect(source)) as made, closing(sqlite3.connect(target, isolation_level=None)) as bare:
        rows = emptied(made, bare)
        shares = {table: len(found) / (2 * TIMES) for table, found in rows.items()}
        put = {t: f"INSERT INTO {t} VALUES ({', '.join('?' * len(found[0]))})" for t, found in rows.items()}
        done = dict.fromkeys(TABLES, 0)
        start = process_time()
        for number in range(1, TIMES + 1):
            bare.execute("BEGIN IMMEDIATE")
            for table in TABLES:
                until = round(shares[table] * number)
                for row in rows[table][done[table] : until]:
                    bare.execute(put[table], row)
                done[table] = until
            bare.execute("COMMIT")
        return (process_time() - start) / TIMES * 1000


def emptied(made: sqlite3.Connection, bare: sqlite3.Connection) -> dict[str, list[Any]]:
    """The rows of a ledger's tables; the same tables, empty and just as durable, are made in the other file."""
    for statement in ("PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL"):
        bare.execute(statement)
    rows: dict[str, list[Any]] = {}
    for table in TABLES:
        (sql,) = made.execute("SELECT sql FROM sqlite_schema WHERE name = ?", (table,)).fetchone()
        bare.execute(re.sub(r",?\s*FOREIGN KEY[^)]*\)[^)]*\)", "", sql))
        rows[table] = made.execute(f"SELECT * FROM {table}").fetchall()
    return rows


def flushes_of_one() -> float:
    """Counted by the system, between a run with few entries and one with more."""
    few, more = _flushes(FEW), _flushes(MORE)
    return (more - few) / (MORE - FEW)


def _flushes(count: int) -> int:
    with tempfile.TemporaryDirectory() as folder:
        command = [
            "strace",
            "-f",
            "-c",
            "-e",
            "trace=fsync,fdatasync",
            sys.executable,
            "-m",
            __name__,
            folder,
            str(count),
        ]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return sum(int(each[1]) for each in _FLUSH.finditer(done.stderr))


def longer() -> Ratio:
    """The same in a ledger of a million entries as in one of a thousand."""
    taken = {}
    for size in (1_000, SIZE):
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place) / "copy"
            shutil.copytree(many_entries(size), folder)
            taken[size] = _middle(folder)
    what, reference = f"append at {SIZE:,} entries", "at 1,000"
    return Ratio(what=what, ours=taken[SIZE], reference=reference, theirs=taken[1_000], unit="ms", goal=1.1)


def _middle(folder: Path) -> float:
    assert SEED
    store = open_store(Path(settings_of(folder).folder))
    scribe = Scribe(open_log(COLLECTION, store, EventCodec()))
    taken = []
    for number in range(TIMES):
        start = process_time()
        scribe.buy(book=f"new{number}")
        taken.append((process_time() - start) * 1000)
    store.close()
    return median(taken)


def write(folder: str, count: int) -> None:
    """So many entries, one after another."""
    log = a_log(Path(folder))
    scribe = Scribe(log)
    for number in range(count):
        scribe.buy(book=f"b{number}")
    log._store.close()


if __name__ == "__main__":
    write(sys.argv[1], int(sys.argv[2]))
