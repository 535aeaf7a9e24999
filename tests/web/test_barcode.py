"""The page of barcodes: typed or photographed, a code leads to its book or into a purchase, which teaches it."""

import pytest

from ledger.barcodes import read_barcode
from ledger.bootstrap import OWNER
from ledger.ports import Ledger
from ledger.usecases.barcodes import keep_barcode, look_at_barcode
from tests.barred import a_barcode, on_a_page
from tests.pictures import a_picture
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.shelves import buy
from tests.web.test_purchase import FOUR
from tests.web.typed import last

CODE = "614141000036-01411"
PHOTO = on_a_page(a_barcode("614141000036", "01411"))


def sent(browser: Browser, data: bytes | None) -> str:
    """The page after a photograph was sent."""
    files = {} if data is None else {"file": ("code.jpg", data)}
    answer = browser.upload("/barcode", form_to(browser.get("/barcode"), "/barcode").fields, files)
    if answer.status_code == 303:
        answer = browser.follow(answer)
    read_page(answer.text)
    return text_of(answer)


def test_a_typed_code_shows_its_digits_and_what_those_beside_it_are_mostly_taken_for(signed_in: Browser) -> None:
    words = text_of(signed_in.get("/barcode?code=6+14141+00003+6+01411"))
    assert "6 14141 00003 6 01411" in words
    assert "number 14, cover 1, printing 1" in words
    assert "common practice and no standard" in words
    assert "No book here has told yet" in words


@pytest.mark.parametrize("typed", ["614141000037", "61414", "abc"])
def test_a_mistyped_code_comes_back_with_the_mend(signed_in: Browser, typed: str) -> None:
    answer = signed_in.get(f"/barcode?code={typed}")
    assert answer.status_code == 422
    field = next(each for each in read_page(answer.text).walk() if each.attrs.get("id") == "code")
    assert (field.attrs["value"], field.attrs["aria-invalid"]) == (typed, "true")


def test_a_photograph_leads_to_the_code_and_is_not_kept(ledger: Ledger, signed_in: Browser) -> None:
    assert "6 14141 00003 6 01411" in sent(signed_in, PHOTO)
    assert ledger.pictures.stored() == []


def test_a_photograph_without_a_code_and_a_file_that_is_none_say_what_to_do(signed_in: Browser) -> None:
    assert "Go closer" in sent(signed_in, a_picture(size=(200, 300)))
    assert "cannot be read as a picture" in sent(signed_in, b"no picture")
    assert "Choose a photograph" in sent(signed_in, None)


def test_a_book_tells_a_code_which_then_leads_to_its_copies_until_it_is_forgotten(
    ledger: Ledger, signed_in: Browser
) -> None:
    book = buy(ledger, title="The Copper Lantern")
    page = signed_in.get(f"/barcode?code={CODE}&q=copper")
    signed_in.follow(signed_in.post("/barcode/keep", form_to(page, "/barcode/keep").fields))
    page = signed_in.get(f"/barcode?code={CODE}")
    assert "This code was on The Copper Lantern" in text_of(page)
    assert [each for each in read_page(page.text).all("a") if each.attrs.get("href") == f"/books/{book}"]
    signed_in.post("/barcode/forget", form_to(page, "/barcode/forget").fields)
    assert "No book here has told yet" in text_of(signed_in.get(f"/barcode?code={CODE}"))


def test_a_purchase_begins_with_what_the_code_is_known_for(ledger: Ledger, signed_in: Browser) -> None:
    keep_barcode(ledger, OWNER, read_barcode(CODE), buy(ledger, title="The Copper Lantern"))
    form = form_to(signed_in.get("/purchase?barcode=614141000036-01521"), "/purchase")
    assert (form.fields["issue.title"], form.fields["issue.number"]) == ("The Copper Lantern", "15")
    assert form.fields["barcode"] == "614141000036-01521"


def test_a_purchase_begun_with_an_unknown_code_teaches_it(ledger: Ledger, signed_in: Browser) -> None:
    form = form_to(signed_in.get(f"/purchase?barcode={CODE}"), "/purchase")
    again = signed_in.post("/purchase", {**form.fields, **FOUR, "price": "much"})
    assert form_to(again, "/purchase").fields["barcode"] == CODE
    assert signed_in.post("/purchase", {**form.fields, **FOUR}).status_code == 303
    found = look_at_barcode(ledger, OWNER, read_barcode(CODE))
    assert found.remembered
    assert [row.book for row in found.books] == [last(ledger).book]


def test_what_is_no_barcode_begins_a_blank_purchase(signed_in: Browser) -> None:
    assert "barcode" not in form_to(signed_in.get("/purchase?barcode=12"), "/purchase").fields
