"""A row is read leniently, shown as it was read, and every problem stands at its field."""

from datetime import date
from typing import Any

import pytest
from openpyxl.utils.datetime import from_excel

from ledger.events._parts import OpinionOf
from ledger.importing.reading import ASK_CURRENCY, ASK_MARKS, ASK_ORDER, RowRead, RowReader, Ways
from ledger.importing.tables import MERGED
from ledger.spreadsheet_cells import cell

TODAY = date(2026, 3, 4)


def read(fields: str, row: str, mends: dict[str, str] | None = None, **ways: Any) -> RowRead:
    return RowReader(fields.split("|"), Ways(day=TODAY, **ways)).read(7, row.split("|"), mends)


def problems(found: RowRead) -> dict[str, str]:
    return {each.field: each.rule or each.sentence for each in found.problems}


def test_a_row_is_read_and_shown_as_it_was_read() -> None:
    found = read(
        "title|number|grade|price|on|holding|place", "Amber Anchor|#14|VF/NM|12,50|1998|raw|Box 3", currency="EUR"
    )

    assert not found.problems
    assert found.shown == {
        "title": "Amber Anchor",
        "number": "14",
        "grade": "VF/NM (9.0)",
        "price": "12.50 EUR",
        "on": "1998",
        "holding": "raw",
        "place": "Box 3",
    }


def test_a_date_of_three_numbers_is_asked_for_and_not_guessed() -> None:
    assert problems(read("title|number|on", "A B|1|3/4/98")) == {"on": ASK_ORDER}
    assert read("title|number|on", "A B|1|3/4/98", order="dmy").shown["on"] == "3 April 1998"
    assert read("title|number|on", "A B|1|3/4/98", order="mdy").shown["on"] == "4 March 1998"


def test_a_date_that_can_be_meant_in_one_way_is_read_so_whatever_the_order() -> None:
    assert read("title|number|on", "A B|1|25/4/98", order="mdy").shown["on"] == "25 April 1998"


@pytest.mark.parametrize("text", ["35886", "35886.0", "35886.75"])
def test_a_day_as_spreadsheets_count_it_is_read_and_shown_as_a_day(text: str) -> None:
    # What another library makes of the same count.
    assert from_excel(35886).date() == date(1998, 4, 1)
    assert read("title|number|on", f"A B|1|{text}").shown["on"] == "1 April 1998"


def test_a_count_that_is_no_day_yet_is_a_problem() -> None:
    assert "still to come" in problems(read("title|number|on", "A B|1|59999"))["on"]
    assert "on" in problems(read("title|number|on", "A B|1|19999"))


@pytest.mark.parametrize("text", ["#N/A", "#REF!", "#div/0!", "#FORMULA! =B2"])
def test_a_fault_of_the_spreadsheet_is_no_title(text: str) -> None:
    assert problems(read("title|number|note", f"{text}|1|x")) == {
        "title": f"'{text}' is a fault in the spreadsheet. Write what it should say."
    }


@pytest.mark.parametrize("text", ["=Harbor+Lamp", "'tis", "@ sea", "-12 below", "Harbor Lamp", "'Tin' Comet"])
def test_a_text_that_was_written_safely_for_spreadsheets_is_read_unchanged(text: str) -> None:
    assert read("title|number", f"{cell(text)}|1").read["title"] == text


def test_an_apostrophe_before_anything_else_stays() -> None:
    assert read("title|number", "'Tis the Comet|1").read["title"] == "'Tis the Comet"


def test_marks_are_asked_for_only_where_thousands_and_decimals_could_be_taken_for_each_other() -> None:
    assert problems(read("title|number|price", "A B|1|1,250", currency="USD")) == {"price": ASK_MARKS}
    assert read("title|number|price", "A B|1|1,250", currency="USD", marks="1.234,50").problems
    assert read("title|number|price", "A B|1|1,250", currency="USD", marks="1,234.50").shown["price"] == "1250.00 USD"
    assert read("title|number|price", "A B|1|12,50", currency="USD", marks="1,234.50").shown["price"] == "12.50 USD"


def test_a_currency_comes_from_the_row_the_amount_or_the_file_in_this_order() -> None:
    assert read("title|number|price|currency", "A B|1|5|gbp", currency="USD").shown["price"] == "5.00 GBP"
    assert read("title|number|price", "A B|1|CAD 5", currency="USD").shown["price"] == "5.00 CAD"
    assert read("title|number|price", "A B|1|$5", currency="USD").shown["price"] == "5.00 USD"
    assert problems(read("title|number|price", "A B|1|$5")) == {"price": ASK_CURRENCY}


