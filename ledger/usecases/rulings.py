"""What the owner holds otherwise than a rule table: the rulings in force, with the entries that made them."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from ledger.actor import Actor, Permission
from ledger.events.ruling import Ruling
from ledger.history import fold_collection, history
from ledger.ports import Ledger

__all__ = ["Ruled", "rulings"]


@dataclass(frozen=True, kw_only=True)
class Ruled:
    """A ruling in force, as it was last corrected, and the number of its entry."""

    seq: int
    ruling: Ruling


def rulings(ledger: Ledger, actor: Actor) -> Mapping[tuple[str, str], Ruled]:
    """Every ruling in force by table and row; of several on one row the last."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        moments = history(reader.of_collection(), ledger.codec)
    events = {moment.entry.seq: moment.event for moment in moments}
    standing = fold_collection(ledger.collection, moments).rulings
    found = {place: (seq, events[seq]) for place, seq in standing.items()}
    return MappingProxyType(
        {place: Ruled(seq=seq, ruling=event) for place, (seq, event) in found.items() if isinstance(event, Ruling)}
    )
