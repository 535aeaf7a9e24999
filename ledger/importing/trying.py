"""A dry run over the rows of a table: each is read and tried as the book it would become, and what is wrong is told."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace

from ledger.errors import Problem
from ledger.events import Event
from ledger.importing.becomes import events_of, field_of, flaws_of
from ledger.importing.begun import LISTED_MOST, Begun, Found
from ledger.importing.identity import Doubles, row_key
from ledger.importing.reading import ASK_CURRENCY, ASK_MARKS, ASK_ORDER, RowRead, RowReader
from ledger.importing.tables import Row
from ledger.when import When

__all__ = ["Misfits", "Tried", "Trying", "tried_rows"]

Misfits = Callable[[tuple[Event, ...]], tuple[tuple[int, Problem], ...]]
"""What stands against a new book with these events, each with the place of its event."""
_ASKS = (ASK_ORDER, ASK_MARKS, ASK_CURRENCY)


@dataclass(frozen=True, kw_only=True)
class Tried:
    """A row with what it would become; nothing, where something is wrong with it."""

    row: RowRead
    key: str
    events: tuple[Event, ...] = ()


def tried_rows(begun: Begun, rows: Iterable[Row], today: When, reader: RowReader, misfits: Misfits) -> Iterator[Tried]:
    """Each row below the line of names that is not left out.

    Keeps: a number that the source gave to two rows is told at the second; without such numbers equal rows are all real.
    """
    own_numbers: set[bytes] = set()
    for number, cells in rows:
        if number <= begun.columns.head_at or number in begun.left:
            continue
        row = reader.read(number, cells, begun.mends.get(number))
        own = row.read.get("id")
        if own is not None:
            short = row_key("", "", 0, own).encode()[-16:]
            if short in own_numbers:
                sentence = f"Another row has the own number {own}. Give this one another, or leave it out."
                row = replace(row, problems=(*row.problems, Problem(field="id", sentence=sentence)))
            own_numbers.add(short)
        key = row_key(begun.source, f"{begun.facts.sha256} {begun.facts.sheet}", number, own)
        events = () if row.problems else events_of(row, today)
        if events and (problems := _against(events, misfits)):
            row, events = replace(row, problems=problems), ()
        yield Tried(row=row, key=key, events=events)


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
        found = self._found
        wrong, doubles, asks = list(found.wrong), list(found.doubles), dict(found.asks)
        already = good = wrong_count = doubles_count = 0
        kept = found.kept
        for each in waiting:
            if each.key in used:
                already += 1
            elif each.row.problems:
                wrong_count += 1
                if len(wrong) < LISTED_MOST:
                    wrong.append(each.row.number)
                for problem in each.row.problems:
                    if problem.rule in _ASKS:
                        count, example = asks.get(problem.rule, (0, each.row.said.get(problem.field, "")))
                        asks[problem.rule] = (count + 1, example)
            else:
                good += 1
                kept = kept or (_kept(each.row) if each.row.kept else None)
                is_real = each.row.number in self._real
                double = None if is_real else self.doubles.of(each.row.number, each.row.read)
                if double is not None:
                    doubles_count += 1
                    if len(doubles) < LISTED_MOST:
                        doubles.append(double)
        self._found = Found(
            rows=found.rows + len(waiting),
            good=found.good + good,
            already=found.already + already,
            wrong=tuple(wrong),
            wrong_count=found.wrong_count + wrong_count,
            doubles=tuple(doubles),
            doubles_count=found.doubles_count + doubles_count,
            asks=asks,
            kept=kept,
        )


def _kept(row: RowRead) -> tuple[str, str]:
    name, words = row.kept[0]
    return words, row.shown[name]
