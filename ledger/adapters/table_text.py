"""Text files of rows, with cells set apart by tabs, semicolons, commas or bars, in one of several encodings."""

import csv
import io
from collections import Counter
from collections.abc import Iterator
from typing import Final

from ledger.importing.columns import names_books
from ledger.importing.tables import CELL_MOST, ENCODINGS, LINE_MOST, MARKS, Row, TableAsked, refused

__all__ = ["read_text"]

_SAMPLE: Final = 200
_MOST: Final = 0.5
"""Of the lines this share is cut by a mark that sets cells apart. Our assumption."""
_UTF16_LEAST: Final = 0.3
_NOT_UTF8: Final = "Save it as UTF-8, or name its encoding."
_BOMS: Final = {b"\xef\xbb\xbf": "utf-8", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
_LOOK: Final = 4_096
_PAGES: Final = (b"<!doctype", b"<html", b"<table", b"<?xml")


def read_text(data: bytes, asked: TableAsked) -> tuple[str, str, Iterator[Row]]:
    """The encoding, the name of the mark that sets cells apart, and the rows that are not empty.

    Raises: MalformedError, also while the rows are read.
    """
    if data[:_LOOK].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(_PAGES):
        raise refused("it is a page of the web and no table", "Open it in a spreadsheet program and save it as XLSX.")
    encoding = asked.encoding or _encoding(data)
    if encoding not in ENCODINGS:
        raise refused(f"the encoding {encoding} is not known here", f"Name one of {', '.join(ENCODINGS)}.")
    codec = "utf-8-sig" if encoding == "utf-8" else _utf16(data) if encoding == "utf-16" else encoding
    _need_decodable(data, codec, encoding)
    first = list(_some_lines(data, codec))
    named = asked.mark or _mark(first)
    if named not in MARKS:
        raise refused(f"the mark {named} is not known here", f"Name one of {', '.join(MARKS)}.")
    return encoding, named, _rows(data, codec, MARKS[named], skip=_is_told(first))


def _encoding(data: bytes) -> str:
    """UTF-8 or UTF-16 where the bytes are, else Windows-1252.

    Raises: MalformedError, for bytes that are partly one and partly another.
    """
    for mark, name in _BOMS.items():
        if data.startswith(mark):
            return name
    if data[:_LOOK].count(0) > len(data[:_LOOK]) * _UTF16_LEAST:
        return "utf-16"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        if _has_utf8(data):
            raise refused(f"its characters are partly in UTF-8 and partly not, as in line {line}", _NOT_UTF8) from error
        return "cp1252"
    return "utf-8"


def _has_utf8(data: bytes) -> bool:
    """Somewhere letters beyond ASCII are written as UTF-8 writes them, which nobody does by chance three times."""
    found = Counter(sign for sign in data.decode("utf-8", "ignore") if sign > "\x7f")
    pairs = sum(count for sign, count in found.items() if sign.isprintable())
    return pairs > sum(each >= 0x80 for each in data) // 3  # noqa: PLR2004 - a letter beyond ASCII has two bytes or more


def _utf16(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "utf-16"
    some = data[:_LOOK]
    return "utf-16-le" if some[1::2].count(0) > some[::2].count(0) else "utf-16-be"


def _need_decodable(data: bytes, codec: str, encoding: str) -> None:
    if not codec.startswith("utf-16") and b"\x00" in data:
        line = data.count(b"\n", 0, data.index(b"\x00")) + 1
        raise refused(f"line {line} holds a character that is none", "It may be no text. Save it as UTF-8 or XLSX.")
    try:
        with io.TextIOWrapper(io.BytesIO(data), encoding=codec, newline="") as text:
            while text.read(1 << 20):
                pass
    except UnicodeError as error:
        raise refused(f"it holds characters that {encoding} does not have", _NOT_UTF8) from error


def _lines(data: bytes, codec: str) -> Iterator[str]:
    with io.TextIOWrapper(io.BytesIO(data), encoding=codec, newline="") as text:
        number = 0
        while line := text.readline(LINE_MOST + 1):
            number += 1
            if len(line) > LINE_MOST:
                raise refused(f"line {number} has more than {LINE_MOST:,} characters", "Shorten what stands in it.")
            yield line


def _some_lines(data: bytes, codec: str) -> Iterator[str]:
    for number, line in enumerate(_lines(data, codec)):
        if number >= _SAMPLE:
            return
        yield line


def _is_told(first: list[str]) -> bool:
    """Its first line only says which mark sets cells apart, as some spreadsheets write it."""
    return bool(first) and first[0].casefold().startswith("sep=") and len(first[0].strip()) <= len("sep=;")


def _mark(first: list[str]) -> str:
    """The mark that cuts most lines into the same number of cells, more than one."""
    if _is_told(first):
        said = first[0].strip("\r\n")[len("sep=") :]
        return next((name for name, mark in MARKS.items() if mark == said), "comma")
    shares: dict[str, float] = {}
    scored = []
    for name, mark in MARKS.items():
        try:
            widths = Counter(len(cells) for cells in csv.reader(first, delimiter=mark) if any(cells))
        except csv.Error:
            continue
        whole = [(count, width) for width, count in widths.items() if width > 1]
        scored.append((*max(whole, default=(0, 0)), name))
        shares[name] = sum(count for count, _ in whole) / max(widths.total(), 1)
    best = max(scored, default=(0, 0, "comma"), key=lambda each: each[:2])
    if not any("\t" in line for line in first) and shares.get(best[2], 0) < _MOST and not _names(first, MARKS[best[2]]):
        # Marks in a few lines only are those of sentences: every line is one cell.
        return "tab"
    return best[2] if best[0] else "comma"


def _names(first: list[str], mark: str) -> bool:
    return names_books(list(enumerate(csv.reader(first, delimiter=mark), start=1)))


def _rows(data: bytes, codec: str, mark: str, *, skip: bool) -> Iterator[Row]:
    reader = csv.reader(_lines(data, codec), delimiter=mark, skipinitialspace=True, strict=True)
    number = 0
    try:
        for cells in reader:
            number += 1
            stripped = [cell.strip() for cell in cells]
            while stripped and not stripped[-1]:
                stripped.pop()
            if stripped and not (skip and number == 1):
                yield number, stripped
    except csv.Error as error:
        if "field limit" in str(error):
            sentence = f"a cell in row {number + 1} has more than {CELL_MOST:,} characters, or its quotes have no end"
            raise refused(sentence, "Shorten it, or close the quotes.") from error
        mend = "Close the quotes of that row, double those inside a cell, or take them out."
        raise refused(f"the quotes of row {number + 1} do not stand as in a table ({error})", mend) from error
