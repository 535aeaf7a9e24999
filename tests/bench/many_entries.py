"""Data folders with many entries, true to the last hash, made once and kept in the system's folder for passing files.

The entries are made by the program's own functions for bytes, seals and trees, and put into the tables by themselves:
through the one door a million would take more than an hour.
"""

import json
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import Any, Final

from ledger.bootstrap import OWNER, open_ledger
from ledger.events._parts import Issue
from ledger.events.note import Note
from ledger.events.purchase import Purchase
from ledger.ports import ENTRIES, HEADS
from ledger.proof import merkle
from ledger.proof.chain import FMT, Envelope, head_leaf
from ledger.proof.sealing import digest, disclosure
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE
from ledger.store.guards import TRIGGERS
from ledger.store.records import place
from ledger.usecases.checkpoint import sign_checkpoint
from tests.conftest import COLLECTION

__all__ = ["SIZE", "many_entries", "settings_of"]

SIZE: Final = 1_000_000

PER_BOOK: Final = 50
"""Entries of each book: its purchase, and notes."""
SEED: Final = b"\x09" * 32
_WHEN: Final = datetime(2026, 1, 2, tzinfo=UTC)
_BATCH: Final = 20_000
_CODEC: Final = EventCodec()


def settings_of(folder: Path) -> Settings:
    """As the program is told of such a folder."""
    return Settings(folder=str(folder / "data"), keys=str(folder / "keys"))


def many_entries(count: int) -> Path:
    """The folder with so many entries; a new one whenever they are made otherwise."""
    own = sha256(Path(__file__).read_bytes()).hexdigest()[:12]
    folder = Path(tempfile.gettempdir()) / f"slipsheet-bench-{count}-{own}"
    if not (folder / "made").exists():
        shutil.rmtree(folder, ignore_errors=True)
        _fill(folder, count)
        (folder / "made").touch()
    return folder


def _fill(folder: Path, count: int) -> None:
    settings = settings_of(folder)
    with open_ledger(settings, seed=SEED, collection=COLLECTION):
        pass
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as db:
        db.execute("PRAGMA synchronous = OFF")
        for name in TRIGGERS:
            db.execute(f"DROP TRIGGER {name}")
        first = db.execute("SELECT bytes FROM entry").fetchone()[0]
        made = _Made(first)
        for table in ("node", "book_head"):
            db.execute(f"DELETE FROM {table}")
        lines = made.entries(count)
        while rows := list(islice(lines, _BATCH)):
            with db:
                for table in ("entry", "sealed_value", "node"):
                    _insert(db, table, [row for each in rows for row in each[table]])
        with db:
            _insert(db, "node", made.heads_nodes())
            _insert(db, "book_head", made.heads)
            db.execute("UPDATE head SET size = ?, books = ?", (count, len(made.heads)))
    with open_ledger(settings, seed=SEED, mend=True) as ledger:
        ledger.log.rebuild()
        sign_checkpoint(ledger, OWNER)


def _insert(db: sqlite3.Connection, table: str, rows: list[dict[str, Any]]) -> None:
    if rows:
        names = ", ".join(rows[0])
        marks = ", ".join(":" + name for name in rows[0])
        db.executemany(f"INSERT OR REPLACE INTO {table} ({names}) VALUES ({marks})", rows)


class _Made:
    """Entries one after another, with the ends of their books' chains."""

    def __init__(self, first: bytes) -> None:
        self._first = first
        self.heads: list[dict[str, Any]] = []
        self._last: dict[int, bytes] = {}

    def entries(self, count: int) -> Iterator[dict[str, list[dict[str, Any]]]]:
        """The rows that each entry makes; the first one is there already."""
        before = ""
        for seq in range(1, count + 1):
            if seq == 1:
                yield {"entry": [], "sealed_value": [], "node": self._nodes(0, merkle.leaf_hash(self._first))}
                continue
            number, own = divmod(seq - 2, PER_BOOK)
            rows, leaf = self._entry(seq, number + 1, own + 1, before if own else None)
            before = leaf.hex()
            self._move(number + 1, own + 1, leaf)
            yield {**rows, "node": self._nodes(seq - 1, leaf)}

    def heads_nodes(self) -> list[dict[str, Any]]:
        """The tree over the books' heads."""
        self._last, rows = {}, []
        for size, head in enumerate(self.heads):
            leaf = head_leaf(head["book_id"], head["no"], head["seq"], head["leaf"].hex())
            rows += self._nodes(size, merkle.leaf_hash(leaf), HEADS)
        return rows

    def _entry(
        self, seq: int, number: int, own: int, before: str | None
    ) -> tuple[dict[str, list[dict[str, Any]]], bytes]:
        event = _purchase(number) if own == 1 else Note(words=Sealed.of(f"look {own}"))
        body, values = _CODEC.split(event)
        salts = {name: sha256(f"{seq} {name}".encode()).digest()[:16] for name in values}
        envelope = Envelope(
            fmt=FMT,
            collection=COLLECTION,
            seq=seq,
            book=_book(number),
            book_no=number,
            book_seq=own,
            book_prev=before,
            act=f"act{seq}",
            kind=event.kind,
            v=event.v,
            on=None,
            recorded=(_WHEN + timedelta(seconds=seq)).strftime("%Y-%m-%dT%H:%M:%S.%fZ"),
            actor=OWNER.id,
            body=body,
            sealed={name: digest(disclosure(salts[name], name, value)) for name, value in values.items()},
        )
        data = envelope.to_bytes()
        leaf = merkle.leaf_hash(data)
        entry = {"collection_id": COLLECTION, "seq": seq, "bytes": data, "leaf": leaf}
        entry |= {"book_id": envelope.book, "book_no": number, "book_seq": own, "act": envelope.act}
        entry |= {"kind": envelope.kind, "actor": envelope.actor, "recorded": envelope.recorded}
        sealed = [
            {"collection_id": COLLECTION, "seq": seq, "name": name, "salt": salts[name], "value": json.dumps(value)}
            for name, value in values.items()
        ]
        return {"entry": [entry], "sealed_value": sealed}, leaf

    def _move(self, number: int, own: int, leaf: bytes) -> None:
        head = {"collection_id": COLLECTION, "book_id": _book(number), "no": number, "seq": own, "leaf": leaf}
        if own == 1:
            self.heads.append(head)
        else:
            self.heads[-1] = head

    def _nodes(self, size: int, leaf: bytes, tree: str = ENTRIES) -> list[dict[str, Any]]:
        made = merkle.appended(size, leaf, lambda which: [self._last[level] for level, _ in which])
        self._last.update({level: found for level, _, found in made})
        return [
            {"collection_id": COLLECTION, "tree": tree, "place": place(level, index), "hash": found}
            for level, index, found in made
        ]


def _book(number: int) -> str:
    return f"book{number}"


def _purchase(number: int) -> Purchase:
    return Purchase(issue=Issue(title=f"Amber Anchor {number // 200}", number=str(number % 200)), price=Sealed())
