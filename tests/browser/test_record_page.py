"""A record's page in a browser with the network off: its own hashes and signatures, and what it says of what was changed."""

import hashlib
from base64 import b64encode
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from ledger.proof import page as page_of_record
from ledger.proof.page import VOUCH, page_of
from ledger.proof.record_file import digest_of
from ledger.proof.signature import SigningKey
from tests.browser.axe import violations
from tests.proof.making import OTHER_SEED, OWNER
from tests.proof.recording import a_record
from tests.proof.test_handed import another_owners
from tests.proof.vectors import each_of

FOLDER = Path(page_of_record.__file__).parent / "page"
FIRST = a_record()
GIVEN = a_record(earlier=a_record(earlier=FIRST))
PAGE = page_of(GIVEN.data, GIVEN.beside)
SIZES = [0, 1, 55, 56, 63, 64, 65, 111, 112, 119, 120, 127, 128, 129, 1000]
"""Around the ends of a block of either function, where padding is got wrong."""


@pytest.fixture
def offline(browser: Browser) -> Iterator[Page]:
    """A window without a network, in which nothing may go wrong."""
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 800})
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda each: wrong.append(str(each)))
    page.on("request", lambda each: wrong.append(each.url) if not each.url.startswith(("file:", "data:")) else None)
    yield page
    context.close()
    assert wrong == []


@pytest.fixture
def functions(offline: Page) -> Callable[[str, Any], Any]:
    """The functions of the page's script, called with bytes in hexadecimal."""
    code = "".join((FOLDER / name).read_text("utf-8") for name in ("hashes.js", "ed25519.js"))
    offline.set_content("<p>")
    offline.add_script_tag(content=code)
    offline.add_script_tag(
        content="const un = (h) => Uint8Array.from(h.match(/../g) || [], (x) => parseInt(x, 16));"
        "const hx = (b) => Array.from(b, (x) => x.toString(16).padStart(2, '0')).join('');"
    )
    return offline.evaluate


@pytest.mark.parametrize("size", SIZES)
def test_its_hashes_are_those_of_the_standard_library(functions: Callable[[str, Any], Any], size: int) -> None:
    data = hashlib.shake_256(b"of that size").digest(size)
    found = functions("h => [hx(sha256(un(h))), hx(sha512(un(h)))]", data.hex())
    assert found == [hashlib.sha256(data).hexdigest(), hashlib.sha512(data).hexdigest()]


def test_its_hashes_are_the_published_ones(functions: Callable[[str, Any], Any]) -> None:
    """Source: FIPS PUB 180-4, NIST's example values for "abc"."""
    found = functions("h => [hx(sha256(un(h))), hx(sha512(un(h)))]", b"abc".hex())
    assert found[0] == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert found[1].startswith("ddaf35a193617abacc417349ae20413112e6fa4e89a97ea2")


@pytest.mark.parametrize("case", each_of("notes/ed25519.json"))
def test_its_signatures_are_the_published_ones_and_no_others(functions: Callable[[str, Any], Any], case: Any) -> None:
    def verifies(signature: str, message: str) -> bool:
        return bool(functions("([k, s, m]) => verifies(un(k), un(s), un(m))", [case["public"], signature, message]))

    assert verifies(case["signature"], case["message"])
    assert not verifies(case["signature"], case["refused_message"])
    for bad in case["refused"]:
        assert not verifies(bad["signature"], case["message"]), bad["why"]


def test_a_key_of_small_order_that_fits_every_message_is_refused(functions: Callable[[str, Any], Any]) -> None:
    """Source: RFC 8032 section 5.1.7 leaves the check of the key to whoever uses it; libraries below OpenSSL accept this."""
    key, signature = "01" + "00" * 31, "01" + "00" * 63
    assert functions("([k, s, m]) => verifies(un(k), un(s), un(m))", [key, signature, "00"]) is False


