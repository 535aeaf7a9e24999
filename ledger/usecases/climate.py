"""Takes in the file of a climate logger: looked at first, then kept, told by an entry for each of its channels."""

import hashlib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.actor import Actor, Permission
from ledger.care import CareWriter
from ledger.climate_kept import Own, file_of, packed, put_channel, put_file, put_part, stay
from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.events.climate import Climate, DateOrder, Unit
from ledger.logger_columns import Shape, shape_of
from ledger.logger_file import Channel, LoggerReading, Unread, moment_of
from ledger.logger_lines import Chunks, chunks_of
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.beside import care_store
from ledger.usecases.climate_back import put_back
from ledger.usecases.record import Draft, Recorded, Request, record
from ledger.when import When

__all__ = ["Looked", "Read", "Said", "Where", "events_of", "look_again", "look_at_file", "take_in"]

DATES: Final = "dates"
UNIT: Final = "temperature_unit"


@dataclass(frozen=True, kw_only=True)
class Said:
    """What the reader of a file says of it; None where the file is to say it itself."""

    dates: DateOrder | None = None
    unit: Unit | None = None


@dataclass(frozen=True, kw_only=True)
class Read:
    """One channel as it would be taken in."""

    number: int
    name: str
    first: str
    last: str
    readings: int
    interval: int | None
    """Units: s."""
    coverage_per_mille: int


@dataclass(frozen=True, kw_only=True)
class Looked:
    """A file before it is taken in; without channels as long as something must be said of it first."""

    file: str
    """SHA-256 of the file as it came."""
    size: int
    shape: Shape
    asks: tuple[str, ...]
    """What its reader must say: `dates`, `temperature_unit`."""
    dates: DateOrder | None
    unit: Unit | None
    channels: tuple[Read, ...] = ()
    unread: tuple[Unread, ...] = ()
    reasons: Mapping[str, int]
    """How many rows and figures are not read, by reason."""
    in_utc: bool = False


@dataclass(frozen=True, kw_only=True)
class Where:
    """Where one channel of a file was read."""

    channel: int
    room: str
    wall: str | None = None
    place: str | None = None


def look_at_file(ledger: Ledger, actor: Actor, data: bytes, said: Said | None = None) -> Looked:
    """What is in a file; it is kept for a while, so that it can be taken in by its digest.

    Keeps: of a file that entries speak of, what is lost of its readings is put back.

    Raises: LoggerFileError.
    """
    actor.require(Permission.RECORD)
    shape = shape_of(chunks_of(data))
    file, kept = packed(chunks_of(data)())
    now = ledger.clock.now()
    care_store(ledger).write(lambda writer: put_file(writer, file, kept, now))
    put_back(ledger, actor, data)
    return _looked(file, data, shape, said or Said())


def look_again(ledger: Ledger, actor: Actor, file: str, said: Said | None = None) -> Looked:
    """The same of a file that was looked at before.

    Raises: NotFoundError where it is no longer kept.
    """
    actor.require(Permission.RECORD)
    data = _kept(ledger, file)
    return _looked(file, data, shape_of(chunks_of(data)), said or Said())


def take_in(  # noqa: PLR0913 - what, where, and how it is told
    ledger: Ledger,
    actor: Actor,
    file: str,
    channels: Sequence[Where],
    *,
    said: Said | None = None,
    file_name: str | None = None,
    remark: str | None = None,
    request: Request | None = None,
) -> Recorded:
    """One act: an entry for each of these channels; readings and file are kept before it is written.

    Raises: NotFoundError where the file is no longer kept; InvalidError; what `record` raises.
    """
    actor.require(Permission.RECORD)
    actor.require_to_write(Climate.kind)
    data = _kept(ledger, file)
    shape = shape_of(chunks_of(data))
    dates, unit = _settled(shape, said or Said())
    if not channels or len({each.channel for each in channels}) != len(channels):
        sentence = "Name at least one channel of the file, and each once."
        raise InvalidError(problems=(Problem(field="channels", sentence=sentence),))
    reading = LoggerReading(chunks_of(data), shape, dates=dates, unit=unit)
    drafts = care_store(ledger).write(
        lambda writer: _keep(ledger, writer, file, reading, channels, dates, unit, file_name, remark)
    )
    return record(ledger, actor, drafts, request)


def events_of(
    data: bytes, channels: Sequence[Where], *, file_name: str | None = None, remark: str | None = None
) -> list[Climate]:
    """What would be written of these channels of a file that leaves nothing open.

    Raises: LoggerFileError, InvalidError.
    """
    shape = shape_of(chunks_of(data))
    dates, unit = _settled(shape, Said())
    reading = _through(chunks_of(data), shape, dates, unit)
    found = {each.number: each for each in reading.channels}
    file = hashlib.sha256(data).hexdigest()
    return [_event(file, found[each.channel], each, dates, unit, file_name, remark) for each in channels]


