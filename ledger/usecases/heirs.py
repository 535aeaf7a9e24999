"""What the program knows of a collection that those need who come after its owner; of places on a machine, nothing."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from ledger.actor import Actor, Permission
from ledger.book import Status
from ledger.drawn import LEFT
from ledger.ports import Ledger

__all__ = ["ForHeirs", "for_heirs"]

_NOT_HERE = frozenset({*LEFT, Status.NOT_YET})


@dataclass(frozen=True, kw_only=True)
class ForHeirs:
    """The collection in a few figures, as its ledger stands; `vkey` is the key that checks it."""

    collection: str
    held: int
    """Books that are in the collection, in whoever's hands."""
    away: int
    """How many of them are in other hands or under way."""
    left: int
    """Books that were in it."""
    entries: int
    vkey: str
    began: datetime | None
    """When the first entry was written; None where there is none."""
    recorded: datetime | None
    """When the last one was."""
    signed: datetime | None
    """When the last checkpoint was signed; None where none ever was."""


def for_heirs(ledger: Ledger, actor: Actor) -> ForHeirs:
    """Those figures, read in one moment.

    Raises: ForbiddenError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        counts: Counter[str] = Counter()
        for each in reader.tallies().books:
            counts[each.status] += each.books
        size, last = reader.head().size, reader.last_checkpoint()
        return ForHeirs(
            collection=reader.collection,
            held=sum(count for status, count in counts.items() if status not in _NOT_HERE),
            away=counts[Status.OUT] + counts[Status.EXPECTED],
            left=counts[Status.GONE],
            entries=size,
            vkey=ledger.signer.verifier.vkey,
            began=reader.entry(1).recorded if size else None,
            recorded=reader.entry(size).recorded if size else None,
            signed=last.signed if last else None,
        )
