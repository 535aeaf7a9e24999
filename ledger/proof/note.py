"""The form of a signed note: text, an empty line, and one line for each signature; nothing is checked but the form.

Source: C2SP signed-note v1.0.0, "Format".
"""

import re
from base64 import b64decode, b64encode
from dataclasses import dataclass
from typing import Final, NoReturn

from ledger.proof.keys import is_name
from ledger.proof.report import MalformedError

MOST_SIGNATURES: Final = 64
"""A note has no more; the standard asks for room for at least 16."""

_DASH: Final = "\u2014 "
_KEY_ID_BYTES: Final = 4
_NOT_TEXT: Final = re.compile(r"[\x00-\x09\x0b-\x1f\ud800-\udfff]")
_WHAT: Final = "The note"


@dataclass(frozen=True)
class Line:
    """One signature: who is said to have made it, and its bytes."""

    name: str
    key_id: bytes
    signature: bytes


@dataclass(frozen=True)
class Note:
    """A text and the signatures under it, as they are written."""

    text: str
    lines: tuple[Line, ...]


def need_text(text: str) -> None:
    """Refuse a text that cannot stand in a note.

    Raises: MalformedError.
    """
    _need_characters(text)
    if len(text) <= 1 or not text.endswith("\n"):
        _refuse("its text is not one or more lines", "Every line has an end, the last one too.")


def write_note(note: Note) -> str:
    """The note as text.

    Raises: MalformedError when it could not be read back.
    """
    need_text(note.text)
    lines = "".join(
        f"{_DASH}{line.name} {b64encode(line.key_id + line.signature).decode('ascii')}\n" for line in note.lines
    )
    written = f"{note.text}\n{lines}"
    if read_note(written) != note:
        _refuse("it could not be read back", "Leave out the signature that was added last.")
    return written


def read_note(note: bytes | str) -> Note:
    """Text and signatures of a note, none of them checked.

    Raises: MalformedError.
    """
    whole = _text(note)
    _need_characters(whole)
    # The last empty line parts text and signatures: the text may have empty lines of its own.
    text, gap, rest = whole.rpartition("\n\n")
    if not gap:
        _refuse("no empty line parts its text from its signatures", "Take the whole note, with its last lines.")
    need_text(text + "\n")
    if not rest.endswith("\n"):
        _refuse("its last line has no end", "Take the whole note, with its last lines.")
    signatures = rest.split("\n")[:-1]
    if len(signatures) > MOST_SIGNATURES:
        _refuse(f"it has more than {MOST_SIGNATURES} signatures", "Leave out those nobody checks.")
    return Note(text + "\n", tuple(_line(each, number) for number, each in enumerate(signatures, 1)))


def _need_characters(text: str) -> None:
    if bad := _NOT_TEXT.search(text):
        _refuse(f"U+{ord(bad[0]):04X} may not stand in it", "Lines end in a line feed alone; nothing else is hidden.")


def _text(note: bytes | str) -> str:
    if isinstance(note, str):
        return note
    try:
        return note.decode("utf-8")
    except UnicodeDecodeError:
        _refuse("this is not UTF-8", "Save it as UTF-8.")


def _line(text: str, number: int) -> Line:
    name, space, encoded = text.removeprefix(_DASH).partition(" ")
    try:
        data = b64decode(encoded, validate=True)
    except ValueError:
        data = b""
    well = text.startswith(_DASH) and space and is_name(name) and b64encode(data).decode("ascii") == encoded
    if not well or len(data) <= _KEY_ID_BYTES:
        _refuse("this is no signature", "It is a dash, a name and base64 with padding.", f"signature {number}")
    return Line(name, data[:_KEY_ID_BYTES], data[_KEY_ID_BYTES:])


def _refuse(problem: str, mend: str, where: str = "") -> NoReturn:
    raise MalformedError(what=_WHAT, where=where, problem=problem, mend=mend)
