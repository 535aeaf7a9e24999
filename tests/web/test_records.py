"""The record's pages: chosen, seen, made, taken, given by a link, received; and what a reader may not get."""

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from ledger.events._parts import Face
from ledger.events.correction import Correction
from ledger.events.withdrawal import Withdrawal
from ledger.handing import KeptRecord
from ledger.ports import Ledger
from ledger.proof.forms import check_file
from ledger.sealed import Sealed
from ledger.usecases.hand_on import records_of
from ledger.usecases.photograph import Shot, photograph
from tests.builders import a_purchase, an_examination, an_intervention, usd
from tests.pictures import a_picture
from tests.web.browser import Browser, Home, text_of
from tests.web.conftest import a_home
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf


@pytest.fixture
def book(ledger: Ledger) -> str:
    given: dict[str, Any] = {"seller": Sealed.of("canary seller"), "price": Sealed.of(usd("4321.99"))}
    book = Shelf(ledger).takes(a_purchase(**given), an_examination(), an_intervention(who=Sealed.of("a steady hand")))
    shots = [
        Shot(data=a_picture(each), said={"face": Face(face)}) for each, face in (("teal", "front"), ("red", "back"))
    ]
    photograph(ledger, OWNER, book, shots)
    return book


def ticked(browser: Browser, book: str) -> dict[str, list[str]]:
    """The form as it is shown, to be sent as it is."""
    page = read_page(browser.get(f"/books/{book}/record").text)
    boxes = [each for each in page.all("input") if each.attrs.get("type") == "checkbox" and "checked" in each.attrs]
    found: dict[str, list[str]] = {"sent": ["yes"], "recipient": ["canary buyer"]}
    for each in boxes:
        found.setdefault(str(each.attrs["name"]), []).append(str(each.attrs["value"]))
    return found


def made(browser: Browser, ledger: Ledger, book: str, **more: list[str]) -> KeptRecord:
    """The record, by the two forms."""
    seen = browser.post(f"/books/{book}/record/seen", {**ticked(browser, book), **more})
    assert seen.status_code == 200, text_of(seen)
    answer = browser.post(f"/books/{book}/record", hidden_in(seen.text))
    assert answer.status_code == 303, text_of(answer)
    return records_of(ledger, OWNER, book)[-1]


def link_to(browser: Browser, record: KeptRecord) -> str:
    browser.get(f"/books/{record.book}/record")
    answer = browser.post(f"/records/{record.sha256}/link", {"days": "30"})
    assert answer.status_code == 201
    (address,) = re.findall(r"http://[^/]+(/handed/[\w-]{43})", answer.text)
    return str(address)


def test_what_is_ticked_by_itself_is_what_a_reader_needs_and_no_price(signed_in: Browser, book: str) -> None:
    boxes = read_page(signed_in.get(f"/books/{book}/record").text).all("input", name="open")
    named = {str(each.attrs["value"]).partition(".")[2]: "checked" in each.attrs for each in boxes}
    assert (named["who"], named["seller"], named["price"]) == (True, False, False)


def test_a_corrected_sum_stands_in_its_box_as_a_sum(signed_in: Browser, shelf: Shelf, book: str) -> None:
    entry = int(
        str(read_page(signed_in.get(f"/books/{book}/record").text).all("input", name="open")[0].attrs["value"])[0]
    )
    changes = {"price": {"minor": 125000, "currency": "USD", "exponent": 2}}
    shelf.then(book, Correction(entry=entry, changes=changes))
    page = text_of(signed_in.get(f"/books/{book}/record"))
    assert "Price 4,321.99 USD corrected by entry" in page
    assert "Price 1,250.00 USD" in page
    assert "1,250.00 USD corrected" not in page
    assert "minor" not in page


