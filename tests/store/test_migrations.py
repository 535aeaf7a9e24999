"""A file of an older version is brought up to date, guards and all; read models are made anew instead."""

import sqlite3
from pathlib import Path
from textwrap import dedent

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, MetaData, create_engine, event, inspect
from sqlalchemy.pool import StaticPool

from ledger.rows import ROWS_VERSION
from ledger.store import engine as engine_module
from ledger.store import read_models
from ledger.store.account_tables import ACCOUNTS
from ledger.store.beside_tables import BESIDE
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, open_read_only, open_store
from ledger.store.guards import TRIGGERS, make_guards, missing_guards
from ledger.store.log import make_collection, open_log
from ledger.store.migrations import VERSION, migrate
from ledger.store.row_tables import BOOK_ROW, COST_ROW, PICTURE_ROW, WORD_ROW
from ledger.store.tables import KEPT
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe, a_note

BATCH_STEP = f'''
"""A step that makes a table anew, as adding a check or dropping a column does on SQLite."""

import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{VERSION:04}"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("entry", recreate="always") as table:
        table.add_column(sa.Column("shelf", sa.Text(), nullable=True))
'''

MIGRATED = (*KEPT, *ACCOUNTS, *BESIDE)


def _fresh() -> Connection:
    """A connection to an empty database in memory, with no transaction of its own making."""
    engine = create_engine("sqlite://", poolclass=StaticPool)

    @event.listens_for(engine, "connect")
    def _connect(below: sqlite3.Connection, _record: object) -> None:
        below.isolation_level = None

    return engine.connect()


def _written(folder: Path) -> None:
    store = open_store(folder)
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    scribe = Scribe(log)
    scribe.add(scribe.buy(key="k").book, a_note())
    store.close()


def test_the_steps_lead_to_the_tables_of_today() -> None:
    with _fresh() as connection:
        migrate(connection)
        today = MetaData()
        for table in MIGRATED:
            table.to_metadata(today)
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, today) == []
        steps = {table.name: _shape(connection, table.name) for table in MIGRATED}
    with _fresh() as connection:
        today.create_all(connection)
        assert {table.name: _shape(connection, table.name) for table in MIGRATED} == steps


def _shape(connection: Connection, table: str) -> tuple[object, ...]:
    found = inspect(connection)
    strict = connection.exec_driver_sql(f"SELECT strict, wr FROM pragma_table_list('{table}')").all()
    columns = [(each["name"], str(each["type"]), each["nullable"]) for each in found.get_columns(table)]
    keys = found.get_pk_constraint(table)["constrained_columns"]
    unique = sorted(tuple(each["column_names"]) for each in found.get_unique_constraints(table))
    indexes = sorted((each["name"], tuple(each["column_names"])) for each in found.get_indexes(table))
    foreign = sorted(
        (tuple(each["constrained_columns"]), each["referred_table"]) for each in found.get_foreign_keys(table)
    )
    checks = sorted(each["sqltext"] for each in found.get_check_constraints(table))
    return strict, columns, keys, unique, indexes, foreign, checks


def test_every_table_is_strict_and_every_key_begins_with_the_collection() -> None:
    with _fresh() as connection:
        migrate(connection)
        read_models.make_read_models(connection)
        for table in (*MIGRATED, BOOK_ROW, PICTURE_ROW, COST_ROW, WORD_ROW):
            assert connection.exec_driver_sql(f"SELECT strict FROM pragma_table_list('{table.name}')").scalar() == 1
            indexes = connection.exec_driver_sql(f"SELECT name FROM pragma_index_list('{table.name}')").scalars().all()
            assert indexes, table.name
            for index in indexes:
                assert connection.exec_driver_sql(f"SELECT name FROM pragma_index_info('{index}')").scalar() == (
                    "collection_id"
                ), index


def test_the_version_is_the_number_of_the_last_step() -> None:
    steps = Path(engine_module.__file__).parent / "migrations" / "versions"
    numbers = sorted(path.stem.rpartition("_")[2] for path in steps.glob("*.py") if path.stem != "__init__")
    assert numbers == [f"{number:04}" for number in range(1, VERSION + 1)]


