"""Columns are told by their names and by what stands in them, whatever order they come in."""

import pytest

from ledger.importing.columns import By, Columns, matched, refitted
from ledger.importing.fields import FIELDS, named
from ledger.importing.tables import MERGED


def columns(*rows: str, kept: dict[str, str] | None = None) -> Columns:
    return matched([(number, row.split("|")) for number, row in enumerate(rows, start=1)], kept)


@pytest.mark.parametrize(
    ("head", "field"),
    [
        ("Title", "title"),
        ("SERIES", "title"),
        ("Issue #", "number"),
        ("issue_no", "number"),
        ("Date Bought:", "on"),
        ("Paid", "price"),
        ("Cond.", "grade"),
        ("Where kept", "place"),
        ("Own number", "id"),
        ("buyer's premium", "premium"),
        ("colour of the box", None),
    ],
)
def test_a_name_over_a_column_is_known_in_many_spellings(head: str, field: str | None) -> None:
    assert named(head) == field


def test_no_name_stands_for_two_fields() -> None:
    names = [words for field in FIELDS for words in field.names]

    assert sorted(set(names)) == sorted(names)


def test_columns_come_in_any_order_and_the_line_of_names_may_stand_further_down() -> None:
    found = columns("My long box", "Paid|No.|Series", "3.50|14|Amber Anchor")

    assert found.fields == ("price", "number", "title")
    assert found.head_at == 2


def test_of_two_columns_of_one_name_the_first_has_the_field() -> None:
    assert columns("Title|No|Title", "Amber Anchor|14|x").fields == ("title", "number", None)


def test_without_names_what_stands_in_the_columns_tells_them() -> None:
    found = columns(
        "Amber Anchor|14|VF/NM|12.50|USD|3 Apr 1998|raw",
        "Copper Comet|2|9.2|4.00|USD|25 May 2001|slabbed",
        "Frozen Garden|101|NM-|1.25|EUR|7 Jan 2011|raw",
    )

    assert found.head_at == 0
    assert found.fields == ("title", "number", "grade", "price", "currency", "on", "holding")
    assert {each.by for each in found.columns} == {By.CONTENT}


def test_a_column_under_a_strange_name_is_told_by_what_can_be_nothing_else() -> None:
    found = columns("Title|No|Quality", "Amber Anchor|14|VF/NM", "Copper Comet|2|NM-")

    assert found.columns[2].field == "grade"
    assert found.columns[2].by is By.CONTENT


def test_a_column_of_titles_with_their_numbers_is_both_whatever_it_is_called() -> None:
    assert columns("Title|Paid", "Amber Anchor #14|2", "Copper Comet #2|3").fields == ("title_number", "price")
    assert columns("Issue|Paid", "Amber Anchor 14|2", "Copper Comet 2|3").fields == ("title_number", "price")


def test_titles_that_end_in_a_number_stay_titles_beside_a_column_of_numbers() -> None:
    assert columns("Title|No", "Squad 13|1", "Squad 13|2").fields == ("title", "number")


def test_what_was_chosen_for_a_name_before_goes_before_what_the_name_says() -> None:
    found = columns("Title|No|Worth|Tint", "Amber Anchor|14|5|9.2", kept={"Worth": "price", "Tint": ""})

    assert found.fields == ("title", "number", "price", None)
    assert [each.by for each in found.columns[2:]] == [By.HAND, By.HAND]


def test_a_column_can_be_given_another_field_by_hand() -> None:
    found = refitted(columns("Title|No|Worth", "Amber Anchor|14|5"), ("title", "number", "price"))

    assert found.columns[2].field == "price"
    assert found.columns[2].by is By.HAND
    assert found.columns[0].by is By.NAME


def test_a_table_without_rows_has_no_columns() -> None:
    assert matched([]) == Columns(columns=())


def test_a_column_of_holder_numbers_is_none_of_titles_where_another_has_them() -> None:
    rows = [(1, ["Title", "No", "Old mark"]), *((at, ["Amber Anchor", "14", f"OGR 0{at} 21"]) for at in range(2, 9))]

    assert matched(rows).fields == ("title", "number", None)


def test_the_mark_of_a_merged_amount_is_no_part_of_what_columns_are_told_by() -> None:
    rows = [(1, ["Title", "No", f"{MERGED}Price"]), (2, ["Amber Anchor", "1", f"{MERGED}30"])]

    assert matched(rows).fields == ("title", "number", "price")


