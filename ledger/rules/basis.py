"""What a book has cost, from its entries: each sum with its entry, its day and its own currency, period by period.

A period is one time the book was in the collection; a book that was sold and bought again has two, each with a basis
of its own, so that every sale takes the basis of its own book (specific identification). Nothing is converted here.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ledger.book import Book, Ownership, Status
from ledger.events import Event
from ledger.events.arrival import Arrival
from ledger.events.custody import Custody
from ledger.events.intervention import Intervention
from ledger.events.purchase import WITHOUT_PRICE, Purchase
from ledger.events.purchase import Means as Came
from ledger.events.sale import PRICED, Sale
from ledger.events.sale import Means as Left
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import SENDS, Submission
from ledger.events.valuation import Purpose, Valuation
from ledger.mended import Moment
from ledger.money import Money
from ledger.rules.cost_lines import Gap, Line, Part, Period, Side, Why, Worth
from ledger.sealed import Sealed, SealState

__all__ = ["periods"]


def periods(book: Book, moments: Sequence[Moment]) -> tuple[Period, ...]:
    """Every time the book was in the collection, the first one first.

    An entry counts as it is mended now, one out of force not at all. What was quoted for grading gives way to the
    invoice of the outcome or, where there is none, to its fee; postage counts as entered, so an invoice is entered
    without it. What is paid for damage and what is paid back is taken off; what is paid for a loss is what came in.
    A sale that was undone counts only where the entry that brought the book back says what was paid for that: else the
    price went back as it came. That last rule is our assumption; the others are common practice, no source. A book that
    turned out to be the same copy as another has none: what it cost is told by the other one.

    Requires: the book is the fold of these moments.
    """
    if book.status is Status.DUPLICATE:
        return ()
    begun = {owned.taken_by: owned for owned in book.ownerships}
    found: list[_Taken] = []
    for moment in moments:
        if not moment.in_force:
            continue
        seq, event = moment.entry.seq, moment.event
        if seq in begun and isinstance(event, Purchase):
            owned = begun[seq]
            found.append(_Taken(Period(taken_by=seq, since=owned.since, came=event.means)))
        if found:
            found[-1].take(seq, event)
    closed = {owned.taken_by: owned for owned in book.ownerships if owned.left_by is not None}
    return tuple(each.period(closed.get(each.own.taken_by)) for each in found)


class _Taken:
    """One period while its entries are gone through."""

    def __init__(self, own: Period) -> None:
        self.own = own
        self._lines: list[Line] = []
        self._gaps: list[Gap] = []
        self._worth: dict[Purpose, Worth] = {}
        self._left: dict[int, str] = {}
        self._batch: str | None = None

    def take(self, seq: int, event: Event) -> None:
        """One entry in force."""
        match event:
            case Purchase():
                self._purchase(seq, event)
            case Arrival():
                self._sum(seq, event, Part.REFUND, event.refund)
                self._left[seq] = "sent back"
            case Intervention():
                self._sum(seq, event, Part.WORK, event.cost)
            case Custody():
                self._sum(seq, event, Part.OTHER_HANDS, event.cost)
            case Submission():
                self._submission(seq, event)
            case Slab():
                self._outcome(seq, event)
            case Sale():
                self._sale(seq, event)
            case Valuation():
                self._valuation(seq, event)

    def period(self, owned: Ownership | None) -> Period:
        """The period with all that was taken."""
        ended: dict[str, Any] = {}
        if owned is not None and owned.left_by is not None:
            ended = {"left_by": owned.left_by, "until": owned.until, "left": self._left.get(owned.left_by, "lost")}
        return replace(
            self.own,
            **ended,
            lines=tuple(self._lines),
            gaps=tuple(self._gaps),
            market=self._worth.get(Purpose.MARKET),
            insurance=self._worth.get(Purpose.INSURANCE),
        )

    def _purchase(self, seq: int, event: Purchase) -> None:
        back = event.means is Came.CAME_BACK and seq != self.own.taken_by
        if back:
            self._undo(paid_back=not event.price.empty)
        asked = event.means not in WITHOUT_PRICE and event.means not in (Came.CAME_BACK, Came.RECEIVED)
        self._sum(seq, event, Part.PRICE, event.price, asked=asked)
        for part, given in (
            (Part.PREMIUM, event.premium),
            (Part.TAX, event.tax),
            (Part.SHIPPING, event.shipping),
        ):
            self._sum(seq, event, part, given)

    def _undo(self, *, paid_back: bool) -> None:
        """The sale or loss before is undone; its fees were paid all the same."""
        came_in = (Part.SALE_PRICE, Part.LOSS_PAID)
        self._gaps = [
            each for each in self._gaps if each.part.side is Side.BASIS or (paid_back and each.part in came_in)
        ]
        kept = []
        for line in self._lines:
            if line.part is Part.SALE_FEES:
                kept.append(replace(line, part=Part.OTHER_HANDS))
            elif line.part not in came_in:
                kept.append(line)
            elif paid_back:
                kept.append(replace(line, part=Part.UNDONE))
        self._lines = kept

    def _submission(self, seq: int, event: Submission) -> None:
        if event.stage in SENDS:
            self._batch = event.batch
        if not event.fee.empty:
            self._drop_quoted(event.batch)
        self._sum(seq, event, Part.GRADING, event.fee, batch=event.batch, expected=True)
        self._sum(seq, event, Part.POSTAGE, event.postage)

    def _outcome(self, seq: int, event: Slab) -> None:
        charged = event.fee if event.invoice.empty else event.invoice
        batch = event.batch or self._batch
        if not charged.empty and event.batch is not None:
            self._drop_quoted(event.batch)
        self._sum(seq, event, Part.GRADING, charged, batch=batch)
        lost = event.outcome is Outcome.LOST
        self._sum(seq, event, Part.LOSS_PAID if lost else Part.DAMAGE_PAID, event.compensation)
        self._left[seq] = Left.LOST.value
        self._batch = None

    def _drop_quoted(self, batch: str) -> None:
        """What was quoted for a batch gives way, back to the last time it was settled."""
        settled = max(
            (at for at, each in enumerate(self._lines) if each.batch == batch and not each.expected), default=-1
        )
        self._lines = [
            each for at, each in enumerate(self._lines) if not (each.expected and each.batch == batch and at > settled)
        ]

    def _sale(self, seq: int, event: Sale) -> None:
        self._sum(seq, event, Part.SALE_PRICE, event.price, asked=event.means in PRICED)
        self._sum(seq, event, Part.SALE_FEES, event.fees)
        self._sum(seq, event, Part.LOSS_PAID, event.compensation)
        self._left[seq] = event.means.value

    def _valuation(self, seq: int, event: Valuation) -> None:
        self._worth[event.purpose] = Worth(
            seq=seq,
            on=event.on,
            purpose=event.purpose,
            method=event.method,
            amount=event.amount.value,
            at_grade=event.at_grade,
            valid_until=event.valid_until,
        )

    def _sum(self, seq: int, event: Event, part: Part, given: Sealed[Money], **more: Any) -> None:  # noqa: ANN401
        """One sum, or that it is not known; `asked` where there must be one."""
        asked = more.pop("asked", False)
        if given.state is not SealState.OPEN:
            why = Why.ERASED if given.state is SealState.ERASED else Why.WITHHELD
            self._gaps.append(Gap(seq=seq, on=event.on, part=part, why=why))
        elif given.value is not None:
            self._lines.append(Line(seq=seq, on=event.on, part=part, amount=given.value, **more))
        elif asked:
            self._gaps.append(Gap(seq=seq, on=event.on, part=part, why=Why.NOT_ENTERED))