def test_a_sign_of_one_currency_alone_names_it() -> None:
    assert read("title|number|price", "A B|1|\u20ac5", currency="USD").shown["price"] == "5.00 EUR"


def test_a_currency_that_is_none_is_told_at_its_own_field() -> None:
    assert "currency" in problems(read("title|number|price|currency", "A B|1|5|XQQ"))


@pytest.mark.parametrize("text", ["", "-", "n/a", "?", "unknown", "  "])
def test_what_says_that_nothing_is_known_is_nothing_known(text: str) -> None:
    found = read("title|number|price|on|grade", f"A B|1|{text}|{text}|{text}")

    assert not found.problems
    assert set(found.shown) == {"title", "number"}


@pytest.mark.parametrize(
    ("text", "title", "number"),
    [
        ("Amber Anchor #14", "Amber Anchor", "14"),
        ("Amber Anchor 14", "Amber Anchor", "14"),
        ("Amber Anchor no. 1/2", "Amber Anchor", "1/2"),
        ("Amber Anchor, #7B", "Amber Anchor", "7B"),
    ],
)
def test_a_title_with_its_number_is_taken_apart(text: str, title: str, number: str) -> None:
    shown = read("title_number", text).shown

    assert (shown["title"], shown["number"]) == (title, number)


def test_the_year_behind_a_title_is_when_its_series_began() -> None:
    assert read("title_number", "Amber Anchor (1962) #14").shown == {
        "title": "Amber Anchor",
        "number": "14",
        "start_year": "1962",
    }


def test_a_book_needs_a_title_and_a_number() -> None:
    assert set(problems(read("title|number", "|"))) == {"title", "number"}
    assert set(problems(read("title_number", "Amber Anchor"))) == {"number"}


def test_a_grade_that_is_none_and_one_that_says_two_things_are_told() -> None:
    assert "no grade" in problems(read("title|number|grade", "A B|1|lovely"))["grade"]
    assert "at once" in problems(read("title|number|grade", "A B|1|VF 9.4"))["grade"]


def test_a_range_of_grades_is_every_step_between() -> None:
    assert read("title|number|grade", "A B|1|8-9").shown["grade"] == "8-9 (8.0 to 9.0)"


def test_a_holder_number_makes_it_slabbed_and_its_grade_a_service_s() -> None:
    found = read("title|number|grade|holder_number", "A B|1|9.2|7788")

    assert found.shown["holding"] == "slabbed"
    assert found.read["grade"].opinion_of is OpinionOf.SERVICE


def test_a_day_to_come_is_refused() -> None:
    assert "still to come" in problems(read("title|number|on", "A B|1|5 May 2031"))["on"]


def test_a_number_from_a_spreadsheet_loses_its_empty_decimals() -> None:
    assert read("title|number|start_year", "A B|14.0|1962.0").shown["number"] == "14"


def test_a_text_too_long_and_one_that_cannot_be_shown_are_told() -> None:
    assert "characters" in problems(read("title|number|place", f"A B|1|{'x' * 41}"))["place"]
    assert "cannot be shown" in problems(read("title|number|seller", "A B|1|a\x07b"))["seller"]


def test_a_mend_takes_the_place_of_what_stood_in_the_row() -> None:
    found = read("title|number|price", "A B|1|lots", {"price": "12 USD", "grade": "9.2", "nothing": "x"})

    assert not found.problems
    assert found.shown["price"] == "12.00 USD"
    assert found.shown["grade"] == "9.2"
    assert "nothing" not in found.said


def test_text_stays_text_whatever_sign_it_begins_with() -> None:
    assert read("title|number|note", "A B|1|=1+1").shown["note"] == "=1+1"


def test_the_same_text_is_read_once_and_given_again_also_where_it_is_wrong() -> None:
    reader = RowReader(("title", "number", "price"), Ways(day=TODAY, currency="USD"))

    first, second = (reader.read(number, ("A B", "1", "lots")) for number in (1, 2))

    assert first.problems == second.problems
    assert [each.field for each in first.problems] == ["price"]


def test_an_amount_over_several_rows_is_not_counted_for_each_of_them() -> None:
    found = read("title|number|price|start_year", f"A B|1|{MERGED}30|{MERGED}1962", currency="USD")

    assert "Write how much of it is of this book" in problems(found)["price"]
    assert found.shown["start_year"] == "1962"
    assert found.said["price"] == f"{MERGED}30"
    assert (
        read("title|number|price", f"A B|1|{MERGED}30", {"price": "10"}, currency="USD").shown["price"] == "10.00 USD"
    )
    assert problems(read("title|number|price", f"A B|1|{MERGED}30", {"price": f"{MERGED}30"}, currency="USD"))
