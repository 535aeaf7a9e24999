"""A book's tag: sent back as If-Match it keeps two people from writing over what the other has not seen."""

from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from tests.api.door import Door, fields, problem

NOTE = {"kind": "note", "words": "a"}


def events(book: str) -> str:
    return f"/books/{book}/events"


def test_the_tag_is_the_number_of_the_books_entries(door: Door) -> None:
    book = door.a_book()
    for count in (1, 2, 3):
        assert door.get(f"/books/{book}").headers["etag"] == f'"{count}"'
        assert door.get(events(book)).headers["etag"] == f'"{count}"'
        answer = door.post(events(book), NOTE, If_Match=f'"{count}"')
        assert answer.headers["etag"] == f'"{count + 1}"'


@pytest.mark.parametrize("tag", ['"0"', '"2"', 'W/"1"', '"x"', '"2", "3"'])
def test_a_tag_that_is_not_the_books_tag_writes_nothing(door: Door, tag: str) -> None:
    # RFC 9110 section 13.1.1: If-Match compares strongly, so a weak tag never matches.
    book = door.a_book()
    size = door.size
    told = problem(door.post(events(book), NOTE, If_Match=tag), 412)
    assert fields(told) == ["If-Match"]
    assert '"1"' in told["detail"]
    assert door.size == size


@pytest.mark.parametrize("tag", ['"1"', '"7", "1"', '"7" , W/"9","1"', "*", " * "])
def test_one_matching_tag_or_an_asterisk_lets_it_through(door: Door, tag: str) -> None:
    assert door.post(events(door.a_book()), NOTE, If_Match=tag).status_code == 201


@pytest.mark.parametrize("tag", ["1", '"1', '"1" "2"', "", "w/1"])
def test_a_tag_that_is_none_is_refused_as_unreadable(door: Door, tag: str) -> None:
    answer = door.client.post(
        events(door.a_book()),
        json=NOTE,
        headers={"If-Match": tag, "Idempotency-Key": "k"},
    )
    assert fields(problem(answer, 400)) == ["If-Match"]


MENDING: list[dict[str, Any]] = [
    {"kind": "correction", "entry": 2, "changes": {"on": "2024-02-02"}},
    {"kind": "withdrawal", "entry": 2},
    {"kind": "erasure", "entry": 2, "names": ["price"]},
]


@pytest.mark.parametrize("body", MENDING, ids=lambda body: body["kind"])
def test_what_mends_an_entry_must_say_what_was_read(door: Door, body: dict[str, Any]) -> None:
    # RFC 6585 section 3: a 428 explains how to send it again, and is not kept by a cache.
    book = door.a_book()
    size = door.size
    answer = door.post(events(book), body)
    told = problem(answer, 428)
    assert fields(told) == ["If-Match"]
    assert body["kind"] in told["detail"]
    assert door.size == size
    assert door.post(events(book), body, If_Match='"1"').status_code == 201


def test_a_stale_tag_is_told_before_the_body_is_looked_at(door: Door) -> None:
    # RFC 9110 section 13.2.1: preconditions come before the content, after what would refuse it anyway.
    book = door.a_book()
    problem(door.post(events(book), "{", If_Match='"9"'), 412)
    problem(door.post(events(book), "{", If_Match='"9"', Content_Type="text/plain"), 415)
    problem(door.post(events("nosuchbook"), "{", If_Match='"9"'), 404)


def test_a_repeated_request_is_answered_although_its_tag_is_old_by_now(door: Door) -> None:
    book = door.a_book()
    first = door.post(events(book), NOTE, If_Match='"1"', Idempotency_Key='"n"')
    door.post(events(book), NOTE)
    assert door.post(events(book), NOTE, If_Match='"1"', Idempotency_Key='"n"').content == first.content


def test_of_many_who_read_the_same_state_one_writes(real_door: Door) -> None:
    book = real_door.a_book()
    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(lambda _: real_door.post(events(book), NOTE, If_Match='"1"'), range(12)))
    assert sorted(answer.status_code for answer in answers) == [201] + [412] * 11
    for answer in answers:
        if answer.status_code == 412:
            assert fields(problem(answer, 412)) == ["If-Match"]
