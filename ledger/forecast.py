"""Which outlook of a book counts for which submission: the last before it was sent; what came too late never counts."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from ledger.book import Book, Status
from ledger.entry import Entry
from ledger.events import Event
from ledger.events.outlook import Origin, Outlook
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import SENDS, Ask, Submission
from ledger.history import history, states
from ledger.mended import Amender, Moment
from ledger.rules.grades import Grade
from ledger.when import When

__all__ = ["Attempt", "Forecast", "Stands", "attempts_of"]


class Stands(StrEnum):
    """How an outlook stands to the result it speaks of."""

    COUNTS = "counts"
    """The last of its origin before the book was sent."""
    EARLIER = "earlier"
    """Another of its origin came after it, before the book was sent."""
    AFTER_SENDING = "after sending"
    SENDING_NOT_KNOWN = "sending not known"
    """There is a result, and nobody wrote down when the book was sent."""
    LATE = "late"
    """Recorded when the result was there."""
    TAKEN_BACK = "taken back"
    """The last before the book was sent, and withdrawn since; no earlier one takes its place."""


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """One outlook as it stood when the book was sent; mending it later changes nothing of what is scored."""

    seq: int
    recorded: datetime
    outlook: Outlook
    stands: Stands
    settled_by: int
    """The last entry that had a say in its weights by then."""
    mended_since: bool = False


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """One way through a grading service, or what is forecast for the next one, with the outlooks that speak of it."""

    sent: int | None = None
    """Number of the entry that sent it; None where it was not sent yet, or nobody wrote that down."""
    sent_on: When | None = None
    batch: str | None = None
    service: str | None = None
    """As it was written down; None where it was not, or is sealed."""
    outcome: int | None = None
    outcome_on: When | None = None
    outcome_recorded: datetime | None = None
    known_since: int | None = None
    """The first entry that told of an outcome; it is an earlier one than that in force if one was withdrawn."""
    came: Outcome | None = None
    result: Grade | None = None
    base: Grade | None = None
    """The grade before it was sent, whoever stated it; of several steps the middle one, of two the lower. None where
    none is known of."""
    ended_by: int | None = None
    """The entry after which nothing more is to come of it: its outcome, or that the book left."""
    forecasts: tuple[Forecast, ...] = ()

    def counted(self, origin: Origin) -> Forecast | None:
        """The outlook of that origin that counts."""
        found = (each for each in self.forecasts if each.stands is Stands.COUNTS)
        return next((each for each in found if each.outlook.origin is origin), None)

    @property
    def gain(self) -> int | None:
        """Steps from the grade before to the result."""
        return None if self.result is None or self.base is None else self.result.step - self.base.step


def attempts_of(book: str, entries: Sequence[Entry], amender: Amender) -> tuple[Attempt, ...]:
    """Every attempt of a book in the order of happening; one that is not sent yet comes last, if an outlook speaks of it.

    Keeps: an outlook counts only if it was written down before the sending was, before the day of the sending was over,
    and before the result was there.
    Requires: the entries of one book as they were recorded.
    """
    moments = history(entries, amender)
    after = states(book, 0, moments)
    if after[-1].status is Status.DUPLICATE:
        return ()
    attempts = list(_told_first(_ways(moments, after), moments))
    taken: set[int] = set()
    found = []
    for attempt in attempts:
        forecasts = list(_in_time(attempt, entries, moments, amender, taken))
        taken |= {each.seq for each in forecasts}
        found.append(replace(attempt, forecasts=tuple(forecasts)))
    left = after[-1].ownerships[-1].left_by if after[-1].ownerships else None
    return tuple(_with_the_others([*found, Attempt(base=_grade_before(after[-1]), ended_by=left)], moments, taken))


def _ways(moments: Sequence[Moment], after: Sequence[Book]) -> Iterator[Attempt]:
    """The submissions as they went, without their outlooks; one for a new holder asks for no grade, and is none."""
    way: Attempt | None = None
    for moment, before, then in zip(moments, after[:-1], after[1:], strict=True):
        event = moment.event
        if not moment.in_force:
            continue
        if _for_a_holder(event, way):
            continue
        if isinstance(event, Submission) and event.stage in SENDS:
            way = Attempt(
                sent=moment.entry.seq,
                sent_on=event.on,
                batch=event.batch,
                service=event.service.value,
                base=_grade_before(before),
            )
        elif isinstance(event, Slab):
            yield _ended(way or Attempt(base=_grade_before(before)), moment, event)
            way = None
        elif way is not None and then.open_submission is None:
            yield replace(way, ended_by=moment.entry.seq)
            way = None
    if way is not None:
        yield way


def _for_a_holder(event: Event, way: Attempt | None) -> bool:
    """It asks for a new holder, or is what came of that."""
    if isinstance(event, Submission):
        return event.asks is Ask.NEW_HOLDER
    return isinstance(event, Slab) and event.outcome is Outcome.NEW_HOLDER and way is None


def _told_first(ways: Iterable[Attempt], moments: Sequence[Moment]) -> Iterator[Attempt]:
    """Each with the entry that first told of its outcome: taking a result back and telling it again hides nothing."""
    told = sorted((each.entry.seq, each.event.batch) for each in moments if isinstance(each.event, Slab))
    before = 0
    for way in ways:
        if way.outcome is None:
            yield way
            continue
        last = way.outcome
        yield replace(way, known_since=min(seq for seq, batch in told if batch == way.batch and before < seq <= last))
        before = last


def _ended(way: Attempt, moment: Moment, slab: Slab) -> Attempt:
    graded = slab.outcome is Outcome.GRADE_GIVEN and slab.stated is not None
    return replace(
        way,
        service=slab.service.value or way.service,
        outcome=moment.entry.seq,
        outcome_on=slab.on,
        outcome_recorded=moment.entry.recorded,
        came=slab.outcome,
        result=slab.stated.steps[0] if graded and slab.stated is not None else None,
        ended_by=moment.entry.seq,
    )


def _grade_before(book: Book) -> Grade | None:
    for each in reversed(book.grades):
        if each.stated.steps:
            steps = sorted(each.stated.steps)
            return steps[(len(steps) - 1) // 2]
    return None


def _in_time(
    attempt: Attempt, entries: Sequence[Entry], moments: Sequence[Moment], amender: Amender, taken: set[int]
) -> Iterator[Forecast]:
    """Outlooks that were there before it was sent, as they stood then, the earliest first."""
    if attempt.sent is None:
        return  # when it was sent, nobody wrote down
    then = [each for each in entries if _was_before(each, attempt)]
    now = {each.entry.seq: each for each in moments}
    stood = [
        (moment, moment.event)
        for moment in history(then, amender)
        if moment.in_force and isinstance(moment.event, Outlook) and moment.entry.seq not in taken
    ]
    stood = [each for each in stood if each[1].for_batch is None or each[1].for_batch == attempt.batch]
    last = {outlook.origin: moment.entry.seq for moment, outlook in stood}
    for moment, outlook in stood:
        seq = moment.entry.seq
        withdrawn = not now[seq].in_force
        if seq != last[outlook.origin]:
            if withdrawn:
                continue
            stands = Stands.EARLIER
        else:
            stands = Stands.TAKEN_BACK if withdrawn else Stands.COUNTS
        yield Forecast(
            seq=seq,
            recorded=moment.entry.recorded,
            outlook=outlook,
            stands=stands,
            settled_by=max((seq, *moment.corrected_by)),
            mended_since=now[seq].corrected_by != moment.corrected_by,
        )


def _was_before(entry: Entry, attempt: Attempt) -> bool:
    """It was written down before the book was sent, by number and by the day."""
    if _knew(entry, attempt):
        return False
    return attempt.sent is not None and entry.seq < attempt.sent and not _is_past(attempt.sent_on, entry.recorded)


def _knew(entry: Entry, attempt: Attempt) -> bool:
    """The result was there when it was written down, by number or by the day."""
    if attempt.outcome is None:
        return False
    return entry.seq > (attempt.known_since or attempt.outcome) or _is_past(attempt.outcome_on, entry.recorded)


def _is_past(on: When | None, recorded: datetime) -> bool:
    """It was written down when that day was certainly over."""
    return on is not None and on.span()[1] < recorded


def _with_the_others(attempts: list[Attempt], moments: Sequence[Moment], taken: set[int]) -> Iterator[Attempt]:
    """Each with the outlooks that came too late for it; the last, not sent yet, only where one speaks of it."""
    places = {moment.entry.seq: place for place, moment in enumerate(moments)}
    more: dict[int, list[Forecast]] = {}
    for moment in moments:
        outlook, seq = moment.event, moment.entry.seq
        if not isinstance(outlook, Outlook) or not moment.in_force or seq in taken:
            continue
        of = _spoken_of(outlook, places[seq], attempts, places)
        forecast = Forecast(
            seq=seq,
            recorded=moment.entry.recorded,
            outlook=outlook,
            stands=_stands(moment, attempts[of], places),
            settled_by=max((seq, *moment.corrected_by)),
        )
        more.setdefault(of, []).append(forecast)
    if more.get(len(attempts) - 1):
        more[len(attempts) - 1] = _last_count(more[len(attempts) - 1])
    for place, attempt in enumerate(attempts):
        found = sorted((*attempt.forecasts, *more.get(place, ())), key=lambda each: places[each.seq])
        if found or place < len(attempts) - 1:
            yield replace(attempt, forecasts=tuple(found))


def _stands(moment: Moment, attempt: Attempt, places: dict[int, int]) -> Stands:
    """How an outlook that was not there before the book was sent stands to it."""
    end = len(places) if attempt.outcome is None else places[attempt.outcome]
    if _knew(moment.entry, attempt) or places[moment.entry.seq] > end:
        return Stands.LATE
    if attempt.sent is not None:
        return Stands.AFTER_SENDING
    return Stands.COUNTS if attempt.outcome is None else Stands.SENDING_NOT_KNOWN


def _last_count(forecasts: Sequence[Forecast]) -> list[Forecast]:
    """Of those for a book that is not sent yet, the last of each origin counts."""
    last = {each.outlook.origin: each.seq for each in forecasts}
    earlier = [each.seq != last[each.outlook.origin] for each in forecasts]
    return [
        replace(each, stands=Stands.EARLIER if old else Stands.COUNTS)
        for each, old in zip(forecasts, earlier, strict=True)
    ]


def _spoken_of(outlook: Outlook, place: int, attempts: Sequence[Attempt], places: dict[int, int]) -> int:
    """Which attempt it speaks of: that of its batch, else the first that was not over by then."""
    named = [at for at, each in enumerate(attempts) if outlook.for_batch and each.batch == outlook.for_batch]
    if named:
        return named[-1]
    if outlook.for_batch:
        return len(attempts) - 1
    ends = [len(places) if each.ended_by is None else places[each.ended_by] for each in attempts]
    return next((at for at, end in enumerate(ends) if end > place), len(attempts) - 1)
