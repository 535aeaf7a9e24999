"""Lines of a second person as they come back: whose they are, and of which checkpoint of this ledger."""

from collections.abc import Sequence
from typing import Final

from ledger.ports import StoredCheckpoint
from ledger.proof.checkpoint import parse
from ledger.proof.cosigning import line_text, moment_of
from ledger.proof.note import Line, Note, read_note, write_note
from ledger.proof.report import MalformedError
from ledger.proof.signature import COSIGNATURE, ForgedError, VerifierKey, open_note
from ledger.proof.stamped import StampError

__all__ = ["is_cosignature", "line_in", "read_cosignatures"]

DASH: Final = "\u2014 "
_STANDS_ALONE: Final = "A line\n"
"""A text under which lines are read that came without one."""


def is_cosignature(data: bytes) -> bool:
    """Whether this is text with signature lines; a time stamp is none."""
    return DASH.encode("utf-8") in data and b"\0" not in data


def line_in(data: bytes) -> Line:
    """The one line that is kept as a stamp.

    Raises: MalformedError.
    """
    lines = _lines(data.decode("utf-8", "replace"))
    if len(lines) != 1:
        raise MalformedError(what="The cosignature", problem="it is not one line", mend="Take it in again.")
    return lines[0]


def read_cosignatures(
    data: bytes, checkpoints: Sequence[StoredCheckpoint], known: Sequence[VerifierKey], given: VerifierKey | None
) -> list[tuple[int, str, bytes]]:
    """The size of the checkpoint, the cosigner's verifier key and the line, of each line that one of them made.

    Lines may come alone, or under the checkpoint that they are of.
    Raises: MalformedError; StampError where nothing of this ledger was cosigned by anybody whose key is at hand.
    """
    try:
        text = data.decode("utf-8").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise MalformedError(what="The cosignature", problem="it is not UTF-8", mend="Save it as UTF-8.") from error
    under = None if text.startswith(DASH) else read_note(text)
    lines = _lines(text) if under is None else under.lines
    said = [(each, parse(read_note(each.note).text).origin) for each in checkpoints]
    if under is not None:
        _need_ours(under.text, {origin for _, origin in said}, checkpoints)
    others = [each for each in lines if each.name not in {origin for _, origin in said}]
    if given is not None and given.algorithm != COSIGNATURE:
        raise StampError(sentence="This key signs a ledger; a cosigner has one of another kind. Ask them for theirs.")
    keys = [*known, *([given] if given else [])]
    found = [one for each in others if (one := _one(each, under, checkpoints, keys)) is not None]
    if not found:
        raise StampError(sentence=_nobody(others, keys))
    return found


def _lines(text: str) -> tuple[Line, ...]:
    return read_note(f"{_STANDS_ALONE}\n{text if text.endswith(chr(10)) else text + chr(10)}").lines


def _need_ours(text: str, origins: set[str], checkpoints: Sequence[StoredCheckpoint]) -> None:
    origin = text.split("\n", 1)[0]
    if origin not in origins:
        raise StampError(sentence=f"This is a cosignature of another ledger, {origin[:100]}.")
    if not any(read_note(each.note).text == text for each in checkpoints):
        raise StampError(sentence="The checkpoint above the cosignature is none that this ledger signed.")


def _one(
    line: Line, under: Note | None, checkpoints: Sequence[StoredCheckpoint], keys: Sequence[VerifierKey]
) -> tuple[int, str, bytes] | None:
    """The checkpoint that a line is of; None where its key is not at hand."""
    key = next((each for each in keys if (each.name, each.key_id) == (line.name, line.key_id)), None)
    if key is None:
        return None
    of = next((each for each in reversed(checkpoints) if _holds(line, read_note(each.note).text, key)), None)
    if of is None:
        raise StampError(
            sentence=f"The cosignature of {line.name} belongs to no checkpoint of this ledger: it is of another one, or "
            "was changed."
        )
    if under is not None and read_note(of.note).text != under.text:
        size = parse(under.text).size
        raise StampError(
            sentence=f"The cosignature of {line.name} is of the checkpoint over {of.size} entries and stands under the "
            f"one over {size}, of which it says nothing."
        )
    return of.size, key.vkey, line_text(line).encode("utf-8")


def _holds(line: Line, text: str, key: VerifierKey) -> bool:
    """Whether the line is of this text.

    Raises: StampError for one that is, and gives a time that is none.
    """
    try:
        signed = open_note(write_note(Note(text, (line,))), [key]).verified
    except ForgedError:
        return False
    moment_of(signed[0].timestamp or 0)
    return True


def _nobody(lines: Sequence[Line], keys: Sequence[VerifierKey]) -> str:
    """Why no line counts."""
    if not lines:
        return "Nobody but this ledger itself signed that: there is no cosignature in it."
    names = ", ".join(f"{each.name} ({each.key_id.hex()})" for each in lines)
    same = sorted(f"{key.name} ({key.key_id.hex()})" for key in keys if key.name in {each.name for each in lines})
    if same:
        return f"It is cosigned by {names}, and the key at hand is another, {', '.join(same)}. Ask which one is right."
    return f"It is cosigned by {names}, whose verifier key is not known here. Give it once with the cosignature."
