"""A row of a table as one line of JSON, in one spelling, and back; bytes stand in it as base64.

Source: RFC 8259 for JSON, RFC 4648 section 4 for base64; one object on each line is common practice.
"""

import binascii
import json
from base64 import b64decode, b64encode
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from typing import Any, Final

from ledger.archive.zip_files import refuse

__all__ = ["LINE_MOST", "Row", "line_of", "lines_of", "row_of"]

Row = dict[str, str | int | bytes | None]
"""Values of a row by the names of its columns."""

LINE_MOST: Final = 256 * 1024 * 1024
"""Bytes of a line: the file of a climate logger or a record lies in one row. Our assumption."""
_GREATEST: Final = 2**63
_BYTES: Final = "base64"


def line_of(row: Mapping[str, Any]) -> bytes:
    """The row as it is written, with the end of the line."""
    plain = {name: {_BYTES: b64encode(value).decode()} if _is_bytes(value) else value for name, value in row.items()}
    return json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode() + b"\n"


def lines_of(name: str, pieces: Iterable[bytes]) -> Iterator[bytes]:
    """Each line with its end, from the pieces of a file of that name.

    Raises: MalformedError for one that is too long, or without its end.
    """
    left: list[bytes] = []
    length = 0
    for piece in pieces:
        *whole, rest = piece.split(b"\n")
        for each in whole:
            yield b"".join([*left, each, b"\n"])
            left, length = [], 0
        left.append(rest)
        length += len(rest)
        if length > LINE_MOST:
            refuse(name, f"it has a line of more than {LINE_MOST} bytes")
    if length:
        refuse(name, "its last line has no end")


def row_of(name: str, number: int, line: bytes) -> Row:
    """The row that a line says, if that line is how the row is written.

    Raises: MalformedError.
    """
    row: Row = {}
    with suppress(ValueError, RecursionError, binascii.Error):
        said = json.loads(line, object_pairs_hook=_Pairs, parse_float=_no, parse_constant=_no)
        row = {each: _value(value) for each, value in said.pairs} if isinstance(said, _Pairs) else {}
    if not row or line_of(row) != line:
        refuse(name, f"line {number} is no row as an archive writes it")
    return row


class _Pairs:
    """An object as it stands in a line, a name twice in it too."""

    def __init__(self, pairs: list[tuple[str, Any]]) -> None:
        self.pairs = pairs


def _value(said: object) -> str | int | bytes | None:
    if isinstance(said, _Pairs):
        (name, value), *more = said.pairs or [("", "")]
        if more or name != _BYTES:
            raise ValueError(name)
        return b64decode(value, validate=True)
    if isinstance(said, bool) or not (said is None or isinstance(said, str | int)):
        raise ValueError(said)
    if isinstance(said, int) and not -_GREATEST <= said < _GREATEST:
        raise ValueError(said)
    return said


def _is_bytes(value: object) -> bool:
    return isinstance(value, bytes | memoryview)


def _no(text: str) -> object:
    raise ValueError(text)
