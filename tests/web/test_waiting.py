"""A form that was sent when its sender had to sign in first: held, handed back filled in, and gone when it is done with."""

from datetime import timedelta
from pathlib import Path
from time import monotonic, sleep
from urllib.parse import parse_qs, urlsplit

import pytest
from httpx2 import Response

from ledger.accounts import WAITING_BYTES, WAITING_MOST
from ledger.bootstrap import OWNER
from ledger.events.erasure import Erasure
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases import waiting
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of

LONG_ENOUGH = 20.0
"""Seconds after which even a busy machine has scrubbed the log."""
FILLED = {"theme": "dark", "currency": "NOK", "date_order": "ymd", "marks": "1.234,50"}


def asked(answer: Response, name: str) -> str:
    """A value in the address that an answer leads to."""
    assert answer.status_code == 303, answer.text
    return parse_qs(urlsplit(answer.headers["location"]).query).get(name, [""])[0]


def how_many_wait(home: Home, forms: list[str]) -> int:
    return sum(waiting.waiting(home.accounts, form) is not None for form in forms)


@pytest.fixture
def signed_out(home: Home, signed_in: Browser) -> Browser:
    """A browser on the settings page, whose session was ended from another one."""
    signed_in.get("/settings")
    home.browser().sign_in().post("/sign-out")
    return signed_in


def sign_in_again(browser: Browser, answer: Response) -> Response:
    """The sign-in page that an answer leads to, gone through; where that leads in turn."""
    form = form_to(browser.follow(answer), "/sign-in")
    return browser.post("/sign-in", {**form.fields, "password": PASSWORD})


def test_what_was_typed_comes_back_after_signing_in(signed_out: Browser) -> None:
    answer = signed_out.post("/settings", FILLED)
    assert urlsplit(answer.headers["location"]).path == "/sign-in"
    page = signed_out.follow(answer)
    assert "What you typed is held here for an hour" in text_of(page)
    form = form_to(page, "/sign-in")
    back = signed_out.post("/sign-in", {**form.fields, "password": PASSWORD})
    assert urlsplit(back.headers["location"]).path == "/settings"
    again = form_to(signed_out.follow(back), "/settings")
    assert again.fields == {**FILLED, "waiting": asked(answer, "waiting")}


def test_it_is_gone_once_it_was_taken(signed_out: Browser, home: Home) -> None:
    answer = signed_out.post("/settings", FILLED)
    page = signed_out.follow(sign_in_again(signed_out, answer))
    form = asked(answer, "waiting")
    assert how_many_wait(home, [form]) == 1, "signing in and looking at it take nothing"
    assert signed_out.post("/settings", {**form_to(page, "/settings").fields, "currency": "XXX"}).status_code == 422
    assert how_many_wait(home, [form]) == 1, "it was refused, so it still waits"
    assert signed_out.post("/settings", form_to(page, "/settings").fields).status_code == 303
    assert how_many_wait(home, [form]) == 0
    assert form_to(signed_out.get("/settings"), "/settings").fields == {**FILLED, "waiting": ""}


def test_a_page_that_forgot_the_hidden_field_lets_go_of_it_as_well(signed_out: Browser, home: Home) -> None:
    answer = signed_out.post("/settings", FILLED)
    signed_out.follow(sign_in_again(signed_out, answer))
    assert signed_out.post("/settings", FILLED).status_code == 303
    assert how_many_wait(home, [asked(answer, "waiting")]) == 0


def test_what_is_sent_to_another_address_takes_nothing(signed_out: Browser, home: Home) -> None:
    answer = signed_out.post("/settings", FILLED)
    signed_out.follow(sign_in_again(signed_out, answer))
    signed_out.post("/sign-out", {"waiting": asked(answer, "waiting")})
    assert how_many_wait(home, [asked(answer, "waiting")]) == 1


def test_a_session_that_ends_twice_loses_nothing(signed_out: Browser, home: Home) -> None:
    first = signed_out.post("/settings", FILLED)
    page = signed_out.follow(sign_in_again(signed_out, first))
    home.browser().sign_in().post("/sign-out")
    second = signed_out.post("/settings", form_to(page, "/settings").fields)
    again = signed_out.follow(sign_in_again(signed_out, second))
    assert form_to(again, "/settings").fields == {**FILLED, "waiting": asked(second, "waiting")}


