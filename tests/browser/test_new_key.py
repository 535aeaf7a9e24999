"""A new signing key in the window: the password again, the step itself, the list of keys, and a reader's own check."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser import server
from tests.browser.collector import Collector
from tests.browser.looking import look_closely
from tests.browser.server import ROOT, Server, ten_minutes_pass
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
BOUGHT = {"issue.title": "The Tin Comet", "issue.number": "4", "on": "May 1998", "price": "12 GBP"}
EVERYWHERE = frozenset({(1440, "light"), (1440, "dark"), (390, "light"), (390, "dark")})


def the_key(owner: Collector) -> str:
    """The verifier key that the page gives away."""
    owner.window.go("/settings/key")
    return owner.page.locator("#vkey").inner_text()


def verdict(owner: Collector, vkey: str, folder: Path) -> int:
    """What a reader's own program says of the proof file of the only book."""
    owner.window.go("/collection")
    owner.page.locator("#list tbody th a").click()
    owner.page.wait_for_url("**/books/*")
    if owner.page.get_by_role("button", name="Sign a checkpoint now").count():
        owner.press("Sign a checkpoint now")
    with owner.page.expect_download() as taken:
        owner.page.locator("#proof").get_by_role("button", name="Download the proof").click()
    taken.value.save_as(folder / "proof.json")
    command = [sys.executable, "-m", "ledger.proof", str(folder / "proof.json"), "--key", vkey]
    return subprocess.run(command, cwd=ROOT, capture_output=True, check=False).returncode


@pytest.mark.parametrize(("width", "script"), [(1440, True), (390, False)], ids=["wide", "narrow, without scripts"])
def test_a_new_key_is_started_and_a_reader_takes_what_it_signs(
    first_start: Server, windows: Windows, tmp_path: Path, *, width: int, script: bool
) -> None:
    owner = Collector(windows(first_start, width=width, script=script, signed_in=False))
    page = owner.page
    owner.come_in(first_start.sign_in)
    owner.window.go("/purchase")
    owner.write(BOUGHT)
    old = the_key(owner)
    assert verdict(owner, old, tmp_path) == 0
    ten_minutes_pass(first_start)
    owner.window.go("/settings/key")
    owner.press("Start a new key")
    expect(page.get_by_role("heading", level=1)).not_to_have_text("A new signing key")
    owner.sign_in()
    expect(page.get_by_role("heading", level=1)).to_have_text("A new signing key")
    owner.press("Start the new key")
    expect(page.locator(".told")).to_contain_text("Key rotated, signed by the old key. Print the new paper copy")
    assert page.locator(".key-list > li").count() == 2
    new = the_key(owner)
    assert new != old
    assert (verdict(owner, new, tmp_path), verdict(owner, old, tmp_path)) == (0, 1)
    owner.window.go("/settings/key")
    owner.press("Show the copy to print")
    expect(page.locator("code")).to_have_text(new)


def test_a_stolen_key_is_told_and_its_pages_are_whole(first_start: Server, windows: Windows) -> None:
    owner = Collector(windows(first_start, signed_in=False))
    page = owner.page
    owner.come_in(first_start.sign_in)
    owner.window.go("/settings/key/new")
    wrong = list(look_closely(owner.window, "new key", EVERYWHERE))
    page.get_by_label("somebody else has it, or may have it").check()
    with owner.window.refused(422):
        owner.press("Start the new key")
        expect(page.locator(".faults")).to_contain_text("Say since when somebody else may have had it")
    wrong += look_closely(owner.window, "new key, refused", EVERYWHERE)
    page.get_by_label("Since when").press_sequentially("3 Oct 2025")
    expect(page.locator("output[for='stolen_since']")).to_contain_text("3 October 2025")
    owner.press("Start the new key")
    expect(page.locator(".told")).to_contain_text("Key stolen since 3 October 2025, a new one started: a break.")
    wrong += look_closely(owner.window, "signing key, after a theft", EVERYWHERE)
    assert not wrong, "\n".join(wrong)


def test_a_collection_whose_key_file_is_lost_goes_on(tmp_path: Path, windows: Windows) -> None:
    folder = tmp_path / "lost"
    with server.serve(folder) as running:
        Collector(windows(running, signed_in=False)).come_in(running.sign_in)
    shutil.rmtree(folder / "keys")
    with server.serve(folder, "--lost-key") as running:
        owner = Collector(windows(running, signed_in=False))
        owner.window.go("/settings/key")
        owner.sign_in()
        expect(owner.page.get_by_role("alert")).to_contain_text(
            "The key file is not at hand, so nothing can be signed."
        )
        wrong = list(look_closely(owner.window, "signing key, lost", EVERYWHERE))
        owner.press("Start a new key")
        expect(owner.page.get_by_label("it is lost")).to_be_checked()
        expect(owner.page.get_by_label("nothing: it hands over")).to_have_count(0)
        owner.press("Start the new key")
        expect(owner.page.locator(".told")).to_contain_text("Key lost, a new one started: a break.")
        expect(owner.page.get_by_role("alert")).to_have_count(0)
        owner.window.context.close()
    with server.serve(folder) as running:
        owner = Collector(windows(running, signed_in=False))
        owner.window.go("/settings/key/paper")
        owner.sign_in()
        expect(owner.page.locator("#paper")).to_contain_text("slipsheet signing key")
    assert not wrong, "\n".join(wrong)
