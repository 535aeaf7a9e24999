"""Everything out from a page: the password is asked for, the work goes on by itself, and what is fetched comes in again."""

from datetime import timedelta
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from ledger.accounts import CONFIRMED_FOR
from ledger.adapters.makings import FileMakings
from ledger.exports import Export, Outcome
from ledger.keeping.bring_in import bring_in
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.spreadsheet_cells import read_sheet
from ledger.usecases.checkpoint import current
from ledger.usecases.tables_out import HEADS, Sheet
from tests.fakes import FakeClock
from tests.keeping.archived import PASSPHRASE, files_of
from tests.web.browser import PASSWORD, Browser, form_to, text_of
from tests.web.checks import buy
from tests.web.markup import read_page
from web.pages.archive import NEW, PATH
from web.render import PART


def exports_of(ledger: Ledger) -> FileMakings[Export, Outcome]:
    assert isinstance(ledger.exports, FileMakings)
    return ledger.exports


def begun(browser: Browser, ledger: Ledger, **typed: str) -> Any:
    """The page after an archive was begun, and is ready."""
    answer = browser.post(NEW, {**form_to(browser.get(NEW), NEW).fields, **typed})
    assert answer.status_code == 303, text_of(answer)
    assert answer.headers["location"] == PATH
    exports_of(ledger).wait(20)
    return browser.get(PATH)


def file_in(page: Any) -> str:
    (link,) = [each for each in read_page(page.text).all("a") if each.attrs.get("href", "").endswith(".zip")]
    return link.attrs["href"]


def test_what_is_fetched_comes_in_again_with_the_same_root(
    signed_in: Browser, ledger: Ledger, tmp_path: Path, settings: Settings
) -> None:
    buy(ledger, 2)
    page = begun(signed_in, ledger)
    assert "3 entries." in text_of(page)
    assert "The signing key is not in it." in text_of(page)
    fetched = signed_in.get(file_in(page))
    assert fetched.headers["content-type"] == "application/zip"
    assert fetched.headers["content-disposition"].startswith('attachment; filename="slipsheet-')
    assert fetched.headers["cache-control"] == "no-store"
    (tmp_path / "all.zip").write_bytes(fetched.content)
    done = bring_in(tmp_path / "all.zip", Settings(folder=str(tmp_path / "back"), keys=settings.keys))
    assert done.report.findings == []
    with ledger.log.read() as reader:
        assert done.looked.head.state == current(reader)


def test_the_key_goes_along_under_a_passphrase_typed_twice(signed_in: Browser, ledger: Ledger, tmp_path: Path) -> None:
    page = begun(signed_in, ledger, keys="yes", secret=PASSPHRASE, secret_again=PASSPHRASE)
    assert "The signing key is in it, under your passphrase." in text_of(page)
    (tmp_path / "all.zip").write_bytes(signed_in.get(file_in(page)).content)
    assert "data/keys.json" in files_of(tmp_path / "all.zip")
    done = bring_in(
        tmp_path / "all.zip",
        Settings(folder=str(tmp_path / "back"), keys=str(tmp_path / "other")),
        passphrase=PASSPHRASE,
    )
    assert done.key


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"secret": PASSPHRASE, "secret_again": PASSPHRASE + "."}, "The two are not alike."),
        ({"secret": "short", "secret_again": "short"}, "12 to 1000 characters; this has 5"),
        ({"secret": "", "secret_again": ""}, "this has 0"),
    ],
)
def test_a_passphrase_that_will_not_do_is_told_at_its_field(
    signed_in: Browser, ledger: Ledger, typed: dict[str, str], says: str
) -> None:
    answer = signed_in.post(NEW, {"keys": "yes", **typed})
    assert answer.status_code == 422
    assert says in text_of(answer)
    assert "checked" in read_page(answer.text).one("input", id="keys").attrs
    assert exports_of(ledger).all() == []


def test_a_passphrase_without_the_tick_takes_no_key_along(signed_in: Browser, ledger: Ledger) -> None:
    page = begun(signed_in, ledger, secret=PASSPHRASE, secret_again=PASSPHRASE)
    assert "The signing key is not in it." in text_of(page)


