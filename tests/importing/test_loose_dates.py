"""Dates that no form takes are read as a stretch of time that they truly lie in, and no word of them is lost."""

from contextlib import suppress
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.importing.becomes import events_of
from ledger.importing.reading import ASK_ORDER
from ledger.when import When, WhenError, read_when
from tests.importing.test_reading import TODAY, problems, read


def as_read(text: str, field: str = "on", **ways: Any) -> tuple[str | None, str | None]:
    """What a date was read as, in its strict spelling, and the note that came of it."""
    found = read(f"title|number|{field}", f"A B|1|{text}", **ways)
    assert not found.problems, found.problems
    return str(found.read[field]) if field in found.read else None, found.read.get("note")


@pytest.mark.parametrize(
    ("text", "spelt"),
    [
        ("98", "1998"),
        ("'98", "1998"),
        ("00", "2000"),
        ("90s", "199X"),
        ("'90s", "199X"),
        ("the nineties", "199X"),
        ("199?", "199X"),
        ("199x", "199X"),
        ("19??", "1900/1999"),
        ("1998-99", "1998/1999"),
        ("1998/99", "1998/1999"),
        ("98-99", "1998/1999"),
        ("1997 to 98", "1997/1998"),
        ("4/98", "1998-04"),
        ("11-62", "1962-11"),
        ("12/00", "2000-12"),
        ("(1998)", "1998"),
        ("1998-??", "1998"),
        ("00/00/1998", "1998"),
        ("1998-04-00", "1998-04"),
        ("70s/80s", "1970/1989"),
        ("Dec/Jan 1962-63", "1962-12/1963-01"),
        ("3 March 1998 (Tues)", "1998-03-03"),
        ("bought in 1998", "1998"),
        ("19980403", "1998-04-03"),
        ("1998-04-03 00:00:00", "1998-04-03"),
        ("4/25/98 12:00 AM", "1998-04-25"),
        ("Fri 3 Apr 1998", "1998-04-03"),
        ("Friday, April 3, 1998", "1998-04-03"),
        ("Q3 1998", "1998-07/1998-09"),
        ("3rd quarter 98", "1998-07/1998-09"),
        ("1998 Q1", "1998-01/1998-03"),
        ("Nov/Dec 1962", "1962-11/1962-12"),
        ("Sept.-Oct. '62", "1962-09/1962-10"),
        ("November - December 1962", "1962-11/1962-12"),
        ("Dec 1962/Jan 1963", "1962-12/1963-01"),
    ],
)
def test_a_date_that_says_no_more_than_what_is_held_needs_no_note(text: str, spelt: str) -> None:
    assert as_read(text) == (spelt, None)


@pytest.mark.parametrize(
    ("text", "spelt"),
    [
        ("c. 1998", "1997/1999"),
        ("ca 1998", "1997/1999"),
        ("circa 1998", "1997/1999"),
        ("c1998", "1997/1999"),
        ("about 1998", "1997/1999"),
        ("~1998", "1997/1999"),
        ("1998?", "1997/1999"),
        ("1998 (?)", "1997/1999"),
        ("1998-ish", "1997/1999"),
        ("probably April 1998", "1998-03/1998-05"),
        ("around 3 January 1998", "1997-12/1998-02"),
        ("c. 1990s", "1989/2000"),
        ("about 1998-1999", "1997/2000"),
        ("c. 1800", "1800/1801"),
        ("1998 or 1999", "1998/1999"),
        ("Spring 1998", "1998"),
        ("Summer 98", "1998"),
        ("summer of \u201998", "1998"),
        ("Summer 03", "2003"),
        ("Spring/Summer 1998", "1998"),
        ("1998, Fall", "1998"),
        ("Winter 1998", "1997-12/1999-02"),
        ("Winter 1998/99", "1998/1999"),
        ("early 1998", "1998"),
        ("mid-1998", "1998"),
        ("the end of 1998", "1998"),
        ("first half of 1998", "1998"),
        ("early to mid 90s", "199X"),
        ("late April 1998", "1998-04"),
        ("late summer 1998", "1998"),
        ("early 1998 to mid 1999", "1998/1999"),
        ("Christmas 1998", "1998-12"),
        ("Xmas '98", "1998-12"),
        ("Easter 1998", "1998-03/1998-05"),
        ("my birthday 1998", "1998"),
        ("1998-04-03 14:30", "1998-04-03"),
        ("1998-04-03T14:30:00", "1998-04-03"),
        ("Friday April 1998", "1998-04"),
    ],
)
def test_a_date_that_says_more_is_read_wider_and_its_words_are_in_the_note(text: str, spelt: str) -> None:
    assert as_read(text) == (spelt, f"Bought on, as written: {text}")


