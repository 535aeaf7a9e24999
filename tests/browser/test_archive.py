"""Everything out in the window and in again elsewhere: the same root, the same books, and tables beside it."""

import csv
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import expect

from seeds.messy import MESSY_NAME, MESSY_ROWS, UNREADABLE, messy_table
from tests.browser import server
from tests.browser.collector import Collector
from tests.browser.looking import look_closely
from tests.browser.server import ROOT, Server, ten_minutes_pass
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PASSPHRASE: Final = "a row of thirteen walnut shelves"
BOOKS: Final = (
    {"issue.title": "The Tin Comet", "issue.number": "4", "on": "May 1998", "price": "12 GBP"},
    {"issue.title": "=Harbor+Lamp", "issue.number": "23", "on": "2001", "price": "3.50 USD"},
)
EVERYWHERE: Final = frozenset({(1440, "light"), (1440, "dark"), (390, "light"), (390, "dark")})


def taken_out(owner: Collector, folder: Path) -> Path:
    """An archive with its key, from the page of upkeep on; the password is asked for on the way."""
    owner.window.go("/check/upkeep")
    owner.press("Take everything out")
    expect(owner.page.locator("main")).to_contain_text("No archive lies here.")
    owner.press("Take everything out")
    owner.sign_in()
    owner.page.get_by_label("The signing key too").check()
    owner.page.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    owner.page.get_by_label("The same again").fill(PASSPHRASE)
    owner.press("Write the archive")
    expect(owner.page.get_by_role("link", name="Fetch it")).to_be_visible()
    with owner.page.expect_download() as taken:
        owner.press("Fetch it")
    taken.value.save_as(folder / "all.zip")
    return folder / "all.zip"


def brought_in(file: Path, folder: Path) -> str:
    """What the command says of it."""
    (folder / "passphrase.txt").write_text(PASSPHRASE, "utf-8")
    places = ["--folder", str(folder / "collection"), "--keys", str(folder / "keys")]
    key = ["--with-keys", "--passphrase", str(folder / "passphrase.txt")]
    command = [sys.executable, "-m", "web.cli", "import", str(file), *key, *places]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, "")
    return ran.stdout


def root_of(owner: Collector, folder: Path) -> list[str]:
    """Size, root and books of the last checkpoint, as its owner keeps it elsewhere."""
    owner.window.go("/check")
    with owner.page.expect_download() as taken:
        owner.page.locator("a[href='/check/checkpoint']").first.click()
    taken.value.save_as(folder / "checkpoint.txt")
    return (folder / "checkpoint.txt").read_text("utf-8").splitlines()[:4]


def shelf_of(owner: Collector) -> list[str]:
    owner.window.go("/collection")
    return [each.inner_text() for each in owner.page.locator("#list tbody tr").all()]


@pytest.mark.parametrize(("width", "script"), [(1440, True), (390, False)], ids=["wide", "narrow, without scripts"])
def test_a_collection_goes_out_and_comes_in_elsewhere(
    first_start: Server, windows: Windows, tmp_path: Path, *, width: int, script: bool
) -> None:
    owner = Collector(windows(first_start, width=width, script=script, signed_in=False))
    owner.come_in(first_start.sign_in)
    for book in BOOKS:
        owner.window.go("/purchase")
        owner.write(book)
    ten_minutes_pass(first_start)
    file = taken_out(owner, tmp_path)
    before, shelf = root_of(owner, tmp_path), shelf_of(owner)
    second = tmp_path / "second"
    second.mkdir()
    assert "The signing key is put back too." in brought_in(file, second)
    with server.serve(second) as running:
        theirs = Collector(windows(running, width=width, script=script, signed_in=False))
        theirs.come_in(running.sign_in)
        assert root_of(theirs, second) == before
        assert shelf_of(theirs) == shelf
        theirs.window.go("/check/upkeep")
        theirs.press("Go on from here")
        expect(theirs.page.locator(".told")).to_contain_text("says that the ledger was put back")
        theirs.window.go("/purchase")
        assert theirs.write(BOOKS[0]) == int(before[1]) + 2
        theirs.window.context.close()


