"""XLSX files, read as what their cells show and never run: first the archive is held against its limits, then its XML.

Source: ECMA-376 part 1 sections 18.2.19 (hidden sheets), 18.3 (sheets), 18.3.1.55 (merged cells), 18.4 (shared strings),
18.8.30 (number formats) and 22.9.2.19 (characters that are spelt out); part 2 (packages).
"""

import io
import stat
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, islice
from pathlib import PurePosixPath
from typing import Final

from ledger.adapters import table_xml as xml
from ledger.adapters.table_merges import spread
from ledger.adapters.table_numbers import Formats
from ledger.importing.columns import HEAD_WITHIN, names_books
from ledger.importing.tables import NOT_WORKED_OUT, SHEETS_MOST, Row, refused
from ledger.spreadsheet_cells import read_xml_text

__all__ = ["is_xlsx", "read_xlsx"]

ENTRIES_MOST: Final = 2_000
UNPACKED_MOST: Final = 512 * 1024 * 1024
RATIO_MOST: Final = 200
"""How many times larger an entry may be than it is packed; spreadsheets pack some twenty times. Our assumption."""
RATIO_FROM: Final = 1024 * 1024
"""Bytes below which the ratio says nothing."""
_MAGIC: Final = b"PK\x03\x04"
_OLD: Final = b"\xd0\xcf\x11\xe0"
_ENCRYPTED: Final = 1
_WORKBOOK: Final = "xl/workbook.xml"
_AGAIN: Final = "Open it in a spreadsheet program and save it anew as XLSX, or as CSV."


def is_xlsx(data: bytes) -> bool:
    """It is an archive, whatever its name says.

    Raises: MalformedError for the older form, and for one that is under a password.
    """
    if data.startswith(_OLD):
        raise refused("it is of an older form of spreadsheets, or under a password", "Save it as XLSX or CSV.")
    return data.startswith(_MAGIC)


@dataclass(frozen=True)
class _Sheet:
    name: str
    path: str
    is_hidden: bool


