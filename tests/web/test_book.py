"""The page of one book: its statement first, its lanes, grades and entries, its proof, in every state a book can be in."""

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from ledger.errors import MalformedError
from ledger.events._parts import Holding
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.examination import Suppleness, Tone
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork
from ledger.events.withdrawal import Withdrawal
from ledger.history import Moment
from ledger.ports import Codec
from ledger.proof.__main__ import main as check
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from tests.builders import (
    a_purchase,
    a_slab,
    an_examination,
    an_intervention,
    an_issue,
    an_opening,
    on,
    usd,
)
from tests.fakes import FakeClock
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf, a_long_story, page_of
from web.entry_rows import EntryRow
from web.pages.book import BOOKS, KEPT

LOOK = an_examination("2024-02-05")


def test_the_sentence_comes_first_each_clause_with_its_own_line(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(earlier_work=EarlierWork.DENIED), an_intervention())
    statement = page_of(signed_in, book).all("p", class_="statement")[0]
    assert statement.text == (
        "Done here since 1 February 2024: one dry surface cleaning, with nothing added ; "
        "not done here: any conservation or restoration ; "
        "not known before that date, when the seller denied any earlier work ."
    )
    assert [each.attrs["class"] for each in statement.all("span")] == ["done", "not-done", "not-known"]


def test_title_number_and_what_was_printed_stand_above_it(signed_in: Browser, shelf: Shelf) -> None:
    issue = an_issue(publisher="Gorse Hill Press", cover_date=on("1962-03"), printing=1, number="Annual 3")
    page = page_of(signed_in, shelf.takes(a_purchase(issue=issue), an_examination(pages_counted=52, weight_g="104")))
    assert page.one("h1").text == "Captain Lantern Annual 3"
    assert "Gorse Hill Press, March 1962, first printing, 52 pages and covers, 104 g" in page.text


def test_headings_stand_as_hatch_and_word_with_their_counts(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), an_intervention(), an_intervention("tear-sealing"))
    counts = page_of(signed_in, book).one("ul", class_="book-counts").all("li")
    assert [each.text for each in counts] == ["non-additive one step", "conservation one step", "restoration none here"]
    assert all(each.all("i") for each in counts)


def test_the_front_is_drawn_at_its_size_in_millimetres_with_its_holder(signed_in: Browser, shelf: Shelf) -> None:
    shot = Photograph(on=on("2024-02-06"), original="ab" * 32, clean="ab" * 32)
    raw = shelf.takes(a_purchase(), an_examination(width_mm="184", height_mm="260.5"), shot)
    figure = page_of(signed_in, raw).one("figure", class_="front")
    assert [each.text for each in figure.all("text")] == ["184 mm", "260.5 mm"]
    assert figure.one("image").attrs["href"] == f"/pictures/{'ab' * 32}?size=480"
    assert figure.all("rect", class_="holder") == []
    slabbed = page_of(signed_in, shelf.takes(a_slab())).one("figure", class_="front")
    assert slabbed.one("rect", class_="holder")
    assert "Not measured; drawn at a usual size" in slabbed.text
    assert slabbed.all("image") == []
    assert "Captain Lantern" in slabbed.text


def test_the_facts_beside_it_say_not_known_for_what_is_not(signed_in: Browser, shelf: Shelf) -> None:
    page = page_of(signed_in, shelf.takes(a_purchase(None, holding=Holding.NOT_STATED)))
    facts = {each.one("dt").text: each.one("dd").text for each in page.one("dl", class_="book-facts").all("div")}
    assert facts == {
        "Stated grade": "none stated",
        "Presents as": "not known",
        "Last look": "not looked at yet",
        "Paper": "not known",
        "Raw or slabbed": "not known",
        "Came": "bought, date not known",
        "Work here": "none here",
        "Entries": "1 last one written 2 Jan 2026",
        "Light here": "not known What it had before is not known.",
    }


def test_the_paper_is_as_the_last_look_told_it_that_looked_for_it(signed_in: Browser, shelf: Shelf) -> None:
    first = an_examination(tone=Tone.IVORY, suppleness=Suppleness.SUPPLE)
    book = shelf.takes(a_purchase(), first)
    assert "Paper ivory, supple Raw" in page_of(signed_in, book).text
    shelf.then(book, replace(first, on=on("2024-03-09"), tone=None, suppleness=None))
    assert f"Paper ivory, supple seen {first.on.label() if first.on else ''} Raw" in page_of(signed_in, book).text


def test_a_stated_grade_says_by_whom_and_whether_it_is_in_force(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_slab(stated_by=Sealed.of("Weir Street")))
    assert "Stated grade 9.0 Weir Street, 1 February 2024" in page_of(signed_in, book).text
    shelf.then(book, an_opening())
    assert "Stated grade none in force was 9.0, Weir Street, 1 February 2024" in page_of(signed_in, book).text


