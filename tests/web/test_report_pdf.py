"""The report as a PDF: the same words, one that lasts and can be read out, the same bytes each time, and text never runs."""

import re
from dataclasses import replace
from datetime import timedelta
from typing import Any

from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.report import condition_report, report_pictures
from tests.builders import a_purchase, an_examination
from tests.fakes import FakeClock
from tests.pdf import elements, opened, words
from tests.web.browser import Browser, Home
from tests.web.markup import read_page
from tests.web.reports import HOSTILE, a_known_book
from tests.web.stories import OWNER, Shelf
from web.report_parts import Facts, Lines, Photographs, Table, Words
from web.report_told import report_told

A4_WIDE, A4_HIGH = 595.28, 841.89
"""Units: pt. Source: ISO 216, 210 by 297 mm at 72 pt an inch."""
LETTER_WIDE, LETTER_HIGH = 612.0, 792.0
"""Units: pt. Source: ANSI/ASME Y14.1, 8.5 by 11 in."""


def pdf_of(browser: Browser, book: str) -> bytes:
    answer = browser.get(f"/books/{book}/report.pdf")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    assert "slipsheet-report-book-" in answer.headers["content-disposition"]
    return answer.content


def text_of_pdf(data: bytes) -> str:
    """What is printed, without the foot of each page."""
    pages = [page.extract_text() for page in opened(data).pages]
    return words(
        "".join(re.sub(r"Book no\. \d+, as the ledger.*?Page \d+ of \d+", "", each, flags=re.DOTALL) for each in pages)
    )


