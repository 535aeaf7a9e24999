"""Entries as they are read: the day book, a book's chain with what became of it, one entry with its bytes."""

from base64 import b64decode
from hashlib import sha256

import pytest

from ledger.proof.chain import Envelope
from tests.api.door import Door, fields, problem
from tests.api.test_books import LINK


def test_a_corrected_entry_is_told_as_recorded_and_as_it_stands_now(door: Door) -> None:
    book = door.a_book(reason="A good copy.")
    first = door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    changes = {"on": "2024-01-30", "holding": "slabbed", "reason": "The best copy."}
    fixed = door.an_event(book, "correction", entry=first, changes=changes, reason="Read again.")
    told, correction = door.get(f"/books/{book}/events?order=recorded").json()["entries"]
    assert (told["on"], told["body"]["holding"], told["corrected_by"]) == ("2024-02-01", "raw", [fixed])
    assert told["sealed"]["reason"] == {"state": "open", "value": "A good copy."}
    assert (told["now"]["on"], told["now"]["body"]["holding"]) == ("2024-01-30", "slabbed")
    assert told["now"]["sealed"]["reason"] == {"state": "open", "value": "The best copy."}
    assert correction["sealed"]["new.reason"] == {"state": "open", "value": "The best copy."}
    assert correction["body"]["changes"] == {"on": "2024-01-30", "holding": "slabbed"}
    assert correction["now"] is None


def test_a_withdrawn_entry_keeps_its_place_and_names_who_withdrew_it(door: Door) -> None:
    book = door.a_book()
    note = door.an_event(book, "note", words="a")
    gone = door.an_event(book, "withdrawal", entry=note, reason="b")
    entries = door.get(f"/books/{book}/events?order=recorded").json()["entries"]
    assert [(each["seq"], each["in_force"], each["withdrawn_by"]) for each in entries[1:]] == [
        (note, False, gone),
        (gone, True, None),
    ]
    assert entries[1]["sealed"]["words"]["value"] == "a"


def test_an_erased_value_is_gone_and_the_entry_stays(door: Door) -> None:
    book = door.a_book(seller="Somebody", price={"minor": 1, "currency": "EUR", "exponent": 2})
    first = door.get(f"/books/{book}/events").json()["entries"][0]
    before = door.get(f"/events/{first['seq']}").json()
    door.an_event(book, "erasure", entry=first["seq"], names=["seller"])
    after = door.get(f"/events/{first['seq']}").json()
    assert after["sealed"]["seller"] == {"state": "erased", "value": None}
    assert after["sealed"]["price"]["value"]["minor"] == 1
    assert (after["bytes"], after["leaf"]) == (before["bytes"], before["leaf"])
    assert "Somebody" not in door.get(f"/books/{book}/events").text + door.get("/events").text


def test_a_book_is_told_as_it_happened_or_as_it_was_recorded(door: Door) -> None:
    book = door.a_book(on="2024-02-01", holding="slabbed")
    late = door.an_event(book, "opening", on="2024-05-01")
    early = door.an_event(
        book, "valuation", on="2024-03", method="comparables", amount=euros(5), comparables_used=[sold()]
    )
    order = {
        name: [each["seq"] for each in door.get(f"/books/{book}/events{query}").json()["entries"]][1:]
        for name, query in {"default": "", "happened": "?order=happened", "recorded": "?order=recorded"}.items()
    }
    assert order == {"default": [early, late], "happened": [early, late], "recorded": [late, early]}


def euros(amount: int) -> dict[str, object]:
    return {"minor": amount * 100, "currency": "EUR", "exponent": 2}


def sold() -> dict[str, object]:
    return {"on": "2024-01", "price": euros(5)}


def test_the_bytes_of_an_entry_are_the_ones_that_are_hashed(door: Door) -> None:
    book = door.a_book()
    seq = door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    told = door.get(f"/events/{seq}").json()
    data = b64decode(told["bytes"])
    # RFC 9162 section 2.1.1: a leaf is SHA-256 over 0x00 and the entry.
    assert sha256(b"\x00" + data).hexdigest() == told["leaf"]
    said = Envelope.from_bytes(data)
    assert (said.seq, said.book, said.book_seq, said.act) == (seq, book, 1, told["act"])
    assert (said.on, said.recorded, said.body) == (told["on"], told["recorded"], told["body"])
    assert set(said.sealed) == set(told["sealed"])


