"""The page of a fair value: comparables by hand and by table, price by grade in words and drawn, the valuation from it."""

from typing import Any

import pytest
from httpx2 import Response

from ledger.events._parts import Holding, Issue
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.ports import Ledger
from ledger.usecases.comparables import look_at_sales
from ledger.usecases.look import look_at
from tests.builders import a_purchase
from tests.web.browser import Browser, form_to, forms_of, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf

TABLE = "date\tgrade\tprice\twhere\tholder\n" + "\n".join(
    f"2025-12-{day:02}\t{grade}\t{price}.00 USD\t=venue {day}\traw"
    for day, (grade, price) in enumerate([("6.0", 100), ("6.0", 110), ("6.0", 90), ("8.0", 400), ("8.0", 390), ("8.0", 410)], 1)
)  # fmt: skip
LAMP = Issue(title="Harbor Lamp", number="14", start_year=1952)


@pytest.fixture
def book(ledger: Ledger) -> str:
    """A raw book stated at VG, which is 4.0."""
    return Shelf(ledger).takes(a_purchase(issue=LAMP, holding=Holding.RAW))


def page_of(book: str) -> str:
    return f"/books/{book}/value"


def paste(browser: Browser, path: str, text: str = TABLE, **changes: Any) -> Response:
    """The table read, and what was read kept."""
    fields = next(each for each in forms(browser.get(path), path) if "table" in each)
    shown = browser.post(path.partition("?")[0], {**fields, "table": text, "do": "read", **changes})
    assert shown.status_code == 200
    return browser.post(path.partition("?")[0], {**form_to(shown, path.partition("?")[0]).fields, "do": "keep"})


def forms(answer: Response, path: str) -> list[dict[str, Any]]:
    return [each.fields for each in forms_of(answer) if each.action == path.partition("?")[0] and each.method == "post"]


def test_without_comparables_the_page_says_too_few(signed_in: Browser, book: str) -> None:
    said = text_of(signed_in.get(page_of(book)))
    assert "Too few sales count to tell a value: 0, and 5 are needed." in said
    assert "None yet. Write down a sale, or paste a table of them." in said


def test_a_pasted_table_is_shown_as_read_and_then_kept(signed_in: Browser, ledger: Ledger, book: str) -> None:
    answer = paste(signed_in, page_of(book))
    said = text_of(signed_in.follow(answer))
    assert "6 sales are kept." in said
    assert "=venue 3" in said
    sales = look_at_sales(ledger, OWNER, LAMP)
    assert [str(each.price) for each in sales if each.where == "=venue 3"] == ["90.00 USD"]


def test_prices_stand_in_words_and_in_the_drawing(signed_in: Browser, book: str) -> None:
    paste(signed_in, page_of(book))
    page = read_page(signed_in.get(f"{page_of(book)}?grade=7.0").text)
    rows = [each.text for each in page.one("main").all("tr")]
    assert any(
        row.startswith("7.0") and "the grade asked for" in row and "6 sales at 6.0 and 8.0" in row for row in rows
    )
    drawing = page.one("svg", class_="value-drawing")
    assert len(drawing.all("circle")) == 6
    assert len(drawing.all("rect", class_="value-band")) == 5
    assert "Above 8.0 there is no sale" in page.one("main").text


