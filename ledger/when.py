"""When something happened, as exactly as it is known: a year, a month, a day, a decade, a span, or a moment.

One meaning has one text, a subset of EDTF (ISO 8601-2:2019 annex A): `1998`, `1998-04`, `1998-04-03`, `199X`,
`1998-04-03/1998-05`, `2024-05-01T14:30:00+02:00`. "Not known" is no `When` at all.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, Literal

from ledger._edtf import EAST_MOST, FIRST_YEAR, LAST_YEAR, WEST_MOST, SpellingError, WhenError, in_words, spelt
from ledger._wire import text_value
from ledger._written_dates import LONGEST, ORDERS, ends, readings

__all__ = [
    "FIRST_YEAR",
    "LAST_YEAR",
    "AmbiguousDateError",
    "When",
    "WhenError",
    "as_happened",
    "positions",
    "read_when",
]

_TURNED = timedelta(days=2)
"""Days so far apart are in the same order wherever on earth they were: both ends of the day are less than that away."""

_AS_PEOPLE_WRITE = "Write it like 3 April 1998, April 1998, 1998, 1990s, or between 1997 and 1999."


@dataclass(eq=False, kw_only=True)
class AmbiguousDateError(WhenError):
    """Numbers that are a date in more than one order; `readings` maps each order to what it would mean."""

    readings: dict[str, str]
    problem: str = "this can be read in more than one way"
    mend: str = "Write the month as a word, or state the order of day and month."

    def __str__(self) -> str:
        meant = "; ".join(f"{ORDERS[order]} it is {When(date).label()}" for order, date in self.readings.items())
        return f"{self.what}: {self.text!r} can be read in more than one way: {meant}. {self.mend}"


@dataclass(frozen=True)
class When:
    """When something happened, as exactly as it is known.

    Keeps: equal meaning, equal text; `text` is the canonical spelling.
    Raises: WhenError, for any other spelling, an impossible day, or a time of day without its offset from UTC.
    Source: EDTF, ISO 8601-2:2019 annex A, levels 0 and 1 in part.
    """

    text: str
    precision: str = field(init=False, repr=False, compare=False)
    """year, month, day, decade, interval or instant"""
    earliest_day: date = field(init=False, repr=False, compare=False)
    latest_day: date = field(init=False, repr=False, compare=False)
    instant: datetime | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if type(self.text) is not str:
            raise WhenError(text=repr(self.text), problem="this is not text")
        for name, value in vars(spelt(self.text)).items():
            object.__setattr__(self, name, value)

    @classmethod
    def parse(cls, text: str) -> "When":
        """The date this text spells."""
        return cls(text)

    @classmethod
    def of_day(cls, day: date) -> "When":
        """That day."""
        return cls(day.isoformat())

    def __str__(self) -> str:
        return self.text

    def label(self) -> str:
        """The same in plain words ("April 1998", "1990s")."""
        if self.instant is not None:
            zone = "UTC" if self.text.endswith("Z") else f"UTC{self.text[-6:]}"
            return f"{in_words(self.text[:10])}, {self.text[11:16]} ({zone})"
        if self.precision == "interval":
            first, last = self.text.split("/")
            return f"between {in_words(first)} and {in_words(last)}"
        return in_words(self.text)

    def span(self) -> tuple[datetime, datetime]:
        """The stretch of the UTC line it must lie in: the place of a bare day is not known, so its span is widened."""
        if self.instant is not None:
            moment = self.instant.astimezone(UTC)
            return moment, moment
        begin = datetime.combine(self.earliest_day, time(), UTC) - EAST_MOST
        return begin, datetime.combine(self.latest_day, time(), UTC) + timedelta(days=1) + WEST_MOST

    def certainly_before(self, other: "When") -> bool:
        """It was over when the other began, wherever on earth either was.

        Two bare days are compared by the calendar of the one collector who wrote both; two moments by the moment;
        a bare day and a moment only where no time zone could turn them round. A strict partial order.
        """
        if self.instant is None and other.instant is None:
            return self.latest_day < other.earliest_day
        if self.instant is not None and other.instant is not None:
            return self.instant < other.instant
        if self.instant is not None:  # a day begins with its first moment ...
            return self.instant < other.span()[0]
        return self.span()[1] <= other.span()[0]  # ... and is over at the first moment of the next

    def overlaps(self, other: "When") -> bool:
        """Neither is certainly before the other."""
        return not self.certainly_before(other) and not other.certainly_before(self)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: object, handler: object) -> dict[str, Any]:
        """One string in JSON."""
        return text_value(cls, cls.parse)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: object, handler: object) -> dict[str, Any]:
        """What a caller of the API reads about a date."""
        return {
            "title": "When",
            "description": (
                "EDTF (ISO 8601-2): year, month, day, decade such as 199X, interval a/b, or date-time with seconds "
                "and its offset from UTC."
            ),
            "type": "string",
            "pattern": (
                r"^([0-9]{3}X|[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?(/[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?)?"
                r"|[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(Z|[+-][0-9]{2}:[0-9]{2}))$"
            ),
            "examples": ["1998", "1998-04", "1998-04-03", "199X", "1998-04/1999", "2024-05-01T14:30:00+02:00"],
        }


def read_when(text: str, *, order: Literal["dmy", "mdy", "ymd"] | None = None, today: date) -> When:
    """The date somebody wrote ("3 Apr 1998", "1990s", "yesterday"); show it back with its `label`.

    A day without a year is the last such day up to `today`, a year of two digits the last such year.
    Raises: AmbiguousDateError, where numbers alone mean different days in different orders and no order is stated.
    """
    plain = " ".join(text.split())
    unread = WhenError(text=text, problem=f"{text!r} cannot be read as a date", mend=_AS_PEOPLE_WRITE)
    if len(plain) > LONGEST:
        raise unread
    try:
        return When(plain)
    except SpellingError:
        found = readings(plain, today)
    if order is not None and found:
        if order not in found:
            problem = f"{text!r} is no date with the {ORDERS[order]}"
            raise WhenError(text=text, problem=problem, mend="Write the month as a word, or state another order.")
        return When(found[order])
    meanings = {spelling: order for order, spelling in reversed(found.items())}
    if len(meanings) > 1:
        raise AmbiguousDateError(text=text, readings={order: meaning for meaning, order in reversed(meanings.items())})
    if meanings:
        return When(next(iter(meanings)))
    span = ends(plain)
    if span is None:
        raise unread
    first, last = (read_when(end, order=order, today=today) for end in span)
    return When(f"{_end(first, first.earliest_day)}/{_end(last, last.latest_day)}")


def _end(end: When, day: date) -> str:
    """A decade as the end of a span is its first or last year."""
    return str(day.year) if end.precision == "decade" else end.text


def as_happened(items: Sequence[When | None]) -> list[int]:
    """The places of the items, given in recorded order, in the order in which they happened.

    Each is put as late as the recorded order allows, but before whatever it was certainly before; an unknown date stays
    where it was recorded. Keeps: nothing stands before what was certainly before it; no clock has a say.
    """
    order: list[int] = []
    newest: date | None = None
    for place, item in enumerate(items):
        if item is None or newest is None or item.latest_day > newest + _TURNED:
            order.append(place)
        else:
            first_after = next((at for at, known in enumerate(order) if _before(item, items[known])), len(order))
            order.insert(first_after, place)
        if item is not None:
            newest = item.earliest_day if newest is None else max(newest, item.earliest_day)
    return order


def positions(order: Sequence[int], items: Sequence[When | None], candidate: When | None) -> range:
    """Every place in that order which the candidate could take without contradicting a certain precedence."""
    after = [at for at, known in enumerate(order) if _before(items[known], candidate)]
    before = [at for at, known in enumerate(order) if _before(candidate, items[known])]
    return range(after[-1] + 1 if after else 0, (before[0] if before else len(order)) + 1)


def _before(item: When | None, other: When | None) -> bool:
    """An unknown date may lie as far back or as near as one likes, so nothing is certain of it."""
    return item is not None and other is not None and item.certainly_before(other)
