"""The day book in every kind of store: the days it is narrowed to, and what stands beside each entry."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, date, datetime, timedelta
from itertools import product
from typing import Any

import pytest
from sqlalchemy import Engine, event

from ledger.events.identification import Identification
from ledger.events.note import Note
from ledger.sealed import Sealed
from ledger.store.engine import DATABASE
from ledger.usecases.record import Draft
from ledger.views import EntryQuery
from ledger.when import When
from tests.builders import a_purchase, an_issue
from tests.conftest import Kept
from tests.fakes import FakeClock
from tests.store.writing import Scribe, a_note

HAPPENED = (
    None,
    "1998",
    "1998-02",
    "1998-02-28",
    "1998-03-01",
    "199X",
    "200X",
    "1997-12-31/1998-01",
    "1998/2001",
    "1998-02-28/1999",
    "1998-02-28T23:59:59-05:00",
    "1998-03-01T00:00:00+14:00",
    "1998-03-01T12:00:00Z",
)
"""Every way a date may be spelled. Source: EDTF, ISO 8601-2:2019 annex A, as `ledger.when` reads it."""

DAYS = (None, *(date.fromisoformat(f"{year}-{day}") for year in (1989, 1998, 2000) for day in ("01-01", "12-31")))
CLOSE = tuple(date(1998, 2, 27) + timedelta(days=n) for n in range(4))


def seqs(store: Kept, **query: object) -> list[int]:
    with store.log.read() as reader:
        listed = [row.seq for row in reader.daybook(EntryQuery(**query)).rows]  # type: ignore[arg-type]
        assert [entry.seq for entry in reader.entries(EntryQuery(**query)).rows] == listed  # type: ignore[arg-type]
    return listed


def test_what_may_have_happened_on_those_days_is_let_through_however_its_date_is_spelled(store: Kept) -> None:
    scribe = Scribe(store.log)
    for on in HAPPENED:
        scribe.add(None, Note(on=When.parse(on) if on else None, words=Sealed.of("kept flat")))
    for first, last in [*product(DAYS, DAYS), *product(CLOSE, CLOSE)]:
        if first is None and last is None:
            continue
        expected = [
            seq
            for seq, on in enumerate(HAPPENED, start=1)
            if on is not None
            and (first is None or When.parse(on).latest_day >= first)
            and (last is None or When.parse(on).earliest_day <= last)
        ]
        assert seqs(store, happened_from=first, happened_to=last) == expected, (first, last)


def test_the_days_of_recording_are_days_of_utc_and_both_ends_count(store: Kept) -> None:
    scribe = Scribe(store.log)
    moments = [
        datetime(2026, 3, 4, tzinfo=UTC),
        datetime(2026, 3, 4, 23, 59, 59, 999_999, tzinfo=UTC),
        datetime(2026, 3, 5, tzinfo=UTC),
        datetime(2026, 3, 6, tzinfo=UTC),
    ]
    for moment in moments:
        assert isinstance(scribe.ledger.clock, FakeClock)
        scribe.ledger.clock.time = moment - timedelta(seconds=1)
        scribe.add(None, a_note())
    assert seqs(store, recorded_to=date(2026, 3, 4)) == [1, 2]
    assert seqs(store, recorded_from=date(2026, 3, 5)) == [3, 4]
    assert seqs(store, recorded_from=date(2026, 3, 5), recorded_to=date(2026, 3, 5)) == [3]
    assert seqs(store, recorded_from=date(2026, 3, 7)) == []


def test_a_line_names_its_book_as_it_is_known_now_and_how_many_were_written_together(store: Kept) -> None:
    scribe = Scribe(store.log)
    drafts = [Draft(event=a_purchase(issue=an_issue(number=number)), new_book=True) for number in ("7", "9")]
    lot = scribe.write(*drafts)
    book = lot.entries[1].book
    scribe.add(book, Identification(issue=an_issue(title="The Tin Orchard", number="9b"), how="the indicia"))
    scribe.add(None, a_note())
    with store.log.read() as reader:
        rows = reader.daybook(EntryQuery(newest_first=True)).rows
        leaves = [reader.entry(row.seq).leaf for row in rows]
    assert [(row.seq, row.title, row.number, row.together, row.kind) for row in rows] == [
        (4, None, None, 1, "note"),
        (3, "The Tin Orchard", "9b", 1, "identification"),
        (2, "The Tin Orchard", "9b", 2, "purchase"),
        (1, "Captain Lantern", "7", 2, "purchase"),
    ]
    assert [row.leaf for row in rows] == leaves
    assert [row.act for row in rows[2:]] == [lot.act, lot.act]
    assert rows[2].event is not None
    assert rows[2].event.sealed_fields()["price"] == Sealed.withheld()


def test_a_page_goes_on_after_the_cursor_within_the_days(store: Kept) -> None:
    scribe = Scribe(store.log)
    for day in (1, 2, 1, 2, 1):
        scribe.add(None, Note(on=When.of_day(date(2020, 5, day)), words=Sealed.of("kept flat")))
    asked = {"happened_from": date(2020, 5, 1), "happened_to": date(2020, 5, 1), "newest_first": True, "limit": 2}
    with store.log.read() as reader:
        page = reader.daybook(EntryQuery(**asked))  # type: ignore[arg-type]
        assert ([row.seq for row in page.rows], page.after) == ([5, 3], "3")
        rest = reader.daybook(EntryQuery(**asked, after=3))  # type: ignore[arg-type]
        assert ([row.seq for row in rest.rows], rest.after) == ([1], None)


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
@pytest.mark.parametrize("data", [b"{", b"\xff\xfe", b'{"on":{"on":"1998"}}', b'{"on":5}', b"[]", b""])
def test_an_entry_that_cannot_be_read_is_listed_without_its_words_and_stops_no_filter(store: Kept, data: bytes) -> None:
    scribe = Scribe(store.log)
    scribe.add(None, Note(on=When.parse("1998"), words=Sealed.of("kept flat")))
    scribe.add(None, Note(on=When.parse("1998"), words=Sealed.of("kept flat")))
    store.whole = False
    with closing(sqlite3.connect(store.folder / DATABASE)) as connection:
        connection.execute("DROP TRIGGER entry_update")
        connection.execute("UPDATE entry SET bytes = ? WHERE seq = 1", (data,))
        connection.commit()
    with store.log.read() as reader:
        rows = reader.daybook(EntryQuery()).rows
        assert [(row.seq, row.kind, row.event is None) for row in rows] == [(1, "note", True), (2, "note", False)]
        within = reader.daybook(EntryQuery(happened_from=date(1998, 1, 1), happened_to=date(1998, 1, 1)))
        assert [row.seq for row in within.rows] == [2]


def test_a_longer_page_takes_no_more_statements(store: Kept) -> None:
    scribe = Scribe(store.log)
    for _ in range(12):
        scribe.buy()
    with store.log.read() as reader, counted() as seen:
        reader.daybook(EntryQuery(limit=1))
        one = len(seen)
        reader.daybook(EntryQuery(limit=12))
        assert len(seen) == 2 * one
    assert one == (0 if store.kind == "fake" else 3)


@contextmanager
def counted() -> Iterator[list[str]]:
    """Every statement that is given to a database meanwhile."""
    seen: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        seen.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        event.remove(Engine, "before_cursor_execute", note)
