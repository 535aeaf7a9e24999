"""From a folded book to its row in the lists, with the keys the lists are put in order and searched by."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from ledger.book import Book, Status
from ledger.cost_rows import CostRow, cost_rows
from ledger.drawn import clean_copies, drawn
from ledger.events._parts import Holding
from ledger.finding import all_words
from ledger.folding import folded, words_of
from ledger.history import Moment
from ledger.rules.headings import highest
from ledger.views import BookRow, Drawn
from ledger.when import When

__all__ = [
    "BEHIND_TITLE",
    "ROWS_VERSION",
    "Listing",
    "folded",
    "listing",
    "row_of",
    "search_text",
    "state_line",
    "words_of",
]

ROWS_VERSION: Final = 4
"""Counts up when the same entries would give another row than before; the rows are then made anew."""

_DIGITS: Final = re.compile(r"[0-9]+")
BEHIND_TITLE: Final = "\x1f"
"""Sorts before all that is read, so that a shorter title stands before a longer one."""


@dataclass(frozen=True, kw_only=True)
class Listing:
    """One book's row, what is drawn of it, the keys it is put in order by, and the text that a search looks through.

    Keeps: a function of the book's entries alone.
    """

    row: BookRow
    title_key: str
    number_key: str
    grade_key: int
    """-1 where no grade is in force."""
    last_seq: int
    """Number of the last entry that was written for it."""
    search: str
    drawn: Drawn = field(default_factory=Drawn)
    pictures: tuple[str, ...] = ()
    """SHA-256 of the clean copy of every photograph of it."""
    costs: tuple[CostRow, ...] = ()
    words: tuple[str, ...] = ()
    """Every word of its entries, those of sealed values that are at hand among them, in order and each once."""


def listing(book: Book, moments: Sequence[Moment]) -> Listing:
    """What the lists keep of a book.

    Requires: the book is the fold of these moments.
    """
    row = row_of(book, moments)
    title, number = folded(row.title), _natural(row.number)
    year = f"{row.start_year or 0:04}"
    return Listing(
        row=row,
        title_key=BEHIND_TITLE.join((title, year, number)),
        number_key=BEHIND_TITLE.join((number, title, year)),
        grade_key=-1 if row.grade_step is None else row.grade_step,
        last_seq=max((moment.entry.seq for moment in moments), default=0),
        search=search_text(row.title, row.number, row.publisher),
        drawn=drawn(book, moments),
        pictures=clean_copies(moments),
        costs=cost_rows(book, moments),
        words=all_words(moments),
    )


def row_of(book: Book, moments: Sequence[Moment]) -> BookRow:
    """One book as the collection's list shows it.

    Requires: the book is the fold of these moments.
    """
    issue, stated = book.issue, book.stated
    top = highest(done.heading for done in book.work)
    owned = book.ownerships[-1] if book.ownerships else None
    return BookRow(
        book=book.id,
        no=book.no,
        status=book.status.value,
        title=issue.title if issue else "",
        number=issue.number if issue else "",
        start_year=issue.start_year if issue else None,
        publisher=issue.publisher if issue else None,
        cover_date=_text(issue.cover_date) if issue else None,
        holding=book.holding.value if book.holding else None,
        holder_number=book.holder_number,
        grade_as_written=stated.as_written if stated else None,
        grade_step=max((step.step for step in stated.steps), default=None) if stated else None,
        heading=top.value if top else None,
        spot=book.spot,
        on_bench=book.on_bench,
        cover=book.cover,
        state=state_line(book, moments),
        entries=book.entries,
        since=_text(owned.since) if owned else None,
    )


def state_line(book: Book, moments: Sequence[Moment]) -> str:
    """One line that says what a book is doing now, in plain words and without a sealed value."""
    if book.status is Status.OUT:
        return _away(book, moments)
    if book.status is Status.HELD:
        return _here(book, moments)
    if book.status is Status.GONE:
        return _left(book, moments)
    return _STATES[book.status]


def search_text(title: str, number: str, publisher: str | None) -> str:
    """What a search looks through of a book."""
    return folded(" ".join(part for part in (title, number, publisher) if part))


_STATES: Final[Mapping[Status, str]] = MappingProxyType(
    {
        Status.NOT_YET: "Not in the collection yet",
        Status.EXPECTED: "Bought, not here yet",
        Status.SENT_BACK: "Sent back",
        Status.DUPLICATE: "The same copy as another book",
    }
)
_SPOTS: Final[Mapping[str, str]] = MappingProxyType({"wall": "On the wall", "box": "In a box", "safe": "In the safe"})
_LEFT: Final[Mapping[str, str]] = MappingProxyType({"gift": "Given away", "trade": "Traded away"})


def _here(book: Book, moments: Sequence[Moment]) -> str:
    if book.missing_since is not None:
        return f"Not found{_since(_on(moments, book.missing_since))}"
    parts = [_SPOTS.get(book.spot, f"In its place: {book.spot}") if book.spot else "Here"]
    if book.holding in (Holding.RAW, Holding.SLABBED):
        parts.append(str(book.holding))
    if book.on_bench:
        parts.append("on the bench")
    return ", ".join(parts)


def _away(book: Book, moments: Sequence[Moment]) -> str:
    sent = book.open_submission
    if sent is None:
        return f"In other hands{_since(_on(moments, book.away_by))}"
    since = _on(moments, sent.seq)
    match sent.stage:
        case "received there":
            return f"With the grading service{_sent(since)}"
        case "shipped back":
            return f"On its way back from grading{_sent(since)}"
        case _:
            return f"Out for grading{_since(since)}"


def _left(book: Book, moments: Sequence[Moment]) -> str:
    owned = book.ownerships[-1] if book.ownerships else None
    by = owned.left_by if owned else None
    event = next((moment.event for moment in moments if moment.entry.seq == by), None)
    means = str(getattr(event, "means", None) or "left the collection")
    how = _LEFT.get(means, means.capitalize())
    return f"{how} {owned.until.label()}" if owned and owned.until else how


def _on(moments: Sequence[Moment], seq: int | None) -> When | None:
    return next((moment.event.on for moment in moments if moment.entry.seq == seq), None)


def _since(on: When | None) -> str:
    return f" since {on.label()}" if on else ""


def _sent(on: When | None) -> str:
    return f", sent {on.label()}" if on else ""


def _text(on: When | None) -> str | None:
    return str(on) if on else None


def _natural(number: str) -> str:
    """A number as printed, so that 9 stands before 14 and Annual 3 before Annual 12."""
    return _DIGITS.sub(_counted, folded(number))


def _counted(found: re.Match[str]) -> str:
    """Digits with their count before them: as texts they stand in the order of the numbers they spell."""
    digits = found[0].lstrip("0")
    return f"{len(digits):02}{digits}"
