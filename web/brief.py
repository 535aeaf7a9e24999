"""An event in the fewest words that still tell it, and dates as short as they stand on a drawing."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Any, Final

from ledger.events import Event
from ledger.events._parts import Holding
from ledger.events.correction import Correction
from ledger.events.custody import Custody
from ledger.events.examination import Examination
from ledger.events.identification import Identification
from ledger.events.intervention import ENDS, Intervention
from ledger.events.opening import Opening
from ledger.events.outlook import Outlook
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement
from ledger.events.purchase import Purchase
from ledger.events.sale import Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import SENDS, Submission
from ledger.events.valuation import Valuation
from ledger.when import When
from web.ticks import month
from web.wording import t

__all__ = ["brief", "brief_day", "brief_when", "written_apart"]

NO_BREAK = "\N{NO-BREAK SPACE}"
_APART = timedelta(days=1)


def brief(event: Event) -> str:
    """What happened, without the title of the book and without anything sealed."""
    shorter = BRIEF.get(type(event))
    return event.summary() if shorter is None else shorter(event)


def brief_when(on: When | None) -> str:
    """A date as a drawing says it: months in three letters, no time of day."""
    if on is None:
        return t("book.brief.no_date")
    if on.instant is not None:
        return _part(on.text[:10])
    if on.precision == "interval":
        first, last = on.text.split("/")
        begin = first.split("-")[2].lstrip("0") if _in_one_month(first, last) else _part(first)
        return t("book.brief.from_to", first=begin, last=_part(last))
    return f"{on.text[:3]}0s" if on.precision == "decade" else _part(on.text)


def brief_day(moment: datetime) -> str:
    """The day of a moment, in UTC."""
    return brief_when(When.of_day(moment.date()))


def written_apart(on: When | None, recorded: datetime) -> bool:
    """When it happened and when it was written down lie more than a day apart, or the first is not known."""
    if on is None:
        return True
    day = recorded.date()
    return day - on.latest_day > _APART or on.earliest_day - day > _APART


def _purchase(event: Purchase) -> str:
    kept = t(f"book.brief.{event.holding.value}") if event.holding is not Holding.NOT_STATED else ""
    under_way = t("book.brief.under_way") if event.expects_arrival else ""
    return ", ".join(part for part in (event.means.value.capitalize(), kept, under_way) if part)


def _slab(event: Slab) -> str:
    if event.outcome is Outcome.GRADE_GIVEN and event.stated is not None:
        return t("book.brief.graded", grade=event.stated.as_written)
    return _first_clause(event)


def _step(event: Intervention) -> str:
    heat = event.settings.label().replace(" °C", f"{NO_BREAK}°C") if event.settings else ""
    ended = t(f"book.brief.ended.{event.ended.name.lower()}") if event.ended and event.ended in ENDS else ""
    return ", ".join(part for part in (event.row.title if event.row else event.technique, heat, ended) if part)


def _outlook(event: Outlook) -> str:
    best = max(event.weights, key=lambda weight: (weight.per_mille, -weight.grade.step))
    return t("book.brief.outlook", grade=best.grade)


def _submission(event: Submission) -> str:
    sent = event.stage in SENDS
    return _first_clause(event) if sent else t(f"book.brief.submission.{event.stage.name.lower()}")


def _look(event: Examination) -> str:
    gone, claimed = sum(each.gone for each in event.seen), len(event.claims)
    there = len(event.seen) - gone
    parts = (
        t.n("book.brief.defects", there) if there else "",
        t("book.brief.gone", gone=gone) if gone else "",
        t("book.brief.claimed", claimed=claimed) if claimed else "",
    )
    return t("book.brief.look", found=", ".join(filter(None, parts)) or t("book.brief.look_none"))


def _in_one_month(first: str, last: str) -> bool:
    """Both are days, of the same month."""
    return len(first) == len(last) == len("1998-04-03") and first[:7] == last[:7]


def _first_clause(event: Event) -> str:
    """Its summary up to the first comma or semicolon."""
    return event.summary().partition(";")[0].partition(",")[0]


def _part(text: str) -> str:
    """A year, month or day in strict spelling."""
    year, *rest = text.split("-")
    words = [month(int(rest[0])), year] if rest else [year]
    return NO_BREAK.join([str(int(rest[1])), *words] if len(rest) > 1 else words)


BRIEF: Final[Mapping[type[Event], Callable[[Any], str]]] = MappingProxyType(
    {
        Correction: lambda event: event.summary().partition(":")[0],
        Custody: _first_clause,
        Examination: _look,
        Identification: lambda _event: t("book.brief.identified"),
        Intervention: _step,
        Opening: lambda _event: t("book.brief.opened"),
        Outlook: _outlook,
        Photograph: lambda event: t("book.brief.photograph", face=event.face, light=event.light),
        Placement: _first_clause,
        Purchase: _purchase,
        Sale: _first_clause,
        Slab: _slab,
        Submission: _submission,
        Valuation: _first_clause,
    }
)
"""Kinds whose summary is longer than a drawing has room for, each with its fewer words."""
