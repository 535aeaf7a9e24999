"""The record attached to a printed sheet (PDF/A-3), taken out without a PDF library.

What is attached is a stream of its own, under the type `EmbeddedFile`; the sheet's makers write its length beside it.
Anything that cannot be found so is refused with the way to take it out by hand: nothing that is read here is trusted,
and what was read is checked like a record that came alone.

Source: ISO 32000-1 sections 7.3.8 (streams), 7.4.4 (Flate), 7.11.4 (embedded files).
"""

import re
import zlib
from typing import Final, NoReturn

from ledger.proof.report import MalformedError

__all__ = ["attached_record", "is_pdf"]

_MOST_BYTES: Final = 64 * 1024 * 1024
"""As much as a record file may have."""
_LONGEST_HEAD: Final = 2000
_STREAM: Final = re.compile(rb">>\s*stream\r?\n")
_LENGTH: Final = re.compile(rb"/Length\s+(\d{1,9})(?!\d|\s+\d+\s+R)")
_TYPE: Final = re.compile(rb"/Type\s*/EmbeddedFile\b")
_FILTER: Final = re.compile(rb"/Filter\s*(\[[^\]]*\]|/\w+)")
_FLATE: Final = re.compile(rb"\[?\s*/FlateDecode\s*\]?")
_RECORD: Final = b'{"collection":['
"""How every record file begins, in its one byte form."""
_BY_HAND: Final = "Take the attached file out first, with pdfdetach -save 1 FILE, and check that."


def is_pdf(data: bytes) -> bool:
    """Whether this is meant as a PDF. Source: ISO 32000-1 section 7.5.2."""
    return data.startswith(b"%PDF-")


def attached_record(data: bytes) -> bytes:
    """The one record file that is attached to a printed sheet.

    Raises: MalformedError where there is none, or where there are two that differ.
    """
    found: set[bytes] = set()
    for match in _STREAM.finditer(data):
        head = _head(data, match.start() + 2)
        if head is not None and _TYPE.search(head) and (content := _content(data, head, match.end())) is not None:
            found.add(content)
    records = {each for each in found if each.startswith(_RECORD)}
    if len(records) > 1:
        _refuse("two records that differ are attached to it")
    if not records:
        _refuse("no record was found attached to it")
    return records.pop()


def _head(data: bytes, end: int) -> bytes | None:
    """The dictionary before a stream, from the object's beginning on."""
    start = data.rfind(b" obj", max(0, end - _LONGEST_HEAD), end)
    return data[start:end] if start >= 0 else None


def _content(data: bytes, head: bytes, start: int) -> bytes | None:
    """What is attached; None where it is packed in another way, or does not end where it says."""
    length = _LENGTH.search(head)
    if length is None:
        return None
    end = start + int(length[1])
    if data[end : end + 11].lstrip(b"\r\n")[:9] != b"endstream":
        return None
    filtered = _FILTER.search(head)
    if filtered is None:
        return data[start:end]
    return _inflated(data[start:end]) if _FLATE.fullmatch(filtered[1]) else None


def _inflated(packed: bytes) -> bytes | None:
    unpacking = zlib.decompressobj()
    try:
        content = unpacking.decompress(packed, _MOST_BYTES + 1)
    except zlib.error:
        return None
    return content if unpacking.eof and len(content) <= _MOST_BYTES else None


def _refuse(problem: str) -> NoReturn:
    raise MalformedError(what="The printed sheet", problem=problem, mend=_BY_HAND)
