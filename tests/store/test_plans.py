"""How the database goes about what is asked often: by an index, however long the ledger has become."""

from pathlib import Path

import pytest
from sqlalchemy import event

from ledger.store.codec import EventCodec
from ledger.store.engine import open_store
from ledger.store.log import make_collection, open_log
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe, a_note


@pytest.mark.parametrize("asked", ["of_collection", "of_book", "numbers_of"])
def test_the_entries_of_one_thing_are_looked_up_and_not_searched_for(tmp_path: Path, asked: str) -> None:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    book = str(Scribe(log).buy().book)
    Scribe(log, "again").add(None, a_note())
    statements: list[tuple[str, object]] = []
    event.listen(
        store._reading, "before_cursor_execute", lambda _c, _cursor, text, values, *_: statements.append((text, values))
    )
    with log.read() as reader:
        statements.clear()
        work = {"of_collection": reader.of_collection, "of_book": lambda: reader.of_book(book)}
        work.get(asked, lambda: reader.numbers_of("purchase"))()
        text, values = next((text, values) for text, values in statements if "FROM entry" in text)
    with store.snapshot(COLLECTION) as connection:
        plan = [str(row) for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}", values)]  # type: ignore[arg-type]
    used = {"of_collection": "book_id=?", "of_book": "book_id=?", "numbers_of": "kind=?"}[asked]
    assert used in plan[0], plan
    store.close()
