"""On PostgreSQL the server itself refuses every attack that comes with the application's role, each alone."""

from collections.abc import Iterator

import psycopg
import pytest
from sqlalchemy.exc import DBAPIError

from ledger.ports import StoredCheckpoint, StoredToken, Writer
from ledger.store.codec import EventCodec
from ledger.store.log import make_collection, open_log
from ledger.store.postgres import PostgresStore
from ledger.store.postgres_guards import BODIES, SCHEMA, TABLES, missing_guards
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.postgres import APPLICATION, OWNER, Database, empty_database
from tests.store.writing import WHEN, Scribe

OTHER = "othercollectionotherothero"
COPY = "SELECT {collection}, {seq}, bytes, leaf, {book}, book_no, {book_seq}, act, kind, actor, recorded FROM entry WHERE seq = 1"
STRAY = COPY.format(collection="collection_id", seq="{seq}", book="NULL", book_seq="NULL")
DOUBLE = COPY.format(collection="collection_id", seq=4, book="book_id", book_seq="book_seq")

ATTACKS = {
    "an entry is changed": "UPDATE entry SET bytes = ''",
    "an entry's number is changed": "UPDATE entry SET seq = 9 WHERE seq = 1",
    "an entry is taken out": "DELETE FROM entry WHERE seq = 3",
    "all entries are taken out": "DELETE FROM entry",
    "the entries are emptied": "TRUNCATE entry CASCADE",
    "an entry is changed by an upsert": f"INSERT INTO entry {STRAY.format(seq=1)} ON CONFLICT (collection_id, seq) DO UPDATE SET act = 'x'",
    "an entry is changed by a merge": "MERGE INTO entry USING (SELECT 1) AS s ON true WHEN MATCHED THEN UPDATE SET bytes = ''",
    "a gap is left": f"INSERT INTO entry {STRAY.format(seq=5)}",
    "a used number is given": f"INSERT INTO entry {STRAY.format(seq=2)}",
    "a lower number is given": f"INSERT INTO entry {STRAY.format(seq=0)}",
    "no number is given": f"INSERT INTO entry {STRAY.format(seq='NULL')}",
    "a place within a book is given twice": f"INSERT INTO entry {DOUBLE}",
    "an entry is put into another collection": "INSERT INTO entry "
    + COPY.format(collection=f"'{OTHER}'", seq=1, book="NULL", book_seq="NULL"),
    "an entry is copied in out of order": "COPY entry FROM STDIN",
    "the head goes back": "UPDATE head SET size = 2",
    "the head goes on without an entry": "UPDATE head SET size = 4",
    "the head is taken out": "DELETE FROM head",
    "the head of another collection is made": f"INSERT INTO head VALUES ('{OTHER}', 0, 0)",
    "the collection is renamed": "UPDATE collection SET origin = 'x'",
    "the collection is taken out": "DELETE FROM collection",
    "another collection is made": f"INSERT INTO collection VALUES ('{OTHER}x', 'x', 'x')",
    "a sealed value is changed": "UPDATE sealed_value SET value = '1' WHERE seq = 1",
    "a salt is changed": "UPDATE sealed_value SET salt = '\\x00', value = 'null' WHERE seq = 1",
    "a sealed value changes its place": "UPDATE sealed_value SET name = 'x'",
    "a sealed value's row is taken out": "DELETE FROM sealed_value",
    "the sealed values are emptied": "TRUNCATE sealed_value",
    "a checkpoint is changed": "UPDATE checkpoint SET note = 'x'",
    "a checkpoint is taken out": "DELETE FROM checkpoint",
    "a checkpoint covers less": "INSERT INTO checkpoint SELECT collection_id, 2, 2, 'x', 'y' FROM head",
    "a checkpoint covers more than there is": "INSERT INTO checkpoint SELECT collection_id, 2, 9, 'x', 'y' FROM head",
    "a checkpoint is slipped in before": "INSERT INTO checkpoint SELECT collection_id, 0, 3, 'x', 'y' FROM head",
    "a receipt is pointed elsewhere": "UPDATE receipt SET first = 2",
    "a receipt's request is changed": "UPDATE receipt SET request = '\\x01'",
    "a receipt is taken out": "DELETE FROM receipt",
    "a token's scopes grow": "UPDATE token SET scopes = '[\"erase\"]'",
    "a token is taken out": "DELETE FROM token",
    "a trigger is dropped": "DROP TRIGGER entry_update ON entry",
    "a trigger is disabled": "ALTER TABLE entry DISABLE TRIGGER entry_update",
    "all triggers are disabled": "ALTER TABLE entry DISABLE TRIGGER ALL",
    "a trigger is made": "CREATE TRIGGER t BEFORE INSERT ON entry EXECUTE FUNCTION entry_insert()",
    "a guard's body is changed": f"CREATE OR REPLACE FUNCTION {SCHEMA}.entry_insert() RETURNS trigger LANGUAGE plpgsql"
    " AS 'BEGIN RETURN NEW; END'",
    "a rule is made": "CREATE RULE r AS ON INSERT TO entry DO INSTEAD NOTHING",
    "row security is turned off": "ALTER TABLE entry DISABLE ROW LEVEL SECURITY",
    "row security is no longer forced": "ALTER TABLE entry NO FORCE ROW LEVEL SECURITY",
    "a policy is made": "CREATE POLICY all_of_it ON entry USING (true)",
    "a policy is dropped": "DROP POLICY ours ON entry",
    "the table is dropped": "DROP TABLE entry CASCADE",
    "the table is renamed": "ALTER TABLE entry RENAME TO old",
    "a column is dropped": "ALTER TABLE entry DROP COLUMN act",
    "a column is added": "ALTER TABLE entry ADD COLUMN more TEXT",
    "an index is dropped": "DROP INDEX entry_act",
    "a table is made": f"CREATE TABLE {SCHEMA}.more (id INTEGER)",
    "the schema is dropped": f"DROP SCHEMA {SCHEMA} CASCADE",
    "the table is given away": f"ALTER TABLE entry OWNER TO {APPLICATION}",
    "the owner is become": f"SET ROLE {OWNER}",
    "somebody else is become": f"SET SESSION AUTHORIZATION {OWNER}",
    "a replay is pretended": "SET session_replication_role = replica",
    "the version is changed": "UPDATE alembic_version SET version_num = '0001'",
    "a file of the server is read": "COPY (SELECT 1) TO '/tmp/slipsheet-is-not-here'",
    "a setting of the server is changed": "ALTER SYSTEM SET fsync = off",
}
"""What is tried in a transaction about COLLECTION. That nothing else refuses it is seen by its text in `WRONGLY`."""