def test_a_row_that_cannot_be_read_is_told_by_its_number_and_nothing_is_kept(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    path = page_of(book)
    shown = signed_in.post(path, {"table": f"{TABLE}\n2025\t9.3\tsome\t\t", "do": "read"})
    said = text_of(shown)
    assert "2 things are in the way" in said
    assert "9.3" in said
    assert signed_in.post(path, {**form_to(shown, path).fields, "do": "keep"}).status_code == 422
    assert look_at_sales(ledger, OWNER, LAMP) == ()


def test_a_sale_told_twice_is_left_out_unless_it_is_ticked(signed_in: Browser, ledger: Ledger, book: str) -> None:
    paste(signed_in, page_of(book))
    shown = signed_in.post(page_of(book), {"table": TABLE, "do": "read"})
    assert "6 rows are likely told already." in text_of(shown)
    fields = form_to(shown, page_of(book)).fields
    assert signed_in.post(page_of(book), {**fields, "do": "keep"}).status_code == 422
    signed_in.post(page_of(book), {**fields, "do": "keep", "double": ["2"]})
    assert len(look_at_sales(ledger, OWNER, LAMP)) == 7
    assert "Likely the same as the sale that is kept: 2 December 2025" in text_of(signed_in.get(page_of(book)))


def test_a_file_in_another_encoding_is_read_and_one_that_cannot_be_is_refused(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    data = TABLE.replace("\t", ";").replace("=venue 1", "Café").encode("utf-16")
    shown = signed_in.upload(page_of(book), {"do": "read"}, {"file": ("sales.csv", data)})
    assert "Café" in text_of(shown)
    fields = form_to(shown, page_of(book)).fields
    signed_in.post(page_of(book), {**fields, "do": "keep"})
    assert {each.came.value for each in look_at_sales(ledger, OWNER, LAMP)} == {"file"}
    refused = signed_in.upload(page_of(book), {"do": "read"}, {"file": ("a.csv", b"caf\x81\xe9")})
    assert refused.status_code == 422
    assert "Save it as UTF-8." in text_of(refused)


def test_a_sale_is_written_down_by_hand_and_a_fault_stands_at_its_field(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    sale = {"sale.on": "3 Dec 2025", "sale.grade": "VG", "sale.price": "80 USD", "sale.holding": "raw", "do": "add"}
    refused = signed_in.post(page_of(book), {**sale, "sale.grade": "9.3"})
    assert refused.status_code == 422
    page = read_page(refused.text)
    assert page.all("p", id="sale.grade-fault")
    assert "Kept: 3 December 2025, 4.0, 80.00 USD." in text_of(signed_in.follow(signed_in.post(page_of(book), sale)))
    assert len(look_at_sales(ledger, OWNER, LAMP)) == 1


def test_a_sale_is_left_out_with_its_reason_in_sight_taken_in_changed_and_taken_away(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    paste(signed_in, page_of(book))
    sale = look_at_sales(ledger, OWNER, LAMP)[0]
    one = f"/value/sales/{sale.id}"
    assert signed_in.post(one, {"do": "out", "reason": "", "book": book}).status_code == 422
    said = text_of(signed_in.follow(signed_in.post(one, {"do": "out", "reason": "restored", "book": book})))
    assert "left out: restored" in said
    assert "5 sales count" in said
    assert "restored" in text_of(signed_in.get(f"{one}?book={book}"))
    signed_in.post(one, {"do": "in", "book": book})
    fields = {**forms(signed_in.get(f"{one}?book={book}"), one)[0], "sale.price": "105"}
    answer = signed_in.post(one, {**fields, "do": "change"})
    assert answer.headers["location"] == f"{page_of(book)}#comparables"
    assert str(look_at_sales(ledger, OWNER, LAMP)[0].price) == "105.00 USD"
    assert signed_in.post(one, {**fields, "do": "change", "sale.price": "much"}).status_code == 422
    signed_in.post(one, {"do": "away"})
    assert len(look_at_sales(ledger, OWNER, LAMP)) == 5
    assert signed_in.get(one).status_code == 404


def test_the_table_sorts_by_grade_and_by_date(signed_in: Browser, book: str) -> None:
    paste(signed_in, page_of(book))
    page = read_page(signed_in.get(f"{page_of(book)}?sort=grade&down=no").text)
    rows = [row.all("td")[0].text for row in page.one("section", id="comparables").one("tbody").all("tr")]
    assert rows == ["6.0"] * 3 + ["8.0"] * 3
    page = read_page(signed_in.get(page_of(book)).text)
    first = page.one("section", id="comparables").one("tbody").all("tr")[0]
    assert first.one("th").text == "6 December 2025"


def test_a_fair_value_becomes_a_valuation_with_its_sales_in_one_step(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    paste(signed_in, page_of(book))
    fields = next(
        each for each in forms(signed_in.get(f"{page_of(book)}?grade=6.0"), page_of(book)) if "amount" in each
    )
    assert fields["amount"].endswith(" USD")
    answer = signed_in.post(page_of(book), {**fields, "purpose": "insurance", "do": "valuation"})
    assert answer.headers["location"] == f"/books/{book}"
    event = next(each.event for each in look_at(ledger, OWNER, book).moments if isinstance(each.event, Valuation))
    assert (event.method, event.purpose, str(event.at_grade)) == (Method.COMPARABLES, Purpose.INSURANCE, "6.0")
    assert str(event.amount.value) == fields["amount"]
    assert sorted(str(each.price) for each in event.comparables_used.value or ()) == [
        "100.00 USD", "110.00 USD", "90.00 USD",
    ]  # fmt: skip
    signed_in.post(page_of(book), {**fields, "purpose": "insurance", "do": "valuation"})
    assert sum(isinstance(each.event, Valuation) for each in look_at(ledger, OWNER, book).moments) == 1


@pytest.mark.parametrize(("changes", "field"), [
    ({"at_grade": "9.8"}, "at_grade"), ({"at_grade": ""}, "at_grade"), ({"amount": ""}, "amount"),
    ({"on": "soonish"}, "on"), ({"on": "1 Jan 2099"}, "on"), ({"valid_until": "soonish"}, "valid_until"),
])  # fmt: skip
def test_a_valuation_that_cannot_be_comes_back_with_what_is_wrong_at_its_field(
    signed_in: Browser, book: str, changes: dict[str, str], field: str
) -> None:
    paste(signed_in, page_of(book))
    fields = next(
        each for each in forms(signed_in.get(f"{page_of(book)}?grade=6.0"), page_of(book)) if "amount" in each
    )
    answer = signed_in.post(page_of(book), {**fields, **changes, "do": "valuation"})
    assert answer.status_code == 422
    assert read_page(answer.text).all("p", id=f"{field}-fault")


def test_an_issue_that_nobody_owns_has_a_page_of_its_own(signed_in: Browser, ledger: Ledger) -> None:
    assert "Which issue is meant?" in text_of(signed_in.get("/value"))
    path = "/value?title=Tin+Signal&number=3&start_year=1949"
    said = text_of(signed_in.follow(paste(signed_in, path)))
    assert "6 sales are kept." in said
    assert len(look_at_sales(ledger, OWNER, Issue(title="Tin Signal", number="3", start_year=1949))) == 6
    assert signed_in.post("/value", {"do": "add"}).status_code == 422


def test_a_book_of_another_page_is_not_found(signed_in: Browser) -> None:
    assert signed_in.get("/books/none/value").status_code == 404


def test_sales_of_another_series_of_that_name_are_pointed_out(signed_in: Browser, book: str) -> None:
    paste(signed_in, "/value?title=Harbor Lamp&number=14&start_year=1970")
    shown = read_page(signed_in.get(page_of(book)).text)
    assert "Sales of that title and number are kept of the series that began 1970." in shown.text
    assert shown.all("a", href=f"/entry/new?kind=identification&book={book}")
