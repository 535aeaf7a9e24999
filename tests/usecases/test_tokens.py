"""A token is shown once, kept as a hash, lets through what it was given and no more, and ends."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from ledger.actor import Actor, Permission
from ledger.errors import DamagedError, ForbiddenError, InvalidError, NotFoundError
from ledger.ports import Ledger, StoredToken
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, open_store
from ledger.store.log import open_log
from ledger.usecases.tokens import DAYS_MOST, LABEL_MOST, PREFIX, bearer, issue_token, revoke_token, tokens
from tests.conftest import COLLECTION, ledger_on, sqlite_store
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER


def issued(ledger: Ledger, *permissions: Permission, days: int = 7, actor: Actor = OWNER) -> tuple[StoredToken, str]:
    return issue_token(ledger, actor, label="kitchen script", permissions=permissions or [Permission.READ], days=days)


def test_a_token_speaks_for_who_made_it_with_the_permissions_it_was_given(ledger: Ledger) -> None:
    token, secret = issued(ledger, Permission.READ, Permission.RECORD)
    scopes = frozenset({Permission.READ, Permission.RECORD})
    assert bearer(ledger, secret) == Actor(id="owner", scopes=scopes, until=token.expires)
    assert token.scopes == ("read", "record")
    assert token.expires - token.created == timedelta(days=7)
    assert tokens(ledger, OWNER) == [token]


def test_the_secret_is_long_told_apart_by_its_beginning_and_never_the_same(ledger: Ledger) -> None:
    secrets = {issued(ledger)[1] for _ in range(20)}
    assert len(secrets) == 20
    # 256 bits in base32 are 52 signs.
    assert {(each[: len(PREFIX)], len(each)) for each in secrets} == {("slip_", 57)}


def test_the_secret_stands_in_no_file(tmp_path: Path) -> None:
    with sqlite_store(tmp_path / "folder") as log:
        _, secret = issued(ledger_on(log))
    files = [path for path in (tmp_path / "folder").rglob("*") if path.is_file()]
    assert files
    assert [path.name for path in files if secret.removeprefix(PREFIX).encode() in path.read_bytes()] == []


@pytest.mark.parametrize("wrong", ["", "slip_", "x", "slip_" + "a" * 52])
def test_a_secret_that_was_never_issued_lets_nobody_in(ledger: Ledger, wrong: str) -> None:
    _, secret = issued(ledger)
    assert bearer(ledger, wrong) is None
    assert bearer(ledger, secret.upper()) is None
    assert bearer(ledger, secret + " ") is None


def test_a_token_ends_at_its_end_to_the_second(ledger: Ledger, clock: FakeClock) -> None:
    token, secret = issued(ledger, days=1)
    clock.time = token.expires - timedelta(seconds=2)
    assert bearer(ledger, secret) is not None
    assert bearer(ledger, secret) is None  # the clock moves on by a second each time it is read
    assert tokens(ledger, OWNER) == [token]


def test_a_revoked_token_lets_nothing_through_from_then_on(ledger: Ledger) -> None:
    token, secret = issued(ledger)
    other, _ = issued(ledger)
    revoke_token(ledger, OWNER, token.id)
    assert bearer(ledger, secret) is None
    first = {each.id: each.revoked for each in tokens(ledger, OWNER)}
    assert first[token.id] is not None
    assert first[other.id] is None
    revoke_token(ledger, OWNER, token.id)
    assert {each.id: each.revoked for each in tokens(ledger, OWNER)} == first


def test_a_token_that_is_not_there_cannot_be_revoked(ledger: Ledger) -> None:
    with pytest.raises(NotFoundError) as caught:
        revoke_token(ledger, OWNER, "nobody")
    assert (caught.value.what, caught.value.name) == ("token", "nobody")


def test_nobody_gives_away_more_than_they_have(ledger: Ledger) -> None:
    narrow = Actor(id="owner", scopes=frozenset({Permission.TOKENS, Permission.READ}))
    assert issued(ledger, Permission.READ, actor=narrow)
    with pytest.raises(ForbiddenError) as caught:
        issued(ledger, Permission.READ, Permission.ERASE, actor=narrow)
    assert caught.value.needs == "erase"
    assert len(tokens(ledger, OWNER)) == 1


def test_only_who_may_manage_tokens_does(ledger: Ledger) -> None:
    token, _ = issued(ledger)
    for actor in acting_without(Permission.TOKENS):
        for attempt in (
            lambda actor=actor: issued(ledger, actor=actor),
            lambda actor=actor: tokens(ledger, actor),
            lambda actor=actor: revoke_token(ledger, actor, token.id),
        ):
            with pytest.raises(ForbiddenError) as caught:
                attempt()
            assert caught.value.needs == "manage tokens"
    assert [each.revoked for each in tokens(ledger, OWNER)] == [None]


def acting_without(permission: Permission) -> Iterator[Actor]:
    yield Actor(id="owner", scopes=frozenset(Permission) - {permission})
    yield Actor(id="owner", scopes=frozenset())


@pytest.mark.parametrize(
    ("label", "permissions", "days", "fields"),
    [
        (" ", [Permission.READ], 7, ["label"]),
        ("x" * (LABEL_MOST + 1), [Permission.READ], 7, ["label"]),
        ("x", [], 7, ["permissions"]),
        ("x", [Permission.READ], 0, ["days"]),
        ("x", [Permission.READ], DAYS_MOST + 1, ["days"]),
        ("", [], 0, ["label", "permissions", "days"]),
    ],
)
def test_what_is_no_token_is_refused_with_every_field(
    ledger: Ledger, label: str, permissions: list[Permission], days: int, fields: list[str]
) -> None:
    with pytest.raises(InvalidError) as caught:
        issue_token(ledger, OWNER, label=label, permissions=permissions, days=days)
    assert [each.field for each in caught.value.problems] == fields
    assert tokens(ledger, OWNER) == []


def test_a_token_makes_none_that_outlives_it(ledger: Ledger, clock: FakeClock) -> None:
    token, secret = issued(ledger, Permission.READ, Permission.TOKENS, days=10)
    maker = bearer(ledger, secret)
    assert maker is not None
    assert issued(ledger, days=9, actor=maker)[0].expires < token.expires
    with pytest.raises(InvalidError) as refused:
        issued(ledger, days=10, actor=maker)
    (found,) = refused.value.problems
    assert found.field == "days"
    assert found.sentence == (
        "A token makes none that lasts longer than itself, and this one ends in 9 whole days. Ask for up to 9 days, or make "
        "the token with one that lasts longer."
    )
    clock.time = token.expires - timedelta(hours=30)
    with pytest.raises(InvalidError) as refused:
        issued(ledger, days=2, actor=maker)
    assert "this one ends in one whole day. Ask for up to one day, or" in refused.value.problems[0].sentence
    clock.time = token.expires - timedelta(hours=23)
    with pytest.raises(InvalidError) as refused:
        issued(ledger, days=1, actor=maker)
    assert refused.value.problems[0].sentence == (
        "A token makes none that lasts longer than itself, and this one ends within a day. Make the token with one that "
        "lasts longer."
    )


def test_a_token_whose_permissions_were_tampered_with_is_damage_and_lets_nothing_through(tmp_path: Path) -> None:
    with sqlite_store(tmp_path / "folder") as log:
        _, secret = issued(ledger_on(log))
    with closing(sqlite3.connect(tmp_path / "folder" / DATABASE)) as db, db:
        db.execute("DROP TRIGGER token_update")
        db.execute("UPDATE token SET scopes = '[\"everything\"]'")
    store = open_store(tmp_path / "folder")
    try:
        with pytest.raises(DamagedError) as refused:
            bearer(ledger_on(open_log(COLLECTION, store, EventCodec())), secret)
    finally:
        store.close()
    assert refused.value.problem == "its permissions are not ones there are"
