"""A paper for heirs: the same as page and PDF, lines for what the program does not know, no place on this machine."""

from dataclasses import replace

from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.heirs import for_heirs
from tests.builders import a_purchase
from tests.fakes import FakeClock
from tests.pdf import opened, words
from tests.web.browser import Browser, Home
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf
from tests.web.test_report_pdf import text_of_pdf
from web.heirs_told import heirs_told
from web.pages.heirs import PATH
from web.pages.upkeep import PATH as UPKEEP
from web.report_parts import Lines


def test_it_says_what_this_is_how_to_check_it_and_how_to_hand_a_book_on(signed_in: Browser, shelf: Shelf) -> None:
    shelf.takes(a_purchase())
    page = read_page(signed_in.get(PATH).text)
    titles = [each.text for each in page.all("h2")]
    for title in ("What this is", "Where things lie", "How to check it", "How to hand a book on"):
        assert title in titles
    for said in (
        "One book is in this collection.",
        "slipsheet verify --folder COPY",
        "licensed adviser",
        "conservator",
    ):
        assert said in page.text, said


def test_what_the_program_does_not_know_is_left_to_be_filled_in_by_hand(
    signed_in: Browser, ledger: Ledger, settings: Settings
) -> None:
    text = signed_in.get(PATH).text
    lines = [each.text for each in read_page(text).one("ul", class_="report-lines").all("li")]
    blocks = [block for part in heirs_told(for_heirs(ledger, OWNER)) for block in part.blocks]
    (asked,) = [each.names for each in blocks if isinstance(each, Lines)]
    assert lines == list(asked)
    assert "The signing key, as a file and on paper" in lines
    for place in (settings.folder, settings.keys):
        assert not place or place not in text
    assert ledger.signer.verifier.vkey in text.replace("&#43;", "+")


def test_upkeep_leads_to_it_and_it_leads_back(signed_in: Browser) -> None:
    assert read_page(signed_in.get(UPKEEP).text).all("a", href=PATH)
    assert read_page(signed_in.get(PATH).text).all("a", href=UPKEEP)


def test_nobody_who_is_not_signed_in_sees_it(visitor: Browser) -> None:
    assert visitor.get(PATH).status_code == 303
    assert visitor.get(f"{PATH}.pdf").status_code == 303


def test_on_paper_it_says_the_same_and_the_same_bytes_each_time(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    shelf.takes(a_purchase())
    sign_checkpoint(ledger, OWNER)
    answer = signed_in.get(f"{PATH}.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert "slipsheet-for-heirs.pdf" in answer.headers["content-disposition"]
    text = text_of_pdf(answer.content)
    for part in heirs_told(for_heirs(ledger, OWNER)):
        assert words(part.title) in text
        for block in part.blocks:
            for line in getattr(block, "lines", getattr(block, "names", ())):
                assert words(line) in text, line
    assert words(ledger.signer.verifier.vkey) in text
    assert signed_in.get(f"{PATH}.pdf").content == answer.content
    assert len(opened(answer.content).pages) <= 2


def test_where_no_pdf_can_be_made_the_page_says_so_and_still_prints(ledger: Ledger, clock: FakeClock) -> None:
    home = Home.of(replace(ledger, sheets=None), clock)
    try:
        home.set_password()
        browser = home.browser().sign_in()
        assert read_page(browser.get(PATH).text).all("a", href=f"{PATH}.pdf") == []
        assert "What makes a PDF is not installed here." in browser.follow(browser.get(f"{PATH}.pdf")).text
    finally:
        home.app.state.works.stop()
