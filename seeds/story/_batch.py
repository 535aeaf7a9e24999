"""A batch of copies that goes through a service: sent, there, back; every cost split to the last cent."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from ledger.events._parts import Holding
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.money import Money
from ledger.sealed import Sealed
from seeds.story._acts import Act, act, together
from seeds.story._copy import Copy, computed, evening, own, shares
from seeds.story._said import by_service, eur, on, said

SENDING = "before sending"


@dataclass(frozen=True, kw_only=True)
class Came:
    """How one copy came back: its grade, or what else came of it."""

    grade: str = ""
    number: str = ""
    remarks: str = ""
    outcome: Outcome = Outcome.GRADE_GIVEN
    compensation: str = ""


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Copies that go out together.

    Keeps: postage is shared by what each is insured for, the invoice evenly; both to the last cent, in euro.
    """

    id: str
    service: str
    speed: str
    copies: Sequence[Copy]
    fee: str
    postage: str
    invoice: str = ""
    forecast: str = ""
    """The evening on which the collector stated what to expect."""
    sent: str = ""
    received: str = ""
    shipped: str = ""
    graded: str = ""
    """The day of the grades, where the papers have it; else the day on which they were back."""
    back: str = ""
    """When they were unpacked and entered."""
    came: Mapping[str, Came] = field(default_factory=dict)
    by_rules: Sequence[str] = ()
    """Those for which the computed outlook was kept beside the own one."""


def acts(batch: Batch) -> Iterator[Act]:
    """What was expected of each, and the way there and back as far as it has come."""
    yield from _expected(batch)
    yield _sent(batch)
    for moment, stage in ((batch.received, Stage.RECEIVED), (batch.shipped, Stage.SHIPPED_BACK)):
        if moment:
            news = Submission(batch=batch.id, stage=stage, service=said(batch.service))
            yield together(moment, *((each.name, news) for each in batch.copies))
    if batch.back:
        yield _back(batch)


def _expected(batch: Batch) -> Iterator[Act]:
    moments = evening(batch.forecast, "19:40", 6)
    for copy in batch.copies:
        if SENDING in copy.forecasts:
            yield act(copy.name, next(moments), own(copy, SENDING, batch.id))
        if copy.name in batch.by_rules:
            yield act(copy.name, next(moments), computed(copy.name, batch.id, batch.service))


def _sent(batch: Batch) -> Act:
    postage = shares(batch.postage, "EUR", [each.insured for each in batch.copies])
    return together(
        batch.sent,
        *(
            (
                copy.name,
                Submission(
                    batch=batch.id,
                    asks=Ask.GRADE,
                    speed=batch.speed,
                    service=said(batch.service),
                    insured_for=eur(f"{copy.insured}.00"),
                    fee=eur(batch.fee),
                    postage=part,
                ),
            )
            for copy, part in zip(batch.copies, postage, strict=True)
        ),
    )


def _back(batch: Batch) -> Act:
    invoice = shares(batch.invoice, "EUR", [1] * len(batch.copies))
    parts = [
        (copy.name, _slab(batch, batch.came[copy.name], part)) for copy, part in zip(batch.copies, invoice, strict=True)
    ]
    return together(batch.back, *parts, signs=True)


def _slab(batch: Batch, came: Came, invoice: Sealed[Money]) -> Slab:
    return Slab(
        on=on(batch.graded or batch.back[:10]),
        batch=batch.id,
        outcome=came.outcome,
        stated=by_service(came.grade) if came.grade else None,
        holder_number=came.number or None,
        holding=Holding.RAW if came.outcome is Outcome.DAMAGED else None,
        came_back=on(batch.back[:10]),
        service=said(batch.service),
        service_remarks=Sealed.of(came.remarks or None),
        fee=eur(batch.fee),
        invoice=invoice,
        compensation=eur(came.compensation) if came.compensation else Sealed(),
    )
