"""Tables made to do harm, each with a word that its refusal must say; made by code, a few bytes or a bomb."""

import io
import struct
import zipfile
from collections.abc import Callable, Mapping
from typing import Final

__all__ = ["HOSTILE", "workbook"]

_SHEET: Final = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
)
_BOOK: Final = (
    '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">'
    '<sheets><sheet name="Books" sheetId="1" r:id="rId1"/></sheets></workbook>'
)
_LINKS: Final = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rId1" Type="x" Target="worksheets/sheet1.xml"/></Relationships>'
)
_ROW: Final = '<row r="1"><c r="A1" t="inlineStr"><is><t>Title</t></is></c></row>'


def workbook(
    sheet: str = _SHEET.format(_ROW), *, more: Mapping[str, bytes] | None = None, packed: int = zipfile.ZIP_DEFLATED
) -> bytes:
    """An archive with one sheet of that XML, and more entries."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", packed) as archive:
        archive.writestr("xl/workbook.xml", _BOOK)
        archive.writestr("xl/_rels/workbook.xml.rels", _LINKS)
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
        for name, data in (more or {}).items():
            archive.writestr(name, data)
    return file.getvalue()


def _bomb() -> bytes:
    return workbook(more={"xl/media/a.bin": b"\0" * (64 * 1024 * 1024)})


def _many_bombs() -> bytes:
    """Each entry says that it is far larger than it is."""
    return _with_sizes(workbook(more={f"xl/media/{n}.bin": b"\0" * 2_000_000 for n in range(3)}), 1 << 30)


def _with_sizes(data: bytes, size: int) -> bytes:
    """The archive, its list of entries saying another unpacked size for those in `media`."""
    changed, at = bytearray(data), 0
    while (at := data.find(b"PK\x01\x02", at)) >= 0:
        length = struct.unpack_from("<H", data, at + 28)[0]
        if b"media" in data[at + 46 : at + 46 + length]:
            struct.pack_into("<I", changed, at + 24, size)
        at += 4
    return bytes(changed)


def _lying() -> bytes:
    """Its sheet says that it is smaller than it is."""
    data = workbook(_SHEET.format(_ROW + "<!-- " + "x" * 4_000 + "-->"))
    changed, at = bytearray(data), data.find(b"PK\x01\x02")
    while at >= 0:
        if b"sheet1.xml" in data[at + 46 : at + 80]:
            struct.pack_into("<I", changed, at + 24, 60)
        at = data.find(b"PK\x01\x02", at + 4)
    return bytes(changed)


def _overlapping() -> bytes:
    """Two entries of its list point at the same bytes."""
    data = workbook(more={"a.bin": b"a" * 5_000, "b.bin": b"b" * 5_000}, packed=zipfile.ZIP_STORED)
    changed, at, last = bytearray(data), data.find(b"PK\x01\x02"), 0
    while at >= 0:
        if data[at + 46 : at + 51] == b"a.bin":
            last = struct.unpack_from("<I", data, at + 42)[0]
        if data[at + 46 : at + 51] == b"b.bin":
            struct.pack_into("<I", changed, at + 42, last)
        at = data.find(b"PK\x01\x02", at + 4)
    return bytes(changed)


def _link() -> bytes:
    file = io.BytesIO(workbook())
    with zipfile.ZipFile(file, "a") as archive:
        entry = zipfile.ZipInfo("xl/link")
        entry.external_attr = 0o120777 << 16
        archive.writestr(entry, "/etc/passwd")
    return file.getvalue()


def _twice() -> bytes:
    return workbook(more={"XL/workbook.xml": b"<workbook/>"})


def _laughs() -> bytes:
    entities = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 10))
    sheet = f'<!DOCTYPE x [<!ENTITY e0 "ha">{entities}]>' + _SHEET.format("<row><c><v>&e9;</v></c></row>")
    return workbook(sheet)


def _outside() -> bytes:
    sheet = '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>' + _SHEET.format("<row><c><v>&e;</v></c></row>")
    return workbook(sheet)


def _many_columns() -> bytes:
    cells = "".join(f"<c><v>{number}</v></c>" for number in range(1_000))
    return workbook(_SHEET.format(f'<row r="1">{cells}</row>'))


def _huge_cell() -> bytes:
    noise = "".join(chr(97 + (number * number) % 26) for number in range(1_000)) * 50_000
    return workbook(_SHEET.format(f'<row r="1"><c r="A1" t="inlineStr"><is><t>{noise}</t></is></c></row>'), packed=0)


def _huge_mark() -> bytes:
    return workbook(_SHEET.format(f'<row r="1"><c r="A1" x="{"y" * 3_000_000}"><v>1</v></c></row>'), packed=0)


def _deep() -> bytes:
    return workbook("<a>" * 5_000 + "</a>" * 5_000)


HOSTILE: Final[Mapping[str, tuple[Callable[[], bytes], str]]] = {
    "an archive that grows a thousandfold": (_bomb, "unpacked"),
    "an archive that says it holds gigabytes": (_many_bombs, "unpacked"),
    "an archive whose sheet is larger than it says": (_lying, "cannot be read"),
    "an archive whose entries share their bytes": (_overlapping, "lie over each other"),
    "an archive with three thousand entries": (
        lambda: workbook(more={f"xl/{n}": b"" for n in range(3_000)}),
        "entries",
    ),
    "an archive that would write above its folder": (lambda: workbook(more={"../../x": b"x"}), "outside"),
    "an archive that would write at the root": (lambda: workbook(more={"/x": b"x"}), "outside"),
    "an archive with a link": (_link, "points elsewhere"),
    "an archive with one name twice": (_twice, "two entries of one name"),
    "an archive cut in the middle": (lambda: workbook()[:300], "no whole archive"),
    "an archive that is no spreadsheet": (lambda: b"PK\x03\x04" + b"\0" * 100, "no whole archive"),
    "XML that laughs a billion times": (_laughs, "declares"),
    "XML that reaches for a file": (_outside, "declares"),
    "XML that is broken": (lambda: workbook("<worksheet><row>"), "cannot be read"),
    "XML without an end": (_huge_mark, "no end"),
    "XML that is five thousand levels deep": (_deep, "too deep"),
    "a sheet of a thousand columns": (_many_columns, "there may be 120"),
    "a cell of 50 MB in a sheet": (_huge_cell, "characters"),
    "a cell that speaks of a text that is not there": (
        lambda: workbook(_SHEET.format('<row><c t="s"><v>7</v></c></row>')),
        "not there",
    ),
    "cells out of their order": (
        lambda: workbook(_SHEET.format('<row><c r="B1"><v>7</v></c><c r="A1"><v>7</v></c></row>')),
        "order",
    ),
    "a spreadsheet of the older form": (lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "older form"),
    "text with NUL bytes": (lambda: b"Title,No\nAmber,1\nCo\x00pper,2\n", "line 3"),
    "text of two encodings": (
        lambda: "Title,No\nCaf\u00e9,1\n".encode() * 5 + "Caf\u00e9,2\n".encode("cp1252"),
        "partly in UTF-8",
    ),
    "text of a thousand columns": (lambda: b",".join([b"x"] * 1_000) + b"\n", "there may be 120"),
    "a line of 50 MB": (lambda: b"Title,No\n" + b"x" * 50_000_000, "line 2"),
    "a cell of many lines": (lambda: b'Title,No\n"' + b"x\n" * 100_000 + b'",1\n', "row 2"),
    "a quote that is never closed": (lambda: b'Title,No\n"Amber,1\nCopper,2\n', "quotes of row 2"),
    "a file of 65 MB": (lambda: b"Title,No\n" * (65 * 1024 * 1024 // 9), "more than 64 MB"),
    "an empty file": (lambda: b"  \n ", "empty"),
    "a picture": (lambda: b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4, "line"),
}
"""Each by what it is, how it is made, and what its refusal says."""
