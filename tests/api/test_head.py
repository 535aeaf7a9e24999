"""HEAD is answered as GET is, without the body. Source: RFC 9110 section 9.3.2."""

import asyncio
from typing import Any

import pytest

from api.heads import Heads
from tests.api.door import Door, problem
from tests.api.test_tokens import path_of, routes

READING = sorted(path for method, path in routes() if method == "GET")


@pytest.mark.parametrize("path", [*READING, "/nowhere", "/books?limit=0"])
def test_the_head_of_what_is_read_is_the_same_as_with_the_body(door: Door, path: str) -> None:
    whole, head = door.get(path_of(path)), door.client.head(path_of(path))
    assert (head.status_code, head.content) == (whole.status_code, b"")
    assert dict(head.headers) == dict(whole.headers)
    assert int(head.headers["content-length"]) == len(whole.content)


def test_the_head_of_a_book_has_its_tag(door: Door) -> None:
    answer = door.client.head(f"/books/{door.a_book()}")
    assert (answer.status_code, answer.headers["etag"]) == (200, '"1"')


@pytest.mark.parametrize("path", [path for path in READING if path != "/health"])
def test_without_a_token_there_is_no_head_either(door: Door, path: str) -> None:
    answer = door.client.head(path_of(path), headers={"Authorization": ""})
    assert (answer.status_code, answer.content) == (401, b"")


def test_what_only_changes_something_has_no_head(door: Door) -> None:
    before = door.size
    answer = door.client.head("/acts")
    assert (answer.status_code, answer.headers["allow"]) == (405, "POST")
    assert door.size == before


def test_the_document_tells_of_no_head(door: Door) -> None:
    paths = door.get("/openapi.json").json()["paths"]
    assert {method for path in paths.values() for method in path} == {"get", "post", "put", "patch", "delete"}


def test_another_method_is_told_that_the_path_has_a_head(door: Door) -> None:
    answer = door.client.put("/health")
    assert "It takes GET, HEAD." in problem(answer, 405)["detail"]


def test_a_body_that_comes_in_pieces_is_kept_back_piece_by_piece() -> None:
    sent: list[Any] = []
    pieces = [
        {"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"4")]},
        {"type": "http.response.body", "body": b"ab", "more_body": True},
        {"type": "http.response.body", "body": b"cd"},
    ]

    async def app(scope: Any, _receive: Any, send: Any) -> None:
        assert scope["method"] == "GET"
        for each in pieces:
            await send(each)

    async def send(message: Any) -> None:
        sent.append(message)

    async def receive() -> Any:
        raise AssertionError

    asked = {"type": "http", "method": "HEAD"}
    asyncio.run(Heads(app)(asked, receive, send))
    assert asked["method"] == "HEAD", "the server still knows what was asked"
    assert sent[0] == pieces[0]
    assert [(each["body"], each.get("more_body", False)) for each in sent[1:]] == [(b"", True), (b"", False)]
