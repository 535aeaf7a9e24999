"""Reading a logger's file holds a month of it and no more, however long it is."""

import tracemalloc
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Final

from ledger.events.climate import DateOrder, Unit
from ledger.logger_columns import shape_of
from ledger.logger_file import LoggerReading
from ledger.logger_lines import Chunks

MORE: Final = 512 * 1024
"""What a file of ten times the length may take more. Units: bytes."""
EACH: Final = 288
"""Readings a day."""


def file_of(days: int) -> Chunks:
    """A reading each five minutes, made as it is read."""
    start = datetime(2020, 1, 1, tzinfo=UTC)

    def chunks() -> Iterator[bytes]:
        yield "Time,°C,%RH\n".encode()
        for day in range(days):
            stamps = (start + timedelta(days=day, minutes=5 * place) for place in range(EACH))
            yield "".join(f"{stamp:%Y-%m-%d %H:%M},20.5,45\n" for stamp in stamps).encode()

    return chunks


def peak(days: int) -> int:
    """The most memory that reading it took."""
    tracemalloc.start()
    try:
        shape = shape_of(file_of(days))
        reading = LoggerReading(file_of(days), shape, dates=DateOrder.YEAR_FIRST, unit=Unit.CELSIUS)
        assert sum(len(part.seconds) for part in reading.parts()) == days * EACH
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def test_ten_times_the_file_takes_no_more_memory() -> None:
    assert peak(620) < peak(62) + MORE
