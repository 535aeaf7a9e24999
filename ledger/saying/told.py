"""What may be told of a book: its entries as somebody reads them to whom only the chosen sealed values are opened.

All words of a record are made from this, so that a value that was not chosen cannot come into them.
"""

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Any, TypeVar

from ledger.ageing_of_book import Ageing
from ledger.book import Book
from ledger.drawn import lies
from ledger.events import Event
from ledger.events.arrival import Arrival, Stage
from ledger.events.correction import NEW, Correction
from ledger.events.purchase import Purchase
from ledger.events.sale import Sale
from ledger.events.slab import Outcome, Slab
from ledger.history import Moment
from ledger.light_share import Light
from ledger.looks import LookSeen, looks_of
from ledger.proof.sheet import Sheet
from ledger.sealed import Sealed, SealState
from ledger.statement import Statement, statement
from ledger.when import When

__all__ = ["EarlierSaid", "Told", "told"]

E = TypeVar("E", bound=Event)


@dataclass(frozen=True, kw_only=True)
class EarlierSaid:
    """A record of an earlier owner that goes with this one: which, whose, what checking it came to, and its words."""

    sha256: str
    origin: str
    """Which ledger signed it, as its checkpoint says."""
    verdict: str
    on: str = ""
    """When it was received, EDTF; empty where that is not known."""
    sheet: Sheet | None = None
    """None where it cannot be read."""


@dataclass(frozen=True, kw_only=True)
class Told:
    """One book with what may be told of it; `moments` in the order of happening, with nothing open but what was chosen."""

    collection: str
    book: Book
    moments: tuple[Moment, ...]
    pictures: Mapping[int, str]
    earlier: tuple[EarlierSaid, ...]
    stamped: bool
    light: Light | None
    ageing: Ageing | None
    made: date

    @cached_property
    def by_seq(self) -> Mapping[int, Moment]:
        """The moment of every entry, by its number."""
        return {each.entry.seq: each for each in self.moments}

    @cached_property
    def statement(self) -> Statement:
        """The three states of the work."""
        return statement(self.book, self.moments)

    @cached_property
    def looks(self) -> tuple[LookSeen, ...]:
        """Every look in force."""
        return looks_of(self.moments)

    @cached_property
    def after_hand_over(self) -> frozenset[int]:
        """Entries written down while the book was known to have left, by whoever no longer had it in hand.

        Keeps: numbers decide, not dates. What is written after a sale may tell of a day before it.
        """
        found: set[int] = set()
        left: int | None = None
        numbers = sorted(self.by_seq)
        for moment in self.moments:
            seq = moment.entry.seq
            if moment.in_force and left is not None and isinstance(moment.event, Purchase):
                found.update(each for each in numbers if left < each < seq)
                left = None
            elif moment.in_force and left is None and _ends(moment.event):
                left = seq
        if left is not None:
            found.update(each for each in numbers if each > left)
        return frozenset(found)

    def of(self, kind: type[E]) -> list[tuple[Moment, E]]:
        """The moments in force of one kind, each with what it says."""
        return [(each, each.event) for each in self.moments if each.in_force and isinstance(each.event, kind)]

    def on(self, seq: int) -> When | None:
        """When an entry happened."""
        moment = self.by_seq.get(seq)
        return moment.event.on if moment else None

    def opened(self) -> Iterator[tuple[Moment, str, Any]]:
        """Every opened value that is not empty: its entry, the name of its field, the value; by number."""
        for moment in sorted(self.moments, key=lambda each: each.entry.seq):
            for name, held in moment.entry.event.sealed_fields().items():
                if held.state is SealState.OPEN and held.value is not None:
                    yield moment, name, held.value


def _ends(event: Event) -> bool:
    """It left the collection by this: sold, given, lost at home or at a service, or sent back to its seller."""
    match event:
        case Sale():
            return True
        case Slab():
            return event.outcome is Outcome.LOST
        case Arrival():
            return event.stage is Stage.SENT_BACK
        case _:
            return False


def told(  # noqa: PLR0913 - the parts of a telling
    *,
    collection: str,
    book: Book,
    moments: Sequence[Moment],
    opened: AbstractSet[tuple[int, str]],
    pictures: Mapping[int, str],
    earlier: Sequence[EarlierSaid],
    stamped: bool,
    light: Light | None,
    ageing: Ageing | None,
    made: date,
) -> Told:
    """The book as it may be told.

    Keeps: of a correction not even which sealed fields it changed is told, save those that are opened.
    """
    by_seq = {each.entry.seq: each for each in moments}
    return Told(
        collection=collection,
        book=book,
        moments=tuple(_shut(each, by_seq, opened) for each in moments),
        pictures=dict(pictures),
        earlier=tuple(earlier),
        stamped=stamped,
        light=light,
        ageing=ageing,
        made=made,
    )


def _shut(moment: Moment, by_seq: dict[int, Moment], opened: AbstractSet[tuple[int, str]]) -> Moment:
    seq = moment.entry.seq
    # A field of a kind that this program does not know lies under its own entry, as every other does until corrected.
    now = {name: lies(by_seq, moment, name) for name in moment.event.sealed_fields()}
    first = {name: (seq, name) for name in moment.entry.event.sealed_fields()}
    entry = replace(moment.entry, event=_closed(moment.entry.event, first, opened))
    return replace(moment, entry=entry, event=_closed(moment.event, now, opened))


def _closed(event: Event, places: Mapping[str, tuple[int, str]], opened: AbstractSet[tuple[int, str]]) -> Event:
    """The event without every sealed value that lies where nothing was opened."""

    def seen(name: str, held: Sealed[Any]) -> Sealed[Any]:
        return held if places[name] in opened or held.state is SealState.ERASED else Sealed.withheld()

    if isinstance(event, Correction):
        changes = {
            name: value
            for name, value in event.changes.items()
            if not isinstance(value, Sealed) or places.get(NEW + name) in opened
        }
        return replace(event, changes=changes, reason=seen("reason", event.reason))
    return event.with_sealed({name: seen(name, held) for name, held in event.sealed_fields().items()})