def test_the_password_is_asked_for_again_before_anything_is_taken(
    signed_in: Browser, ledger: Ledger, clock: FakeClock
) -> None:
    link = file_in(begun(signed_in, ledger))
    clock.time += CONFIRMED_FOR + timedelta(seconds=1)
    for path in (NEW, link):
        assert signed_in.get(path).headers["location"].startswith("/confirm?")
    refused = signed_in.post(NEW, {"keys": "yes", "secret": PASSPHRASE, "secret_again": PASSPHRASE})
    assert refused.headers["location"].startswith("/confirm?")
    assert len(exports_of(ledger).all()) == 1
    asked = signed_in.follow(signed_in.get(link))
    back = signed_in.post("/confirm", {**form_to(asked, "/confirm").fields, "password": PASSWORD})
    assert back.headers["location"] == link
    assert signed_in.get(link).status_code == 200


def test_no_passphrase_is_held_while_the_password_is_asked_for(
    signed_in: Browser, ledger: Ledger, clock: FakeClock
) -> None:
    clock.time += CONFIRMED_FOR + timedelta(seconds=1)
    where = signed_in.post(NEW, {"keys": "yes", "secret": PASSPHRASE, "secret_again": PASSPHRASE}).headers["location"]
    assert ledger.accounts is not None
    with ledger.accounts.store.read() as reader:
        held = reader.waiting(where.partition("waiting=")[2])
    assert held is not None
    assert held.fields == (("keys", "yes"),)


def test_while_one_is_written_the_page_says_how_far_it_is_and_can_be_left(signed_in: Browser, ledger: Ledger) -> None:
    may_end, told = Event(), Event()

    def work(_file: Any, progress: Any) -> Outcome:
        progress(1234, 5000)
        told.set()
        assert may_end.wait(20)
        return Outcome(size=1, entries=1, pictures=0, missing=("ab" * 32,))

    exports = exports_of(ledger)
    assert exports.begin(Export(id="held", begun=ledger.clock.now(), keys=False), work)
    assert told.wait(20)
    page = signed_in.get(PATH)
    assert "1,234 of 5,000 lines and photographs are written." in text_of(page)
    part = signed_in.get(PATH, **{PART: "progress"})
    assert "data-working" in part.text
    assert "<html" not in part.text
    refused = signed_in.follow(signed_in.post(NEW, {}))
    assert "Another archive is being made." in text_of(refused)
    assert signed_in.get(f"{PATH}/held.zip").status_code == 404
    may_end.set()
    exports.wait(20)
    assert "One photograph is not in it" in text_of(signed_in.get(PATH))
    assert "data-working" not in signed_in.get(PATH, **{PART: "progress"}).text


def test_one_that_failed_says_why_and_can_be_taken_away(signed_in: Browser, ledger: Ledger) -> None:
    def work(_file: Any, _progress: Any) -> Outcome:
        raise OSError(28, "No space left on device")

    exports_of(ledger).begin(Export(id="full", begun=ledger.clock.now(), keys=False), work)
    exports_of(ledger).wait(20)
    page = signed_in.get(PATH)
    assert "The archive could not be written: No space left on device." in text_of(page)
    gone = signed_in.follow(signed_in.post(f"{PATH}/full/off"))
    assert "It lies here no longer." in text_of(gone)
    assert "No archive lies here." in text_of(gone)


def test_upkeep_leads_to_it(signed_in: Browser) -> None:
    assert read_page(signed_in.get("/check/upkeep").text).all("a", href=PATH)
    assert read_page(signed_in.get(PATH).text).all("a", href=NEW)


@pytest.mark.parametrize("sheet", Sheet)
def test_tables_are_taken_from_the_page(signed_in: Browser, ledger: Ledger, sheet: Sheet) -> None:
    buy(ledger)
    links = [each.attrs["href"] for each in read_page(signed_in.get(PATH).text).all("a")]
    answer = signed_in.get(f"{PATH}/tables/{sheet}.csv")
    assert f"{PATH}/tables/{sheet}.csv" in links
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert read_sheet(answer.text)[0] == list(HEADS[sheet])
    assert f"{PATH}/tables/{sheet}.xlsx" in links
    workbook = signed_in.get(f"{PATH}/tables/{sheet}.xlsx")
    assert workbook.headers["content-disposition"] == f'attachment; filename="slipsheet-{sheet}.xlsx"'
    assert workbook.content.startswith(b"PK")


def test_another_table_there_is_not(signed_in: Browser) -> None:
    for name in ("people.csv", "books.pdf"):
        assert signed_in.get(f"{PATH}/tables/{name}").status_code == 404
