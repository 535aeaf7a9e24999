"""Every way to fail is answered in one shape, with the status that its class has in the one table."""

import inspect
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from typing import Any

import pytest
from httpx2 import Response

import api.refusals
import ledger.errors
from api.errors import FAILURES, TYPES, dotted, failure_of, problem_of
from ledger.actor import Permission
from ledger.errors import LedgerError, StoreError
from ledger.ports import Reader
from ledger.proof.report import MalformedError
from tests.api.door import HOST, Door, door_to, fields, problem, purchase

NO_BOOK = "/books/nosuchbook/events"


def bought_twice(door: Door) -> Response:
    return door.post(f"/books/{door.a_book()}/events", purchase())


def stale(door: Door) -> Response:
    return door.post(f"/books/{door.a_book()}/events", {"kind": "note", "words": "a"}, If_Match='"7"')


def reused(door: Door) -> Response:
    door.post("/books", purchase(), Idempotency_Key='"once"')
    return door.post("/books", purchase(reason="another"), Idempotency_Key='"once"')


FAILING: dict[str, tuple[int, str, Callable[[Door], Response]]] = {
    "an unreadable key": (400, "bad-request", lambda door: door.post("/books", purchase(), Idempotency_Key='"a')),
    "no key": (400, "bad-request", lambda door: door.post("/books", purchase(), Idempotency_Key="")),
    "a wrong limit": (400, "bad-request", lambda door: door.get("/books?limit=0")),
    "an unknown parameter": (400, "bad-request", lambda door: door.get("/books?colour=red")),
    "an unreadable body": (400, "malformed", lambda door: door.post("/books", "{")),
    "no token": (401, "no-token", lambda door: door.get("/books", Authorization="")),
    "a wrong token": (401, "no-token", lambda door: door.get("/books", Authorization="Bearer slip_x")),
    "another scheme": (401, "no-token", lambda door: door.get("/books", Authorization="Basic eDp5")),
    "no permission": (403, "forbidden", lambda door: door.as_other(Permission.RECORD).get("/books")),
    "no such path": (404, "not-found", lambda door: door.get("/nowhere")),
    "no such book": (404, "not-found", lambda door: door.get("/books/nosuchbook")),
    "no such entry": (404, "not-found", lambda door: door.get("/events/4711")),
    "no such act": (404, "not-found", lambda door: door.get("/acts/nosuchact")),
    "no such table": (404, "not-found", lambda door: door.get("/rules/nosuchtable")),
    "no such token": (404, "not-found", lambda door: door.client.delete("/tokens/nosuchtoken")),
    "a name that is no id": (404, "not-found", lambda door: door.get("/books/%00")),
    "a number that is none": (404, "not-found", lambda door: door.get("/events/one")),
    "an entry beyond all": (404, "not-found", lambda door: door.get(f"/events/{2**63}")),
    "no such book to write to": (404, "not-found", lambda door: door.post(NO_BOOK, {"kind": "note", "words": "a"})),
    "another method": (405, "method", lambda door: door.client.put("/books")),
    "nothing to sign over": (409, "conflict", lambda door: door.get(f"/proofs/head?book={door.a_book()}")),
    "a broken rule": (409, "rule-broken", bought_twice),
    "a stale tag": (412, "stale", stale),
    "a large body": (413, "too-large", lambda door: door.post("/books", b" " * 10_000_000)),
    "another media type": (415, "media-type", lambda door: door.post("/books", purchase(), Content_Type="text/plain")),
    "another host": (421, "host", lambda door: door.get("/health", Host="evil.example")),
    "an invalid body": (422, "invalid", lambda door: door.post("/books", purchase(means="conjured"))),
    "a used key": (422, "key-reused", reused),
    "a made-up cursor": (422, "invalid", lambda door: door.get("/books?after=abc")),
    "a size beyond the ledger": (422, "invalid", lambda door: door.get("/proofs/inclusion?seq=1&size=99")),
    "no tag": (428, "tag-missing", lambda door: door.post(f"/books/{door.a_book()}/events", {"kind": "erasure"})),
}


@pytest.mark.parametrize(("status", "name", "fail"), FAILING.values(), ids=FAILING)
def test_every_failure_has_the_one_shape(door: Door, status: int, name: str, fail: Callable[[Door], Response]) -> None:
    assert problem(fail(door), status)["type"] == TYPES + name


def test_every_status_the_table_knows_is_met_in_these_tests() -> None:
    met = {status for status, _, _ in FAILING.values()} | {500, 503}
    assert met == {failure.status for failure in FAILURES.values()}


def test_every_error_class_finds_a_line_in_the_table() -> None:
    classes = [
        each for module in (ledger.errors, api.refusals) for _, each in inspect.getmembers(module, inspect.isclass)
    ]
    abstract = {LedgerError, api.refusals.RefusedError}
    for each in {each for each in classes if issubclass(each, LedgerError)} - abstract:
        assert any(above in FAILURES for above in each.__mro__), each