def messy_list_in(owner: Collector, file: Path) -> None:
    """The messy list brought in, with what it leaves open said once and the two rows that nobody can read mended."""
    file.write_bytes(messy_table())
    owner.window.go("/bring-in").locator("[name='file']").set_input_files(file)
    owner.press("Read the file")
    owner.page.locator("[name='order']").select_option("dmy")
    owner.page.locator("[name='marks']").select_option("1.234,50")
    owner.press("Try every row")
    expect(owner.page.locator("#problems")).to_contain_text("2 rows have a problem")
    grade, price = UNREADABLE
    owner.page.locator(f"[name='row.{grade}.grade']").fill("VG+")
    owner.page.locator(f"[name='row.{price}.price']").fill("18,50")
    owner.press("Keep what was mended")
    expect(owner.page.locator(".told")).to_contain_text("2 rows are in order now.")
    owner.press(f"Bring in {MESSY_ROWS} books")
    expect(owner.page.locator("main")).to_contain_text(f"{MESSY_ROWS} books were brought in.")


def found_as(owner: Collector, words: str) -> list[str]:
    """The books that are found by these words."""
    owner.window.go(f"/find?q={words}")
    return [each.inner_text() for each in owner.page.locator(".found-books li").all()]


@pytest.mark.parametrize(("width", "script"), [(1440, True), (390, False)], ids=["wide", "narrow, without scripts"])
def test_a_messy_list_is_brought_in_mended_found_misspelt_taken_out_and_put_back_with_the_same_root(
    first_start: Server, windows: Windows, tmp_path: Path, *, width: int, script: bool
) -> None:
    owner = Collector(windows(first_start, width=width, script=script, signed_in=False))
    owner.come_in(first_start.sign_in)
    messy_list_in(owner, tmp_path / MESSY_NAME)
    found = found_as(owner, "distnat+ochard")
    assert found
    assert all("Distant Orchard Tales" in each for each in found)
    ten_minutes_pass(first_start)
    file = taken_out(owner, tmp_path)
    before, shelf = root_of(owner, tmp_path), shelf_of(owner)
    assert len(shelf) == MESSY_ROWS
    second = tmp_path / "second"
    second.mkdir()
    brought_in(file, second)
    with server.serve(second) as running:
        theirs = Collector(windows(running, width=width, script=script, signed_in=False))
        theirs.come_in(running.sign_in)
        assert root_of(theirs, second) == before
        assert shelf_of(theirs) == shelf
        assert found_as(theirs, "distnat+ochard") == found
        theirs.window.context.close()


def test_its_pages_are_whole_and_a_table_is_read_by_another_program(
    first_start: Server, windows: Windows, tmp_path: Path
) -> None:
    owner = Collector(windows(first_start, signed_in=False))
    owner.come_in(first_start.sign_in)
    owner.window.go("/purchase")
    owner.write(BOOKS[1])
    owner.window.go("/check/upkeep/archive")
    wrong = list(look_closely(owner.window, "archive, none", EVERYWHERE))
    owner.press("Take everything out")
    wrong += look_closely(owner.window, "archive, new", EVERYWHERE)
    owner.page.get_by_label("The signing key too").check()
    with owner.window.refused(422):
        owner.press("Write the archive")
        expect(owner.page.locator(".faults")).to_contain_text("A passphrase has 12 to 1000 characters")
    wrong += look_closely(owner.window, "archive, refused", EVERYWHERE)
    owner.page.get_by_label("The signing key too").uncheck()
    owner.press("Write the archive")
    expect(owner.page.get_by_role("link", name="Fetch it")).to_be_visible()
    wrong += look_closely(owner.window, "archive, ready", EVERYWHERE)
    with owner.page.expect_download() as taken:
        owner.press("Books as CSV")
    taken.value.save_as(tmp_path / "books.csv")
    with (tmp_path / "books.csv").open(encoding="utf-8", newline="") as file:
        (book,) = csv.DictReader(file)
    assert (book["title"], book["issue number"]) == ("'=Harbor+Lamp", "23")
    owner.press("Take it away")
    expect(owner.page.locator("main")).to_contain_text("No archive lies here.")
    assert not wrong, "\n".join(wrong)