def test_it_says_what_the_page_says(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = a_known_book(shelf, ledger)
    text = text_of_pdf(pdf_of(signed_in, book))
    for section in report_told(condition_report(ledger, OWNER, book), {}):
        assert words(section.title) in text, section.title
    for said in ("Q. Looker", "Cleaned, I was told.", "H. Ands", "Blue fibre", "Signature and date", "A new dent."):
        assert words(said) in text, said


def test_it_fits_both_papers(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    for page in opened(pdf_of(signed_in, a_known_book(shelf, ledger))).pages:
        assert page.mediabox.width <= min(A4_WIDE, LETTER_WIDE) + 0.01
        assert page.mediabox.height <= min(A4_HIGH, LETTER_HIGH) + 0.01


def test_it_is_made_to_last_and_to_be_read_out(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    """Marks of PDF/A-2a and PDF/UA-1. Source: ISO 19005-2, 6.6.4; ISO 14289-1, clause 5; ISO 32000-1, 14.7 and 14.8."""
    reader = opened(pdf_of(signed_in, a_known_book(shelf, ledger)))
    root: Any = reader.root_object
    assert bool(root["/MarkInfo"]["/Marked"].value)
    assert "/StructTreeRoot" in root
    assert str(root["/Lang"]).startswith("en")
    about = root["/Metadata"].get_object().get_data().decode()
    assert re.search(r"<pdfaid:part>2</pdfaid:part>", about)
    assert re.search(r"<pdfaid:conformance>A</pdfaid:conformance>", about)
    assert re.search(r"<pdfuaid:part>1</pdfuaid:part>", about)
    for page in reader.pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(inner), "every font comes along"
    assert "/OpenAction" not in root
    assert "/AF" not in root


def test_its_pictures_come_along_with_words_for_them(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    data = pdf_of(signed_in, a_known_book(shelf, ledger))
    assert sum(len(page.images) for page in opened(data).pages) == 2
    kinds = [each for each in elements(opened(data)) if each.get("/S") == "/Figure"]
    assert len(kinds) == 2
    assert all(each.get("/Alt") for each in kinds)


def of_kind(node: Any, *kinds: str) -> list[Any]:
    """The elements of these kinds at and below a part of the structure tree, in the order in which they are read out."""
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        return [found for each in node for found in of_kind(each, *kinds)]
    if not isinstance(node, dict):
        return []
    own = [node] if node.get("/S") in kinds else []
    return own + of_kind(node.get("/K", []), *kinds)


def test_every_table_has_a_head_and_names_with_values_are_lists(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    """Source: ISO 32000-1, 14.8.4.3.3 and 14.8.4.3.4; ISO 14289-1, 7.5: a table has headers, a list its labels and bodies."""
    book = a_known_book(shelf, ledger)
    of = condition_report(ledger, OWNER, book)
    at_hand = {seq: f"{seq}.jpg" for seq in report_pictures(ledger, OWNER, of, 480)}
    blocks = [each for section in report_told(of, at_hand) for each in section.blocks]
    heads = [len(each.head) for each in blocks if isinstance(each, Table)]
    tree = opened(pdf_of(signed_in, book)).root_object["/StructTreeRoot"]
    tables = of_kind(tree, "/Table")
    assert len(heads) >= 6
    assert [len(of_kind(each, "/TH")) for each in tables] == heads
    for each in tables:
        head, *rows = of_kind(each, "/TR")
        assert of_kind(each, "/THead")
        assert not of_kind(head, "/TD")
        assert rows
        assert not any(of_kind(row, "/TH") for row in rows)
    facts = sum(len(each.rows) for each in blocks if isinstance(each, Facts))
    to_fill = sum(len(each.names) for each in blocks if isinstance(each, Lines))
    pictures = sum(len(shown.rows) for each in blocks if isinstance(each, Photographs) for shown in each.shown)
    said = sum(len(each.lines) for each in blocks if isinstance(each, Words) and each.listed)
    items = of_kind(tree, "/LI")
    assert facts > 40
    assert len(items) == facts + to_fill + said + pictures
    assert all(len(of_kind(each, "/Lbl")) == len(of_kind(each, "/LBody")) == 1 for each in items)


def test_the_same_report_is_the_same_bytes_at_any_time(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, clock: FakeClock
) -> None:
    book = a_known_book(shelf, ledger)
    first, moment = pdf_of(signed_in, book), condition_report(ledger, OWNER, book).state.recorded
    clock.time += timedelta(days=9)
    assert pdf_of(signed_in, book) == first
    about = opened(first).metadata
    assert about is not None
    assert about.creation_date == moment.replace(microsecond=0)
    sign_checkpoint(ledger, OWNER)
    assert pdf_of(signed_in, book) != first, "a checkpoint was signed, and the report says so"


def test_text_is_never_read_as_markup(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    plain, hostile = (
        pdf_of(signed_in, a_known_book(shelf, ledger, words=each)) for each in ("x" * len(HOSTILE), HOSTILE)
    )
    assert text_of_pdf(hostile).count(words(HOSTILE)) >= 2
    assert len(opened(hostile).pages) == len(opened(plain).pages), "no page was broken by it"
    assert b"/JavaScript" not in hostile


def test_letters_that_its_fonts_lack_stand_as_their_numbers(signed_in: Browser, shelf: Shelf) -> None:
    remark = Sealed.of("\u6f22 \U0001f9fb \u202e \u00ad caf\u00e9")
    data = pdf_of(signed_in, shelf.takes(a_purchase(), an_examination(remark=remark)))
    assert words("[U+6F22] [U+1F9FB] [U+202E] [U+00AD] caf\u00e9") in text_of_pdf(data)


def test_a_book_with_nothing_recorded_and_one_with_endless_words_have_one_too(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    assert len(opened(pdf_of(signed_in, shelf.takes(a_purchase(issue=a_purchase().issue)))).pages) <= 3
    long = pdf_of(signed_in, a_known_book(shelf, ledger, words="w" * 4000))
    assert words("w" * 4000) in text_of_pdf(long)


def test_where_none_can_be_made_the_page_says_how_to_get_it_and_still_prints(
    ledger: Ledger, shelf: Shelf, clock: FakeClock
) -> None:
    home = Home.of(replace(ledger, sheets=None), clock)
    try:
        home.set_password()
        browser = home.browser().sign_in()
        book = a_known_book(shelf, ledger)
        page = read_page(browser.get(f"/books/{book}/report").text)
        assert page.all("a", href=f"/books/{book}/report.pdf") == []
        assert 'python -m pip install "typst>=0.15"' in page.text
        told = browser.follow(browser.get(f"/books/{book}/report.pdf"))
        assert "What makes a PDF is not installed here." in told.text
        assert read_page(told.text).one("section", id="hand")
    finally:
        home.app.state.works.stop()
