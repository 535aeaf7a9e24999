"""Pictures: small clean copies for somebody who is signed in, kept by this browser for ever; never an original."""

import io
from dataclasses import dataclass

import pytest
from PIL import Image

from ledger.bootstrap import OWNER
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.usecases.browse import WIDTHS
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.pictures import a_picture
from tests.web.browser import Browser
from web.pages.pictures import Width


@dataclass(frozen=True)
class Taken:
    """A photograph of one book."""

    book: str
    seq: int
    original: str
    clean: str


@pytest.fixture
def taken(ledger: Ledger) -> Taken:
    book = record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)]).entries[0].book or ""
    kept = ledger.pictures.keep(a_picture(size=(900, 1350)))
    entry = photograph(ledger, OWNER, book, [Shot(data=a_picture(size=(900, 1350)), said={})]).entries[0]
    return Taken(book, entry.seq, kept.original, kept.clean)


@pytest.mark.parametrize(("asked", "width"), [("?size=160", 160), ("?size=480", 480), ("?size=1200", 900), ("", 900)])
def test_a_clean_copy_is_shown_no_wider_than_asked_for(
    signed_in: Browser, taken: Taken, asked: str, width: int
) -> None:
    answer = signed_in.get(f"/pictures/{taken.clean}{asked}")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/jpeg")
    assert Image.open(io.BytesIO(answer.content)).width == width


def test_only_this_browser_keeps_it_and_no_other_site_may_show_it(signed_in: Browser, taken: Taken) -> None:
    headers = signed_in.get(f"/pictures/{taken.clean}?size=160").headers
    assert headers["cache-control"] == "private, max-age=31536000, immutable"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert headers["x-content-type-options"] == "nosniff"
    assert "default-src 'none'" in headers["content-security-policy"]


def test_an_original_is_shown_to_nobody(signed_in: Browser, taken: Taken) -> None:
    assert taken.original != taken.clean
    assert signed_in.get(f"/pictures/{taken.original}").status_code == 404


def test_a_picture_that_lies_in_the_folder_but_in_no_entry_is_not_shown(signed_in: Browser, ledger: Ledger) -> None:
    kept = ledger.pictures.keep(a_picture("red"))
    assert signed_in.get(f"/pictures/{kept.clean}").status_code == 404


def test_a_photograph_out_of_force_is_shown_still_for_it_stays_visible(
    signed_in: Browser, ledger: Ledger, taken: Taken
) -> None:
    record(ledger, OWNER, [Draft(event=Withdrawal(entry=taken.seq), book=taken.book)])
    assert signed_in.get(f"/pictures/{taken.clean}").status_code == 200


@pytest.mark.parametrize("name", ["a" * 64, "A" * 64, "x", "..%2f..%2fslipsheet.sqlite3", "%00"])
def test_what_is_no_picture_is_not_found(signed_in: Browser, name: str) -> None:
    assert signed_in.get(f"/pictures/{name}").status_code == 404


@pytest.mark.parametrize("size", ["161", "0", "-160", "160.5", "wide", ""])
def test_a_size_that_there_is_not_is_refused(signed_in: Browser, taken: Taken, size: str) -> None:
    assert signed_in.get(f"/pictures/{taken.clean}?size={size}").status_code == 400


def test_nobody_sees_a_picture_without_signing_in(visitor: Browser, taken: Taken) -> None:
    answer = visitor.get(f"/pictures/{taken.clean}?size=160")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")
    assert "image" not in answer.headers.get("content-type", "")


def test_the_sizes_of_the_page_are_those_that_are_made() -> None:
    assert tuple(Width) == WIDTHS


def test_a_part_of_a_picture_is_shown_by_itself(signed_in: Browser, taken: Taken) -> None:
    answer = signed_in.get(f"/pictures/{taken.clean}?size=160&part=50,0,50,20")
    assert answer.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(answer.content)).size == (160, 96)


@pytest.mark.parametrize("part", ["60,0,50,20", "0,90,50,20", "0,0,0,20", "0,0,20,0", "0,0,101,20"])
def test_a_part_that_lies_outside_is_no_picture(signed_in: Browser, taken: Taken, part: str) -> None:
    assert signed_in.get(f"/pictures/{taken.clean}?part={part}").status_code == 404


@pytest.mark.parametrize("part", ["0,0,50", "0,0,50,50,50", "-1,0,50,50", "a,b,c,d", "0,0,5.5,5", "0,0,0050,50"])
def test_what_is_no_part_is_refused(signed_in: Browser, taken: Taken, part: str) -> None:
    assert signed_in.get(f"/pictures/{taken.clean}?part={part}").status_code == 400
