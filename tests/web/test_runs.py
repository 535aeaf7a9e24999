"""The pages of runs and wants, and the list as one file that fetches nothing."""

import re
from base64 import b64encode
from hashlib import sha256

import pytest
from httpx2 import Response

from ledger.ports import Ledger
from ledger.runs import run_key
from ledger.usecases.wants import look_at_wants
from tests.fakes import FakeClock
from tests.web.browser import Browser, Home, form_to, text_of
from tests.web.markup import read_page
from tests.web.phones import NEAR, joined, offered
from tests.web.shelves import buy
from tests.web.stories import OWNER

RUN = f"/runs/{run_key('Amber <Anchor>', 1952)}"
SAID = {"first": "1", "last": "6", "never": "4", "also": "1/2, Annual 1"}
WANT = {
    "title": "Amber <Anchor>",
    "number": "5",
    "start_year": "1952",
    "least": "6.0",
    "most": "40 EUR",
    "note": "its poster",
}


@pytest.fixture
def books(ledger: Ledger) -> list[str]:
    numbers = ("1", "3", "3", "12")
    return [buy(ledger, title="Amber <Anchor>", start_year=1952, number=number) for number in numbers]


def send(browser: Browser, at: str, action: str, said: dict[str, str]) -> Response:
    return browser.post(action, {**form_to(browser.get(at), action).fields, **said})


def wanted(browser: Browser, **changes: str) -> Response:
    return send(browser, "/wants", "/wants", {**WANT, **changes})


def test_every_series_is_in_the_list_and_leads_to_its_run(signed_in: Browser, books: list[str]) -> None:
    page = read_page(signed_in.get("/runs").text)
    assert [each.text for each in page.all("a", href=RUN)] == ["Amber <Anchor>"]
    assert "not said which there are" in page.text
    assert "3 numbers are owned." in text_of(signed_in.get(RUN))


def test_without_a_book_the_page_says_what_starts_it(signed_in: Browser) -> None:
    assert "There is no series yet." in text_of(signed_in.get("/runs"))
    assert signed_in.get("/runs/nothing-x-00000000").status_code == 404


def test_once_its_numbers_are_said_a_run_shows_what_is_missing(signed_in: Browser, books: list[str]) -> None:
    page = read_page(signed_in.follow(send(signed_in, RUN, RUN, SAID)).text)
    assert page.one("section", id="missing").one("p").text == "1/2, 2, 5-6, Annual 1"
    assert "2 of 7 numbers. One is double." in page.text
    rows = [line.one("th").text for line in page.one("section", id="owned").all("tr")[1:] if line.all("td")]
    assert rows[:2] == ["1", "3"]
    assert "Not among the numbers that are said to exist" in rows[2]
    assert page.all("a", href=f"/books/{books[1]}")
    form = form_to(signed_in.get(RUN), RUN).fields
    assert {name: form[name] for name in SAID} == SAID
    assert "5 numbers" in text_of(signed_in.get("/runs"))
    off = signed_in.post(f"{RUN}/off", {})
    assert "no longer said" in text_of(signed_in.follow(off))


def test_a_run_of_which_nothing_is_owned_is_kept(signed_in: Browser, books: list[str]) -> None:
    said = {"title": "Copper Comet", "start_year": "1960", "first": "1", "last": "3"}
    page = signed_in.follow(send(signed_in, "/runs", "/runs", said))
    assert "0 of 3 numbers." in text_of(page)
    assert "1-3" in text_of(page)


def test_what_cannot_be_read_stands_at_its_field(signed_in: Browser, books: list[str]) -> None:
    answer = send(signed_in, RUN, RUN, {**SAID, "last": "many"})
    assert answer.status_code == 422
    assert read_page(answer.text).all("p", id="last-fault")
    assert form_to(answer, RUN).fields["also"] == SAID["also"]
    new = send(signed_in, "/runs", "/runs", {"title": "", "first": "9", "last": "1"})
    assert {each for each in ("title", "last") if read_page(new.text).all("p", id=f"{each}-fault")}
    want = wanted(signed_in, most="dear", number="")
    assert want.status_code == 422
    page = read_page(want.text)
    assert page.all("p", id="most-fault")
    assert page.all("p", id="number-fault")


