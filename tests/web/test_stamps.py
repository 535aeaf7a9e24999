"""The page of what others said of checkpoints: what to send out, what comes back, and what is refused at its field."""

import pytest
from httpx2 import Response

from ledger.ports import Ledger
from ledger.proof.cosigning import cosign, line_text, read_shown
from ledger.proof.signature import CosigningKey
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, record
from ledger.usecases.stamps import kept_stamps
from tests.builders import a_purchase
from tests.stamping import NAME, Authority
from tests.web.browser import Browser, form_to, text_of
from tests.web.checks import buy
from tests.web.markup import read_page
from tests.web.stories import OWNER

WITNESS = CosigningKey.from_seed("a-neighbour", b"\x0b" * 32)
PATH = "/check/stamps"
TIME = 1767225600


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority.at(tmp_path_factory.mktemp("authority") / "lantern")


@pytest.fixture
def size(ledger: Ledger) -> int:
    """Of the checkpoint that is signed."""
    seller = Sealed.of("canary of the harbour")
    record(ledger, OWNER, [Draft(event=a_purchase(seller=seller), new_book=True)])
    return sign_checkpoint(ledger, OWNER).size


def sent(browser: Browser, stamp: bytes, key: str = "", request: bytes = b"") -> Response:
    files = {"stamp": ("came-back", stamp)} | ({"request": ("asked.tsq", request)} if request else {})
    return browser.upload(PATH, {"key": key}, files)


def a_line(browser: Browser, ledger: Ledger, since: int = 0, last: str | None = None) -> bytes:
    shown = read_shown(browser.get(f"{PATH}/to-cosign?since={since}").content)
    return line_text(cosign(shown, [ledger.signer.verifier], last, WITNESS, TIME)).encode()


def test_before_a_checkpoint_is_signed_the_page_says_what_to_do_first(signed_in: Browser) -> None:
    page = signed_in.get(PATH)
    assert "Nobody else has seen a checkpoint of this ledger yet." in text_of(page)
    assert "Sign one first" in text_of(page)
    assert read_page(page.text).all("form", action=PATH) == []
    assert signed_in.get(f"{PATH}/request").status_code == 409


def test_the_request_is_a_file_with_nothing_of_the_collection_in_it(
    signed_in: Browser, size: int, authority: Authority
) -> None:
    answer = signed_in.get(f"{PATH}/request")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/timestamp-query"
    assert answer.headers["content-disposition"] == f'attachment; filename="checkpoint-{size}.tsq"'
    assert b"canary" not in answer.content
    assert len(answer.content) < 80
    assert authority.answer(answer.content)


def test_a_time_stamp_is_taken_in_and_told_in_words(signed_in: Browser, size: int, authority: Authority) -> None:
    request = signed_in.get(f"{PATH}/request").content
    answer = sent(signed_in, authority.answer(request), request=request)
    assert (answer.status_code, answer.headers["location"]) == (303, PATH)
    page = signed_in.follow(answer)
    assert "Taken in. It stands in the list now." in text_of(page)
    (item,) = read_page(page.text).one("ul", class_="seen-by").all("li")
    assert f"Over {size} entries, time stamp" in item.text
    assert "This checkpoint existed on " in item.text
    assert f", says {NAME}." in item.text
    assert "It counts for whoever trusts the authority that gave it" in text_of(page)
    assert "One time stamp or cosignature of it was taken in." in text_of(signed_in.get("/check"))


def test_a_cosignature_is_taken_in_and_stands_under_the_checkpoint_that_is_saved(
    signed_in: Browser, ledger: Ledger, size: int
) -> None:
    asked = signed_in.get(f"{PATH}/to-cosign?since=0")
    assert asked.headers["content-disposition"] == f'attachment; filename="checkpoint-{size}-to-cosign.txt"'
    assert b"canary" not in asked.content
    line = a_line(signed_in, ledger)
    answer = sent(signed_in, line, key=WITNESS.verifier.vkey)
    page = signed_in.follow(answer)
    assert "This checkpoint existed on 1 January 2026, 00:00 UTC, says a-neighbour (" in text_of(page)
    assert "It counts for whoever trusts the authority" not in text_of(page)
    assert signed_in.get("/check/checkpoint").content.endswith(line)
    assert line.decode().strip() in read_page(signed_in.get("/check").text).one("pre", id="note").text
    form = form_to(page, f"{PATH}/to-cosign")
    assert form.fields["since"] == str(size), "that is how many they saw last"


def test_what_is_of_an_older_checkpoint_says_so(signed_in: Browser, ledger: Ledger, size: int) -> None:
    line = a_line(signed_in, ledger)
    buy(ledger)
    sign_checkpoint(ledger, OWNER)
    page = signed_in.follow(sent(signed_in, line, key=WITNESS.verifier.vkey))
    assert (
        f"It is of the checkpoint over {size} entries and says nothing about the newest, over {size + 1}."
        in text_of(page)
    )
    assert "Nobody else has seen it yet." in text_of(signed_in.get("/check"))


def test_each_refusal_stands_at_its_field_and_what_was_typed_stays(
    signed_in: Browser, ledger: Ledger, size: int, authority: Authority
) -> None:
    line = a_line(signed_in, ledger)
    stamp = authority.answer(signed_in.get(f"{PATH}/request").content)
    cases = {
        "stamp": (b"<html>no stamp</html>", "", b""),
        "key": (line, "a-neighbour", b""),
        "request": (stamp, "", b"no request"),
    }
    for field, (data, key, request) in cases.items():
        answer = sent(signed_in, data, key, request)
        assert answer.status_code == 422
        page = read_page(answer.text)
        assert page.one("p", id=f"{field}-fault").text
        assert page.one("input", id="key").attrs["value"] == key
    assert "Choose the file that came back." in text_of(signed_in.upload(PATH, {}, {}))
    another = sent(signed_in, stamp, request=signed_in.get(f"{PATH}/request").content)
    assert "This time stamp answers another request than the one given with it." in text_of(another)
    assert kept_stamps(ledger, OWNER) == []
    assert size


@pytest.mark.parametrize("since", ["-1", "x", "1.5", "9" * 16, "99"])
def test_a_number_that_is_none_is_refused(signed_in: Browser, size: int, since: str) -> None:
    assert signed_in.get(f"{PATH}/to-cosign?since={since}").status_code == 422
    assert size < 99


def test_the_check_page_leads_there(signed_in: Browser, size: int) -> None:
    assert read_page(signed_in.get("/check").text).one("a", href=PATH).text == "Seen by others"
    assert size


def test_nobody_looks_at_it_without_signing_in(visitor: Browser) -> None:
    for path in (PATH, f"{PATH}/request", f"{PATH}/to-cosign"):
        assert visitor.get(path).headers["location"].startswith("/sign-in")
