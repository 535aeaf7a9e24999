"""Upkeep says how safe the ledger is kept; a ledger behind its anchor is only read until its owner has confirmed that."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from ledger.bootstrap import open_ledger
from ledger.events.restored import Restored
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of
from tests.web.checks import buy
from tests.web.conftest import QUICK
from tests.web.markup import read_page
from tests.web.stories import OWNER
from web.pages.upkeep import PATH

CONFIRM = f"{PATH}/restored"


def answers(page_text: str) -> dict[str, str]:
    """What the page says of each thing, by its name."""
    facts = read_page(page_text).one("dl", class_="upkeep")
    return dict(zip((each.text for each in facts.all("dt")), (each.text for each in facts.all("dd")), strict=True))


@pytest.fixture
def behind(settings: Settings, clock: FakeClock, chance: FakeChance, tmp_path: Path) -> Iterator[Home]:
    """Pages of a ledger that was put back by hand from a copy two entries older than its anchor."""

    @contextmanager
    def opened() -> Iterator[Ledger]:
        with open_ledger(settings, clock=clock, chance=chance, collection=COLLECTION) as ledger:
            assert ledger.accounts is not None
            yield replace(ledger, accounts=replace(ledger.accounts, passwords=QUICK))

    with opened() as ledger:
        buy(ledger)
        Home.of(ledger, clock).set_password()
    shutil.copytree(settings.folder, tmp_path / "aside")
    with opened() as ledger:
        buy(ledger, 2)
        sign_checkpoint(ledger, OWNER)
    shutil.rmtree(settings.folder)
    shutil.copytree(tmp_path / "aside", settings.folder)
    with opened() as ledger:
        home = Home.of(ledger, clock)
        yield home
        home.app.state.works.stop()


def test_it_says_of_each_thing_how_it_stands(signed_in: Browser, ledger: Ledger) -> None:
    told = answers(signed_in.get(PATH).text)
    assert list(told) == ["Writing", "Signed", "Room", "Backup", "Drill", "Anchor"]
    assert told["Writing"] == "It can be written to."
    assert told["Signed"] == "No checkpoint was ever signed. Sign one on the page Check."
    assert told["Backup"] == "No backup is known of. Make one: slipsheet backup FOLDER."
    sign_checkpoint(ledger, OWNER)
    told = answers(signed_in.get(PATH).text)
    assert told["Signed"] == "The last checkpoint covers 1 of 1 entries."
    assert told["Anchor"] == "The checkpoint outside the data folder covers 1 of 1 entries."


def test_the_check_leads_to_it(signed_in: Browser) -> None:
    assert read_page(signed_in.get("/check").text).all("a", href=PATH)


def test_nobody_who_is_not_signed_in_sees_it(visitor: Browser) -> None:
    assert visitor.get(PATH).status_code == 303


def test_every_page_says_that_nothing_is_written_and_leads_to_the_way_on(behind: Home) -> None:
    browser = behind.browser().sign_in()
    for path in ("/wall", "/collection", "/ledger"):
        assert read_page(browser.get(path).text).all("a", href=PATH), path
    said = text_of(browser.get(PATH))
    assert "speaks of 4 entries, and 2 are here. 2 are missing." in said
    assert "Go on without the 2 entries that are missing" in said


def test_what_is_sent_meanwhile_is_refused_with_the_way_on(behind: Home) -> None:
    browser = behind.browser().sign_in()
    answer = browser.post("/purchase", {"issue.title": "Captain Lantern", "issue.number": "9"})
    assert answer.status_code == 409
    assert "Nothing is written for now" in text_of(answer)
    assert "under Upkeep" in text_of(answer)


def test_the_owner_confirms_with_the_password_and_the_ledger_goes_on(behind: Home, clock: FakeClock) -> None:
    browser = behind.browser().sign_in()
    clock.time += timedelta(hours=2)
    form = form_to(browser.get(PATH), CONFIRM)
    asked = browser.post(CONFIRM, {**form.fields, "remark": "the disk broke"})
    assert asked.status_code == 303, "the password is asked for again"
    page = browser.follow(asked)
    given = {**form_to(page, "/confirm").fields, "password": PASSWORD}
    back = browser.follow(browser.post("/confirm", given))
    done = browser.follow(browser.post(CONFIRM, form_to(back, CONFIRM).fields))
    assert "Entry 3 says that the ledger was put back. It is written to again." in text_of(done)
    ledger = behind.app.state.ledger
    with ledger.log.read() as reader:
        event = reader.entry(3).event
    assert isinstance(event, Restored)
    assert (event.missing, event.anchor_size, event.restored_size) == (2, 4, 2)
    assert event.remark.value == "the disk broke"
    record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
    assert not form_of_confirmation(browser)


def form_of_confirmation(browser: Browser) -> bool:
    """The page still asks for it."""
    return CONFIRM in browser.get(PATH).text


def test_a_confirmation_where_nothing_is_missing_is_refused(signed_in: Browser) -> None:
    answer = signed_in.post(CONFIRM, {})
    assert answer.status_code == 409
    assert "Nothing is missing at the end." in text_of(answer)
