"""The page of care: what is due, one book found by one tap, a shelf counted as one act, looks before what is planned."""

from typing import Any

from ledger.events.count import Count
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.care import planned_of
from tests.builders import a_purchase, an_issue, on
from tests.web.browser import Browser, form_to, forms_of, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf
from web.pages.care import OPEN

PAGE, COUNT, PLAN = "/care", "/care/count", "/care/planned"


def boxed(ledger: Ledger, title: str, place: str = "Box 3", when: str = "2023-02-01", **changes: Any) -> str:
    sleeve = Housing(around=Around.SLEEVE, material=Material.POLYETHYLENE, changed_on=on("2022-01-05"))
    placed = Placement(on=on("2023-02-02"), spot=Spot.BOX, place=Sealed.of(place), housings=(sleeve,), **changes)
    return Shelf(ledger).takes(a_purchase(when, issue=an_issue(title=title)), placed)


def counts(ledger: Ledger, book: str) -> list[Any]:
    with ledger.log.read() as reader:
        return [each for each in reader.of_book(book) if isinstance(each.event, Count)]


def test_an_empty_collection_has_nothing_due(signed_in: Browser) -> None:
    assert "Nothing is due." in text_of(signed_in.get(PAGE))


def test_what_is_due_says_what_since_when_and_where_it_is_done(signed_in: Browser, ledger: Ledger) -> None:
    book = boxed(ledger, "Harbor Lamp")
    page = read_page(signed_in.get(PAGE).text)
    said = page.one("main").text
    assert "Look over the sleeve, polyethylene" in said
    assert "5 January 2022, by the usual interval" in said
    assert page.all("a", href=f"/entry/new?kind=placement&book={book}")
    assert page.all("a", href=f"/books/{book}/look")
    assert "no day is made up where none is known" in said
    assert page.all("a", href="/rules/care")
    assert "25 years" not in said


def test_looks_at_one_book_are_one_line_since_one_look_is_good_for_all(signed_in: Browser, ledger: Ledger) -> None:
    moved = Placement(on=on("2023-03-01"), spot=Spot.BOX, place=Sealed.of("Box 9"))
    book = Shelf(ledger).takes(a_purchase("2022-02-01"), Placement(on=on("2022-02-02"), spot=Spot.SAFE), moved)
    links = read_page(signed_in.get(PAGE).text).one("main").all("a", href=f"/books/{book}/look")
    assert len(links) == 1


def test_a_long_list_stands_open_for_its_first_lines_and_folds_the_rest(signed_in: Browser, ledger: Ledger) -> None:
    for number in range(OPEN):
        boxed(ledger, f"Harbor Lamp {number}")
    page = read_page(signed_in.get(PAGE).text).one("main")
    section = page.one("section", **{"aria-labelledby": "now"})
    whole, folded = section.all("tr"), section.one("details").all("tr")
    # Each table has a line of heads.
    assert len(whole) - len(folded) - 1 == OPEN
    assert len(folded) > 1
    assert f"{len(folded) - 1} more" in section.one("summary").text


def test_one_tap_counts_one_book_and_the_same_tap_counts_once(signed_in: Browser, ledger: Ledger) -> None:
    book, other = boxed(ledger, "Harbor Lamp"), boxed(ledger, "Copper Kettle")
    form = next(each for each in forms_of(signed_in.get(PAGE)) if each.action == COUNT)
    for _ in range(2):
        answer = signed_in.post(COUNT, {**form.fields, "one": book})
        assert answer.status_code == 303
    assert [len(counts(ledger, each)) for each in (book, other)] == [1, 0]
    assert str(counts(ledger, book)[0].event.on) == "2026-01-02"


def test_a_shelf_is_counted_as_one_act(signed_in: Browser, ledger: Ledger) -> None:
    here = [boxed(ledger, title) for title in ("Harbor Lamp", "Copper Kettle")]
    elsewhere = boxed(ledger, "Night Ferry", "Box 4")
    page = signed_in.get(f"{PAGE}?place=Box 3")
    assert "Night Ferry" not in read_page(page.text).one("form", id="shelf").text
    form = next(each for each in forms_of(page) if each.action == COUNT and "result" in each.fields)
    answer = signed_in.post(COUNT, {**form.fields, "book": here, "on": "1 January 2026"})
    assert answer.headers["location"] == "/care?place=Box+3"
    acts = {each.act for book in here for each in counts(ledger, book)}
    assert len(acts) == 1
    assert [str(each.event.on) for book in here for each in counts(ledger, book)] == ["2026-01-01", "2026-01-01"]
    assert counts(ledger, elsewhere) == []


def test_a_count_that_cannot_be_read_comes_back_with_what_was_ticked(signed_in: Browser, ledger: Ledger) -> None:
    book = boxed(ledger, "Harbor Lamp")
    form = next(each for each in forms_of(signed_in.get(f"{PAGE}?place=Box 3")) if "result" in each.fields)
    answer = signed_in.post(COUNT, {**form.fields, "book": [book], "on": "sometime"})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert page.one("input", id="on").attrs["aria-invalid"] == "true"
    assert "checked" in page.one("input", name="book", value=book).attrs
    none = signed_in.post(COUNT, {**form.fields, "book": []})
    assert "No book is ticked." in text_of(none)
    assert signed_in.post(COUNT, {**form.fields, "book": [book], "result": "odd"}).status_code == 422
    assert counts(ledger, book) == []


def test_what_is_planned_is_looked_at_before_until_it_is_taken_off(signed_in: Browser, ledger: Ledger) -> None:
    book = boxed(ledger, "Harbor Lamp")
    form = form_to(signed_in.get(PAGE), PLAN)
    said = text_of(
        signed_in.follow(signed_in.post(PLAN, {**form.fields, "what": "trip", "planned_on": "9 January 2026"}))
    )
    assert "It is planned, and to be looked at before." in said
    assert "Condition check before the trip on 9 January 2026" in said
    assert [each.on.isoformat() for each in planned_of(ledger, OWNER, book)] == ["2026-01-09"]
    off = form_to(signed_in.get(PAGE), f"{PLAN}/off")
    said = text_of(signed_in.follow(signed_in.post(off.action, off.fields)))
    assert "It is no longer planned." in said
    assert planned_of(ledger, OWNER, book) == ()


def test_a_plan_without_one_day_is_refused_at_its_field(signed_in: Browser, ledger: Ledger) -> None:
    boxed(ledger, "Harbor Lamp")
    form = form_to(signed_in.get(PAGE), PLAN)
    for wrong in ("2026", "", "1 January 2001"):
        answer = signed_in.post(PLAN, {**form.fields, "planned_on": wrong})
        assert answer.status_code == 422
        assert read_page(answer.text).one("input", id="planned_on").attrs["aria-invalid"] == "true"


def test_the_wall_leads_to_care_and_rotation(signed_in: Browser, ledger: Ledger) -> None:
    boxed(ledger, "Harbor Lamp")
    page = read_page(signed_in.get("/wall").text)
    assert page.all("a", href=PAGE)
    assert page.all("a", href="/rotation")
