"""Climate files and the air of rooms, as they are answered."""

from pydantic import Field

from api.schemas import Answer
from ledger.climate_damp import Damp, Warned
from ledger.climate_log import Extent, Figures
from ledger.climate_ranges import RangeShare
from ledger.events.climate import DateOrder, Unit
from ledger.logger_file import moment_of
from ledger.rules.ageing import Band
from ledger.usecases.air import Log, RoomAir
from ledger.usecases.climate import Looked

__all__ = [
    "DECIMALS",
    "BandAnswer",
    "LogAnswer",
    "LookedAnswer",
    "RoomAirAnswer",
    "band_told",
    "log_told",
    "looked_told",
]
__all__ += ["room_told"]

DECIMALS = 6
_FILE = "3f79bb7b435b05321651daefd374cdc681dc06faa65e374e38337b88ca046dea"
_CLOCK = "By the logger's clock."


class ReadingsAnswer(Answer):
    """The readings of one channel, as a whole."""

    first: str = Field(description=f"First reading. {_CLOCK}")
    last: str = Field(description=f"Last reading. {_CLOCK}")
    readings: int = Field(description="How many have temperature or humidity.")
    interval_seconds: int | None = Field(description="The commonest step between readings. Units: s.")
    coverage_per_mille: int = Field(description="Share of the time for which both are known. Units: thousandths.")


class ReadAnswer(ReadingsAnswer):
    """One channel as it would be taken in."""

    number: int = Field(description="Its number in the file.")
    name: str = Field(description="As the file has it; empty where it has none.")


class UnreadAnswer(Answer):
    """A row, or a figure of one, that is not read."""

    line: int = Field(description="Line of the file.")
    reason: str = Field(description="no_time, time_back or no_figure.")
    text: str = Field(description="What stands there, cut short.")


class LookedAnswer(Answer):
    """A file before it is taken in."""

    sha256: str = Field(description="SHA-256 of the file as it came.", examples=[_FILE])
    size: int = Field(description="Units: bytes.")
    header_lines: int = Field(description="Lines before the first reading.")
    asks: list[str] = Field(description="What must be said of it before it can be read: dates, temperature_unit.")
    dates: DateOrder | None = Field(description="How its dates are read; null where that is to be said.")
    temperature_unit: Unit | None = Field(description="In what it gives temperatures; null where that is to be said.")
    assumed: bool = Field(description="No title says which column is which, so they are taken by their place.")
    in_utc: bool = Field(description="The file says how far its clock is from UTC; times are in UTC.")
    channels: list[ReadAnswer] = Field(description="Its channels; none while something must be said of it.")
    unread: list[UnreadAnswer] = Field(description="The first of what is not read.")
    not_read: int = Field(description="How many rows and figures are not read.")


class LogAnswer(ReadingsAnswer):
    """One channel of a file that is in force."""

    entry: int = Field(description="Number of its entry.")
    sha256: str = Field(description="SHA-256 of the file as it came.")
    channel: int = Field(description="Its number in the file.")
    room: str = Field(description="Id of the room.")
    wall: str | None = Field(description="Id of the wall at whose surface it was read; null is in the room.")


class BandAnswer(Answer):
    """The least, the middle and the most."""

    low: float = Field(description="The least.")
    middle: float = Field(description="At 100 kJ/mol.")
    high: float = Field(description="The most.")


class ExtentAnswer(Answer):
    """A figure over the time that is known."""

    low: float = Field(description="The least.")
    mean: float = Field(description="Mean over the known time.")
    high: float = Field(description="The most.")


class DampAnswer(Answer):
    """How damp it was at a surface."""

    colder_kelvin: float = Field(description="How much colder than the air it is taken to be. Units: K; 0 is the air.")
    days_above_65: float = Field(description="Time above 65 per cent. Units: days.")
    days_above_75: float = Field(description="Time above 75 per cent. Units: days.")
    days_mould_can_begin: float = Field(description="Time above the critical humidity for mould. Units: days.")
    days_mould_grows: float = Field(description="Time in which it would grow by a millimetre a day. Units: days.")
    days_wood: float = Field(description="Time above the critical humidity of sawn softwood, no paper. Units: days.")
    lasted: list["LastedAnswer"] = Field(description="Longest times on end, beside the days until mould is seen.")
    longest_days_above_65: float = Field(description="Longest time on end above 65 per cent. Units: days.")
    warning: Warned = Field(description="What that means; no finding of mould.")


class LastedAnswer(Answer):
    """The longest time on end above a humidity, beside a published curve for 20 to 25 °C: a label, from memory."""

    rh: float = Field(description="The humidity. Units: per cent.")
    longest_days: float = Field(description="The longest time on end above it. Units: days.")
    seen_least_days: int | None = Field(
        description="Mould is seen after so many at the least; null is years. Units: days."
    )
    seen_most_days: int | None = Field(description="At the most; null is a year or more. Units: days.")


class RangeAnswer(Answer):
    """A published range, as a label."""

    id: str = Field(description="Its row in the table `climate`.")
    title: str = Field(description="Its name.")
    per_mille: int = Field(description="Share of the known time, or of the known days, in it. Units: thousandths.")
    sources: list[str] = Field(description="Where its figures come from.")


