"""A batch in words: how far it is, and book by book the forecast beside its result, with the surprise in steps."""

from dataclasses import dataclass

from ledger.batches import Batch, Forecast, InBatch
from ledger.events.slab import SAID
from ledger.money import Money
from ledger.sealed import Sealed
from web import filters
from web.prospect_told import hundred
from web.wording import t

__all__ = ["BatchLine", "TripLine", "batch_line", "trip_line"]


@dataclass(frozen=True, kw_only=True)
class BatchLine:
    """One batch."""

    id: str
    href: str
    books: str
    service: str
    state: str
    sent: str
    asked: str
    is_open: bool
    away: str
    """How many are not back yet, where some are."""


@dataclass(frozen=True, kw_only=True)
class TripLine:
    """One book of it."""

    href: str
    title: str
    number: str
    forecast: str
    chance: str
    """How likely its likeliest step was held to be; of a result, how likely that or better was."""
    result: str
    surprise: str
    holder_number: str
    page_tone: str
    share: str
    """What this book costs of it, as invoiced, or as expected."""


def batch_line(of: Batch) -> BatchLine:
    """One batch as its page and the list tell it."""
    away = len(of.under_way)
    return BatchLine(
        id=of.id,
        href=f"/batches/{of.id}",
        books=t.n("batches.books", len(of.books)),
        service=of.service.value or "",
        state=t(f"batches.stage.{of.stage.name.lower()}") if of.stage else t("batches.over"),
        sent=filters.when(of.sent_on),
        asked=of.asks.value if of.asks else "",
        is_open=of.is_open,
        away=t.n("batches.away", away) if 0 < away < len(of.books) else "",
    )


def trip_line(of: InBatch) -> TripLine:
    """One book of it."""
    slab, forecast = of.slab, of.forecast
    result = ""
    if of.over_by is not None:
        result = t("batches.left")
    elif slab is not None:
        result = str(slab.stated) if slab.stated and of.grade else SAID[slab.outcome]
    return TripLine(
        href=f"/books/{of.book}",
        title=of.title,
        number=of.number,
        forecast=str(forecast.middle) if forecast else "",
        chance=_chance(of, forecast) if forecast else "",
        result=result,
        surprise=_surprise(of.surprise),
        holder_number=(slab.holder_number or "") if slab else "",
        page_tone=(slab.page_tone or "") if slab else "",
        share=_share(of),
    )


def _chance(of: InBatch, forecast: Forecast) -> str:
    grade = of.grade or forecast.likeliest
    share = forecast.at_least(grade) * 1000
    return t("batches.chance", grade=grade, chance=hundred(round(share)))


def _surprise(steps: int | None) -> str:
    if steps is None:
        return ""
    if steps == 0:
        return t("batches.surprise.none")
    return t.n("batches.surprise.better" if steps > 0 else "batches.surprise.worse", abs(steps))


def _share(of: InBatch) -> str:
    invoiced = _at_hand(of.slab.invoice) if of.slab else None
    expected = _at_hand(of.submission.fee)
    if invoiced is not None:
        return t("batches.invoiced", amount=filters.money(invoiced))
    return t("batches.expected", amount=filters.money(expected)) if expected is not None else ""


def _at_hand(of: Sealed[Money]) -> Money | None:
    return of.value