WRONGLY = (
    "SyntaxError",
    "UndefinedTable",
    "UndefinedColumn",
    "UndefinedFunction",
    "UndefinedObject",
    "DatatypeMismatch",
)


@pytest.fixture(scope="module")
def database() -> Iterator[Database]:
    with empty_database() as made:
        yield made


@pytest.fixture(scope="module")
def attacked(database: Database) -> Iterator[PostgresStore]:
    """Three entries, a receipt, a checkpoint and a token in each of two collections; whole again when all is over."""
    store = database.open()
    for collection in (COLLECTION, OTHER):
        make_collection(store, collection, WHEN)
        log = open_log(collection, store, EventCodec())
        scribe = Scribe(log)
        for key in ("k1", "k2", "k3"):
            scribe.buy(key=key)
        log.write(_sign_and_share)
    yield store
    for collection in (COLLECTION, OTHER):
        log = open_log(collection, store, EventCodec())
        assert check_ledger(log) == 3
        assert Scribe(log, "later").buy().seq == 4
    store.close()


def _sign_and_share(writer: Writer) -> None:
    writer.put_token(
        StoredToken(id="t", label="l", hashed=b"h", scopes=("read",), person="owner", created=WHEN, expires=WHEN)
    )
    writer.put_checkpoint(StoredCheckpoint(size=3, note="n", signed=WHEN))


def everything(database: Database) -> list[tuple[object, ...]]:
    """Every row that is kept, and every guard, as a superuser sees them."""
    asked = [f"SELECT * FROM {SCHEMA}.{table} ORDER BY 1, 2" for table in TABLES]
    asked += [
        "SELECT tgname, tgenabled, tgrelid FROM pg_trigger ORDER BY oid",
        "SELECT relname, relacl::text, relowner, relrowsecurity, relforcerowsecurity FROM pg_class ORDER BY oid",
        "SELECT polname, polrelid FROM pg_policy ORDER BY oid",
    ]
    with psycopg.connect(database.above) as connection:
        return [row for statement in asked for row in connection.execute(statement).fetchall()]


@pytest.mark.parametrize("name", ATTACKS)
def test_the_server_refuses_the_applications_role(attacked: PostgresStore, database: Database, name: str) -> None:
    before = everything(database)
    with pytest.raises(DBAPIError) as refused:
        attacked.write(COLLECTION, lambda connection: connection.exec_driver_sql(ATTACKS[name]))
    # It is refused for what it does, and not because it is spelled wrongly.
    assert type(refused.value.orig).__name__ not in WRONGLY, refused.value.orig
    assert everything(database) == before


@pytest.mark.parametrize("name", ATTACKS)
def test_a_reader_can_do_none_of_it_either(attacked: PostgresStore, database: Database, name: str) -> None:
    before = everything(database)
    with pytest.raises(DBAPIError), attacked.snapshot(COLLECTION) as connection:
        connection.exec_driver_sql(ATTACKS[name])
    assert everything(database) == before


