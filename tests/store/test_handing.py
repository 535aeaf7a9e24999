"""What is handed on, in the store: kept and never changed, links that end, and rows that were harmed are read."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest
from sqlalchemy import Table, delete, update
from sqlalchemy.exc import DBAPIError

from ledger.handing import HandingWriter, KeptRecord, Link, Stamp, StampKind
from ledger.store.engine import DATABASE, Store, open_store
from ledger.store.handing import SqlHanding
from ledger.store.handing_tables import LINK, RECORD, STAMP
from ledger.store.log import make_collection
from tests.conftest import COLLECTION
from tests.store.homes import OTHER

NOW = datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC)
FILE = b'{"a": "\xc3\xa9"}'
OWN = KeptRecord(sha256=sha256(FILE).hexdigest(), book="b1", received=False, seq=7, made=NOW, data=FILE)
THEIRS = KeptRecord(
    sha256=sha256(b"theirs").hexdigest(),
    book="b1",
    received=True,
    seq=0,
    made=NOW - timedelta(days=1),
    data=b"theirs",
)
AT = Link(id="l1", hashed="5" * 64, record=OWN.sha256, book="b1", made=NOW, expires=NOW + timedelta(days=30), seen=0)
TOKEN = Stamp(id="s2", kind=StampKind.TIME_STAMP, size=9, made=NOW, by="an authority", data=b"\x30\x00")
LINE = Stamp(id="s1", kind=StampKind.COSIGNATURE, size=4, made=NOW, by="a neighbour", data=b"line")


def fill(writer: HandingWriter) -> None:
    """One of each."""
    for each in (OWN, THEIRS):
        writer.put_record(each)
    writer.put_link(AT)
    for stamp in (TOKEN, LINE):
        writer.put_stamp(stamp)


def test_records_links_and_stamps_come_back_as_they_were_put(engine: Store) -> None:
    handing = SqlHanding(COLLECTION, engine)
    handing.write(fill)
    with handing.read() as reader:
        assert reader.records("b1") == [THEIRS, OWN]
        assert reader.records("b2") == []
        assert list(reader.all_records()) == sorted((OWN, THEIRS), key=lambda each: each.sha256)
        assert reader.record(OWN.sha256) == OWN
        assert reader.record("0" * 64) is None
        assert (reader.links("b1"), reader.links("b2"), reader.link("l1"), reader.link("l2")) == ([AT], [], AT, None)
        assert (reader.link_by("5" * 64), reader.link_by("6" * 64)) == (AT, None)
        assert reader.stamps() == [LINE, TOKEN]


def test_a_record_and_a_stamp_stay_as_they_were_first_put(engine: Store) -> None:
    handing = SqlHanding(COLLECTION, engine)
    handing.write(fill)
    handing.write(lambda writer: writer.put_record(replace(OWN, book="b9", data=b"")))
    handing.write(lambda writer: writer.put_stamp(replace(TOKEN, by="somebody else")))
    with handing.read() as reader:
        assert reader.record(OWN.sha256) == OWN
        assert reader.stamps() == [LINE, TOKEN]


def test_a_link_is_counted_and_ended(engine: Store) -> None:
    handing = SqlHanding(COLLECTION, engine)
    handing.write(fill)
    handing.write(lambda writer: writer.put_link(replace(AT, seen=1)))
    with handing.read() as reader:
        assert reader.link("l1") == replace(AT, seen=1)
    handing.write(lambda writer: writer.take_link("l1"))
    with handing.read() as reader:
        assert (reader.links("b1"), reader.link_by("5" * 64)) == ([], None)


def test_what_one_collection_hands_on_never_meets_anothers(engine: Store) -> None:
    ours, theirs = SqlHanding(COLLECTION, engine), SqlHanding(OTHER, engine)
    for handing in (ours, theirs):
        handing.write(fill)
    theirs.write(lambda writer: writer.take_link("l1"))
    with ours.read() as reader, theirs.read() as other:
        assert (reader.links("b1"), other.links("b1")) == ([AT], [])


def test_what_raises_keeps_nothing(engine: Store) -> None:
    handing = SqlHanding(COLLECTION, engine)

    def fails(writer: HandingWriter) -> None:
        fill(writer)
        raise ValueError("stop")

    with pytest.raises(ValueError, match="stop"):
        handing.write(fails)
    with handing.read() as reader:
        assert (reader.records("b1"), reader.links("b1"), reader.stamps()) == ([], [], [])


@pytest.mark.parametrize("harmed", ["", "[]", '{"file": 3, "expires": 4, "said": "-", "kind": [], "size": "9"}'])
def test_a_row_that_was_harmed_is_read_as_far_as_it_goes(tmp_path: Path, harmed: str) -> None:
    engine = open_store(tmp_path)
    make_collection(engine, COLLECTION, NOW)
    SqlHanding(COLLECTION, engine).write(fill)
    engine.close()
    with closing(sqlite3.connect(tmp_path / DATABASE)) as raw, raw:
        for table in ("record", "link", "stamp"):
            raw.execute(f"UPDATE {table} SET data = ?", (harmed,))
    engine = open_store(tmp_path)
    with SqlHanding(COLLECTION, engine).read() as reader:
        kept, at, stamps = reader.record(OWN.sha256), reader.link("l1"), reader.stamps()
    assert kept is not None
    assert at is not None
    assert (kept.data, kept.book, kept.received) == (b"", "", True)
    assert (at.hashed, at.expires) == ("", NOW)
    assert [(each.size, each.data) for each in stamps] == [(0, b""), (0, b"")]
    engine.close()


@pytest.mark.parametrize("table", [RECORD, STAMP, LINK], ids=str)
def test_the_programs_own_connection_changes_no_row_in_place(engine: Store, table: Table) -> None:
    SqlHanding(COLLECTION, engine).write(fill)
    with pytest.raises(DBAPIError):
        engine.write(COLLECTION, lambda connection: connection.execute(update(table).values(data="{}")))


def test_a_record_that_shows_what_was_erased_is_taken_out(engine: Store) -> None:
    handing = SqlHanding(COLLECTION, engine)
    handing.write(fill)
    handing.write(lambda writer: writer.take_record(OWN.sha256))
    with handing.read() as reader:
        assert reader.records("b1") == [THEIRS]


def test_the_programs_own_connection_takes_out_no_stamp(engine: Store) -> None:
    SqlHanding(COLLECTION, engine).write(fill)
    with pytest.raises(DBAPIError):
        engine.write(COLLECTION, lambda connection: connection.execute(delete(STAMP)))
