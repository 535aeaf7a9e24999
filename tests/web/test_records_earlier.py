"""Records of owners before on the pages: each with its own verdict, before it is taken, when it is read, before it goes on."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from httpx2 import Response

from ledger.adapters.pictures import FilePictures
from ledger.handing import HandingWriter
from ledger.ports import Ledger
from ledger.proof.forms import open_file
from ledger.proof.page import page_of
from ledger.proof.record_file import RecordFile, digest_of
from ledger.proof.signature import VerifierKey
from ledger.proof.zipped import read_zip, write_zip
from ledger.usecases.choose import Wish, choices
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, given, made_record, make_link
from ledger.usecases.receive import look_at, receive
from tests.builders import a_purchase
from tests.fakes import FakeClock
from tests.usecases.houses import House, a_house
from tests.web.browser import Browser, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf

BROKEN = "Broken or changed: do not rely on it."
HOLDS = "It holds together; who signed it is not known."
INNER = "A record of an owner before, which came with it, is broken or changed"


@pytest.fixture
def before(tmp_path: Path, clock: FakeClock) -> Iterator[House]:
    """An owner before."""
    with a_house(tmp_path / "before", clock) as opened:
        yield opened


@pytest.fixture
def between(tmp_path: Path, clock: FakeClock) -> Iterator[House]:
    """The owner who came after them."""
    with a_house(tmp_path / "between", clock) as opened:
        yield opened


def page_with_price(of: House) -> bytes:
    """The page of a record that opens what was paid."""
    book = of.worked_book()
    price = next(each for each in choices(of.ledger, OWNER, book) if each.name == "price")
    kept = issue(of.ledger, OWNER, book, Wish(opened=frozenset({(price.seq, "price")})))
    return given(of.ledger, made_record(of.ledger, OWNER, kept.sha256), Form.PAGE)


def forged(page: bytes) -> bytes:
    """The page made anew around other words."""
    data, beside = open_file(page)
    file = RecordFile.from_bytes(data)
    return page_of(replace(file, sheet=replace(file.sheet, lead="Nothing was done here.")).to_bytes(), beside)


def handed_on(by: House, page: bytes, *keys: VerifierKey) -> bytes:
    """What the next owner gives: their own record with what they received in it."""
    book = by.teller.buy()
    receive(by.ledger, OWNER, look_at(OWNER, page, keys), book=book)
    kept = issue(by.ledger, OWNER, book, Wish())
    return given(by.ledger, made_record(by.ledger, OWNER, kept.sha256), Form.PAGE)


def seen_by(browser: Browser, page: bytes, *keys: VerifierKey) -> Response:
    browser.get("/receive")
    answer = browser.upload(
        "/receive", {"keys": "\n".join(each.vkey for each in keys)}, {"file": ("record.html", page)}
    )
    assert answer.status_code == 200
    return answer


def received_by(browser: Browser, seen: Response) -> None:
    (action,) = re.findall(r'action="(/receive/[a-z2-7]{26})"', seen.text)
    assert browser.post(action, {"book": "", "on": "", "means": "bought"}).status_code == 303


def test_a_forged_record_inside_a_whole_one_is_shown_as_such_before_it_is_taken(
    signed_in: Browser, before: House, between: House
) -> None:
    page = handed_on(between, forged(page_with_price(before)), before.key)
    seen = seen_by(signed_in, page, between.key, before.key)
    said = unescape(text_of(seen))
    assert said.index("the signer is known") < said.index(INNER) < said.index(BROKEN)
    assert "they were changed" in said
    assert "Nothing was done here." in said


def test_a_whole_record_inside_a_whole_one_has_its_own_verdict_too(
    signed_in: Browser, before: House, between: House
) -> None:
    page = handed_on(between, page_with_price(before), before.key)
    said = unescape(text_of(seen_by(signed_in, page, between.key)))
    assert said.index("the signer is known") < said.index(HOLDS)
    assert INNER not in said
    both = unescape(text_of(seen_by(signed_in, page, between.key, before.key)))
    assert both.count("the signer is known") == 2


def test_a_received_record_is_read_with_the_verdict_of_each_owner_in_it(
    signed_in: Browser, ledger: Ledger, before: House, between: House
) -> None:
    page = handed_on(between, forged(page_with_price(before)), before.key)
    received_by(signed_in, seen_by(signed_in, page, between.key))
    sha256 = digest_of(open_file(page)[0])
    answer = signed_in.get(f"/records/{sha256}")
    said = unescape(text_of(answer))
    assert said.index(HOLDS) < said.index(BROKEN)
    assert said.index(BROKEN) < said.index("they were changed") < said.rindex("Nothing was done here.")
    _, secret = make_link(ledger, OWNER, sha256, days=3)
    reader = unescape(text_of(signed_in.get(f"/handed/{secret}")))
    assert BROKEN in reader
    assert "they were changed" in reader


def test_the_preview_shows_what_earlier_owners_show_and_what_they_opened(
    signed_in: Browser, ledger: Ledger, before: House, between: House
) -> None:
    page = handed_on(between, page_with_price(before), before.key)
    book = Shelf(ledger).takes(a_purchase())
    receive(ledger, OWNER, look_at(OWNER, page, [between.key]), book=book)
    signed_in.get(f"/books/{book}/record")
    answer = signed_in.post(f"/books/{book}/record/seen", {"sent": "yes"})
    said = unescape(text_of(answer)).replace("\xa0", " ")
    assert "2 records of owners before go along as they came" in said
    assert said.count(HOLDS) == 2
    assert re.search(r"Entry \d+, price: 4,321\.99 USD", said)
    kept = issue(ledger, OWNER, book, Wish(opened=frozenset(), pictures=frozenset()))
    made = made_record(ledger, OWNER, kept.sha256)
    for _, sheet in made.sheets[1:]:
        assert [each for each in sheet.text() if " ".join(each.split()) not in said] == []
    pictures = {str(each.attrs["src"]) for each in read_page(answer.text).all("img")}
    assert len(pictures) == 2
    for each in pictures:
        assert signed_in.get(each).headers["content-type"] == "image/jpeg"


def test_a_received_record_without_its_photograph_is_read_and_its_page_is_refused(
    signed_in: Browser, ledger: Ledger, before: House
) -> None:
    book = before.worked_book()
    kept = issue(before.ledger, OWNER, book, Wish())
    files = read_zip(given(before.ledger, made_record(before.ledger, OWNER, kept.sha256), Form.BAG))
    shot = next(name for name in sorted(files) if name.startswith("data/photographs/"))
    bag = write_zip({name: data for name, data in files.items() if name != shot}, "record")
    own = Shelf(ledger).takes(a_purchase())
    receive(ledger, OWNER, look_at(OWNER, bag, [before.key]), book=own)
    answer = signed_in.get(f"/records/{kept.sha256}")
    said = unescape(text_of(answer))
    assert "1 file that it names did not come with it" in said
    assert BROKEN in said
    assert f"/records/{kept.sha256}/page" not in answer.text
    assert signed_in.get(f"/records/{kept.sha256}/page").status_code == 409
    assert signed_in.get(f"/records/{kept.sha256}/file").status_code == 200


def test_a_record_that_was_changed_where_it_is_kept_is_not_shown(
    signed_in: Browser, ledger: Ledger, before: House
) -> None:
    book = Shelf(ledger).takes(a_purchase())
    kept = issue(ledger, OWNER, book, Wish())
    file = RecordFile.from_bytes(kept.data)
    other = replace(kept, data=replace(file, sheet=replace(file.sheet, lead="Nothing was ever done.")).to_bytes())

    def work(writer: HandingWriter) -> None:
        writer.take_record(kept.sha256)
        writer.put_record(other)

    assert ledger.handing is not None
    ledger.handing.write(work)
    answer = signed_in.get(f"/records/{kept.sha256}")
    assert answer.status_code == 500
    assert "Nothing was ever done." not in answer.text


@pytest.fixture
def received(ledger: Ledger, before: House) -> RecordFile:
    """A record with two photographs as it came."""
    page = given_by(before)
    receive(ledger, OWNER, look_at(OWNER, page, [before.key]), book=Shelf(ledger).takes(a_purchase()))
    return RecordFile.from_bytes(open_file(page)[0])


def given_by(of: House) -> bytes:
    kept = issue(of.ledger, OWNER, of.worked_book(), Wish())
    return given(of.ledger, made_record(of.ledger, OWNER, kept.sha256), Form.PAGE)


def place_of(ledger: Ledger, sha256: str) -> Path:
    assert isinstance(ledger.pictures, FilePictures)
    return ledger.pictures.folder / sha256[:2] / sha256


@pytest.mark.parametrize("harm", [lambda data: data[:-1], lambda data: b"GIF89a" + data[6:]])
def test_a_photograph_of_another_size_or_kind_is_found_though_a_page_reads_none(
    signed_in: Browser, ledger: Ledger, received: RecordFile, harm: Callable[[bytes], bytes]
) -> None:
    at = f"/records/{digest_of(received.to_bytes())}"
    assert HOLDS in unescape(text_of(signed_in.get(at)))
    shot, path = received.pictures[0].sha256, place_of(ledger, received.pictures[0].sha256)
    path.write_bytes(harm(path.read_bytes()))
    said = unescape(text_of(signed_in.get(at)))
    assert BROKEN in said
    assert f"Photograph {shot[:8]} was changed" in said or f"Photograph {shot[:8]} is not of the kind" in said
    assert signed_in.get(f"{at}/photographs/{shot}").status_code == 500


def test_a_photograph_that_was_changed_within_is_refused_when_it_is_shown_and_given(
    signed_in: Browser, ledger: Ledger, received: RecordFile
) -> None:
    at = f"/records/{digest_of(received.to_bytes())}"
    path = place_of(ledger, received.pictures[0].sha256)
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    assert "A photograph is checked when it is shown." in unescape(text_of(signed_in.get(at)))
    for below in (f"photographs/{received.pictures[0].sha256}", "page", "bag"):
        assert signed_in.get(f"{at}/{below}").status_code == 500


def test_a_stranger_is_told_what_is_missing_and_is_offered_no_form_that_has_it(
    signed_in: Browser, ledger: Ledger, received: RecordFile
) -> None:
    _, secret = make_link(ledger, OWNER, digest_of(received.to_bytes()), days=3)
    place_of(ledger, received.pictures[0].sha256).unlink()
    answer = signed_in.get(f"/handed/{secret}")
    assert "1 file that it names did not come with it" in unescape(text_of(answer))
    assert f"/handed/{secret}/page" not in answer.text
    refused = signed_in.get(f"/handed/{secret}/page")
    assert refused.status_code == 409
    assert "This could not be shown" in unescape(text_of(refused))
    assert signed_in.get(f"/handed/{secret}/file").status_code == 200
