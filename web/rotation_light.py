"""The light of a plan in words: of each spot, of each book before the plan, and what another light would make of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ledger.events._parts import Answer
from ledger.events.room import Room
from ledger.light_spot import DayLight, Known
from ledger.rotations import TYPED, Rotation, RotationBook, RotationSpot, Span
from ledger.rules.light import Extent
from web.light_words import band, figure, share
from web.wall_names import wall_name
from web.wording import t

__all__ = [
    "SpotLine",
    "ThenLine",
    "day_figure",
    "known_words",
    "percent",
    "so_far_words",
    "span_words",
    "spot_lines",
    "spot_words",
    "then_lines",
]

_KNOWN = {Known.MEASURED: "measured", Known.ESTIMATED: "estimated", Known.TABLE: "table", Known.DARK: "dark"}


@dataclass(frozen=True, kw_only=True)
class SpotLine:
    """One spot of a plan."""

    id: str
    name: str
    light: str
    known: str


@dataclass(frozen=True, kw_only=True)
class ThenLine:
    """One book: its share at the end as it is planned, and in another light."""

    name: str
    now: str
    then: str


def percent(of: Fraction) -> str:
    """A share of a fade in per cent."""
    return t("rotation.percent", share=figure(float(of * 100)))


def span_words(of: Span) -> str:
    """A share with its band, as the page of light says it."""
    return share(_extent(of))


def lux_hours(light: Span) -> str:
    """Light with its band."""
    return t("light.lux_hours", sum=band(_extent(light)))


def known_words(light: DayLight) -> str:
    """How the light of a spot is known, and what of ultraviolet, in short."""
    how = t(f"rotation.known.{_KNOWN.get(light.known, 'table')}")
    if light.away_cm:
        how = t("rotation.known.away", how=how, cm=light.away_cm)
    return _with_uv(how, light.filtered)


def spot_lines(plan: Rotation, rooms: Mapping[str, Room]) -> tuple[SpotLine, ...]:
    """Every spot with its light as it was known when the plan was made."""
    return tuple(
        SpotLine(
            id=each.id,
            name=t("rotation.spot", place=wall_name(rooms, each.room, each.wall), x=each.x_cm, y=each.y_cm),
            light=lux_hours(each.light),
            known=_how(each),
        )
        for each in plan.spots
    )


def spot_words(spot: RotationSpot, rooms: Mapping[str, Room]) -> str:
    """Which spot of a plan it is, short."""
    return t("rotation.spot_short", wall=wall_name(rooms, spot.room, spot.wall), x=spot.x_cm)


def so_far_words(book: RotationBook) -> str:
    """What of a fade was there before the plan; what is not known is said so, and is not nothing."""
    if book.fade is None:
        return t("light.nothing")
    if book.had is None:
        return t("rotation.not_known")
    said = span_words(book.had) if book.had.high else t("rotation.none_counted")
    if book.taken_typed:
        return t("rotation.so_typed", said=said)
    return f"{said}. {t.n('light.fact.unknown', book.unknown_days)}" if book.unknown_days else said


def then_lines(now: Rotation, then: Rotation, names: Mapping[str, str]) -> tuple[ThenLine, ...]:
    """Every book, the one with the largest share now first."""
    before, after = now.bands(), then.bands()
    return tuple(
        ThenLine(name=names.get(each, each), now=span_words(before[each]), then=span_words(after[each]))
        for each in sorted(before, key=lambda one: -before[one].middle)
    )


def day_figure(spot: RotationSpot) -> str:
    """The middle of a day, for the drawing."""
    return figure(float(spot.light.middle))


def _extent(of: Span) -> Extent:
    return Extent(low=float(of.low), middle=float(of.middle), high=float(of.high))


def _how(spot: RotationSpot) -> str:
    if spot.known == TYPED:
        return _with_uv(t("rotation.known.typed"), spot.filtered)
    return _with_uv(t(f"rotation.known.{_KNOWN.get(Known(spot.known), 'table')}"), spot.filtered)


def _with_uv(how: str, filtered: Answer) -> str:
    return t("rotation.known.with_uv", how=how, uv=t(f"rotation.filtered.{filtered.value}"))
