"""A barcode as somebody types it: check digits by GS1's rule, digits beside it as text, and what these are taken for."""

import pytest

from ledger.barcodes import Barcode, Proposal, check_digit, proposal_of, read_barcode
from ledger.errors import MalformedError
from tests.barred import GS1


@pytest.mark.parametrize("gtin", GS1["valid_gtins"])
def test_the_check_digit_is_that_of_the_published_numbers(gtin: str) -> None:
    assert check_digit(gtin[:-1]) == gtin[-1]


@pytest.mark.parametrize("row", GS1["invalid"], ids=lambda row: row["why"])
def test_what_is_no_barcode_is_refused_with_the_mend(row: dict[str, str]) -> None:
    with pytest.raises(MalformedError) as refused:
        read_barcode(row["code"])
    assert refused.value.mend


def test_a_swap_that_the_rule_cannot_see_is_not_seen() -> None:
    """Source: the rule itself: neighbours that differ by five may be swapped unseen, so the digits are shown again."""
    one, other = GS1["undetected_transposition_pair"]
    assert (read_barcode(one).number, read_barcode(other).number) == (one, other)


@pytest.mark.parametrize(
    ("typed", "number", "add_on"),
    [
        ("614141000036", "614141000036", ""),
        ("6 14141 00003 6 01411", "614141000036", "01411"),
        ("614141000036+01411", "614141000036", "01411"),
        ("614141000036-05", "614141000036", "05"),
        ("0614141000036", "614141000036", ""),
        ("061414100003601411", "614141000036", "01411"),
        ("9780306406157 90000", "9780306406157", "90000"),
        (" 614141000036 ", "614141000036", ""),
    ],
)
def test_spaces_signs_and_a_leading_nought_make_no_other_code(typed: str, number: str, add_on: str) -> None:
    assert read_barcode(typed) == Barcode(number=number, add_on=add_on)


@pytest.mark.parametrize("code", ["614141000036", "614141000036-01411", "9780306406157-90000"])
def test_a_code_is_read_back_from_its_one_spelling_and_from_how_it_is_shown(code: str) -> None:
    barcode = read_barcode(code)
    assert barcode.code == code
    assert read_barcode(str(barcode)) == barcode


def test_a_code_is_shown_in_the_groups_below_its_bars() -> None:
    assert str(read_barcode("61414100003601411")) == "6 14141 00003 6 01411"
    assert str(read_barcode("9780306406157")) == "9 780306 406157"


def test_a_missing_last_digit_is_named() -> None:
    with pytest.raises(MalformedError, match="If only the last one is missing, it is 6"):
        read_barcode("61414100003")


@pytest.mark.parametrize("typed", ["6" * 61, "61414100003\u0666", "614141000036-1", "614141000036-123", "\uff11\uff12"])
def test_other_lengths_and_other_digits_are_refused(typed: str) -> None:
    with pytest.raises(MalformedError):
        read_barcode(typed)


@pytest.mark.parametrize(
    ("code", "proposal"),
    [
        ("614141000036-01411", Proposal(number="14", cover=1, printing=1)),
        ("614141000036-12023", Proposal(number="120", cover=2, printing=3)),
        ("614141000036-00000", Proposal(number="0")),
        ("614141000036-05", Proposal(number="5", month=5)),
        ("614141000036-12", Proposal(number="12", month=12)),
        ("614141000036-53", Proposal(number="53")),
        ("614141000036", None),
        ("9780306406157-90000", None),
    ],
)
def test_what_the_digits_beside_are_mostly_taken_for_is_only_proposed(code: str, proposal: Proposal | None) -> None:
    """Source: common practice, no source: three digits of the number, one of the cover, one of the printing."""
    assert proposal_of(read_barcode(code)) == proposal
