"""Which names the server answers to, and what every answer carries."""

import asyncio
from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.app import create_api
from api.guards import HEADERS, Guards, host_name
from tests.api.door import Door, problem


@pytest.mark.parametrize(
    ("host", "answered"),
    [
        ("localhost", True),
        ("LOCALHOST:8000", True),
        ("127.0.0.1:80", True),
        ("[::1]:8000", True),
        ("[::1]", True),
        ("localhost.evil.example", False),
        ("evil.example", False),
        ("localhost:evil", False),
        ("localhost@evil.example", False),
        ("", False),
    ],
)
def test_only_the_names_on_the_list_are_answered_to(door: Door, host: str, *, answered: bool) -> None:
    client = TestClient(create_api(door.ledger, hosts=["localhost", "127.0.0.1", "::1"]))
    answer = client.get("/health", headers={"Host": host})
    assert (answer.status_code == 200) is answered
    if not answered:
        assert "localhost" in problem(answer, 421)["detail"]


@pytest.mark.parametrize("hosts", [[], [b"localhost", b"evil.example"]])
def test_no_host_and_two_hosts_are_refused(hosts: list[bytes]) -> None:
    sent: list[Any] = []

    async def never(scope: Any, receive: Any, send: Any) -> None:
        raise AssertionError

    async def receive() -> Any:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        sent.append(message)

    headers = [(b"host", host) for host in hosts]
    scope = {"type": "http", "method": "GET", "path": "/health", "headers": headers, "query_string": b""}
    asyncio.run(Guards(never, ["localhost"])(scope, receive, send))
    assert sent[0]["status"] == 421


def test_every_answer_carries_the_headers_whatever_it_is(door: Door) -> None:
    for answer in (door.get("/health"), door.get("/nowhere"), door.client.put("/books"), door.get("/books", Host="x")):
        for name in HEADERS:
            assert answer.headers[name], name
        assert "access-control-allow-origin" not in answer.headers


def test_no_other_site_is_let_in(door: Door) -> None:
    asked = {"Origin": "https://evil.example", "Access-Control-Request-Method": "POST"}
    answer = door.client.options("/books", headers=asked)
    assert answer.status_code == 405
    assert not [name for name in answer.headers if name.startswith("access-control")]


def test_a_port_is_no_part_of_a_name() -> None:
    # RFC 9110 section 7.2: Host = uri-host [ ":" port ].
    assert [host_name(each) for each in ("a.b:80", "a.b", "[::1]:80", "[::1]", "A.B")] == [
        "a.b",
        "a.b",
        "[::1]",
        "[::1]",
        "a.b",
    ]
