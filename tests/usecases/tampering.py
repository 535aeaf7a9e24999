"""A small ledger of two books on disk, and somebody with a plain database tool who changes it behind the program's back."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.adapters.keys import signer_of
from ledger.bootstrap import OWNER, open_ledger, open_to_read
from ledger.events._parts import Face
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.proof.canonical import decode, encode
from ledger.proof.nodes import leaf_hash
from ledger.proof.report import Report
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.store.engine import DATABASE
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase, a_slab, an_opening
from tests.pictures import a_picture

SEED = b"\x07" * 32
OTHER_SEED = b"\x08" * 32
COLLECTION = "slipsheettestsslipsheettes"
SIZE = 7
"""Entries of the ledger."""


@dataclass
class Bench:
    """The ledger's folder, its two books, the last checkpoint that was carried out of the house."""

    settings: Settings
    first: str
    second: str
    anchor: str

    @property
    def database(self) -> Path:
        """The file that holds it all."""
        return Path(self.settings.folder) / DATABASE

    @property
    def pictures(self) -> list[Path]:
        """The original, then the clean copy."""
        files = [path for path in (Path(self.settings.folder) / "pictures").rglob("*") if path.is_file()]
        return sorted(files, key=lambda path: path.read_bytes() != a_picture())

    def copied(self, folder: Path) -> "Bench":
        """The same ledger in another folder."""
        shutil.copytree(Path(self.settings.folder).parent, folder)
        settings = Settings(folder=str(folder / "data"), keys=str(folder / "keys"))
        return Bench(settings=settings, first=self.first, second=self.second, anchor=self.anchor)

    @contextmanager
    def opened(self, seed: bytes = SEED) -> Iterator[Ledger]:
        """As the program opens it, with the key at hand."""
        with open_ledger(self.settings, seed=seed) as ledger:
            yield ledger

    def verified(self, anchor: str | None = None, *, seed: bytes = SEED) -> Report:
        """What verify finds, with the owner's verifier key."""
        with open_to_read(self.settings, vkey=vkey_of(seed)) as ledger:
            return verify_ledger(ledger, OWNER, anchor=anchor)

    def behind_its_back(self, change: Callable[[sqlite3.Connection], Any], *, guards: bool = True) -> None:
        """Take the guards off, change, put the guards back as if nothing had been."""
        with closing(sqlite3.connect(self.database)) as db, db:
            db.execute("PRAGMA foreign_keys = OFF")
            taken = (
                db.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall() if guards else []
            )
            for name, _sql in taken:
                db.execute(f"DROP TRIGGER {name}")
            change(db)
            for _name, sql in taken:
                db.execute(sql)

    def set_aside(self) -> object:
        """A backup of the database."""
        return self.database.read_bytes()

    def put_back(self, kept: object) -> None:
        """That backup in the place of what is there now."""
        assert isinstance(kept, bytes)
        self.database.write_bytes(kept)

    def remade(self) -> None:
        """All that is worked out from the entries made anew, as somebody would who knows the format."""
        with self.opened() as ledger:
            ledger.log.rebuild()

    def signed_anew(self, seed: bytes = SEED) -> str:
        """A checkpoint over what is there now, with the real key."""
        with self.opened(seed) as ledger:
            return sign_checkpoint(ledger, OWNER).note

    def noted(self, words: str) -> None:
        """One more entry of the first book."""
        with self.opened() as ledger:
            self.noted_in(ledger, words)

    def noted_in(self, ledger: Ledger, words: str) -> None:
        """The same while it is open."""
        record(ledger, OWNER, [Draft(event=a_note(words), book=self.first)])


