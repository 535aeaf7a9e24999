"""A pasted table of sales: any mark between cells, columns in any order, what people write, every problem at its place."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events._parts import Holding
from ledger.proof.report import MalformedError
from ledger.sale_rows import Reading
from ledger.sale_table import BYTES_MOST, CELL_MOST, COLUMNS_MOST, ROWS_MOST, TableRead, decoded, read_sales

READING = Reading(day=date(2026, 3, 1), currency="USD")


def table(*lines: str, reading: Reading = READING) -> TableRead:
    return read_sales("\n".join(lines), reading)


def told(found: TableRead) -> list[tuple[str, ...]]:
    assert found.problems == ()
    return [
        (str(row.read.on), str(row.read.grade), str(row.read.price), row.read.where, row.read.holding.value)
        for row in found.rows
    ]


EXPECTED = [
    ("2024-04-03", "9.2", "1250.00 USD", "an auction", "slabbed"),
    ("2025", "7.5", "80.00 USD", "=a shop", "raw"),
]


@pytest.mark.parametrize("mark", ["\t", ";", ","])
def test_a_table_with_a_head_is_read_whatever_sets_its_cells_apart(mark: str) -> None:
    head = mark.join(["Grade", "Sold on", "Where", "Price", "Holder"])
    first = mark.join(["NM-", "3 Apr 2024", "an auction", "1250", "slabbed"])
    second = mark.join(["7.5", "2025", "=a shop", "80.00", "raw"])
    assert told(table(head, first, second)) == EXPECTED


def test_a_table_without_a_head_is_read_by_what_stands_in_its_columns() -> None:
    found = table("slabbed\tan auction\t1,250.00\t9.2\t3 Apr 2024", "raw\t=a shop\t80.00\t7.5\t2025")
    assert (found.headed, found.columns) == (False, ("holding", "where", "price", "grade", "on"))
    assert told(found) == EXPECTED


def test_the_currency_may_stand_in_the_price_in_its_own_column_or_in_the_head() -> None:
    for lines in (
        ("date\tgrade\tprice", "2024\t9.2\t80 EUR"),
        ("date\tgrade\tprice\tcurrency", "2024\t9.2\t80\teur"),
        ("date\tgrade\tprice (EUR)", "2024\t9.2\t80"),
        ("2024\t9.2\t80\tEUR",),
    ):
        assert str(table(*lines).rows[0].read.price) == "80.00 EUR"


def test_a_column_that_is_no_field_is_named_as_passed_over() -> None:
    found = table("date\tbuyer\tgrade\tprice", "2024\tx\t9.2\t80")
    assert found.columns == ("on", None, "grade", "price")


@pytest.mark.parametrize(("row", "field"), [
    ("2030-01-01\t9.2\t80", "rows.2.on"),
    ("soonish\t9.2\t80", "rows.2.on"),
    ("2024\t9.3\t80", "rows.2.grade"),
    ("2024\tVF to NM\t80", "rows.2.grade"),
    ("2024\t9.2\t", "rows.2.price"),
    ("2024\t9.2\t=80", "rows.2.price"),
    ("2024\t9.2\t-80", "rows.2.price"),
    ("2024\t9.2\t0", "rows.2.price"),
    ("2024\t9.2\t1,250", "rows.2.price"),
    ("03/04/2024\t9.2\t80", "rows.2.on"),
    ("2024\t9.2\t80\tmore", "rows.2.price"),
])  # fmt: skip
def test_a_problem_is_told_by_row_and_field(row: str, field: str) -> None:
    found = table("date\tgrade\tprice", "2024\t9.0\t75.00", row)
    assert [each.field for each in found.problems] == [field]


def test_an_order_and_marks_that_are_stated_settle_what_is_in_doubt() -> None:
    reading = Reading(day=date(2026, 3, 1), currency="EUR", marks="1.234,50", order="dmy")
    found = table("date\tgrade\tprice", "03/04/2024\t9.2\t1.250", reading=reading)
    assert (str(found.rows[0].read.on), str(found.rows[0].read.price)) == ("2024-04-03", "1250.00 EUR")


@pytest.mark.parametrize("lines", [
    ("2024-01-02, 9.2, 1,250",),
    ("date,grade,price,where", "2024-01-02,9.2,1,250"),
    ("date,grade,price,where", "2024-01-02,9.2,120,50"),
])  # fmt: skip
def test_a_price_that_was_cut_in_two_at_its_own_comma_is_never_taken_for_a_smaller_one(lines: tuple[str, ...]) -> None:
    assert [each.field for each in table(*lines).problems] == ["rows.1.price"]


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "'="])
def test_text_that_begins_like_a_formula_is_text(sign: str) -> None:
    found = table("date\tgrade\tprice\twhere", f"2024\t9.2\t80\t{sign}1+1")
    assert found.rows[0].read.where == f"{sign}1+1"


@pytest.mark.parametrize(("text", "word"), [
    ("", "no row"),
    (" \n\t\n", "no row"),
    ("date\tgrade\tprice", "no row under it"),
    ("alpha\tbeta\ngamma\tdelta", "No column reads as prices"),
    ("2024\t9.2\t80\n" * (ROWS_MOST + 1), "rows"),
    ("\t".join(["1"] * (COLUMNS_MOST + 1)), "columns"),
    ("2024\t9.2\t80\t" + "x" * (CELL_MOST + 1), "characters"),
    ("x" * (BYTES_MOST + 1), "bytes"),
    ('2024\t9.2\t"80', "quotes"),
    ("2024\t9.2\t80\x00", "character that is none"),
])  # fmt: skip
def test_a_table_that_is_empty_too_large_or_unreadable_says_so(text: str, word: str) -> None:
    (problem,) = read_sales(text, READING).problems
    assert problem.field == "table"
    assert word in problem.sentence


@given(st.text(max_size=400))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    found = read_sales(text, READING)
    assert found.problems or all(row.read.price is not None for row in found.rows)


@given(st.binary(max_size=400))
def test_any_file_is_decoded_or_refused_in_words(data: bytes) -> None:
    try:
        found = decoded(data)
    except MalformedError as error:
        found = error.mend
    assert isinstance(found, str)
    assert found or not data.removeprefix(b"\xef\xbb\xbf").removeprefix(b"\xff\xfe").removeprefix(b"\xfe\xff")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_a_file_is_read_in_the_encodings_people_send(encoding: str) -> None:
    text = "date;grade;price;where\n2024;9.2;80;Café \u20ac\n"
    assert decoded(text.encode(encoding)).removeprefix("\ufeff") == text
    assert read_sales(decoded(text.encode(encoding)), READING).rows[0].read.where == "Café \u20ac"


def test_a_file_that_is_too_large_or_in_no_known_encoding_is_refused() -> None:
    with pytest.raises(MalformedError, match="bytes"):
        decoded(b"x" * (BYTES_MOST + 1))
    with pytest.raises(MalformedError, match="encoding"):
        decoded(b"caf\x81\xe9")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_is_one(end: str) -> None:
    assert len(read_sales(end.join(["date\tgrade\tprice", "2024\t9.2\t80", "2025\t9.4\t90"]), READING).rows) == 2


@pytest.mark.parametrize(("word", "holding"), [("Raw", Holding.RAW), ("graded", Holding.SLABBED), ("", Holding.NOT_STATED)])  # fmt: skip
def test_raw_and_slabbed_are_read_as_people_say_them(word: str, holding: Holding) -> None:
    found = table("date\tgrade\tprice\tholder", f"2024\t9.2\t80\t{word}")
    assert found.rows[0].read.holding is holding
