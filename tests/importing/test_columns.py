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
    rows = [(1, ["Title", "No", "Cert."]), *((at, ["Amber Anchor", "14", f"OGR 0{at} 21"]) for at in range(2, 9))]

    assert matched(rows).fields == ("title", "number", None)


def test_the_mark_of_a_merged_amount_is_no_part_of_what_columns_are_told_by() -> None:
    rows = [(1, ["Title", "No", f"{MERGED}Price"]), (2, ["Amber Anchor", "1", f"{MERGED}30"])]

    assert matched(rows).fields == ("title", "number", "price")
