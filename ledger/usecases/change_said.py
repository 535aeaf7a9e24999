"""What one change to many books is made of: the entry for each, what stood there before, and what will."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.events import Event
from ledger.events.correction import Correction
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.valuation import Valuation
from ledger.history import Moment
from ledger.money import Money
from ledger.ports import Codec
from ledger.proof.canonical import Plain
from ledger.sealed import Sealed
from ledger.when import When

__all__ = ["CORRECTED", "Add", "Change", "Correct", "Value", "after", "before", "correction", "target", "with_reason"]

CORRECTED: Final = ("issue.title", "issue.start_year", "issue.publisher", "seller", "venue")
"""Fields of a purchase that are corrected in many books alike; those of the issue where it was told last."""

Value = str | Money | None
"""What stood there or will; None is not known."""


@dataclass(frozen=True, kw_only=True)
class Add:
    """The same note, placement or valuation for each book; the reason goes into its own words."""

    event: Note | Placement | Valuation


@dataclass(frozen=True, kw_only=True)
class Correct:
    """One field of each purchase has this value; of the issue, in the entry that told it last."""

    field: str
    value: str | int
    on: When | None = None


Change = Add | Correct


def with_reason(event: Note | Placement | Valuation, reason: str, moments: Sequence[Moment]) -> Event:
    """The entry with the reason in it; a book that is moved keeps what it is housed in."""
    match event:
        case Note():
            return replace(event, words=Sealed.of(f"{(event.words.value or '').strip()}\n\n{reason}"))
        case Placement():
            last = _last(moments, Placement)
            housings = last.housings if isinstance(last, Placement) else ()
            return replace(event, housings=housings, remark=Sealed.of(reason))
        case Valuation():
            return replace(event, remark=Sealed.of(reason))


def before(event: Event, moments: Sequence[Moment]) -> Value:
    """Where the book is, or the last value for the same purpose; None where nothing was said."""
    if isinstance(event, Placement):
        last = _last(moments, Placement)
        return _named(last) if isinstance(last, Placement) else None
    if isinstance(event, Valuation):
        found = [
            each.event
            for each in moments
            if each.in_force and isinstance(each.event, Valuation) and each.event.purpose is event.purpose
        ]
        return found[-1].amount.value if found else None
    return None


def after(event: Event) -> Value:
    """What the entry says in its place."""
    match event:
        case Placement():
            return _named(event)
        case Valuation():
            return event.amount.value
        case Note():
            return event.words.value
    return None


def _named(placement: Placement) -> str:
    name = placement.place.value
    where = f"{placement.spot}: {name}" if name else str(placement.spot)
    return f"{where} (room {placement.room})" if placement.room and placement.spot is not Spot.WALL else where


def _last(moments: Sequence[Moment], kind: type[Event]) -> Event | None:
    found = (each.event for each in reversed(moments) if each.in_force and isinstance(each.event, kind))
    return next(found, None)


def target(field: str, moments: Sequence[Moment]) -> Moment | None:
    """The entry in force that says this field last."""
    name = field.partition(".")[0]
    found = (each for each in reversed(moments) if each.in_force and hasattr(each.event, name))
    return next((each for each in found if each.event.kind in ("purchase", "identification")), None)


def correction(change: Correct, moment: Moment, reason: str, codec: Codec) -> tuple[Correction, Value]:
    """The correction of that entry, and what it says now."""
    body, values = codec.split(moment.event)
    whole: Mapping[str, Plain] = {**body, **values}
    outer, _, inner = change.field.partition(".")
    held = whole.get(outer)
    new: Plain = change.value
    said = held
    if inner:
        assert isinstance(held, dict)
        said, new = held.get(inner), {**held, inner: change.value}
    entry = moment.entry.seq
    made = Correction(entry=entry, changes={outer: new}, reason=Sealed.of(reason), on=change.on)
    return made, None if said is None else str(said)
