"""Cells of a CSV file that no spreadsheet takes for a formula, and that come back unchanged.

The rule: a text that begins with an equals sign, plus, minus, at sign, tab, carriage return or apostrophe gets one
apostrophe before it; reading takes that one away again. A number stays a number, its minus sign with it.
Source: OWASP, "CSV Injection", for the signs; the apostrophe before them is common practice, and taking it for one of
them is ours, so that the rule can be turned round. RFC 4180 for the file itself.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Final

__all__ = ["cell", "read_cell", "read_sheet", "read_xml_text", "written_sheet", "xml_text"]

_RISKY: Final = ("=", "+", "-", "@", "\t", "\r", "'")
_NUMBER: Final = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?", re.ASCII)
_NOT_XML: Final = re.compile("[\x00-\x08\x0b-\x1f\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")
_SPELT: Final = re.compile(r"_x([0-9A-Fa-f]{4})_")


def cell(text: str) -> str:
    """The text as it is written into a cell."""
    return "'" + text if text.startswith(_RISKY) and not _NUMBER.fullmatch(text) else text


def read_cell(written: str) -> str:
    """The text that a cell was written from."""
    return written.removeprefix("'")


def written_sheet(rows: Iterable[Sequence[str]]) -> str:
    """A file of these rows, every cell safe; lines end as RFC 4180 has it."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerows([cell(each) for each in row] for row in rows)
    return file.getvalue()


def read_sheet(text: str) -> list[list[str]]:
    """The rows that a file was written from."""
    return [[read_cell(each) for each in row] for row in csv.reader(io.StringIO(text, newline=""))]


def xml_text(text: str) -> str:
    """A text as a cell of a workbook in XML has it: characters that XML does not take, or changes, are spelt out.

    Source: ECMA-376 part 1 section 22.9.2.19 (ST_Xstring); XML 1.0 section 2.2 for the characters, 2.11 for ends of lines.
    """
    return _NOT_XML.sub(lambda found: f"_x{ord(found[0]):04X}_", text)


def read_xml_text(written: str) -> str:
    """The text that such a cell was written from."""
    return _SPELT.sub(lambda found: chr(int(found[1], 16)), written)
