"""Readings: what is typed is shown as it will be read, in one sentence, and only to somebody who is signed in."""

import pytest

from ledger.ports import Ledger
from ledger.usecases.preferences import choose, preferences_from
from ledger.usecases.sign_in import enter, signed_in
from tests.builders import a_purchase, an_issue
from tests.web.browser import Browser, Home
from tests.web.typed import written

FAKE_TODAY_YEAR = 2026
"""The year of the tests' clock."""


def prefer(home: Home, **chosen: str) -> None:
    who = signed_in(home.accounts, enter(home.accounts))
    assert who is not None
    blank = {"theme": "system", "currency": "", "date_order": "", "marks": ""}
    choose(home.accounts, who, preferences_from({**blank, **chosen}))


def said(browser: Browser, query: str) -> tuple[str, bool]:
    answer = browser.get(f"/readings?{query}", Accept="application/json")
    assert answer.status_code == 200, answer.text
    assert answer.headers["cache-control"] == "no-store"
    return answer.json()["sentence"], answer.json()["read"]


def test_an_amount_is_read_in_the_home_currency(home: Home, signed_in: Browser) -> None:
    prefer(home, currency="EUR")
    assert said(signed_in, "kind=money&text=1%20250.5") == ("1,250.50\N{NO-BREAK SPACE}EUR", True)
    assert said(signed_in, "kind=money&text=40%20USD") == ("40.00\N{NO-BREAK SPACE}USD", True)


def test_an_amount_that_cannot_be_read_says_what_would_be_right(signed_in: Browser) -> None:
    sentence, is_read = said(signed_in, "kind=money&text=forty")
    assert not is_read
    assert sentence == "'forty' cannot be read as an amount. Write it like 1250.00 USD."


def test_a_doubt_names_the_ways_it_could_be_meant(home: Home, signed_in: Browser) -> None:
    prefer(home, currency="KWD")
    sentence, is_read = said(signed_in, "kind=money&text=1,250")
    assert not is_read
    assert "1,250.000\N{NO-BREAK SPACE}KWD, with marks as in 1,234.50, or 1.250\N{NO-BREAK SPACE}KWD" in sentence
    prefer(home, currency="KWD", marks="1.234,50")
    assert said(signed_in, "kind=money&text=1,250") == ("1.250\N{NO-BREAK SPACE}KWD", True)


def test_a_date_is_read_in_the_order_the_person_chose(home: Home, signed_in: Browser) -> None:
    assert said(signed_in, "kind=date&text=3/4/98")[0] == (
        "This could be Friday 3 April 1998, or Wednesday 4 March 1998. You will be asked which."
    )
    prefer(home, date_order="mdy")
    assert said(signed_in, "kind=date&text=3/4/98") == ("Wednesday 4 March 1998", True)
    assert said(signed_in, "kind=date&text=1990s") == ("1990s", True)


def test_a_day_without_a_year_is_the_last_that_came(home: Home, signed_in: Browser) -> None:
    assert home.clock.now().year == FAKE_TODAY_YEAR
    assert said(signed_in, "kind=date&text=3%20Apr") == ("Thursday 3 April 2025", True)


def test_a_grade_as_written_is_read_as_its_steps(signed_in: Browser) -> None:
    assert said(signed_in, "kind=grade&text=VF%20to%20NM") == ("Steps 8.0 to 9.4", True)
    assert said(signed_in, "kind=grade&text=lovely") == ("", True)


def test_a_title_tells_what_the_collection_has_of_it(ledger: Ledger, signed_in: Browser) -> None:
    issue = an_issue(title="Captain Lantern", number="11", start_year=1962, publisher="Harbour Street Press")
    for number in ("11", "7"):
        written(ledger, a_purchase(issue=an_issue(**{**vars(issue), "number": number})))
    assert said(signed_in, "kind=title&text=captain%20lantern") == (
        "Captain Lantern (1962), Harbour Street Press. You own 7 and 11.",
        True,
    )
    assert said(signed_in, "kind=title&text=lantern")[0] == "No series of that name yet. You have Captain Lantern."
    assert said(signed_in, "kind=title&text=Quiet%20Harbour")[0] == "A series new to this collection."


def test_a_number_tells_whether_it_would_be_another_copy(ledger: Ledger, signed_in: Browser) -> None:
    issue = an_issue(title="Captain Lantern", number="7")
    written(ledger, a_purchase(issue=issue))
    query = "kind=number&issue.title=Captain%20Lantern&text="
    assert said(signed_in, f"{query}7")[0] == "This would be your second copy of 7."
    written(ledger, a_purchase(issue=issue))
    assert said(signed_in, f"{query}7")[0] == "This would be your third copy of 7."
    assert said(signed_in, f"{query}8")[0] == "You do not own this number yet."
    assert said(signed_in, "kind=number&issue.title=Quiet%20Harbour&text=8")[0] == ""


@pytest.mark.parametrize("kind", ["money", "date", "grade", "title", "number"])
def test_nothing_typed_has_no_reading(signed_in: Browser, kind: str) -> None:
    assert said(signed_in, f"kind={kind}&text=%20") == ("", True)


def test_another_kind_of_reading_is_refused(signed_in: Browser) -> None:
    assert signed_in.get("/readings?kind=weather&text=fair").status_code == 400


@pytest.mark.parametrize("kind", ["money", "date", "title", "number"])
def test_nothing_is_read_into_what_is_too_long_for_its_field(signed_in: Browser, kind: str) -> None:
    assert said(signed_in, f"kind={kind}&text={'x' * 300}") == ("", False)
    assert said(signed_in, f"kind={kind}&text=12&issue.title={'x' * 300}") == ("", False)


def test_nobody_reads_before_signing_in(visitor: Browser) -> None:
    answer = visitor.get("/readings?kind=title&text=Captain")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")
