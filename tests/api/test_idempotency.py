"""One key, one write: the same request again writes nothing and gets the same answer, another body is refused."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.api.door import Door, fields, problem, purchase


def test_the_same_request_again_writes_nothing_and_gets_the_same_answer(door: Door) -> None:
    first = door.post("/books", purchase(), Idempotency_Key='"once"')
    size = door.size
    again = door.post("/books", purchase(), Idempotency_Key='"once"')
    assert (again.status_code, again.content) == (201, first.content)
    assert again.headers["location"] == first.headers["location"]
    assert again.headers["etag"] == first.headers["etag"]
    assert door.size == size


def test_only_a_repeated_answer_says_that_it_is_one(door: Door) -> None:
    answers = [door.post("/books", purchase(), Idempotency_Key='"once"') for _ in range(2)]
    assert [answer.headers.get("idempotency-replayed") for answer in answers] == [None, "?1"]


def test_a_repeated_answer_is_the_same_after_the_book_moved_on(door: Door) -> None:
    book = door.a_book()
    note = {"kind": "note", "words": "a"}
    first = door.post(f"/books/{book}/events", note, Idempotency_Key='"n"', If_Match='"1"')
    seq = first.json()["entries"][0]["seq"]
    door.an_event(book, "correction", entry=seq, changes={"words": "b"}, reason="c")
    door.an_event(book, "erasure", entry=seq, names=["words"])
    again = door.post(f"/books/{book}/events", note, Idempotency_Key='"n"', If_Match='"1"')
    assert (again.status_code, again.content) == (201, first.content)


def test_a_key_is_the_same_quoted_and_bare(door: Door) -> None:
    # draft-ietf-httpapi-idempotency-key-header-07 section 2.1: a String, so quoted; many clients send it bare.
    first = door.post("/books", purchase(), Idempotency_Key='"8e03978e-40d5-43e8-bc93-6894a57f9324"')
    again = door.post("/books", purchase(), Idempotency_Key="8e03978e-40d5-43e8-bc93-6894a57f9324")
    assert first.content == again.content
    assert again.headers["idempotency-replayed"] == "?1"


def test_spaces_and_order_make_no_other_request(door: Door) -> None:
    door.post("/books", '{"kind": "purchase", "issue": {"title": "A", "number": "1"}}', Idempotency_Key="k")
    again = door.post("/books", '{"issue":{"number":"1","title":"A"},"kind":"purchase"}', Idempotency_Key="k")
    assert again.headers["idempotency-replayed"] == "?1"


def test_a_used_key_with_another_body_is_refused(door: Door) -> None:
    # Section 2.7 of the draft: 422 for a key that is used again with another payload.
    door.post("/books", purchase(), Idempotency_Key='"once"')
    size = door.size
    told = problem(door.post("/books", purchase(reason="another"), Idempotency_Key='"once"'), 422)
    assert fields(told) == ["Idempotency-Key"]
    assert "new key" in told["detail"]
    assert door.size == size


def test_a_used_key_at_another_door_is_refused(door: Door) -> None:
    one, other = door.a_book(), door.a_book()
    note = {"kind": "note", "words": "a"}
    door.post(f"/books/{one}/events", note, Idempotency_Key='"n"')
    problem(door.post(f"/books/{other}/events", note, Idempotency_Key='"n"'), 422)
    problem(door.post("/events", note, Idempotency_Key='"n"'), 422)


def test_a_refused_request_uses_no_key_up(door: Door) -> None:
    problem(door.post("/books", purchase(means="conjured"), Idempotency_Key='"k"'), 422)
    assert door.post("/books", purchase(), Idempotency_Key='"k"').status_code == 201


@pytest.mark.parametrize("path", ["/books", "/events", "/acts", "/books/{book}/events"])
def test_no_append_goes_without_a_key(door: Door, path: str) -> None:
    at = path.format(book=door.a_book())
    size = door.size
    told = problem(door.post(at, {"kind": "note", "words": "a"}, Idempotency_Key=""), 400)
    assert fields(told) == ["Idempotency-Key"]
    assert 'Idempotency-Key: "' in told["detail"]
    assert door.size == size


@pytest.mark.parametrize("key", ['"', '""', '"a', 'a"', '"a"b"', "a b", '"a", "b"', '"a";p=1', f'"{"a" * 201}"', "-a"])
def test_a_key_that_is_no_text_in_quotes_is_refused(door: Door, key: str) -> None:
    assert fields(problem(door.post("/books", purchase(), Idempotency_Key=key), 400)) == ["Idempotency-Key"]


def test_escapes_in_a_quoted_key_are_read(door: Door) -> None:
    # RFC 9651 section 3.3.3: only a quote and a backslash are escaped.
    assert door.post("/books", purchase(), Idempotency_Key=r'"a\"b\\c"').status_code == 201
    with door.ledger.log.read() as reader:
        assert reader.receipt(r'a"b\c') is not None


def test_two_keys_are_none(door: Door) -> None:
    headers = [("Content-Type", "application/json"), ("Idempotency-Key", "a"), ("Idempotency-Key", "b")]
    answer = door.client.post("/books", content=b"{}", headers=headers)
    assert fields(problem(answer, 400)) == ["Idempotency-Key"]


def test_the_same_request_sent_many_times_at_once_writes_once(real_door: Door) -> None:
    before = real_door.size
    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(lambda _: real_door.post("/books", purchase(), Idempotency_Key='"race"'), range(16)))
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.content for answer in answers}) == 1
    assert real_door.size == before + 1