def test_a_column_of_days_under_a_name_of_its_own_is_not_when_a_book_was_bought() -> None:
    found = columns("Title|No|Sold date|Last looked at", "Amber Anchor|14|5/6/2010|3 Apr 1998")

    assert found.fields == ("title", "number", "gone", None)


def test_names_in_another_language_are_no_book() -> None:
    found = columns("Titel|Nummer|Preis|Anzahl", "Amber Anchor|1|12,50|1", "Amber Anchor|2-4|3,50|2")

    assert found.head_at == 1
    assert found.fields == ("title", "number", None, None)


def test_a_first_row_of_words_alone_is_a_book_where_the_others_are_too() -> None:
    assert columns("Amber Anchor|raw|Attic", "Copper Comet|raw|Attic", "Copper Comet|slabbed|Attic").head_at == 0
    assert columns("Amber Anchor|14", "Copper Comet|2").head_at == 0


@pytest.mark.parametrize("head", ["Title #", "Title & Number", "title_and_number", "Series #"])
def test_a_name_of_both_is_a_column_of_both_whatever_stands_in_it(head: str) -> None:
    assert columns(f"{head}|Paid", "Amber Anchor|2", "Copper Comet|3").fields == ("title_number", "price")


def test_in_a_table_of_books_from_here_it_is_known_which_have_left_and_who_graded() -> None:
    found = columns(
        "title|issue number|state|opinion of|graded by",
        "Amber Anchor|14|here|grading service|Oakmoth Grading Room",
        "Amber Anchor|15|left the collection|grading service|Oakmoth Grading Room",
    )

    assert found.fields == ("title", "number", "here", None, "stated_by")
    assert columns("Title|No|State", "Amber Anchor|14|VF", "Copper Comet|2|NM-").fields == ("title", "number", "grade")


def test_a_first_name_is_no_currency() -> None:
    assert columns("Title|No|Mate", "Amber Anchor|14|Bob", "Copper Comet|2|Bob").fields[2] is None


def test_an_item_or_a_description_beside_a_title_and_a_number_is_none_of_both() -> None:
    rows = [(1, ["Item", "Title", "Issue", "Description"]), (2, ["1", "Amber Anchor", "14", "A tear of 3 mm"])]

    assert matched(rows).fields == (None, "title", "number", None)
    assert matched([(1, ["Description", "Paid"]), (2, ["Amber Anchor 14", "2"])]).fields == ("title_number", "price")
    assert matched(rows, {"Description": "title_number"}).fields == (None, "title", "number", "title_number")


def test_what_was_sold_and_what_is_wanted_may_be_said_in_columns_of_their_own() -> None:
    columns = matched([(1, ["Title", "No", "Date sold", "Sold for", "Wanted"]), (2, ["Amber Anchor", "14"])])

    assert columns.fields == ("title", "number", "gone", "gone", "gone")
    assert matched([(1, ["Title", "No", "Paid", "Price"]), (2, ["A B", "1"])]).fields == (
        "title",
        "number",
        "price",
        None,
    )


def test_a_table_beside_the_first_says_nothing_of_its_books() -> None:
    found = columns("Title|No|Paid||Title|No|Grade|Sold for", "A B|1|10||C D|7|VF|90", "A B|2|11||C D|8|FN|80")

    assert found.fields == ("title", "number", "price", None, None, None, None, None)
    assert columns("Title|No||Title|Sold for", "A B|1||C D|7", kept={"Title": "title"}).fields == (
        "title",
        "number",
        None,
        None,
        None,
    )
    assert columns("Title|No||Notes|Sold for", "A B|1||C D|7").fields[3:] == ("note", "gone")


def test_got_over_days_says_when_and_not_whether() -> None:
    found = columns("Comic|#|Got|Paid|Status", "Amber Anchor|1|5/1999|10|have", "Amber Anchor|2|1998|12|sold")

    assert found.fields == ("title", "number", "on", "price", "here")
    assert columns("Comic|#|Got|Paid", "Amber Anchor|1|yes|10", "Amber Anchor|2|x|12").fields[2] == "here"


@pytest.mark.parametrize(
    ("head", "field"), [("Holder #", "holder_number"), ("Holder", "holding"), ("Worth now", "value")]
)
def test_a_holder_has_a_number_and_a_worth_is_a_value(head: str, field: str) -> None:
    assert named(head) == field
