"""Runs: the series of the collection with what is owned and missing; which numbers there are is kept beside the ledger."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.care import CareReader, CareRow, CareWriter, Drawer
from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.folding import folded
from ledger.ports import Ledger
from ledger.runs import Owned, Printed, Run, number_key, run_key, run_of
from ledger.usecases.beside import care_store
from ledger.views import NumberedRow

__all__ = ["RUNS_MOST", "TITLE_MOST", "RunSaid", "forget_run", "look_at_run", "look_at_runs", "state_run"]

PREFIX: Final = "run/"
RUNS_MOST: Final = 5_000
"""Runs of which it is said which numbers there are."""
TITLE_MOST: Final = 200
YEARS: Final = (1700, 2999)


@dataclass(frozen=True, kw_only=True)
class RunSaid:
    """A series and which numbers of it there are, by the collector's word."""

    title: str
    start_year: int | None
    printed: Printed


def look_at_runs(ledger: Ledger, actor: Actor) -> tuple[Run, ...]:
    """Every series of which there is a book or of which something is said, in the order of titles."""
    actor.require(Permission.READ)
    said = _said(ledger)
    with ledger.log.read() as reader:
        rows = reader.numbered()
    alike: dict[tuple[str, int | None], list[NumberedRow]] = {}
    for row in rows:
        alike.setdefault((row.title, row.start_year), []).append(row)
    books: dict[str, list[NumberedRow]] = {}
    for (title, year), own in alike.items():
        if title:
            books.setdefault(run_key(title, year), []).extend(own)
    runs = [_run(books.get(key, []), said.get(key)) for key in books.keys() | said.keys()]
    return tuple(sorted(runs, key=lambda run: (folded(run.title), run.start_year or 0, run.title)))


def look_at_run(ledger: Ledger, actor: Actor, key: str) -> Run:
    """One of them.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    said = _said(ledger).get(key)
    with ledger.log.read() as reader:
        rows = reader.numbered(said.title if said is not None else None)
    own = [row for row in rows if row.title and run_key(row.title, row.start_year) == key]
    if said is None and not own:
        raise NotFoundError(what="run", name=key)
    return _run(own, said)


def state_run(ledger: Ledger, actor: Actor, said: RunSaid) -> Run:
    """From now on these numbers of the series are those there are.

    Raises: InvalidError.
    """
    actor.require(Permission.RECORD)
    title, now = " ".join(said.title.split()), ledger.clock.now()
    if problems := tuple(_unfit(title, said.start_year)):
        raise InvalidError(problems=problems)
    key = run_key(title, said.start_year)
    kept: Mapping[str, Any] = {
        "title": title,
        "start_year": said.start_year,
        "first": said.printed.first,
        "last": said.printed.last,
        "never": list(said.printed.never),
        "also": list(said.printed.also),
    }

    def work(writer: CareWriter) -> None:
        is_new = writer.row(Drawer.CARE, PREFIX + key) is None
        if is_new and len(writer.rows(Drawer.CARE, PREFIX)) >= RUNS_MOST:
            sentence = f"At most {RUNS_MOST:,} runs are kept. Take one away first."
            raise InvalidError(problems=(Problem(field="title", sentence=sentence),))
        writer.put(Drawer.CARE, CareRow(id=PREFIX + key, made=now, said=kept))

    care_store(ledger).write(work)
    return look_at_run(ledger, actor, key)


def forget_run(ledger: Ledger, actor: Actor, key: str) -> None:
    """It is no longer said which numbers there are.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)

    def work(writer: CareWriter) -> None:
        if writer.row(Drawer.CARE, PREFIX + key) is None:
            raise NotFoundError(what="run", name=key)
        writer.take(Drawer.CARE, PREFIX + key)

    care_store(ledger).write(work)


def _run(rows: list[NumberedRow], said: RunSaid | None) -> Run:
    owned = [
        Owned(book=row.book, no=row.no, number=row.number, grade=row.grade_as_written, step=row.grade_step)
        for row in rows
    ]
    if said is not None:
        return run_of(said.title, said.start_year, said.printed, owned)
    return run_of(rows[0].title, rows[0].start_year, None, owned)


def _unfit(title: str, start_year: int | None) -> list[Problem]:
    problems = []
    if not title:
        problems.append(Problem(field="title", sentence="Write the title of the series."))
    if len(title) > TITLE_MOST:
        problems.append(Problem(field="title", sentence=f"A title has at most {TITLE_MOST} characters here."))
    if start_year is not None and not YEARS[0] <= start_year <= YEARS[1]:
        problems.append(Problem(field="start_year", sentence="Write the year with four digits, or leave it out."))
    return problems


def _said(ledger: Ledger) -> dict[str, RunSaid]:
    with care_store(ledger).read() as reader:
        return {each.id.removeprefix(PREFIX): said for each in _rows(reader) if (said := _read(each.said)) is not None}


def _rows(reader: CareReader) -> list[CareRow]:
    return reader.rows(Drawer.CARE, PREFIX)


def _read(said: Mapping[str, Any]) -> RunSaid | None:
    """What a row says; None of one that was harmed."""
    title, year, lists = said.get("title"), said.get("start_year"), [said.get("never"), said.get("also")]
    ends = [said.get("first"), said.get("last")]
    whole = all(each is None or (isinstance(each, int) and not isinstance(each, bool)) for each in (*ends, year))
    texts = all(isinstance(each, list) and all(isinstance(one, str) for one in each) for each in lists)
    if not isinstance(title, str) or not title or not whole or not texts:
        return None
    never, also = (tuple(sorted(each or (), key=number_key)) for each in lists)
    return RunSaid(title=title, start_year=year, printed=Printed(first=ends[0], last=ends[1], never=never, also=also))