def test_the_place_stands_in_the_owner_s_words_with_since_when(signed_in: Browser, shelf: Shelf) -> None:
    hung = Placement(on=on("2024-05-01"), spot=Spot.WALL, place=Sealed.of("Study, left of the door"))
    book = shelf.takes(a_purchase(), hung)
    assert "On the wall, raw: Study, left of the door, since 1 May 2024" in page_of(signed_in, book).text
    shelf.then(book, Erasure(entry=shelf.seqs(book)[1], names=("place",)))
    answer = signed_in.get(f"/books/{book}")
    assert "On the wall, raw: since 1 May 2024" in text_of(answer)
    assert "left of the door" not in answer.text


def test_the_table_has_every_entry_with_both_dates_where_they_differ(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase("1987"), an_examination("2026-01-02"))
    rows = page_of(signed_in, book).one("table", class_="book-entries").all("tr")[1:]
    assert [row.one("td", class_="when").text for row in rows] == [
        "1987 written 2 Jan 2026",
        "2 January 2026",
    ]
    links = [row.all("td")[-1].one("a").attrs["href"] for row in rows]
    assert links == [f"/ledger/{seq}" for seq in shelf.seqs(book)]


def test_a_correction_shows_both_states_in_the_table_sealed_values_in_the_fold(
    signed_in: Browser, shelf: Shelf
) -> None:
    book = shelf.takes(a_purchase(price=Sealed.of(usd("410.00"))))
    seq = shelf.seqs(book)[0]
    shelf.then(book, Correction(entry=seq, changes={"seller": "B. Vendor"}, reason=Sealed.of("Another sender.")))
    row = page_of(signed_in, book).one("tr", id=f"entry-{seq}")
    assert f"Corrected by entry {seq + 1} (sealed: Seller) Reason: Another sender." in row.text
    fold = row.one("details")
    assert {each.one("dt").text: each.one("dd").text for each in fold.all("div")}["Seller"] == "B. Vendor"
    assert fold.one("summary").text == "2 sealed values"


def test_an_open_field_that_was_corrected_is_struck_and_said_anew(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase())
    seq = shelf.seqs(book)[0]
    shelf.then(book, Correction(entry=seq, changes={"holding": "not stated"}))
    row = page_of(signed_in, book).one("tr", id=f"entry-{seq}")
    assert row.one("del").text == "raw"
    assert row.one("ins").text == "now not stated"


def test_a_withdrawn_entry_is_struck_with_by_which_and_why(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), an_intervention())
    seq = shelf.seqs(book)[1]
    shelf.then(book, Withdrawal(entry=seq, reason=Sealed.of("Another book.")))
    page = page_of(signed_in, book)
    row = page.one("tr", id=f"entry-{seq}")
    assert row.one("s").text.startswith("Dry surface cleaning")
    assert f"Withdrawn by entry {seq + 1} Reason: Another book." in row.text
    assert page.all("p", class_="statement")[0].text.startswith("Not done here since")


def test_what_was_erased_is_gone_from_the_page_at_once_although_pages_are_kept(
    signed_in: Browser, shelf: Shelf
) -> None:
    book = shelf.takes(a_purchase(seller=Sealed.of("A. Vendor")))
    for _ in range(2):
        assert "A. Vendor" in signed_in.get(f"/books/{book}").text
    shelf.then(book, Erasure(entry=shelf.seqs(book)[0], names=("seller",)))
    answer = signed_in.get(f"/books/{book}")
    assert "A. Vendor" not in answer.text
    assert "one erased" in text_of(answer)
    kept = [body.decode() for _, pages in KEPT._of.values() for body in pages.values()]
    kept += [shown.drawn(lambda _: "") for told in BOOKS._of.values() for shown in told.of.values()]
    assert kept
    assert not any("A. Vendor" in markup for markup in kept)


