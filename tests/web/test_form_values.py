"""Values as people write them: measures, amounts and dates are taken leniently, and a doubt is asked back."""

import pytest

from tests.web.test_forms import problems_of, typed
from tests.web.typed import HABITS
from web.form_values import Habits, amount_read, date_read
from web.forms import form_of


@pytest.mark.parametrize(
    ("text", "read"), [("12.5", "12.5"), ("12,5", "12.5"), ("12.5 mm", "12.5"), (" 7 ", "7"), ("257", "257")]
)
def test_a_measure_is_taken_as_people_write_it(text: str, read: str) -> None:
    plain, heard = form_of("examination").heard(typed(height_mm=text), HABITS)
    assert plain["height_mm"] == read
    assert heard.problems == []


@pytest.mark.parametrize("text", ["1,250", "1 250", "12.", "-3", "1.2345", "9999999", "1e3"])
def test_a_measure_that_could_be_another_is_asked_again(text: str) -> None:
    assert set(problems_of("examination", typed(height_mm=text))) == {"height_mm"}


def test_an_amount_is_in_the_currency_it_names_or_else_in_the_persons_own() -> None:
    at_home = Habits(today=HABITS.today, currency="EUR")
    assert amount_read("1,250.00", at_home).said == "1,250.00\N{NO-BREAK SPACE}EUR"
    assert amount_read("USD 40", at_home).plain == {"minor": 4000, "currency": "USD", "exponent": 2}
    assert amount_read("1,250", Habits(today=HABITS.today, currency="JPY")).said == "1,250\N{NO-BREAK SPACE}JPY"
    assert amount_read("40", HABITS).fault.startswith("This names no currency.")
    assert "does not say which currency" in amount_read("$40", HABITS).fault


def test_marks_that_leave_a_doubt_are_asked_back_and_the_answer_counts_for_these_words_only() -> None:
    home = Habits(today=HABITS.today, currency="KWD")
    asked = amount_read("1,250", home)
    assert asked.fault == "This can be read in more than one way. Choose what you mean, or write it otherwise."
    assert [value for value, _ in asked.choices] == ["1,234.50 1,250", "1.234,50 1,250"]
    chosen = amount_read("1,250", home, "1.234,50 1,250")
    assert (chosen.plain, chosen.fault) == ({"minor": 1250, "currency": "KWD", "exponent": 3}, "")
    assert chosen.habit == ("marks", "1.234,50")
    assert amount_read("2,250", home, "1.234,50 1,250").fault == asked.fault
    habit = Habits(today=HABITS.today, currency="KWD", marks="1,234.50")
    assert amount_read("1,250", habit).plain == {"minor": 1250000, "currency": "KWD", "exponent": 3}
    assert amount_read("12.500", habit).plain == {"minor": 12500, "currency": "KWD", "exponent": 3}


def test_numbers_that_are_several_dates_are_asked_back_and_a_habit_decides() -> None:
    asked = date_read("3/4/98", HABITS)
    assert asked.choices == (("dmy 3/4/98", "Friday 3 April 1998"), ("mdy 3/4/98", "Wednesday 4 March 1998"))
    assert date_read("3/4/98", HABITS, "mdy 3/4/98").plain == "1998-03-04"
    assert date_read("3/4/98", HABITS, "mdy 3/4/98").habit == ("date_order", "mdy")
    habit = Habits(today=HABITS.today, date_order="mdy")
    assert date_read("3/4/98", habit).plain == "1998-03-04"
    assert date_read("13/4/98", habit).plain == "1998-04-13", "there is no month 13, so there is no doubt"


@pytest.mark.parametrize(
    ("text", "days", "month"), [("31 Apr 2026", 30, "April 2026"), ("30 Feb 2024", 29, "February 2024")]
)
def test_a_day_that_its_month_does_not_have_is_told_with_the_days_it_has(text: str, days: int, month: str) -> None:
    words = f"{month} has {days} days. Write a day up to {days}, or only {month} if you do not know the day."
    assert date_read(text, HABITS).fault == words


def test_both_marks_together_leave_nothing_to_ask() -> None:
    home = Habits(today=HABITS.today, currency="EUR", marks="1,234.50")
    read = amount_read("1.250,00", home)
    assert (read.fault, read.choices) == ("", ())
    assert read.plain == {"minor": 125000, "currency": "EUR", "exponent": 2}
