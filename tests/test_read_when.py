"""Dates as people write them: read where they can only mean one day, refused with every reading where not."""

from contextlib import suppress
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.when import AmbiguousDateError, When, WhenError, read_when

TODAY = date(2026, 3, 10)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("1998-04-03", "1998-04-03"),
        ("3 Apr 1998", "1998-04-03"),
        ("  3rd of  April, 1998 ", "1998-04-03"),
        ("April 3, 1998", "1998-04-03"),
        ("1998 Apr 3", "1998-04-03"),
        ("3 apr '98", "1998-04-03"),
        ("April 1998", "1998-04"),
        ("Sept. 1987", "1987-09"),
        ("Apr 98", "1998-04"),
        ("in 1998", "1998"),
        ("'98", "1998"),
        ("the 1990s", "199X"),
        ("1990's", "199X"),
        ("199X", "199X"),
        ("4/1998", "1998-04"),
        ("1998/4/3", "1998-04-03"),
        ("25/4/98", "1998-04-25"),
        ("12-13-1998", "1998-12-13"),
        ("3 Apr 27", "1927-04-03"),
        ("3 Apr", "2025-04-03"),
        ("10 March", "2026-03-10"),
        ("29 Feb", "2024-02-29"),
        ("today", "2026-03-10"),
        ("Yesterday", "2026-03-09"),
        ("1998-1999", "1998/1999"),
        ("1998 to April 1999", "1998/1999-04"),
        ("between 3 Apr 1998 and 5 May 1998", "1998-04-03/1998-05-05"),
        ("1980s - 1991", "1980/1991"),
        ("2024-05-01T14:30:00+02:00", "2024-05-01T14:30:00+02:00"),
    ],
)
def test_a_date_is_read_as_people_write_it(text: str, read: str) -> None:
    assert str(read_when(text, today=TODAY)) == read


@pytest.mark.parametrize(
    ("text", "order", "read"),
    [
        ("3/4/98", "dmy", "1998-04-03"),
        ("3/4/98", "mdy", "1998-03-04"),
        ("01.02.03", "dmy", "2003-02-01"),
        ("01.02.03", "mdy", "2003-01-02"),
        ("01.02.03", "ymd", "2001-02-03"),
        ("3/4", "dmy", "2025-04-03"),
        ("3/4", "mdy", "2026-03-04"),
        ("1998/4/3", "dmy", "1998-04-03"),
        ("3/4/98 to 5/4/98", "dmy", "1998-04-03/1998-04-05"),
    ],
)
def test_numbers_are_read_in_the_order_that_was_stated(text: str, order: Any, read: str) -> None:
    assert str(read_when(text, order=order, today=TODAY)) == read


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("3/4/98", {"dmy": "1998-04-03", "mdy": "1998-03-04"}),
        ("01/02/03", {"dmy": "2003-02-01", "mdy": "2003-01-02", "ymd": "2001-02-03"}),
        ("3/4", {"dmy": "2025-04-03", "mdy": "2026-03-04"}),
        ("11/11/27", {"dmy": "1927-11-11", "ymd": "2011-11-27"}),
    ],
)
def test_numbers_that_mean_several_days_are_refused_with_every_reading(text: str, readings: dict[str, str]) -> None:
    with pytest.raises(AmbiguousDateError) as caught:
        read_when(text, today=TODAY)
    assert caught.value.readings == readings
    assert all(When(day).label() in str(caught.value) for day in readings.values())
    assert "state the order" in caught.value.mend


@pytest.mark.parametrize("text", ["", "soon", "about 1998", "Mai 1998", "31/2/1998", "30 Feb", "1/1/1", "98/99", "1 2 3 4",
                                  "April May 1998", "1998 to", "3 Apr 99999", "x" * 61])  # fmt: skip
def test_what_is_no_date_is_refused_with_examples(text: str) -> None:
    with pytest.raises(WhenError) as caught:
        read_when(text, today=TODAY)
    assert "3 April 1998" in caught.value.mend


@pytest.mark.parametrize(
    ("text", "order", "words"),
    [
        ("2024-04-31", None, "no day 31 in April 2024"),
        ("2024-05-01T14:30:00", None, "without its offset"),
        ("3/25/98", "dmy", "no date with the day first"),
        ("1999 to 1998", None, "earlier to a later"),
    ],
)
def test_a_refusal_says_what_is_wrong_where_that_is_known(text: str, order: Any, words: str) -> None:
    with pytest.raises(WhenError) as caught:
        read_when(text, order=order, today=TODAY)
    assert words in caught.value.problem


@given(
    st.one_of(
        st.dates(date(1800, 1, 1), date(2999, 12, 31)).map(When.of_day),
        st.dates(date(1800, 1, 1), date(2999, 12, 31)).map(lambda day: When(day.isoformat()[:7])),
        st.integers(1800, 2999).map(lambda year: When(str(year))),
        st.integers(180, 299).map(lambda decade: When(f"{decade}X")),
        st.sampled_from(["1998/1999-04", "1998-04-03/1998-05", "1998-04/1998-05-03"]).map(When),
    )
)
def test_the_label_of_a_date_is_read_back_as_that_date(when: When) -> None:
    assert read_when(when.label(), today=TODAY) == when


@given(
    st.text(max_size=65) | st.text("0123456789/-. 'aprilmysto", max_size=20),
    st.sampled_from([None, "dmy", "mdy", "ymd"]),
)
def test_no_text_makes_reading_a_date_fail_otherwise_than_by_a_refusal(text: str, order: Any) -> None:
    with suppress(WhenError):
        when = read_when(text, order=order, today=TODAY)
        assert When(str(when)) == when
