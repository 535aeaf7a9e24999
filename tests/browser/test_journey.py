"""A collector's whole way with one book, at a desk with scripts and on a phone without; then a stranger checks it."""

import base64
import hashlib
import json
import re
import subprocess
import sys
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from PIL import ExifTags, Image
from playwright.sync_api import expect

from tests.browser.collector import Collector
from tests.browser.journey import SELLER, Journey
from tests.browser.server import ROOT, Server, ten_minutes_pass
from tests.browser.window import Window
from tests.pictures import a_picture

pytestmark = pytest.mark.long
NUMBER_IN_BYTES, OTHER_NUMBER = b'"number":"12"', b'"number":"21"'
"""Of the book in its first entry, and a number that somebody would rather have sold."""


@pytest.mark.parametrize(("width", "script"), [(1440, True), (390, False)], ids=["desk", "phone without a script"])
def test_a_book_goes_its_whole_way(
    first_start: Server, windows: Callable[..., Window], tmp_path: Path, width: int, *, script: bool
) -> None:
    who = Collector(windows(first_start, width=width, script=script, signed_in=False))
    who.come_in(first_start.sign_in)
    journey = Journey(who, script=script)
    journey.buy()
    journey.say_it_was_slabbed()
    journey.receive()
    journey.look_through_the_holder()
    journey.open()
    journey.look_closely()
    journey.work()
    journey.forecast_and_stop()
    journey.send_and_receive()
    journey.hang()
    journey.correct()
    journey.withdraw()
    journey.erase(lambda: ten_minutes_pass(first_start))
    journey.photograph(a_photograph(tmp_path))
    journey.buy_another_in_its_holder()
    journey.several()
    the_bytes_are_what_is_hashed(who, tmp_path)
    the_steps_lead_to_the_root(who)
    the_check_finds_nothing(who)
    a_stranger_checks_the_proof(who, tmp_path)


def a_photograph(folder: Path) -> Path:
    """A picture as a camera writes it, with what a camera says of itself."""
    file = folder / "IMG 0412.jpg"
    says = Image.Exif()
    says[ExifTags.Base.Make] = "An invented camera"
    with Image.open(BytesIO(a_picture(size=(1200, 1700)))) as drawn:
        drawn.save(file, quality=85, exif=says)
    return file


def the_bytes_are_what_is_hashed(who: Collector, folder: Path) -> None:
    """Whoever hashes the bytes of an entry as the page says gets the leaf that it shows. Source: RFC 9162 section 2.1.1."""
    who.window.go("/ledger/3")
    shown = who.page.locator("#bytes .digits.block").inner_text()
    with who.page.expect_download() as download:
        who.press("Download the bytes")
    file = folder / "entry.json"
    download.value.save_as(file)
    assert hashlib.sha256(b"\0" + file.read_bytes()).hexdigest() == re.sub(r"\s", "", shown)
    expect(who.page.locator("#bytes pre").first).to_have_text(file.read_text("utf-8"))


def the_steps_lead_to_the_root(who: Collector) -> None:
    """Whoever joins and hashes as the page says comes to the root that it shows. Source: RFC 9162 section 2.1.3."""
    page = who.page
    so_far = bytes.fromhex(page.locator("#bytes .digits.block").inner_text())
    steps = page.locator(".entry-steps li").all()
    assert steps
    for step in steps:
        named = bytes.fromhex(step.locator(".digits").inner_text())
        on_its_left = "on its left" in step.inner_text()
        so_far = hashlib.sha256(b"\1" + (named + so_far if on_its_left else so_far + named)).digest()
    assert so_far == bytes.fromhex(page.locator(".entry-root .digits").inner_text())


def the_check_finds_nothing(who: Collector) -> None:
    """The page that reads every entry again."""
    who.window.go("/check")
    who.press("Check now")
    expect(who.page.locator("main")).to_contain_text("Nothing was found.", timeout=30_000)
    expect(who.page.locator("main")).to_contain_text("None was signed yet.")
    expect(who.page.locator(".foot")).to_contain_text("whole at the last check")


def a_stranger_checks_the_proof(who: Collector, folder: Path) -> None:
    """Somebody with the file of one book and the verifier key, and with nothing of this program but its verifier."""
    who.window.go("/settings/key")
    vkey = who.page.locator("#vkey").inner_text()
    who.window.go(f"/books/{who.book}")
    who.press("Sign a checkpoint now")
    expect(who.page.locator(".told")).to_contain_text("The proof can be taken now.")
    who.page.locator("#proof").get_by_label("all that are at hand").check()
    with who.page.expect_download() as download:
        who.press("Download the proof")
    file = folder / "proof.json"
    download.value.save_as(file)
    code, verdict = verdict_on(file, vkey)
    assert code == 0, verdict
    assert verdict.startswith("GOOD."), verdict
    assert who.book in verdict
    proof = json.loads(file.read_text("utf-8"))
    stored = [base64.b64decode(each["bytes"]) for each in proof["entries"]]
    disclosed = [base64.urlsafe_b64decode(f"{one}==") for each in proof["entries"] for one in each["open"]]
    assert disclosed
    assert not [each for each in stored + disclosed if SELLER.encode() in each], "it was erased"
    assert stored[0].count(NUMBER_IN_BYTES) == 1
    proof["entries"][0]["bytes"] = base64.b64encode(stored[0].replace(NUMBER_IN_BYTES, OTHER_NUMBER)).decode()
    file.write_text(json.dumps(proof), "utf-8")
    code, verdict = verdict_on(file, vkey)
    assert code == 1, verdict
    assert verdict.startswith("NOT GOOD"), verdict


def verdict_on(file: Path, vkey: str) -> tuple[int, str]:
    """What the verifier says of a proof file, and the code it ends with."""
    command = [sys.executable, "-m", "ledger.proof", str(file), "--key", vkey]
    checked = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=60)
    return checked.returncode, checked.stdout + checked.stderr
