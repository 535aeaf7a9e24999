"""The day it is where the program runs: every bare day is of that one calendar, whatever day it is in UTC."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from ledger.adapters.clock import SystemClock
from ledger.events.disclosure import Disclosure
from ledger.importing.begun import Options
from ledger.usecases.choose import Wish, preview
from ledger.usecases.disclose import issue
from ledger.usecases.insurance import schedule
from ledger.usecases.light import light_of_book
from ledger.usecases.look import look_at
from ledger.usecases.rates import RateSaid, keep_rates
from seeds.fixed import StoryClock
from tests.fakes import EastClock
from tests.usecases.houses import House, a_house
from tests.usecases.telling import OWNER
from tests.zones import EAST_MOST, WEST_MOST, in_zone

HERE = "2026-01-01"
"""The day it is there by the clock of these tests; in UTC it is the day before."""


@pytest.fixture
def east(tmp_path: Path) -> Iterator[House]:
    with a_house(tmp_path, EastClock()) as house:
        yield house


def test_the_clock_is_a_day_ahead_of_utc() -> None:
    assert (EastClock().now().date(), EastClock().today()) == (date(2025, 12, 31), date.fromisoformat(HERE))


@pytest.mark.parametrize(("zone", "ahead"), [(EAST_MOST, 14), (WEST_MOST, -12), ("UTC0", 0)])
def test_today_is_the_day_in_the_zone_of_the_machine(zone: str, ahead: int) -> None:
    place = timezone(timedelta(hours=ahead))
    before = datetime.now(place).date()
    with in_zone(zone):
        found = SystemClock().today()
    assert before <= found <= datetime.now(place).date()


def test_the_story_tells_the_same_day_wherever_it_is_told() -> None:
    with in_zone(EAST_MOST):
        assert StoryClock().today() == date(2022, 10, 8)


def test_a_record_is_made_on_that_day(east: House) -> None:
    book = east.worked_book()
    issue(east.ledger, OWNER, book, Wish())
    last = max(look_at(east.ledger, OWNER, book).moments, key=lambda each: each.entry.seq)
    assert isinstance(last.event, Disclosure)
    assert str(last.event.on) == HERE


def test_a_record_says_the_day_on_which_its_entry_is_dated(east: House) -> None:
    assert preview(east.ledger, OWNER, east.worked_book(), Wish()).made == date.fromisoformat(HERE)


def test_the_schedule_is_as_of_that_day(east: House) -> None:
    assert schedule(east.ledger, OWNER, "EUR").on == date.fromisoformat(HERE)


def test_light_is_counted_until_that_day(east: House) -> None:
    found = light_of_book(east.ledger, OWNER, east.worked_book())
    assert found.light.until == date.fromisoformat(HERE)


def test_a_rate_of_today_is_of_that_day(east: House) -> None:
    said = RateSaid(of="EUR", into="USD", on="today", rate="1.1", source="a bank")
    assert str(keep_rates(east.ledger, OWNER, [said])[0].on) == HERE


def test_a_table_is_read_by_that_day() -> None:
    assert str(Options().ways(EastClock().today()).day) == HERE
