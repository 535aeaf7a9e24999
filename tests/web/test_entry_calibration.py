"""A load and its press: chosen where books go in, and its calibration offered where the load ends; taken, or not written."""

from datetime import timedelta
from urllib.parse import parse_qs, urlsplit

import pytest

from ledger.bench import Step
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.tools import Tool
from ledger.usecases.bench import keep_recipe, look_at_bench, put_in
from tests.builders import a_purchase
from tests.fakes import FakeClock
from tests.web.browser import Browser, form_to, forms_of, text_of
from tests.web.markup import read_page
from tests.web.presses import COLD, HOT, a_press, load_in
from tests.web.stories import OWNER, Shelf


@pytest.fixture
def press(ledger: Ledger) -> Tool:
    """A measured one for two books."""
    return a_press(ledger)


def test_a_press_is_chosen_where_books_go_in_and_a_full_one_refuses_with_the_mend(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool
) -> None:
    books = [shelf.takes(a_purchase()) for _ in range(3)]
    form = signed_in.get(f"/bench/start?book={books[0]}")
    options = [each.text for each in read_page(form.text).one("select", id="press").all("option")]
    assert options == ["The one the step names, or none", "Large press: 2 of 2 free"]
    assert signed_in.post("/bench/start", {"book": books[:2], "press": press.id, **HOT}).status_code == 303
    (load,) = look_at_bench(ledger, OWNER).loads
    assert (load.tool, load.step.values["tool"]) == (press.id, "Large press")
    answer = signed_in.post("/bench/start", {"book": books[2], "press": press.id, "settings.stack": "felt", **HOT})
    assert answer.status_code == 409
    said = text_of(answer)
    assert "Large press has no room left, and one is to go in. Hot press, dry, 2 books, comes out" in said
    assert "Take one out first, or choose another." in said
    back = form_to(answer, "/bench/start").fields
    assert (back["press"], back["settings.stack"]) == (press.id, "felt")


def test_a_step_that_names_a_press_of_the_list_goes_into_it(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool
) -> None:
    signed_in.post("/bench/start", {"book": shelf.takes(a_purchase()), "tool": "large PRESS", **HOT})
    recipe = keep_recipe(ledger, OWNER, "Cold", [Step(values=COLD)])
    fields = {"book": shelf.takes(a_purchase()), "recipe": f"{recipe.id}.0", "press": press.id}
    signed_in.post("/bench/start", fields)
    first, second = look_at_bench(ledger, OWNER).loads
    assert (first.tool, first.step.values["tool"]) == (press.id, "large PRESS")
    assert (second.tool, second.step.values["tool"]) == (press.id, "Large press")


def test_the_calibration_is_offered_where_a_load_ends_and_written_only_if_it_is_taken(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool, clock: FakeClock
) -> None:
    load = load_in(ledger, shelf, press)
    clock.time = load.started + timedelta(minutes=1440)
    answer = signed_in.post(f"/bench/{load.id}/stop")
    where, page = answer.headers["location"], signed_in.follow(answer)
    said = text_of(page)
    assert "Nobody measured it in this run." in said
    assert "By the calibration of 20 December 2025, Large press set to 60 °C has 57.5 °C at the paper" in said
    form = next(each for each in forms_of(page) if each.action.startswith("/entry/new"))
    assert form.fields["settings.measured_celsius"] == ""
    taken = signed_in.post(where, {**form.fields, "remark": "A calm day.", "do": "calibrated"})
    assert taken.status_code == 200
    assert "are from the calibration of 20 December 2025" in text_of(taken)
    newer = read_page(taken.text).one("form", id="entry-form").attrs["data-draft-newer"]
    assert newer == "settings.measured_celsius remark"
    form = next(each for each in forms_of(taken) if each.action.startswith("/entry/new"))
    assert form.fields["settings.measured_celsius"] == "57.5"
    remark = (
        "A calm day. 57.5 °C at the paper is from the calibration of Large press of 20 December 2025 with a probe; "
        "it was not measured in this run."
    )
    assert form.fields["remark"] == remark
    assert signed_in.post(where, {**form.fields, "do": "write"}).status_code == 303
    with ledger.log.read() as reader:
        event = reader.of_book(load.books[0])[-1].event
    assert isinstance(event, Intervention)
    assert event.settings is not None
    assert (event.settings.measured_celsius, event.remark.value, event.tool) == ("57.5", remark, "Large press")


def test_what_is_not_taken_is_not_written(signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool) -> None:
    load = load_in(ledger, shelf, press, **{"settings.total_minutes": ""})
    answer = signed_in.post(f"/bench/{load.id}/stop")
    form = next(each for each in forms_of(signed_in.follow(answer)) if each.action.startswith("/entry/new"))
    assert signed_in.post(answer.headers["location"], form.fields).status_code == 303
    with ledger.log.read() as reader:
        event = reader.of_book(load.books[0])[-1].event
    assert isinstance(event, Intervention)
    assert event.settings is not None
    assert event.settings.measured_celsius is None


def test_beyond_the_calibration_nothing_is_offered_and_that_is_said(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, press: Tool
) -> None:
    load = load_in(ledger, shelf, press, **{"settings.set_celsius": "95"})
    page = signed_in.follow(signed_in.post(f"/bench/{load.id}/stop"))
    assert "is not known: its calibration of 20 December 2025 reaches from 40 to 80 °C." in text_of(page)
    assert not read_page(page.text).all("button", value="calibrated")


def test_without_a_calibration_nothing_is_said(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    load = load_in(ledger, shelf)
    page = signed_in.follow(signed_in.post(f"/bench/{load.id}/stop"))
    assert not read_page(page.text).all("div", class_="offer")


def test_after_a_step_of_a_recipe_is_written_the_next_begins_with_one_tap(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    recipe = keep_recipe(ledger, OWNER, "Warm, cold", [Step(values=HOT), Step(values=COLD)])
    book = shelf.takes(a_purchase())
    load = put_in(ledger, OWNER, [book], Step(values={**HOT, "settings.total_minutes": ""}), by=(recipe.id, 0))
    answer = signed_in.post(f"/bench/{load.id}/stop")
    form = next(each for each in forms_of(signed_in.follow(answer)) if each.action.startswith("/entry/new"))
    written = signed_in.post(answer.headers["location"], form.fields)
    asked = urlsplit(written.headers["location"])
    assert (asked.path, parse_qs(asked.query)) == ("/bench/start", {"book": [book], "recipe": [f"{recipe.id}.1"]})
    start = form_to(signed_in.follow(written), "/bench/start")
    assert signed_in.post("/bench/start", start.fields).status_code == 303
    (after,) = look_at_bench(ledger, OWNER).loads
    assert (after.step.technique, after.place) == ("cold-press", 1)
    last = signed_in.post(f"/bench/{after.id}/stop")
    form = next(each for each in forms_of(signed_in.follow(last)) if each.action.startswith("/entry/new"))
    assert signed_in.post(last.headers["location"], form.fields).headers["location"] == f"/books/{book}"
