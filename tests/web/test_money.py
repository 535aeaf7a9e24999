"""Cost and value on their pages: sums, gaps, rates by hand, one year, the schedule, a loss; and the same on paper."""

import pytest
from httpx2 import Response

from ledger.events.purchase import Means as Came
from ledger.events.sale import Disclosed, Means, Sale
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.money import Money
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.spreadsheet_cells import read_sheet
from ledger.usecases.rates import look_at_rates
from tests.builders import a_purchase, a_slab, an_issue, on
from tests.pdf import opened, words
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf

RATE = {"of": "usd", "into": "EUR", "on": "1 March 2024", "rate": "0,92", "source": "a bank"}
AMP = "\N{NO-BREAK SPACE}"


def sealed(amount: str, code: str = "EUR") -> Sealed[Money]:
    return Sealed.of(Money.of(amount, code))


def worth(amount: str, when: str, purpose: Purpose = Purpose.MARKET) -> Valuation:
    return Valuation(on=on(when), purpose=purpose, method=Method.OWN_JUDGEMENT, amount=sealed(amount))


def said(answer: Response) -> str:
    assert answer.status_code == 200, answer.text
    return text_of(answer).replace(AMP, " ")


def keep(browser: Browser, **changes: str) -> Response:
    fields = form_to(browser.get("/money"), "/money/rates").fields
    return browser.post("/money/rates", {**fields, **RATE, **changes})


@pytest.fixture
def foreign(shelf: Shelf) -> str:
    """A book that was paid in dollars and valued in euros."""
    bought = a_purchase("2024-03-01", price=sealed("1000.00", "USD"), shipping=sealed("5.00"))
    return shelf.takes(bought, worth("950.00", "2024-12-01"))


def test_without_a_sum_the_page_asks_for_a_currency(signed_in: Browser) -> None:
    assert "No sum is entered yet" in said(signed_in.get("/money"))


def test_a_missing_rate_is_named_and_counts_once_it_is_kept(signed_in: Browser, foreign: str) -> None:
    signed_in.get("/money")
    before = said(signed_in.get("/money"))
    assert "Not counted: no rate USD/EUR on 1 March 2024, for one sum." in before
    assert "Choose another under Settings." in before
    after = said(signed_in.follow(keep(signed_in)))
    assert "One rate is kept." in after
    assert "no rate USD/EUR" not in after
    cost = said(signed_in.get(f"/books/{foreign}/cost"))
    assert "0.92 of 1 March 2024, a bank" in cost
    assert "925.00 EUR" in cost
    # 950 less 925, over 275 days: (950 / 925) ** (365 / 275) - 1, with 5 and 920 on one day.
    assert "25.00 EUR" in cost
    assert "3.60 % a year" in cost


def test_a_rate_that_cannot_be_read_comes_back_with_what_was_typed(signed_in: Browser, ledger: Ledger) -> None:
    answer = keep(signed_in, rate="much", on="3 April 2024")
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert page.one("input", id="rate", value="much")
    assert page.one("input", id="on", value="3 April 2024")
    assert "Write the rate with a point" in text_of(answer)
    assert look_at_rates(ledger, OWNER) == ()


def test_a_pasted_table_is_kept_and_a_rate_taken_away(signed_in: Browser, ledger: Ledger) -> None:
    fields = form_to(signed_in.get("/money"), "/money/rates/table").fields
    table = "USD;EUR;2024-03-01;0.92;a bank\nGBP;EUR;2024-03;1.17;a bank"
    assert "2 rates are kept." in said(
        signed_in.follow(signed_in.post("/money/rates/table", {**fields, "table": table}))
    )
    bad = signed_in.post("/money/rates/table", {**fields, "table": "USD;EUR;soon;0.92;a bank\nUSD;EUR;2024;x;a bank"})
    assert bad.status_code == 422
    assert "Line 2: Write the rate" in text_of(bad)
    off = form_to(signed_in.get("/money"), "/money/rates/off")
    assert "no longer kept" in said(signed_in.follow(signed_in.post("/money/rates/off", off.fields)))
    assert len(look_at_rates(ledger, OWNER)) == 1


def test_a_year_is_told_line_by_line_and_as_a_table(signed_in: Browser, shelf: Shelf) -> None:
    title = "=Risk & Co"
    bought = a_purchase("2023-05-01", price=sealed("100.00"), issue=an_issue(title=title))
    shelf.takes(
        bought, Sale(on=on("2024-06-01"), disclosed=Disclosed.WORK, price=sealed("150.00"), fees=sealed("7.50"))
    )
    page = said(signed_in.get("/money/year/2024"))
    assert "\N{MINUS SIGN}7.50 EUR" in page
    assert "42.50 EUR" in page
    assert "licensed tax adviser" in page
    table = signed_in.get("/money/year/2024/csv")
    assert table.headers["content-type"].startswith("text/csv")
    rows = read_sheet(table.text)
    assert [(row[2], row[5], row[6]) for row in rows[1:]] == [
        (title, "sale price", "150.00"),
        (title, "sale fees", "-7.50"),
    ]
    assert "'=Risk & Co" in table.text


def test_the_gain_without_a_rate_of_return_says_why(signed_in: Browser, shelf: Shelf) -> None:
    bought = a_purchase("2024-05-01", price=sealed("100.00"))
    book = shelf.takes(bought, Sale(on=on("2024-06-01"), disclosed=Disclosed.WORK, price=sealed("150.00")))
    assert "needs more than 90 days" in said(signed_in.get(f"/books/{book}/cost"))


