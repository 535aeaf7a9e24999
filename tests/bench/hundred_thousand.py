"""A data folder with 100,000 books, made once and kept in the system's folder for passing files.

Its rows are made by the program's own functions; its entries are only numbers that sealed values can lie beside, for
no proof is looked at here.
"""

import random
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import Any, Final

from ledger.book import Book, Ownership, Status, WorkDone
from ledger.events._parts import Holding, Issue, StatedGrade
from ledger.rows import Listing, folded, listing
from ledger.rules.grades import grades
from ledger.rules.headings import Heading
from ledger.store.engine import DATABASE, open_store
from ledger.store.guards import TRIGGERS
from ledger.store.log import make_collection
from ledger.store.projector import values_of
from ledger.store.read_models import shape_of
from ledger.store.shelf_order import SPACE_BITS, first_key
from ledger.views import Drawn
from ledger.when import When
from tests.conftest import COLLECTION

__all__ = ["BOOKS", "hundred_thousand"]

BOOKS: Final = 100_000
_FIRST: Final = ("Amber", "Bold", "Copper", "Distant", "Empty", "Frozen", "Gilded", "Hollow", "Iron", "Jagged", "Kind")
_SECOND: Final = ("Anchor", "Beacon", "Comet", "Deputy", "Ember", "Falcon", "Garden", "Harbor", "Island", "Jester")
_THIRD: Final = (
    "Stories",
    "Weekly",
    "Comics",
    "Adventures",
    "Tales",
    "Mystery",
    "Western",
    "Romance",
    "Squad",
    "Parade",
)
_PRESSES: Final = ("Gorse Hill Press", "Millrace Features", "Ten Bells Publishing", "Otterby Magazines")
_MADE: Final = datetime(2026, 1, 2, tzinfo=UTC)


def hundred_thousand() -> Path:
    """The folder; a new one whenever the rows are made otherwise."""
    with (
        tempfile.TemporaryDirectory() as empty,
        closing(open_store(Path(empty))) as store,
        store.snapshot("") as connection,
    ):
        shape = shape_of(connection)
    own = sha256(Path(__file__).read_bytes() + shape.encode()).hexdigest()[:12]
    folder = Path(tempfile.gettempdir()) / f"slipsheet-bench-{own}"
    if not (folder / "made").exists():
        shutil.rmtree(folder, ignore_errors=True)
        _fill(folder)
        (folder / "made").touch()
    return folder


def _fill(folder: Path) -> None:
    with closing(open_store(folder)) as store:
        make_collection(store, COLLECTION, _MADE)
    with closing(sqlite3.connect(folder / DATABASE)) as db, db:
        for name in TRIGGERS:
            db.execute(f"DROP TRIGGER {name}")
        books = _books(random.Random(7))
        while some := list(islice(books, 1000)):
            for table in ("entry", "sealed_value", "book_row"):
                _insert(db, table, [row for tables in some for row in tables[table]])
        _make_search(db)
        db.execute("UPDATE head SET size = ?, books = ?", (2 * BOOKS, BOOKS))
    # Guards are put back, and the lists are looked through for how they are best read.
    open_store(folder, mend=True).close()


def _make_search(db: sqlite3.Connection) -> None:
    """Keys along the list by title, all equally far apart, and the texts under them."""
    in_order = db.execute("SELECT title_key, no, book, title || ' ' || number || ' ' || publisher FROM book_row")
    first, step = first_key(COLLECTION), (1 << SPACE_BITS) // (BOOKS + 1)
    keyed = [
        {"collection_id": COLLECTION, "rowid": first + place * step, "book": book, "text": folded(text)}
        for place, (_title, _no, book, text) in enumerate(sorted(in_order), start=1)
    ]
    db.executemany(
        "UPDATE book_row SET search_key = :rowid WHERE collection_id = :collection_id AND book = :book", keyed
    )
    _insert(db, "book_search", [{name: each[name] for name in each if name != "book"} for each in keyed])


def _insert(db: sqlite3.Connection, table: str, rows: list[dict[str, Any]]) -> None:
    names = ", ".join(rows[0])
    db.executemany(f"INSERT INTO {table} ({names}) VALUES ({', '.join(':' + name for name in rows[0])})", rows)


def _books(chance: random.Random) -> Iterator[dict[str, list[dict[str, Any]]]]:
    for number in range(1, BOOKS + 1):
        seq = 2 * number - 1
        made = _listing(number, seq, chance)
        yield {
            "entry": [_entry(seq, made, "purchase"), _entry(seq + 1, made, "placement")],
            "sealed_value": [
                _sealed(seq, "stated_by", f'"Grader {chance.randrange(5)}"'),
                _sealed(seq + 1, "place", f'"Box {chance.randrange(60)}, shelf {chance.randrange(5)}"'),
            ],
            "book_row": [{"collection_id": COLLECTION, **values_of(made, number)}],
        }


def _listing(number: int, seq: int, chance: random.Random) -> Listing:
    year = chance.randrange(1938, 1990)
    issue = Issue(
        title=f"{chance.choice(_FIRST)} {chance.choice(_SECOND)} {chance.choice(_THIRD)}",
        number=str(chance.randrange(1, 300)),
        start_year=year,
        publisher=chance.choice(_PRESSES),
        cover_date=When.parse(f"{year}-{chance.randrange(1, 13):02}"),
    )
    graded = chance.random() < 0.6
    step = grades()[chance.randrange(25)]
    here = chance.random() < 0.93
    work = (_work(chance),) if chance.random() < 0.3 else ()
    book = Book(
        id=sha256(str(number).encode()).hexdigest()[:26],
        no=number,
        status=Status.HELD if here else Status.GONE,
        issue=issue,
        holding=Holding.SLABBED if graded else Holding.RAW,
        stated=StatedGrade(as_written=step.letters, steps=(step,)) if graded else None,
        ownerships=(Ownership(taken_by=seq, since=When.parse("2011-04")),),
        work=work,
        spot=chance.choices(("box", "safe", "wall"), (970, 29, 1))[0] if here else None,
        cover=sha256(f"cover {number}".encode()).hexdigest() if chance.random() < 0.5 else None,
        entries=2,
    )
    stated: dict[str, Any] = {
        "grade_low": step.step,
        "opinion_of": "grading service",
        "stated_seq": seq,
        "stated_field": "stated_by",
    }
    placed: dict[str, Any] = {"place_seq": seq + 1, "place_field": "place", "placed_on": "2020-01-05"}
    drawn = Drawn(kept=here, **(stated if graded else {}), **(placed if here else {}), written_on="2026-01-02")
    return replace(listing(book, []), drawn=drawn, last_seq=seq + 1)


def _work(chance: random.Random) -> WorkDone:
    return WorkDone(seq=1, on=None, technique="x", heading=chance.choice(list(Heading)), changed_anything=True)


def _entry(seq: int, made: Listing, kind: str) -> dict[str, Any]:
    place = {"book_id": made.row.book, "book_no": made.row.no, "book_seq": 2 - seq % 2}
    what = {"act": str(seq), "kind": kind, "actor": "owner", "recorded": "2026-01-02T00:00:00.000000Z"}
    return {"collection_id": COLLECTION, "seq": seq, "bytes": b"{}", "leaf": b"", **place, **what}


def _sealed(seq: int, name: str, value: str) -> dict[str, Any]:
    return {"collection_id": COLLECTION, "seq": seq, "name": name, "salt": b"\0" * 16, "value": value}
