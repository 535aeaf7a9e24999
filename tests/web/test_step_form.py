"""A step of work as it is written down: one answer for each defect, materials with their batch, how it ended; several books."""

from datetime import timedelta

import pytest

from ledger.events._step import DefectOutcome, Ended, MaterialUsed
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.usecases.bench import look_at_bench
from tests.builders import a_defect, a_purchase, an_examination, worked_on
from tests.fakes import FakeClock
from tests.web.browser import Browser, forms_of, text_of
from tests.web.entry_forms import OLD, RAW, address, at, opened, sent
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf
from tests.web.typed import last, size, written

FAULTS = (a_defect("d1", "bend"), a_defect("d2", "tear"))
SEEN = (
    a_purchase(OLD),
    an_examination(OLD, defects=(*FAULTS, a_defect("d3", "stain"))),
    an_examination(OLD, defects=(*FAULTS, a_defect("d3", "stain", gone=True, size_mm=None))),
)
"""Two faults that are there, and one that has gone."""


def a_seen_book(ledger: Ledger) -> str:
    return written(ledger, *SEEN)[0].book or ""


def step_of(ledger: Ledger) -> Intervention:
    event = last(ledger).event
    assert isinstance(event, Intervention)
    return event


def test_each_defect_has_one_row_of_answers_and_none_of_them_is_worked_on_at_first(
    ledger: Ledger, signed_in: Browser
) -> None:
    page = read_page(signed_in.get(address("intervention", a_seen_book(ledger))).text)
    rows = page.one("div", id="worked_defects").all("div", class_="one")
    assert [each.one("legend").text for each in rows] == [
        "d1: Bend or finger dent, front",
        "d2: Tear, front",
        "d3: Stain or foxing, front; gone at the last look",
    ]
    for row in rows:
        answers = row.all("input", type="radio")
        assert [each.attrs["value"] for each in answers] == ["", "meant", "gone", "lessened", "same", "worse"]
        assert [each.attrs["value"] for each in answers if "checked" in each.attrs] == [""]


def test_one_answer_tells_that_it_was_worked_on_and_what_was_seen(ledger: Ledger, signed_in: Browser) -> None:
    said = {"worked_defects.0.outcome": "lessened", "worked_defects.2.outcome": "meant"}
    answer = sent(signed_in, address("intervention", a_seen_book(ledger)), {"technique": "cold-press", **said})
    assert answer.status_code == 303, text_of(answer)
    assert step_of(ledger).worked_defects == worked_on("d1 lessened", "d3")


def test_a_form_that_comes_back_keeps_every_answer_at_its_defect(ledger: Ledger, signed_in: Browser) -> None:
    before = a_seen_book(ledger)
    count = size(ledger)
    said = {"worked_defects.0.outcome": "gone", "worked_defects.1.outcome": "worse", "changed_anything": "no"}
    answer = sent(signed_in, address("intervention", before), {"technique": "cold-press", **said})
    assert (answer.status_code, size(ledger)) == (422, count)
    page = read_page(answer.text)
    assert "It changed nothing, and a defect is other than it was." in at(page, "changed_anything-fault").text
    rows = page.one("div", id="worked_defects").all("div", class_="one")
    chosen = [each.attrs["value"] for row in rows for each in row.all("input", type="radio") if "checked" in each.attrs]
    assert chosen == ["gone", "worse", ""]


def test_a_book_of_which_no_defect_was_named_says_so(ledger: Ledger, signed_in: Browser) -> None:
    book = written(ledger, a_purchase(OLD))[0].book
    page = read_page(signed_in.get(address("intervention", book)).text)
    assert "No look has named a defect yet." in page.one("div", id="worked_defects").text
    assert sent(signed_in, address("intervention", book), {"technique": "cold-press"}).status_code == 303


def test_materials_their_batch_the_time_of_hands_and_the_end_are_written(ledger: Ledger, signed_in: Browser) -> None:
    said = {
        "technique": "tear-sealing",
        "materials.0.what": "wheat starch paste",
        "materials.0.batch": "77-B",
        "materials.1.what": "thin tissue",
        "duration_minutes": "35",
        "ended": "cut off",
    }
    assert sent(signed_in, address("intervention", a_seen_book(ledger)), said).status_code == 303
    step = step_of(ledger)
    assert step.materials == (MaterialUsed(what="wheat starch paste", batch="77-B"), MaterialUsed(what="thin tissue"))
    assert (step.duration_minutes, step.ended) == (35, Ended.CUT_OFF)


def test_a_batch_without_a_material_is_asked_about(ledger: Ledger, signed_in: Browser) -> None:
    said = {"technique": "tear-sealing", "materials.1.batch": "77-B"}
    answer = sent(signed_in, address("intervention", a_seen_book(ledger)), said)
    assert answer.status_code == 422
    assert at(read_page(answer.text), "materials.1.what-fault").text


