"""What becomes of a row: a purchase with its stated grade, and where the row says so a placement, a value and a note."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from ledger.errors import Problem
from ledger.events import Event
from ledger.events._parts import Holding, Issue
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means, Purchase
from ledger.events.valuation import Method, Valuation
from ledger.importing.reading import RowRead
from ledger.sealed import Sealed
from ledger.when import When

__all__ = ["KINDS_MADE", "events_of", "field_of", "flaws_of"]

KINDS_MADE: Final = (Purchase.kind, Placement.kind, Valuation.kind, Note.kind)
_SPOTS: Final = {"wall": Spot.WALL, "safe": Spot.SAFE}
"""The kind of spot that the name of a place tells; every other is a box. Our assumption."""
_FIELDS: Final[Mapping[str, str]] = {
    "issue.title": "title",
    "issue.number": "number",
    "stated": "grade",
    "stated.steps": "grade",
    "stated.as_written": "grade",
    "amount": "value",
    "words": "note",
    "place": "place",
}
"""Under which field of a row a problem with a field of an event is told."""


def events_of(row: RowRead, when: When) -> tuple[Event, ...]:
    """What is written for a row, its purchase first; `when` is the day on which an undated value was entered.

    Requires: a row without problems
    """
    read = row.read
    return tuple(_events(read, when))


def flaws_of(events: Sequence[Event]) -> tuple[Problem, ...]:
    """What is wrong with these events by themselves, each at the field of the row it comes from."""
    return tuple(replace(flaw, field=field_of(event, flaw.field)) for event in events for flaw in event.all_flaws())


def _events(read: Mapping[str, Any], when: When) -> Iterator[Event]:
    yield _purchase(read)
    place = read.get("place")
    if place is not None:
        spot = next((spot for word, spot in _SPOTS.items() if word in place.casefold().split()), Spot.BOX)
        yield Placement(spot=spot, place=Sealed.of(place))
    if read.get("value") is not None:
        # A value is of a day: one that is not dated was held when the row was brought in, or before a later purchase.
        yield Valuation(on=read.get("value_on") or when, method=Method.OWN_JUDGEMENT, amount=Sealed.of(read["value"]))
    if read.get("note") is not None:
        yield Note(words=Sealed.of(read["note"]))


def _purchase(read: Mapping[str, Any]) -> Purchase:
    bought = Purchase(
        on=read.get("on"),
        means=read.get("means", Means.BOUGHT),
        issue=Issue(
            title=read["title"],
            number=read["number"],
            start_year=read.get("start_year"),
            publisher=read.get("publisher"),
            cover_date=read.get("cover_date"),
            printing=read.get("printing"),
            variant=read.get("variant"),
        ),
        holding=read.get("holding", Holding.NOT_STATED),
        holder_number=read.get("holder_number"),
        stated=read.get("grade"),
    )
    return bought.with_sealed({name: Sealed.of(read[name]) for name in _SEALED if name in read})


_SEALED: Final = ("price", "premium", "tax", "shipping", "seller", "venue", "reason", "stated_by")


def field_of(event: Event, field: str) -> str:
    """Under which field of a row something of an event is told."""
    if field in _FIELDS:
        return _FIELDS[field]
    if field == "on" and isinstance(event, Valuation):
        return "value_on"
    return field.removeprefix("issue.").partition(".")[0]
