"""Accounts of one collection, in the same store as its ledger and through the same single writer."""

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from datetime import datetime
from functools import cache
from typing import Any, TypeVar

from sqlalchemy import Column, ColumnElement, Connection, Row, Select, Table, bindparam, delete, insert, select, update

from ledger.accounts import OF_A_LOOK, AccountWriter, Person, Session, WaitingForm, preferences_of
from ledger.proof.envelope import moment_text
from ledger.store.account_tables import PERSON, SESSION, WAITING_FORM
from ledger.store.engine import Store
from ledger.store.records import moment
from ledger.store.single_writer import SCRUB

__all__ = ["SqlAccounts"]

T = TypeVar("T")


class SqlAccounts:
    """As `accounts.AccountStore`."""

    def __init__(self, collection: str, store: Store) -> None:
        self._collection, self._store = collection, store

    @contextmanager
    def read(self) -> Iterator["_Rows"]:
        """The accounts at this moment."""
        with self._store.snapshot(self._collection) as connection:
            yield _Rows(connection, self._collection)

    def write(self, work: Callable[[AccountWriter], T]) -> T:
        """What the work returned, once it is durable."""
        return self._store.write(self._collection, lambda connection: work(_Rows(connection, self._collection)))


class _Rows:
    """As `accounts.AccountWriter`, over one connection."""

    def __init__(self, connection: Connection, collection: str) -> None:
        self._connection, self._collection = connection, collection

    def person(self, person: str) -> Person | None:
        row = self._one(PERSON.c.id, person)
        if row is None:
            return None
        preferences = preferences_of(_mapping(row.preferences))
        return Person(id=row.id, created=moment(row.created), password=row.password, preferences=preferences)

    def put_person(self, person: Person) -> None:
        chosen = {"password": person.password, "preferences": json.dumps(asdict(person.preferences))}
        if self._change(PERSON, PERSON.c.id == person.id, **chosen) == 0:
            self._add(PERSON, id=person.id, created=moment_text(person.created), **chosen)

    def session(self, hashed: bytes) -> Session | None:
        row = self._one(SESSION.c.hashed, hashed)
        return None if row is None else _session(row)

    def sessions(self, person: str) -> list[Session]:
        theirs = (SESSION.c.collection_id == self._collection, SESSION.c.person == person)
        rows = self._connection.execute(select(SESSION).where(*theirs).order_by(SESSION.c.started, SESSION.c.hashed))
        return [_session(row) for row in rows]

    def add_session(self, session: Session) -> None:
        self._add(
            SESSION,
            hashed=session.hashed,
            person=session.person,
            started=moment_text(session.started),
            used=moment_text(session.used),
            confirmed=None if session.confirmed is None else moment_text(session.confirmed),
            phone=session.phone,
        )

    def use_session(self, hashed: bytes, when: datetime) -> None:
        self._change(SESSION, SESSION.c.hashed == hashed, used=moment_text(when))

    def end_session(self, hashed: bytes) -> None:
        self._take_out(SESSION, SESSION.c.hashed == hashed)

    def end_sessions(self, person: str, *, but: bytes | None = None) -> None:
        others = () if but is None else (SESSION.c.hashed != but,)
        self._take_out(SESSION, SESSION.c.person == person, *others)

    def waiting(self, form: str) -> WaitingForm | None:
        row = self._one(WAITING_FORM.c.id, form)
        if row is None:
            return None
        return WaitingForm(
            id=row.id,
            person=row.person,
            back=row.back,
            action=row.action,
            fields=_pairs(row.fields),
            held=moment(row.held),
        )

    def hold(self, form: WaitingForm, most: int) -> None:
        self._add(
            WAITING_FORM,
            id=form.id,
            person=form.person,
            back=form.back,
            action=form.action,
            fields=json.dumps(form.fields),
            held=moment_text(form.held),
        )
        theirs = (WAITING_FORM.c.collection_id == self._collection, WAITING_FORM.c.person == form.person)
        newest_first = select(WAITING_FORM.c.id).where(*theirs).order_by(WAITING_FORM.c.held.desc(), WAITING_FORM.c.id)
        for old in self._connection.scalars(newest_first).all()[most:]:
            self.let_go(old)

    def let_go(self, form: str) -> None:
        self._take_out(WAITING_FORM, WAITING_FORM.c.id == form)

    def let_go_of_all(self) -> None:
        """As `let_go`, for every form that waits."""
        self._take_out(WAITING_FORM)

    def sweep(self, *, started: datetime, used: datetime, held: datetime, looked: datetime) -> None:
        self._take_out(SESSION, SESSION.c.started < moment_text(started))
        self._take_out(SESSION, SESSION.c.used < moment_text(used))
        of_a_look = WAITING_FORM.c.id.startswith(OF_A_LOOK)
        self._take_out(WAITING_FORM, ~of_a_look, WAITING_FORM.c.held < moment_text(held))
        self._take_out(WAITING_FORM, of_a_look, WAITING_FORM.c.held < moment_text(looked))

    def _one(self, column: Column[Any], value: object) -> Row[Any] | None:
        found = self._connection.execute(_by(column), {"own_collection": self._collection, "own_value": value})
        return found.one_or_none()

    def _add(self, table: Table, **values: object) -> None:
        self._connection.execute(insert(table), {"collection_id": self._collection, **values})

    def _change(self, table: Table, which: ColumnElement[bool], **values: object) -> int:
        changed = update(table).where(table.c.collection_id == self._collection, which).values(**values)
        return self._connection.execute(changed).rowcount

    def _take_out(self, table: Table, *which: ColumnElement[bool]) -> None:
        """What was typed into a form does not stay in the write-ahead log either."""
        gone = self._connection.execute(delete(table).where(table.c.collection_id == self._collection, *which))
        if gone.rowcount and table is WAITING_FORM:
            self._connection.info[SCRUB] = True


@cache
def _by(column: Column[Any]) -> Select[Any]:
    """The rows that have a value in this column; made once, since each page asks for one."""
    table = column.table
    own = (table.c.collection_id == bindparam("own_collection"), column == bindparam("own_value"))
    return select(table).where(*own)


def _session(row: Row[Any]) -> Session:
    return Session(
        hashed=row.hashed,
        person=row.person,
        started=moment(row.started),
        used=moment(row.used),
        confirmed=None if row.confirmed is None else moment(row.confirmed),
        phone=row.phone,
    )


def _plain(text: str) -> object:
    try:
        return json.loads(text)
    except ValueError:
        return None


def _mapping(text: str) -> dict[str, object]:
    found = _plain(text)
    return found if isinstance(found, dict) else {}


def _pairs(text: str) -> tuple[tuple[str, str], ...]:
    """Pairs of name and value; what is none is passed over."""
    found = _plain(text)
    pairs: Sequence[Any] = found if isinstance(found, list) else ()
    return tuple((str(each[0]), str(each[1])) for each in pairs if isinstance(each, list) and len(each) == len("nv"))
