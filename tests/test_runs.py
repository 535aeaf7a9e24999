"""Runs: the stated order of numbers as printed, which exist by the collector's word, and what is owned of them."""

import pytest

from ledger.errors import InvalidError
from ledger.runs import NUMBERS_MOST, Owned, Printed, number_key, read_printed, run_key, run_of, spelled


def an_owned(number: str, no: int = 1, step: int | None = None) -> Owned:
    return Owned(book=f"b{no}", no=no, number=number, step=step)


def test_numbers_stand_in_the_stated_order() -> None:
    """By hand, from the rule in the docstring; the order itself is common practice, no source."""
    figures = ["-1", "0", "1/2", "1", "1½", "1.75", "2", "9", "14", "14/15", "14A", "100"]
    in_order = [*figures, "Annual 2", "Annual 10", "Special"]
    assert sorted(set(in_order), key=number_key) == in_order


@pytest.mark.parametrize(
    ("one", "same"),
    [("14", "#14"), ("014", "14"), ("½", "1/2"), ("ANNUAL 3", "Annual #3"), ("14a", "14A"), ("2", " 2 ")],
)
def test_one_number_is_spelled_in_several_ways(one: str, same: str) -> None:
    assert number_key(one) == number_key(same)


@pytest.mark.parametrize(
    ("one", "other"), [("14", "14A"), ("1", "Annual 1"), ("1/2", "12"), ("14/15", "14"), ("", "0")]
)
def test_other_numbers_are_told_apart(one: str, other: str) -> None:
    assert number_key(one) != number_key(other)


def test_what_exists_is_the_span_without_some_and_with_others() -> None:
    printed = read_printed("1", "6", "3, 5-6", "1/2, Annual 1-2")
    assert printed.numbers == ("1/2", "1", "2", "4", "Annual 1", "Annual 2")
    assert printed.never == ("3", "5", "6")
    assert Printed(also=("Annual 1",)).numbers == ("Annual 1",)
    assert read_printed("", "", "", "") == Printed()


@pytest.mark.parametrize(
    ("said", "field"),
    [
        (("x", "3", "", ""), "first"),
        (("1", "", "", ""), "last"),
        (("", "9", "", ""), "first"),
        (("9", "1", "", ""), "last"),
        (("1", str(NUMBERS_MOST + 1), "", ""), "last"),
        (("1", "2", "y" * 41, ""), "never"),
        (("1", "2", "", f"1-{NUMBERS_MOST}, A 1-{NUMBERS_MOST}"), "also"),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field(said: tuple[str, str, str, str], field: str) -> None:
    with pytest.raises(InvalidError) as refused:
        read_printed(*said)
    assert [each.field for each in refused.value.problems] == [field]


def test_a_list_is_spelled_so_that_it_reads_back() -> None:
    for text in ("3, 5-6", "1/2, 2, 14A, Annual 1-3, Annual 5, Special"):
        numbers = read_printed("", "", text, "").never
        assert spelled(numbers) == text
        assert read_printed("", "", spelled(numbers), "").never == numbers
    assert spelled(()) == ""


def test_a_run_shows_what_is_owned_missing_double_and_strange() -> None:
    books = [an_owned("2", 1), an_owned("#2", 2, 10), an_owned("1/2", 3), an_owned("9", 4), an_owned("2", 5, 10)]
    run = run_of("Amber", 1952, Printed(first=1, last=4, also=("½",)), books)
    assert [each.number for each in run.lines] == ["½", "1", "2", "3", "4", "9"]
    assert [each.number for each in run.missing] == ["1", "3", "4"]
    assert [each.number for each in run.double] == ["2"]
    assert [each.number for each in run.strange] == ["9"]
    assert [each.no for each in run.double[0].books] == [2, 5, 1]
    best = run.double[0].best
    assert best is not None
    assert (best.no, best.step) == (2, 10)


def test_where_nothing_was_said_nothing_is_missing() -> None:
    run = run_of("Amber", None, None, [an_owned("7"), an_owned("3", 2)])
    assert [each.number for each in run.owned] == ["3", "7"]
    assert run.missing == run.strange == ()


def test_a_run_has_a_name_of_its_own_in_addresses() -> None:
    assert run_key("Élan Vital & Co.", 1952).startswith("elan-vital-co-1952-")
    assert run_key("ÉLAN VITAL & CO.", 1952) == run_key("élan vital & co.", 1952)
    names = {run_key(title, year) for title in ("Amber", "Amber!", "影の灯") for year in (None, 1952, 1953)}
    assert len(names) == 9
