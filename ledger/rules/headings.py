"""Under which heading a step of work stands: a total function of three material facts and the technique's purpose."""

from collections.abc import Iterable
from enum import StrEnum

__all__ = ["HEADINGS_VERSION", "Fact", "Heading", "Purpose", "heading", "highest"]

HEADINGS_VERSION = 1
"""Counts up when the same facts would come under another heading than before."""


class Fact(StrEnum):
    """What is known of one material fact of a step."""

    YES = "yes"
    NO = "no"
    NOT_KNOWN = "not-known"


class Purpose(StrEnum):
    """What a technique is for, as its row fixes it; it is never chosen per step."""

    STABILISE = "stabilise"
    """To keep the book from falling further."""
    APPEARANCE = "appearance"
    """To make the book look, or present, other than it did."""


class Heading(StrEnum):
    """How far a step, or a whole book, has been taken; ordered by what a next owner must be told first.

    "Not settled" stands above conservation, because restoration may hide behind it, and below restoration, which is
    certain; it is never counted as non-additive.
    """

    NON_ADDITIVE = "non-additive"
    CONSERVATION = "conservation"
    NOT_SETTLED = "not-settled"
    RESTORATION = "restoration"

    @property
    def rank(self) -> int:
        """Its place in the order, the lowest 0."""
        return list(Heading).index(self)

    @property
    def label(self) -> str:
        """The heading in words, as a page writes it."""
        return "heading not settled" if self is Heading.NOT_SETTLED else self.value

    @staticmethod
    def _rank_of(other: object) -> int:
        """Its rank; a plain text has none, and the order of spellings is not the order of headings."""
        if not isinstance(other, Heading):
            raise TypeError(f"a heading is ordered among headings, not against {other!r}")
        return other.rank

    def __lt__(self, other: str) -> bool:
        return self.rank < self._rank_of(other)

    def __le__(self, other: str) -> bool:
        return self.rank <= self._rank_of(other)

    def __gt__(self, other: str) -> bool:
        return self.rank > self._rank_of(other)

    def __ge__(self, other: str) -> bool:
        return self.rank >= self._rank_of(other)


def heading(adds: Fact, removes: Fact, alters: Fact, purpose: Purpose) -> Heading:
    """The heading of a step: whether it adds material, removes original material, or alters chemistry or colour.

    All three no: non-additive. Any yes: conservation if the technique stabilises, restoration if it is for appearance;
    a fact not known beside a yes could not raise it further. Otherwise something is not known that could raise it.
    Source: our reading of ICOM-CC, Terminology for conservation, New Delhi 2008, and AIC, Definitions of Conservation
    Terminology, 1996, which both leave the trade's "non-additive" undefined: our assumption.
    """
    facts = (adds, removes, alters)
    if Fact.YES in facts:
        return Heading.CONSERVATION if purpose is Purpose.STABILISE else Heading.RESTORATION
    return Heading.NOT_SETTLED if Fact.NOT_KNOWN in facts else Heading.NON_ADDITIVE


def highest(headings: Iterable[Heading]) -> Heading | None:
    """The heading of a book: the highest of its steps, or None where no step is recorded, which is not "none done".

    Source: our assumption.
    """
    return max(headings, default=None)
