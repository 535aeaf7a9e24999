"""Headings: a total function of three facts and a purpose, tested over its whole domain."""

from itertools import combinations_with_replacement, product

import pytest

from ledger.rules.headings import HEADINGS_VERSION, Fact, Heading, Purpose, heading, highest

YES, NO, UNKNOWN = Fact.YES, Fact.NO, Fact.NOT_KNOWN
DOMAIN = list(product(Fact, Fact, Fact, Purpose))
TOP = {Purpose.STABILISE: Heading.CONSERVATION, Purpose.APPEARANCE: Heading.RESTORATION}


def test_every_combination_of_facts_and_purpose_has_the_heading_of_the_table() -> None:
    # The rule in words: no, no, no is non-additive; any yes is conservation or restoration by the purpose; a fact that
    # is not known and could raise the heading leaves it not settled. Our assumption; 27 combinations, two purposes.
    told = {case: heading(*case) for case in DOMAIN}
    assert len(told) == 54
    for (adds, removes, alters, purpose), found in told.items():
        possible = {
            TOP[purpose] if YES in settled else Heading.NON_ADDITIVE
            for settled in product(*([fact] if fact is not UNKNOWN else [YES, NO] for fact in (adds, removes, alters)))
        }
        assert found == (possible.pop() if len(possible) == 1 else Heading.NOT_SETTLED)
    assert [list(told.values()).count(each) for each in Heading] == [2, 19, 14, 19]


@pytest.mark.parametrize(("adds", "removes", "alters", "purpose"), DOMAIN)
def test_what_is_not_known_is_never_counted_as_non_additive(
    adds: Fact, removes: Fact, alters: Fact, purpose: Purpose
) -> None:
    if heading(adds, removes, alters, purpose) is Heading.NON_ADDITIVE:
        assert (adds, removes, alters) == (NO, NO, NO)


@pytest.mark.parametrize("purpose", Purpose)
def test_the_order_of_the_facts_does_not_matter(purpose: Purpose) -> None:
    for a, b, c in product(Fact, repeat=3):
        assert len({heading(*facts, purpose) for facts in ((a, b, c), (b, c, a), (c, a, b), (c, b, a))}) == 1


def test_headings_are_ordered_and_not_by_their_spelling() -> None:
    order = [Heading.NON_ADDITIVE, Heading.CONSERVATION, Heading.NOT_SETTLED, Heading.RESTORATION]
    assert sorted(Heading, reverse=True) == order[::-1]
    assert [each.rank for each in order] == [0, 1, 2, 3]
    assert Heading.CONSERVATION >= Heading.NON_ADDITIVE
    assert Heading.CONSERVATION <= Heading.RESTORATION
    assert Heading.RESTORATION > Heading.NOT_SETTLED > Heading.CONSERVATION


def test_a_heading_is_not_ordered_among_other_texts() -> None:
    with pytest.raises(TypeError):
        _ = Heading.CONSERVATION < "restoration"


def test_a_book_has_the_highest_heading_of_its_steps_and_what_is_not_settled_is_never_hidden() -> None:
    for steps in combinations_with_replacement(Heading, 3):
        found = highest(steps)
        if Heading.RESTORATION in steps:
            assert found is Heading.RESTORATION
        elif Heading.NOT_SETTLED in steps:
            assert found is Heading.NOT_SETTLED
        else:
            assert found is (Heading.CONSERVATION if Heading.CONSERVATION in steps else Heading.NON_ADDITIVE)


def test_a_book_without_steps_has_no_heading_rather_than_the_lowest() -> None:
    assert highest([]) is None


def test_the_wire_words_and_the_version_are_fixed() -> None:
    # Stored in entries for ever; a change of meaning needs a new version.
    assert HEADINGS_VERSION == 1
    assert [*Fact] == ["yes", "no", "not-known"]
    assert [*Purpose] == ["stabilise", "appearance"]
    assert [*Heading] == ["non-additive", "conservation", "not-settled", "restoration"]
    assert Heading.NOT_SETTLED.label == "heading not settled"
