"""A book in one line is taken apart where every part of it is understood, and is refused where one is not."""

from time import perf_counter

import pytest

from ledger.importing.columns import matched
from ledger.importing.reading import ASK_CURRENCY, ASK_ORDER
from tests.importing.test_reading import problems, read


@pytest.mark.parametrize(
    ("line", "parts"),
    [
        ("Amber Anchor #14 VF paid 40", "Amber Anchor|14|VF (8.0)|40.00 USD"),
        ("Amber Anchor #14, VF 8.0, paid $22.50", "Amber Anchor|14|VF 8.0|22.50 USD"),
        ("Amber Anchor 3 FN+ paid 8", "Amber Anchor|3|FN+ (6.5)|8.00 USD"),
        ("Agent 13 #7 paid 8 EUR", "Agent 13|7||8.00 EUR"),
        ("Amber Anchor 14 paid 40", "Amber Anchor|14||40.00 USD"),
        ("Amber Anchor #3 NM-", "Amber Anchor|3|NM- (9.2)|"),
    ],
)
def test_a_line_has_title_number_grade_and_price(line: str, parts: str) -> None:
    found = read("title_number", line, currency="USD")

    assert not found.problems
    assert "|".join(found.shown.get(name, "") for name in ("title", "number", "grade", "price")) == parts


def test_from_whom_and_how_it_came_are_read_too() -> None:
    gift = read("title_number", "Amber Anchor 2 GD gift from Gran")
    assert (gift.shown["means"], gift.shown["seller"]) == ("gift", "Gran")
    bought = read("title_number", "Amber Anchor #2 bought 13/4/98 from Lila Voss paid 4 EUR")
    assert (bought.shown["on"], bought.shown["seller"], bought.shown["price"]) == (
        "13 April 1998",
        "Lila Voss",
        "4.00 EUR",
    )


@pytest.mark.parametrize(
    "line",
    [
        "Amber Anchor #2 VF bought 3 Apr 1999 paid 4",
        "Amber Anchor #2 VF, April 3, 1999, paid 4",
        "Amber Anchor 2 VF 3 Apr 1999 paid 4",
        "Amber Anchor #2 VF 1999-04-03 paid 4",
    ],
)
def test_a_day_in_words_is_the_day_and_none_of_its_digits_a_grade(line: str) -> None:
    found = read("title_number", line, currency="USD")

    assert not found.problems
    said = tuple(found.shown.get(name) for name in ("title", "number", "grade", "on", "price"))
    assert said == ("Amber Anchor", "2", "VF (8.0)", "3 April 1999", "4.00 USD")


@pytest.mark.parametrize(
    "line", ["Amber Anchor #14 VF 1998 paid 40", "Amber Anchor #14 (1962)", "Amber Anchor 3 FN May 1999"]
)
def test_a_year_alone_is_no_date_and_its_line_stands_in_the_note(line: str) -> None:
    found = read("title_number", line, currency="USD")

    assert not found.problems
    assert "on" not in found.shown
    assert "cover_date" not in found.shown
    assert found.shown["note"] == f"As written: {line}"


@pytest.mark.parametrize(
    "line",
    [
        *("Amber Anchor #14 great cover", "Amber Anchor #1-3 VG paid 30 for all", "Amber Anchor #14 VF $40"),
        *("Amber Anchor 3 2001", "Amber Anchor 1-3 1998", "Amber Anchor paid 40", "Amber Anchor #14 VF NM"),
        *("Agent 13 7 VF", "Amber Anchor #1 VF paid 4 for both"),
    ],
)
def test_a_line_that_is_not_understood_to_its_end_is_refused(line: str) -> None:
    found = read("title_number", line, currency="USD")

    assert {"title_number", "number"} & set(problems(found))


@pytest.mark.parametrize(
    "line",
    ["want: Amber Anchor #10", "Amber Anchor #9 sold 2010 got 60", "SOLD - Amber Anchor 4 VF", "Need: Amber Anchor 3"],
)
def test_a_line_of_a_book_that_is_not_here_is_passed_over(line: str) -> None:
    assert read("title_number", line).aside.startswith("Sold or wanted: ")


def test_what_a_line_leaves_open_is_asked_at_the_field_it_is_of_and_can_be_mended_there() -> None:
    line = "Amber Anchor #7 FN 3/4/2003 paid 9 each"
    assert problems(read("title_number", line)) == {"on": ASK_ORDER, "price": ASK_CURRENCY}

    mended = read("title_number", line, {"on": "2003", "price": "8 EUR"})
    assert (mended.shown["on"], mended.shown["price"], mended.shown["grade"]) == ("2003", "8.00 EUR", "FN (6.0)")


def test_a_line_does_not_speak_against_a_column_of_its_own() -> None:
    assert "title_number" in problems(read("title_number|grade", "Amber Anchor #7 FN|VF"))
    assert read("title_number|grade", "Amber Anchor #7 FN|").shown["grade"] == "FN (6.0)"


@pytest.mark.parametrize("first", ["Comics", "Amber Anchor #1 VF paid 3"])
def test_a_column_of_such_lines_is_known_by_what_stands_in_it(first: str) -> None:
    rows = [first, "Amber Anchor #14 VF 1998 paid 40", "Copper Comet 3 FN+ paid 8", "Copper Comet #4"]

    assert matched([(number, [row]) for number, row in enumerate(rows, 1)]).fields == ("title_number",)


@pytest.mark.parametrize("part", ["a 1 ", "a #1 ", "VF ", "1998 ", "want: ", "x 1 from ", "a 1-2 ", "a, ", "sold "])
def test_no_line_keeps_a_reader_busy(part: str) -> None:
    begin = perf_counter()
    read("title_number", ("a #1 " + part * 200)[:250])

    assert perf_counter() - begin < 0.5
