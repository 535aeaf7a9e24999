"""What aged one book's paper: presses, wall and storage as equivalent days, side by side with their bands."""

from collections.abc import Iterator
from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.ageing_of_book import Ageing, Air, StayAir
from ledger.climate_log import DAY
from ledger.events.placement import Spot
from ledger.rules.ageing import Band
from ledger.usecases.air import ageing_of
from ledger.usecases.look import look_at
from web.book_facts import issue_of
from web.climate_drawings import AgeingDrawing, ageing_drawing
from web.climate_lines import day_words, equivalent_words
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.render import Page, page, render
from web.wording import t

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class AgeingRow:
    """One kind of ageing; what is not known is said so."""

    what: str
    beside: str
    equivalent: str
    known: str
    lasted: str


@dataclass(frozen=True, kw_only=True)
class StayLine:
    """One stay in one place."""

    entry: int
    place: str
    time: str
    equivalent: str
    known: str


@page("ageing.html")
@dataclass(frozen=True, kw_only=True)
class AgeingPage(Page):
    """All of it."""

    book: str
    title: str
    number: str
    costs: str
    drawing: AgeingDrawing
    rows: tuple[AgeingRow, ...]
    notes: tuple[str, ...]
    stays: tuple[StayLine, ...]


@router.get("/books/{book}/ageing")
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, book: str) -> Response:
    """What is known of it."""
    title, number = issue_of(look_at(ledger, actor, book).book)
    found = ageing_of(ledger, actor, book)
    bands = (
        ("heat", heat_band(found), found.heat.sessions > 0),
        ("wall", air_band(found.wall), found.wall.lasted > 0),
        ("storage", air_band(found.storage), found.storage.lasted > 0),
    )
    return render(
        AgeingPage(
            frame=frame.at(Place.COLLECTION),
            book=book,
            title=title,
            number=number,
            costs=t(f"ageing.costs.{_costs(found)}"),
            drawing=ageing_drawing(
                [(t(f"ageing.{name}"), _said(band, any_here=here), band) for name, band, here in bands]
            ),
            rows=(_heat(found), _air(t("ageing.wall"), found.wall), _air(t("ageing.storage"), found.storage)),
            notes=tuple(_notes(found)),
            stays=tuple(
                map(_stay, sorted((*found.wall.stays, *found.storage.stays), key=lambda each: each.stay.start))
            ),
        )
    )


def heat_band(found: Ageing) -> Band | None:
    """All presses that can be told; None where none can."""
    return found.heat.band if found.heat.sessions > found.heat.untold else None


def air_band(air: Air) -> Band | None:
    """All stays that a log knows; None where none does."""
    return air.equivalent if air.known else None


def _costs(found: Ageing) -> str:
    """Which of them aged it most: only one whose least is above the most of all others, where all are known."""
    bands = {"heat": heat_band(found), "wall": air_band(found.wall), "storage": air_band(found.storage)}
    known = {name: band for name, band in bands.items() if band is not None}
    if not known:
        return "none"
    if found.heat.untold or any(air.lasted and not air.known for air in (found.wall, found.storage)):
        return "part"
    most = max(known, key=lambda name: known[name].low)
    others = [band.high for name, band in known.items() if name != most]
    return most if all(known[most].low > high for high in others) else "open"


def _said(band: Band | None, *, any_here: bool) -> str:
    if not any_here:
        return t("ageing.nothing")
    return t("frame.not_known") if band is None else equivalent_words(band)


def _heat(found: Ageing) -> AgeingRow:
    heat = found.heat
    beside = [t.n("ageing.sessions", heat.sessions)] if heat.sessions else []
    beside += [t.n("ageing.untold", heat.untold)] if heat.untold else []
    return AgeingRow(
        what=t("ageing.heat"),
        beside=" ".join(beside),
        equivalent=_said(heat_band(found), any_here=heat.sessions > 0),
        known="",
        lasted="",
    )


def _air(what: str, air: Air) -> AgeingRow:
    band = air_band(air)
    rate = "" if band is None else t("ageing.per_day", rate=f"{band.middle / (air.known / DAY):.2f}")
    return AgeingRow(
        what=what,
        beside=rate,
        equivalent=_said(band, any_here=air.lasted > 0),
        known=_days(air.known),
        lasted=_days(air.lasted),
    )


def _days(seconds: int) -> str:
    return t("ageing.days", days=f"{seconds / DAY:,.0f}" if seconds % DAY == 0 else f"{seconds / DAY:,.1f}")


def _notes(found: Ageing) -> Iterator[str]:
    if found.elsewhere:
        yield t("ageing.unknown_days", days=f"{found.elsewhere // DAY:,}")
    yield t("ageing.before")


def _stay(air: StayAir) -> StayLine:
    stay = air.stay
    room = stay.room or t("ageing.stays.no_room")
    words = {Spot.WALL: "wall", Spot.BOX: "box", Spot.SAFE: "safe"}[stay.spot]
    return StayLine(
        entry=stay.entry,
        place=t(f"ageing.stays.{words}", room=room),
        time=t("climate.since", first=day_words(stay.start), last=day_words(stay.end)),
        equivalent=_said(air.equivalent if air.known else None, any_here=True),
        known=_days(air.known),
    )