def test_a_want_is_kept_changed_met_and_taken_away(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    page = text_of(signed_in.follow(wanted(signed_in)))
    assert "One copy is looked for." in page
    assert "6.0 or better" in page
    assert "40.00 EUR" in page or "40.00" in page
    (want,) = look_at_wants(ledger, OWNER).wants
    change = f"/wants?change={want.id}"
    fields = form_to(signed_in.get(change), f"/wants/{want.id}").fields
    assert {name: fields[name] for name in ("title", "number", "start_year", "least", "note")} == {
        name: WANT[name] for name in ("title", "number", "start_year", "least", "note")
    }
    signed_in.post(f"/wants/{want.id}", {**fields, "number": "3", "least": ""})
    met = read_page(signed_in.get("/wants").text).one("section", id="met")
    assert met.all("a", href=f"/books/{books[1]}")
    signed_in.post(f"/wants/{want.id}/off", {})
    assert look_at_wants(ledger, OWNER).wants == ()
    assert signed_in.get(change).status_code == 404


def test_the_list_is_one_file_that_fetches_sends_and_runs_nothing(signed_in: Browser, books: list[str]) -> None:
    send(signed_in, RUN, RUN, SAID)
    wanted(signed_in)
    answer = signed_in.get("/wants/list.html")
    assert answer.headers["content-disposition"].startswith('attachment; filename="wants-')
    page, style = answer.text, re.search(r"<style>(.*?)</style>", answer.text, re.DOTALL)
    assert style is not None
    digest = b64encode(sha256(style[1].encode()).digest()).decode()
    policy = read_page(page).one("meta", **{"http-equiv": "Content-Security-Policy"}).attrs["content"]
    assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert not re.search(r"<(script|link|img|iframe|form|a|object|base)\b|\bsrc=|\bhref=|\bon\w+=|url\(|@import", page)
    assert "Amber &lt;Anchor&gt; 5 (1952)" in page
    assert "6.0 or better; most to pay: 40.00" in page
    assert "1/2, 2, 6, Annual 1" in page


def test_in_the_file_each_copy_and_each_number_has_a_tick_of_its_own_and_none_stands_twice(
    signed_in: Browser, books: list[str]
) -> None:
    send(signed_in, RUN, RUN, SAID)
    wanted(signed_in)
    wanted(signed_in, start_year="", note="a second copy")
    wanted(signed_in, title="Another", number="2", note="")
    ticks = [each.text for each in read_page(signed_in.get("/wants/list.html").text).all("label")]
    assert sorted(ticks[:3]) == ["Amber <Anchor> 5", "Amber <Anchor> 5 (1952)", "Another 2 (1952)"]
    assert ticks[3:] == ["1/2", "2", "6", "Annual 1"]


def test_an_empty_list_says_so(signed_in: Browser) -> None:
    assert "Nothing is looked for." in signed_in.get("/wants/list.html").text


def test_a_phone_reads_both_and_changes_neither(
    signed_in: Browser, ledger: Ledger, clock: FakeClock, books: list[str]
) -> None:
    wanted(signed_in)
    home = Home.of(ledger, clock, reach=NEAR)
    phone = joined(home, offered(home.browser().sign_in()))
    for path in ("/runs", RUN, "/wants", "/wants/list.html"):
        answer = phone.get(path)
        assert answer.status_code == 200, path
        assert 'method="post" action="/wants' not in answer.text
    assert phone.post("/wants", WANT).status_code == 403
    assert phone.post("/runs", {**SAID, "title": "x"}).status_code == 403
