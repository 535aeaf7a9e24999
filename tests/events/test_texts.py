"""Texts of any kind: what nobody can see, or nobody wrote, is refused with its field."""

import pytest

from ledger.events.note import Note
from ledger.sealed import Sealed
from tests.builders import a_purchase, an_issue


@pytest.mark.parametrize("text", ["a\x00b", "a\x07", "a\x7f", "\x1b[2J"])
def test_a_control_character_is_refused_wherever_it_stands(text: str) -> None:
    open_text = a_purchase(issue=an_issue(title=text))
    assert [problem.field for problem in open_text.all_flaws()] == ["issue.title"]
    sealed_text = a_purchase(seller=Sealed.of(text))
    assert [problem.field for problem in sealed_text.all_flaws()] == ["seller"]


def test_a_blank_sealed_text_is_refused_and_an_empty_field_is_not() -> None:
    assert [problem.field for problem in a_purchase(seller=Sealed.of("  ")).all_flaws()] == ["seller"]
    assert a_purchase().all_flaws() == []


def test_lines_and_tabs_may_stand_in_a_text() -> None:
    assert Note(words=Sealed.of("first line\n\tsecond")).all_flaws() == []
