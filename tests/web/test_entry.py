"""The page of one entry: what it says, what became of it, its bytes to hash oneself, and its proof."""

import subprocess
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.errors import MalformedError
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.proof import merkle
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from tests.builders import a_purchase, an_examination, an_intervention, usd
from tests.web.browser import Browser, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf


@pytest.fixture
def book(shelf: Shelf) -> str:
    """A book of entries 2 to 4, of which the last two were written together."""
    bought = a_purchase(seller=Sealed.of("A. Vendor"), price=Sealed.of(usd("410.00")), venue=Sealed.of("A fair"))
    bought_as = shelf.takes(bought)
    shelf.then(bought_as, an_examination(), an_intervention())
    return bought_as


def test_an_entry_says_each_of_its_fields_and_names_what_is_not_known(signed_in: Browser, book: str) -> None:
    page = read_page(signed_in.get("/ledger/2").text)
    facts = {each.one("dt").text: each.one("dd").text for each in page.all("div") if len(each.all("dt")) == 1}
    assert facts["Raw or slabbed"] == "raw"
    assert facts["Issue"].startswith("Series title: Captain Lantern")
    assert "Holder number" in facts["Not known, or not entered"]
    assert facts["Happened"] == "1 February 2024"
    assert facts["Written down"].endswith("UTC")
    assert facts["State"] == "in force"


def test_it_leads_to_its_book_and_to_the_entries_before_and_after_it(signed_in: Browser, book: str) -> None:
    page = read_page(signed_in.get("/ledger/3").text)
    assert page.one("a", rel="prev").attrs["href"] == "/ledger/2"
    assert page.one("a", rel="next").attrs["href"] == "/ledger/4"
    assert f"/books/{book}" in [link.attrs["href"] for link in page.all("a")]
    assert "number 2 of the 3 entries of this book" in page.text


def test_it_offers_each_way_in_which_it_can_be_mended_now(signed_in: Browser, shelf: Shelf, book: str) -> None:
    def ways(seq: int) -> list[str]:
        page = read_page(signed_in.get(f"/ledger/{seq}").text)
        asked = [link.attrs["href"] for link in page.one("main").all("a")]
        return [each.partition("kind=")[2] for each in asked if each.startswith("/entry/new?kind=")]

    assert ways(2) == ["correction&entry=2", "withdrawal&entry=2", "erasure&entry=2"]
    assert ways(3) == ["correction&entry=3", "withdrawal&entry=3"], "nothing is sealed in it"
    shelf.then(book, Withdrawal(entry=4))
    assert ways(4) == [], "it is out of force"
    assert ways(5) == ["withdrawal&entry=5"], "a withdrawal is not corrected"


def test_entries_written_together_lead_to_one_another(signed_in: Browser, book: str) -> None:
    page = read_page(signed_in.get("/ledger/3").text)
    assert "one of two" in page.text
    links = {link.attrs["href"] for link in page.one("main").all("a")}
    assert "/ledger/4" in links
    assert any(link.startswith("/ledger?act=") for link in links)
    assert "by itself" in text_of(signed_in.get("/ledger/2"))


def test_the_bytes_it_hands_out_hash_to_the_leaf_as_the_page_says(
    signed_in: Browser, book: str, tmp_path: Path
) -> None:
    page = read_page(signed_in.get("/ledger/2").text)
    got = signed_in.get("/ledger/2/bytes")
    assert got.headers["content-disposition"] == 'attachment; filename="entry-2.json"'
    assert page.all("pre")[0].text == got.text
    leaf = sha256(b"\x00" + got.content).hexdigest()  # Source: RFC 9162 section 2.1.1
    assert leaf in page.text
    (tmp_path / "entry-2.json").write_bytes(got.content)
    command = page.all("pre")[1].text
    said = subprocess.run(["/bin/sh", "-c", command], cwd=tmp_path, capture_output=True, text=True, check=True).stdout
    assert said.split()[0] == leaf


def test_its_proof_leads_from_the_leaf_to_the_root(signed_in: Browser, book: str, ledger: Ledger) -> None:
    sign_checkpoint(ledger, OWNER)
    page = read_page(signed_in.get("/ledger/3").text)
    found = sha256(b"\x00" + signed_in.get("/ledger/3/bytes").content).digest()
    for step in page.one("ol", class_="entry-steps").all("li"):
        beside, side = bytes.fromhex(step.all("span")[0].text), step.all("span")[1].text
        # Source: RFC 9162 section 2.1.3.2.
        found = merkle.node_hash(beside, found) if side == "on its left" else merkle.node_hash(found, beside)
    assert found.hex() in page.text
    assert "It is entry 3 of the 4 entries that the last signed checkpoint covers." in page.text
    assert page.all("pre")[2].text.startswith("slipsheetslipsheetslipshee")


