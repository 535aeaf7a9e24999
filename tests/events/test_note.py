"""A note: its rule, that it changes nothing, its line."""

from typing import Any

import pytest

from ledger.collection import Collection
from ledger.events._base import Scope
from ledger.events.note import Note, Topic
from ledger.events.sale import Disclosed, Sale
from ledger.sealed import Sealed
from tests.builders import a_book, a_purchase, against, an_entry, at, broken_rules, chain, on, shut


def note(words: str | None = "The smell of cedar is from the old box.", **changes: Any) -> Note:
    return Note(**{"on": on("2025-01-01"), "words": Sealed.of(words), **changes})


@pytest.mark.parametrize("words", [None, "", " \n "])
def test_a_note_without_words_is_refused(words: str | None) -> None:
    assert broken_rules(note(words)) == [("note.1", "words")]


def test_a_note_with_words_and_a_withheld_or_erased_one_break_no_rule() -> None:
    assert broken_rules(note()) == []
    assert broken_rules(shut(note())) == []
    assert broken_rules(note().with_sealed({"words": Sealed.erased()})) == []


def test_it_changes_nothing() -> None:
    assert note().apply(a_book(), at(5)) == a_book()
    assert note().apply_collection(Collection(id="c"), at(5)) == Collection(id="c")


def test_it_may_be_written_after_the_book_has_left() -> None:
    sold = Sale(on=on("2024-06-01"), disclosed=Disclosed.NOTHING)
    assert against(chain(a_purchase(), sold), note()) == ([], [])


def test_it_may_be_on_the_collection_itself() -> None:
    assert Note.scope is Scope.EITHER
    assert an_entry(note(), book=None).event.check_collection(Collection(id="c")) is not None
    assert list(note().check_collection(Collection(id="c"))) == []


def test_its_line_tells_the_topic_and_no_word_of_it() -> None:
    assert shut(note(topic=Topic.CARE)).summary() == "Note: care"
    assert note().summary() == "Note"
