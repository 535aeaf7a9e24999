"""Numbers, printings, years and words as people write them: read where they can be meant in one way."""

from time import process_time

import pytest

from tests.importing.test_reading import problems, read


def shown(field: str, text: str) -> dict[str, str]:
    found = read(f"{field}|title|number" if field != "number" else "number|title", f"{text}|A B|1")
    assert not found.problems, found.problems
    return {
        name: value for name, value in found.shown.items() if name != "title" and (name != "number" or field == name)
    }


@pytest.mark.parametrize(
    ("text", "number"),
    [
        *(("#12", "12"), ("No 12", "12"), ("issue #12", "12"), ("N\u00ba 12", "12"), ("##12", "12"), ("# 12", "12")),
        *(
            ("12A", "12A"),
            ("\u00bd", "1/2"),
            ("#\u00bd", "1/2"),
            ("12\u00bd", "12\u00bd"),
            ("#-1", "-1"),
            ("012", "012"),
        ),
        *(("Annual 3", "Annual 3"), ("Nocturne", "Nocturne"), ("12 (variant)", "12 (variant)")),
    ],
)
def test_a_number_is_read_as_printed(text: str, number: str) -> None:
    assert shown("number", text) == {"number": number}


@pytest.mark.parametrize(
    ("text", "printing"),
    [("12 (2nd print)", "2"), ("12, third printing", "3"), ("#12 1st ptg.", "1"), ("12 2nd printing", "2")],
)
def test_a_printing_behind_a_number_is_its_printing(text: str, printing: str) -> None:
    assert shown("number", text) == {"number": "12", "printing": printing}


def test_a_printing_that_its_own_column_denies_is_a_problem() -> None:
    assert read("number|title|printing", "12 (2nd print)|A B|2nd").shown["printing"] == "2"
    assert "Printing says 1" in problems(read("number|title|printing", "12 (2nd print)|A B|1"))["number"]


@pytest.mark.parametrize(
    ("text", "title", "number"),
    [
        ("Amber Anchor #\u00bd", "Amber Anchor", "1/2"),
        ("Amber Anchor #-1", "Amber Anchor", "-1"),
        ("Amber Anchor, Issue 14", "Amber Anchor", "14"),
        ("Amber Anchor N\u00b0 14", "Amber Anchor", "14"),
        ("Amber Anchor: 14", "Amber Anchor", "14"),
        ("#14 Amber Anchor", "Amber Anchor", "14"),
        ("The First Issue #14", "The First Issue", "14"),
    ],
)
def test_a_title_and_number_are_taken_apart(text: str, title: str, number: str) -> None:
    found = read("title_number", text)

    assert not found.problems
    assert (found.shown["title"], found.shown["number"]) == (title, number)


def test_a_title_and_number_can_have_their_printing() -> None:
    assert read("title_number", "Amber Anchor #14 (2nd print)").shown == {
        "title": "Amber Anchor",
        "number": "14",
        "printing": "2",
    }


@pytest.mark.parametrize("text", ["14 Amber Anchor", "Amber Anchor #14 (newsstand)"])
def test_a_title_and_number_that_can_be_meant_otherwise_are_told(text: str) -> None:
    assert {"number", "title_number"} & set(problems(read("title_number", text)))


@pytest.mark.parametrize(
    ("text", "printing"),
    [
        ("2nd ptg.", "2"),
        ("printing 2", "2"),
        ("#2", "2"),
        ("no. 2", "2"),
        ("sixth", "6"),
        ("tenth printing", "10"),
        ("1", "1"),
    ],
)
def test_a_printing_is_read(text: str, printing: str) -> None:
    assert shown("printing", text) == {"printing": printing}


@pytest.mark.parametrize("text", ["reprint", "1st/2nd", "0", "100", "second edition"])
def test_what_is_no_one_printing_is_told(text: str) -> None:
    assert "no printing" in problems(read("printing|title|number", f"{text}|A B|1"))["printing"]