def test_the_words_become_a_note_of_the_book_and_stand_behind_a_note_that_is_there() -> None:
    row = read("title|number|on|cover_date|note", "A B|1|c. 1998|1962?|A gift to keep")
    purchase, note = events_of(row, When.of_day(TODAY))

    assert str(purchase.on) == "1997/1999"
    assert row.shown["note"] == "A gift to keep (Bought on, as written: c. 1998; Cover date, as written: 1962?)"
    assert note.sealed_fields()["words"].value == row.shown["note"]


def test_about_a_year_does_not_reach_into_what_is_to_come() -> None:
    assert as_read("c. 2026") == ("2025/2026", "Bought on, as written: c. 2026")
    assert as_read("about March 2026") == ("2026-02/2026-03", "Bought on, as written: about March 2026")
    assert as_read("c. 2026", "cover_date")[0] == "2025/2027"


def test_a_winter_on_a_cover_is_of_the_year_that_is_printed() -> None:
    assert as_read("Winter 1962", "cover_date") == ("1962", "Cover date, as written: Winter 1962")


@pytest.mark.parametrize("text", ["n.d.", "no date", "Undated"])
def test_what_says_that_it_has_no_date_is_nothing_known(text: str) -> None:
    assert as_read(text) == (None, None)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("03", "may be a year, a month or a day. Write a year with its four digits, like 2003"),
        ("12", "like 2012"),
        ("before 1998", "Write between which years"),
        ("1998+", "Write between which years"),
        ("after 1998", "Write between which years"),
        ("Dec/Jan 1963", "Write both years"),
        ("Mon 3 Apr 1998", "3 April 1998 was a Friday"),
        ("Christmas 2026", "still to come"),
        ("summer", "cannot be read as a date"),
        ("c. Mai 1998", "'c. Mai 1998' cannot be read as a date"),
        ("about", "cannot be read"),
        ("5", "cannot be read"),
        ("lately", "cannot be read"),
        ("1998-13", "no month 13"),
    ],
)
def test_what_leaves_more_than_one_way_open_is_refused_with_its_mend(text: str, says: str) -> None:
    assert says in problems(read("title|number|on", f"A B|1|{text}"))["on"]


@pytest.mark.parametrize("text", ["c. 3/4/98", "3/4/98 2:30 PM", "03041998"])
def test_the_order_of_numbers_is_asked_for_here_too(text: str) -> None:
    assert problems(read("title|number|on", f"A B|1|{text}")) == {"on": ASK_ORDER}
    assert as_read(text, order="dmy")[0] in ("1998-03/1998-05", "1998-04-03")


@pytest.mark.parametrize("day", range(1, 8))
def test_the_day_of_the_week_agrees_with_the_calendar(day: int) -> None:
    written = date(1998, 4, day).strftime("%A %d %B %Y")

    assert as_read(written) == (f"1998-04-{day:02}", None)


def test_forms_take_no_such_dates_for_they_have_no_place_for_the_words() -> None:
    for text in ("c. 1998", "Spring 1998", "98", "1998?"):
        with pytest.raises(WhenError):
            read_when(text, today=TODAY)


@given(
    st.text(max_size=65)
    | st.lists(
        st.sampled_from(["about", "c.", "early", "1998", "98", "?", "spring", "or", "/", "(", "Nov", "3", "q1"])
    ).map(" ".join)
)
def test_whatever_is_written_is_read_or_a_problem_and_never_fails(text: str) -> None:
    found = read("title|number|on", f"A B|1|{text.replace('|', ' ')}")

    when = found.read.get("on")
    with suppress(KeyError):
        assert when is None or When(str(when)) == when
    assert when is None or not found.problems


@pytest.mark.parametrize("text", ["1999/00", "1999-00"])
def test_a_year_that_may_run_into_the_next_century_is_never_cut_short(text: str) -> None:
    assert as_read(text) == ("1999/2000", f"Bought on, as written: {text}")


@pytest.mark.parametrize("text", ["annual 12", "birthday 40", "my birthday 40"])
def test_what_may_count_a_feast_is_never_taken_for_a_year(text: str) -> None:
    assert problems(read("title|number|on", f"A B|1|{text}"))
    assert as_read("annual 1963", "cover_date")[0] == as_read("annual '63", "cover_date")[0] == "1963"


@pytest.mark.parametrize("text", ["5-Jun", "Jun 5", "2 Feb", "3.4.", "5/6", "today", "yesterday"])
def test_a_day_without_a_year_is_none_of_this_year(text: str) -> None:
    assert "does not say which year" in problems(read("title|number|on", f"A B|1|{text}", order="dmy"))["on"]
    assert "on" in problems(read("title|number|on", f"A B|1|{text}"))


@pytest.mark.parametrize(
    ("text", "year"),
    [("98", 1998), ("3/4/26", 2026), ("25/4/25", 2025), ("June 98", 1998), ("Xmas 99", 1999), ("70s", 1970)],
)
def test_two_digits_are_a_year(text: str, year: int) -> None:
    found = read("title|number|on", f"A B|1|{text}", order="mdy")

    assert not found.problems
    assert found.read["on"].earliest_day.year == year
