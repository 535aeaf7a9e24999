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
_STREAMS_MOST: Final = 100_000
"""Streams in a sheet: each page, font and picture is a few of them. Our assumption."""
_RECORDS_MOST: Final = 4
"""Times that one record may be attached: once is what a sheet has, and each time may unpack to all that one may have."""
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


def attached_record(data: bytes, *, most: int = _MOST_BYTES) -> bytes:
    """The one record file that is attached to a printed sheet, of so many bytes at most.

    Raises: MalformedError where there is none, or where there are two that differ.
    """
    record: bytes | None = None
    seen = 0
    for met, match in enumerate(_STREAM.finditer(data)):
        if met == _STREAMS_MOST:
            _refuse(f"it has more than {_STREAMS_MOST} streams")
        head = _head(data, match.start() + 2)
        content = _content(data, head, match.end(), most) if head is not None and _TYPE.search(head) else None
        # Only what can be a record is kept, and only one of them: a sheet may have any number of other files attached.
        if content is None:
            continue
        if record is not None and content != record:
            _refuse("two records that differ are attached to it")
        record = content
        seen += 1
        if seen > _RECORDS_MOST:
            _refuse(f"a record is attached to it more than {_RECORDS_MOST} times")
    if record is None:
        _refuse("no record was found attached to it")
    return record


def _head(data: bytes, end: int) -> bytes | None:
    """The dictionary before a stream, from the object's beginning on."""
    start = data.rfind(b" obj", max(0, end - _LONGEST_HEAD), end)
    return data[start:end] if start >= 0 else None


def _content(data: bytes, head: bytes, start: int, most: int) -> bytes | None:
    """The record that is attached; None for another file, for one packed in another way, or that ends elsewhere."""
    length = _LENGTH.search(head)
    if length is None:
        return None
    end = start + int(length[1])
    if data[end : end + 11].lstrip(b"\r\n")[:9] != b"endstream":
        return None
    filtered = _FILTER.search(head)
    if filtered is None:
        return data[start:end] if data.startswith(_RECORD, start) and end - start <= most else None
    return _inflated(data[start:end], most) if _FLATE.fullmatch(filtered[1]) else None


def _inflated(packed: bytes, most: int) -> bytes | None:
    """The record that was packed; of what begins as none, no more is unpacked than its beginning."""
    try:
        if zlib.decompressobj().decompress(packed, len(_RECORD)) != _RECORD:
            return None
        unpacking = zlib.decompressobj()
        content = unpacking.decompress(packed, most + 1)
    except zlib.error:
        return None
    return content if unpacking.eof and len(content) <= most else None


def _refuse(problem: str) -> NoReturn:
    raise MalformedError(what="The printed sheet", problem=problem, mend=_BY_HAND)
