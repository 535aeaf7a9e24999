"""The signing keys of a collection one after another, for whoever holds one of them and a record under an earlier one.

The chain is what the collection's own `key` entries say, found in a ledger that the key at hand signed. So the chain
vouches for keys before the one at hand, and for none after it.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from ledger.proof.attested import open_checkpoint
from ledger.proof.canonical import Plain, encode, read
from ledger.proof.checkpoint import Checkpoint, collection_of
from ledger.proof.proof_file import EntryProof, entries_from, entries_plain
from ledger.proof.record import EntryRead, RecordReport, read_entry
from ledger.proof.record_file import RECORD_FORMAT, RecordFile
from ledger.proof.report import Evidence, LedgerError, MalformedError, Report
from ledger.proof.shapes import Shapes
from ledger.proof.signature import VerifierKey, open_note, parse_vkey

__all__ = ["KEYS_FORMAT", "KeyChain", "KeysFile", "OneKey", "begins", "read_chain", "rotation_statement"]

KEYS_FORMAT: Final = "slipsheet-keys/1"
KEY: Final = "key"
ROTATE: Final = "rotate"
STOLEN: Final = "stolen"
_FIRST_LINE: Final = "slipsheet key rotation"
_READ: Final = Shapes("The file of keys")
_MOMENT: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:]{8}(Z|[+-][0-9]{2}:[0-9]{2})")
_DAY: Final = re.compile(r"[0-9]{3}(X|[0-9](-[0-9]{2}){0,2})")
_EAST_MOST: Final = timedelta(hours=14)
"""A bare day begins somewhere on earth this long before it begins in UTC. Source: IANA time zone database."""


def rotation_statement(collection: str, old: str, new: str) -> str:
    """What the old key signs when it hands over to a new one: four lines, each with its end.

    Keeps: the collection's id and both verifier keys stand in it, so it fits no other hand-over.
    """
    return f"{_FIRST_LINE}\n{collection}\n{old}\n{new}\n"


@dataclass(frozen=True, kw_only=True)
class OneKey:
    """One key, the entry that brought it into use, and how it ended; `how` is empty while it signs.

    `stolen_since` is the date as its entry spells it (EDTF).
    """

    key: VerifierKey
    started_by: int
    ended_by: int | None = None
    how: str = ""
    handed_over: bool = False
    stolen_since: str = ""


@dataclass(frozen=True, kw_only=True)
class KeyChain:
    """The keys of one collection, the oldest first."""

    origin: str
    keys: tuple[OneKey, ...]

    def of(self, key: VerifierKey) -> OneKey | None:
        """What became of a key; None where the chain does not name it."""
        return next((each for each in self.keys if each.key == key), None)


@dataclass(frozen=True, kw_only=True)
class KeysFile:
    """The `key` entries of a collection with their way to a signed checkpoint; no other entry goes with them."""

    checkpoint: str
    entries: tuple[EntryProof, ...]

    def to_bytes(self) -> bytes:
        """The file.

        Raises: MalformedError.
        """
        said: dict[str, Plain] = {
            "format": KEYS_FORMAT,
            "checkpoint": self.checkpoint,
            "entries": entries_plain(self.entries),
        }
        return encode(said, what=_READ.what)

    @classmethod
    def from_bytes(cls, data: bytes) -> "KeysFile":
        """The keys of a file, or those that come with a newer record of the same collection.

        Raises: MalformedError.
        """
        said = read(data, what=_READ.what)
        if isinstance(said, dict) and said.get("format") == RECORD_FORMAT:
            record = RecordFile.from_bytes(data)
            return cls(checkpoint=record.proof.checkpoint, entries=record.collection)
        said = _READ.members(said, "", ("format", "checkpoint", "entries"))
        if said["format"] != KEYS_FORMAT:
            _READ.refuse("format", f"this program reads {KEYS_FORMAT}", "Read it with the program that wrote it.")
        checkpoint = _READ.text(said["checkpoint"], "checkpoint")
        return cls(checkpoint=checkpoint, entries=entries_from(said["entries"], "entries"))


def read_chain(data: bytes, keys: Sequence[VerifierKey], report: Report) -> KeyChain | None:
    """The chain in a file that one of these keys signed; None, and a finding, where it does not hold."""
    try:
        file = KeysFile.from_bytes(data)
        checkpoint, _ = open_checkpoint(file.checkpoint, keys)
    except LedgerError as error:
        report.add("keys-unusable", f"The file of keys cannot be used. {error}")
        return None
    own = RecordReport()
    for place, each in enumerate(file.entries, 1):
        read_entry(f"Entry {place} of the file of keys", each, checkpoint, own)
    if own.findings:
        report.findings.extend(own.findings)
        return None
    told = [each for each in own.entries if each.kind == KEY]
    try:
        return KeyChain(origin=checkpoint.origin, keys=_joined(told, checkpoint))
    except LedgerError as error:
        sentence = f"The keys in the file of keys do not follow one another: a key entry was left out. {error}"
        report.add("keys-broken", sentence, evidence=Evidence.MISSING)
        return None


def _joined(entries: Sequence[EntryRead], checkpoint: Checkpoint) -> tuple[OneKey, ...]:
    found: list[OneKey] = []
    for each in entries:
        key = parse_vkey(str(each.body.get("vkey")))
        if found:
            handed = _handed_over(each, found[-1].key, key, checkpoint)
            how, since = str(each.body.get("action")), each.body.get("stolen_since")
            found[-1] = replace(
                found[-1],
                ended_by=each.seq,
                how=how,
                handed_over=handed,
                stolen_since=str(since) if how == STOLEN and since else "",
            )
        found.append(OneKey(key=key, started_by=each.seq))
    return tuple(found)


def _handed_over(entry: EntryRead, old: VerifierKey, new: VerifierKey, checkpoint: Checkpoint) -> bool:
    """Whether the old key signed that the new one takes over.

    Raises: MalformedError, ForgedError, UnsignedError where it says so and did not.
    """
    note = entry.body.get("handover")
    if entry.body.get("action") != ROTATE or note is None:
        return False
    said = open_note(str(note), [old]).text
    if said != rotation_statement(collection_of(checkpoint.origin), old.vkey, new.vkey):
        raise MalformedError(what=f"The hand-over of entry {entry.seq}", problem="it is of another change of keys")
    return True


def begins(text: str) -> datetime | None:
    """The first moment a date in an entry can mean, wherever on earth; None for what is no date.

    Source: EDTF, ISO 8601-2:2019 annex A, as far as entries use it.
    """
    first = text.split("/", 1)[0]
    try:
        if _MOMENT.fullmatch(first):
            return datetime.fromisoformat(first).astimezone(UTC)
        if not _DAY.fullmatch(first):
            return None
        year, *rest = first.replace("X", "0").split("-")
        month, day = [*(int(each) for each in rest), 1, 1][:2]
        return datetime.combine(date(int(year), month, day), time(), UTC) - _EAST_MOST
    except (ValueError, OverflowError):
        return None