def a_bench(folder: Path, *, database: str = "") -> Bench:
    """Seven entries and two checkpoints, over four of them and over all.

    The key (1), two books (2 and 3), an opening of the first (4), a photograph (5) and a note (6) of
    the second, a note of the first (7).
    """
    settings = Settings(folder=str(folder / "data"), keys=str(folder / "keys"), database=database)
    with open_ledger(settings, seed=SEED, collection=COLLECTION) as ledger:
        bought = record(ledger, OWNER, [Draft(event=a_slab(), new_book=True), Draft(event=a_purchase(), new_book=True)])
        first, second = (str(entry.book) for entry in bought.entries)
        record(ledger, OWNER, [Draft(event=an_opening(), book=first)])
        sign_checkpoint(ledger, OWNER)
        photograph(ledger, OWNER, second, [Shot(data=a_picture(), said={"face": Face.FRONT})])
        record(ledger, OWNER, [Draft(event=a_note("first look"), book=second)])
        record(ledger, OWNER, [Draft(event=a_note("second look"), book=first)])
        anchor = sign_checkpoint(ledger, OWNER).note
    return Bench(settings=settings, first=first, second=second, anchor=anchor)


def vkey_of(seed: bytes) -> str:
    """The verifier key of the ledger's key that a seed fixes."""
    return signer_of(COLLECTION, seed).verifier.vkey


def a_note(words: str) -> Note:
    return Note(words=Sealed.of(words))


def bytes_of(db: sqlite3.Connection, seq: int) -> bytes:
    return bytes(db.execute("SELECT bytes FROM entry WHERE seq = ?", (seq,)).fetchone()[0])


def said_by(db: sqlite3.Connection, seq: int) -> dict[str, Any]:
    """What an entry's bytes say."""
    said = decode(bytes_of(db, seq))
    assert isinstance(said, dict)
    return dict(said)


def rewrite(db: sqlite3.Connection, seq: int, **changes: Any) -> None:
    """The entry as valid bytes that say something else, with the leaf kept beside it made to match."""
    put_bytes(db, seq, encode({**said_by(db, seq), **changes}))


def put_bytes(db: sqlite3.Connection, seq: int, data: bytes, *, leaf: bool = True) -> None:
    db.execute("UPDATE entry SET bytes = ? WHERE seq = ?", (data, seq))
    if leaf:
        db.execute("UPDATE entry SET leaf = ? WHERE seq = ?", (leaf_hash(data), seq))


def copy_entry(db: sqlite3.Connection, of: int, to: int, **changes: Any) -> None:
    """A row for `to` beside which all stands that stands beside another, and whose bytes say the same but for changes."""
    found = db.execute("SELECT * FROM entry WHERE seq = ?", (of,))
    names = [column[0] for column in found.description]
    row = dict(zip(names, found.fetchone(), strict=True))
    data = encode({**said_by(db, of), **changes})
    row |= {"seq": to, "book_seq": (row["book_seq"] or 0) + 50, "bytes": data, "leaf": leaf_hash(data)}
    marks = ", ".join("?" * len(names))
    db.execute(f"INSERT INTO entry ({', '.join(names)}) VALUES ({marks})", [row[name] for name in names])


def cut(bench: Bench, last: int) -> None:
    """The newest entries and all that speaks of them taken out, and the rest made to fit."""

    def change(db: sqlite3.Connection) -> None:
        for table, column in (("sealed_value", "seq"), ("receipt", "first"), ("entry", "seq"), ("checkpoint", "size")):
            db.execute(f"DELETE FROM {table} WHERE {column} > ?", (last,))
        db.execute("UPDATE head SET size = ?, books = (SELECT count(DISTINCT book_id) FROM entry)", (last,))

    bench.behind_its_back(change)
    bench.remade()


def remake_from(bench: Bench, seq: int, *, sign: bool) -> None:
    """One entry changed and everything after it made to fit; checkpoints left, or signed anew with the real key."""

    def change(db: sqlite3.Connection) -> None:
        rewrite(db, seq, on="1999-01-01")
        for later in range(seq + 1, SIZE + 1):
            book = said_by(db, later)["book"]
            own = [leaf_hash(bytes_of(db, each)).hex() for each in range(2, later) if said_by(db, each)["book"] == book]
            if own:
                rewrite(db, later, book_prev=own[-1])
        if sign:
            db.execute("DELETE FROM checkpoint")

    bench.behind_its_back(change)
    bench.remade()
    if sign:
        bench.signed_anew()


def another_signature(text: str) -> str:
    """The text signed by a key of the same name that is not this ledger's."""
    return signer_of(COLLECTION, OTHER_SEED).sign(text)
