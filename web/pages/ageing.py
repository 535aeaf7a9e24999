"""What aged one book's paper: presses, wall and storage as equivalent days, side by side with their bands."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.ageing_of_book import Ageing, Air, StayAir
from ledger.climate_log import DAY
from ledger.events.placement import Spot
from ledger.events.room import Room
from ledger.rules.ageing import Band
from ledger.usecases.air import ageing_of, rooms_known
from ledger.usecases.look import look_at
from web.book_facts import issue_of
from web.climate_drawings import BAR, AgeingBar, ageing_bars
from web.climate_lines import day_words, equivalent_words
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.render import Page, page, render
from web.wall_names import room_name
from web.wording import t

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class AgeingRow:
    """One kind of ageing with its bar; what is not known is said so."""

    what: str
    equivalent: str
    bar: AgeingBar
    notes: tuple[str, ...]


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
    rows: tuple[AgeingRow, ...]
    bar_width: int
    notes: tuple[str, ...]
    stays: tuple[StayLine, ...]
    roomless: bool
    """Of a box or safe it is not known in which room it stands, and no log can tell of it."""


@router.get("/books/{book}/ageing")
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, book: str) -> Response:
    """What is known of it."""
    title, number = issue_of(look_at(ledger, actor, book).book)
    found, rooms = ageing_of(ledger, actor, book), rooms_known(ledger, actor)
    return render(
        AgeingPage(
            frame=frame.at(Place.COLLECTION),
            book=book,
            title=title,
            number=number,
            costs=t(f"ageing.costs.{_costs(found)}"),
            rows=tuple(_rows(found)),
            bar_width=BAR,
            notes=tuple(_notes(found)),
            stays=tuple(
                _stay(rooms, each)
                for each in sorted((*found.wall.stays, *found.storage.stays), key=lambda each: each.stay.start)
            ),
            roomless=any(each.stay.room is None for each in found.storage.stays),
        )
    )


def heat_band(found: Ageing) -> Band | None:
    """All presses that can be told; None where none can."""
    return found.heat.band if found.heat.sessions > found.heat.untold else None


def air_band(air: Air) -> Band | None:
    """All stays that a log knows; None where none does."""
    return air.equivalent if air.known else None


def _costs(found: Ageing) -> str:
    """Which of them aged it most: only one whose least is above the most of all others, where all are known.

    Where a part is not known, that a place did more than the presses is still told: what is not known only adds to it.
    """
    bands = {"heat": heat_band(found), "wall": air_band(found.wall), "storage": air_band(found.storage)}
    known = {name: band for name, band in bands.items() if band is not None}
    if not known:
        return "none"
    if found.heat.untold or any(air.lasted and not air.known for air in (found.wall, found.storage)):
        return _more_than_heat(found, known)
    most = max(known, key=lambda name: known[name].low)
    others = [band.high for name, band in known.items() if name != most]
    return most if all(known[most].low > high for high in others) else "open"


def _more_than_heat(found: Ageing, known: Mapping[str, Band]) -> str:
    """A place of which a part is known, where that alone is above the most of all presses."""
    heat = found.heat
    if "heat" not in known or heat.untold or heat.without_cooling:
        return "part"
    surely = (name for name in ("wall", "storage") if name in known and known[name].low > known["heat"].high)
    return next((f"{name}_more" for name in surely), "part")


def _said(band: Band | None, *, any_here: bool) -> str:
    if not any_here:
        return t("ageing.nothing")
    return t("frame.not_known") if band is None else equivalent_words(band)


def _rows(found: Ageing) -> Iterator[AgeingRow]:
    bands = (heat_band(found), air_band(found.wall), air_band(found.storage))
    here = (found.heat.sessions > 0, found.wall.lasted > 0, found.storage.lasted > 0)
    notes = (_of_heat(found), _of_air(found.wall), _of_air(found.storage))
    names = ("heat", "wall", "storage")
    for name, band, any_here, bar, said in zip(names, bands, here, ageing_bars(bands), notes, strict=True):
        yield AgeingRow(what=t(f"ageing.{name}"), equivalent=_said(band, any_here=any_here), bar=bar, notes=tuple(said))


def _of_heat(found: Ageing) -> Iterator[str]:
    heat = found.heat
    if heat.sessions:
        yield t.n("ageing.sessions", heat.sessions)
    if heat.untold:
        yield t.n("ageing.untold", heat.untold)
    if heat.without_cooling:
        yield t.n("dose.without_cooling", heat.without_cooling)


def _of_air(air: Air) -> Iterator[str]:
    if not air.lasted:
        return
    lasted, known = _days(air.lasted), _days(air.known)
    if not air.known:
        yield t("ageing.known_none", lasted=lasted)
        return
    yield (
        t("ageing.known_all", lasted=lasted)
        if air.known == air.lasted
        else t("ageing.known_of", known=known, lasted=lasted)
    )
    days = air.known / DAY
    yield t(
        "ageing.per_day", **{each: f"{getattr(air.equivalent, each) / days:.2f}" for each in ("low", "middle", "high")}
    )


def _days(seconds: int) -> str:
    return t("ageing.days", days=f"{seconds / DAY:,.0f}" if seconds % DAY == 0 else f"{seconds / DAY:,.1f}")


def _notes(found: Ageing) -> Iterator[str]:
    if found.elsewhere:
        yield t("ageing.unknown_days", days=f"{found.elsewhere // DAY:,}")
    yield t("ageing.before")


def _stay(rooms: Mapping[str, Room], air: StayAir) -> StayLine:
    stay = air.stay
    room = room_name(rooms, stay.room) if stay.room else t("ageing.stays.no_room")
    words = {Spot.WALL: "wall", Spot.BOX: "box", Spot.SAFE: "safe"}[stay.spot]
    return StayLine(
        entry=stay.entry,
        place=t(f"ageing.stays.{words}", room=room),
        time=t("climate.since", first=day_words(stay.start), last=day_words(stay.end)),
        equivalent=_said(air.equivalent if air.known else None, any_here=True),
        known=_days(air.known) if air.known else t("ageing.stays.none_known"),
    )
