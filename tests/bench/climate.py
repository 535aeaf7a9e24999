"""A million readings of a climate logger taken in, beside the same rows read by csv, dated and put in one by one, bare."""

import csv
import io
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter
from typing import Final

from ledger.actor import Actor
from ledger.bootstrap import open_ledger
from ledger.settings import Settings
from ledger.usecases.climate import Where, look_at_file, take_in
from tests.bench.measuring import Ratio

READINGS: Final = 1_000_000
OWNER: Final = Actor(id="owner")
FORM: Final = "%Y-%m-%d %H:%M:%S"


def ratios() -> Iterator[Ratio]:
    """Looked at, which reads the file once and keeps it, and taken in, which reads it again and packs it. Units: s."""
    data = a_file()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        settings = Settings(folder=str(folder / "data"), keys=str(folder / "keys"))
        with open_ledger(settings) as ledger:
            start = perf_counter()
            looked = look_at_file(ledger, OWNER, data)
            assert looked.channels[0].readings == READINGS
            take_in(ledger, OWNER, looked.file, [Where(channel=1, room="study")])
            ours = perf_counter() - start
        theirs = bare(data, folder / "bare.sqlite3")
    what, reference = f"{READINGS:,} climate readings looked at and taken in", "csv, fromisoformat, inserts, bare"
    yield Ratio(what=what, ours=ours, reference=reference, theirs=theirs, unit="s", goal=3)


def a_file() -> bytes:
    """A reading a minute, of figures that come again and again as a logger's do."""
    start = datetime(2024, 1, 1, tzinfo=UTC)
    lines = (
        f"{start + timedelta(minutes=each):{FORM}},{18 + each % 487 / 100:.2f},{42 + each % 1531 / 100:.2f}\n"
        for each in range(READINGS)
    )
    return ("Time,Temperature (°C),Humidity (%)\n" + "".join(lines)).encode()


def bare(data: bytes, target: Path) -> float:
    """Each row read, its time understood, its figures turned into numbers, and put in: nothing is looked at or checked."""
    with closing(sqlite3.connect(target, isolation_level=None)) as db:
        db.execute("CREATE TABLE reading (collection TEXT, channel TEXT, at INTEGER, celsius REAL, rh REAL, "
                   "PRIMARY KEY (collection, channel, at))")  # fmt: skip
        start = perf_counter()
        rows = csv.reader(io.StringIO(data.decode()))
        next(rows)
        db.execute("BEGIN IMMEDIATE")
        db.executemany(
            "INSERT INTO reading VALUES ('c', '1', ?, ?, ?)",
            ((datetime.fromisoformat(at + "+00:00").timestamp(), float(warm), float(damp)) for at, warm, damp in rows),
        )
        db.execute("COMMIT")
        return perf_counter() - start