def test_an_entry_that_no_checkpoint_covers_says_so(signed_in: Browser, book: str) -> None:
    text = text_of(signed_in.get("/ledger/3"))
    assert "No signed checkpoint covers it yet, so the root below is only what this program says." in text


def test_every_sealed_field_stands_with_its_value_and_its_digest(signed_in: Browser, book: str) -> None:
    page = read_page(signed_in.get("/ledger/2").text)
    rows = {row.one("th").text: [cell.text for cell in row.all("td")] for row in page.all("tr") if row.all("td")}
    assert rows["Seller"][0] == "A. Vendor"
    assert rows["Tax"][0] == "empty"
    assert {len(cells[1]) for cells in rows.values()} == {43}


def test_a_corrected_entry_shows_both_states_with_the_reason(signed_in: Browser, shelf: Shelf, book: str) -> None:
    changes = {"holding": "slabbed", "price": {"minor": 4100, "currency": "USD", "exponent": 2}}
    shelf.then(book, Withdrawal(entry=4, reason=Sealed.of("Another book.")))
    shelf.then(book, Withdrawal(entry=3))
    shelf.then(book, Correction(entry=2, changes=changes, reason=Sealed.of("A nought too many.")))
    page = read_page(signed_in.get("/ledger/2").text)
    assert [each.text for each in page.all("del")] == ["raw", "410.00 USD"]
    assert "in force as corrected" in page.text
    assert "Corrected by entry 7 Reason: A nought too many." in page.text
    assert "41.00 USD" in page.text


def test_a_withdrawn_entry_is_out_of_force_and_stays_legible(signed_in: Browser, shelf: Shelf, book: str) -> None:
    shelf.then(book, Withdrawal(entry=4, reason=Sealed.of("Another book.")))
    page = read_page(signed_in.get("/ledger/4").text)
    assert page.one("s").text.startswith("Dry surface cleaning")
    assert "out of force Withdrawn by entry 5 Reason: Another book." in page.text


def test_an_erased_value_is_erased_here_too_and_its_digest_stays(signed_in: Browser, shelf: Shelf, book: str) -> None:
    before = read_page(signed_in.get("/ledger/2").text)
    shelf.then(book, Erasure(entry=2, names=("seller",)))
    answer = signed_in.get("/ledger/2")
    assert "A. Vendor" not in answer.text
    after = read_page(answer.text)
    for page, said in ((before, "A. Vendor"), (after, "erased")):
        row = next(each for each in page.all("tr") if each.all("th") and each.all("th")[0].text == "Seller")
        assert row.all("td")[0].text == said
        assert row.all("td")[1].text in before.text


def test_an_entry_of_the_collection_itself_has_a_page_of_the_same_kind(signed_in: Browser, book: str) -> None:
    page = read_page(signed_in.get("/ledger/1").text)
    assert "Of the collection itself" in page.text
    assert page.all("a", rel="prev") == []


def test_a_note_with_nothing_open_says_that_it_says_nothing_more(signed_in: Browser, shelf: Shelf, book: str) -> None:
    shelf.then(book, Note(words=Sealed.of("Looked in on it.")))
    text = text_of(signed_in.get("/ledger/5"))
    assert "Nothing more than its date and what is sealed." in text
    assert "Looked in on it." in text


def test_an_entry_that_is_not_there_is_not_found(signed_in: Browser, book: str) -> None:
    assert signed_in.get("/ledger/99").status_code == 404
    assert signed_in.get("/ledger/99/bytes").status_code == 404
    assert signed_in.get("/ledger/none").status_code == 404


def test_nobody_who_is_not_signed_in_sees_an_entry(visitor: Browser, book: str) -> None:
    for path in ("/ledger/2", "/ledger/2/bytes"):
        assert visitor.get(path).headers["location"].startswith("/sign-in")


def test_an_entry_that_cannot_be_read_hands_out_its_bytes_and_leads_to_the_check(
    signed_in: Browser, book: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def damaged(*_asked: object) -> None:
        raise MalformedError(what="The entry", problem="it is no object with names", mend="Run verify.")

    monkeypatch.setattr("web.pages.entry.lay_open", damaged)
    answer = signed_in.get("/ledger/2")
    page = read_page(answer.text)
    assert answer.status_code == 500
    assert page.one("h1").text == "Entry 2 cannot be read"
    assert {"/check", "/ledger/2/bytes"} <= {link.attrs["href"] for link in page.one("main").all("a")}
    assert signed_in.get("/ledger/2/bytes").status_code == 200
