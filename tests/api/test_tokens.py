"""Who is let in: no route but one without a token, each only with its permission, and never past a token's end."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
from fastapi.routing import APIRoute

from api.app import ROUTERS
from ledger.actor import INCLUDED, Permission
from tests.api.door import Door, fields, problem, purchase
from tests.api.needed import NEEDS
from tests.fakes import FakeClock


def routes() -> Iterator[tuple[str, str]]:
    """Method and path of every route there is."""
    for router in ROUTERS:
        for route in router.routes:
            assert isinstance(route, APIRoute)
            yield from ((method, route.path) for method in route.methods or ())


def all_but(needed: Permission) -> set[Permission]:
    """Every permission but this one and those that bring it along; for recording, not the part of it that is bench work."""
    bring = {each for each, along in INCLUDED.items() if needed in along}
    return set(Permission) - {needed} - bring - ({Permission.BENCH} if needed is Permission.RECORD else set())


def path_of(route: str) -> str:
    """A path of that route, with names that stand for nothing."""
    return route.replace("{seq}", "1").replace("{year}", "2024").replace("{", "").replace("}", "")


def test_no_route_but_health_answers_without_a_token(door: Door) -> None:
    answering = []
    for method, path in routes():
        answer = door.client.request(method, path_of(path), headers={"Authorization": ""})
        if answer.status_code == 200:
            answering.append(path)
        else:
            problem(answer, 401)
    assert answering == ["/health"]


def test_health_says_nothing_but_that_it_answers(door: Door) -> None:
    answer = door.get("/health", Authorization="")
    assert answer.json() == {"status": "ok"}


def test_every_route_needs_exactly_its_permission(door: Door) -> None:
    assert {f"{method} {path}" for method, path in routes()} == {*NEEDS, "GET /health"}
    others = {each: door.as_other(*all_but(each)) for each in Permission}
    alone = {each: door.as_other(each) for each in Permission}
    for route, needed in NEEDS.items():
        method, path = route.split()
        told = problem(others[needed].client.request(method, path_of(path)), 403)
        assert needed.value in told["detail"]
        assert alone[needed].client.request(method, path_of(path)).status_code != 403, route


def test_a_program_for_the_bench_writes_bench_work_and_nothing_else(door: Door) -> None:
    book = door.a_book()
    bench = door.as_other(Permission.BENCH)
    assert (
        bench.post(f"/books/{book}/events", {"kind": "note", "topic": "story", "words": "It rests."}).status_code == 201
    )
    load = {"books": [book], "values": {"technique": "cold-press"}}
    assert bench.post("/bench/loads", load).status_code == 201
    counted = {"kind": "count", "result": "found"}
    assert bench.post(f"/books/{book}/events", counted, If_Match="*").status_code == 201
    for event in ({"kind": "placement", "spot": "box"}, {"kind": "withdrawal", "entry": 1, "reason": "x"}):
        assert "record" in problem(bench.post(f"/books/{book}/events", event, If_Match="*"), 403)["detail"]
    assert "read" in problem(bench.get("/books"), 403)["detail"]


def test_an_erasure_needs_a_permission_of_its_own(door: Door) -> None:
    book = door.a_book(seller="Somebody")
    seq = door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    body = {"kind": "erasure", "entry": seq, "names": ["seller"]}
    recorder = door.as_other(Permission.READ, Permission.RECORD)
    assert "erase" in problem(recorder.post(f"/books/{book}/events", body, If_Match='"1"'), 403)["detail"]
    eraser = door.as_other(Permission.RECORD, Permission.ERASE)
    assert eraser.post(f"/books/{book}/events", body, If_Match='"1"').status_code == 201


def test_a_key_entry_needs_a_permission_of_its_own(door: Door) -> None:
    vkey = door.ledger.signer.verifier.vkey
    body = {"kind": "key", "action": "start", "vkey": vkey}
    recorder = door.as_other(Permission.RECORD)
    assert "change keys" in problem(recorder.post("/events", body), 403)["detail"]


def test_a_body_is_not_read_from_somebody_without_a_token(door: Door) -> None:
    problem(door.post("/books", b" " * 10_000_000, Authorization=""), 401)


def test_a_token_ends_by_itself(door: Door) -> None:
    short = door.as_other(Permission.READ, days=1)
    assert short.get("/books").status_code == 200
    clock = door.ledger.clock
    assert isinstance(clock, FakeClock)
    clock.time += timedelta(days=1)
    problem(short.get("/books"), 401)


def test_an_ended_token_lets_nothing_through(door: Door) -> None:
    made = door.post("/tokens", {"label": "display", "permissions": ["read"], "days": 7})
    assert made.status_code == 201
    token = made.json()
    bearer = {"Authorization": f"Bearer {token['secret']}"}
    assert door.get("/books", **bearer).status_code == 200
    assert door.client.delete(made.headers["location"]).status_code == 204
    problem(door.get("/books", **bearer), 401)
    listed = {each["id"]: each for each in door.get("/tokens").json()["tokens"]}
    assert listed[token["id"]]["revoked"] is not None


def test_a_secret_is_shown_once_and_kept_nowhere(door: Door) -> None:
    made = door.post("/tokens", {"label": "display", "permissions": ["read"], "days": 7}).json()
    assert made["permissions"] == ["read"]
    assert made["secret"] not in door.get("/tokens").text
    with door.ledger.log.read() as reader:
        assert made["secret"] not in str(reader.tokens())


def test_a_token_makes_none_that_may_do_more(door: Door) -> None:
    manager = door.as_other(Permission.TOKENS, Permission.READ, days=2)
    assert manager.post("/tokens", {"label": "a", "permissions": ["read"], "days": 1}).status_code == 201
    problem(manager.post("/tokens", {"label": "a", "permissions": ["record"], "days": 1}), 403)


def test_a_token_makes_none_that_outlives_it(door: Door) -> None:
    manager = door.as_other(Permission.TOKENS, Permission.READ, days=3)
    asked = {"label": "a", "permissions": ["read"]}
    assert manager.post("/tokens", {**asked, "days": 2}).status_code == 201
    told = problem(manager.post("/tokens", {**asked, "days": 3}), 422)
    assert fields(told) == ["days"]
    assert "Ask for up to 2 days" in told["errors"][0]["sentence"]
    listed = [each["label"] for each in door.get("/tokens").json()["tokens"]]
    assert listed.count("a") == 1


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"days": 0}, "days"),
        ({"days": 367}, "days"),
        ({"days": False}, "days"),
        ({"permissions": []}, "permissions"),
        ({"permissions": ["all"]}, "permissions.0"),
        ({"label": " "}, "label"),
        ({"label": None}, "label"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_a_token_that_cannot_be_is_refused_with_its_field(door: Door, change: dict[str, object], field: str) -> None:
    asked = {"label": "display", "permissions": ["read"], "days": 7, **change}
    assert fields(problem(door.post("/tokens", asked), 422)) == [field]


def test_a_scheme_is_read_whatever_its_case(door: Door) -> None:
    # RFC 9110 section 11.1: the scheme is case-insensitive.
    assert door.get("/books", Authorization=f"bEARER {door.secret}").status_code == 200


def test_what_a_token_wrote_stands_under_the_person_it_speaks_for(door: Door) -> None:
    made = door.as_other(Permission.RECORD).post("/books", purchase())
    assert made.json()["entries"][0]["actor"] == "owner"
