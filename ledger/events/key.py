"""key: a signing key was started, handed over, lost or stolen."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.collection import KeyPeriod
from ledger.errors import LedgerError, MalformedError, Problem
from ledger.events._base import At, Event, Lane, Scope, fact, sealed, text
from ledger.proof.key_chain import rotation_statement
from ledger.proof.signature import ED25519, open_note, parse_vkey
from ledger.sealed import Sealed
from ledger.when import When

if TYPE_CHECKING:
    from ledger.collection import Collection

__all__ = ["SAID", "SIGNED", "UNSIGNED", "Action", "Key", "rotation_statement"]


class Action(StrEnum):
    """What happened to the signing key."""

    START = "start"
    ROTATE = "rotate"
    LOST = "lost"
    STOLEN = "stolen"


@dataclass(frozen=True, kw_only=True)
class Key(Event):
    """From now on checkpoints are signed with this key.

    Keeps: without the old key's signature the change is shown as a break. What a stolen key signed holds only where it
    was anchored outside before the theft. Keys follow one another as they were recorded, whatever dates they give.

    Rules: 1 the verifier key is well formed. 2 The first key is started, once; the others follow a key in use. 3 A key
    comes into use once. 4 Only a rotation is handed over by the old key. 5 The hand-over is the statement of exactly
    this change, signed by the key in use. 6 A theft says since when, on or before the day it is written for; nothing
    else does. 7 All keys of a ledger go by one name.
    """

    kind: ClassVar[str] = "key"
    title: ClassVar[str] = "Signing key"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.COLLECTION
    as_recorded: ClassVar[bool] = True

    action: Action = fact("Action", "Start, rotate, lost or stolen.")
    vkey: str = text("Verifier key", "Of the key in use from now on, one line: name, id and key.", most=300)
    handover: str | None = fact(
        "Hand-over",
        "The statement of the change as a signed note of the old key; null when it does not sign.",
        default=None,
        min_length=1,
        max_length=2000,
    )
    stolen_since: When | None = fact("Stolen since", "The earliest day somebody else may have had it.", default=None)
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1, 4 and 6."""
        yield from super().flaws()
        try:
            if parse_vkey(self.vkey).algorithm != ED25519:
                sentence = (
                    "This key gives dated cosignatures, it does not sign a ledger. Make an Ed25519 key (type 01)."
                )
                yield self.rule(1, sentence, "vkey")
        except MalformedError as error:
            yield self.rule(1, str(error), "vkey")
        if self.handover is not None and self.action is not Action.ROTATE:
            yield self.rule(4, f"Nothing is handed over with {self.action}. Leave it out, or say rotate.", "handover")
        if (self.action is Action.STOLEN) != (self.stolen_since is not None):
            sentence = "A stolen key says since when, and no other does. Say stolen with the earliest day, or neither."
            yield self.rule(6, sentence, "stolen_since")
        if self.on is not None and self.stolen_since is not None and self.on.certainly_before(self.stolen_since):
            yield self.rule(6, "It was stolen after the day this is written for. Check both dates.", "stolen_since")

    def check_collection(self, collection: "Collection") -> Iterator[Problem]:
        """Rules 2, 3, 5 and 7."""
        in_use = collection.key
        if self.action is Action.START and collection.keys:
            first = collection.keys[0].started_by
            yield self.rule(2, f"A key was started with entry {first}. Say rotate, lost or stolen.", "action", [first])
        if self.action is not Action.START and in_use is None:
            yield self.rule(2, "No key is in use yet. Start one first.", "action")
        before = [each.started_by for each in collection.keys if each.vkey == self.vkey]
        if before:
            yield self.rule(3, f"This key came into use with entry {before[0]}. Make a new one.", "vkey", before)
        name = in_use.vkey.partition("+")[0] if in_use else ""
        if in_use is not None and self.vkey.partition("+")[0] != name:
            sentence = f"The keys of this ledger go by the name {name}. Make the new one under it."
            yield self.rule(7, sentence, "vkey", [in_use.started_by])
        if self.action is Action.ROTATE and self.handover is not None and in_use is not None:
            yield from self._handover_problems(collection, in_use)

    def _handover_problems(self, collection: "Collection", in_use: KeyPeriod) -> Iterator[Problem]:
        by = [in_use.started_by]
        try:
            said = open_note(self.handover or "", [parse_vkey(in_use.vkey)]).text
        except LedgerError as error:
            yield self.rule(5, f"The hand-over is not signed by the key in use. {error}", "handover", by)
            return
        # The entry's envelope binds the collection; where its id is not at hand, the other lines are compared.
        name = collection.id or said.split("\n", 2)[1]
        if said != rotation_statement(name, in_use.vkey, self.vkey):
            sentence = "The old key signed something else than this change. Have it sign the statement of this one."
            yield self.rule(5, sentence, "handover", by)

    def apply_collection(self, collection: "Collection", at: At) -> "Collection":
        """The new key is in use; the one before it has ended."""
        ended = (
            replace(each, ended_by=at.seq, stolen_since=self.stolen_since) if each.ended_by is None else each
            for each in collection.keys
        )
        signed = self.action is Action.ROTATE and self.handover is not None
        period = KeyPeriod(vkey=self.vkey, started_by=at.seq, signed_by_old=signed)
        return replace(collection, keys=(*ended, period))

    def summary(self) -> str:
        """What happened, and whether the old key agreed."""
        if self.action is Action.ROTATE:
            return SIGNED if self.handover is not None else UNSIGNED
        since = f" since {self.stolen_since.label()}" if self.stolen_since else ""
        return SAID[self.action].format(since=since)


SIGNED = "Key rotated, signed by the old key"
UNSIGNED = "Key rotated without the old key's signature: a break"
SAID = {
    Action.START: "Key started",
    Action.LOST: "Key lost, a new one started: a break",
    Action.STOLEN: "Key stolen{since}, a new one started: a break",
}
