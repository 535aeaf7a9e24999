"""Bring in: what can be read in two ways is asked once for all rows, where it was found."""

import io

import openpyxl

from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.test_bring_in import sent, tried


def test_a_date_read_in_two_ways_is_asked_for_once(signed_in: Browser) -> None:
    at = sent(signed_in, b"Title,No,Bought\nA B,1,3/4/98\nC D,2,5/6/99\n")

    page = tried(signed_in, at)
    assert "2 dates such as 3/4/98 can be read in two ways. Which number is the day?" in text_of(page)
    assert read_page(page.text).all("details")[0].one("summary").text.startswith("2 rows have a problem")
    form = form_to(page, f"{at}/answers")
    assert set(form.fields) == {"asked.order"}
    page = signed_in.follow(signed_in.post(f"{at}/answers", {**form.fields, "asked.order": "dmy"}))

    assert "2 books would come in." in text_of(page)
    assert "3 April 1998" in text_of(page)


def test_amounts_are_asked_for_once_too_and_what_was_chosen_of_columns_stands(signed_in: Browser) -> None:
    at = sent(signed_in, b"Title,No,Guess\nA B,1,1.234\nC D,2,5.678\n")

    page = tried(signed_in, at, currency="", **{"column.2": "price"})
    form = form_to(page, f"{at}/answers")
    assert set(form.fields) == {"asked.currency"}
    page = signed_in.follow(signed_in.post(f"{at}/answers", {"asked.currency": "usd"}))
    form = form_to(page, f"{at}/answers")
    assert set(form.fields) == {"asked.marks"}
    page = signed_in.follow(signed_in.post(f"{at}/answers", {"asked.marks": "1.234,50"}))

    assert "2 books would come in." in text_of(page)
    assert "1234.00 USD" in text_of(page)


def test_an_answer_that_cannot_be_is_said_and_asked_for_again(signed_in: Browser) -> None:
    at = sent(signed_in, b"Title,No,Paid\nA B,1,5\n")
    tried(signed_in, at, currency="")

    page = signed_in.post(f"{at}/answers", {"asked.currency": "dollars"})

    assert page.status_code == 422
    assert "currency" in text_of(page).lower()
    assert form_to(page, f"{at}/answers").fields == {"asked.currency": ""}


def test_what_rows_of_several_books_are_is_asked_once_and_what_stays_out_is_said(signed_in: Browser) -> None:
    at = sent(signed_in, b'Title,No,Have\nA B,"1-5, 7",Y\nC D,2,N\nC D,3,\n')

    page = tried(signed_in, at)
    assert "One row speaks of several books: 1-5, 7." in text_of(page)
    assert "In one row the column of what is here is empty." in text_of(page)
    form = form_to(page, f"{at}/answers")
    assert set(form.fields) == {"asked.several", "asked.here"}
    page = signed_in.follow(signed_in.post(f"{at}/answers", {"asked.several": "each", "asked.here": "no"}))

    assert "6 books would come in." in text_of(page)
    assert "That is 5 books more than rows" in text_of(page)
    assert "2 rows are no books that are here and are passed over, the first of them row 3: “Is here: N”." in text_of(
        page
    )


def test_of_sheets_the_one_of_books_is_read_and_the_others_are_named(signed_in: Browser) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Read me"
    book.active.append(["My list", "as of today"])
    book.create_sheet("Comics").append(["Title", "No"])
    book["Comics"].append(["Amber Anchor", 14])
    file = io.BytesIO()
    book.save(file)

    page = signed_in.get(sent(signed_in, file.getvalue(), name="list.xlsx"))

    assert "Read from the sheet Comics alone. The others are not read: Read me." in text_of(page)


def test_whether_rows_have_the_title_above_them_is_asked_once(signed_in: Browser) -> None:
    at = sent(signed_in, b"Title,No,Paid\nAmber Anchor,14,4.00 USD\n,15,5.00 USD\n,16,5.00 USD\n")
    told = text_of(tried(signed_in, at))
    assert "2 rows have no title of their own. Do they belong to the title above them?" in told

    page = signed_in.follow(signed_in.post(f"{at}/answers", {"asked.untitled": "above"}))

    assert "3 books would come in." in text_of(page)
    assert (
        read_page(page.text).one("select", name="untitled").one("option", selected="").text
        == "It belongs to the title above it"
    )


def test_a_column_named_for_another_currency_says_so_when_it_asks_again(signed_in: Browser) -> None:
    at = sent(signed_in, b"Title,No,Paid ($)\nA B,1,5\nC D,2,6\n")

    page = tried(signed_in, at, currency="EUR")

    assert "2 amounts such as 5 stand under a name for another currency than EUR. Which is it?" in text_of(page)
    page = signed_in.follow(signed_in.post(f"{at}/answers", {"asked.currency": "usd"}))
    assert "2 books would come in." in text_of(page)
    assert "6.00 USD" in text_of(page)


def test_lines_above_the_names_of_the_columns_are_no_rows(signed_in: Browser) -> None:
    at = sent(signed_in, b"My list\nas of today\n\nTitle,No\nA B,1\nC D,2\n", name="list.csv")

    assert "list.csv 2 rows of" in text_of(signed_in.get(at))


def test_what_stands_below_a_second_line_of_names_is_asked_once(signed_in: Browser) -> None:
    at = sent(signed_in, b"Title,No,Paid\nA B,1,5\nSOLD\nA B,2,9\nA B,3,8\n")

    page = tried(signed_in, at)
    assert "At row 3 another table seems to begin: \u201cSOLD\u201d. What are the 2 rows below it?" in text_of(page)
    form = form_to(page, f"{at}/answers")
    assert set(form.fields) == {"asked.below"}
    page = signed_in.follow(signed_in.post(f"{at}/answers", {"asked.below": "pass_over"}))

    assert "One book would come in." in text_of(page)
    assert (
        "3 rows are no books that are here and are passed over, the first of them row 3: \u201cSOLD\u201d"
        in text_of(page)
    )
