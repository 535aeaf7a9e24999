"""One form for several books: one act, what differs is asked for each, and one that cannot stand stops them all."""

from ledger.entry import Entry
from ledger.events import Event
from ledger.ports import Ledger
from tests.web.browser import Browser, form_to, text_of
from tests.web.entry_forms import OUT, PATH, RAW, SENT, address, at, book_for, opened, sent
from tests.web.markup import read_page
from tests.web.typed import last, size, written


def two_books(ledger: Ledger, *events: Event) -> list[str]:
    chains = [written(ledger, *(events or RAW)) for _ in range(2)]
    return [chain[0].book or "" for chain in chains]


def newest(ledger: Ledger, count: int) -> list[Entry]:
    with ledger.log.read() as reader:
        end = reader.head().size
        return [reader.entry(seq) for seq in range(end - count + 1, end + 1)]


def test_several_books_are_one_act(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    answer = sent(signed_in, address("choice", *books), {"next": "leave alone", "why": "fragile"})
    entries = newest(ledger, 2)
    assert [entry.book for entry in entries] == books
    assert len({entry.act for entry in entries}) == 1
    assert entries[0].event == entries[1].event
    assert answer.headers["location"] == f"/ledger/{entries[0].seq}"
    assert f"Written as entries {entries[0].seq} to {entries[1].seq}" in text_of(signed_in.get("/keys"))


def test_what_differs_from_book_to_book_is_asked_for_each(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger, *RAW, SENT)
    form = opened(signed_in, address("slab", *books))
    assert form.fields["batch"] == "autumn-2025", "what all books agree on stands there"
    assert "holder_number" not in form.fields
    each = {
        "of.0.stated.as_written": "7.5",
        "of.0.holder_number": "5520-118",
        "of.1.outcome": "no grade",
    }
    answer = signed_in.post(form.action, {**form.fields, "service": "Third Bench Grading", **each})
    assert answer.status_code == 303, text_of(answer)
    first, second = (vars(entry.event) for entry in newest(ledger, 2))
    assert (first["stated"].as_written, first["holder_number"]) == ("7.5", "5520-118")
    assert (second["stated"], second["holder_number"], second["outcome"].value) == (None, None, "no grade")
    assert first["service"] == second["service"]


def test_a_problem_of_one_of_several_books_lands_at_its_own_field(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger, *RAW, SENT)
    before = size(ledger)
    each = {"of.0.stated.as_written": "7.5", "of.1.outcome": "refused", "of.1.holder_number": "5520-119"}
    answer = sent(signed_in, address("slab", *books), each)
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert at(page, "of.1.holder_number-fault").text.startswith("A holder number belongs to a slabbed book.")
    assert form_to(answer, PATH).fields["of.1.holder_number"] == "5520-119"
    labels = [link.text for link in page.one("div", class_="faults").all("a")]
    assert labels == ["Captain Lantern 14, Holder number"]
    assert size(ledger) == before


def test_a_grade_that_was_given_is_asked_for_at_each_book(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger, *RAW, SENT)
    answer = sent(signed_in, address("slab", *books), {"of.0.stated.as_written": "9.2"})
    page = read_page(answer.text)
    assert at(page, "of.1.stated.as_written-fault").text.startswith("A grade was given: write it as it stands")
    assert "aria-invalid" not in at(page, "of.0.stated.as_written").attrs


def test_an_unreadable_value_of_one_of_several_books_is_told_there(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    answer = sent(signed_in, address("submission", *books), {"batch": "b1", "of.0.fee": "USD 40", "of.1.fee": "a lot"})
    assert answer.status_code == 422
    assert "cannot be read as an amount" in at(read_page(answer.text), "of.1.fee-fault").text


def test_a_rule_that_one_of_several_books_breaks_stops_them_all(ledger: Ledger, signed_in: Browser) -> None:
    here = written(ledger, *RAW)[0].book
    away = written(ledger, *RAW, OUT)[0].book
    before = last(ledger).seq
    answer = sent(signed_in, address("count", here, away), {})
    assert answer.status_code == 409
    assert size(ledger) == before
    faults = read_page(answer.text).one("div", class_="faults")
    assert [link.attrs["href"] for link in faults.all("a")] == ["#of.1.result", f"/ledger/{before}"]


def test_the_form_says_which_entries_it_becomes(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    end = size(ledger)
    said = text_of(signed_in.get(address("choice", *books)))
    assert f"Becomes entries {end + 1} to {end + 2}, one for each book." in said
    assert f"Becomes entry {end + 1}." in text_of(signed_in.get(address("choice", books[0])))


def test_the_same_book_named_twice_is_one(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "choice", 0)
    before = size(ledger)
    sent(signed_in, address("choice", book, book), {"next": "stop"})
    assert size(ledger) == before + 1
