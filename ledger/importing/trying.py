"""A dry run over the rows of a table: each is read and tried as the book it would become, and what is wrong is told."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace

from ledger.errors import Problem
from ledger.events import Event
from ledger.importing.becomes import events_of, field_of, flaws_of
from ledger.importing.begun import LISTED_MOST, Begun, Found
from ledger.importing.below import ASK_BELOW, told
from ledger.importing.identity import Double, Doubles, row_key
from ledger.importing.reading import ASK_CURRENCY, ASK_MARKS, ASK_ORDER, RowRead, RowReader
from ledger.importing.tables import Row
from ledger.importing.whole_row import ASK_HERE, ASK_SEVERAL, ASK_UNTITLED, keys_of
from ledger.when import When

__all__ = ["Misfits", "Tried", "Trying", "tried_rows"]

Misfits = Callable[[tuple[Event, ...]], tuple[tuple[int, Problem], ...]]
"""What stands against a new book with these events, each with the place of its event."""
_ASKS = (ASK_ORDER, ASK_MARKS, ASK_CURRENCY, ASK_SEVERAL, ASK_HERE, ASK_UNTITLED, ASK_BELOW)
_NAMES_AGAIN = "the names of the columns"


@dataclass(frozen=True, kw_only=True)
class Tried:
    """One book of a row with what it would become; nothing, where something is wrong with the row or it is no book."""

    row: RowRead
    key: str
    events: tuple[Event, ...] = ()
    is_more: bool = False
    """Another book of the row stands before it."""


def tried_rows(begun: Begun, rows: Iterable[Row], today: When, reader: RowReader, misfits: Misfits) -> Iterator[Tried]:
    """Each row below the line of names that is not left out, once for every book that it stands for.

    Keeps: a number that the source gave to two rows is told at the second; without such numbers equal rows are all real.
    """
    own_numbers: set[bytes] = set()
    for number, cells in rows:
        if number <= begun.columns.head_at or number in begun.left:
            continue
        row = reader.read(number, cells, begun.mends.get(number))
        if begun.columns.names_again(cells):
            row = replace(row, problems=(), aside=_NAMES_AGAIN)
        row = told(row, begun.columns, cells, begun.options.below)
        own = row.read.get("id") if not row.aside else None
        if own is not None:
            short = row_key("", "", 0, own).encode()[-16:]
            if short in own_numbers:
                sentence = f"Another row has the own number {own}. Give this one another, or leave it out."
                row = replace(row, problems=(*row.problems, Problem(field="id", sentence=sentence)))
            own_numbers.add(short)
        key = row_key(begun.source, f"{begun.facts.sha256} {begun.facts.sheet}", number, own)
        yield from _books(Tried(row=row, key=key), today, misfits)


def _books(tried: Tried, today: When, misfits: Misfits) -> list[Tried]:
    """Each book that the row stands for; once with its problems, where there are any."""
    row = tried.row
    made: list[Tried] = []
    if row.problems or row.aside:
        return [tried]
    for number, key in (
        zip(row.books, keys_of(tried.key, row.books), strict=True) if row.books else ((None, tried.key),)
    ):
        one = row if number is None else replace(row, read={**row.read, "number": number})
        events = events_of(one, today)
        if problems := _against(events, misfits):
            return [replace(tried, row=replace(row, problems=problems))]
        made.append(Tried(row=one, key=key, events=events, is_more=bool(made)))
    return made


def _against(events: tuple[Event, ...], misfits: Misfits) -> tuple[Problem, ...]:
    flaws = flaws_of(events)
    return flaws or tuple(replace(each, field=field_of(events[at], each.field)) for at, each in misfits(events))


@dataclass
class Trying:
    """Counts what a dry run finds."""

    doubles: Doubles
    used: Callable[[list[str]], set[str]]
    """Which of these keys were used before."""
    at_once: int = 500
    _waiting: list[Tried] = field(default_factory=list)
    _real: set[int] = field(default_factory=set)
    _doubled: set[int] = field(default_factory=set)
    _found: Found = field(default_factory=lambda: Found(rows=0, good=0, already=0))

    def take(self, tried: Tried, *, is_real: bool = False) -> None:
        """One row more; `is_real` says that it is a book of its own, whatever is here already."""
        self._waiting.append(tried)
        if is_real:
            self._real.add(tried.row.number)
        if len(self._waiting) >= self.at_once:
            self._settle()

    def found(self) -> Found:
        """What all of them came to."""
        self._settle()
        return self._found

    def _settle(self) -> None:
        waiting, self._waiting = self._waiting, []
        used = self.used([each.key for each in waiting])
        found, counts = self._found, Counter[str]()
        wrong, doubles, asks = list(found.wrong), list(found.doubles), dict(found.asks)
        kept, no_book = found.kept, found.no_book
        for each in waiting:
            counts["rows"] += not each.is_more
            if each.row.aside:
                counts["aside"] += 1
                no_book = no_book or (each.row.number, each.row.aside)
            elif each.key in used:
                counts["already"] += 1
            elif each.row.problems:
                counts["wrong_count"] += 1
                wrong.append(each.row.number)
                _ask(each.row, asks)
            else:
                counts += Counter(good=1, more=each.is_more)
                kept = kept or (_kept(each.row) if each.row.kept else None)
                if (double := self._double(each.row)) is not None:
                    counts["doubles_count"] += 1
                    doubles.append(double)
        self._found = replace(
            found,
            wrong=tuple(wrong[:LISTED_MOST]),
            doubles=tuple(doubles[:LISTED_MOST]),
            asks=asks,
            kept=kept,
            no_book=no_book,
            **{name: getattr(found, name) + count for name, count in counts.items()},
        )

    def _double(self, row: RowRead) -> Double | None:
        """The book that the row likely is; told once of a row."""
        if row.number in self._real or row.number in self._doubled:
            return None
        double = self.doubles.of(row.number, row.read)
        if double is not None:
            self._doubled.add(row.number)
        return double


def _ask(row: RowRead, asks: dict[str, tuple[int, str]]) -> None:
    for problem in row.problems:
        if problem.rule in _ASKS:
            count, example = asks.get(problem.rule, (0, row.said.get(problem.field, "")))
            asks[problem.rule] = (count + 1, example)


def _kept(row: RowRead) -> tuple[str, str]:
    name, words = row.kept[0]
    return words, row.shown.get(name, "no amount of one book")
