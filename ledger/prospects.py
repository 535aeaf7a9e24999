"""A prospect as it is written down, what can be wrong with it, and what an erasure takes out of it."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import fields, replace
from datetime import datetime
from typing import Any, Final

from ledger.errors import Problem
from ledger.events.outlook import Outlook, OutlookStage, Weight
from ledger.market import Prospect, ProspectSaid
from ledger.when import When

__all__ = [
    "PICTURES_MOST",
    "PROSPECTS_MOST",
    "ProspectSaid",
    "changed",
    "flaws_of_prospect",
    "flaws_of_weights",
    "outlook_of",
    "told_of",
    "without",
]

PROSPECTS_MOST: Final = 2000
PICTURES_MOST: Final = 24
DEFECTS_MOST: Final = 200
WORDS_MOST: Final = 4000
NAME_MOST: Final = 400


def flaws_of_prospect(said: ProspectSaid) -> Iterator[Problem]:
    """Everything that is wrong with it, each at its field."""
    if said.asking is not None and said.asking.minor < 0:
        yield Problem(field="asking", sentence="The asking price is below zero. Write it as zero or more.")
    for name, most in (("seller", NAME_MOST), ("venue", NAME_MOST), ("listing", WORDS_MOST), ("note", WORDS_MOST)):
        if len(getattr(said, name)) > most:
            yield Problem(field=name, sentence=f"{name.capitalize()} has more than {most:,} signs. Shorten it.")
    if len(said.defects) > DEFECTS_MOST:
        yield Problem(field="defects", sentence=f"There are more than {DEFECTS_MOST} defects. Write the larger ones.")
    ids = [each.id for each in said.defects]
    for place, name in enumerate(ids):
        if name in ids[:place]:
            yield Problem(field=f"defects.{place}.id", sentence=f"Two defects are called {name}. Rename one.")


def flaws_of_weights(weights: Sequence[Weight]) -> list[Problem]:
    """What is wrong with an outlook by itself."""
    return list(Outlook(weights=tuple(weights), stage=OutlookStage.AT_PURCHASE).flaws())


def changed(prospect: Prospect, said: ProspectSaid) -> Prospect:
    """The prospect, saying this from now on; its outlook, pictures and verdict stay."""
    return replace(prospect, **{each.name: getattr(said, each.name) for each in fields(said)})


def told_of(prospect: Prospect) -> ProspectSaid:
    """What a prospect says, as it was written down."""
    return ProspectSaid(**{each.name: getattr(prospect, each.name) for each in fields(ProspectSaid)})


def outlook_of(prospect: Prospect) -> Outlook | None:
    """The outlook that was stated before buying, as the book's first entry has it; None where none was."""
    if not prospect.weights:
        return None
    return Outlook(on=_moment(prospect.weighed), weights=prospect.weights, stage=OutlookStage.AT_PURCHASE)


def _moment(at: datetime | None) -> When | None:
    """A moment as an entry dates it, to the second."""
    return None if at is None else When.parse(at.strftime("%Y-%m-%dT%H:%M:%SZ"))


FORGOTTEN: Final = {
    "price": ("asking", "listing"),
    "seller": ("seller", "listing"),
    "venue": ("venue", "listing"),
    "reason": ("note", "why"),
    "stated_by": ("listing",),
}
"""A sealed field of a purchase -> what a prospect may hold of the same; words of a listing may say any of it."""


def without(prospect: Prospect, names: Collection[str]) -> Prospect:
    """The prospect after these sealed fields of its purchase were erased; the same where it holds nothing of them.

    Keeps: done again it changes nothing.
    """
    gone = {field for name in names for field in FORGOTTEN.get(name, ())}
    blank: dict[str, Any] = {field: None if field == "asking" else "" for field in gone}
    return replace(prospect, **blank)
