"""Who had a book and who owned it, as provenance activities of Linked Art.

A purchase or sale holds an Acquisition, for the title goes over; out for grading or into other hands is a
TransferOfCustody, for it does not; hung or put away is a Move. Source: CIDOC CRM 7.1.3, scope notes of E8, E9 and E10;
Linked Art 1.0, provenance of objects.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final

from ledger.book import Book
from ledger.events import Event
from ledger.events.arrival import Arrival
from ledger.events.arrival import Stage as Way
from ledger.events.custody import Custody, Direction
from ledger.events.opening import Opening
from ledger.events.placement import Placement
from ledger.events.purchase import Means, Purchase
from ledger.events.sale import Means as Left
from ledger.events.sale import Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Stage, Submission
from ledger.history import Moment
from ledger.linked.terms import Address, Node, aat, amount, body, own, span

__all__ = ["TOLD", "provenance"]

Parts = Iterator[Node]


def provenance(at: Address, moments: Sequence[Moment], states: Sequence[Book]) -> Iterator[Node]:
    """An activity for each entry in force that tells of owner, hands or place, in the order of happening.

    Requires: the state before the first moment and after each.
    """
    for place, moment in enumerate(moments):
        kind = type(moment.event)
        if not moment.in_force or kind not in TOLD:
            continue
        parts = [] if _stays_away(moment.event, states[place + 1]) else _parts(at, moment.event)
        activity: Node = {
            "id": at.entry(moment.entry.seq),
            "type": "Activity",
            "_label": moment.event.summary(),
            "classified_as": [aat("provenance")],
            **span(moment.event.on),
        }
        yield {**activity, "part": parts} if parts else {**activity, "used_specific_object": [at.it]}


def _parts(at: Address, event: Event) -> list[Node]:
    told = TOLD[type(event)]
    return [] if told is None else list(told(at, event))


def _stays_away(event: Event, after: Book) -> bool:
    """The outcome of a submission is known, and the book is not back yet."""
    return isinstance(event, Slab) and event.outcome is not Outcome.LOST and not after.here


def _purchase(at: Address, event: Purchase) -> Parts:
    if event.means is not Means.CAME_BACK:
        yield _title(at, str(event.means), body(event.seller), [at.owner])
        yield from _paid(event, [at.owner], body(event.seller))
    if not event.expects_arrival:
        yield _hands(at, event.means.value, body(event.seller), [at.owner])


def _sale(at: Address, event: Sale) -> Parts:
    handed = event.means in (Left.SOLD, Left.GIFT, Left.TRADE)
    if handed:
        yield _title(at, str(event.means), [at.owner], body(event.buyer))
        yield from _paid(event, body(event.buyer), [at.owner])
    if event.means is not Left.DESTROYED:
        # A theft is a transfer of custody, and so is a loss to hands that are not known. Source: CIDOC CRM, E10.
        yield _hands(at, str(event.means), [at.owner], body(event.buyer) if handed else [])


def _submission(at: Address, event: Submission) -> Parts:
    if event.stage is Stage.SENT:
        yield _hands(at, "out for grading", [at.owner], body(event.service, "Group"))
    elif event.stage is Stage.SENT_BY_SELLER:
        yield _hands(at, "sent by the seller for grading", [], body(event.service, "Group"))


def _slab(at: Address, event: Slab) -> Parts:
    to = [] if event.outcome is Outcome.LOST else [at.owner]
    yield _hands(at, f"{event.outcome}, out for grading no longer", body(event.service, "Group"), to)


def _custody(at: Address, event: Custody) -> Parts:
    others = body(event.who)
    out = event.direction is Direction.OUT
    yield _hands(at, str(event.direction), [at.owner] if out else others, others if out else [at.owner])


def _arrival(at: Address, event: Arrival) -> Parts:
    if event.stage is Way.ARRIVED:
        yield _hands(at, "arrived", [], [at.owner])
    elif event.stage is Way.SENT_BACK:
        yield _hands(at, "sent back", [at.owner], [])


def _placement(at: Address, event: Placement) -> Parts:
    place: Node = {"type": "Place", "_label": event.place.value or str(event.spot)}
    place["classified_as"] = [own("spot", event.spot.value, event.spot.value)]
    yield {"type": "Move", "_label": f"To a {event.spot}", "moved": [at.it], "moved_to": place}


TOLD: Final[Mapping[type[Event], Callable[[Address, Any], Parts] | None]] = MappingProxyType(
    {
        Purchase: _purchase,
        Arrival: _arrival,
        Submission: _submission,
        Slab: _slab,
        Custody: _custody,
        Placement: _placement,
        Opening: None,
        Sale: _sale,
    }
)
"""The kinds that tell of owner, hands and place; an opening opens the holder and changes none of these."""


def _title(at: Address, label: str, giver: list[Node], taker: list[Node]) -> Node:
    made: Node = {"type": "Acquisition", "_label": label, "transferred_title_of": [at.it]}
    return _between(made, "transferred_title", giver, taker)


def _hands(at: Address, label: str, giver: list[Node], taker: list[Node]) -> Node:
    made: Node = {"type": "TransferOfCustody", "_label": label, "transferred_custody_of": [at.it]}
    return _between(made, "transferred_custody", giver, taker)


def _between(made: Node, what: str, giver: list[Node], taker: list[Node]) -> Node:
    return {**made, **({f"{what}_from": giver} if giver else {}), **({f"{what}_to": taker} if taker else {})}


def _paid(event: Purchase | Sale, payer: list[Node], paid: list[Node]) -> Parts:
    price = amount(event.price)
    if price is not None:
        made: Node = {"type": "Payment", "_label": "Price", "paid_amount": price}
        yield {**made, **({"paid_from": payer} if payer else {}), **({"paid_to": paid} if paid else {})}
