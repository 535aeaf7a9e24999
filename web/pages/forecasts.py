"""Forecasts: every outlook beside its result, what all of them came to, and which do not count."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.forecast_worth import Line, Worth
from ledger.rules.recalibration import RESULTS_NEEDED, STRENGTH
from ledger.rules.scoring import PIT_FROM
from ledger.usecases.forecasts import Forecasts, forecasts
from web.deps import ActorDep, FrameDep, LedgerDep
from web.forecast_drawings import PitDrawing, ReliabilityDrawing, pit_of, reliability_of, strip_width
from web.forecast_lines import (
    AtLeastLine,
    ClassLine,
    ForecastLine,
    TotalLine,
    at_least_lines,
    class_lines,
    forecast_line,
    total_line,
)
from web.frame import Place
from web.render import Page, page, render
from web.wording import t

router = APIRouter()

PATH: Final = "/forecasts"
APART: Final = ("no_result", "late", "after_sending", "taken_back", "sending_not_known")
"""What is counted and never scored, in the order in which it is told."""


@dataclass(frozen=True, kw_only=True)
class Group:
    """Outlooks that stand alike to their results, and a sentence that says how."""

    id: str
    title: str
    what: str
    lines: tuple[ForecastLine, ...]


@page("forecasts.html")
@dataclass(frozen=True, kw_only=True)
class ForecastsPage(Page):
    """All of it; empty where no outlook was written down."""

    is_empty: bool
    said: str
    in_all: TotalLine | None
    computed: TotalLine | None
    lines: tuple[ForecastLine, ...]
    by_service: tuple[TotalLine, ...]
    by_stage: tuple[TotalLine, ...]
    at_least: tuple[AtLeastLine, ...]
    classes: tuple[ClassLine, ...]
    reliability: ReliabilityDrawing
    pit: PitDrawing | None
    pit_from: int
    unfinished: tuple[ForecastLine, ...]
    offer: str
    """Whether outlooks are corrected by earlier results, or why not."""
    groups: tuple[Group, ...]
    strip: int
    """How wide a drawing of one outlook is. Units: px."""


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """All forecasts, read in one moment."""
    found = forecasts(ledger, actor)
    worth, results = found.in_all, len(found.scored)
    return render(
        ForecastsPage(
            frame=frame.at(Place.COLLECTION),
            is_empty=not any(
                (found.scored, found.computed, found.unfinished, *(_apart(found, name) for name in APART))
            ),
            said=_said(results),
            in_all=_total(worth, t("forecasts.all")),
            computed=_total(found.computed_in_all, t("forecasts.all_computed")),
            lines=_lines(found.scored[::-1]),
            by_service=tuple(
                total_line(each, each.key or t("forecasts.service_not_known")) for each in found.by_service
            ),
            by_stage=tuple(total_line(each, _stage(each.key)) for each in found.by_stage),
            at_least=at_least_lines(worth.at_least, worth.count) if worth else (),
            classes=class_lines(found.reliability),
            reliability=reliability_of(found.reliability),
            pit=pit_of(found.pit),
            pit_from=PIT_FROM,
            unfinished=_lines(found.unfinished),
            offer=_offer(results),
            groups=tuple(_groups(found)),
            strip=strip_width(),
        )
    )


def _lines(lines: Sequence[Line]) -> tuple[ForecastLine, ...]:
    return tuple(forecast_line(each) for each in lines)


def _total(worth: Worth | None, name: str) -> TotalLine | None:
    return None if worth is None else total_line(worth, name)


def _stage(key: str | None) -> str:
    return t(f"forecasts.stages.{(key or '').replace(' ', '_')}")


def _said(results: int) -> str:
    if not results:
        return t("forecasts.no_results")
    words = t.n("forecasts.results", results)
    return f"{words} {t('forecasts.few')}" if results < RESULTS_NEEDED else words


def _offer(results: int) -> str:
    if results < RESULTS_NEEDED:
        return t("forecasts.offer.too_few", needed=RESULTS_NEEDED, results=results)
    return t("forecasts.offer.how", results=results, strength=STRENGTH)


def _apart(found: Forecasts, name: str) -> tuple[Line, ...]:
    lines: tuple[Line, ...] = getattr(found, name)
    return lines


def _groups(found: Forecasts) -> list[Group]:
    return [
        Group(
            id=name,
            title=t(f"forecasts.apart.{name}.title"),
            what=t(f"forecasts.apart.{name}.what"),
            lines=_lines(lines),
        )
        for name in APART
        if (lines := _apart(found, name))
    ]