def test_after_an_hour_it_is_gone(signed_out: Browser, home: Home) -> None:
    answer = signed_out.post("/settings", FILLED)
    home.clock.time += timedelta(minutes=59)
    assert how_many_wait(home, [asked(answer, "waiting")]) == 1
    home.clock.time += timedelta(minutes=1)
    page = signed_out.follow(answer)
    assert "What you typed is held" not in text_of(page)
    back = signed_out.post("/sign-in", {**form_to(page, "/sign-in").fields, "password": PASSWORD})
    assert back.headers["location"] == "/"
    assert (
        form_to(signed_out.get(f"/settings?waiting={asked(answer, 'waiting')}"), "/settings").fields["currency"] == ""
    )


def test_only_the_newest_twenty_wait(signed_out: Browser, home: Home) -> None:
    browsers = [home.browser(address=f"192.0.2.{number}") for number in range(WAITING_MOST + 3)]
    forms = [asked(browser.post("/settings", {"theme": "dark"}), "waiting") for browser in browsers]
    assert how_many_wait(home, forms[:3]) == 0
    assert how_many_wait(home, forms[3:]) == WAITING_MOST == 20


def test_what_is_too_long_to_be_held_stays_on_its_page_and_the_answer_says_so(signed_out: Browser, home: Home) -> None:
    assert asked(signed_out.post("/settings", {"theme": "x" * (WAITING_BYTES - 5)}), "waiting")
    answer = signed_out.post("/settings", {"theme": "x" * (WAITING_BYTES - 4)})
    assert answer.status_code == 403
    assert "too long to be held here" in text_of(answer)


def test_passwords_and_files_are_not_held(signed_out: Browser, home: Home) -> None:
    files = {"photograph": ("front.jpg", b"\xff\xd8 a picture")}
    held = signed_out.upload("/settings", {"theme": "dark", "new_password": "never", "client_secret": "never"}, files)
    form = waiting.waiting(home.accounts, asked(held, "waiting"))
    assert form is not None
    assert form.fields == (("theme", "dark"),)
    answer = signed_out.post(
        "/settings/password", {"current_password": PASSWORD, "new_password": "another one, longer"}
    )
    assert asked(answer, "waiting") == ""
    assert asked(answer, "next") == "/settings"


def test_every_value_of_a_name_is_held_in_its_order(signed_out: Browser, home: Home) -> None:
    answer = signed_out.post(
        "/settings/tokens", {"label": "shelf\r\nscanner", "permissions": ["read", "record"], "x": ""}
    )
    form = waiting.waiting(home.accounts, asked(answer, "waiting"))
    assert form is not None
    assert form.action == "/settings/tokens"
    assert form.fields == (("label", "shelf\nscanner"), ("permissions", "read"), ("permissions", "record"), ("x", ""))


@pytest.mark.parametrize(
    ("referer", "back"),
    [
        ("http://localhost:8450/settings/tokens?all=yes&waiting=old", "/settings/tokens?all=yes"),
        ("http://localhost:8450/nowhere", "/settings"),
        ("http://localhost:8450/sign-in?next=/settings/key", "/settings"),
        ("https://elsewhere.example/settings/tokens", "/settings"),
        ("http://[::1", "/settings"),
        ("", "/settings"),
    ],
)
def test_the_way_back_leads_to_the_page_the_form_stood_on(
    signed_out: Browser, home: Home, referer: str, back: str
) -> None:
    answer = signed_out.post("/settings?waiting=old", FILLED, Referer=referer)
    form = waiting.waiting(home.accounts, asked(answer, "waiting"))
    assert form is not None
    assert form.back == back


def test_a_button_without_fields_leads_back_to_its_page(signed_out: Browser) -> None:
    signed_out.page = "/settings/tokens"
    answer = signed_out.post("/settings/tokens/1/end")
    assert answer.headers["location"] == "/sign-in?next=%2Fsettings%2Ftokens"
    signed_out.page = ""
    assert signed_out.post("/settings/tokens/1/end").headers["location"] == "/sign-in?next=%2F"


def test_another_site_makes_nothing_wait(signed_out: Browser) -> None:
    answer = signed_out.post("/settings", FILLED, Origin="https://elsewhere.example", Sec_Fetch_Site="cross-site")
    assert answer.status_code == 403


def test_a_form_waits_for_those_who_are_signed_in_only(signed_out: Browser, home: Home) -> None:
    answer = signed_out.post("/settings", {"currency": "NOK", "theme": "dark"})
    page = signed_out.follow(answer)
    assert "NOK" not in page.text
    assert signed_out.get(f"/settings?waiting={asked(answer, 'waiting')}").status_code == 303


