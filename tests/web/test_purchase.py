"""New purchase: four fields are enough, a form comes back whole, a resend makes one entry, known series help."""

from datetime import timedelta

import pytest
from httpx2 import Response

from ledger.events.purchase import Means, Purchase
from ledger.money import Money
from ledger.ports import Ledger
from ledger.when import When
from tests.web.browser import Browser, Form, Home, form_to, text_of
from tests.web.markup import Element, read_page
from tests.web.test_readings import prefer
from tests.web.typed import last, size

FOUR = {"issue.title": "Captain Lantern", "issue.number": "7", "on": "3 Apr 2024", "price": "USD 180"}


def opened(browser: Browser, path: str = "/purchase") -> Form:
    answer = browser.get(path)
    assert answer.status_code == 200
    read_page(answer.text)
    return form_to(answer, "/purchase")


def sent(browser: Browser, form: Form | None = None, **fields: str) -> Response:
    form = form or opened(browser)
    named = {name.replace("__", "."): value for name, value in fields.items()}
    return browser.post("/purchase", {**form.fields, **FOUR, **named})


def bought(ledger: Ledger) -> Purchase:
    event = last(ledger).event
    assert isinstance(event, Purchase)
    return event


def at(page: Element, name: str) -> Element:
    return next(each for each in page.walk() if each.attrs.get("id") == name)


def test_title_number_date_and_price_are_enough(ledger: Ledger, signed_in: Browser) -> None:
    answer = sent(signed_in)
    entry, event = last(ledger), bought(ledger)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/books/{entry.book}"
    assert (event.issue.title, event.issue.number, event.on) == ("Captain Lantern", "7", When("2024-04-03"))
    assert event.price.value == Money.of("180.00", "USD")
    assert event.means is Means.BOUGHT


def test_what_was_written_is_told_once_with_the_number_of_its_entry(ledger: Ledger, signed_in: Browser) -> None:
    sent(signed_in)
    answer = signed_in.get("/keys")
    assert f"Written as entry {last(ledger).seq}. Bought: Captain Lantern 7." in text_of(answer)
    assert read_page(answer.text).one("p", class_="told").attrs["data-draft-done"] == "purchase"
    assert "Written as entry" not in text_of(signed_in.get("/keys"))


