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

__all__ = ["cell", "read_cell", "read_sheet", "written_sheet"]

_RISKY: Final = ("=", "+", "-", "@", "\t", "\r", "'")
_NUMBER: Final = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?", re.ASCII)


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