def _keep(  # noqa: PLR0913 - as `take_in`
    ledger: Ledger,
    writer: CareWriter,
    file: str,
    reading: LoggerReading,
    channels: Sequence[Where],
    dates: DateOrder,
    unit: Unit,
    file_name: str | None,
    remark: str | None,
) -> list[Draft]:
    """Their readings, month by month as they are read; and what is to be written of each."""
    now, months = ledger.clock.now(), defaultdict[int, list[str]](list)
    wanted = {each.channel: each for each in channels}
    for part in reading.parts():
        if part.channel in wanted:
            put_part(writer, Own(file, part.channel, unit, dates), part, now)
            months[part.channel].append(part.month)
    found = {each.number: each for each in reading.channels}
    missing = tuple(
        Problem(field=f"channels.{place}.channel", sentence=f"The file has no channel {each.channel} with readings.")
        for place, each in enumerate(channels)
        if each.channel not in found
    )
    if missing:
        raise InvalidError(problems=missing)
    for number in wanted:
        put_channel(writer, Own(file, number, unit, dates), found[number], months[number], now)
    stay(writer, file, now)
    return [Draft(event=_event(file, found[each.channel], each, dates, unit, file_name, remark)) for each in channels]


def _event(  # noqa: PLR0913 - as `take_in`
    file: str,
    channel: Channel,
    where: Where,
    dates: DateOrder,
    unit: Unit,
    file_name: str | None,
    remark: str | None,
) -> Climate:
    first, last = moment_of(channel.first), moment_of(channel.last)
    days = first[:10], last[:10]
    return Climate(
        on=When(days[0] if days[0] == days[1] else "/".join(days)),
        room=where.room,
        wall=where.wall,
        file=file,
        channel=channel.number,
        first=first,
        last=last,
        readings=channel.readings,
        interval_seconds=channel.interval if channel.readings > 1 else None,
        coverage_per_mille=channel.coverage_per_mille,
        temperature_unit=unit,
        dates=dates,
        file_name=Sealed.of(file_name or None),
        channel_name=Sealed.of(channel.name or None),
        place=Sealed.of(where.place or None),
        remark=Sealed.of(remark or None),
    )


def _looked(file: str, data: bytes, shape: Shape, said: Said) -> Looked:
    asks = tuple(name for name, own, given in _open(shape, said) if own is None and given is None)
    dates, unit = shape.dates or said.dates, said.unit or shape.unit
    if asks or dates is None or unit is None:
        return Looked(file=file, size=len(data), shape=shape, asks=asks, dates=dates, unit=unit, reasons={})
    reading = _through(chunks_of(data), shape, dates, unit)
    return Looked(
        file=file,
        size=len(data),
        shape=shape,
        asks=(),
        dates=dates,
        unit=unit,
        channels=tuple(map(_read, reading.channels)),
        unread=tuple(reading.unread),
        reasons=dict(reading.reasons),
        in_utc=reading.in_utc,
    )


def _through(chunks: Chunks, shape: Shape, dates: DateOrder, unit: Unit) -> LoggerReading:
    reading = LoggerReading(chunks, shape, dates=dates, unit=unit)
    for _ in reading.parts():
        pass
    return reading


def _read(channel: Channel) -> Read:
    return Read(
        number=channel.number,
        name=channel.name,
        first=moment_of(channel.first),
        last=moment_of(channel.last),
        readings=channel.readings,
        interval=channel.interval,
        coverage_per_mille=channel.coverage_per_mille,
    )


def _open(shape: Shape, said: Said) -> tuple[tuple[str, object, object], ...]:
    return (DATES, shape.dates, said.dates), (UNIT, shape.unit, said.unit)


def _settled(shape: Shape, said: Said) -> tuple[DateOrder, Unit]:
    """The order of dates as the file shows it, else as it was said; the unit as it was said, else as the file has it.

    Raises: InvalidError.
    """
    dates, unit = shape.dates or said.dates, said.unit or shape.unit
    problems = []
    if dates is None:
        problems.append(
            Problem(field=DATES, sentence="All its dates can be read in two ways. Say whether day or month is first.")
        )
    if unit is None:
        problems.append(Problem(field=UNIT, sentence="The file does not say °C or °F. Say which it is."))
    if dates is None or unit is None:
        raise InvalidError(problems=tuple(problems))
    return dates, unit


def _kept(ledger: Ledger, file: str) -> bytes:
    with care_store(ledger).read() as reader:
        data = file_of(reader, file)
    if data is None or hashlib.sha256(data).hexdigest() != file:
        raise NotFoundError(what="climate file", name=file[:64])
    return data
