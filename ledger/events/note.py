"""note: words that fit nowhere else, on a book or on the collection."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from ledger.errors import Problem
from ledger.events._base import Event, Lane, Scope, fact, sealed
from ledger.sealed import Sealed, SealState


class Topic(StrEnum):
    """What a note is about."""

    CARE = "care"
    TRADE = "trade"
    STORY = "story"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True)
class Note(Event):
    """Words in the collector's own hand; they change nothing and are closed in a record.

    Rules: 1 something is written.
    """

    kind: ClassVar[str] = "note"
    title: ClassVar[str] = "Note"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.EITHER
    after_sale: ClassVar[bool] = True

    topic: Topic | None = fact("Topic", default=None)
    words: Sealed[str] = sealed("Words", "The note itself.")

    def flaws(self) -> Iterator[Problem]:
        """Rule 1."""
        yield from super().flaws()
        if self.words.state is SealState.OPEN and not (self.words.value or "").strip():
            yield self.rule(1, "A note without words says nothing. Write it.", "words")

    def summary(self) -> str:
        """That there is a note, and its topic."""
        return f"Note: {self.topic}" if self.topic else "Note"
