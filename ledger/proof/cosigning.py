"""A second person's cosignature: they are shown a checkpoint and how the ledger grew to it, and say that they saw it.

Who cosigns looks only at the checkpoint and at the one before, never at an entry.

Source: C2SP tlog-witness v1.0.0 (request and rules), tlog-cosignature v1.0.1.
"""

import re
from base64 import b64decode, b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final, NoReturn

from ledger.proof.attested import open_checkpoint
from ledger.proof.checkpoint import Checkpoint, parse
from ledger.proof.merkle import ProofError, verify_consistency
from ledger.proof.note import Line, Note, read_note, write_note
from ledger.proof.report import MalformedError
from ledger.proof.signature import CosigningKey, VerifierKey
from ledger.proof.stamped import StampError

__all__ = ["Shown", "cosign", "line_text", "moment_of", "read_shown", "with_lines", "write_shown"]

MOST_HASHES: Final = 63
"""Source: C2SP tlog-witness."""
LAST_SECOND: Final = 253_402_300_799
"""The last second of the year 9999, the last that four digits spell. Source: RFC 3339 section 5.6; the bound is ours."""
_OLD: Final = re.compile(r"old (0|[1-9][0-9]{0,15})")
_WHAT: Final = "What is to be cosigned"
_ASK: Final = "Ask the owner for a request from that size: slipsheet stamp request --since"


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A checkpoint to be cosigned: its note, and the way to it from an older size; None where no way is shown."""

    note: str
    old: int | None = None
    proof: tuple[bytes, ...] = ()


def write_shown(shown: Shown) -> str:
    """The request as text. Source: C2SP tlog-witness, `add-checkpoint`."""
    hashes = "".join(b64encode(each).decode("ascii") + "\n" for each in shown.proof)
    return f"old {shown.old or 0}\n{hashes}\n{shown.note}"


def read_shown(data: bytes) -> Shown:
    """The request of an owner, or a checkpoint by itself; nothing is checked but the form.

    Raises: MalformedError.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        _refuse("it is not UTF-8")
    first, *_ = text.split("\n", 1)
    found = _OLD.fullmatch(first)
    if found is None:
        if first.startswith("old "):
            _refuse("the size it begins at is not spelled as it must be")
        read_note(text)
        return Shown(note=text)
    head, gap, note = text.partition("\n\n")
    hashes = head.split("\n")[1:]
    if not gap or len(hashes) > MOST_HASHES:
        _refuse("it is no request with a checkpoint in it")
    read_note(note)
    return Shown(note=note, old=int(found[1]), proof=tuple(map(_hash, hashes)))


def cosign(
    shown: Shown,
    owner: Sequence[VerifierKey],
    last: str | None,
    key: CosigningKey,
    timestamp: int,
) -> Line:
    """The cosignature of what is shown, if the ledger only grew since the note that was cosigned `last`.

    `owner` are the ledger's own keys, which whoever cosigns has from its owner.
    Units: `timestamp` in whole seconds since 1970-01-01 UTC
    Raises: MalformedError, ForgedError, UnsignedError; StampError where it is not the same ledger, grown, or the time is
    none.
    """
    moment_of(timestamp)
    now, opened = open_checkpoint(shown.note, owner)
    if key.verifier.name == now.origin:
        raise StampError(sentence="The owner's own name cosigns nothing: a second person has to. Choose another name.")
    before = parse(read_note(last).text) if last is not None else None
    _need_grown(shown, before, now)
    return key.line(opened.text, timestamp)


def _need_grown(shown: Shown, before: Checkpoint | None, now: Checkpoint) -> None:
    if before is None:
        if shown.old:
            sentence = (
                f"The request begins at {shown.old} entries, and nothing of this ledger has been cosigned with this key "
                f"yet. {_ASK} 0."
            )
            raise StampError(sentence=sentence)
        return
    if before.origin != now.origin:
        raise StampError(sentence=f"This is a checkpoint of another ledger, {now.origin}.")
    if now.size < before.size:
        sentence = (
            f"This checkpoint is over {now.size} entries, and the one cosigned last was over {before.size}: entries are "
            "missing, or an old one was handed out. It is not cosigned."
        )
        raise StampError(sentence=sentence)
    if now.size == before.size:
        if now != before:
            raise StampError(sentence=_two(before))
        return
    _need_proof(shown, before, now)


def _need_proof(shown: Shown, before: Checkpoint, now: Checkpoint) -> None:
    """Source: RFC 9162 section 2.1.4.2; from nothing everything grows, and no proof goes with that."""
    if (shown.old or 0) != before.size:
        sentence = (
            f"Nothing shows how the ledger grew from the {before.size} entries that were cosigned last to {now.size}. "
            f"{_ASK} {before.size}."
        )
        raise StampError(sentence=sentence)
    if before.size == 0 and not shown.proof:
        return
    try:
        verify_consistency(before.size, now.size, shown.proof, before.root, now.root)
    except (ProofError, MalformedError) as error:
        raise StampError(sentence=_two(before)) from error


def _two(before: Checkpoint) -> str:
    return (
        f"The first {before.size} entries are not those that were cosigned last: this is another history under the same "
        "name. Do not cosign it, and keep both files: together they show it."
    )


def moment_of(timestamp: int) -> datetime:
    """The moment that a cosignature gives, UTC.

    Units: `timestamp` in whole seconds since 1970-01-01 UTC
    Raises: StampError for one that no calendar here has: before 1970, or after the year 9999.
    """
    if not 0 <= timestamp <= LAST_SECOND:
        sentence = (
            "The cosignature gives a time after the year 9999 or before 1970, so it says nothing of when the checkpoint "
            "was seen. Ask for one from a machine whose clock is right."
        )
        raise StampError(sentence=sentence)
    return datetime.fromtimestamp(timestamp, UTC)


def line_text(line: Line) -> str:
    """The line as it stands in a note. Source: C2SP signed-note, "Format"."""
    return f"\u2014 {line.name} {b64encode(line.key_id + line.signature).decode('ascii')}\n"


def with_lines(note: str, lines: Sequence[Line]) -> str:
    """The note with these lines under its own, those that stand there already left out.

    Raises: MalformedError.
    """
    read = read_note(note)
    added = tuple(each for each in lines if each not in read.lines)
    return write_note(Note(read.text, (*read.lines, *added))) if added else note


def _hash(text: str) -> bytes:
    try:
        data = b64decode(text, validate=True)
    except ValueError:
        data = b""
    if b64encode(data).decode("ascii") != text or not data:
        _refuse("a hash in it is not in base64")
    return data


def _refuse(problem: str) -> NoReturn:
    raise MalformedError(what=_WHAT, problem=problem, mend="Take the whole file as the owner gave it.")
