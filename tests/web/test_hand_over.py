"""Several books handed over at once, and a reader who comes back with what they hold."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.ports import Ledger
from ledger.proof.forms import check_file, open_file
from ledger.proof.record_file import RecordFile
from ledger.proof.zipped import read_zip
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, given, made_record
from tests.builders import a_purchase, an_examination, an_issue
from tests.web.browser import Browser, Home, text_of
from tests.web.conftest import a_home
from tests.web.stories import OWNER, Shelf
from tests.web.test_records import link_to


@pytest.fixture
def books(ledger: Ledger) -> list[str]:
    shelf = Shelf(ledger)
    return [shelf.takes(a_purchase(issue=an_issue(number=str(each))), an_examination()) for each in (1, 2, 3)]


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[Home]:
    """Another collector's pages."""
    with a_home(tmp_path / "elsewhere") as home:
        yield home
        home.app.state.works.stop()


def test_books_are_handed_over_in_one_file_and_received_each_with_its_record(
    signed_in: Browser, ledger: Ledger, books: list[str], elsewhere: Home
) -> None:
    assert all(each in signed_in.get("/hand-over").text for each in books)
    answer = signed_in.post("/hand-over", {"book": books[:2], "recipient": "A neighbour"})
    assert answer.headers["content-type"] == "application/zip"
    pages = read_zip(answer.content)
    assert sorted(name for name in pages if not name.endswith("/")) == ["book-00001.html", "book-00002.html"]
    assert check_file(pages["book-00001.html"], [ledger.signer.verifier]).trusted
    other = elsewhere.browser().sign_in()
    other.get("/receive")
    key = {"keys": ledger.signer.verifier.vkey}
    seen = other.upload("/receive", key, {"file": ("records.zip", answer.content)})
    assert seen.text.count("the signer is known") == 2
    (action,) = re.findall(r'action="(/receive/[a-z2-7]{26})"', seen.text)
    told = other.post(action, {"book": "", "on": "", "means": "bought"})
    assert told.status_code == 303
    assert "2 records were received" in text_of(other.follow(told))


def test_all_books_are_handed_over_with_one_tick(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    signed_in.get("/hand-over")
    pages = read_zip(signed_in.post("/hand-over", {"all": "yes", "after": ""}).content)
    assert len([name for name in pages if name.endswith(".html")]) == len(books)


@pytest.mark.parametrize("chosen", [[], ["nobody"]])
def test_none_and_one_that_is_not_here_are_refused(signed_in: Browser, chosen: list[str]) -> None:
    signed_in.get("/hand-over")
    assert signed_in.post("/hand-over", {"book": chosen}).status_code in {404, 422}


def a_page(ledger: Ledger, book: str) -> bytes:
    return given(ledger, made_record(ledger, OWNER, issue(ledger, OWNER, book, Wish()).sha256), Form.PAGE)


def test_a_reader_who_comes_back_sees_whether_all_they_hold_is_still_there_and_can_prove_it(
    home: Home, signed_in: Browser, ledger: Ledger, books: list[str]
) -> None:
    first = a_page(ledger, books[0])
    held = RecordFile.from_bytes(open_file(first)[0]).proof.checkpoint
    Shelf(ledger).takes(a_purchase())
    again = issue(ledger, OWNER, books[0], Wish())
    address, reader = link_to(signed_in, again), home.browser()
    reader.get(address)
    answer = reader.upload(f"{address}/held", {}, {"file": ("old.html", first)})
    assert answer.status_code == 200
    assert "Nothing of what you hold was changed or left out" in text_of(answer)
    (grown,) = re.findall(r'href="(/handed/[^"]+/page\?held=\d+)"', answer.text)
    data = reader.get(grown).content
    report = check_file(data, [ledger.signer.verifier], held)
    assert [each.sentence for each in report.findings] == []
    assert report.held
    theirs = held.replace(ledger.collection, "anothercollectionelsewhere").encode()
    assert "another ledger" in text_of(reader.upload(f"{address}/held", {}, {"file": ("x.txt", theirs)}))
    assert reader.upload(f"{address}/held", {}, {"file": ("x.html", b"hello")}).status_code == 422


def test_a_ledger_that_was_made_anew_is_told_so(
    home: Home, signed_in: Browser, ledger: Ledger, books: list[str]
) -> None:
    page = a_page(ledger, books[0])
    record = RecordFile.from_bytes(open_file(page)[0])
    lines = record.proof.checkpoint.split("\n")
    forged = "\n".join([lines[0], lines[1], "A" * 43 + "=", *lines[3:]]).encode()
    address, reader = link_to(signed_in, issue(ledger, OWNER, books[0], Wish())), home.browser()
    reader.get(address)
    said = text_of(reader.upload(f"{address}/held", {}, {"file": ("old.txt", forged)}))
    assert "does not begin with" in said
