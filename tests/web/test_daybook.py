"""The day book: every entry, newest first, by the days of writing; narrowed by kind and by time."""

import re
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from httpx2 import Response

from ledger.events import KINDS, Event, Lane
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.store.engine import DATABASE
from ledger.usecases.record import Draft, Recorded, record
from tests.builders import a_purchase, an_examination, an_intervention, an_issue
from tests.fakes import FakeClock
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import OWNER
from web.pages import daybook
from web.render import PART


def written(ledger: Ledger, *drafts: Draft, on: str | None = None) -> Recorded:
    """These, together, on that day at noon."""
    if on is not None:
        assert isinstance(ledger.clock, FakeClock)
        ledger.clock.time = datetime.fromisoformat(on).replace(hour=12, tzinfo=UTC) - timedelta(seconds=1)
    return record(ledger, OWNER, drafts)


def a_note(words: str = "kept flat") -> Draft:
    return Draft(event=Note(words=Sealed.of(words)))


def bought(ledger: Ledger, when: str | None = "2024-02-01", *, on: str | None = None, **issue: object) -> str:
    """The id of a new book."""
    event = a_purchase(when, issue=an_issue(**issue))
    book = written(ledger, Draft(event=event, new_book=True), on=on).entries[0].book
    assert book is not None
    return book


def later(ledger: Ledger, book: str, event: Event, *, on: str | None = None) -> None:
    written(ledger, Draft(event=event, book=book), on=on)


def look(browser: Browser, path: str) -> Response:
    """The page, after signing in anew: a session does not last as long as these tests move the clock on."""
    return browser.sign_in().get(path)


def rows(page: Response) -> list[Element]:
    """Every entry's row."""
    table = read_page(page.text).all("table", class_="daybook")
    return [each for body in table[0].all("tbody") for each in body.all("tr")] if table else []


def seqs(page: Response) -> list[int]:
    return [int(each.all("td")[0].text.replace(",", "")) for each in rows(page)]


# --- what stands in it --------------------------------------------------------------------------------------------------


def test_the_newest_entry_stands_first_and_each_day_is_named_once(signed_in: Browser, ledger: Ledger) -> None:
    bought(ledger, on="2026-05-04")
    written(ledger, a_note(), on="2026-05-04")
    written(ledger, a_note(), on="2026-05-05")
    page = look(signed_in, "/ledger")
    assert seqs(page) == [4, 3, 2, 1]
    days = read_page(page.text).all("th", class_="day")
    assert [day.text for day in days] == ["5 May 2026 Tuesday", "4 May 2026 Monday", "2 January 2026 Friday"]
    assert [day.attrs["rowspan"] for day in days] == ["1", "2", "1"]


def test_a_row_says_what_it_is_of_what_it_says_and_leads_to_its_book_and_its_bytes(
    signed_in: Browser, ledger: Ledger
) -> None:
    book = bought(ledger, title="The Tin Orchard", number="7", on="2026-05-04")
    row = rows(look(signed_in, "/ledger"))[0]
    with ledger.log.read() as reader:
        entry = reader.entry(2)
    assert row.one("a", href=f"/books/{book}").text == "The Tin Orchard 7"
    assert row.one("td", class_="what").text == entry.event.summary()
    leaf = row.one("a", href="/ledger/2")
    assert (leaf.text, leaf.attrs["title"]) == (f"{entry.leaf[:4]} {entry.leaf[4:8]}", entry.leaf)
    assert row.one("time").attrs["datetime"] == "2026-05-04T12:00:00+00:00"
    assert row.one("time").text == "12:00"


def test_no_sealed_value_stands_in_it(signed_in: Browser, ledger: Ledger) -> None:
    written(ledger, a_note("heron on the roof"))
    event = a_purchase(seller=Sealed.of("Nana Quill"))
    written(ledger, Draft(event=event, new_book=True))
    assert not re.search("heron|Quill", look(signed_in, "/ledger").text)


