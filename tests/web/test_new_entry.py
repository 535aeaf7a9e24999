"""New entry: every kind is written from its form as its vector says, and begins with what the book tells."""

from typing import Any

import pytest

from ledger.ports import Ledger
from tests.web.browser import Browser, text_of
from tests.web.entry_forms import ELSEWHERE, address, at, book_for, opened, sent
from tests.web.markup import read_page
from tests.web.typed import last, size, typed_for, vectors
from web.told import ENDED


def plain_cases() -> list[Any]:
    seen: dict[str, int] = {}
    cases = []
    for kind, values in vectors():
        number = seen[kind] = seen.get(kind, -1) + 1
        if kind not in ELSEWHERE:
            cases.append(pytest.param(kind, values, number, id=f"{kind}-{number + 1}"))
    return cases


@pytest.mark.parametrize(("kind", "values", "number"), plain_cases())
def test_every_kind_is_written_from_its_form_as_its_vector_says(
    ledger: Ledger, signed_in: Browser, kind: str, values: dict[str, Any], number: int
) -> None:
    book = book_for(ledger, kind, number)
    form = opened(signed_in, address(kind, book))
    before = size(ledger)
    typed = typed_for(kind, values, key=form.fields["key"])
    answer = signed_in.post(form.action, typed)
    assert answer.status_code == 303, text_of(answer)
    entry = last(ledger)
    assert (size(ledger), entry.book) == (before + 1, book)
    with ledger.log.read() as reader:
        chain = reader.of_book(book) if book else reader.of_collection()
    assert entry.event == ledger.codec.read(kind, values).complete(chain[:-1])
    assert answer.headers["location"] == (f"/books/{book}" if book else f"/ledger/{entry.seq}")


def test_what_was_written_is_told_and_ends_its_draft(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "choice", 0)
    form = opened(signed_in, address("choice", book))
    page = read_page(signed_in.get(address("choice", book)).text)
    draft = at(page, "entry-form").attrs["data-draft"]
    signed_in.post(form.action, {**form.fields, "next": "stop"})
    told = signed_in.get("/keys")
    assert f"Written as entry {last(ledger).seq}. Chose to stop." in text_of(told)
    assert read_page(told.text).one("p", class_="told").attrs["data-draft-done"] == draft == f"choice:{book}"


def test_the_answer_itself_names_the_drafts_it_ended_beside_those_that_no_script_has_used_up(
    ledger: Ledger, signed_in: Browser
) -> None:
    books = [book_for(ledger, "choice", 0), book_for(ledger, "choice", 0)]
    for book in books:
        form = opened(signed_in, address("choice", book))
        answer = signed_in.post(form.action, {**form.fields, "next": "stop"})
    (cookie,) = (each for each in answer.headers.get_list("set-cookie") if each.startswith(ENDED))
    assert cookie.partition(";")[0].partition("=")[2] == "|".join(f"choice:{book}" for book in books)
    assert "httponly" not in cookie.lower(), "the script reads it, for the page that follows may be left before it runs"


def test_a_form_begins_with_the_day_of_today(ledger: Ledger, signed_in: Browser) -> None:
    form = opened(signed_in, address("choice", book_for(ledger, "choice", 0)))
    assert form.fields["on"] == "2 January 2026"


@pytest.mark.parametrize(
    ("kind", "number", "field", "value"),
    [
        ("arrival", 0, "stage", "arrived"),
        ("arrival", 1, "stage", "refunded"),
        ("examination", 1, "through_holder", "yes"),
        ("custody", 1, "direction", "back"),
        ("slab", 0, "batch", "autumn-2025"),
        ("slab", 1, "submission_known", "no"),
        ("submission", 1, "stage", "received there"),
        ("submission", 1, "batch", "autumn-2025"),
        ("submission", 2, "stage", "sent by the seller"),
        ("identification", 0, "issue.title", "Captain Lantern"),
    ],
)
def test_a_form_begins_with_what_follows_from_where_the_book_stands(
    ledger: Ledger, signed_in: Browser, kind: str, number: int, field: str, value: str
) -> None:
    assert opened(signed_in, address(kind, book_for(ledger, kind, number))).fields[field] == value


def test_a_form_begins_with_what_its_address_gives(ledger: Ledger, signed_in: Browser) -> None:
    form = opened(signed_in, address("ruling", table="techniques", row="dry-cleaning"))
    assert (form.fields["table"], form.fields["row"], form.fields["version"]) == ("techniques", "dry-cleaning", "1")


def test_a_room_is_stated_again_from_what_was_stated_last(ledger: Ledger, signed_in: Browser) -> None:
    values = next(values for kind, values in vectors() if kind == "room")
    sent(signed_in, address("room"), typed_for("room", values))
    fields = opened(signed_in, address("room", room="r1")).fields
    assert (fields["walls.1.width_cm"], fields["readings.0.lux"], fields["name"]) == ("310.5", "84", "Study")