def test_one_type_has_one_status_and_one_title() -> None:
    named: dict[str, set[tuple[int, str]]] = {}
    for failure in FAILURES.values():
        named.setdefault(failure.name, set()).add((failure.status, failure.title))
    assert all(len(each) == 1 for each in named.values())


def test_the_broken_rule_and_the_entries_in_its_way_are_named(door: Door) -> None:
    book = door.a_book()
    told = problem(door.post(f"/books/{book}/events", purchase()), 409)
    first = door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    assert told["errors"] == [
        {"field": "on", "sentence": told["errors"][0]["sentence"], "rule": "purchase.1", "entries": [first]}
    ]


def test_a_missing_token_is_told_how_to_come_in_and_a_bad_one_that_it_is_bad(door: Door) -> None:
    # RFC 6750 section 3: no error code for a request without a token.
    assert door.get("/books", Authorization="").headers["www-authenticate"] == 'Bearer realm="slipsheet"'
    bad = door.get("/books", Authorization="Bearer slip_x").headers["www-authenticate"]
    assert bad == 'Bearer realm="slipsheet", error="invalid_token"'


@pytest.mark.parametrize(
    ("path", "allowed"),
    [
        ("/books", "GET, HEAD, POST"),
        ("/events/1", "GET, HEAD"),
        ("/tokens/x", "DELETE"),
        ("/books/x/events", "GET, HEAD, POST"),
    ],
)
def test_another_method_is_told_every_method_the_path_takes(door: Door, path: str, allowed: str) -> None:
    # RFC 9110 section 15.5.6: a 405 lists the methods in Allow.
    answer = door.client.patch(path)
    assert "mended by one more entry" in problem(answer, 405)["detail"]
    assert answer.headers["allow"] == allowed


def test_absent_names_are_told_alike_whatever_they_look_like(door: Door) -> None:
    told = [problem(door.get(f"/books/{name}"), 404) for name in ("a" * 26, "b" * 26, "%00", "x" * 200)]
    assert len({(each["type"], each["title"], tuple(each["errors"])) for each in told}) == 1
    assert {each["detail"].count("in this collection") for each in told} == {1}


class Failing:
    """A log whose every use fails."""

    def __init__(self, error: Exception) -> None:
        self.error = error

    def read(self) -> AbstractContextManager[Reader]:
        """Fails."""
        raise self.error

    def write(self, work: Any) -> Any:
        """Fails."""
        raise self.error

    def rebuild(self) -> int:
        """Fails."""
        raise self.error


@pytest.mark.parametrize(
    ("error", "status", "name"),
    [(StoreError(problem="disk full at secret place"), 503, "store"), (RuntimeError("secret place"), 500, "broken")],
)
def test_a_failure_below_is_told_without_anything_from_inside(
    door: Door, error: Exception, status: int, name: str
) -> None:
    door.client.app.state.ledger = replace(door.ledger, log=Failing(error))  # type: ignore[attr-defined]  # a test client's app
    told = problem(door.get("/books"), status)
    assert told["type"] == TYPES + name
    assert "secret" not in str(told)


def test_stored_bytes_that_cannot_be_read_are_not_blamed_on_who_asks(door: Door) -> None:
    whole = door.ledger.log

    class Damaged(Failing):
        """Reads the token, and then finds what is no entry."""

        def read(self) -> AbstractContextManager[Reader]:
            if self.once:
                self.once = False
                return whole.read()
            raise self.error

        once = True

    error = MalformedError(what="The entry", problem="it is no object")
    damaged = replace(door.ledger, log=Damaged(error))
    door.client.app.state.ledger = damaged  # type: ignore[attr-defined]  # a test client's app
    assert "Run verify" in problem(door.get("/events"), 500)["detail"]


def test_the_nearest_class_in_the_table_decides() -> None:
    class WorseStoreError(StoreError):
        """A kind of store failure nobody listed."""

    assert failure_of(WorseStoreError(problem="x")).status == 503
    assert problem_of(ValueError("x")).status == 500


@pytest.mark.parametrize(
    ("place", "field"),
    [
        ("", ""),
        ("price.minor", "price.minor"),
        ("events[0].event.on", "events.0.event.on"),
        ('["odd name"][3]', "odd name.3"),
        ("line 1 column 5", ""),
        ("byte 3", ""),
    ],
)
def test_a_place_that_the_strict_reader_names_becomes_a_dotted_path(place: str, field: str) -> None:
    assert dotted(place) == field


def test_a_token_is_not_asked_of_another_host(door: Door) -> None:
    assert fields(problem(door.get("/books", Host="evil.example", Authorization=""), 421)) == ["Host"]


def test_a_door_of_its_own_answers_to_its_own_names(door: Door) -> None:
    other = door_to(door.ledger, {Permission.READ})
    assert other.get("/books", Host=HOST.upper()).status_code == 200