@pytest.mark.parametrize(
    ("happened", "said"),
    [
        ("2026-05-04", ""),
        ("2026-05-03", "3 May 2026"),
        ("2026-05", "May 2026"),
        ("199X", "1990s"),
        ("2026-05-04T08:00:00+02:00", ""),
        (None, "not known"),
    ],
)
def test_when_it_happened_is_told_where_it_was_not_the_day_of_writing(
    signed_in: Browser, ledger: Ledger, happened: str | None, said: str
) -> None:
    bought(ledger, happened, on="2026-05-04")
    assert rows(look(signed_in, "/ledger"))[0].one("td", class_="happened").text == said


def test_entries_written_together_say_so_and_lead_to_each_other(signed_in: Browser, ledger: Ledger) -> None:
    drafts = [Draft(event=a_purchase(), new_book=True) for _ in range(3)]
    act = written(ledger, *drafts).act
    written(ledger, a_note())
    page = look(signed_in, "/ledger")
    links = [each.attrs["href"] for row in rows(page) for each in row.all("a", class_="line")]
    assert links == [f"/ledger?act={act}"] * 3
    assert text_of(page).count("one of 3 written together") == 3
    together = look(signed_in, links[0])
    assert seqs(together) == [4, 3, 2]
    assert "3 entries were written together." in text_of(together)


def test_an_entry_of_the_collection_itself_names_no_book(signed_in: Browser) -> None:
    row = rows(look(signed_in, "/ledger"))[0]
    assert row.one("td", class_="of").text == "the collection itself"
    assert row.one("td", class_="what").text


def test_an_entry_that_cannot_be_read_keeps_its_place_and_leads_to_the_check(
    signed_in: Browser, ledger: Ledger, settings: Settings
) -> None:
    bought(ledger)
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as connection:
        connection.execute("DROP TRIGGER entry_update")
        connection.execute("UPDATE entry SET bytes = x'7b' WHERE seq = 2")
        connection.commit()
    page = look(signed_in, "/ledger")
    assert seqs(page) == [2, 1]
    what = rows(page)[0].one("td", class_="what")
    assert "This entry cannot be read." in what.text
    assert what.one("a", href="/check").text == "Check the ledger"


# --- narrowed -----------------------------------------------------------------------------------------------------------


def test_kinds_stand_under_their_lanes_and_none_is_left_out(signed_in: Browser) -> None:
    select = read_page(look(signed_in, "/ledger").text).one("select", id="kind")
    groups = {each.attrs["label"]: each.all("option") for each in select.all("optgroup")}
    assert len(groups) == len(Lane)
    values = [option.attrs["value"] for options in groups.values() for option in options]
    assert sorted(value for value in values if not value.startswith(daybook.ALL)) == sorted(KINDS)
    assert [options[0].attrs["value"] for options in groups.values()] == [f"all-{lane.value}" for lane in Lane]


def test_it_is_narrowed_to_a_kind_or_to_all_kinds_of_a_lane(signed_in: Browser, ledger: Ledger) -> None:
    book = bought(ledger)
    later(ledger, book, an_examination())
    later(ledger, book, an_intervention())
    written(ledger, a_note())
    assert seqs(look(signed_in, "/ledger?kind=examination")) == [3]
    assert seqs(look(signed_in, "/ledger?kind=all-work")) == [4]
    page = look(signed_in, "/ledger?kind=all-custody")
    assert seqs(page) == [2]
    chosen = read_page(page.text).one("select", id="kind").all("option", selected="")
    assert [each.attrs["value"] for each in chosen] == ["all-custody"]


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("first=2026-05-05", [4, 3]),
        ("last=May 2026", [3, 2, 1]),
        ("first=5 May 2026&last=5 May 2026", [3]),
        ("by=happened&first=1998&last=1998", [3, 2]),
        ("by=happened&first=1999", [3]),
        ("by=happened&last=1990s", [4, 3, 2]),
        ("by=happened&first=1900&kind=note", [4]),
        ("first=2031", []),
    ],
)
def test_it_is_narrowed_to_days_of_writing_or_of_happening(
    signed_in: Browser, ledger: Ledger, query: str, expected: list[int]
) -> None:
    bought(ledger, "1998-07", on="2026-05-04")
    bought(ledger, "199X", on="2026-05-05")
    note = Note(on=a_purchase("1901").on, words=Sealed.of("kept flat"))
    written(ledger, Draft(event=note), on="2026-06-01")
    page = look(signed_in, f"/ledger?{query}")
    assert seqs(page) == expected
    assert ("No entry is like that." in text_of(page)) is (expected == [])