def test_the_four_fields_come_first_and_typing_begins_in_the_title(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/purchase").text)
    (form,) = (each for each in page.all("form") if each.attrs["action"] == "/purchase")
    inputs = [each for each in form.walk() if each.tag == "input" and each.attrs.get("type") == "text"]
    assert [each.attrs["name"] for each in inputs[:4]] == list(FOUR)
    assert "autofocus" in inputs[0].attrs
    assert not any("autofocus" in each.attrs for each in inputs[1:])


def test_from_title_to_written_takes_three_tabs_and_enter(signed_in: Browser) -> None:
    page = read_page(signed_in.get("/purchase").text)
    (form,) = (each for each in page.all("form") if each.attrs["action"] == "/purchase")
    stops = [
        each
        for each in form.walk()
        if each.tag in {"input", "select", "textarea", "button", "summary", "a"}
        and each.attrs.get("tabindex") != "-1"
        and each.attrs.get("type") != "hidden"
    ]
    names = [each.attrs.get("name", "") for each in stops[:4]]
    assert names == list(FOUR), "nothing stands between the four fields"
    first_button = next(each for each in form.walk() if each.tag == "button" and each.attrs["type"] == "submit")
    assert (first_button.attrs["name"], first_button.attrs["value"]) == ("do", "write"), "Enter writes"


def test_everything_else_can_be_said_at_once(ledger: Ledger, signed_in: Browser) -> None:
    sent(
        signed_in,
        seller="M. Ashgrove",
        venue="spring fair",
        tax="0 USD",
        holding="slabbed",
        holder_number="0412-77-3",
        stated__as_written="VF to VF/NM",
        stated_by="the service named on the holder",
        earlier_work="denied",
        issue__publisher="Harbour Street Press",
        issue__cover_date="Aug 1963",
        means="trade",
    )
    event = bought(ledger)
    assert event.seller.value == "M. Ashgrove"
    assert event.holder_number == "0412-77-3"
    assert event.stated is not None
    assert [grade.text for grade in event.stated.steps] == ["8.0", "8.5", "9.0"]
    assert event.issue.cover_date == When("1963-08")
    assert event.means is Means.TRADE


def test_a_form_with_a_fault_comes_back_as_it_was_typed(ledger: Ledger, signed_in: Browser) -> None:
    before = size(ledger)
    answer = sent(signed_in, on="  31 Apr 2026", seller="M. Ashgrove ", issue__number="")
    page = read_page(answer.text)
    assert answer.status_code == 422
    assert size(ledger) == before
    assert at(page, "on").attrs["value"] == "  31 Apr 2026"
    assert at(page, "seller").attrs["value"] == "M. Ashgrove "
    assert at(page, "price").attrs["value"] == "USD 180"
    assert at(page, "on-fault").text == (
        "April 2026 has 30 days. Write a day up to 30, or only April 2026 if you do not know the day."
    )
    assert at(page, "issue.number-fault").text == "This is needed. Write it."
    assert at(page, "on").attrs["aria-invalid"] == "true"
    faults = page.one("div", class_="faults")
    assert [link.attrs["href"] for link in faults.all("a")] == ["#issue.number", "#on"]


def test_a_line_with_something_typed_comes_back_open(signed_in: Browser) -> None:
    page = read_page(sent(signed_in, on="soon", seller="M. Ashgrove").text)
    open_lines = [each.one("summary").text for each in page.all("details") if "open" in each.attrs]
    assert open_lines == ["Seller, venue, reason sealed unless you open it"]


def test_a_date_that_could_be_two_comes_back_with_both(ledger: Ledger, signed_in: Browser) -> None:
    first = sent(signed_in, on="3/4/98")
    assert first.status_code == 422
    form = form_to(first, "/purchase")
    page = read_page(first.text)
    ways = [each.attrs["value"] for each in page.all("input", type="radio", name="on:as")]
    assert ways == ["dmy 3/4/98", "mdy 3/4/98"]
    assert "on:as" not in form.fields, "nothing is chosen beforehand"
    second = signed_in.post("/purchase", {**form.fields, "on:as": "mdy 3/4/98"})
    assert second.status_code == 303
    assert bought(ledger).on == When("1998-03-04")


def test_a_way_of_reading_holds_from_then_on_only_if_that_is_ticked(
    home: Home, ledger: Ledger, signed_in: Browser
) -> None:
    form = form_to(sent(signed_in, on="3/4/98"), "/purchase")
    signed_in.post("/purchase", {**form.fields, "on:as": "mdy 3/4/98"})
    again = form_to(sent(signed_in, on="3/4/98"), "/purchase")
    signed_in.post("/purchase", {**again.fields, "on:as": "mdy 3/4/98", "remember": "date_order"})
    assert sent(signed_in, on="5/4/98").status_code == 303
    assert bought(ledger).on == When("1998-05-04")


def test_an_amount_that_could_be_two_comes_back_with_both(home: Home, ledger: Ledger, signed_in: Browser) -> None:
    prefer(home, currency="KWD")
    form = form_to(sent(signed_in, price="1,250"), "/purchase")
    assert "price:as" not in form.fields
    signed_in.post("/purchase", {**form.fields, "price:as": "1.234,50 1,250"})
    assert bought(ledger).price.value == Money(minor=1250, currency="KWD", exponent=3)


def test_the_only_way_an_amount_can_be_meant_stands_ready(home: Home, ledger: Ledger, signed_in: Browser) -> None:
    prefer(home, currency="EUR")
    answer = sent(signed_in, price="1,250")
    assert answer.status_code == 422, "it is shown before it counts"
    signed_in.post("/purchase", form_to(answer, "/purchase").fields)
    assert bought(ledger).price.value == Money.of("1250.00", "EUR")


def test_an_amount_without_a_currency_is_asked_for_one_where_none_was_chosen(signed_in: Browser) -> None:
    answer = sent(signed_in, price="180")
    assert at(read_page(answer.text), "price-fault").text.startswith("This names no currency. Write it behind")


def test_a_form_sent_twice_makes_one_entry_and_lands_on_the_same_page(ledger: Ledger, signed_in: Browser) -> None:
    form = opened(signed_in)
    first, second = sent(signed_in, form), sent(signed_in, form)
    assert first.headers["location"] == second.headers["location"]
    with ledger.log.read() as reader:
        assert reader.head().books == 1


def test_a_form_sent_again_with_other_words_comes_back_with_a_key_of_its_own(
    ledger: Ledger, signed_in: Browser
) -> None:
    form = opened(signed_in)
    sent(signed_in, form)
    answer = sent(signed_in, form, issue__number="8")
    assert answer.status_code == 409
    assert "This form was written once already" in text_of(answer)
    again = form_to(answer, "/purchase")
    assert again.fields["key"] != form.fields["key"]
    assert again.fields["issue.number"] == "8"
    assert signed_in.post("/purchase", again.fields).status_code == 303
    assert bought(ledger).issue.number == "8"


def test_every_form_has_a_key_of_its_own(signed_in: Browser) -> None:
    assert opened(signed_in).fields["key"] != opened(signed_in).fields["key"]


def test_a_form_that_came_back_keeps_its_key(signed_in: Browser) -> None:
    form = opened(signed_in)
    answer = sent(signed_in, form, on="soon")
    assert form_to(answer, "/purchase").fields["key"] == form.fields["key"]


def test_a_field_that_the_form_does_not_have_is_refused(ledger: Ledger, signed_in: Browser) -> None:
    before = size(ledger)
    answer = sent(signed_in, colour="red")
    assert answer.status_code == 422
    assert "There is no field colour in this form." in text_of(answer)
    assert size(ledger) == before


def test_the_next_one_begins_with_the_same_day_seller_and_venue(ledger: Ledger, signed_in: Browser) -> None:
    answer = sent(signed_in, do="next", seller="M. Ashgrove", venue="spring fair", holder_number="")
    assert answer.headers["location"] == f"/purchase?after={last(ledger).seq}"
    next_one = signed_in.follow(answer)
    assert "Day, seller and venue are kept for the next one." in text_of(next_one)
    fields = form_to(next_one, "/purchase").fields
    assert (fields["on"], fields["seller"], fields["venue"]) == ("3 April 2024", "M. Ashgrove", "spring fair")
    assert (fields["issue.title"], fields["price"]) == ("", "")


@pytest.mark.parametrize(
    ("field", "value", "fault"),
    [
        ("holder_number", "A-1", "A holder number belongs to a slabbed book"),
        ("means", "gift", ""),
    ],
)
def test_a_rule_of_the_purchase_is_told_at_its_field(
    ledger: Ledger, signed_in: Browser, field: str, value: str, fault: str
) -> None:
    before = size(ledger)
    answer = sent(signed_in, None, **{field: value})
    assert answer.status_code == 422
    assert size(ledger) == before
    page = read_page(answer.text)
    place = "price" if field == "means" else field
    assert at(page, f"{place}-fault").text.startswith(fault or "Nothing is paid for a book by gift.")


def test_the_same_holder_number_on_another_book_is_warned_of_after_writing(ledger: Ledger, signed_in: Browser) -> None:
    for _ in range(2):
        sent(signed_in, holding="slabbed", holder_number="0412-77-3")
    assert "Holder number 0412-77-3 stands on another book too" in text_of(signed_in.get("/keys"))


def test_a_form_sent_after_the_session_ended_waits_and_comes_back_filled_in(
    home: Home, ledger: Ledger, signed_in: Browser
) -> None:
    form = opened(signed_in)
    home.clock.time += timedelta(days=100)
    asked = sent(signed_in, form, seller="M. Ashgrove")
    assert asked.headers["location"].startswith("/sign-in")
    back = signed_in.post(asked.headers["location"], {"password": "eleven tins of green peas", **_waiting(asked)})
    page = signed_in.follow(back)
    returned = form_to(page, "/purchase")
    assert returned.fields["seller"] == "M. Ashgrove"
    assert returned.fields["key"] == form.fields["key"]
    assert returned.fields["waiting"]
    assert signed_in.post("/purchase", returned.fields).status_code == 303
    assert bought(ledger).seller.value == "M. Ashgrove"


def _waiting(asked: Response) -> dict[str, str]:
    return dict(part.split("=", 1) for part in asked.headers["location"].partition("?")[2].split("&"))


def test_the_page_says_which_entry_it_becomes_and_what_is_sealed(ledger: Ledger, signed_in: Browser) -> None:
    answer = signed_in.get("/purchase")
    assert f"Becomes entry {size(ledger) + 1}." in text_of(answer)
    labels = {each.attrs["for"]: each.text for each in read_page(answer.text).all("label") if "for" in each.attrs}
    assert labels["price"] == "Price sealed"
    assert labels["stated_by"].endswith("sealed, shown in a record")