class RoomAirAnswer(Answer):
    """The air of a room over a time. An index for comparing, no forecast of any book's years."""

    room: str = Field(description="Id of the room.")
    start: str = Field(description=f"From here. {_CLOCK}")
    end: str = Field(description=f"To here. {_CLOCK}")
    known_seconds: int = Field(description="Time for which a log is there; all other figures are of it. Units: s.")
    coverage_per_mille: int = Field(description="Share of the time that is known. Units: thousandths.")
    equivalent_days: BandAnswer = Field(description="Days at 20 °C and 50 % that age as much. Units: days.")
    lifetime_multiplier: BandAnswer | None = Field(
        description="How many times as long paper lasts as at 20 °C and 50 %; null where nothing is known."
    )
    celsius: ExtentAnswer | None = Field(description="Temperature. Units: °C.")
    rh: ExtentAnswer | None = Field(description="Relative humidity. Units: per cent.")
    dew_point: ExtentAnswer | None = Field(description="Dew point. Units: °C.")
    water: ExtentAnswer | None = Field(description="Water in the air. Units: g/m3.")
    untried_seconds: int = Field(description="Time at humidities at which the formula was not tried. Units: s.")
    damp: list[DampAnswer] = Field(description="In the air, then at outer walls, where the room has any.")
    ranges: list[RangeAnswer] = Field(description="Share of the known time in published ranges.")
    swings: list[RangeAnswer] = Field(description="Share of the days within the swings of types of control.")
    seasons: list[RangeAnswer] = Field(
        description="Share of the 30-day months within the seasons of types of control; empty where a year is not known."
    )
    isoperm: BandAnswer | None = Field(
        description="How many times as permanent as at 20 °C and 50 % by another formula; null where nothing is known."
    )
    film_index: float | None = Field(
        description="How many times the preservation index of acetate film, which is not paper; null is not known."
    )
    logs: list[LogAnswer] = Field(description="The logs that tell it.")


def looked_told(looked: Looked) -> LookedAnswer:
    """A file that was looked at."""
    return LookedAnswer(
        sha256=looked.file,
        size=looked.size,
        header_lines=looked.shape.header_lines,
        asks=list(looked.asks),
        dates=looked.dates,
        temperature_unit=looked.unit,
        assumed=looked.shape.assumed,
        in_utc=looked.in_utc,
        channels=[
            ReadAnswer(
                number=each.number,
                name=each.name,
                first=each.first,
                last=each.last,
                readings=each.readings,
                interval_seconds=each.interval,
                coverage_per_mille=each.coverage_per_mille,
            )
            for each in looked.channels
        ],
        unread=[UnreadAnswer(line=each.line, reason=each.reason, text=each.text) for each in looked.unread],
        not_read=sum(looked.reasons.values()),
    )


def log_told(log: Log) -> LogAnswer:
    """One log in force."""
    event = log.event
    return LogAnswer(
        entry=log.seq,
        sha256=event.file,
        channel=event.channel,
        room=event.room,
        wall=event.wall,
        first=event.first,
        last=event.last,
        readings=event.readings,
        interval_seconds=event.interval_seconds,
        coverage_per_mille=event.coverage_per_mille,
    )


def room_told(air: RoomAir) -> RoomAirAnswer:
    """The air of a room."""
    figures: Figures = air.figures
    return RoomAirAnswer(
        room=air.room,
        start=moment_of(figures.start),
        end=moment_of(figures.end),
        known_seconds=figures.known,
        coverage_per_mille=figures.coverage_per_mille,
        equivalent_days=band_told(figures.equivalent),
        lifetime_multiplier=None if figures.multiplier is None else band_told(figures.multiplier),
        celsius=_extent(figures.celsius),
        rh=_extent(figures.rh),
        dew_point=_extent(figures.dew_point),
        water=_extent(figures.grams),
        untried_seconds=figures.untried,
        damp=[_damp(each) for each in figures.damp],
        ranges=[_range(each) for each in figures.ranges],
        swings=[_range(each) for each in figures.swings],
        seasons=[_range(each) for each in figures.seasons],
        isoperm=None if figures.isoperm is None else band_told(figures.isoperm),
        film_index=None if figures.film is None else round(figures.film, DECIMALS),
        logs=[log_told(each) for each in air.logs],
    )


def band_told(band: Band) -> BandAnswer:
    """The least, the middle and the most."""
    return BandAnswer(**{name: round(getattr(band, name), DECIMALS) for name in ("low", "middle", "high")})


def _extent(extent: Extent | None) -> ExtentAnswer | None:
    if extent is None:
        return None
    return ExtentAnswer(**{name: round(getattr(extent, name), DECIMALS) for name in ("low", "mean", "high")})


def _damp(damp: Damp) -> DampAnswer:
    return DampAnswer(
        colder_kelvin=damp.colder,
        days_above_65=round(damp.above_65, DECIMALS),
        days_above_75=round(damp.above_75, DECIMALS),
        days_mould_can_begin=round(damp.mould, DECIMALS),
        days_mould_grows=round(damp.growing, DECIMALS),
        days_wood=round(damp.wood, DECIMALS),
        lasted=[
            LastedAnswer(
                rh=each.rh,
                longest_days=round(each.longest, DECIMALS),
                seen_least_days=each.seen_least,
                seen_most_days=each.seen_most,
            )
            for each in damp.lasted
        ],
        longest_days_above_65=round(damp.longest_65, DECIMALS),
        warning=damp.warning,
    )


def _range(share: RangeShare) -> RangeAnswer:
    known = share.range
    return RangeAnswer(id=known.id, title=known.title, per_mille=share.per_mille, sources=list(known.sources))