def test_a_box_says_what_no_longer_counts_and_an_entry_the_day_that_does(
    signed_in: Browser, shelf: Shelf, book: str
) -> None:
    entry = int(read_page(signed_in.get(f"/books/{book}/record").text).all("input", name="open")[0].attrs["value"][0])
    first = shelf.then(book, Correction(entry=entry, changes={"seller": "a neighbour"}))[0].seq
    second = shelf.then(book, Correction(entry=entry, changes={"seller": "another", "on": "2023-12-24"}))[0].seq
    page = text_of(signed_in.get(f"/books/{book}/record"))
    assert f"Purchase, 24 December 2023, entry {entry}" in page
    assert f"Seller canary seller corrected by entry {second}" in page
    assert f"Seller a neighbour corrected by entry {second}" in page
    assert "Seller another corrected" not in page
    shelf.then(book, Withdrawal(entry=first, reason=Sealed.of("twice")))
    page = text_of(signed_in.get(f"/books/{book}/record"))
    assert f"Seller a neighbour withdrawn by entry {second + 1}" in page


def test_a_record_is_seen_before_it_is_made_and_made_as_it_was_seen(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    with ledger.log.read() as reader:
        before = reader.head().size
    seen = signed_in.post(f"/books/{book}/record/seen", ticked(signed_in, book))
    with ledger.log.read() as reader:
        assert reader.head().size == before
    record = made(signed_in, ledger, book)
    sheet = check_file(record.data, [ledger.signer.verifier]).file
    assert sheet is not None
    said = unescape(text_of(seen))
    assert [piece for piece in sheet.sheet.text() if " ".join(piece.split()) not in said] == []


@pytest.mark.parametrize(("form", "begins"), [("page", b"<!DOCTYPE"), ("bag", b"PK"), ("file", b"{")])
def test_each_form_is_a_file_to_take_that_checks(
    signed_in: Browser, ledger: Ledger, book: str, form: str, begins: bytes
) -> None:
    record = made(signed_in, ledger, book)
    answer = signed_in.get(f"/records/{record.sha256}/{form}")
    assert answer.headers["content-disposition"].startswith("attachment")
    assert answer.content.startswith(begins)
    assert check_file(answer.content, [ledger.signer.verifier]).trusted
    assert b"canary" not in answer.content


def test_a_field_is_opened_only_where_it_is_ticked(signed_in: Browser, ledger: Ledger, book: str) -> None:
    boxes = read_page(signed_in.get(f"/books/{book}/record").text).all("input", name="open")
    seller = next(str(each.attrs["value"]) for each in boxes if str(each.attrs["value"]).endswith(".seller"))
    record = made(signed_in, ledger, book, open=[seller])
    opened = {name for each in check_file(record.data).entries for name in each.opened}
    assert opened == {"seller"}


def test_a_link_is_read_by_anybody_who_has_it_and_by_nobody_else(
    home: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    address = link_to(signed_in, made(signed_in, ledger, book))
    reader = home.browser()
    answer = reader.get(address)
    assert answer.status_code == 200
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert "noindex" in answer.headers["x-robots-tag"]
    assert answer.headers["cache-control"] == "no-store"
    assert "set-cookie" not in answer.headers
    assert "canary" not in answer.text
    pictures = {str(each.attrs["src"]) for each in read_page(answer.text).all("img")}
    assert len(pictures) == 2
    for each in pictures:
        assert each.startswith(f"{address}/photographs/")
        assert reader.get(each).headers["content-type"] in {"image/jpeg", "image/png"}
    assert reader.get(f"{address}/compare").status_code == 200
    assert check_file(reader.get(f"{address}/page").content, [ledger.signer.verifier]).trusted
    with ledger.log.read() as read:
        other = next(iter(read.of_book(book))).leaf
    assert reader.get(f"{address}/photographs/{other}").status_code == 404
    assert reader.get("/collection").status_code == 303


def test_a_link_that_was_ended_or_is_wrong_opens_nothing(
    home: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    record = made(signed_in, ledger, book)
    address = link_to(signed_in, record)
    page = read_page(signed_in.get(f"/books/{book}/record").text)
    (end,) = [str(each.attrs["action"]) for each in page.all("form") if str(each.attrs.get("action")).endswith("/end")]
    assert signed_in.post(end).status_code == 303
    reader = home.browser()
    for at in (address, f"{address}/page", f"{address}/compare", "/handed/" + "x" * 43):
        assert reader.get(at).status_code == 404


def test_days_that_are_no_number_of_days_are_refused(signed_in: Browser, ledger: Ledger, book: str) -> None:
    record = made(signed_in, ledger, book)
    for days in ("0", "", "ten", "500"):
        assert signed_in.post(f"/records/{record.sha256}/link", {"days": days}).status_code == 422


def test_a_box_that_no_form_has_is_refused(signed_in: Browser, book: str) -> None:
    answer = signed_in.post(f"/books/{book}/record/seen", {"sent": "yes", "open": "x.y"})
    assert answer.status_code == 422


def hidden_in(seen: str) -> dict[str, list[str]]:
    """The form under a preview, to be sent as it is."""
    names = ("key", "sent", "seen", "open", "shot", "recipient")
    return {
        name: [str(each.attrs.get("value", "")) for each in read_page(seen).all("input", name=name)] for name in names
    }


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[Home]:
    """Another collector's pages."""
    with a_home(tmp_path / "elsewhere") as home:
        yield home
        home.app.state.works.stop()


def looked_at(browser: Browser, data: bytes, **fields: str) -> str:
    browser.get("/receive")
    answer = browser.upload("/receive", fields, {"file": ("record.html", data)})
    assert answer.status_code == 200, text_of(answer)
    return answer.text


def test_another_collection_receives_it_and_shows_it_as_its_makers(
    elsewhere: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    record = made(signed_in, ledger, book)
    data = signed_in.get(f"/records/{record.sha256}/page").content
    other = elsewhere.browser().sign_in()
    seen = looked_at(other, data, keys=ledger.signer.verifier.vkey)
    assert "nothing was changed or left out, and the signer is known" in " ".join(seen.split())
    (action,) = re.findall(r'action="(/receive/[a-z2-7]{26})"', seen)
    answer = other.post(action, {"book": "", "on": "24 December 2025", "from_whom": "canary giver", "means": "gift"})
    assert answer.status_code == 303, text_of(answer)
    page = other.follow(answer)
    said = text_of(page)
    assert "What owners before wrote" in said
    assert "nothing was changed or left out" in said
    (href,) = {
        str(each.attrs["href"]) for each in read_page(page.text).all("a") if "/records/" in str(each.attrs["href"])
    }
    read = other.get(href)
    assert read.status_code == 200
    for each in read_page(read.text).all("img"):
        assert other.get(str(each.attrs["src"])).status_code == 200
    # The same yes again finds nothing held.
    assert other.post(action, {"book": ""}).status_code == 410


def test_a_changed_file_is_named_before_anything_is_kept(
    elsewhere: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    record = made(signed_in, ledger, book)
    data = signed_in.get(f"/records/{record.sha256}/page").content.replace(b"<h1 data-s>", b"<h1 data-s>X", 1)
    seen = looked_at(elsewhere.browser().sign_in(), data)
    assert "Broken or changed" in seen


def test_what_is_held_is_held_for_its_sender_alone(
    elsewhere: Home, home: Home, signed_in: Browser, ledger: Ledger, book: str
) -> None:
    record = made(signed_in, ledger, book)
    seen = looked_at(signed_in, record.data)
    (action,) = re.findall(r'action="(/receive/[a-z2-7]{26})"', seen)
    other = home.browser().sign_in()
    other.get("/receive")
    assert other.post(action, {"book": ""}).status_code == 410


def test_no_file_and_no_key_that_is_one_are_refused(signed_in: Browser, ledger: Ledger) -> None:
    signed_in.get("/receive")
    assert signed_in.post("/receive", {"keys": ""}).status_code == 422
    answer = signed_in.upload("/receive", {"keys": "nonsense"}, {"file": ("x.html", b"<!doctype html>")})
    assert answer.status_code == 422
