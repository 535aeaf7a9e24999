"""A phone is out: the owner ends it, it leaves, or all sessions end; and what the door book keeps of it."""

import logging

import pytest

from ledger.ports import Ledger
from ledger.usecases import sign_in
from ledger.usecases.doorbook import BOOK
from tests.fakes import FakeClock
from tests.web.browser import PASSWORD, Browser, Home, is_in, text_of
from tests.web.phones import NAME, NEAR, SETTINGS, ends, is_at_the_bench, joined, offered


@pytest.fixture
def home(ledger: Ledger, clock: FakeClock) -> Home:
    """Pages that a home network reaches."""
    return Home.of(ledger, clock, reach=NEAR)


def test_each_phone_is_listed_with_when_it_came_and_ends_at_once(signed_in: Browser, home: Home) -> None:
    first, second = joined(home, offered(signed_in)), joined(home, offered(signed_in, name="Other phone"))
    assert "Grey phone" in text_of(signed_in.get(SETTINGS))
    said = text_of(signed_in.follow(signed_in.post(ends(signed_in)[0])))
    assert f"{NAME} is out." in said
    assert [is_at_the_bench(each) for each in (first, second)] == [False, True]
    assert is_in(signed_in)


def test_all_of_them_end_together_and_the_open_code_with_them(signed_in: Browser, home: Home) -> None:
    phones = [joined(home, offered(signed_in)) for _ in range(3)]
    path = offered(signed_in)
    said = text_of(signed_in.follow(signed_in.post(f"{SETTINGS}/end")))
    assert "3 phones are out, and no code is open." in said
    assert [is_at_the_bench(each) for each in phones] == [False] * 3
    assert home.browser().post(path).status_code == 410
    assert is_in(signed_in)


def test_a_name_that_is_no_phones_ends_nothing(signed_in: Browser, home: Home) -> None:
    phone = joined(home, offered(signed_in))
    who = sign_in.signed_in(home.accounts, signed_in.secret or "")
    assert who is not None
    for name in (who.session.id, "0" * 16):
        assert signed_in.post(f"{SETTINGS}/{name}/end").status_code == 404
    assert is_in(signed_in)
    assert is_at_the_bench(phone)


def test_a_phone_leaves_by_itself_and_nobody_else_does(signed_in: Browser, home: Home) -> None:
    phone, other = joined(home, offered(signed_in)), joined(home, offered(signed_in))
    page = phone.follow(phone.post("/leave"))
    assert "This phone is out." in text_of(page)
    assert [is_at_the_bench(each) for each in (phone, other)] == [False, True]
    assert is_in(signed_in)
    assert signed_in.post("/leave").status_code == 303
    assert is_in(signed_in), "a session that can do all has another way out"


def test_signing_out_everywhere_and_a_new_password_end_phones_too(signed_in: Browser, home: Home) -> None:
    phone = joined(home, offered(signed_in))
    changed = {"current_password": PASSWORD, "new_password": "forty paper bags in a drawer"}
    assert signed_in.post("/settings/password", changed).status_code == 303
    assert not is_at_the_bench(phone)
    phone = joined(home, offered(signed_in))
    signed_in.post("/sign-out")
    assert not is_at_the_bench(phone)


# --- the door book ----------------------------------------------------------------------------------------------------


def test_the_door_book_notes_who_came_and_holds_no_code_and_no_name(
    signed_in: Browser, home: Home, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO, logger=BOOK):
        path = offered(signed_in)
        phone = joined(home, path)
        home.browser(address="192.0.2.99").post(path)
        signed_in.post(ends(signed_in)[0])
    noted = [(record.getMessage(), getattr(record, "facts", {})) for record in caplog.records if record.name == BOOK]
    assert [said for said, _ in noted] == [
        "offered to pair a phone",
        "paired a phone",
        "came with a pairing code that is not in force",
        "ended a paired phone",
    ]
    assert noted[1][1]["address"] == "192.0.2.30"
    assert noted[2][1]["address"] == "192.0.2.99"
    whole = repr(noted)
    assert NAME not in whole
    assert path.rpartition("/")[2] not in whole
    assert (phone.secret or "") not in whole
