"""Accounts in the store: kept, changed, ended; one collection's never meet another's, and no part of the ledger is touched."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Table, delete, insert, text, update
from sqlalchemy.exc import DatabaseError

from ledger.accounts import (
    OF_A_LOOK,
    AccountWriter,
    DateOrder,
    Person,
    Preferences,
    Session,
    Theme,
    WaitingForm,
    preferences_of,
)
from ledger.store.account_tables import ACCOUNTS, PERSON, SESSION, WAITING_FORM
from ledger.store.accounts import SqlAccounts
from ledger.store.engine import DATABASE, SqliteStore, Store, open_store
from ledger.store.log import make_collection
from tests.conftest import COLLECTION
from tests.store.homes import HOMES, open_home

NOW = datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC)
DAY = timedelta(days=1)
OTHER = "othersothersothersothersot"
OWNER = Person(
    id="owner", created=NOW, password="$argon2id$…", preferences=Preferences(theme=Theme.DARK, currency="NOK")
)
SESSION_1 = Session(hashed=b"1" * 32, person="owner", started=NOW, used=NOW, confirmed=NOW)
SESSION_2 = replace(SESSION_1, hashed=b"2" * 32, confirmed=None)
FORM = WaitingForm(id="form", person="owner", back="/x?y=z", action="/x", fields=(("a", "b"), ("a", "")), held=NOW)


def with_owners(store: Store) -> SqlAccounts:
    """Accounts with an owner in each of two collections."""
    for collection in (COLLECTION, OTHER):
        make_collection(store, collection, NOW)
        SqlAccounts(collection, store).write(lambda writer: writer.put_person(OWNER))
    return SqlAccounts(COLLECTION, store)


@pytest.fixture(params=HOMES)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    with HOMES[request.param](tmp_path) as address:
        opened = open_home(address)
        yield opened
        opened.close()


@pytest.fixture
def accounts(store: Store) -> SqlAccounts:
    return with_owners(store)


@pytest.fixture
def database(tmp_path: Path) -> Iterator[SqliteStore]:
    opened = open_store(tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def filed(database: SqliteStore) -> SqlAccounts:
    """The same in a file, for what is particular to one."""
    return with_owners(database)


def begin(accounts: SqlAccounts, *sessions: Session) -> None:
    def work(writer: AccountWriter) -> None:
        for session in sessions:
            writer.add_session(session)

    accounts.write(work)


def hold(accounts: SqlAccounts, form: WaitingForm, most: int) -> None:
    accounts.write(lambda writer: writer.hold(form, most))


def test_a_person_is_read_back_as_written(accounts: SqlAccounts) -> None:
    with accounts.read() as reader:
        assert reader.person("owner") == OWNER
        assert reader.person("stranger") is None


def test_a_person_is_changed_and_keeps_the_day_it_was_made(accounts: SqlAccounts) -> None:
    order: DateOrder = "ymd"
    later = replace(OWNER, created=NOW + DAY, password=None, preferences=Preferences(date_order=order))
    accounts.write(lambda writer: writer.put_person(later))
    with accounts.read() as reader:
        assert reader.person("owner") == replace(later, created=NOW)


def test_preferences_that_nobody_here_knows_count_as_not_chosen() -> None:
    assert preferences_of({"theme": "sepia", "currency": 7, "date_order": "dym", "marks": None}) == Preferences()


def test_a_session_is_read_back_used_and_ended(accounts: SqlAccounts) -> None:
    begin(accounts, SESSION_1, SESSION_2)
    accounts.write(lambda writer: writer.use_session(SESSION_1.hashed, NOW + DAY))
    with accounts.read() as reader:
        assert reader.session(SESSION_1.hashed) == replace(SESSION_1, used=NOW + DAY)
        assert reader.session(SESSION_2.hashed) == SESSION_2
    accounts.write(lambda writer: writer.end_session(SESSION_1.hashed))
    accounts.write(lambda writer: writer.use_session(SESSION_1.hashed, NOW + DAY))
    with accounts.read() as reader:
        assert reader.session(SESSION_1.hashed) is None, "using an ended session does not bring it back"


def test_the_name_of_a_phone_stays_with_its_session_and_the_sessions_of_a_person_are_listed(
    accounts: SqlAccounts, store: Store
) -> None:
    phone = replace(SESSION_2, phone="Grey phone", started=NOW + DAY)
    begin(accounts, phone, SESSION_1)
    begin(SqlAccounts(OTHER, store), replace(SESSION_1, hashed=b"9" * 32, phone="Another's"))
    accounts.write(lambda writer: writer.use_session(phone.hashed, NOW + 2 * DAY))
    with accounts.read() as reader:
        assert reader.sessions("owner") == [SESSION_1, replace(phone, used=NOW + 2 * DAY)]
        assert reader.sessions("somebody else") == []
    assert phone.id == "32" * 8
    assert SESSION_1.id != phone.id


@pytest.mark.parametrize(("but", "left"), [(None, None), (SESSION_2.hashed, SESSION_2)])
def test_all_sessions_end_but_one(accounts: SqlAccounts, but: bytes | None, left: Session | None) -> None:
    begin(accounts, SESSION_1, SESSION_2)
    accounts.write(lambda writer: writer.end_sessions("owner", but=but))
    with accounts.read() as reader:
        assert reader.session(SESSION_1.hashed) is None
        assert reader.session(SESSION_2.hashed) == left


def test_of_the_forms_that_wait_the_newest_stay(accounts: SqlAccounts) -> None:
    forms = [replace(FORM, id=f"form {number}", held=NOW + number * DAY) for number in range(5)]
    for form in forms:
        hold(accounts, form, 3)
    with accounts.read() as reader:
        assert [reader.waiting(form.id) for form in forms] == [None, None, *forms[2:]]
    accounts.write(lambda writer: writer.let_go("form 4"))
    with accounts.read() as reader:
        assert reader.waiting("form 4") is None


def test_what_has_run_out_is_swept_and_the_rest_stays(accounts: SqlAccounts) -> None:
    old = replace(SESSION_1, started=NOW - 5 * DAY)
    idle = replace(SESSION_2, used=NOW - 3 * DAY)
    fresh = replace(SESSION_1, hashed=b"3" * 32)
    late = replace(FORM, id="late", held=NOW - DAY)
    begun, left = (replace(FORM, id=f"{OF_A_LOOK}{name}", held=NOW - days * DAY) for name, days in (("a", 4), ("b", 6)))

    def work(writer: AccountWriter) -> None:
        for session in (old, idle, fresh):
            writer.add_session(session)
        for form in (FORM, late, begun, left):
            writer.hold(form, 9)
        writer.sweep(started=NOW - 4 * DAY, used=NOW - 2 * DAY, held=NOW, looked=NOW - 5 * DAY)

    accounts.write(work)
    with accounts.read() as reader:
        assert [reader.session(each.hashed) for each in (old, idle, fresh)] == [None, None, fresh]
        assert [reader.waiting(each.id) for each in (FORM, late, begun, left)] == [FORM, None, begun, None]


def test_one_collections_accounts_never_meet_anothers(accounts: SqlAccounts, store: Store) -> None:
    def fill(writer: AccountWriter) -> None:
        writer.add_session(SESSION_1)
        writer.hold(FORM, 1)

    other = SqlAccounts(OTHER, store)
    for each in (accounts, other):
        each.write(fill)
    accounts.write(lambda writer: writer.hold(replace(FORM, id="second", held=NOW + DAY), 1))
    accounts.write(lambda writer: writer.end_sessions("owner"))
    accounts.write(lambda writer: writer.put_person(replace(OWNER, password=None)))
    accounts.write(
        lambda writer: writer.sweep(started=NOW + 9 * DAY, used=NOW + 9 * DAY, held=NOW + 9 * DAY, looked=NOW + 9 * DAY)
    )
    with other.read() as reader:
        assert (reader.person("owner"), reader.session(SESSION_1.hashed), reader.waiting("form")) == (
            OWNER,
            SESSION_1,
            FORM,
        )


def test_a_work_that_fails_keeps_nothing(accounts: SqlAccounts) -> None:
    def work(writer: AccountWriter) -> None:
        writer.add_session(SESSION_1)
        raise RuntimeError

    with pytest.raises(RuntimeError):
        accounts.write(work)
    with accounts.read() as reader:
        assert reader.session(SESSION_1.hashed) is None


def test_what_a_form_held_is_gone_from_the_files_as_well(filed: SqlAccounts, tmp_path: Path) -> None:
    form = replace(FORM, fields=(("remark", "a word that nobody else should read"),))
    filed.write(lambda writer: writer.hold(form, 9))

    def stays() -> bool:
        return any(b"nobody else should read" in path.read_bytes() for path in tmp_path.glob(f"{DATABASE}*"))

    assert stays()
    filed.write(lambda writer: writer.let_go(form.id))
    filed.write(lambda writer: writer.put_person(OWNER))  # the writer tidies before it takes the next work
    assert not stays()


def test_rows_that_were_tampered_with_are_read_as_far_as_they_go(filed: SqlAccounts, database: SqliteStore) -> None:
    odd = {"collection_id": COLLECTION, "person": "owner", "back": "/", "action": "/", "held": "never"}
    rows = [{"id": "1", "fields": "not JSON"}, {"id": "2", "fields": '[["a"], ["a", 1], 7]'}]
    database.write(
        COLLECTION, lambda connection: connection.execute(insert(WAITING_FORM), [{**odd, **row} for row in rows])
    )
    with filed.read() as reader:
        first, second = reader.waiting("1"), reader.waiting("2")
    assert first is not None
    assert second is not None
    assert (first.fields, second.fields) == ((), (("a", "1"),))
    assert not first.is_fresh(NOW)


@pytest.mark.parametrize(
    "statement",
    [
        delete(PERSON),
        update(PERSON).values(id="another"),
        update(SESSION).values(person="another"),
        update(SESSION).values(started="2999"),
        update(SESSION).values(confirmed="2999"),
        update(WAITING_FORM).values(fields="[]"),
        text("DROP TABLE session"),
    ],
    ids=str,
)
def test_the_programs_own_connection_prepares_nothing_else(
    filed: SqlAccounts, database: SqliteStore, statement: object
) -> None:
    with pytest.raises(DatabaseError, match=r"not authorized|prohibited"):
        database.write(COLLECTION, lambda connection: connection.execute(statement))  # type: ignore[call-overload]


@pytest.mark.usefixtures("database")
@pytest.mark.parametrize("table", ACCOUNTS, ids=str)
def test_a_table_is_the_one_that_the_migration_makes(table: Table, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / DATABASE)) as raw:
        found = raw.execute(f"SELECT name, type, [notnull], pk FROM pragma_table_info('{table.name}')").fetchall()
        kind = raw.execute(f"SELECT wr, strict FROM pragma_table_list('{table.name}')").fetchone()
    keys = list(table.primary_key)
    assert found == [
        (
            column.name,
            "BLOB" if column is SESSION.c.hashed else "TEXT",
            int(not column.nullable),
            keys.index(column) + 1 if column.primary_key else 0,
        )
        for column in table.columns
    ]
    assert kind == (1, 1), "looked up by its key, and strict"
