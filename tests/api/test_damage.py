"""What was changed behind the program's back is answered as damage, with the mend, and never blamed on who asks."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from httpx2 import Response

from api.errors import TYPES
from ledger.actor import Permission
from ledger.events.correction import Correction
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, Request, record
from tests.api.door import OWNER, Door, door_to, problem
from tests.usecases.tampering import SIZE, Bench, a_bench, a_note, rewrite, said_by

KEY = "once"
CORRECTION, NOTED = SIZE + 1, SIZE + 2
"""A correction of entry 6, and a note of the same book that was written under a key."""
Change = Callable[[sqlite3.Connection], Any]
Ask = Callable[[Door, Bench], Response]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    bench = a_bench(tmp_path_factory.mktemp("damage") / "made")
    mended = Correction(entry=6, changes={"on": "2001"}, reason=Sealed.of("a slip"))
    with bench.opened() as ledger:
        record(ledger, OWNER, [Draft(event=mended, book=bench.second)])
        body = f'books/{bench.second}/events\n{{"kind":"note","words":"once"}}'.encode()
        record(ledger, OWNER, [Draft(event=a_note("once"), book=bench.second)], Request(key=KEY, body=body))
    return bench


@contextmanager
def harmed(made: Bench, folder: Path, change: Change) -> Iterator[tuple[Door, Bench]]:
    """A door to a copy of the ledger in which that was changed."""
    bench = made.copied(folder / "copy")
    bench.behind_its_back(change)
    with bench.opened() as ledger:
        yield door_to(ledger, set(Permission)), bench


def without(bench: Bench, name: str) -> None:
    """A table is taken from the database while the program runs."""
    dropped = f"PRAGMA foreign_keys = OFF; DROP TABLE {name}"
    bench.behind_its_back(lambda db: db.executescript(dropped), guards=False)


def body_of(seq: int, **changes: Any) -> Change:
    """The body of an entry says something else, and its leaf is made to match."""
    return lambda db: rewrite(db, seq, body={**said_by(db, seq)["body"], **changes})


def an_append(door: Door, bench: Bench) -> Response:
    return door.post(f"/books/{bench.second}/events", {"kind": "note", "words": "one more"})


def a_correction(door: Door, bench: Bench) -> Response:
    body = {"kind": "correction", "entry": 6, "changes": {"on": "2003"}}
    return door.post(f"/books/{bench.second}/events", body, If_Match="*")


ASKING: dict[str, Ask] = {
    "the book": lambda door, bench: door.get(f"/books/{bench.second}"),
    "its entries": lambda door, bench: door.get(f"/books/{bench.second}/events"),
    "the day book": lambda door, _: door.get("/events"),
    "the entry itself": lambda door, _: door.get(f"/events/{CORRECTION}"),
    "an append": an_append,
    "a correction": a_correction,
}
HARM: dict[str, tuple[Change, str]] = {
    "a date that is none": (body_of(CORRECTION, changes={"on": "x"}), f"Entry {CORRECTION} at changes.on: with its changes"),
    "a number for a date": (body_of(CORRECTION, changes={"on": 5}), f"Entry {CORRECTION} at changes.on: with its changes"),
    "a field there is not": (body_of(CORRECTION, changes={"a": 1}), f"Entry {CORRECTION} at changes.a: with its changes"),
    "changes that are none": (body_of(CORRECTION, changes=[]), f"Entry {CORRECTION} at changes: it is not what a correction"),
    "another book's bytes": (lambda db: rewrite(db, CORRECTION, book="else"), f"Entry {CORRECTION}: beside it stands another"),
}  # fmt: skip


@pytest.mark.parametrize("ask", ASKING.values(), ids=ASKING)
@pytest.mark.parametrize(("change", "sentence"), HARM.values(), ids=HARM)
def test_a_correction_that_was_tampered_with_is_damage_whoever_asks(
    made: Bench, tmp_path: Path, change: Change, sentence: str, ask: Ask
) -> None:
    with harmed(made, tmp_path, change) as (door, bench):
        told = problem(ask(door, bench), 500)
    assert told["type"] == f"{TYPES}damaged"
    assert told["detail"].startswith(sentence)
    assert told["detail"].endswith("Run verify: it names all that is wrong.")
    assert told["errors"] == []


def sent_again(door: Door, bench: Bench) -> Response:
    body = {"kind": "note", "words": "once"}
    return door.post(f"/books/{bench.second}/events", body, Idempotency_Key=f'"{KEY}"')


def test_a_request_sent_again_gets_its_answer_while_its_receipt_is_whole(made: Bench, tmp_path: Path) -> None:
    with harmed(made, tmp_path, lambda _: None) as (door, bench):
        answer = sent_again(door, bench)
    assert answer.status_code == 201
    assert [each["seq"] for each in answer.json()["entries"]] == [NOTED]
    assert answer.headers["idempotency-replayed"] == "?1"


@pytest.mark.parametrize(
    "change",
    ["first = 99", "first = 0", "count = 0", "count = 2", "count = 4611686018427387904", "first = 6, count = 2"],
)
def test_a_receipt_that_was_tampered_with_is_damage(made: Bench, tmp_path: Path, change: str) -> None:
    with harmed(made, tmp_path, lambda db: db.execute(f"UPDATE receipt SET {change}")) as (door, bench):
        told = problem(sent_again(door, bench), 500)
    assert told["detail"].startswith("The receipt of the key once: it does not speak of the entries of one act.")


BACKUP, REBUILD = (
    "Put back a backup that is whole.",
    "Stop the program and run rebuild, which makes anew what is missing.",
)


@pytest.mark.parametrize(
    ("name", "mend", "ask"),
    [
        ("entry", BACKUP, ASKING["the day book"]),
        ("sealed_value", BACKUP, ASKING["the book"]),
        ("token", BACKUP, ASKING["the day book"]),
        ("collection", BACKUP, ASKING["the book"]),
        ("receipt", BACKUP, an_append),
        ("book_row", REBUILD, ASKING["the book"]),
        ("node", REBUILD, lambda door, _: door.get("/proofs/inclusion?seq=1")),
        ("read_model", REBUILD, None),
    ],
)
def test_a_table_that_is_gone_is_named_with_its_mend(
    made: Bench, tmp_path: Path, name: str, mend: str, ask: Ask | None
) -> None:
    with harmed(made, tmp_path, lambda _: None) as (door, bench):
        without(bench, name)
        if ask is not None:
            told = problem(ask(door, bench), 500)
            assert told["type"] == f"{TYPES}damaged"
            assert told["detail"] == f"The database: its table {name} is missing. {mend}"
        answer = door.post("/verify", {})
    if name in ("token", "collection"):
        assert problem(answer, 500)["detail"] == f"The database: its table {name} is missing. {mend}"
    else:
        found = [each["sentence"] for each in answer.json()["findings"] if each["code"] == "table-missing"]
        assert found[0].startswith(f"The table {name} of the database is missing; ")
