"""The ledger as a day book: every entry, the newest first, by the days on which it was written."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Permission
from ledger.errors import MalformedError, Problem
from ledger.events import KINDS, Lane
from ledger.ports import Ledger
from ledger.views import DaybookRow, EntryQuery
from ledger.when import When, read_when
from web.deps import ActorDep, FrameDep, LedgerDep, PreferencesDep
from web.frame import Place
from web.render import PART, Page, page, render, render_part
from web.wording import t

router = APIRouter()

PATH: Final = Place.LEDGER.path
RECORDED: Final = "recorded"
HAPPENED: Final = "happened"
FIELDS: Final = ("kind", "by", "first", "last")
ALL: Final = "all-"
"""Before the name of a lane: every kind of it."""
Text = Annotated[str, Query(max_length=200)]


@dataclass(frozen=True, kw_only=True)
class Line:
    """One entry as the day book shows it."""

    row: DaybookRow
    moment: str
    """When it was written, for programs."""
    time: str
    happened: str
    """Empty where it happened on the day on which it was written."""


@dataclass(frozen=True, kw_only=True)
class Day:
    """The entries that were written on one day."""

    date: str
    weekday: str
    lines: tuple[Line, ...]


@page("ledger.html")
@dataclass(frozen=True, kw_only=True)
class LedgerPage(Page):
    """One page of the day book, and what it is narrowed to."""

    days: tuple[Day, ...]
    shown: int
    values: Mapping[str, str]
    said: Mapping[str, str]
    """How the two dates were read."""
    faults: Mapping[str, str]
    problems: Sequence[Problem]
    in_part: bool
    """Only the list is shown, and has to say itself what stands at the fields of a whole page."""
    act: str
    """Only what was written together under this id; empty for everything."""
    groups: Sequence[tuple[str, Sequence[tuple[str, str]]]]
    start: str
    after: str


@router.get(PATH)
def look(  # noqa: PLR0913  (one for each field of the form)
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    preferences: PreferencesDep,
    kind: Text = "",
    by: Text = "",
    first: Text = "",
    last: Text = "",
    act: Text = "",
    after: Annotated[int, Query(ge=0)] = 0,
) -> Response:
    """The entries that the form lets through."""
    actor.require(Permission.READ)
    values = {"kind": kind, "by": by or RECORDED, "first": first.strip(), "last": last.strip()}
    # Recording is told in UTC, everything else by the calendar of the place where the program runs.
    today = ledger.clock.today() if values["by"] == HAPPENED else ledger.clock.now().date()
    asked = Asked.read(values, preferences.date_order, today)
    rows, more = _found(ledger, asked, act, after)
    kept = {
        name: value for name, value in {**values, "act": act}.items() if value and (name, value) != ("by", RECORDED)
    }
    shown = LedgerPage(
        frame=frame.at(Place.LEDGER),
        days=_days(rows),
        shown=len(rows),
        values=values,
        said=asked.said,
        faults={problem.field: problem.sentence for problem in asked.problems},
        problems=asked.problems,
        in_part=PART in request.headers,
        act=act,
        groups=_groups(),
        start=_address(kept) if after else "",
        after=_address({**kept, "after": more}) if more else "",
    )
    return render_part(shown, "rows") if shown.in_part else render(shown)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What the form asks for, read."""

    kinds: tuple[str, ...]
    by: str
    days: tuple[date | None, date | None]
    said: Mapping[str, str]
    problems: tuple[Problem, ...]

    @classmethod
    def read(cls, values: Mapping[str, str], order: str | None, today: date) -> "Asked":
        """Every field; what cannot be read is a problem, and nothing is then looked for."""
        problems: list[Problem] = []
        kinds = _kinds(values["kind"])
        if values["kind"] and not kinds:
            problems.append(Problem(field="kind", sentence=t("ledger.no_such_kind")))
        if values["by"] not in (RECORDED, HAPPENED):
            problems.append(Problem(field="by", sentence=t("ledger.no_such_time")))
        read: dict[str, When] = {}
        for name in ("first", "last"):
            try:
                if values[name]:
                    read[name] = read_when(values[name], order=order, today=today)  # type: ignore[arg-type]
            except MalformedError as error:
                problems.append(Problem(field=name, sentence=str(error).removeprefix(f"{error.what}: ")))
        days = (
            read["first"].earliest_day if "first" in read else None,
            read["last"].latest_day if "last" in read else None,
        )
        said = {name: each.label() for name, each in read.items()}
        return cls(kinds=kinds, by=values["by"], days=days, said=said, problems=tuple(problems))

    def query(self, act: str, after: int) -> EntryQuery:
        """The same for the store."""
        days = {f"{self.by}_from": self.days[0], f"{self.by}_to": self.days[1]}
        return EntryQuery(kinds=self.kinds, act=act or None, after=after, newest_first=True, **days)  # type: ignore[arg-type]


def _found(ledger: Ledger, asked: Asked, act: str, after: int) -> tuple[Sequence[DaybookRow], str | None]:
    if asked.problems:
        return (), None
    with ledger.log.read() as reader:
        found = reader.daybook(asked.query(act, after))
    return found.rows, found.after


def _days(rows: Sequence[DaybookRow]) -> tuple[Day, ...]:
    by_day = groupby(rows, key=lambda row: row.recorded.date())
    return tuple(_day(day, tuple(same)) for day, same in by_day)


def _day(day: date, rows: Sequence[DaybookRow]) -> Day:
    return Day(
        date=When.of_day(day).label(),
        weekday=t(f"ledger.weekdays.{day.isoweekday()}"),
        lines=tuple(_line(row, day) for row in rows),
    )


def _line(row: DaybookRow, day: date) -> Line:
    moment = row.recorded.isoformat(timespec="seconds")
    return Line(row=row, moment=moment, time=f"{row.recorded:%H:%M}", happened=_happened(row, day))


def _happened(row: DaybookRow, day: date) -> str:
    if row.event is None:
        return ""
    on = row.event.on
    if on is None:
        # What a newer program writes may be no date that this one can read.
        return row.event.on_as_written or t("frame.not_known")
    return "" if on.precision in ("day", "instant") and on.earliest_day == day else on.label()


def _kinds(chosen: str) -> tuple[str, ...]:
    """The kinds that a choice stands for; none for one that there is not."""
    if chosen in KINDS:
        return (chosen,)
    return tuple(name for name, kind in KINDS.items() if chosen == ALL + kind.lane.value)


def _groups() -> Sequence[tuple[str, Sequence[tuple[str, str]]]]:
    """Every kind under its lane, the whole lane first."""
    return [
        (
            t(f"ledger.lanes.{lane.value}"),
            [
                (ALL + lane.value, t(f"ledger.all.{lane.value}")),
                *((name, kind.title) for name, kind in KINDS.items() if kind.lane is lane),
            ],
        )
        for lane in Lane
    ]


def _address(values: Mapping[str, str]) -> str:
    return PATH + ("?" + urlencode(values) if values else "")
