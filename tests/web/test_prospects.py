"""The pages of prospects: written down as people write, weighed, worked out, passed up, bought with the outlook first."""

from dataclasses import replace
from typing import Any

from httpx2 import Response

from ledger.events._parts import OpinionOf
from ledger.events.outlook import Outlook
from ledger.events.purchase import Purchase
from ledger.market import Prospect, Verdict
from ledger.money import Money
from ledger.ports import Ledger
from ledger.sale_rows import Reading, SaleSaid
from ledger.usecases.comparables import add_sale
from ledger.usecases.look import look_at
from ledger.usecases.prospect_outlook import prospect_outlook
from ledger.usecases.prospects import look_at_prospects
from ledger.when import When
from tests.pictures import a_picture
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER

PAGE, NEW = "/prospects", "/prospects/new"
LISTING = {
    "issue.title": "Captain Lantern", "issue.number": "14", "price": "1,250.00 USD", "seller": "Ottoline Quillfeather",
    "stated.as_written": "VF", "listing": "Bright copy, bent corner.", "defects.0.type": "bend",
    "defects.0.face": "front", "defects.0.size_mm": "12", "defects.0.breaks_colour": "no",
}  # fmt: skip


def write(browser: Browser, **changes: str) -> Response:
    fields = form_to(browser.get(NEW), NEW).fields
    return browser.post(NEW, {**fields, **LISTING, **changes})


def only(ledger: Ledger) -> Prospect:
    (found,) = look_at_prospects(ledger, OWNER)
    return found


def weigh(browser: Browser, ledger: Ledger, **weights: str) -> Response:
    path = f"{PAGE}/{only(ledger).id}"
    fields = form_to(browser.get(path), f"{path}/outlook").fields
    return browser.post(f"{path}/outlook", {**fields, **{f"w.{name}": value for name, value in weights.items()}})


def test_where_there_is_none_the_page_starts_one(signed_in: Browser) -> None:
    assert read_page(signed_in.get(PAGE).text).one("main").all("a", href=NEW, class_="next")


def test_a_listing_is_written_down_as_people_write_it(signed_in: Browser, ledger: Ledger) -> None:
    said = text_of(signed_in.follow(write(signed_in)))
    for words in (
        "1,250.00",
        "Ottoline Quillfeather",
        "VF",
        "Bright copy, bent corner.",
        ", front, 12 mm, does not break colour",
    ):
        assert words in said
    found = only(ledger)
    assert (str(found.issue), str(found.asking), found.defects[0].id) == ("Captain Lantern 14", "1250.00 USD", "d1")
    assert "Captain Lantern 14" in text_of(signed_in.get(PAGE))


def test_what_is_wrong_stands_at_its_field_and_nothing_typed_is_lost(signed_in: Browser, ledger: Ledger) -> None:
    answer = write(signed_in, **{"issue.number": "", "price": "dear", "defects.0.size_mm": "long"})
    assert answer.status_code == 422
    page = read_page(answer.text)
    for name in ("issue.number", "price", "defects.0.size_mm"):
        assert page.all("p", id=f"{name}-fault"), name
    assert form_to(answer, NEW).fields["listing"] == "Bright copy, bent corner."
    assert look_at_prospects(ledger, OWNER) == ()


def test_one_more_row_is_had_without_a_script(signed_in: Browser) -> None:
    fields = form_to(signed_in.get(NEW), NEW).fields
    answer = signed_in.post(NEW, {**fields, **LISTING, "do": "add:defects"})
    assert answer.status_code == 200
    assert form_to(answer, NEW).fields["defects.0.size_mm"] == "12"
    assert "defects.1.size_mm" in form_to(answer, NEW).fields


def test_its_pictures_come_with_the_form_and_one_can_be_left_out(signed_in: Browser, ledger: Ledger) -> None:
    answer = signed_in.upload(NEW, LISTING, {"pictures": ("front.jpg", a_picture("teal"))})
    shown = read_page(signed_in.follow(answer).text)
    (sha256,) = only(ledger).pictures
    assert shown.all("img", src=f"/pictures/{sha256}?size=160")
    assert signed_in.get(f"/pictures/{sha256}?size=160").status_code == 200
    assert signed_in.upload(NEW, LISTING, {"pictures": ("front.txt", b"no picture")}).status_code == 422
    signed_in.post(f"{PAGE}/{only(ledger).id}/pictures/{sha256}/off")
    assert only(ledger).pictures == ()