def told(page: Page, folder: Path, data: bytes, key: str = "") -> tuple[str, list[str]]:
    """The verdict, and the codes of what was found."""
    (folder / "record.html").write_bytes(data)
    page.goto((folder / "record.html").as_uri())
    page.locator("#verdict[data-state]").wait_for()
    if key:
        page.get_by_label("The key, as you got it").fill(key)
        page.evaluate("delete document.querySelector('#verdict').dataset.state")
        page.get_by_role("button", name="Check again").click()
        page.locator("#verdict[data-state]").wait_for()
    state = page.locator("#verdict").get_attribute("data-state")
    return state or "", [each.partition(":")[0] for each in page.locator("#found li").all_inner_texts()]


def test_a_good_page_holds_together_and_with_the_owners_key_is_good(offline: Page, tmp_path: Path) -> None:
    assert told(offline, tmp_path, PAGE) == ("consistent", [])
    assert "Who signed them is not known" in offline.locator("#verdict").inner_text()
    assert VOUCH in offline.locator("body").inner_text()
    assert told(offline, tmp_path, PAGE, OWNER.verifier.vkey) == ("good", [])
    other = SigningKey.from_seed(OWNER.verifier.name, OTHER_SEED).verifier.vkey
    assert told(offline, tmp_path, PAGE, other) == ("bad", ["checkpoint-other-key"])


def owners(page: Page) -> list[tuple[str, str, list[str]]]:
    """What is said of each record of an owner before: its state, the words, the codes of what was found in it."""
    found = []
    for each in page.locator("#owners > li").all():
        said = each.evaluate("each => each.firstChild.textContent")
        codes = [line.partition(":")[0] for line in each.locator("li").all_inner_texts()]
        found.append((each.get_attribute("data-state") or "", said, codes))
    return found


def test_each_earlier_record_is_checked_by_itself_and_told_with_its_own_verdict(offline: Page, tmp_path: Path) -> None:
    told(offline, tmp_path, PAGE)
    assert [state for state, _, _ in owners(offline)] == ["consistent", "consistent"]
    told(offline, tmp_path, PAGE, OWNER.verifier.vkey)
    first, second = owners(offline)
    assert (first[0], second[0]) == ("good", "good")
    assert "is signed with a key that you gave" in first[1]
    told(offline, tmp_path, page_of(FIRST.data, FIRST.beside))
    assert not offline.locator("#owners").is_visible()


def test_a_key_that_an_earlier_record_names_itself_is_only_a_claim(offline: Page, tmp_path: Path) -> None:
    given = a_record(earlier=another_owners(OTHER_SEED))
    assert told(offline, tmp_path, page_of(given.data, given.beside), OWNER.verifier.vkey) == ("good", [])
    ((state, said, codes),) = owners(offline)
    assert (state, codes) == ("consistent", [])
    assert "Who signed it is not known" in said


FORGED = FIRST.with_file(sheet=replace(FIRST.file.sheet, lead="Nothing was done here."))


@pytest.mark.parametrize("deep", [1, 2])
@pytest.mark.parametrize("key", ["", OWNER.verifier.vkey], ids=["without a key", "with the owner's key"])
def test_a_page_with_a_forged_earlier_record_never_says_that_nothing_was_changed(
    offline: Page, tmp_path: Path, deep: int, key: str
) -> None:
    given = FORGED
    for _ in range(deep):
        given = a_record(earlier=given)
    assert told(offline, tmp_path, page_of(given.data, given.beside), key) == ("bad", [])
    said = offline.locator("#verdict").inner_text()
    assert "Nothing was changed" not in offline.locator("header").inner_text()
    assert "In a record of an owner before, which came with it, something was found" in said
    assert [state for state, _, _ in owners(offline)][-1] == "bad"
    assert owners(offline)[-1][2] == ["sheet-differs"]
    assert len(owners(offline)) == deep