def test_the_day_book_has_every_entry_of_every_book_in_the_order_of_recording(door: Door) -> None:
    one, other = door.a_book(), door.a_book()
    door.an_event(one, "note", on="2020", words="a")
    door.an_event(other, "note", on="2019", words="b")
    entries = door.get("/events").json()["entries"]
    assert [each["seq"] for each in entries] == list(range(1, door.size + 1))
    assert [each["book"] for each in entries] == [None, one, other, one, other]


@pytest.mark.parametrize("newest_first", ["false", "true"])
@pytest.mark.parametrize("limit", [1, 2, 6])
def test_following_the_links_visits_every_entry_once(door: Door, newest_first: str, limit: int) -> None:
    book = door.a_book()
    for _ in range(4):
        door.an_event(book, "note", words="a")
    visited = []
    at: str | None = f"/events?newest_first={newest_first}&limit={limit}"
    while at is not None:
        answer = door.get(at)
        visited += [each["seq"] for each in answer.json()["entries"]]
        found = LINK.fullmatch(answer.headers["link"]) if "link" in answer.headers else None
        at = found[1] if found else None
    assert visited == sorted(range(1, door.size + 1), reverse=newest_first == "true")


def test_the_day_book_is_filtered_by_kinds(door: Door) -> None:
    book = door.a_book()
    door.an_event(book, "note", words="a")
    assert [each["kind"] for each in door.get("/events?kind=note").json()["entries"]] == ["note"]
    assert [each["kind"] for each in door.get("/events?kind=note&kind=key").json()["entries"]] == ["key", "note"]


def test_what_speaks_of_no_book_is_recorded_for_the_collection(door: Door) -> None:
    made = door.post("/events", {"kind": "note", "words": "The room was painted."})
    assert made.status_code == 201
    entry = made.json()["entries"][0]
    assert (entry["book"], entry["book_seq"]) == (None, None)
    assert "etag" not in made.headers
    assert made.headers["location"] == f"/events/{entry['seq']}"
    assert door.get(made.headers["location"]).json()["sealed"]["words"]["value"] == "The room was painted."


def test_a_note_on_the_collection_can_be_corrected_and_withdrawn(door: Door) -> None:
    seq = door.post("/events", {"kind": "note", "words": "a"}).json()["entries"][0]["seq"]
    door.post("/events", {"kind": "correction", "entry": seq, "changes": {"words": "b"}})
    door.post("/events", {"kind": "withdrawal", "entry": seq})
    told = door.get(f"/events/{seq}").json()
    assert told["now"]["sealed"]["words"]["value"] == "b"
    assert told["withdrawn_by"] == seq + 2


def test_an_entry_of_another_book_is_not_mended_from_this_one(door: Door) -> None:
    one, other = door.a_book(), door.a_book()
    seq = door.get(f"/books/{other}/events").json()["entries"][0]["seq"]
    told = problem(door.post(f"/books/{one}/events", {"kind": "withdrawal", "entry": seq}, If_Match="*"), 409)
    assert told["errors"][0]["rule"] == "withdrawal.2"


def test_a_vague_date_warns_and_is_written(door: Door) -> None:
    book = door.a_book(on="2024", holding="slabbed")
    made = door.post(f"/books/{book}/events", {"kind": "opening", "on": "2024-03-01"})
    assert made.status_code == 201
    assert "too vague" in made.json()["warnings"][0]


def test_a_filter_by_a_kind_that_is_none_is_refused_with_those_there_are(door: Door) -> None:
    told = problem(door.get("/events?kind=note&kind=seance"), 400)
    assert fields(told) == ["kind.1"]
    assert "purchase" in told["detail"]


@pytest.mark.parametrize(
    ("changes", "status", "field"),
    [
        ({"on": "1998-13"}, 422, "changes.on"),
        ({"stated": {"as_written": "x", "steps": ["9.3"]}}, 422, "changes.stated.steps.0"),
        ({"premium": {"minor": -1, "currency": "EUR", "exponent": 2}}, 422, "changes.premium"),
        ({"colour": "red"}, 409, "changes.colour"),
        ({}, 409, "changes"),
        ([], 422, "changes"),
    ],
)
def test_a_correction_to_something_that_cannot_be_names_the_field(
    door: Door, changes: object, status: int, field: str
) -> None:
    book = door.a_book()
    first = door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    size = door.size
    body = {"kind": "correction", "entry": first, "changes": changes}
    assert fields(problem(door.post(f"/books/{book}/events", body, If_Match="*"), status)) == [field]
    assert door.size == size
