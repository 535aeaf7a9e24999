"""What forecasts are worth: every outlook of the collection beside its result, read in one moment."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from fractions import Fraction

from ledger.actor import Actor, Permission
from ledger.errors import NotFoundError
from ledger.events.outlook import Origin, Outlook, OutlookStage
from ledger.events.slab import Slab
from ledger.forecast import Attempt, Forecast, Stands, attempts_of
from ledger.forecast_worth import Line, Lock, Worth, chances_of, scored, worth_by, worth_of
from ledger.ports import Ledger, Reader
from ledger.rules.grades import grades
from ledger.rules.recalibration import recalibrated
from ledger.rules.scoring import PIT_FROM, AtLeast, pit, reliability
from ledger.usecases.stamps import Told, kept_stamps

__all__ = ["Forecasts", "forecasts"]


@dataclass(frozen=True, kw_only=True)
class Forecasts:
    """Every outlook in force, by what became of it; the collector's own are scored, computed ones beside them."""

    scored: tuple[Line, ...]
    """Own ones that count and have a result, in the order in which the results were written down."""
    computed: tuple[Line, ...]
    """The same of computed ones."""
    earlier: tuple[Line, ...]
    """Own ones before those that count, with a result."""
    unfinished: tuple[Line, ...]
    """Those that count of books without a result, own and computed."""
    no_result: tuple[Line, ...]
    """Of books that came back without a grade, never came back, or left."""
    late: tuple[Line, ...]
    """Recorded when the result was there."""
    after_sending: tuple[Line, ...]
    taken_back: tuple[Line, ...]
    """The last before the sending, withdrawn since."""
    sending_not_known: tuple[Line, ...]
    in_all: Worth | None
    """Of the own ones that count; None where there is no result."""
    computed_in_all: Worth | None
    by_service: tuple[Worth, ...]
    by_stage: tuple[Worth, ...]
    """Of own ones, the last of each stage of a book; earlier ones are told here and are in no other total."""
    reliability: tuple[AtLeast, ...]
    pit: tuple[Fraction, ...]
    """Empty while there are too few results."""


def forecasts(ledger: Ledger, actor: Actor) -> Forecasts:
    """All of them, read in one moment."""
    actor.require(Permission.READ)
    stamps = kept_stamps(ledger, actor)
    with ledger.log.read() as reader:
        books = dict(_attempts(ledger, reader))
        names = {book: _name(reader, book) for book in books}
    gains = _gains(books)
    lines = [
        _line(book, names[book], attempt, forecast, gains, stamps)
        for book, attempts in books.items()
        for attempt in attempts
        for forecast in attempt.forecasts
    ]
    return _told(lines)


def _attempts(ledger: Ledger, reader: Reader) -> Iterator[tuple[str, tuple[Attempt, ...]]]:
    """Of every book that an outlook or a result speaks of."""
    numbers = sorted({*reader.numbers_of(Outlook.kind), *reader.numbers_of(Slab.kind)})
    for book in dict.fromkeys(reader.entry(each).book for each in numbers):
        if book is not None:
            yield book, attempts_of(book, reader.of_book(book), ledger.codec)


def _name(reader: Reader, book: str) -> str:
    try:
        row = reader.book(book)
    except NotFoundError:
        return book
    return f"{row.title} {row.number}".strip() or book


def _gains(books: Mapping[str, Sequence[Attempt]]) -> list[tuple[int, int]]:
    """Number of the entry with each result, and the steps it gained."""
    every = [each for attempts in books.values() for each in attempts]
    return sorted((each.outcome, each.gain) for each in every if each.outcome is not None and each.gain is not None)


def _line(  # noqa: PLR0913 - what it is made from
    book: str,
    name: str,
    attempt: Attempt,
    forecast: Forecast,
    gains: Sequence[tuple[int, int]],
    stamps: Sequence[Told],
) -> Line:
    earlier = [gain for seq, gain in gains if seq < forecast.seq]
    return replace(scored(book, name, attempt, forecast, earlier), lock=_lock(attempt, forecast, stamps))


def _lock(attempt: Attempt, forecast: Forecast, stamps: Sequence[Told]) -> Lock | None:
    """The first stamp over a checkpoint that covers it, from before the result was there.

    Keeps: without the date of a result nothing is known to come before it.
    """
    before: datetime | None = None
    if attempt.outcome is not None:
        if attempt.outcome_on is None or attempt.outcome_recorded is None:
            return None
        before = min(attempt.outcome_on.span()[0], attempt.outcome_recorded)
    found = [
        (each.time, each)
        for each in stamps
        if not each.fault and each.time is not None and each.stamp.size >= forecast.settled_by
    ]
    found = [each for each in found if before is None or each[0] < before]
    if not found:
        return None
    time, first = min(found, key=lambda each: (not each[1].under, each[0]))
    said = time.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    return Lock(size=first.stamp.size, by=first.by, time=said, known=first.under)


def _told(lines: Sequence[Line]) -> Forecasts:
    def these(stands: Stands, *, result: bool | None = None) -> tuple[Line, ...]:
        found = [each for each in lines if each.forecast.stands is stands]
        return tuple(each for each in found if result is None or (each.attempt.result is not None) is result)

    counted = sorted(these(Stands.COUNTS, result=True), key=lambda each: each.attempt.outcome or 0)
    own = tuple(each for each in counted if _is_own(each))
    computed = tuple(each for each in counted if not _is_own(each))
    earlier = tuple(each for each in these(Stands.EARLIER, result=True) if _is_own(each))
    open_ones = these(Stands.COUNTS, result=False)
    surprises = [each.surprise for each in own if each.surprise is not None]
    results = [(each.chances, each.attempt.result.step) for each in own if each.attempt.result is not None]
    return Forecasts(
        scored=own,
        computed=computed,
        earlier=earlier,
        unfinished=tuple(_with_offer(each, surprises) for each in open_ones if each.attempt.ended_by is None),
        no_result=tuple(each for each in open_ones if each.attempt.ended_by is not None),
        late=these(Stands.LATE),
        after_sending=these(Stands.AFTER_SENDING),
        taken_back=these(Stands.TAKEN_BACK),
        sending_not_known=these(Stands.SENDING_NOT_KNOWN),
        in_all=worth_of(own),
        computed_in_all=worth_of(computed),
        by_service=worth_by(own, lambda each: each.attempt.service),
        by_stage=worth_by(_last_by_stage([*earlier, *own]), lambda each: each.forecast.outlook.stage, STAGES),
        reliability=reliability(results),
        pit=pit(results) if len(results) >= PIT_FROM else (),
    )


STAGES = tuple(stage.value for stage in OutlookStage)


def _is_own(line: Line) -> bool:
    return line.forecast.outlook.origin is Origin.OWN


def _last_by_stage(lines: Sequence[Line]) -> list[Line]:
    """One line for each stage of each way through a service: the last."""
    found: dict[tuple[int | None, str], Line] = {}
    for each in sorted(lines, key=lambda line: line.forecast.seq):
        found[each.attempt.outcome, each.forecast.outlook.stage] = each
    return list(found.values())


def _with_offer(line: Line, surprises: Sequence[int]) -> Line:
    """With the outlook that earlier results suggest; only the collector's own is learned from and corrected."""
    weights = recalibrated(chances_of(line.forecast), surprises) if _is_own(line) else None
    if weights is None:
        return line
    offered = tuple((grade, weight) for grade, weight in zip(grades(), weights, strict=True) if weight)
    return replace(line, recalibrated=offered)