def test_nothing_of_it_stays_on_the_disk_once_it_was_taken(signed_out: Browser, settings: Settings) -> None:
    typed = "a remark that nobody else should read"
    answer = signed_out.post("/settings", {**FILLED, "remark": typed})

    def stays() -> bool:
        files = [path.read_bytes() for path in Path(settings.folder).iterdir() if path.is_file()]
        return any(typed.encode() in data for data in files)

    assert stays()
    signed_out.follow(sign_in_again(signed_out, answer))
    assert signed_out.post("/settings", FILLED).status_code == 303
    # The answer comes when it is taken; the log behind it is scrubbed right after.
    end = monotonic() + LONG_ENOUGH
    while stays() and monotonic() < end:
        sleep(0.01)
    assert not stays()


def test_one_address_cannot_crowd_out_what_others_have_waiting(signed_out: Browser, home: Home) -> None:
    form = asked(signed_out.post("/settings", FILLED), "waiting")
    stranger = home.browser(address="192.0.2.7")
    answers = [stranger.post("/settings", {"theme": "dark"}) for _ in range(WAITING_MOST + 1)]
    assert [answer.status_code for answer in answers] == [303] * 15 + [429] * 6
    assert int(answers[-1].headers["retry-after"]) > 0
    assert how_many_wait(home, [form]) == 1


def test_an_erasure_lets_go_of_all_that_waits(signed_out: Browser, home: Home, ledger: Ledger) -> None:
    event = a_purchase(seller=Sealed.of("Somebody at the fair"))
    made = record(ledger, OWNER, [Draft(event=event, new_book=True)]).entries[0]
    form = asked(signed_out.post("/settings", {**FILLED, "seller": "Somebody at the fair"}), "waiting")
    record(ledger, OWNER, [Draft(event=Erasure(entry=made.seq, names=("seller",)), book=made.book)])
    assert how_many_wait(home, [form]) == 0


# --- the password again -----------------------------------------------------------------------------------------------


def test_an_act_that_asks_for_the_password_again_is_held_and_goes_on_after_it(signed_in: Browser, home: Home) -> None:
    signed_in.get("/settings/tokens")
    home.clock.time += timedelta(minutes=11)
    sent = {"label": "shelf scanner", "permissions": ["read", "record"], "days": "30"}
    answer = signed_in.post("/settings/tokens", sent)
    assert urlsplit(answer.headers["location"]).path == "/confirm"
    page = signed_in.follow(answer)
    assert "ask for it again" in text_of(page)
    form = form_to(page, "/confirm")
    assert signed_in.post("/confirm", {**form.fields, "password": "not it"}).status_code == 403
    back = signed_in.post("/confirm", {**form.fields, "password": PASSWORD})
    again = form_to(signed_in.follow(back), "/settings/tokens")
    assert {name: again.fields[name] for name in sent} == sent
    done = signed_in.post("/settings/tokens", again.fields)
    assert done.status_code == 201
    assert "shelf scanner is made" in text_of(done)


def test_the_password_counts_for_ten_minutes(signed_in: Browser, home: Home) -> None:
    assert signed_in.get("/settings/key/paper").status_code == 200
    home.clock.time += timedelta(minutes=9)
    assert signed_in.get("/settings/key/paper").status_code == 200
    home.clock.time += timedelta(minutes=1)
    answer = signed_in.get("/settings/key/paper")
    assert answer.headers["location"] == "/confirm?next=%2Fsettings%2Fkey%2Fpaper"
    before = signed_in.secret
    form = form_to(signed_in.follow(answer), "/confirm")
    back = signed_in.post("/confirm", {**form.fields, "password": PASSWORD})
    assert back.headers["location"] == "/settings/key/paper"
    assert signed_in.secret != before
    assert signed_in.follow(back).status_code == 200


def test_where_no_password_is_set_one_is_asked_for_first(home: Home) -> None:
    browser = home.browser()
    browser.post(home.door.path)
    answer = browser.get("/settings/key/paper")
    assert answer.headers["location"] == "/settings/password?next=%2Fsettings%2Fkey%2Fpaper"
    form = form_to(browser.follow(answer), "/settings/password")
    back = browser.post("/settings/password", {**form.fields, "new_password": PASSWORD})
    assert back.headers["location"] == "/settings/key/paper"
    assert browser.follow(back).status_code == 200
