"""Founds a collection: its first entry names the key that signs for it."""

from ledger.actor import Actor
from ledger.events.key import Action, Key
from ledger.ports import Ledger
from ledger.usecases.record import Draft, Recorded, Request, record


def found(ledger: Ledger, actor: Actor) -> Recorded | None:
    """The entry that starts the key at hand; None when the collection has entries already."""
    with ledger.log.read() as reader:
        if reader.head().size:
            return None
    start = Key(action=Action.START, vkey=ledger.signer.verifier.vkey)
    return record(ledger, actor, [Draft(event=start)], Request(key="found", body=b"found"))