def test_a_role_cannot_grant_itself_more(attacked: PostgresStore, database: Database) -> None:
    before = everything(database)
    # The server warns and grants nothing. Source: PostgreSQL, GRANT, Notes.
    attacked.write(COLLECTION, lambda connection: connection.exec_driver_sql(f"GRANT ALL ON entry TO {APPLICATION}"))
    assert everything(database) == before


def test_copying_in_is_refused_by_the_driver_too(database: Database, attacked: PostgresStore) -> None:
    with psycopg.connect(database.application, options=f"-c search_path={SCHEMA}") as connection:
        connection.execute("SELECT set_config('slipsheet.collection', %s, true)", [COLLECTION])
        with (
            pytest.raises(psycopg.Error, match="row-level security"),
            connection.cursor().copy("COPY entry FROM STDIN"),
        ):
            pass


@pytest.mark.parametrize("table", TABLES)
def test_a_transaction_is_shown_its_own_collection_and_no_other(attacked: PostgresStore, table: str) -> None:
    for collection in (COLLECTION, OTHER):
        with attacked.snapshot(collection) as connection:
            shown = set(connection.exec_driver_sql(f"SELECT DISTINCT collection_id FROM {table}").scalars())
            assert shown <= {collection}
            foreign = f"SELECT count(*) FROM {table} WHERE collection_id <> '{collection}'"
            assert connection.exec_driver_sql(foreign).scalar_one() == 0


def test_a_transaction_about_no_collection_is_shown_their_names_and_nothing_else(attacked: PostgresStore) -> None:
    with attacked.snapshot("") as connection:
        for table in TABLES:
            count = connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar_one()
            assert count == (2 if table == "collection" else 0), table


def test_every_guard_is_as_it_was_made(attacked: PostgresStore) -> None:
    with attacked.snapshot(COLLECTION) as connection:
        assert missing_guards(connection) == []


LOOSENED = {
    "a trigger dropped": ("DROP TRIGGER entry_update ON entry", "entry_update"),
    "a trigger disabled": ("ALTER TABLE entry DISABLE TRIGGER entry_delete", "entry_delete"),
    "a trigger that a replay skips": ("ALTER TABLE entry ENABLE TRIGGER entry_insert", "entry_insert"),
    "a hollow guard": (
        f"CREATE OR REPLACE FUNCTION {SCHEMA}.head_update() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
        "head_update",
    ),
    "a guard with a condition": (
        (
            "DROP TRIGGER entry_delete ON entry; CREATE TRIGGER entry_delete BEFORE DELETE ON entry FOR EACH ROW"
            f" WHEN (OLD.seq > 9) EXECUTE FUNCTION {SCHEMA}.entry_delete(); ALTER TABLE entry ENABLE ALWAYS TRIGGER entry_delete"
        ),
        "entry_delete",
    ),
    "row security off": ("ALTER TABLE entry DISABLE ROW LEVEL SECURITY", "entry, row security"),
    "row security not forced": ("ALTER TABLE head NO FORCE ROW LEVEL SECURITY", "head, row security"),
    "a policy more": (f"CREATE POLICY more ON entry TO {APPLICATION} USING (true)", "entry, the rows it shows"),
    "a policy for everybody": ("CREATE POLICY more ON entry USING (true)", "entry, the rows it shows"),
    "a policy that shows all": ("ALTER POLICY ours ON entry USING (true)", "entry, the rows it shows"),
    "a policy dropped": ("DROP POLICY ours ON token", "token, the rows it shows"),
    "a grant more": (f"GRANT DELETE ON entry TO {APPLICATION}", "entry, what the role may do"),
    "a grant to everybody": ("GRANT TRUNCATE ON entry TO PUBLIC", "entry, what the role may do"),
    "a column more": (f"GRANT UPDATE (bytes) ON entry TO {APPLICATION}", "entry, what the role may change"),
}
"""What an owner does to the guards, and the name under which verify tells of it."""


@pytest.mark.parametrize("name", LOOSENED)
def test_a_guard_that_was_loosened_is_named(name: str) -> None:
    statement, named = LOOSENED[name]
    with empty_database() as database:
        with psycopg.connect(database.owner, autocommit=True, options=f"-c search_path={SCHEMA}") as connection:
            connection.execute(statement)
        store = database.open()
        with store.snapshot("") as connection:
            assert missing_guards(connection) == [named]
        store.close()


def test_there_is_a_guard_for_every_statement_that_changes_what_is_kept() -> None:
    kept = {"entry", "head", "collection", "sealed_value", "receipt", "checkpoint", "token"}
    assert {f"{table}_{how}" for table in kept for how in ("update", "delete", "emptying")} <= set(BODIES)
