"""A row that speaks of several books, of none, or of no book at all is never one book in silence."""

import time
from datetime import date

import pytest

from ledger.importing.reading import RowReader, Ways
from ledger.importing.several import BOOKS_MOST, numbers_of
from ledger.importing.whole_row import ASK_HERE, ASK_SEVERAL, ASK_UNTITLED, keys_of
from tests.importing.test_reading import problems, read


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("1-5, 7", "1 2 3 4 5 7"),
        ("#1-#3", "1 2 3"),
        ("1 to 3; 9", "1 2 3 9"),
        ("#2 & #3", "2 3"),
        ("8, 9, and 11", "8 9 11"),
        ("nos. 4\u20136", "4 5 6"),
        ("15+16", "15 16"),
    ],
)
def test_a_list_of_numbers_is_all_of_them(text: str, numbers: str) -> None:
    assert " ".join(numbers_of(text)) == numbers


@pytest.mark.parametrize(
    "text", ["7", "1/2", "15/16", "1,000", "12A", "5-5", "9-3", "-1", "7, 3", "Annual 1", "2-3-1998"]
)
def test_what_is_no_list_of_numbers_is_none(text: str) -> None:
    assert numbers_of(text) == ()


def test_a_list_without_end_is_told_at_once() -> None:
    start = time.process_time()

    assert "names more than" in problems(read("title|number", f"A B|1-{BOOKS_MOST + 1}"))["number"]
    assert read("title_number", "Amber 1, " * 900 + "x").problems
    assert time.process_time() - start < 1


@pytest.mark.parametrize(
    ("fields", "row", "field"),
    [
        ("title|number", "Amber Anchor|1-5, 7", "number"),
        ("title_number", "Amber Anchor #1-5, 7", "title_number"),
        ("title_number", "Amber Anchor 15, 16", "title_number"),
        ("title|number|copies", "Amber Anchor|12|2", "copies"),
        ("title|number", "Amber Anchor|12 x2", "number"),
        ("title_number", "Amber Anchor 77 (2 copies)", "title_number"),
    ],
)
def test_what_a_row_of_several_books_is_is_asked_and_not_guessed(fields: str, row: str, field: str) -> None:
    found = read(fields, row)

    assert problems(found) == {field: ASK_SEVERAL}
    assert found.books == ()


def test_of_each_book_the_row_says_the_same_where_it_was_said_so() -> None:
    found = read("title_number|copies|price", "Amber Anchor #1-3|2|4 USD", several="each")

    assert (found.books, found.problems) == (("1", "1", "2", "2", "3", "3"), ())
    assert (found.shown["title"], found.shown["price"]) == ("Amber Anchor", "4.00 USD")


def test_what_was_paid_for_all_together_is_the_price_of_none_and_stands_in_the_note() -> None:
    found = read("title|number|price|note", "Amber Anchor|1-3|$30|fair", several="together", currency="USD")

    assert (found.books, found.problems) == (("1", "2", "3"), ())
    assert "price" not in found.shown
    assert found.shown["note"] == "fair (Price paid, as written: $30 for 3 books together)"


def test_a_double_number_stays_as_it_is_written_where_it_was_said_so() -> None:
    found = read("title|number", "Amber Anchor|15-16", several="as_written")

    assert (found.books, found.problems, found.shown["number"]) == ((), (), "15-16")
    assert "Write 1" in problems(read("title|number|copies", "A B|1|2", several="as_written"))["copies"]


def test_one_holder_number_is_of_one_book() -> None:
    assert "one holder number" in problems(read("title|number|holder_number", "A B|1-3|77", several="each"))["number"]


