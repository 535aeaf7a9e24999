"""What a record says of two books of the demo, against what it said before."""

import pytest

from ledger.ports import Ledger
from tests.saying.golden import BOOKS, kept, sheet_of_demo


@pytest.mark.parametrize("number", BOOKS)
def test_the_words_are_those_that_are_kept(told: Ledger, number: int) -> None:
    """Made by `python -m tests.saying.golden`; whoever changes words, demo or events makes them anew and reads what differs."""
    assert sheet_of_demo(told, number) == kept(number).read_text("utf-8")
