"""Every kind of tampering, numbered, each at two places or more, with the plain sentence that names it."""

import sqlite3
from base64 import b64encode
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from ledger.proof.keys import ED25519
from tests.pictures import a_picture
from tests.usecases.tampering import (
    Bench,
    another_signature,
    bytes_of,
    copy_entry,
    put_bytes,
    rewrite,
    said_by,
)

Change = Callable[[Bench], Any]
Case = tuple[str, Change, int | str]
Database = sqlite3.Connection

# Two points of small order, spelled as RFC 8032 section 5.1.2 says: the neutral element, y = 1, and one of order 8;
# tests/proof/test_keys.py works out their orders.
SMALL_ORDER = (
    "0100000000000000000000000000000000000000000000000000000000000000",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
)


@dataclass(frozen=True)
class Tampering:
    """One way to tamper: its number, what is done, and the finding's code, words of its sentence, its entry.

    `anchored` marks what only a checkpoint kept elsewhere can show.
    """

    number: int
    name: str
    change: Change
    code: str
    sentence: str
    seq: int | None = None
    anchored: bool = False

    def __str__(self) -> str:
        return f"{self.number}-{self.name}"


def tried(
    number: int, code: str, sentence: str, *cases: Case, of_entry: bool = True, anchored: bool = False
) -> Iterator[Tampering]:
    """One kind in several places; a case is what is done, how, and the place, which stands in the sentence as `AT`."""
    for name, change, at in cases:
        seq = at if of_entry and isinstance(at, int) else None
        yield Tampering(number, name, change, code, sentence.replace("AT", str(at)), seq, anchored)


def behind(change: Callable[[Database], Any]) -> Change:
    return lambda bench: bench.behind_its_back(change)


def sql(statement: str) -> Change:
    def change(db: Database) -> None:
        assert db.execute(statement).rowcount

    return behind(change)


def flip(seq: int) -> Change:
    def change(db: Database) -> None:
        data = bytearray(bytes_of(db, seq))
        data[data.index(b"recorded") + 13] ^= 1
        put_bytes(db, seq, bytes(data), leaf=False)

    return behind(change)


def rewritten(seq: int, **changes: Any) -> Change:
    return behind(lambda db: rewrite(db, seq, **changes))


def slipped_in(after: int) -> Change:
    """An entry between two others: those behind it are moved on by one row."""

    def change(db: Database) -> None:
        for seq in range(7, after, -1):
            db.execute("UPDATE entry SET seq = ? WHERE seq = ?", (seq + 1, seq))
        copy_entry(db, after, after + 1, seq=after + 1, book_seq=9, on="2001")

    return behind(change)


def swapped(one: int, other: int) -> Change:
    def change(db: Database) -> None:
        here, there = bytes_of(db, one), bytes_of(db, other)
        put_bytes(db, one, there)
        put_bytes(db, other, here)

    return behind(change)


def twice(seq: int, **changes: Any) -> Change:
    return behind(lambda db: copy_entry(db, seq, 8, **changes))


def of_another_book(seq: int) -> Change:
    def change(bench: Bench) -> None:
        own, other = (bench.second, bench.first) if seq == 6 else (bench.first, bench.second)
        number = 1 if own == bench.second else 2
        bench.behind_its_back(lambda db: rewrite(db, seq, book=other, book_no=number, book_seq=2))

    return change


def an_older_head(number: int) -> Change:
    """The head of a book as it was one entry ago."""

    def change(db: Database) -> None:
        leaf = "(SELECT leaf FROM entry WHERE book_no = head.no AND book_seq = head.seq - 1)"
        assert db.execute(f"UPDATE book_head AS head SET leaf = {leaf}, seq = seq - 1 WHERE no = {number}").rowcount

    return behind(change)


def checkpoint_line(size: int, old: str, new: str) -> Change:
    def change(db: Database) -> None:
        note = db.execute("SELECT note FROM checkpoint WHERE size = ?", (size,)).fetchone()[0]
        assert old in note
        db.execute("UPDATE checkpoint SET note = ? WHERE size = ?", (note.replace(old, new, 1), size))

    return behind(change)


def signed_by_another(size: int) -> Change:
    def change(db: Database) -> None:
        note = db.execute("SELECT note FROM checkpoint WHERE size = ?", (size,)).fetchone()[0]
        text = note.split("\n\n", 1)[0] + "\n"
        db.execute("UPDATE checkpoint SET note = ? WHERE size = ?", (another_signature(text), size))

    return behind(change)


def an_older_checkpoint_as_the_latest(bench: Bench) -> None:
    """The newest one taken out, and the one before it put in its place again."""

    def change(db: Database) -> None:
        older = db.execute("SELECT note, signed FROM checkpoint WHERE size = 4").fetchone()
        db.execute("UPDATE checkpoint SET size = 4, note = ?, signed = ? WHERE size = 7", older)

    bench.behind_its_back(change)


def small_order_key(point: str) -> Change:
    key = b64encode(bytes([ED25519]) + bytes.fromhex(point)).decode()

    def change(db: Database) -> None:
        rewrite(db, 1, body={**said_by(db, 1)["body"], "vkey": f"x.slipsheet.invalid+00000000+{key}"})

    return behind(change)


def spelled(seq: int, old: bytes, new: bytes) -> Change:
    def change(db: Database) -> None:
        data = bytes_of(db, seq)
        assert old in data
        put_bytes(db, seq, data.replace(old, new, 1))

    return behind(change)


def sealed(seq: int, what: str) -> Change:
    return sql(f"UPDATE sealed_value SET {what} WHERE seq = {seq} AND name = 'words'")


def picture(which: str, how: str) -> Change:
    def change(bench: Bench) -> None:
        original, clean = bench.pictures
        own = original if which == "original" else clean
        match how:
            case "missing":
                own.unlink()
            case "swapped":
                here, there = original.read_bytes(), clean.read_bytes()
                original.write_bytes(there)
                clean.write_bytes(here)
            case _:
                own.write_bytes(a_picture("red"))

    return change


def guard(statement: str) -> Change:
    return lambda bench: bench.behind_its_back(lambda db: db.executescript(statement), guards=False)


def an_old_backup(*words: str) -> Change:
    """The database of before, put back after more was written and a checkpoint was carried away."""

    def change(bench: Bench) -> None:
        old = bench.set_aside()
        for each in words:
            bench.noted(each)
        bench.anchor = bench.signed_anew()
        bench.put_back(old)

    return change