def test_the_reading_of_a_date_is_shown_and_what_was_typed_stays(signed_in: Browser) -> None:
    page = read_page(look(signed_in, "/ledger?first=3 Apr 2024&last=1999").text)
    assert page.one("output", id="first-reading").text == "3 April 2024"
    assert page.one("output", id="last-reading").text == "1999"
    assert page.one("input", id="first").attrs["value"] == "3 Apr 2024"


def test_numbers_that_may_be_two_days_are_asked_about_unless_the_person_chose_an_order(
    signed_in: Browser, ledger: Ledger
) -> None:
    bought(ledger)
    page = look(signed_in, "/ledger?first=3/4/2024")
    fault = read_page(page.text).one("p", id="first-fault").text
    assert fault.startswith("'3/4/2024' can be read in more than one way")
    assert seqs(page) == []
    assert "The list waits until it is clear what you mean." in text_of(page)
    signed_in.post("/settings", {"theme": "system", "currency": "", "date_order": "dmy", "marks": ""})
    page = look(signed_in, "/ledger?first=3/4/2024")
    assert read_page(page.text).one("output", id="first-reading").text == "3 April 2024"
    assert seqs(page) == [2, 1]


@pytest.mark.parametrize(
    ("query", "field"), [("kind=tea", "kind"), ("kind=all-tea", "kind"), ("by=tea", "by"), ("last=tea", "last")]
)
def test_what_there_is_not_is_said_at_its_field(signed_in: Browser, query: str, field: str) -> None:
    page = look(signed_in, f"/ledger?{query}")
    assert page.status_code == 200
    assert read_page(page.text).one("p", id=f"{field}-fault").text
    assert seqs(page) == []


def test_a_script_gets_the_list_alone_and_is_told_what_could_not_be_read(signed_in: Browser, ledger: Ledger) -> None:
    bought(ledger)
    part = signed_in.get("/ledger?kind=purchase", **{PART: "rows"}).text
    assert "<html" not in part
    assert 'data-said="One entry on this page."' in part
    assert "no such kind of entry" in signed_in.get("/ledger?kind=tea", **{PART: "rows"}).text


# --- page by page -------------------------------------------------------------------------------------------------------


def test_a_long_list_goes_on_with_the_same_choice_and_leads_back_to_its_start(
    signed_in: Browser, ledger: Ledger
) -> None:
    for _ in range(2):
        written(ledger, *(Draft(event=a_purchase(), new_book=True) for _ in range(35)))
    first = look(signed_in, "/ledger?kind=purchase&by=happened&first=2024")
    assert seqs(first) == list(range(71, 11, -1))
    onward = read_page(first.text).one("a", rel="next").attrs["href"]
    second = look(signed_in, onward)
    assert seqs(second) == list(range(11, 1, -1))
    back = read_page(second.text).one("nav", class_="pager").all("a")
    assert [each.attrs["href"] for each in back] == ["/ledger?kind=purchase&by=happened&first=2024"]


@pytest.mark.parametrize(("after", "status"), [("-1", 400), ("x", 400), ("9" * 23, 200)])
def test_a_cursor_that_nobody_gave_out_breaks_nothing(signed_in: Browser, after: str, status: int) -> None:
    assert look(signed_in, f"/ledger?after={after}").status_code == status


def test_nobody_else_reads_it(visitor: Browser) -> None:
    answer = visitor.get("/ledger")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")
