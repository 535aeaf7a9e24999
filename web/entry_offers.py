"""The kinds an entry can have: the likely next ones first, the others by lane, and those that cannot stand now with the reason."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from ledger.actor import Actor
from ledger.book import Book, Status
from ledger.events import KINDS, Event, Lane, Scope
from web.entry_starts import likely
from web.entry_tasks import WRITTEN_ELSEWHERE
from web.wording import t

__all__ = ["Lanes", "Offer", "Offers", "offers"]

LANES: Final = (Lane.CUSTODY, Lane.CONDITION, Lane.WORK, Lane.CARE, Lane.PAPERS)
ORDER: Final = (
    *("purchase", "arrival", "submission", "slab", "custody", "sale", "examination", "opening", "intervention"),
    *(
        "choice",
        "outlook",
        "placement",
        "count",
        "room",
        "photograph",
        "note",
        "identification",
        "valuation",
        "earlier",
    ),
)
"""The kinds in the order in which hands come to them; one that is not named here comes last."""
FROM_AN_ENTRY: Final = frozenset({"correction", "withdrawal", "erasure"})
"""Kinds whose form starts from the entry they mend."""
ONE_BOOK: Final = frozenset({"identification", "purchase", "earlier"})
"""Kinds that say something else of each book."""


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One kind that can be chosen."""

    title: str
    says: str
    href: str
    reason: str = ""
    """Why it cannot stand now; it may still be entered for an earlier time."""


@dataclass(frozen=True, kw_only=True)
class Lanes:
    """The kinds of one lane."""

    title: str
    offers: tuple[Offer, ...]


@dataclass(frozen=True, kw_only=True)
class Offers:
    """Everything that can be chosen."""

    next: tuple[Offer, ...]
    lanes: tuple[Lanes, ...]
    not_now: tuple[Offer, ...]


def offers(books: Sequence[Book], ids: Sequence[str], actor: Actor) -> Offers:
    """What they may write for these books, or for the collection where there are none."""
    place = {name: number for number, name in enumerate(ORDER)}
    kinds = [kind for kind in KINDS.values() if _is_offered(kind, len(ids)) and actor.may_write(kind.kind)]
    kinds.sort(key=lambda kind: place.get(kind.kind, len(place)))
    reasons = {kind.kind: _reason(kind, books) for kind in kinds}
    can = [kind for kind in kinds if not reasons[kind.kind]]
    first = [KINDS[name] for name in (likely(books[0]) if len(books) == 1 else ())]
    first = [kind for kind in first if kind in can]
    lanes = (
        Lanes(
            title=t(f"new_entry.lanes.{lane.value}"),
            offers=tuple(_offer(kind, ids) for kind in can if kind.lane is lane and kind not in first),
        )
        for lane in LANES
    )
    return Offers(
        next=tuple(_offer(kind, ids) for kind in first),
        lanes=tuple(each for each in lanes if each.offers),
        not_now=tuple(_offer(kind, ids, reasons[kind.kind]) for kind in kinds if reasons[kind.kind]),
    )


def _is_offered(kind: type[Event], count: int) -> bool:
    if kind.kind in WRITTEN_ELSEWHERE or kind.kind in FROM_AN_ENTRY:
        return False
    if count == 0:
        return kind.scope is not Scope.BOOK
    return kind.scope is not Scope.COLLECTION and (count == 1 or kind.kind not in ONE_BOOK)


def _offer(kind: type[Event], ids: Sequence[str], reason: str = "") -> Offer:
    query = urlencode([("kind", kind.kind), *(("book", each) for each in ids)])
    return Offer(title=kind.title, says=_says(kind), href=f"/entry/new?{query}", reason=reason)


def _says(kind: type[Event]) -> str:
    """The fact that a kind states, in the words of its own first line."""
    return (kind.__doc__ or kind.title).strip().split("\n")[0].split(";")[0].rstrip(".") + "."


def _reason(kind: type[Event], books: Sequence[Book]) -> str:
    """Why a kind cannot stand now for one of the books, as every kind is judged; empty where it can."""
    for book in books:
        if book.status is Status.DUPLICATE and not kind.after_sale:
            return t("new_entry.reasons.duplicate")
        if book.status in (Status.GONE, Status.SENT_BACK) and not kind.after_sale:
            return t("new_entry.reasons.gone")
        if kind.needs_held and not book.held:
            return t("new_entry.reasons.not_held", status=book.status.value)
        if kind.kind == "purchase" and book.held:
            return t("new_entry.reasons.held")
    return ""
