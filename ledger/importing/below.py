"""Another table below the first: from a line on that names columns anew, or that only says sold or wanted.

What stands below it is read by no column of the first before somebody says what it is.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final, Literal, get_args

from ledger.errors import Problem
from ledger.importing.cells import NOT_KNOWN
from ledger.importing.columns import Columns
from ledger.importing.heads import read_head
from ledger.importing.reading import RowRead, plain
from ledger.importing.tables import MERGED, Row
from ledger.rows import folded

__all__ = ["ASK_BELOW", "BELOW", "Below", "begins", "told", "with_below"]

ASK_BELOW: Final = "ask.below"
"""Rule of a problem that goes away once it is said what the rows below such a line are."""
Below = Literal["pass_over", "as_above"]
"""They are no books that are here, or books that are read as those above."""
BELOW: Final[tuple[Below, ...]] = get_args(Below)
_BOOKS: Final = r"(?:the )?(?:books?|comics?|issues?|items?)"
_NOT_HERE: Final = re.compile(
    rf"(?:{_BOOKS} )?(?:i )?(?:sold(?: off| on)?|want(?:ed|s)?|wish(?:es)?|want ?list|wish ?list|to buy|to get|looking for"
    rf"|(?:still )?need(?:ed|s)?|missing|traded(?: away)?|given away|gone|lost|stolen|(?:on|pre)[- ]?orders?|ordered"
    rf"|no longer (?:owned|here)|former collection)(?: {_BOOKS}| list)?"
)
"""What stands alone over books that are here no more or not yet. Source: common practice, no source."""
_AROUND: Final = " -\u2013\u2014*=_:.~#!()[]<>/|0123456789"
_DIGIT: Final = re.compile(r"\d")
_NAMES_LEAST: Final = 3
_TITLES: Final = {"title", "title_number"}
_SHOWN_MOST: Final = 60


def begins(columns: Columns, cells: Sequence[str]) -> str:
    """The words of a line with which another table begins; empty for any other row."""
    some = [cell for cell in cells if cell]
    # Nearly every row is a book, and has a digit: nothing else is looked at then.
    if len(some) > 1 and (_DIGIT.search("".join(some)) or columns.names_again(cells)):
        return ""
    said = [text for text in (plain(cell.removeprefix(MERGED)) for cell in some) if text]
    if len(said) == 1:
        return said[0] if _NOT_HERE.fullmatch(folded(said[0]).strip(_AROUND)) else ""
    names = [name for name in (read_head(text).field for text in said) if name]
    is_all = len(names) == len(said) > 1
    return ", ".join(said)[:_SHOWN_MOST] if _TITLES & set(names) and (is_all or len(names) >= _NAMES_LEAST) else ""


def with_below(columns: Columns, rows: Iterable[Row]) -> Columns:
    """The same columns, with the first row of the table at which another begins."""
    below, says, is_renamed = 0, "", False
    for number, cells in rows:
        if number > columns.head_at and (words := begins(columns, cells)):
            below, says = below or number, says or words
            is_renamed = is_renamed or sum(map(bool, cells)) > 1
    return replace(columns, below=below, below_says=says, is_renamed=is_renamed)


def told(row: RowRead, columns: Columns, cells: Sequence[str], chosen: Below | None) -> RowRead:
    """The row, as it is where it stands below such a line: asked about, passed over, or as it was read.

    Keeps: under columns that are still the same, a row that says itself whether it is here is believed.
    """
    if not columns.below or row.number < columns.below:
        return row
    if words := begins(columns, cells):
        return replace(row, problems=(), aside=words)
    says_itself = row.said.get("here", "").casefold() not in NOT_KNOWN and "here" in row.read
    if says_itself and not columns.is_renamed:
        return row
    if chosen == "pass_over":
        return replace(row, problems=(), aside=f"below {columns.below_says}")
    if chosen == "as_above":
        return row
    sentence = (
        f"It stands below row {columns.below}, {columns.below_says}. Say once for the whole file what such rows are."
    )
    return replace(row, problems=(Problem(field="", sentence=sentence, rule=ASK_BELOW),), aside="")