@pytest.mark.parametrize("text", ["Amber Anchor vol. 2, 3", "Amber Anchor (1962) 3", "Copper Comet 2099 5"])
def test_a_number_that_is_part_of_a_title_makes_no_list(text: str) -> None:
    assert not read("title_number", text).problems


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("copies", "0"),
        ("here", "N"),
        ("here", "sold"),
        ("here", "Wanted"),
        ("here", "left the collection"),
        ("gone", "x"),
        ("gone", "5/6/2010"),
    ],
)
def test_a_row_that_says_that_no_such_book_is_here_is_told_as_that(field: str, text: str) -> None:
    found = read(f"title|number|{field}", f"A B|1|{text}")

    assert found.aside.endswith(f": {text}")
    assert found.problems == ()


@pytest.mark.parametrize(
    ("field", "text"),
    [("copies", "1"), ("copies", ""), ("here", "yes"), ("gone", ""), ("gone", "no"), ("gone", "Not sold")],
)
def test_a_row_that_says_that_it_is_here_is_a_book(field: str, text: str) -> None:
    found = read(f"title|number|{field}", f"A B|1|{text}")

    assert (found.aside, found.problems, found.books) == ("", (), ())


@pytest.mark.parametrize("row", ["A B|1|", "A B|1"])
def test_an_empty_cell_in_a_column_of_what_is_here_is_asked_about(row: str) -> None:
    assert problems(read("title|number|here", row)) == {"here": ASK_HERE}
    assert not read("title|number|here", row, here="yes").aside
    assert read("title|number|here", row, here="no").aside


def test_a_word_that_nobody_knows_does_not_say_that_a_book_is_here() -> None:
    assert "does not say" in problems(read("title|number|here", "A B|1|perhaps"))["here"]


@pytest.mark.parametrize(
    "text",
    ["Total", "TOTALS:", "Grand total", "Sub-total", "Total books: 5", "Average", "Sum", "Summe", "Gesamtsumme:"],
)
def test_a_line_of_sums_is_no_book_whatever_else_it_has(text: str) -> None:
    for found in (read("title|number|price", f"{text}|5|30 USD"), read("title_number", f"{text} 12")):
        assert [each.sentence[:31] for each in found.problems] == ["This looks like a line of sums "]


@pytest.mark.parametrize("text", ["Total (1990)", "Total Comet", "The Average Anchor"])
def test_a_series_that_begins_so_is_a_book(text: str) -> None:
    assert not read("title|number", f"{text}|5").problems


def test_a_list_with_one_number_more_leaves_the_keys_of_the_others() -> None:
    assert set(keys_of("k", ("1", "2", "7"))) <= set(keys_of("k", ("1", "2", "6", "7")))
    assert list(keys_of("k", ("12",))) == ["k"]
    assert list(keys_of("k", ("12", "12"))) == ["k", "k.copy2"]


@pytest.mark.parametrize("text", ['"', "ditto", "Do.", "\u3003"])
def test_the_sign_for_the_same_as_above_is_no_title(text: str) -> None:
    found = read("title|number", f"{text}|3", untitled="missing")

    assert problems(found) == {"title": f"{text!r} says the same as above. Write it out."}
    assert problems(read("title|number", f"{text}|3")) == {"title": ASK_UNTITLED}


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("A B|1|3 May 2010|25.00|", "3 May 2010"),
        ("A B|1||25.00", "25.00"),
        ("A B|1|no|0.00|x", "x"),
        ("A B|1|no|#MERGED! 25.00|?", "25.00"),
        ("A B|1|no|$0.00|", ""),
        ("A B|1|?|-|unknown", ""),
        ("A B|1", ""),
    ],
)
def test_a_book_is_not_here_that_any_of_several_columns_says_is_gone(row: str, words: str) -> None:
    found = read("title|number|gone|gone|gone", row)

    assert found.aside == (f"Sold or wanted: {words}" if words else "")
    assert found.problems == ()


def test_a_cell_that_is_written_anew_goes_before_all_columns_of_what_is_gone() -> None:
    reader = RowReader(("title", "number", "gone", "gone"), Ways(day=date(2026, 3, 4)))

    assert not reader.read(2, ["A B", "1", "", "sold"], {"gone": ""}).aside