def test_an_earlier_record_that_is_none_is_named(offline: Page, tmp_path: Path) -> None:
    data = FIRST.data.replace(b"slipsheet-record/1", b"slipsheet-record/9")
    given = a_record(earlier=replace(FIRST, data=data))
    good = a_record(earlier=FIRST)
    page = page_of(good.data, good.beside)
    page = page.replace(b64encode(good.data), b64encode(given.data)).replace(b64encode(FIRST.data), b64encode(data))
    page = page.replace(digest_of(FIRST.data).encode(), digest_of(data).encode())
    state, codes = told(offline, tmp_path, page)
    assert (state, codes) == ("bad", ["earlier-unreadable"])
    assert owners(offline)[0][2] == ["file-unreadable"]


def changed(old: bytes, new: bytes) -> bytes:
    assert old in PAGE
    return PAGE.replace(old, new, 1)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"A tear closed", b"A tear healed"),
        (b"<main>", b"<main><p>Unrestored</p>"),
        (b"<h1 data-s>", b"<h1 data-s>Not "),
        (b"<li data-s>First point</li>", b""),
        (b"</article>", b"Never touched.</article>"),
    ],
)
def test_words_that_are_not_the_records_are_named(offline: Page, tmp_path: Path, old: bytes, new: bytes) -> None:
    state, codes = told(offline, tmp_path, changed(old, new))
    assert state == "bad"
    assert set(codes) == {"page-differs"}


def test_a_byte_of_a_photograph_or_of_the_record_is_named(offline: Page, tmp_path: Path) -> None:
    at = PAGE.index(b";base64,") + 20
    assert set(told(offline, tmp_path, flipped(at))[1]) == {"picture-changed"}
    at = PAGE.rindex(b";base64,") + 20
    assert set(told(offline, tmp_path, flipped(at))[1]) == {"picture-changed"}
    at = PAGE.index(b'id="record">') + 500
    assert told(offline, tmp_path, flipped(at))[0] == "bad"


def flipped(at: int) -> bytes:
    other = b"A" if PAGE[at : at + 1] != b"A" else b"B"
    return PAGE[:at] + other + PAGE[at + 1 :]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_can_be_read_by_everybody(browser: Browser, tmp_path: Path, scheme: Any) -> None:
    (tmp_path / "record.html").write_bytes(PAGE)
    context = browser.new_context(offline=True, color_scheme=scheme)
    page = context.new_page()
    page.goto((tmp_path / "record.html").as_uri())
    page.locator("#verdict[data-state]").wait_for()
    assert violations(page) == []
    context.close()


def test_without_scripts_it_reads_whole_and_says_that_it_was_not_checked(browser: Browser, tmp_path: Path) -> None:
    (tmp_path / "record.html").write_bytes(PAGE)
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.goto((tmp_path / "record.html").as_uri())
    assert page.locator("#verdict").inner_text() == "Not checked here."
    assert page.locator("article").count() == 3
    assert not page.locator("#check").is_visible()
    context.close()


def test_the_readers_own_photograph_is_laid_over_one_of_the_records_and_leaves_its_check_as_it_was(
    offline: Page, tmp_path: Path
) -> None:
    (tmp_path / "record.html").write_bytes(PAGE)
    Image.new("RGB", (40, 60), "teal").save(tmp_path / "mine.jpg", "JPEG")
    offline.goto((tmp_path / "record.html").as_uri())
    offline.locator("#verdict[data-state='consistent']").wait_for()
    figure = offline.locator("main figure").filter(has=offline.locator("img[data-sha]")).first
    figure.get_by_label("Lay a photograph of your own over this one").set_input_files(tmp_path / "mine.jpg")
    over = figure.locator("canvas.over")
    over.wait_for()
    figure.get_by_label("How much of your photograph is seen").fill("20")
    assert over.evaluate("each => each.style.opacity") == "0.2"
    offline.get_by_role("button", name="Check again").click()
    offline.locator("#verdict[data-state='consistent']").wait_for()
