"""What hands should know before they touch a book: cautions that follow from what is known of it, or is not."""

from collections.abc import Mapping, Sequence
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from ledger.book import Book
from ledger.events._parts import Answer, Holding
from ledger.events.examination import Examination, Odour, Suppleness

__all__ = ["RUST", "Handling", "handling"]

RUST: Final = frozenset({"staple-rust", "rust-migrated"})
"""Types of defect that are rust of a staple."""


class Handling(StrEnum):
    """A caution for hands, because of what is known of the book or is not."""

    ALWAYS = "always"
    HOLDER = "holder"
    CRACKS = "cracks"
    STIFF = "stiff"
    NOT_FELT = "not-felt"
    LOOSE = "loose"
    TORN = "torn"
    RUST = "rust"
    TAPE = "tape"
    MOULD = "mould"
    MUSTY = "musty"
    CLAIMED = "claimed"


_BECAUSE_OF: Final[Mapping[Handling, frozenset[str]]] = MappingProxyType(
    {
        Handling.LOOSE: frozenset(
            {"cover-loose", "cover-off", "centre-leaf-loose", "centre-leaf-off", "staple-popped", "spine-split"}
        ),
        Handling.TORN: frozenset({"tear", "missing-piece", "bindery-tear"}),
        Handling.RUST: RUST,
        Handling.TAPE: frozenset({"tape", "tape-residue"}),
        Handling.MOULD: frozenset({"mould", "pest-damage"}),
    }
)
"""Types of defect that call for a caution. Source: common practice, no source; of mould, the table of cautions."""


def handling(book: Book, looks: Sequence[Examination]) -> tuple[Handling, ...]:
    """What hands should know before they touch the book.

    Keeps: what was never felt is not taken to be well.
    Requires: looks with the newest first.
    """
    there = {each.type for each in book.there}
    rust = next((each.staple_rust for each in looks if each.staple_rust is not Answer.UNSURE), None)
    felt = next((each.suppleness for each in looks if each.suppleness is not None), None)
    smelt = next((each.odour for each in looks if each.odour is not None), None)
    found = {Handling.ALWAYS} | {each for each, types in _BECAUSE_OF.items() if types & there}
    if book.holding is Holding.SLABBED:
        found.add(Handling.HOLDER)
    if rust is Answer.YES:
        found.add(Handling.RUST)
    if {each.type for each in book.claims} & frozenset().union(*_BECAUSE_OF.values()):
        found.add(Handling.CLAIMED)
    by_feel = {None: Handling.NOT_FELT, Suppleness.CRACKS: Handling.CRACKS, Suppleness.STIFF: Handling.STIFF}
    if felt in by_feel:
        found.add(by_feel[felt])
    if smelt is Odour.MUSTY:
        found.add(Handling.MUSTY)
    return tuple(each for each in Handling if each in found)
