"""Wanted copies, each with the least grade and the most money; and the list that goes along to a shop."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.care import CareRow, CareWriter, Drawer
from ledger.errors import InvalidError, MalformedError, NotFoundError, Problem
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.runs import NumberKey, Owned, Run, number_key, run_key
from ledger.usecases.beside import care_store
from ledger.usecases.record import random_id
from ledger.usecases.runs import TITLE_MOST, YEARS, look_at_runs

__all__ = [
    "NOTE_MOST",
    "NUMBER_MOST",
    "WANTS_MOST",
    "Want",
    "WantList",
    "WantSaid",
    "keep_want",
    "look_at_wants",
    "take_want",
]

PREFIX: Final = "want/"
WANTS_MOST: Final = 2_000
NUMBER_MOST: Final = 40
NOTE_MOST: Final = 500


@dataclass(frozen=True, kw_only=True)
class WantSaid:
    """A copy that is wanted."""

    title: str
    number: str
    start_year: int | None = None
    least: Grade | None = None
    """The lowest grade that will do; None for any."""
    most: Money | None = None
    """The most to pay; None where no limit was set."""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Want:
    """The same as it is kept, and what the collection has of it."""

    id: str
    said: WantSaid
    best: Owned | None = None
    """The best copy of that number that is owned."""

    @property
    def is_met(self) -> bool:
        """A copy is owned that is as good as is asked for; one without a grade only where none is asked for."""
        if self.best is None:
            return False
        return self.said.least is None or (self.best.step is not None and self.best.step >= self.said.least.step)


@dataclass(frozen=True, kw_only=True)
class WantList:
    """What goes along: wanted copies that are not met, and the numbers that runs miss."""

    wants: tuple[Want, ...]
    runs: tuple[Run, ...]
    """Those that miss a number, by the collector's word on which there are."""

    @property
    def open(self) -> tuple[Want, ...]:
        """Those of which no copy that is good enough is owned."""
        return tuple(each for each in self.wants if not each.is_met)

    def others(self, run: Run) -> tuple[str, ...]:
        """The numbers a run misses of which no copy is looked for by itself, so that none goes along twice."""
        own = {number_key(each.said.number) for each in self.open if _is_meant(run, each.said)}
        return tuple(each.number for each in run.missing if number_key(each.number) not in own)


def look_at_wants(ledger: Ledger, actor: Actor) -> WantList:
    """Every want, in the order of titles and numbers, and the runs that miss a number."""
    actor.require(Permission.READ)
    runs = {run.key: run for run in look_at_runs(ledger, actor)}
    with care_store(ledger).read() as reader:
        rows = reader.rows(Drawer.CARE, PREFIX)
    wants = [_want(each.id.removeprefix(PREFIX), said, runs) for each in rows if (said := _read(each.said)) is not None]
    wants.sort(
        key=lambda each: (each.said.title.casefold(), each.said.start_year or 0, number_key(each.said.number), each.id)
    )
    missing = tuple(run for run in runs.values() if run.printed is not None and run.missing)
    return WantList(wants=tuple(wants), runs=missing)


def keep_want(ledger: Ledger, actor: Actor, said: WantSaid, id: str | None = None) -> Want:  # noqa: A002 - what it is
    """It is wanted from now on; with an id, that one is changed.

    Raises: InvalidError, NotFoundError.
    """
    actor.require(Permission.RECORD)
    plain = WantSaid(
        title=" ".join(said.title.split()),
        number=" ".join(said.number.split()),
        start_year=said.start_year,
        least=said.least,
        most=said.most,
        note=said.note.strip(),
    )
    if problems := tuple(_unfit(plain)):
        raise InvalidError(problems=problems)
    own, now = id or random_id(ledger.chance), ledger.clock.now()

    def work(writer: CareWriter) -> None:
        before = writer.row(Drawer.CARE, PREFIX + own)
        if id is not None and before is None:
            raise NotFoundError(what="want", name=own)
        if before is None and len(writer.rows(Drawer.CARE, PREFIX)) >= WANTS_MOST:
            sentence = f"At most {WANTS_MOST:,} wants are kept. Take one away first."
            raise InvalidError(problems=(Problem(field="title", sentence=sentence),))
        made = before.made if before is not None else now
        writer.put(Drawer.CARE, CareRow(id=PREFIX + own, made=made, said=_plain(plain)))

    care_store(ledger).write(work)
    return next(each for each in look_at_wants(ledger, actor).wants if each.id == own)


def take_want(ledger: Ledger, actor: Actor, want: str) -> None:
    """It is wanted no more.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)

    def work(writer: CareWriter) -> None:
        if writer.row(Drawer.CARE, PREFIX + want) is None:
            raise NotFoundError(what="want", name=want)
        writer.take(Drawer.CARE, PREFIX + want)

    care_store(ledger).write(work)


def _want(id: str, said: WantSaid, runs: Mapping[str, Run]) -> Want:  # noqa: A002 - as above
    """With the best copy of that number: of that series, or, where no year is said, of any of that title."""
    own = [run for run in runs.values() if _is_meant(run, said)]
    key: NumberKey = number_key(said.number)
    found = [line.best for run in own for line in run.owned if number_key(line.number) == key and line.best]
    found.sort(key=lambda each: (each.step is None, -(each.step or 0), each.no))
    return Want(id=id, said=said, best=found[0] if found else None)


def _is_meant(run: Run, said: WantSaid) -> bool:
    if said.start_year is not None:
        return run.key == run_key(said.title, said.start_year)
    return run_key(run.title, None) == run_key(said.title, None)


def _unfit(said: WantSaid) -> list[Problem]:
    problems = []
    for field, text, most in (("title", said.title, TITLE_MOST), ("number", said.number, NUMBER_MOST)):
        if not text:
            problems.append(Problem(field=field, sentence=f"Write the {field} that is wanted."))
        elif len(text) > most:
            problems.append(Problem(field=field, sentence=f"A {field} has at most {most} characters here."))
    if len(said.note) > NOTE_MOST:
        problems.append(Problem(field="note", sentence=f"A note has at most {NOTE_MOST} characters here."))
    if said.start_year is not None and not YEARS[0] <= said.start_year <= YEARS[1]:
        problems.append(Problem(field="start_year", sentence="Write the year with four digits, or leave it out."))
    if said.most is not None and said.most.minor < 0:
        problems.append(Problem(field="most", sentence="A limit is zero or more."))
    return problems


def _plain(said: WantSaid) -> Mapping[str, Any]:
    most = said.most
    return {
        "title": said.title,
        "number": said.number,
        "start_year": said.start_year,
        "least": None if said.least is None else said.least.text,
        "most": None if most is None else {"minor": most.minor, "currency": most.currency, "exponent": most.exponent},
        "note": said.note,
    }


def _read(said: Mapping[str, Any]) -> WantSaid | None:
    """What a row says; None of one that was harmed."""
    try:
        least, most = said.get("least"), said.get("most")
        read = WantSaid(
            title=str(said["title"]),
            number=str(said["number"]),
            start_year=None if said.get("start_year") is None else int(said["start_year"]),
            least=None if least is None else Grade.parse(str(least)),
            most=None if most is None else Money(**most),
            note=str(said.get("note") or ""),
        )
    except (KeyError, TypeError, ValueError, MalformedError):
        return None
    return None if _unfit(read) else read