def test_the_schedule_names_each_book_with_its_value_and_its_holder(signed_in: Browser, shelf: Shelf) -> None:
    insured = worth("400.00", "2024-06-01", Purpose.INSURANCE)
    shelf.takes(a_slab("2024-02-01", price=sealed("100.00")), insured, worth("450.00", "2024-12-01"))
    shelf.takes(a_purchase("2024-02-01", price=sealed("1.00")))
    page = said(signed_in.get("/money/insurance"))
    for told in ("A-77", "400.00 EUR, 1 June 2024, by own judgement", "its market value is higher by 50.00 EUR"):
        assert told in page
    assert "One book has no value for insurance: no. 2." in page
    assert "licensed insurance adviser" in page
    head, *rows = read_sheet(signed_in.get("/money/insurance/csv").text)
    assert [dict(zip(head, row, strict=True))["insurance value"] for row in rows] == ["400.00", ""]


def test_a_loss_report_tells_the_value_before_the_loss(signed_in: Browser, shelf: Shelf) -> None:
    stolen = Sale(on=on("2025-03-01"), means=Means.STOLEN, disclosed=Disclosed.NOT_APPLICABLE)
    book = shelf.takes(a_slab("2024-02-01", price=sealed("100.00")), worth("450.00", "2024-12-01"), stolen)
    page = said(signed_in.get(f"/money/loss/{book}"))
    assert "450.00 EUR, 1 December 2024, by own judgement" in page
    assert "A-77" in page
    assert "What it was worth just before" in page


def test_a_loss_and_a_cost_are_tables_too_with_every_fact_of_the_page(signed_in: Browser, shelf: Shelf) -> None:
    stolen = Sale(on=on("2025-03-01"), means=Means.STOLEN, disclosed=Disclosed.NOT_APPLICABLE)
    issue = an_issue(title="-Risk")
    book = shelf.takes(
        a_purchase("2024-02-01", price=sealed("100.00"), issue=issue), worth("450.00", "2024-12-01"), stolen
    )
    text = signed_in.get(f"/money/loss/{book}/csv").text
    assert "'-Risk" in text
    facts = {(part, name): value for part, _of, name, value in read_sheet(text)[1:]}
    assert facts["The book", "Title"] == "-Risk"
    assert (
        facts["What it was worth just before", "Market value"]
        .replace(AMP, " ")
        .startswith("450.00 EUR, 1 December 2024")
    )
    cost = read_sheet(signed_in.get(f"/books/{book}/cost/csv").text)
    assert ("1 February 2024", "What for", "Price") in [tuple(row[1:]) for row in cost]


def test_without_a_loss_the_report_says_so(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase("2024-02-01"))
    assert "No damage, loss or theft is entered" in said(signed_in.get(f"/money/loss/{book}"))


def test_every_sheet_is_a_pdf_that_says_what_its_page_says(signed_in: Browser, foreign: str) -> None:
    for path, title in (
        ("/money/insurance", "Insurance schedule"),
        ("/money/year/2024", "Purchases and sales of 2024"),
        (f"/money/loss/{foreign}", "Loss report of Captain Lantern"),
        (f"/books/{foreign}/cost", "Cost of Captain Lantern 14"),
    ):
        assert title in said(signed_in.get(path))
        made = signed_in.get(f"{path}/pdf")
        assert made.headers["content-type"] == "application/pdf", path
        text = words("".join(page.extract_text() for page in opened(made.content).pages))
        assert words(title) in text
        assert words("no advice on") in text


def test_the_book_and_the_collection_lead_there(signed_in: Browser, foreign: str) -> None:
    assert read_page(signed_in.get("/collection").text).all("a", href="/money")
    page = read_page(signed_in.get(f"/books/{foreign}").text)
    assert page.all("a", href=f"/books/{foreign}/cost")
    assert page.all("a", href=f"/money/loss/{foreign}")


def test_what_is_not_here_is_named(signed_in: Browser) -> None:
    for path in ("/books/nobody/cost", "/money/loss/nobody"):
        assert signed_in.get(path).status_code == 404
    assert signed_in.post("/money/rates/off", {"of": "USD", "into": "EUR", "on": "2024"}).status_code == 404


def test_what_was_agreed_in_a_trade_is_told_so_and_counts(signed_in: Browser, shelf: Shelf) -> None:
    """By hand: 1300 agreed when it left, less 1000 agreed when it came."""
    came = a_purchase("2022-03-01", means=Came.TRADE, price=sealed("1000.00"))
    left = Sale(on=on("2023-03-01"), means=Means.TRADE, disclosed=Disclosed.WORK, price=sealed("1300.00"))
    page = said(signed_in.get(f"/books/{shelf.takes(came, left)}/cost"))
    assert "Price, agreed in a trade" in page
    assert "Sale price, agreed in a trade" in page
    assert "300.00 EUR" in page


def test_words_on_tax_and_insurance_defer_to_licensed_advisers(signed_in: Browser, foreign: str) -> None:
    assert "a licensed tax adviser says" in said(signed_in.get("/money"))
    assert "a licensed insurance adviser says" in said(signed_in.get("/money/insurance"))
    assert foreign


def test_values_of_which_none_was_entered_are_not_known_and_never_nothing(signed_in: Browser, shelf: Shelf) -> None:
    signed_in.post("/settings", {"currency": "USD"})
    shelf.takes(a_purchase(price=sealed("12.00", "USD")))
    page = said(signed_in.get("/money"))
    assert "Their last values for insurance not known" in page
    assert "Their last market values not known" in page
    assert "Values for insurance not known" in said(signed_in.get("/money/insurance"))
