"""The calendar's page and its address: made, renewed, ended; and what it never tells."""

from datetime import date, timedelta
from typing import Any

import pytest
from httpx2 import Response
from icalendar import Calendar

from ledger.bench import Load, Step
from ledger.events.choice import Choice, Next
from ledger.money import Money
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.bench import put_in, stop
from tests.builders import a_defect, a_purchase, an_examination, an_intervention
from tests.fakes import FakeClock
from tests.web.browser import Browser, Home, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER, Shelf

PAGE = "/settings/calendar"
PRESS = Step(values={"technique": "cold-press", "settings.total_minutes": "720"})


@pytest.fixture
def book(ledger: Ledger) -> str:
    return Shelf(ledger).takes(a_purchase(), an_examination())


@pytest.fixture
def load(ledger: Ledger, book: str) -> Load:
    return put_in(ledger, OWNER, [book], PRESS)


def events_of(data: bytes) -> list[Any]:
    """What the library reads in a calendar."""
    return list(Calendar.from_ical(data).walk("VEVENT"))


def made(browser: Browser, **said: str) -> str:
    """The path of a new address, as the page shows it this once."""
    browser.get(PAGE)
    answer = browser.post(PAGE, {"titles": "out", **said})
    assert answer.status_code == 201
    address = read_page(answer.text).all(id="secret")[0].text
    assert address.startswith("http://localhost:8450/calendar/")
    return address.removeprefix("http://localhost:8450")


def told(answer: Response) -> list[str]:
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    return [str(each["summary"]) for each in events_of(answer.content)]


def of_bench(answer: Response) -> tuple[list[str], Any]:
    """What the bench asks for, and the entry of it; every book is also to be counted and looked at one day."""
    events = [
        each for each in events_of(answer.content) if not str(each["summary"]).startswith(("Count: ", "Look at: "))
    ]
    assert len(events) == 1
    return [str(each["summary"]) for each in events], events[0]


def test_anybody_with_the_address_reads_when_a_load_comes_out(home: Home, signed_in: Browser, load: Load) -> None:
    path = made(signed_in)
    answer = home.browser().get(path)
    assert sorted(told(answer)) == ["Comes out: Cold press, one book", "Count: one book", "Look at: one book"]
    _, event = of_bench(answer)
    assert event["dtstart"].dt == (load.started + timedelta(hours=12)).replace(microsecond=0)


def test_what_came_out_and_was_not_told_is_a_reminder(
    home: Home, signed_in: Browser, load: Load, ledger: Ledger
) -> None:
    path = made(signed_in)
    stop(ledger, OWNER, load.id)
    assert of_bench(home.browser().get(path))[0] == ["Write down what was done: Cold press, one book"]


def test_a_book_is_to_be_looked_at_again_a_week_after_its_last_work(
    home: Home, signed_in: Browser, ledger: Ledger
) -> None:
    Shelf(ledger).takes(
        a_purchase(),
        an_examination(defects=(a_defect(),)),
        an_intervention("hot-press-dry", "2025-12-20"),
        Choice(next=Next.GO_ON),
    )
    answer = home.browser().get(made(signed_in))
    said, event = of_bench(answer)
    assert said == ["Look again after the rest: one book"]
    assert event["dtstart"].dt == date(2025, 12, 27)


def test_titles_stand_in_it_only_where_the_owner_wants_them(
    home: Home, signed_in: Browser, ledger: Ledger, load: Load
) -> None:
    with ledger.log.read() as reader:
        title = reader.book(load.books[0]).title
    assert title not in home.browser().get(made(signed_in)).text
    assert title in told(home.browser().get(made(signed_in, titles="in")))[0]


def test_no_place_no_sum_no_person_and_no_remark_stands_in_it(home: Home, signed_in: Browser, ledger: Ledger) -> None:
    spoken: dict[str, Any] = {name: Sealed.of(f"canary {name}") for name in ("seller", "venue", "reason")}
    price = Sealed.of(Money(424242, "EUR", 2))
    look = an_examination(examiner=Sealed.of("canary examiner"), remark=Sealed.of("canary remark"))
    book = Shelf(ledger).takes(a_purchase(price=price, **spoken), look)
    put_in(ledger, OWNER, [book], PRESS)
    text = home.browser().get(made(signed_in, titles="in")).text
    assert "Cold press" in text
    assert not [each for each in ("canary", "4242", book) if each in text]


def test_a_new_address_ends_the_old_one_and_ending_it_ends_all(home: Home, signed_in: Browser, load: Load) -> None:
    first, second = made(signed_in), made(signed_in)
    reader = home.browser()
    assert (reader.get(first).status_code, reader.get(second).status_code) == (404, 200)
    said = text_of(signed_in.follow(signed_in.post(f"{PAGE}/end")))
    assert "no longer in force" in said
    assert reader.get(second).status_code == 404
    assert "No address is in force." in text_of(signed_in.get(PAGE))


def test_a_wrong_address_says_nothing_and_is_counted(home: Home, signed_in: Browser) -> None:
    path = made(signed_in)
    reader = home.browser(address="203.0.113.9")
    answers = [reader.get(f"/calendar/{'x' * 43}.ics").status_code for _ in range(11)]
    assert answers == [404] * 10 + [429]
    assert reader.get(path).status_code == 200


def test_what_has_not_changed_is_not_sent_again(home: Home, signed_in: Browser, load: Load, ledger: Ledger) -> None:
    path = made(signed_in)
    client = home.browser().client
    tag = client.get(path).headers["etag"]
    assert client.get(path, headers={"If-None-Match": tag}).status_code == 304
    stop(ledger, OWNER, load.id)
    assert client.get(path, headers={"If-None-Match": tag}).status_code == 200


def test_the_secret_is_kept_nowhere(signed_in: Browser, ledger: Ledger) -> None:
    secret = made(signed_in).removeprefix("/calendar/").removesuffix(".ics")
    assert ledger.bench is not None
    with ledger.bench.read() as reader:
        feed = reader.feed()
    assert feed is not None
    assert secret not in repr(feed)
    assert secret not in signed_in.get(PAGE).text


def test_a_moment_later_the_clock_changes_no_byte(home: Home, signed_in: Browser, load: Load, clock: FakeClock) -> None:
    path = made(signed_in)
    before = home.browser().get(path).content
    clock.time += timedelta(hours=1)
    assert home.browser().get(path).content == before