def test_it_is_changed_and_its_form_holds_what_it_was(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    before = only(ledger)
    path = f"{PAGE}/{before.id}/change"
    fields = form_to(signed_in.get(path), path).fields
    signed_in.post(path, fields)
    assert only(ledger) == before
    signed_in.post(path, {**fields, "price": "900 EUR", "note": "Ask for the back."})
    assert (str(only(ledger).asking), only(ledger).note) == ("900.00 EUR", "Ask for the back.")
    assert signed_in.post(path, {**fields, "issue.title": ""}).status_code == 422


def test_an_outlook_is_stated_step_by_step(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    said = text_of(signed_in.follow(weigh(signed_in, ledger, **{"7.5": "62,5", "8.0": "37.5 %"})))
    assert "Your outlook is kept as of now." in said
    assert [(str(each.grade), each.per_mille) for each in only(ledger).weights] == [("7.5", 625), ("8.0", 375)]
    table = read_page(signed_in.get(f"{PAGE}/{only(ledger).id}").text).one("table", class_="own-outlook")
    assert [each.text for each in table.all("td")] == ["37.5", "37.5", "62.5", "100"]


def test_weights_that_make_no_hundred_come_back(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    answer = weigh(signed_in, ledger, **{"7.5": "60", "8.0": "30"})
    assert answer.status_code == 422
    assert "The weights are 90 together, not 100." in text_of(answer)
    assert form_to(answer, f"{PAGE}/{only(ledger).id}/outlook").fields["w.7.5"] == "60"
    assert "Share out 100 among the steps." in text_of(weigh(signed_in, ledger))
    assert "The weight of 7.5 is no number" in text_of(weigh(signed_in, ledger, **{"7.5": "most"}))


def test_the_most_to_pay_is_worked_out(signed_in: Browser, ledger: Ledger) -> None:
    """By hand: half of 200.00 and half of 400.00 is 300.00; a tenth is kept back, and harm takes 10 * 400 of a million.

    300 * 0.9 * 0.996 = 268.92, less 20.00, 42.00 and 100.00 is 106.92.
    """
    write(signed_in)
    path = f"{PAGE}/{only(ledger).id}"
    assert "State your outlook first" in text_of(signed_in.get(path))
    weigh(signed_in, ledger, **{"7.5": "50", "8.0": "50"})
    sums = "brings.7.5=200+USD&brings.8.0=400+USD&carriage=20+USD&grading=42+USD&margin=100+USD&sale=100"
    assert "At most 106.92\N{NO-BREAK SPACE}USD." in signed_in.get(f"{path}?{sums}").text
    assert "is not known. It is not guessed" in text_of(signed_in.get(f"{path}?brings.7.5=200+USD&sale=100"))
    assert "Not even as a gift" in text_of(signed_in.get(f"{path}?{sums.replace('margin=100', 'margin=900')}"))
    wrong = signed_in.get(f"{path}?{sums.replace('sale=100', 'sale=1001')}&brings.7.5=dear")
    assert read_page(wrong.text).all("p", id="sale-fault")


def test_an_outlook_is_stated_as_people_write_it(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    path = f"{PAGE}/{only(ledger).id}"
    fields = form_to(signed_in.get(path), f"{path}/outlook").fields
    assert signed_in.post(f"{path}/outlook", {**fields, "said": "60 % 7.5, 40 % 8.0"}).status_code == 303
    assert [(str(each.grade), each.per_mille) for each in only(ledger).weights] == [("7.5", 600), ("8.0", 400)]
    answer = signed_in.post(f"{path}/outlook", {**fields, "said": "60 % 7.7"})
    assert answer.status_code == 422
    shown = read_page(answer.text)
    assert shown.one("input", id="said").attrs["value"] == "60 % 7.7"
    assert "is no step of the ten-point scale" in shown.one("p", id="said-fault").text


def test_its_ceiling_and_the_computed_outlook_come_of_its_defects_as_far_as_seen(
    signed_in: Browser, ledger: Ledger
) -> None:
    write(signed_in, **{"defects.0.type": "crease", "defects.0.size_mm": "10", "defects.0.breaks_colour": "yes"})
    shown = read_page(signed_in.get(f"{PAGE}/{only(ledger).id}").text).one("section", aria_labelledby="computed")
    assert "The ceiling is 8.0." in shown.text
    assert "Crease, front, 10 mm" in shown.text
    assert shown.all("rect", class_="computed")
    computed = prospect_outlook(ledger, OWNER, only(ledger))
    assert computed is not None
    assert sum(computed.computed.grades_after.shares) == 1


def test_without_a_defect_nothing_is_computed(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in, **{name: "" for name in LISTING if name.startswith("defects.")})
    assert "no ceiling and no outlook is worked out" in text_of(signed_in.get(f"{PAGE}/{only(ledger).id}"))


def test_what_its_sales_say_counts_in_the_most_to_pay_while_nothing_is_typed(
    signed_in: Browser, ledger: Ledger
) -> None:
    """By hand: 200.00 and 400.00 at 50 of 100 each are 300.00; less 150 of 1000 and 10 * 400 of a million it is 253.98."""
    write(signed_in)
    weigh(signed_in, ledger, **{"7.5": "50", "8.0": "50"})
    slabbed(ledger, only(ledger), {"7.5": "200.00", "8.0": "400.00"})
    shown = read_page(signed_in.get(f"{PAGE}/{only(ledger).id}").text)
    assert "200.00 USD by its sales" in shown.one("output", id="brings.7.5-reading").text
    assert "At most 253.98 USD." in shown.one("p", class_="answer").text


def test_one_that_was_passed_up_tells_what_it_would_be_worth_now(signed_in: Browser, ledger: Ledger) -> None:
    """By hand: half of 200.00 and half of 400.00 is 300.00."""
    write(signed_in)
    weigh(signed_in, ledger, **{"7.5": "50", "8.0": "50"})
    slabbed(ledger, only(ledger), {"7.5": "200.00", "8.0": "400.00"})
    path = f"{PAGE}/{only(ledger).id}"
    assert not read_page(signed_in.get(path).text).all("h2", id="now")
    signed_in.post(f"{path}/pass", {**form_to(signed_in.get(path), f"{path}/pass").fields, "why": "Too dear."})
    told = read_page(signed_in.get(path).text).one("section", aria_labelledby="now").text
    assert "By your outlook and its sales, 300.00 USD on average" in told


def slabbed(ledger: Ledger, of: Prospect, prices: dict[str, str]) -> None:
    reading = Reading(day=ledger.clock.today(), currency="USD")
    for grade, price in prices.items():
        for day in range(1, 6):
            said = SaleSaid(on=f"{day} Apr 2025", grade=grade, price=price, where="an auction", holding="slabbed")
            add_sale(ledger, OWNER, of.issue, said, reading)


def test_it_is_passed_up_with_why_and_taken_back(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    path = f"{PAGE}/{only(ledger).id}"
    said = text_of(signed_in.follow(signed_in.post(f"{path}/pass", {"why": "Too dear."})))
    assert "Passed up" in said
    assert "Too dear." in text_of(signed_in.get(PAGE))
    assert signed_in.post(f"{path}/pass", {"why": "Again."}).status_code == 409
    signed_in.post(f"{path}/back")
    assert only(ledger).verdict is Verdict.OPEN
    signed_in.post(f"{path}/off")
    assert look_at_prospects(ledger, OWNER) == ()


def test_it_is_bought_in_one_step_with_the_outlook_first(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    weigh(signed_in, ledger, **{"8.0": "100"})
    path = f"{PAGE}/{only(ledger).id}/buy"
    fields = form_to(signed_in.get(path), path).fields
    assert (fields["issue.title"], fields["price"], fields["seller"]) == (
        "Captain Lantern", "1250.00 USD", "Ottoline Quillfeather",
    )  # fmt: skip
    assert fields["on"] == When.of_day(ledger.clock.today()).label()
    answer = signed_in.post(path, {**fields, "price": "1,100.00 USD"})
    page = text_of(signed_in.follow(answer))
    assert "Captain Lantern" in page
    found = only(ledger)
    assert found.book is not None
    moments = look_at(ledger, OWNER, found.book).moments
    by_number = sorted(moments, key=lambda each: each.entry.seq)
    assert [type(each.event) for each in by_number] == [Outlook, Purchase]
    bought: Any = by_number[1].event
    assert bought.price.value == Money.of("1100.00", "USD")
    assert f"/books/{found.book}" in signed_in.get(f"{PAGE}/{found.id}").text
    assert signed_in.post(path, fields).status_code == 409


def test_a_purchase_that_cannot_be_so_comes_back_whole(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    weigh(signed_in, ledger, **{"8.0": "100"})
    path = f"{PAGE}/{only(ledger).id}/buy"
    fields = form_to(signed_in.get(path), path).fields
    answer = signed_in.post(path, {**fields, "holder_number": "A-1"})
    assert answer.status_code == 422
    assert read_page(answer.text).all("p", id="holder_number-fault")
    assert form_to(answer, path).fields["seller"] == "Ottoline Quillfeather"
    assert only(ledger).verdict is Verdict.OPEN
    assert signed_in.post(path, {**fields, "strange": "field"}).status_code == 422


def test_a_listing_states_the_grade_of_its_seller_unless_it_is_slabbed(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    stated = only(ledger).stated
    assert stated is not None
    assert stated.opinion_of is OpinionOf.SELLER
    path = f"{PAGE}/{only(ledger).id}/change"
    signed_in.post(path, {**form_to(signed_in.get(path), path).fields, "holding": "slabbed"})
    stated = only(ledger).stated
    assert stated is not None
    assert stated.opinion_of is OpinionOf.SERVICE


def test_a_listing_without_a_grade_states_none(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in, **{"stated.as_written": ""})
    assert only(ledger).stated is None


def test_sales_of_the_same_number_of_a_series_are_pointed_out(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    made = only(ledger)
    slabbed(ledger, replace(made, issue=replace(made.issue, start_year=1949)), {"8.0": "100"})
    shown = read_page(signed_in.get(f"{PAGE}/{made.id}").text)
    assert "kept of the series that began 1949" in shown.text
    assert shown.one("section", aria_labelledby="sales").all("a", href=f"{PAGE}/{made.id}/change")


def test_what_was_bought_is_told_as_entries_of_one_book(signed_in: Browser, ledger: Ledger) -> None:
    write(signed_in)
    weigh(signed_in, ledger, **{"8.0": "100"})
    path = f"{PAGE}/{only(ledger).id}/buy"
    answer = signed_in.post(path, form_to(signed_in.get(path), path).fields)
    assert "of this book." in text_of(signed_in.follow(answer))