def test_a_page_is_made_once_until_something_is_written_or_a_day_passes(
    signed_in: Browser, shelf: Shelf, clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[int] = []

    def rows_of(moments: Sequence[Moment], codec: Codec) -> tuple[EntryRow, ...]:
        made.append(len(moments))
        return ()

    monkeypatch.setattr("web.book_told.rows_of", rows_of)
    book = shelf.takes(a_purchase())
    for _ in range(3):
        page_of(signed_in, book)
    assert made == [1]
    shelf.then(book, LOOK)
    page_of(signed_in, book)
    clock.time += timedelta(days=1)
    page_of(signed_in, book)
    shelf.takes(a_purchase())
    page_of(signed_in, book)
    assert made == [1, 2, 2]


def test_a_page_that_is_kept_still_says_how_many_entries_there_are_and_whether_they_are_signed(
    signed_in: Browser, shelf: Shelf
) -> None:
    book = shelf.takes(a_purchase())
    foot = page_of(signed_in, book).one("footer").text
    sign_checkpoint(shelf.ledger, OWNER)
    assert page_of(signed_in, book).one("form", action=f"/books/{book}/proof").attrs["method"] == "get"
    shelf.takes(a_purchase())
    page = page_of(signed_in, book)
    assert page.one("form", action=f"/books/{book}/proof").attrs["method"] == "post"
    assert page.one("footer").text != foot


def test_lanes_are_drawn_for_a_wide_page_and_a_closer_one_and_listed_for_a_narrow_one(
    signed_in: Browser, shelf: Shelf
) -> None:
    page = page_of(signed_in, shelf.takes(a_purchase(), an_intervention()))
    drawn = [each.attrs["class"] for each in page.all("div") if "lanes" in each.attrs.get("class", "").split()]
    assert drawn == ["lanes drawn-wide", "lanes drawn-close", "lanes"]
    lists = page.all("ol", class_="lane-list")
    assert [len(each.all("a")) for each in lists] == [1, 0, 1]
    assert lists[1].text == "none here"
    places = [each.attrs["x"] for each in page.all("svg") if "%" in each.attrs.get("x", "")]
    assert places
    assert all(0 <= float(each[:-1]) <= 100 for each in places)


def test_a_book_of_sixty_entries_is_told_whole(signed_in: Browser, shelf: Shelf, clock: FakeClock) -> None:
    book = a_long_story(shelf, clock)
    page = page_of(signed_in, book)
    assert len(page.one("table", class_="book-entries").all("tr")) == 61
    wide = page.one("div", class_="drawn-wide")
    led = {link.attrs["href"] for link in wide.all("a") if link.attrs["href"].startswith("/ledger/")}
    assert led == {f"/ledger/{seq}" for seq in shelf.seqs(book)}
    assert "six dry surface cleanings and six dry hot pressings, with nothing added" in page.text
    assert "9.2, a result of work sent from here" in page.text


def test_the_proof_is_taken_once_a_checkpoint_covers_the_newest_entry(
    signed_in: Browser, shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = shelf.takes(a_purchase(seller=Sealed.of("A. Vendor")), LOOK)
    shelf.takes(a_purchase())
    page = signed_in.get(f"/books/{book}")
    assert "No signed checkpoint covers the newest entries yet." in text_of(page)
    assert signed_in.get(f"/books/{book}/proof").status_code == 409
    signed_in.get(f"/books/{book}")
    told = signed_in.follow(signed_in.post(f"/books/{book}/proof", form_to(page, f"/books/{book}/proof").fields))
    assert "A checkpoint over 4 entries is signed. The proof can be taken now." in text_of(told)
    got = signed_in.get(f"/books/{book}/proof")
    assert re.fullmatch(r'attachment; filename="slipsheet-proof-book-1\.json"', got.headers["content-disposition"])
    assert len(json.loads(got.text)["entries"]) == 2
    counts = {
        asked: sum(len(each["open"]) for each in signed_in.get(f"/books/{book}/proof?open={asked}").json()["entries"])
        for asked in ("none", "shown", "all")
    }
    assert 0 == counts["none"] < counts["shown"] < counts["all"]
    assert got.content == signed_in.get(f"/books/{book}/proof?open=shown").content
    (tmp_path / "proof.json").write_bytes(got.content)
    vkey = shelf.ledger.signer.verifier.vkey
    assert check([str(tmp_path / "proof.json"), "--key", vkey]) == 0, capsys.readouterr().out


def test_a_book_that_is_not_there_is_not_found(signed_in: Browser) -> None:
    for path in ("/books/none", "/books/none/proof"):
        assert signed_in.get(path).status_code == 404
    assert signed_in.post("/books/none/proof").status_code == 404


def test_nobody_who_is_not_signed_in_sees_a_book_or_signs(visitor: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase())
    for path in (f"/books/{book}", f"/books/{book}/proof"):
        assert visitor.get(path).headers["location"].startswith("/sign-in")
    assert visitor.post(f"/books/{book}/proof").headers["location"].startswith("/sign-in")
    with shelf.ledger.log.read() as reader:
        assert reader.last_checkpoint() is None


def test_a_book_with_an_entry_that_cannot_be_read_leads_to_the_check(
    signed_in: Browser, shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    def damaged(*_asked: object) -> None:
        raise MalformedError(what="The entry", problem="it is no object with names", mend="Run verify.")

    book = shelf.takes(a_purchase())
    monkeypatch.setattr("web.pages.book.look_at", damaged)
    answer = signed_in.get(f"/books/{book}")
    page = read_page(answer.text)
    assert answer.status_code == 500
    assert page.one("h1").text == "An entry of this book cannot be read"
    assert page.one("a", class_="next").attrs["href"] == "/check"
    assert "it is no object with names" in page.text
