"""Sessions: their cookie, how long they last, and that they end everywhere at once."""

from datetime import timedelta
from http.cookies import SimpleCookie
from pathlib import Path

import pytest
from fastapi import Request

from ledger.bootstrap import open_ledger
from ledger.settings import Settings
from ledger.usecases import sign_in
from ledger.usecases.secret import hash_of
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock
from tests.web.browser import COOKIE, PASSWORD, Browser, Home, is_in, text_of
from web.cookies import own_name

DAY = timedelta(days=1)


def cookie_of(header: str) -> dict[str, str | bool]:
    """The attributes of the session's cookie. Source: RFC 6265 section 4.1."""
    morsel = SimpleCookie(header)[COOKIE]
    return {name: value for name, value in morsel.items() if value not in {"", False}} | {"value": morsel.value}


@pytest.mark.parametrize(("scheme", "secure"), [("http", False), ("https", True)])
def test_the_cookie_goes_to_this_server_alone_and_no_script_reads_it(
    home: Home, visitor: Browser, scheme: str, *, secure: bool
) -> None:
    browser = home.browser(scheme=scheme)
    answer = browser.post("/sign-in", {"password": PASSWORD})
    found = cookie_of(answer.headers["set-cookie"])
    value = str(found.pop("value"))
    expected = {"path": "/", "samesite": "lax", "httponly": True, "max-age": str(90 * 24 * 3600)}
    assert found == expected | ({"secure": True} if secure else {})
    assert len(value) == 43, "256 bits in base64 without padding"


def test_what_is_kept_of_a_session_is_not_its_secret(signed_in: Browser, home: Home, settings: Settings) -> None:
    secret = (signed_in.secret or "").encode()
    files = [path.read_bytes() for path in Path(settings.folder).iterdir() if path.is_file()]
    assert secret
    assert len(files) > 1
    assert not any(secret in data for data in files)


def test_a_session_has_another_secret_after_each_sign_in_and_the_one_before_it_is_dead(visitor: Browser) -> None:
    first = visitor.sign_in().secret
    second = visitor.sign_in().secret
    assert first != second
    visitor.client.cookies.clear()
    visitor.client.cookies.set(COOKIE, first or "", domain="localhost.local")
    assert not is_in(visitor)


def test_a_secret_that_somebody_planted_before_never_becomes_a_session(visitor: Browser) -> None:
    visitor.client.cookies.set(COOKIE, "planted", domain="localhost.local")
    answer = visitor.post("/sign-in", {"password": PASSWORD})
    assert cookie_of(answer.headers["set-cookie"])["value"] != "planted"
    visitor.client.cookies.clear()
    visitor.client.cookies.set(COOKIE, "planted", domain="localhost.local")
    assert not is_in(visitor)


def test_signing_out_ends_the_session_everywhere_it_was(home: Home, signed_in: Browser) -> None:
    elsewhere = home.browser().sign_in()
    answer = elsewhere.post("/sign-out")
    assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")
    assert elsewhere.secret is None
    assert not is_in(elsewhere)
    assert not is_in(signed_in)
    assert "You are signed out" in text_of(elsewhere.get("/sign-in"))
    assert "You are signed out" not in text_of(elsewhere.get("/sign-in")), "it is told once"


def test_signing_out_when_nobody_is_in_leads_to_the_sign_in_page(visitor: Browser) -> None:
    answer = visitor.post("/sign-out")
    assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")


def test_a_session_left_alone_for_thirty_days_is_over(signed_in: Browser, home: Home) -> None:
    home.clock.time += 29 * DAY
    assert is_in(signed_in)
    home.clock.time += 29 * DAY
    assert is_in(signed_in), "it was used in between"
    home.clock.time += 30 * DAY
    assert not is_in(signed_in)


def test_a_session_is_over_after_ninety_days_however_often_it_is_used(signed_in: Browser, home: Home) -> None:
    for _ in range(8):
        home.clock.time += 11 * DAY
        assert is_in(signed_in)
    home.clock.time += 2 * DAY
    assert not is_in(signed_in)


def test_what_has_run_out_is_deleted(signed_in: Browser, home: Home) -> None:
    hashed = hash_of(signed_in.secret or "")
    home.clock.time += 31 * DAY
    sign_in.sweep(home.accounts)
    with home.accounts.store.read() as reader:
        assert reader.session(hashed) is None


def test_a_session_lives_on_through_a_restart(settings: Settings, clock: FakeClock, chance: FakeChance) -> None:
    with open_ledger(settings, clock=clock, chance=chance, collection=COLLECTION) as ledger:
        home = Home.of(ledger, clock)
        browser = home.browser()
        browser.post(home.door.path)
        secret = browser.secret
    with open_ledger(settings, clock=clock, chance=chance) as ledger:
        again = Home.of(ledger, clock).browser()
        again.client.cookies.set(COOKIE, secret or "", domain="localhost.local")
        assert is_in(again)


def test_two_servers_on_one_host_leave_each_others_session_alone(home: Home, visitor: Browser, tmp_path: Path) -> None:
    # RFC 6265 section 8.5: cookies do not provide isolation by port, so one jar holds those of both.
    elsewhere = Settings(folder=str(tmp_path / "demo"), keys=str(tmp_path / "demo keys"))
    with open_ledger(elsewhere, clock=home.clock, chance=FakeChance("demo"), collection=COLLECTION) as ledger:
        other = Home.of(ledger, home.clock)
        demo = other.browser(host="localhost:9000")
        demo.client.cookies = visitor.sign_in().client.cookies
        assert not is_in(demo)
        demo.post(other.door.path)
        assert is_in(demo)
        assert is_in(visitor)
        demo.post("/sign-out")
        assert not is_in(demo)
    assert is_in(visitor)


@pytest.mark.parametrize(
    ("host", "scheme", "name"),
    [
        ("localhost:8450", "http", "slipsheet_session_8450"),
        ("localhost", "http", "slipsheet_session_80"),
        ("localhost", "https", "slipsheet_session_443"),
        ("127.0.0.1:9000", "https", "slipsheet_session_9000"),
    ],
)
def test_the_cookies_name_holds_the_port_of_the_address_in_sight(
    home: Home, visitor: Browser, host: str, scheme: str, name: str
) -> None:
    assert visitor.secret is None
    answer = home.browser(host=host, scheme=scheme).post("/sign-in", {"password": PASSWORD})
    assert list(SimpleCookie(answer.headers["set-cookie"])) == [name]


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("[::1]:8450", "x_8450"),
        ("[::1]", "x_80"),
        ("", "x_80"),
        ("localhost:\u0663", "x_80"),
        ("localhost:99999999", "x_99999999"),
    ],
)
def test_a_port_is_read_from_any_form_of_a_host(host: str, name: str) -> None:
    scope = {"type": "http", "scheme": "http", "path": "/", "query_string": b"", "server": ("localhost", 80)}
    headers = [(b"host", host.encode("latin-1", "replace"))]
    assert own_name(Request({**scope, "headers": headers}), "x") == name
