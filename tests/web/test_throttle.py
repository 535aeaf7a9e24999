"""How often a password or a link may be tried, and that the right one is not hindered by it."""

import time
from dataclasses import dataclass

import pytest

from tests.web.browser import PASSWORD, Browser, Home, text_of
from web.refusals import TooManyTriesError
from web.throttle import Throttle


@dataclass
class Wall:
    """The clock on the wall, moved by hand."""

    now: float = 1_800_000_000.0

    def time(self) -> float:
        """As `time.time`."""
        return self.now


@pytest.fixture(autouse=True)
def wall(monkeypatch: pytest.MonkeyPatch) -> Wall:
    wall = Wall()
    monkeypatch.setattr(time, "time", wall.time)
    return wall


def wrong(browser: Browser) -> int:
    return browser.post("/sign-in", {"password": "not it"}).status_code


def test_after_ten_tries_in_ten_minutes_the_page_says_when_to_come_back(visitor: Browser, wall: Wall) -> None:
    for _ in range(10):
        assert wrong(visitor) == 403
        wall.now += 30
    answer = visitor.post("/sign-in", {"password": PASSWORD})
    assert answer.status_code == 429
    assert "That was tried too often. Try again in 6 minutes." in text_of(answer)
    assert 300 <= int(answer.headers["retry-after"]) <= 301
    assert visitor.secret is None
    wall.now += 302
    assert visitor.post("/sign-in", {"password": PASSWORD}).status_code == 303


def test_the_window_moves_along(visitor: Browser, wall: Wall) -> None:
    for _ in range(30):
        assert wrong(visitor) == 403
        wall.now += 61


def test_the_right_password_makes_earlier_tries_forgotten(visitor: Browser) -> None:
    for _ in range(9):
        wrong(visitor)
    visitor.sign_in()
    assert [wrong(visitor) for _ in range(10)] == [403] * 10
    assert wrong(visitor) == 429


def test_tries_from_elsewhere_do_not_keep_the_owner_out(visitor: Browser, home: Home) -> None:
    stranger = home.browser(address="192.0.2.7")
    for _ in range(11):
        wrong(stranger)
    assert wrong(stranger) == 429
    visitor.sign_in()


def test_many_addresses_are_no_way_round(home: Home, visitor: Browser) -> None:
    tried = [wrong(home.browser(address=f"192.0.2.{number}")) for number in range(101)]
    assert tried == [403] * 100 + [429]


def test_addresses_of_one_household_count_as_one() -> None:
    throttle = Throttle()
    for number in range(10):
        throttle.count("owner", f"2001:db8:1:2::{number:x}")
    with pytest.raises(TooManyTriesError):
        throttle.count("owner", "2001:db8:1:2:ffff::1")
    throttle.count("owner", "2001:db8:1:3::1")
    throttle.count("owner", "::ffff:192.0.2.1")
    throttle.count("owner", "not an address")


def test_the_link_cannot_be_guessed_at_either(home: Home) -> None:
    browser = home.browser()
    assert [browser.post("/sign-in/guess").status_code for _ in range(11)] == [410] * 10 + [429]
    assert browser.post(home.door.path).status_code == 429
    assert home.browser(address="192.0.2.7").post(home.door.path).status_code == 303


def test_whoever_took_over_a_session_cannot_guess_the_password_in_it(signed_in: Browser) -> None:
    sent = {"current_password": "not it", "new_password": "forty paper bags in a drawer"}
    assert [signed_in.post("/settings/password", sent).status_code for _ in range(11)] == [422] * 10 + [429]
    assert signed_in.post("/confirm", {"password": PASSWORD}).status_code == 429


@pytest.mark.parametrize(
    ("wait", "said"), [(1, "1 minute."), (60, "1 minute."), (61, "2 minutes."), (600, "10 minutes.")]
)
def test_the_wait_is_told_in_whole_minutes(wait: int, said: str) -> None:
    assert str(TooManyTriesError(wait=wait)).endswith(f"Try again in {said}")
