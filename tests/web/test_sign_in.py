"""Coming in: the link that works once, and the password."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta

import pytest
from argon2 import PasswordHasher

from ledger.adapters.passwords import Argon2Passwords
from ledger.ports import Ledger
from ledger.usecases import sign_in
from tests.fakes import FakeClock
from tests.web.browser import COOKIE, PASSWORD, Browser, Home, form_to, is_in, text_of
from web.door import Door

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


# --- the link ---------------------------------------------------------------------------------------------------------


def test_looking_at_the_link_shows_a_button_and_uses_nothing_up(home: Home) -> None:
    browser = home.browser()
    for _ in range(3):
        page = browser.get(home.door.path)
        assert page.status_code == 200
        assert "set-cookie" not in page.headers
        assert form_to(page, home.door.path).method == "post"
    assert not is_in(browser)


def test_pressing_the_button_begins_a_session_and_leads_to_the_password(home: Home) -> None:
    browser = home.browser()
    answer = browser.post(home.door.path)
    assert (answer.status_code, answer.headers["location"]) == (303, "/settings/password")
    assert is_in(browser)
    assert browser.get("/settings/password").status_code == 200


def test_the_link_works_once(home: Home) -> None:
    home.browser().post(home.door.path)
    second = home.browser()
    assert second.get(home.door.path).status_code == 410
    answer = second.post(home.door.path)
    assert answer.status_code == 410
    assert second.secret is None


@pytest.mark.parametrize("how_many", [2, 8])
def test_of_many_who_press_at_the_same_moment_one_comes_in(home: Home, how_many: int) -> None:
    browsers = [home.browser() for _ in range(how_many)]
    with ThreadPoolExecutor(how_many) as pool:
        answers = list(pool.map(lambda browser: browser.post(home.door.path).status_code, browsers))
    assert sorted(answers) == [303, *[410] * (how_many - 1)]
    assert sum(browser.secret is not None for browser in browsers) == 1


def test_after_its_hour_the_link_is_dead(home: Home) -> None:
    home.clock.time += HOUR - MINUTE
    assert home.browser().get(home.door.path).status_code == 200
    home.clock.time += MINUTE
    browser = home.browser()
    assert browser.get(home.door.path).status_code == 410
    assert browser.post(home.door.path).status_code == 410
    assert browser.secret is None


def test_another_link_of_the_same_shape_is_no_link(home: Home) -> None:
    browser = home.browser()
    other = Door.made(home.clock).path
    assert browser.post(other).status_code == 410
    assert browser.get("/sign-in/%F0%9F%90%9F").status_code == 410
    assert browser.post(home.door.path).status_code == 303, "the real one was not used up by them"


def test_a_restart_before_the_link_was_used_prints_another_and_the_old_one_is_dead(home: Home) -> None:
    again = Home.of(home.ledger, home.clock)
    assert again.door.path
    assert again.door.path != home.door.path
    assert again.browser().post(home.door.path).status_code == 410
    assert again.browser().post(again.door.path).status_code == 303


def test_once_a_password_is_set_a_start_prints_no_link(home: Home) -> None:
    home.set_password()
    assert Home.of(home.ledger, home.clock).door.path == ""


def test_the_link_dies_when_somebody_who_is_in_already_sets_the_password(home: Home) -> None:
    earlier = home.browser()
    earlier.post(home.door.path)
    again = Home.of(home.ledger, home.clock)
    inside = again.browser()
    inside.client.cookies.set(COOKIE, earlier.secret or "", domain="localhost.local")
    assert inside.post("/settings/password", {"new_password": PASSWORD}).status_code == 303
    assert again.browser().post(again.door.path).status_code == 410


def test_a_forgotten_password_ends_by_a_link_of_its_own(visitor: Browser, home: Home) -> None:
    visitor.sign_in()
    again = Home.of(home.ledger, home.clock, door=Door.first(home.accounts, forgotten=True))
    assert sign_in.has_password(home.accounts), "printing the link ends nothing"
    browser = again.browser()
    assert browser.post(again.door.path).headers["location"] == "/settings/password"
    assert not is_in(visitor)
    browser.post("/settings/password", {"new_password": "a new one, well away from peas"})
    assert home.browser().post("/sign-in", {"password": PASSWORD}).status_code == 403
    assert home.browser().post("/sign-in", {"password": "a new one, well away from peas"}).status_code == 303


def test_where_a_password_is_optional_the_link_leads_straight_in(ledger: Ledger, clock: FakeClock) -> None:
    home = Home.of(ledger, clock, door=Door.made(clock, password_optional=True))
    browser = home.browser()
    assert browser.post(home.door.path).headers["location"] == "/"
    assert browser.get("/settings/key/paper").status_code == 200, "nothing asks for a password that nobody set"


# --- the password -----------------------------------------------------------------------------------------------------


def test_the_right_password_begins_a_session_and_goes_on_to_the_page_that_was_asked_for(visitor: Browser) -> None:
    asked = visitor.get("/settings/tokens?all=yes")
    page = visitor.follow(asked)
    form = form_to(page, "/sign-in")
    answer = visitor.post("/sign-in", {**form.fields, "password": PASSWORD})
    assert (answer.status_code, answer.headers["location"]) == (303, "/settings/tokens?all=yes")
    assert is_in(visitor)


@pytest.mark.parametrize("typed", ["", "eleven tins of green pea", PASSWORD.upper(), f" {PASSWORD}", "x" * 100_000])
def test_a_wrong_password_begins_nothing_and_is_never_shown_again(visitor: Browser, typed: str) -> None:
    answer = visitor.post("/sign-in", {"password": typed, "next": "/settings"})
    assert answer.status_code == 403
    assert "This is not the password." in text_of(answer)
    assert form_to(answer, "/sign-in").fields == {
        "next": "/settings",
        "waiting": "",
        "username": "Slipsheet",
        "password": "",
    }
    assert visitor.secret is None


@pytest.mark.parametrize(
    "wanted",
    [
        *(
            "https://elsewhere.example/",
            "//elsewhere.example",
            "/\\elsewhere.example",
            "javascript:alert(1)",
            "settings",
        ),
        *("/a b", "/\nSet-Cookie: a=b", "/%0d", "", "/sign-out", "/sign-in?next=/", "/confirm", "/" + "a" * 3000),
    ],
)
def test_after_signing_in_nobody_is_led_away_from_this_server(visitor: Browser, wanted: str) -> None:
    answer = visitor.post("/sign-in", {"password": PASSWORD, "next": wanted})
    assert answer.headers["location"] in {"/", "/%0d"}


def test_a_composed_letter_is_the_same_however_it_was_typed(home: Home) -> None:
    home.set_password("caf\N{LATIN SMALL LETTER E WITH ACUTE} au lait, no sugar")
    typed = "cafe\N{COMBINING ACUTE ACCENT} au lait, no sugar"
    assert home.browser().post("/sign-in", {"password": typed}).status_code == 303


def test_a_password_hashed_with_older_settings_is_hashed_anew_when_it_is_given(visitor: Browser, home: Home) -> None:
    def kept() -> str:
        with home.accounts.store.read() as reader:
            person = reader.person("owner")
        assert person is not None
        assert person.password is not None
        return person.password

    assert kept().startswith("$argon2id$v=19$m=8,t=1,p=1$")
    before = kept()
    visitor.sign_in()
    assert kept() == before, "with today's settings it stays"
    stronger = Argon2Passwords(PasswordHasher(time_cost=2, memory_cost=16, parallelism=1))
    home.app.state.accounts = replace(home.accounts, passwords=stronger)
    home.browser().sign_in()
    assert kept().startswith("$argon2id$v=19$m=16,t=2,p=1$")
    home.browser().sign_in()


def test_a_password_that_is_no_hash_lets_nobody_in() -> None:
    passwords = Argon2Passwords(PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    assert not passwords.fits("plain text", "plain text")
    assert not passwords.fits(None, "anything")


def test_the_hash_is_the_one_recommended_where_memory_is_scarce() -> None:
    # RFC 9106 section 4: "the SECOND RECOMMENDED option is Argon2id with t=3 iterations, p=4 lanes, m=2^(16) (64 MiB of
    # RAM), 128-bit salt, and 256-bit tag size".
    kept = Argon2Passwords().hashed(PASSWORD)
    _, kind, version, settings, salt, tag = kept.split("$")
    assert (kind, version, settings) == ("argon2id", "v=19", "m=65536,t=3,p=4")
    assert (len(salt), len(tag)) == (22, 43), "16 and 32 bytes in base64 without padding"


def test_before_a_password_is_set_none_lets_in_and_the_page_says_how_to_come_in(home: Home) -> None:
    browser = home.browser()
    assert "No password was set yet." in text_of(browser.get("/sign-in"))
    assert browser.post("/sign-in", {"password": "None"}).status_code == 403