def test_a_step_that_makes_a_table_anew_drops_its_guards_and_they_come_back(tmp_path: Path) -> None:
    (tmp_path / "step_9999.py").write_text(dedent(BATCH_STEP), encoding="utf-8")
    with _fresh() as connection:
        migrate(connection)
        make_guards(connection)
        assert missing_guards(connection) == []
        # This one names the table that is made anew, and would stop the step instead of being lost in it.
        connection.exec_driver_sql("DROP TRIGGER head_update")
        migrate(connection, beyond=[tmp_path])
        assert "shelf" in {each["name"] for each in inspect(connection).get_columns("entry")}
        assert missing_guards(connection) == ["entry_delete", "entry_insert", "entry_update", "head_update"]
        make_guards(connection)
        assert missing_guards(connection) == []


def test_a_file_of_an_older_version_is_brought_up_to_date_when_it_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _written(tmp_path / "folder")
    (tmp_path / "step_9999.py").write_text(dedent(BATCH_STEP), encoding="utf-8")
    monkeypatch.setattr(engine_module, "VERSION", VERSION + 1)
    monkeypatch.setattr(engine_module, "migrate", lambda connection: migrate(connection, beyond=[tmp_path]))
    store = open_store(tmp_path / "folder")
    log = open_log(COLLECTION, store, EventCodec())
    with log.read() as reader:
        assert reader.guards_missing() == []
        assert reader.head().size == 2
    Scribe(log, "later").add(None, a_note())
    assert check_ledger(log) == 3
    store.close()
    stranger = sqlite3.connect(tmp_path / "folder" / DATABASE)
    assert stranger.execute("PRAGMA user_version").fetchone() == (VERSION + 1,)
    assert stranger.execute("SELECT count(*) FROM pragma_table_info('entry') WHERE name = 'shelf'").fetchone() == (1,)
    assert stranger.execute("SELECT count(*) FROM sqlite_schema WHERE type = 'trigger'").fetchone() == (len(TRIGGERS),)
    stranger.close()


def test_a_migration_that_fails_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _written(tmp_path)

    def failing(connection: Connection) -> None:
        assert missing_guards(connection) == sorted(TRIGGERS)
        connection.exec_driver_sql("ALTER TABLE entry ADD COLUMN half TEXT")
        raise ZeroDivisionError

    with monkeypatch.context() as newer:
        newer.setattr(engine_module, "VERSION", VERSION + 1)
        newer.setattr(engine_module, "migrate", failing)
        with pytest.raises(ZeroDivisionError):
            open_store(tmp_path)
    store = open_store(tmp_path)
    with open_log(COLLECTION, store, EventCodec()).read() as reader:
        assert reader.guards_missing() == []
        assert reader.head().size == 2
    store.close()


def test_read_models_of_another_shape_are_made_anew_when_the_log_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _written(tmp_path)
    stranger = sqlite3.connect(tmp_path / DATABASE)
    stranger.execute("UPDATE book_row SET title = 'of an earlier program'")
    stranger.commit()
    stranger.close()
    monkeypatch.setattr(read_models, "ROWS_VERSION", ROWS_VERSION + 1)
    store = open_store(tmp_path)
    log = open_log(COLLECTION, store, EventCodec())
    with log.read() as reader:
        assert [each.row.title for each in reader.listings()] == ["Captain Lantern"]
    store.close()
    # The second time they are of today's shape and left alone.
    before = _rows(tmp_path)
    store = open_store(tmp_path)
    open_log(COLLECTION, store, EventCodec())
    store.close()
    assert _rows(tmp_path) == before


def _rows(folder: Path) -> list[tuple[object, ...]]:
    store = open_read_only(folder)
    with store.snapshot("") as connection:
        found = [tuple(row) for row in connection.exec_driver_sql("SELECT rowid, * FROM book_row")]
    store.close()
    return found