@pytest.mark.parametrize("text", ["not graded", "unslabbed", "bagged & boarded", "B&B", "raw copy", "\u2717"])
def test_what_is_in_no_holder_is_raw(text: str) -> None:
    assert shown("holding", text) == {"holding": "raw"}


@pytest.mark.parametrize("text", ["encapsulated", "in a slab", "\u2713", "x"])
def test_what_is_in_a_holder_is_slabbed(text: str) -> None:
    assert shown("holding", text) == {"holding": "slabbed"}


@pytest.mark.parametrize("text", ["(1962)", "1962-", "1962 series", "since 1962"])
def test_a_year_in_which_a_series_began_is_read(text: str) -> None:
    assert shown("start_year", text) == {"start_year": "1962"}


@pytest.mark.parametrize("text", ["1962-1970", "1962\u2013present", "1962/63"])
def test_the_year_in_which_it_ended_is_kept_in_the_note(text: str) -> None:
    assert shown("start_year", text) == {"start_year": "1962", "note": f"Series start year, as written: {text}"}


@pytest.mark.parametrize("text", ["c. 1962", "1962?", "62", "1960s"])
def test_a_year_that_is_not_sure_is_told(text: str) -> None:
    assert "no year" in problems(read("start_year|title|number", f"{text}|A B|1"))["start_year"]


@pytest.mark.parametrize(
    ("text", "means"), [("Birthday present", "gift"), ("garage sale", "bought"), ("won at auction", "bought")]
)
def test_words_that_say_more_than_how_it_came_are_kept_in_the_note(text: str, means: str) -> None:
    assert shown("means", text) == {"means": means, "note": f"How it came, as written: {text}"}


def test_a_note_keeps_every_word_that_found_no_field() -> None:
    row = read("title|number|start_year|on", "A B|1|1962-70|c. 1998")

    assert row.shown["note"] == "Series start year, as written: 1962-70; Bought on, as written: c. 1998"


@pytest.mark.parametrize("digits", [12, 5_000])
def test_a_year_with_more_digits_than_a_year_has_is_refused(digits: int) -> None:
    (problem,) = problems(read("title|number|start_year", f"A B|1|002000{'9' * digits}")).values()
    assert "is no year" in problem


def test_a_title_far_too_long_is_refused_without_a_search_for_its_number() -> None:
    text = "/no1" * 2_400 + "!"
    begun = process_time()
    for at in range(20):
        assert "Shorten it." in str(problems(read("title_number", f"{text}{at}!")))
    assert process_time() - begun < 1  # of such cells each took a tenth of a second and more


@pytest.mark.parametrize(
    ("name", "text"), [("variant", "Yes"), ("variant", "x"), ("holder_number", "Yes"), ("holder_number", "n")]
)
def test_a_bare_answer_is_no_variant_and_no_number_of_a_holder(name: str, text: str) -> None:
    assert name in problems(read(f"title|number|{name}", f"A B|1|{text}"))


def test_that_it_is_no_variant_says_nothing_of_it() -> None:
    for text in ("no", "N", "\u2717"):
        row = read("title|number|variant", f"A B|1|{text}")
        assert not row.problems
        assert "variant" not in row.shown
    assert read("title|number|variant", "A B|1|No price on cover").shown["variant"] == "No price on cover"


@pytest.mark.parametrize(
    "text", ["2024-01-02", "2024-01-02 00:00:00", "2-Jan", "02. Jan", "Jan-02", "9. M\u00e4rz", "1-May"]
)
def test_a_day_that_a_spreadsheet_made_of_a_number_is_no_number(text: str) -> None:
    assert "is a day" in problems(read("title|number", f"A B|{text}"))["number"]


def test_what_nobody_sees_is_taken_out_of_a_title() -> None:
    assert read("title|number", "\ufeffTin\u200b Sa\u00adint|1").shown["title"] == "Tin Saint"