def test_of_several_books_in_one_step_each_has_its_own_defects_and_outcomes(ledger: Ledger, signed_in: Browser) -> None:
    books = [a_seen_book(ledger), written(ledger, *RAW)[0].book or "", written(ledger, a_purchase(OLD))[0].book or ""]
    path = address("intervention", *books)
    page = read_page(signed_in.get(path).text)
    assert "No look has named a defect yet." in page.one("div", id="of.2.worked_defects").text
    said = {
        "technique": "cold-press",
        "of.0.worked_defects.1.outcome": "gone",
        "of.1.worked_defects.0.outcome": "same",
        "of.1.changed_anything": "no",
    }
    answer = sent(signed_in, path, said)
    assert answer.status_code == 303, text_of(answer)
    steps = []
    for book in books:
        with ledger.log.read() as reader:
            steps.append(reader.of_book(book)[-1].event)
    assert [(each.worked_defects, each.changed_anything) for each in steps if isinstance(each, Intervention)] == [
        (worked_on("d2 gone"), None),
        (worked_on("d2 same"), False),
        ((), None),
    ]


def test_a_problem_with_a_defect_of_one_of_several_books_is_told_at_that_book(
    ledger: Ledger, signed_in: Browser
) -> None:
    books = [a_seen_book(ledger), a_seen_book(ledger)]
    count = size(ledger)
    wrong = {"of.1.worked_defects.0.outcome": "vanished", "of.1.worked_defects.1.id": "d9"}
    said = {"technique": "cold-press", **wrong, "of.1.worked_defects.1.outcome": "gone"}
    answer = sent(signed_in, address("intervention", *books), said)
    assert (answer.status_code, size(ledger)) == (422, count)
    page = read_page(answer.text)
    assert "This is not one of the answers here." in at(page, "of.1.worked_defects.0").text
    stranger = {"technique": "cold-press", "of.1.worked_defects.1.id": "d9", "of.1.worked_defects.1.outcome": "gone"}
    answer = sent(signed_in, address("intervention", *books), stranger)
    assert (answer.status_code, size(ledger)) == (409, count)
    assert "No examination before has named defect d9." in at(read_page(answer.text), "of.1.worked_defects.1").text


@pytest.mark.parametrize("count", [1, 2])
def test_what_comes_out_of_the_press_is_told_with_outcomes_in_the_same_form(
    signed_in: Browser, shelf: Shelf, ledger: Ledger, clock: FakeClock, count: int
) -> None:
    books = [shelf.takes(*SEEN) for _ in range(count)]
    planned = {"technique": "hot-press-dry", "settings.hold_minutes": "10", "settings.total_minutes": "60"}
    assert signed_in.post("/bench/start", {"book": books, **planned}).status_code == 303
    (load,) = look_at_bench(ledger, OWNER).loads
    clock.time = load.started + timedelta(minutes=25)
    answer = signed_in.post(f"/bench/{load.id}/stop")
    form = next(each for each in forms_of(signed_in.follow(answer)) if each.action.startswith("/entry/new"))
    assert form.fields["settings.total_minutes"] == "25"
    assert form.fields["ended"] == "", "that it ended as planned, or did not, is for a person to say"
    mine = "worked_defects.0.outcome" if count == 1 else "of.1.worked_defects.0.outcome"
    filled = {**form.fields, mine: "lessened", "ended": "cut off", "duration_minutes": "8"}
    assert signed_in.post(answer.headers["location"], filled).status_code == 303
    assert look_at_bench(ledger, OWNER).loads == ()
    step = step_of(ledger)
    assert [(each.id, each.outcome) for each in step.worked_defects] == [("d1", DefectOutcome.LESSENED)]
    assert (step.ended, step.duration_minutes) == (Ended.CUT_OFF, 8)
    assert step.settings is not None
    assert (step.settings.hold_minutes, step.settings.total_minutes) == (10, 25)


def test_a_correction_keeps_the_outcomes_and_can_change_one(ledger: Ledger, signed_in: Browser) -> None:
    book = a_seen_book(ledger)
    said = {"technique": "cold-press", "worked_defects.0.outcome": "gone", "worked_defects.1.outcome": "meant"}
    sent(signed_in, address("intervention", book), said)
    seq = last(ledger).seq
    path = address("correction", entry=seq)
    form = opened(signed_in, path)
    assert form.fields["changes.worked_defects.0.outcome"] == "gone"
    answer = sent(signed_in, path, {"changes.worked_defects.0.outcome": "lessened", "reason": "Looked closer."})
    assert answer.status_code == 303, text_of(answer)
    text = text_of(signed_in.get(f"/books/{book}"))
    assert "Said right after the step: d1 lessened. The look after a rest decides." in text
