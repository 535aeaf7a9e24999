"""An entry form that comes back: problems at their fields, one more row, and what was typed as it was typed."""

from ledger.ports import Ledger
from tests.builders import a_purchase
from tests.web.browser import Browser, form_to, text_of
from tests.web.entry_forms import PATH, address, at, book_for, opened, sent
from tests.web.markup import read_page
from tests.web.typed import last, size, written


def test_a_rule_that_is_broken_is_told_on_top_and_at_its_field_with_the_entries(
    ledger: Ledger, signed_in: Browser
) -> None:
    book = book_for(ledger, "slab", 0)
    out = last(ledger).seq
    answer = sent(signed_in, address("submission", book), {"stage": "sent", "asks": "grade", "batch": "second"})
    assert answer.status_code == 409
    page = read_page(answer.text)
    sentence = "Batch autumn-2025 is still open for this book. Write what came of it first."
    assert at(page, "batch-fault").text == sentence
    faults = page.one("div", class_="faults")
    assert sentence in faults.text
    assert [link.attrs["href"] for link in faults.all("a")] == ["#batch", f"/ledger/{out}"]
    assert last(ledger).seq == out


def test_what_was_typed_comes_back_with_its_faults(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "examination", 0)
    typed = {"on": "3 Apr 2024", "height_mm": "tall", "lights": ["raking"], "remark": "  two\nlines "}
    answer = sent(signed_in, address("examination", book), typed)
    assert answer.status_code == 422
    fields = form_to(answer, PATH).fields
    assert fields["height_mm"] == "tall"
    assert fields["lights"] == ["raking"]
    assert fields["remark"] == "  two\nlines "
    assert "This is no measure in mm." in at(read_page(answer.text), "height_mm-fault").text


def test_one_more_row_comes_without_a_script_and_keeps_what_was_typed(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "examination", 0)
    before = size(ledger)
    answer = sent(
        signed_in, address("examination", book), {"defects.0.type": "tear", "on": "3 Apr", "do": "add:defects"}
    )
    assert answer.status_code == 200
    fields = form_to(answer, PATH).fields
    assert (fields["defects.0.type"], fields["on"], fields["defects.1.type"]) == ("tear", "3 Apr", "")
    assert "defects.2.type" not in fields
    assert size(ledger) == before
    assert "faults" not in answer.text.partition("<main")[2].partition("</main>")[0]


def test_rows_that_were_typed_into_are_written_and_blank_ones_are_not(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "examination", 0)
    rows = {"defects.1.type": "tear", "defects.1.face": "back", "defects.1.size_mm": "4,5"}
    more = sent(signed_in, address("examination", book), {"do": "add:defects"})
    form = form_to(more, PATH)
    assert signed_in.post(form.action, {**form.fields, **rows}).status_code == 303
    (defect,) = vars(last(ledger).event)["defects"]
    assert (defect.id, defect.type, defect.size_mm) == ("d3", "tear", "4.5"), "d1 and d2 are in use"


def test_a_form_sent_twice_makes_one_entry(ledger: Ledger, signed_in: Browser) -> None:
    form = opened(signed_in, address("choice", book_for(ledger, "choice", 0)))
    answers = [signed_in.post(form.action, {**form.fields, "next": "stop"}) for _ in range(2)]
    assert {answer.status_code for answer in answers} == {303}
    assert len({answer.headers["location"] for answer in answers}) == 1
    with ledger.log.read() as reader:
        assert [entry.event.kind for entry in reader.of_book(answers[0].headers["location"][7:])].count("choice") == 1


def test_the_same_key_with_other_words_writes_nothing(ledger: Ledger, signed_in: Browser) -> None:
    form = opened(signed_in, address("choice", book_for(ledger, "choice", 0)))
    signed_in.post(form.action, {**form.fields, "next": "stop"})
    before = size(ledger)
    answer = signed_in.post(form.action, {**form.fields, "next": "go on"})
    assert answer.status_code == 409
    assert size(ledger) == before
    assert form_to(answer, PATH).fields["key"] != form.fields["key"]


def test_a_field_that_the_form_does_not_have_is_refused(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "choice", 0)
    before = size(ledger)
    answer = sent(signed_in, address("choice", book), {"next": "stop", "colour": "red"})
    assert answer.status_code == 422
    assert "There is no field colour in this form." in text_of(answer)
    assert size(ledger) == before


def test_dates_too_vague_to_tell_the_order_are_warned_of_after_writing(ledger: Ledger, signed_in: Browser) -> None:
    book = written(ledger, a_purchase("2024-02"))[0].book
    sent(signed_in, address("choice", book), {"on": "2024", "next": "stop"})
    assert "The dates are too vague to tell the order" in text_of(signed_in.get("/keys"))