def read_xlsx(data: bytes, wanted: str | None) -> tuple[str, tuple[str, ...], Iterator[Row]]:
    """The name of the sheet that is read, the names of all, and its rows that are not empty.

    Keeps: unless a sheet is named, it is the first whose columns are named as those of books are, else the first with rows;
    one that is hidden is read only where no other has rows.
    Raises: MalformedError, also while the rows are read.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError) as error:
        raise refused("it is no whole archive", _AGAIN) from error
    _need_fit(archive.infolist(), len(data))
    if _WORKBOOK not in archive.NameToInfo:
        raise refused("it is of another form of spreadsheets, or of something else", _AGAIN)
    sheets, is_1904 = _sheets(archive)
    names = tuple(each.name for each in sheets)
    if wanted is not None and wanted not in names:
        raise refused(f"it has no sheet {wanted!r}", f"Name one of {', '.join(names)}.")
    strings = _strings(archive)
    formats = _formats(archive, is_1904=is_1904)
    other: tuple[str, Iterator[Row]] | None = None
    asked = [each for each in sheets if wanted in (None, each.name)]
    for sheet in sorted(asked, key=lambda each: each.is_hidden):
        rows = _read(archive, sheet.path, strings, formats)
        if merged := xml.merged(archive, sheet.path):
            rows = spread(rows, merged)
        if wanted == sheet.name:
            return sheet.name, names, rows
        first = list(islice(rows, HEAD_WITHIN)) if not (other and sheet.is_hidden) else []
        if first and names_books(first):
            return sheet.name, names, chain(first, rows)
        if first and other is None:
            other = sheet.name, chain(first, rows)
    if other is None:
        raise refused("no sheet of it has a row", "Put rows into it.")
    return other[0], names, other[1]


def _need_fit(entries: Sequence[zipfile.ZipInfo], size: int) -> None:
    """Nothing in it is larger than may be, stands elsewhere than it should, or is there twice; before any of it is read."""
    if len(entries) > ENTRIES_MOST:
        raise refused(f"its archive has {len(entries):,} entries and there may be {ENTRIES_MOST:,}", _AGAIN)
    names = [each.filename.casefold() for each in entries]
    if len(set(names)) != len(names):
        raise refused("its archive has two entries of one name", _AGAIN)
    if sum(each.file_size for each in entries) > UNPACKED_MOST:
        raise refused("it would be far too large when it is unpacked", "Leave out what is no row of books.")
    for each in entries:
        path = PurePosixPath(each.filename.replace("\\", "/"))
        if path.is_absolute() or ".." in path.parts or ":" in each.filename:
            raise refused("an entry of its archive would lie outside of it", _AGAIN)
        if stat.S_ISLNK(each.external_attr >> 16):
            raise refused("an entry of its archive points elsewhere", _AGAIN)
        if each.flag_bits & _ENCRYPTED:
            raise refused("it is under a password", "Save it without one.")
        if each.file_size > RATIO_FROM and each.file_size > RATIO_MOST * max(each.compress_size, 1):
            raise refused("it would be far larger unpacked than any spreadsheet", _AGAIN)
    _need_apart(entries, size)


def _need_apart(entries: Sequence[zipfile.ZipInfo], size: int) -> None:
    """No two entries share their bytes, as in an archive that is made to grow without end."""
    ordered = sorted(entries, key=lambda each: each.header_offset)
    ends = [each.header_offset for each in ordered[1:]] + [size]
    for each, end in zip(ordered, ends, strict=True):
        if each.header_offset + each.compress_size > end:
            raise refused("entries of its archive lie over each other", _AGAIN)


def _sheets(archive: zipfile.ZipFile) -> tuple[list[_Sheet], bool]:
    """The sheets in the order of their tabs, and whether days are counted from 1904."""
    targets: dict[str, str] = {}
    for _, said in xml.elements(archive, "xl/_rels/workbook.xml.rels", ("Relationship",)):
        target = said.get("Target", "")
        whole = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        targets[said.get("Id", "")] = str(PurePosixPath(whole))
    sheets: list[_Sheet] = []
    is_1904 = False
    for name, said in xml.elements(archive, _WORKBOOK, ("sheet", "workbookPr")):
        if name == "workbookPr":
            is_1904 = said.get("date1904", "0") in ("1", "true")
        elif (path := targets.get(said.get("id", ""))) in archive.NameToInfo:
            is_hidden = said.get("state", "visible") != "visible"
            sheets.append(_Sheet(said.get("name", "")[:200], path, is_hidden))
    if not 1 <= len(sheets) <= SHEETS_MOST:
        raise refused(f"it has {len(sheets)} sheets that can be read", _AGAIN)
    return sheets, is_1904


def _strings(archive: zipfile.ZipFile) -> list[str]:
    if "xl/sharedStrings.xml" not in archive.NameToInfo:
        return []
    return list(xml.strings(archive, "xl/sharedStrings.xml"))


def _formats(archive: zipfile.ZipFile, *, is_1904: bool) -> Formats:
    codes: dict[int, str] = {}
    styles: list[int] = []
    if "xl/styles.xml" in archive.NameToInfo:
        for name, said in xml.elements(archive, "xl/styles.xml", ("numFmt", "xf"), within="cellXfs"):
            if name == "numFmt":
                codes[xml.whole(said.get("numFmtId", "0"))] = said.get("formatCode", "")
            else:
                styles.append(xml.whole(said.get("numFmtId", "0")))
    return Formats(codes, styles, is_1904=is_1904)


def _read(archive: zipfile.ZipFile, path: str, strings: Sequence[str], formats: Formats) -> Iterator[Row]:
    for number, cells in xml.rows(archive, path):
        shown: list[str] = []
        for column, kind, style, value, formula in cells:
            shown.extend([""] * (column - len(shown)))
            shown.append(_shown(kind, style, value, formula, strings, formats).strip())
        while shown and not shown[-1]:
            shown.pop()
        if shown:
            yield number, shown


def _shown(  # noqa: PLR0913 - what a cell has
    kind: str, style: int, value: str, formula: str, strings: Sequence[str], formats: Formats
) -> str:
    """The text of a cell as it is shown; of a formula what was worked out when it was saved, or that nothing was."""
    if formula and not value:
        return f"{NOT_WORKED_OUT} ={formula}"
    if kind == "s":
        at = xml.whole(value)
        if not 0 <= at < len(strings):
            raise refused("a cell of it speaks of a text that is not there", _AGAIN)
        return read_xml_text(strings[at])
    if kind == "b":
        return "yes" if value.strip() == "1" else "no"
    if kind in ("n", ""):
        return formats.shown(value, style)
    return read_xml_text(value)
