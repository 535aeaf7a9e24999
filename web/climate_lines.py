"""The figures of a climate in words: every number with its band, what is not known as that."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from ledger.climate_log import DAY, Damp, Extent, Figures, RangeShare
from ledger.rules.ageing import Band
from ledger.usecases.air import Log, RoomAir
from ledger.when import When
from web.climate_drawings import StripDrawing, strip_of
from web.dose_words import band_words
from web.wording import t

__all__ = [
    "DampLine",
    "LogLine",
    "RangeLine",
    "RoomLines",
    "day_words",
    "equivalent_words",
    "interval_words",
    "per_cent",
    "room_lines",
]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MINUTE, _HOUR = 60, 3600
_MANY = 100


@dataclass(frozen=True, kw_only=True)
class DampLine:
    """How damp it was at one surface."""

    where: str
    over_65: str
    over_75: str
    on_end: str
    mould: str


@dataclass(frozen=True, kw_only=True)
class RangeLine:
    """One published range."""

    title: str
    share: str
    of_days: bool
    source: str


@dataclass(frozen=True, kw_only=True)
class LogLine:
    """One log in force."""

    seq: int
    where: str
    time: str
    readings: str
    coverage: str


@dataclass(frozen=True, kw_only=True)
class RoomLines:
    """One room as its page has it."""

    id: str
    name: str
    href: str
    time: str
    known: str
    warned: str
    is_damp: bool
    facts: tuple[tuple[str, str], ...]
    untried: str
    damp: tuple[DampLine, ...]
    has_walls: bool
    ranges: tuple[RangeLine, ...]
    logs: tuple[LogLine, ...]
    strip: StripDrawing | None
    strip_words: str


def day_words(seconds: int) -> str:
    """A day of the logger's clock."""
    return When.of_day((_EPOCH + timedelta(seconds=seconds)).date()).label()


def equivalent_words(band: Band) -> str:
    """Equivalent days with their band; of many days whole ones, so that a narrow band is still seen to be one."""
    if band.high < _MANY:
        return band_words(band)
    return t("climate.equivalent", **{name: f"{getattr(band, name):,.0f}" for name in ("low", "middle", "high")})


def per_cent(per_mille: int) -> str:
    """Thousandths as per cent with one decimal; what is not all is never said to be."""
    return f"{per_mille // 10}.{per_mille % 10}"


def interval_words(seconds: int) -> str:
    """The step between readings."""
    if seconds >= 2 * _HOUR:
        return t("climate.seen.hours", hours=f"{seconds / _HOUR:.2f}".rstrip("0").rstrip("."))
    minutes = f"{seconds / _MINUTE:.2f}".rstrip("0").rstrip(".")
    return t("climate.seen.minutes", minutes=minutes)


def room_lines(air: RoomAir) -> RoomLines:
    """All that a room's page says."""
    figures = air.figures
    strip = strip_of(figures)
    return RoomLines(
        id=air.room,
        name=air.name,
        href=f"/climate/rooms/{air.room}",
        time=t("climate.since", first=day_words(figures.start), last=day_words(max(figures.start, figures.end - 1))),
        known=t("climate.known", share=per_cent(figures.coverage_per_mille))
        if figures.known
        else t("climate.not_known"),
        warned=t(f"climate.warned.{figures.warning.value.replace(' ', '_')}"),
        is_damp=figures.warning.value.startswith("damp"),
        facts=tuple(_facts(figures)),
        untried=_untried(figures),
        damp=tuple(map(_damp, figures.damp)) if figures.known else (),
        has_walls=len(figures.damp) > 1,
        ranges=(*_ranges(figures.ranges, of_days=False), *_ranges(figures.swings, of_days=True)),
        logs=tuple(map(_log, air.logs)),
        strip=strip,
        strip_words=t("climate.strip.words", known=strip.known, days=strip.days, damp=strip.wet_days) if strip else "",
    )


def _facts(figures: Figures) -> Iterator[tuple[str, str]]:
    lasted = (figures.end - figures.start) / DAY
    known = t("climate.hours_known", known=f"{figures.known / DAY:.1f}", lasted=f"{lasted:.1f}")
    yield t("climate.facts.coverage"), known
    life = figures.multiplier
    if life is not None:
        said = t(
            "climate.facts.life_value", **{each: f"{getattr(life, each):.2f}" for each in ("middle", "low", "high")}
        )
        yield t("climate.facts.life"), said
        yield t("climate.facts.equivalent"), equivalent_words(figures.equivalent)
    extents = (
        ("temperature", "temperature_value", figures.celsius),
        ("humidity", "humidity_value", figures.rh),
        ("dew", "temperature_value", figures.dew_point),
        ("water", "water_value", figures.grams),
    )
    for name, value, extent in extents:
        yield t(f"climate.facts.{name}"), "" if extent is None else t(f"climate.facts.{value}", **_extent(extent))


def _extent(extent: Extent) -> dict[str, str]:
    return {name: f"{getattr(extent, name):.1f}" for name in ("low", "mean", "high")}


def _untried(figures: Figures) -> str:
    if not figures.untried:
        return ""
    return t("climate.untried", share=per_cent(figures.untried * 1000 // figures.known))


def _damp(damp: Damp) -> DampLine:
    where = t("climate.damp.wall", colder=f"{damp.colder:g}") if damp.colder else t("climate.damp.air")
    over_65, over_75, on_end, mould = (
        t("climate.damp.days", days=f"{each:.1f}")
        for each in (damp.above_65, damp.above_75, damp.longest_65, damp.mould)
    )
    return DampLine(where=where, over_65=over_65, over_75=over_75, on_end=on_end, mould=mould)


def _ranges(shares: Sequence[RangeShare], *, of_days: bool) -> list[RangeLine]:
    return [
        RangeLine(
            title=each.range.title,
            share=f"{per_cent(each.per_mille)}\N{NO-BREAK SPACE}%",
            of_days=of_days,
            source="; ".join(each.range.sources),
        )
        for each in shares
    ]


def _log(log: Log) -> LogLine:
    event = log.event
    return LogLine(
        seq=log.seq,
        where=t("climate.logs.at_wall", wall=event.wall) if event.wall else t("climate.logs.in_room"),
        time=t("climate.since", first=day_words(log.start), last=day_words(max(log.start, log.end - 1))),
        readings=f"{event.readings:,}",
        coverage=f"{per_cent(event.coverage_per_mille)}\N{NO-BREAK SPACE}%",
    )
