"""Where climate files and readings are kept, and how what is lost of them is put back from the file."""

import hashlib

from ledger.actor import Actor, Permission
from ledger.care import CareWriter
from ledger.climate_kept import Own, packed, put_channel, put_file, put_part, stay
from ledger.events.climate import Climate
from ledger.logger_columns import shape_of
from ledger.logger_file import LoggerReading
from ledger.logger_lines import chunks_of
from ledger.ports import Ledger
from ledger.usecases.beside import care_store

__all__ = ["put_back"]


def put_back(ledger: Ledger, actor: Actor, data: bytes) -> int:
    """How many entries speak of this file; the file and their readings are kept again as they say."""
    actor.require(Permission.RECORD)
    file = hashlib.sha256(data).hexdigest()
    with ledger.log.read() as reader:
        entries = (reader.entry(each).event for each in reader.numbers_of(Climate.kind))
        events = [each for each in entries if isinstance(each, Climate) and each.file == file]
    if not events:
        return 0
    shape, now = shape_of(chunks_of(data)), ledger.clock.now()
    _, kept = packed(chunks_of(data)())

    def work(writer: CareWriter) -> None:
        put_file(writer, file, kept, now)
        for event in events:
            own = Own(file, event.channel, event.temperature_unit, event.dates)
            reading = LoggerReading(chunks_of(data), shape, dates=event.dates, unit=event.temperature_unit)
            months = []
            for part in reading.parts():
                if part.channel == event.channel:
                    put_part(writer, own, part, now)
                    months.append(part.month)
            for channel in reading.channels:
                if channel.number == event.channel:
                    put_channel(writer, own, channel, months, now)
        stay(writer, file, now)

    care_store(ledger).write(work)
    return len(events)
