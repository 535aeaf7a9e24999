"""The outlooks that stand in a book's chain: for which submission each was, and whether it came before the result."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from ledger.events.outlook import Origin, Outlook, OutlookStage, Weight
from ledger.events.slab import Slab
from ledger.events.submission import SENDS, Ask, Submission
from ledger.history import Moment
from ledger.outlooks import distribution_of
from ledger.rules.distributions import Distribution
from ledger.rules.grades import Grade
from ledger.when import When

__all__ = ["Stated", "Timing", "stated_of"]


class Timing(StrEnum):
    """When an outlook was made, against the submission it speaks of."""

    BEFORE_SENDING = "before the book was sent"
    WHILE_AWAY = "while the book was away"
    LATE = "after the result"


@dataclass(frozen=True, kw_only=True)
class Stated:
    """One outlook as it was recorded."""

    seq: int
    on: When | None
    recorded: datetime
    origin: Origin
    stage: OutlookStage
    weights: tuple[Weight, ...]
    ceiling: Grade | None
    """The best grade that the defects allowed then, as it was written with it."""
    timing: Timing
    sent: int | None
    """The entry by which the book was sent for the grade it speaks of; None while there is none."""
    outcome: int | None
    """The entry of what came of that; None while it is open."""
    last: bool = False
    """The last one of its origin before the book was sent: the one that is scored."""

    @property
    def distribution(self) -> Distribution:
        """Its weights over the steps."""
        return distribution_of(self.weights)


@dataclass(frozen=True)
class _Sent:
    """One submission for a grade; places are those of its moments."""

    batch: str
    place: int
    seq: int
    back: int | None = None
    outcome: int | None = None


def stated_of(moments: Sequence[Moment]) -> tuple[Stated, ...]:
    """Every outlook in force, in the order of happening.

    It speaks of the submission it names; else of the one under way, else of the next. It is late where what came of
    that happened before it, or was recorded before it, however it is dated. Of those before the book was sent the last
    of each origin is marked; of two at one place in time the one that was recorded later.
    Requires: moments of one book in the order of happening.
    """
    sent = _submissions(moments)
    found = [
        _stated(moment, moment.event, place, sent)
        for place, moment in enumerate(moments)
        if moment.in_force and isinstance(moment.event, Outlook)
    ]
    last = {(each.sent, each.origin): each.seq for each in found if each.timing is Timing.BEFORE_SENDING}
    return tuple(
        replace(each, last=each.sent is not None and last.get((each.sent, each.origin)) == each.seq) for each in found
    )


def _submissions(moments: Sequence[Moment]) -> list[_Sent]:
    """Those that ask for more than a holder, in the order of happening."""
    found: list[_Sent] = []
    for place, moment in enumerate(moments):
        event = moment.event
        if not moment.in_force:
            continue
        if isinstance(event, Submission) and event.stage in SENDS and event.asks is not Ask.NEW_HOLDER:
            found.append(_Sent(event.batch, place, moment.entry.seq))
        elif isinstance(event, Slab) and found and found[-1].back is None and event.batch == found[-1].batch:
            found[-1] = replace(found[-1], back=place, outcome=moment.entry.seq)
    return found


def _stated(moment: Moment, event: Outlook, place: int, sent: Sequence[_Sent]) -> Stated:
    seq, of = moment.entry.seq, _meant(event, place, sent)
    timing = Timing.BEFORE_SENDING
    if of is not None and of.back is not None and of.outcome is not None and (of.back < place or of.outcome < seq):
        timing = Timing.LATE
    elif of is not None and of.place < place:
        timing = Timing.WHILE_AWAY
    return Stated(
        seq=seq,
        on=event.on,
        recorded=moment.entry.recorded,
        origin=event.origin,
        stage=event.stage,
        weights=event.weights,
        ceiling=event.ceiling,
        timing=timing,
        sent=of.seq if of else None,
        outcome=of.outcome if of else None,
    )


def _meant(event: Outlook, place: int, sent: Sequence[_Sent]) -> _Sent | None:
    """The submission that an outlook speaks of."""
    if event.for_batch is not None:
        return next((each for each in reversed(sent) if each.batch == event.for_batch), None)
    under_way = (each for each in sent if each.place < place and (each.back is None or each.back > place))
    return next(under_way, None) or next((each for each in sent if each.place > place), None)
