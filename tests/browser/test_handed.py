"""A record at a link, as its buyer opens it over plain http: large photographs, two laid over each other, what they hold."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import expect

from ledger.bootstrap import open_ledger
from ledger.events._parts import Face
from ledger.settings import Settings
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import make_link
from ledger.usecases.photograph import Shot, photograph
from tests.browser import server
from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window
from tests.builders import an_examination
from tests.pictures import a_picture
from tests.usecases.telling import OWNER, Teller

pytestmark = pytest.mark.long

LARGE = (600, 900)


@dataclass
class Given:
    """A server in a home network, the path of a link, and the record behind it."""

    running: Server
    path: str
    record: bytes


@pytest.fixture
def given(tmp_path: Path) -> Iterator[Given]:
    settings = Settings(folder=str(tmp_path / "collection"), keys=str(tmp_path / "keys"))
    with open_ledger(settings) as ledger:
        book = Teller(ledger).buy()
        Teller(ledger).add(book, an_examination())
        shots = [
            Shot(data=a_picture(colour, LARGE), said={"face": Face(face)})
            for colour, face in (("teal", "front"), ("red", "back"))
        ]
        photograph(ledger, OWNER, book, shots)
        kept = issue(ledger, OWNER, book, Wish())
        _, secret = make_link(ledger, OWNER, kept.sha256, days=30)
    with server.serve_the_house(tmp_path) as running:
        yield Given(running, f"/handed/{secret}", kept.data)


def test_a_buyer_looks_at_large_photographs_lays_two_over_each_other_and_holds_their_file_against_the_ledger(
    given: Given, windows: Callable[..., Window], tmp_path: Path
) -> None:
    window = windows(given.running, signed_in=False)
    page = window.go(given.path)
    assert list(look_closely(window, "handed")) == []
    shots = page.locator("figure.record-shot img")
    expect(shots).to_have_count(2)
    for shot in shots.all():
        shot.scroll_into_view_if_needed()
        expect(shot).to_have_js_property("complete", value=True)
        assert shot.evaluate("each => [each.naturalWidth, each.naturalHeight]") == list(LARGE)

    page.get_by_role("link", name="Hold two photographs against each other").click()
    assert list(look_closely(window, "handed compare")) == []
    later = page.locator("svg.laid-over [data-later]")
    page.locator("[data-over] input[type=range]").fill("100")
    assert later.evaluate("each => getComputedStyle(each).opacity") == "1"
    page.locator("[data-over] input[type=range]").fill("20")
    assert later.evaluate("each => getComputedStyle(each).opacity") == "0.2"

    page = window.go(given.path)
    held = tmp_path / "held.json"
    held.write_bytes(given.record)
    page.locator("#file").set_input_files(held)
    page.get_by_role("button", name="Look whether it is all still there").click()
    expect(page.locator("#held [role=status]")).to_contain_text("Nothing of what you hold was changed or left out")
    assert [each["name"] for each in window.context.cookies()] == []
