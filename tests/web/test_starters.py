"""Starter steps where a step is chosen: one tap fills the form, what was typed stays, and the caution is in sight."""

import pytest

from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.rules.steps import Starter, starter, starters
from ledger.usecases.bench import look_at_bench
from tests.builders import a_purchase
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf
from web.bench_steps import finished
from web.starters import asked_for, filled


def of(name: str) -> Starter:
    found = starter(name)
    assert found is not None
    return found


@pytest.mark.parametrize("name", [each.id for each in starters()])
def test_one_tap_fills_the_bench_form_and_puts_nothing_in(
    signed_in: Browser, shelf: Shelf, ledger: Ledger, name: str
) -> None:
    book, by = shelf.takes(a_purchase()), of(name)
    form = form_to(signed_in.get(f"/bench/start?book={book}"), "/bench/start")
    answer = signed_in.post("/bench/start", {**form.fields, "tool": "Small press", "do": f"starter:{name}"})
    assert answer.status_code == 200
    typed = form_to(answer, "/bench/start").fields
    assert {field: typed[field] for field in by.values} == by.values
    assert (typed["book"], typed["tool"]) == (book, "Small press")
    said = text_of(answer)
    assert by.says in said
    assert by.caution is None or by.caution.text in said
    assert look_at_bench(ledger, OWNER).loads == ()


@pytest.mark.parametrize("name", [each.id for each in starters()])
def test_one_tap_fills_the_form_of_an_entry_and_writes_nothing(signed_in: Browser, shelf: Shelf, name: str) -> None:
    book, by = shelf.takes(a_purchase()), of(name)
    where = f"/entry/new?kind=intervention&book={book}"
    form = form_to(signed_in.get(where), "/entry/new")
    answer = signed_in.post(where, {**form.fields, "tool": "Small press", "do": f"starter:{name}"})
    assert answer.status_code == 200
    typed = form_to(answer, "/entry/new").fields
    assert (typed["technique"], typed["tool"], typed["remark"]) == (by.technique, "Small press", by.note)
    assert typed["settings.total_minutes"] == by.values.get("settings.total_minutes", "")
    assert by.says in text_of(answer)
    assert by.caution is None or by.caution.title in text_of(answer)
    assert len(shelf.seqs(book)) == 1


def test_what_comes_from_a_load_is_filled_in_already_and_offers_no_starter_step(
    signed_in: Browser, shelf: Shelf, ledger: Ledger
) -> None:
    book = shelf.takes(a_purchase())
    signed_in.post("/bench/start", {"book": book, "technique": "cold-press", "tool": "Small press"})
    (load,) = look_at_bench(ledger, OWNER).loads
    out = signed_in.follow(signed_in.post(f"/bench/{load.id}/stop"))
    assert form_to(out, "/entry/new").fields["technique"] == "cold-press"
    assert not [each for each in read_page(out.text).all("button", name="do") if "starter:" in each.attrs["value"]]


def test_the_entry_that_was_filled_so_can_be_written(signed_in: Browser, shelf: Shelf, ledger: Ledger) -> None:
    book = shelf.takes(a_purchase())
    where = f"/entry/new?kind=intervention&book={book}"
    form = form_to(signed_in.get(where), "/entry/new")
    filled_in = form_to(signed_in.post(where, {**form.fields, "do": "starter:edge-left-alone"}), "/entry/new").fields
    written = signed_in.post(where, {**filled_in, "do": "write"})
    assert written.status_code == 303, text_of(written)
    with ledger.log.read() as reader:
        event = reader.of_book(book)[-1].event
    assert isinstance(event, Intervention)
    assert (event.technique, event.remark.value) == ("hot-press-dry", "Upper edge left alone.")


@pytest.mark.parametrize("kind", ["examination", "choice", "note", "photograph"])
def test_they_are_offered_for_no_other_kind_of_entry(signed_in: Browser, shelf: Shelf, kind: str) -> None:
    page = read_page(signed_in.get(f"/entry/new?kind={kind}&book={shelf.takes(a_purchase())}").text)
    assert page.all("button", value="starter:dry-clean") == []
    assert page.all("form", id="entry-form")


def test_a_second_tap_takes_back_what_the_first_had_put_there_and_nothing_else() -> None:
    first = filled({"tool": "Small press"}, of("cold-press-12"))
    assert first == {"tool": "Small press", "technique": "cold-press", "settings.total_minutes": "720"}
    assert filled(first, of("dry-clean")) == {"tool": "Small press", "technique": "dry-cleaning"}
    changed = {**first, "settings.total_minutes": "600"}
    assert filled(changed, of("dry-clean")) == {**changed, "technique": "dry-cleaning"}


def test_a_note_that_was_typed_stays_before_that_of_the_step() -> None:
    own = filled({"note": "Third page first."}, of("edge-left-alone"))
    assert own["note"] == "Third page first. Upper edge left alone."
    assert filled(own, of("edge-left-alone"))["note"] == own["note"]


def test_a_button_that_is_none_of_them_asks_for_none() -> None:
    assert asked_for("starter:wishing") is None
    assert asked_for("write") is None
    assert asked_for("") is None


def test_the_note_of_a_step_is_what_the_remark_of_its_entry_begins_with(
    signed_in: Browser, shelf: Shelf, ledger: Ledger
) -> None:
    book = shelf.takes(a_purchase())
    signed_in.post("/bench/start", {"book": book, **of("edge-left-alone").values})
    (load,) = look_at_bench(ledger, OWNER).loads
    told = finished(load)
    assert (told["remark"], "note" in told) == ("Upper edge left alone.", False)
    form = form_to(signed_in.follow(signed_in.post(f"/bench/{load.id}/stop")), "/entry/new")
    assert form.fields["remark"] == "Upper edge left alone."
