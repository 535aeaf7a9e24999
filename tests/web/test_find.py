"""The page that finds anything: it follows the address alone, marks the words, and shows a phone no more than it may read."""

from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from tests.fakes import FakeClock
from tests.web.browser import Browser, Home, text_of
from tests.web.markup import Element, read_page
from tests.web.phones import NEAR, joined, offered
from tests.web.shelves import buy
from tests.web.stories import OWNER
from web.pages.find import AROUND
from web.render import PART


def a_few(ledger: Ledger) -> str:
    """Three books, of which one has a note."""
    note = Note(words=Sealed.of("Bought of Orrin Vale <at> the fair."))
    book = buy(ledger, note, title="Amber Anchor", number="7", stated_by="Third Bench")
    buy(ledger, title="Bold Beacon")
    buy(ledger, title="Copper Comet")
    return book


def found(browser: Browser, text: str) -> Element:
    answer = browser.get(f"/find?q={text}")
    assert answer.status_code == 200, answer.text
    return read_page(answer.text)


def titles(page: Element) -> list[str]:
    return [each.one("h2").one("em").text for each in page.one("div", id="found").all("li")]


def test_without_words_it_says_what_it_looks_through(signed_in: Browser) -> None:
    page = found(signed_in, "")
    assert page.one("form", action="/find").one("input", name="q")
    assert "holder numbers are looked through" in page.one("div", id="found").text


def test_a_book_is_found_with_the_text_and_the_word_marked(signed_in: Browser, ledger: Ledger) -> None:
    book = a_few(ledger)
    page = found(signed_in, "vale+orr")
    assert titles(page) == ["Amber Anchor"]
    assert page.all("a", href=f"/books/{book}")
    assert [each.text for each in page.all("mark")] == ["Orrin", "Vale"]
    assert "Bought of Orrin Vale <at> the fair." in page.one("dd").text
    assert "One book found." in page.text


def test_a_misspelt_title_is_found_and_said_to_be_taken_for_another(signed_in: Browser, ledger: Ledger) -> None:
    a_few(ledger)
    page = found(signed_in, "ambre+ancohr")
    assert titles(page) == ["Amber Anchor"]
    assert "It is taken for amber." in page.text


def test_the_list_alone_is_given_to_what_follows_the_typing(signed_in: Browser, ledger: Ledger) -> None:
    a_few(ledger)
    part = signed_in.get("/find?q=amb", **{PART: "rows"})
    assert "<html" not in part.text
    assert "Amber" in part.text
    assert part.headers["cache-control"] == "no-store"


def test_what_is_found_nowhere_is_said(signed_in: Browser, ledger: Ledger) -> None:
    a_few(ledger)
    assert "No book has all of these words" in found(signed_in, "zzzzqq").text
    refused = signed_in.get("/find?q=" + "+".join(f"w{number}" for number in range(14)))
    assert refused.status_code == 422
    assert "Leave some out." in text_of(refused)


def test_the_collection_leads_on_where_it_finds_nothing(signed_in: Browser, ledger: Ledger) -> None:
    a_few(ledger)
    page = read_page(signed_in.get("/collection?q=vale").text)
    (link,) = [each.attrs["href"] for each in page.all("a") if each.attrs.get("href", "").startswith("/find?")]
    assert titles(read_page(signed_in.get(link).text)) == ["Amber Anchor"]


def test_of_a_long_text_what_stands_around_the_word_is_shown(signed_in: Browser, ledger: Ledger) -> None:
    words = f"{'before ' * 60}needle {'behind ' * 60}"
    buy(ledger, Note(words=Sealed.of(words.strip())), title="Amber")
    shown = found(signed_in, "needle").one("dd").text
    assert "needle" in shown
    assert len(shown) < 4 * AROUND


def test_an_erased_value_is_found_no_more(signed_in: Browser, ledger: Ledger) -> None:
    book = a_few(ledger)
    with ledger.log.read() as reader:
        seq = next(each.seq for each in reader.of_book(book) if each.event.kind == "note")
    record(ledger, OWNER, [Draft(event=Erasure(entry=seq, names=("words",)), book=book)])
    assert titles(found(signed_in, "orrin")) == []


def test_nobody_who_is_not_signed_in_finds_anything(visitor: Browser, ledger: Ledger) -> None:
    a_few(ledger)
    assert visitor.get("/find?q=amber").status_code == 303


def test_a_phone_finds_what_its_pages_of_entries_show(signed_in: Browser, ledger: Ledger, clock: FakeClock) -> None:
    """The grader's name is sealed; the page of the entry shows it to a phone too, and so it is found there."""
    book = a_few(ledger)
    home = Home.of(ledger, clock, reach=NEAR)
    phone = joined(home, offered(home.browser().sign_in()))
    with ledger.log.read() as reader:
        seq = reader.of_book(book)[0].seq
    assert "Third Bench" in text_of(phone.get(f"/ledger/{seq}"))
    assert titles(found(phone, "third+bench")) == ["Amber Anchor"]
