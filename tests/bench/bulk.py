"""A hundred thousand entries in acts of five hundred, beside the same bytes, salts, hashes and rows made and put in bare."""

import json
import secrets
import sqlite3
import tempfile
from base64 import urlsafe_b64encode
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from time import perf_counter
from typing import Any, Final

import rfc8785

from ledger.store.engine import DATABASE
from ledger.usecases.drafts import ACT_MOST, Draft
from tests.bench.appending import a_log, emptied
from tests.bench.measuring import Ratio
from tests.builders import a_purchase, an_issue
from tests.store.writing import Scribe, a_note

BULK: Final = 100_000
PER_BOOK: Final = 5
"""Entries of each book: its purchase, and notes."""


def ratios() -> Iterator[Ratio]:
    """Units: s."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        ours = through_the_door(folder / "ours")
        theirs = bare(folder / "ours" / DATABASE, folder / "theirs.sqlite3")
    what, reference = f"bulk of {BULK:,} entries", "bytes, salts, hashes and rows, bare"
    yield Ratio(what=what, ours=ours, reference=reference, theirs=theirs, unit="s", goal=3)


def through_the_door(folder: Path) -> float:
    """By the use case: books with their purchases, then notes of each."""
    log = a_log(folder)
    scribe = Scribe(log)
    books, start = 0, perf_counter()
    while books * PER_BOOK < BULK:
        some = [f"b{books + number}" for number in range(ACT_MOST)]
        scribe.write(*(Draft(event=a_purchase(issue=an_issue(title=each)), new_book=True, id=each) for each in some))
        for number in range(PER_BOOK - 1):
            scribe.write(*(Draft(event=a_note(f"note {number}"), book=each) for each in some))
        books += ACT_MOST
    taken = perf_counter() - start
    log._store.close()
    return taken


def bare(source: Path, target: Path) -> float:
    """Every row that is there afterwards, put in once, and what is in it made once: nothing is looked at or checked."""
    with closing(sqlite3.connect(source)) as made, closing(sqlite3.connect(target, isolation_level=None)) as db:
        rows = emptied(made, db)
        entries = rows["entry"]
        names = [each[1] for each in made.execute("PRAGMA table_info(entry)")]
        bodies = [json.loads(each[names.index("bytes")]) for each in entries]
        sealed = [each[-1] for each in rows["sealed_value"]]
        start = perf_counter()
        for said in bodies:
            sha256(b"\0" + rfc8785.dumps(said)).digest()
        for value in sealed:
            salted = json.dumps([urlsafe_b64encode(secrets.token_bytes(16)).decode(), "name", str(value)])
            sha256(salted.encode()).digest()
        for _ in rows["node"]:
            sha256(b"\1" * 65).digest()
        for first in range(0, len(entries), ACT_MOST):
            db.execute("BEGIN IMMEDIATE")
            for table, own in rows.items():
                share = len(own) / len(entries)
                _put(db, table, own[round(share * first) : round(share * min(first + ACT_MOST, len(entries)))])
            db.execute("COMMIT")
        return perf_counter() - start


def _put(db: sqlite3.Connection, table: str, rows: list[Any]) -> None:
    if rows:
        db.executemany(f"INSERT INTO {table} VALUES ({', '.join('?' * len(rows[0]))})", rows)
