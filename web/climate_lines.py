"""The figures of a climate in words: every number with its band, what is not known as that."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from ledger.climate_damp import Damp
from ledger.climate_log import DAY, Extent, Figures
from ledger.climate_ranges import RangeShare
from ledger.rules.ageing import Band
from ledger.rules.climate import limit
from ledger.usecases.air import Log, RoomAir
from ledger.when import When
from web.climate_drawings import StripDrawing, strip_of
from web.dose_words import band_words
from web.wall_air_lines import seen_words
from web.wording import t

__all__ = [
    "DampLine",
    "LastedLine",
    "LogLine",
    "RangeGroup",
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
_HUNDRED = 100
_UNPUBLISHED = ("from memory", "our assumption")
_RUNS = 3
"""Times of damp that are named; of more it is said how many."""


@dataclass(frozen=True, kw_only=True)
class DampLine:
    """How damp it was at one surface."""

    where: str
    over_65: str
    over_75: str
    on_end: str
    mould: str
    growing: str
    wood: str


@dataclass(frozen=True, kw_only=True)
class LastedLine:
    """The longest time on end above one humidity, surface by surface, and when mould is seen in it."""

    rh: str
    runs: tuple[str, ...]
    seen: str


@dataclass(frozen=True, kw_only=True)
class RangeLine:
    """One published range."""

    title: str
    share: str
    marks: str
    """What of its sources is not published."""


@dataclass(frozen=True, kw_only=True)
class RangeGroup:
    """Ranges whose shares are of the same."""

    of: str
    lines: tuple[RangeLine, ...]


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
    surfaces: tuple[str, ...]
    """The heads over the runs of `lasted`."""
    lasted: tuple[LastedLine, ...]
    has_walls: bool
    ranges: tuple[RangeGroup, ...]
    sources: tuple[str, ...]
    """Where the figures of the ranges come from, each once."""
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
        surfaces=tuple(map(_surface, figures.damp)) if figures.known else (),
        lasted=tuple(_lasted(figures.damp)) if figures.known else (),
        has_walls=len(figures.damp) > 1,
        ranges=tuple(_ranges(figures)),
        sources=_sources([*figures.ranges, *figures.swings, *figures.seasons]),
        logs=tuple(map(_log, air.logs)),
        strip=strip,
        strip_words=_strip_words(figures, strip),
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
    if figures.isoperm is not None:
        by = {each: f"{getattr(figures.isoperm, each):.2f}" for each in ("middle", "low", "high")}
        yield t("climate.facts.isoperm"), t("climate.facts.isoperm_value", **by)
    if figures.film is not None:
        yield t("climate.facts.film"), t("climate.facts.film_value", times=f"{figures.film:.2f}")
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


def _strip_words(figures: Figures, strip: StripDrawing | None) -> str:
    """How much of it has readings, and when it was wet."""
    if strip is None:
        return ""
    said = t("climate.strip.words", known=strip.known, days=strip.days, damp=strip.wet_days)
    runs = _wet_runs(figures)
    if not runs:
        return said
    named = [
        day_words(first) if first == last else t("climate.strip.run", first=day_words(first), last=day_words(last))
        for first, last in runs[:_RUNS]
    ]
    more = [t.n("climate.strip.wet_more", len(runs) - _RUNS)] if len(runs) > _RUNS else []
    return f"{said} {t('climate.strip.wet_first', days='; '.join([*named, *more]))}"


def _wet_runs(figures: Figures) -> list[tuple[int, int]]:
    """Days on end that went above the humidity that is damp at once, the last such time first. Units: s."""
    runs: list[tuple[int, int]] = []
    for each in figures.days:
        if each.rh[1] <= limit("damp").rh * _HUNDRED:
            continue
        if runs and runs[-1][1] + DAY == each.start:
            runs[-1] = (runs[-1][0], each.start)
        else:
            runs.append((each.start, each.start))
    return runs[::-1]


def _sources(shares: Sequence[RangeShare]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(source for each in shares for source in each.range.sources))


def _untried(figures: Figures) -> str:
    if not figures.untried:
        return ""
    return t("climate.untried", share=per_cent(figures.untried * 1000 // figures.known))


def _damp(damp: Damp) -> DampLine:
    where = t("climate.damp.wall", colder=f"{damp.colder:g}") if damp.colder else t("climate.damp.air")
    over_65, over_75, on_end, mould, growing, wood = (
        _damp_days(each)
        for each in (damp.above_65, damp.above_75, damp.longest_65, damp.mould, damp.growing, damp.wood)
    )
    return DampLine(
        where=where, over_65=over_65, over_75=over_75, on_end=on_end, mould=mould, growing=growing, wood=wood
    )


def _damp_days(days: float) -> str:
    return t("climate.damp.days", days=f"{days:.1f}")


def _surface(damp: Damp) -> str:
    return t("climate.lasted.wall", colder=f"{damp.colder:g}") if damp.colder else t("climate.lasted.air")


def _lasted(surfaces: Sequence[Damp]) -> Iterator[LastedLine]:
    """Humidity by humidity, each over all surfaces."""
    for steps in zip(*(each.lasted for each in surfaces), strict=True):
        first = steps[0]
        yield LastedLine(
            rh=t("climate.lasted.above", rh=f"{first.rh:g}"),
            runs=tuple(_damp_days(each.longest) for each in steps),
            seen=seen_words((first.rh, first.seen_least, first.seen_most)),
        )


def _ranges(figures: Figures) -> Iterator[RangeGroup]:
    for name, shares in (("time", figures.ranges), ("days", figures.swings), ("months", figures.seasons)):
        if shares:
            yield RangeGroup(of=t(f"climate.ranges.{name}"), lines=tuple(map(_range, shares)))


def _range(share: RangeShare) -> RangeLine:
    return RangeLine(
        title=share.range.title,
        share=f"{per_cent(share.per_mille)}\N{NO-BREAK SPACE}%",
        marks="; ".join(source for source in share.range.sources if source.startswith(_UNPUBLISHED)),
    )


def _log(log: Log) -> LogLine:
    event = log.event
    return LogLine(
        seq=log.seq,
        where=t("climate.logs.at_wall", wall=event.wall) if event.wall else t("climate.logs.in_room"),
        time=t("climate.since", first=day_words(log.start), last=day_words(max(log.start, log.end - 1))),
        readings=f"{event.readings:,}",
        coverage=f"{per_cent(event.coverage_per_mille)}\N{NO-BREAK SPACE}%",
    )
