"""One chain on a PostgreSQL server with thirty-two writers, beside the very statements they sent, sent bare by as many."""

from collections import defaultdict
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from time import perf_counter
from typing import Any, Final

import psycopg
from sqlalchemy import Connection, event

from ledger.store.codec import EventCodec
from ledger.store.log import make_collection, open_log
from ledger.store.postgres_guards import SCHEMA
from tests.bench.measuring import Ratio
from tests.conftest import COLLECTION
from tests.postgres import Database, empty_database, is_there
from tests.store.writing import WHEN, Scribe, a_note

WRITERS: Final = 32
EACH: Final = 60
GOAL: Final = 1 / 0.6
"""As many entries a second as six tenths of the bare statements."""

Statement = tuple[str, Any]
_HOLD: Final = "FOR NO KEY UPDATE"


def ratios() -> Iterator[Ratio]:
    """Units: ms an entry."""
    if not is_there():
        return
    with empty_database() as first, empty_database() as second:
        ours, sent = _program(first)
        theirs = _bare(second, sent)
    what, reference = f"one chain on a server, {WRITERS} writers", "the same statements, sent bare"
    yield Ratio(what=what, ours=ours, reference=reference, theirs=theirs, unit="ms", goal=GOAL)


def _timed(work: Callable[[int], None]) -> float:
    start = perf_counter()
    with ThreadPoolExecutor(WRITERS) as threads:
        list(threads.map(work, range(WRITERS)))
    return (perf_counter() - start) / (WRITERS * EACH) * 1000


def _program(database: Database) -> tuple[float, dict[int, list[Statement]]]:
    """By the use case, and what it sent for each entry."""
    store = database.open()
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    under_way: dict[int, list[Statement]] = defaultdict(list)
    sent: dict[int, list[Statement]] = {}

    @event.listens_for(store._writing, "before_cursor_execute")
    def note(connection: Connection, _cursor: Any, statement: str, values: Any, _context: Any, many: bool) -> None:  # noqa: FBT001
        own = under_way[id(connection.connection.driver_connection)]
        own.extend((statement, each) for each in (values if many else [values]))
        if statement.startswith("INSERT INTO entry "):
            sent[values["seq"]] = own

    @event.listens_for(store._writing, "commit")
    def end(connection: Connection) -> None:
        under_way.pop(id(connection.connection.driver_connection), None)

    scribes = [Scribe(log, f"writer {number}") for number in range(WRITERS)]
    for number, scribe in enumerate(scribes):
        scribe.buy(book=f"b{number}")

    def work(number: int) -> None:
        for line in range(EACH):
            scribes[number].add(f"b{number}", a_note(f"note {line}"), key=f"{number}.{line}")

    taken = _timed(work)
    store.close()
    return taken, sent


def _bare(database: Database, sent: dict[int, list[Statement]]) -> float:
    """Whoever is let in by the lock reads the head, and sends what the program sent for the entry behind it."""
    store = database.open()
    make_collection(store, COLLECTION, WHEN)
    store.close()
    options = f"-c search_path={SCHEMA},public -c synchronous_commit=on"
    connections = [psycopg.connect(database.application, options=options) for _ in range(WRITERS)]
    for _ in range(WRITERS):
        _append(connections[0], sent)

    def work(number: int) -> None:
        for _ in range(EACH):
            _append(connections[number], sent)

    taken = _timed(work)
    with connections[0].transaction():
        connections[0].execute(*sent[1][0])
        assert connections[0].execute("SELECT size FROM head").fetchone() == (len(sent),)
    for each in connections:
        each.close()
    return taken


def _append(connection: "psycopg.Connection[Any]", sent: dict[int, list[Statement]]) -> None:
    any_own = sent[1]
    held = next(place for place, (statement, _) in enumerate(any_own) if _HOLD in statement)
    with connection.transaction():
        size = 0
        for statement, values in any_own[: held + 1]:
            found = connection.execute(statement, values).fetchall()
            size = found[0][0] if _HOLD in statement else size
        for statement, values in sent[size + 1][held + 1 :]:
            cursor = connection.execute(statement, values)
            if cursor.description is not None:
                cursor.fetchall()
