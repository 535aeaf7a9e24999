"""Logger files of many shapes: every reading as it stands in the file, gaps left open, what is not read told by its line."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events.climate import DateOrder, Unit
from ledger.logger_columns import CHANNELS_MOST, COLUMNS_MOST, Pair, Shape, shape_of
from ledger.logger_file import LoggerReading, Part, held_for, moment_of
from ledger.logger_lines import FILE_MOST, LINE_MOST, LoggerFileError, chunks_of, text_lines

PLAIN = "Date,Temperature (°C),Humidity (%)\n2026-01-01 00:00,20.5,45.25\n2026-01-01 00:10,20.6,45\n"


@dataclass
class Read:
    """What came of one file."""

    shape: Shape
    reading: LoggerReading
    parts: list[Part]

    def rows(self, channel: int = 1) -> list[tuple[str, int | None, int | None]]:
        return [
            (moment_of(part.start + second), celsius, rh)
            for part in self.parts
            if part.channel == channel
            for second, celsius, rh in zip(part.seconds, part.celsius, part.rh, strict=True)
        ]

    @property
    def unread(self) -> list[tuple[int, str]]:
        return [(each.line, each.reason) for each in self.reading.unread]


def read(text: str | bytes, dates: DateOrder | None = None, unit: Unit | None = None) -> Read:
    data = text if isinstance(text, bytes) else text.encode()
    shape = shape_of(chunks_of(data))
    dates, unit = dates or shape.dates, unit or shape.unit
    assert dates is not None
    assert unit is not None
    reading = LoggerReading(chunks_of(data), shape, dates=dates, unit=unit)
    return Read(shape, reading, list(reading.parts()))


TWO = [("2026-01-01T00:00:00", 2050, 4525), ("2026-01-01T00:10:00", 2060, 4500)]

SHAPES = {
    "plain": PLAIN,
    "no header": "2026-01-01 00:00,20.5,45.25\n2026-01-01 00:10,20.6,45\n",
    "thirteen header lines": "".join(f"Line {n}\n" for n in range(12)) + PLAIN,
    "semicolons and decimal commas": (
        "Zeit;Temp. °C;% rH\n01.01.2026 00:00:00;20,5;45,25\n01.01.2026 00:10:00;20,6;45\n13.01.2026 00:10:00;1;1\n"
    ),
    "tabs": PLAIN.replace(",", "\t"),
    "quoted decimal commas": 'Time,"Temp, °C",RH\n2026-01-01 00:00,"20,5","45,25"\n2026-01-01 00:10,"20,6","45,0"\n',
    "the month first": "Time,Temp C (C),RH %\n01/01/2026 00:00,20.5,45.25\n1/1/26 00:10:00,20.6,45\n01/13/2026 00:00,-,\n",
    "half days": "Time,Temp (C),RH %\n01/01/2026 12:00:00 AM,20.5,45.25\n01/01/2026 12:10 AM,20.6,45\n13/01/2026 1:00 pm,-,\n",
    "date and time apart": "No,Date,Time,°C,%RH\n1,2026-01-01,00:00:00,20.5,45.25\n2,2026-01-01,00:10:00,20.6,45\n",
    "units in the cells": "Time,Temp,RH\n2026-01-01T00:00,20.5 °C,45.25 %\n2026-01-01T00:10,20.6°C,45%RH\n",
    "an offset": "Time,°C,%RH\n2026-01-01T02:00:00+02:00,20.5,45.25\n2026-01-01T01:10:00+01:00,20.6,45\n",
    "UTC": "Time,°C,%RH\n2026-01-01T00:00:00Z,20.5,45.25\n2026-01-01T00:10:00.000Z,20.6,45\n",
    "two rows of titles": "Time,Study,Study\n,°C,%RH\n2026-01-01 00:00,20.5,45.25\n2026-01-01 00:10,20.6,45\n",
    "other columns": (
        "Time,Dew Point (°C),Temperature (°C),Lux,Humidity (%),Battery\n"
        "2026-01-01 00:00,8.1,20.5,100,45.25,3.1\n2026-01-01 00:10,8.2,20.6,90,45,3.1\n"
    ),
    "least and most beside the mean": (
        "Time,Hall °C Min,Hall °C Average,Hall °C Max,Hall %RH Average,Hall %RH Max\n"
        "2026-01-01 00:00,19,20.5,22,45.25,60\n2026-01-01 00:10,19,20.6,22,45,60\n"
    ),
    "the newest first": "Time,°C,%RH\n2026-01-01 00:10,20.6,45\n2026-01-01 00:00,20.5,45.25\n",
    "a mark and line ends of another system": "\ufeff" + PLAIN.replace("\n", "\r\n"),
}


@pytest.mark.parametrize("name", SHAPES)
def test_the_same_readings_come_out_of_every_shape(name: str) -> None:
    unit = Unit.CELSIUS if name == "no header" else None
    assert read(SHAPES[name], unit=unit).rows()[:2] == TWO


def test_columns_without_a_title_are_taken_by_their_place_and_that_is_told() -> None:
    assert read(SHAPES["no header"], unit=Unit.CELSIUS).shape.assumed
    assert not read(PLAIN).shape.assumed


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252", "latin-1"])
def test_the_same_readings_come_out_of_every_encoding(encoding: str) -> None:
    found = read(PLAIN.encode(encoding))
    assert (found.rows(), found.shape.unit) == (TWO, Unit.CELSIUS)


def test_fahrenheit_is_kept_in_hundredths_of_a_degree_celsius() -> None:
    # 68 F is 20 C and 77 F is 25 C by definition; 70.5 F is 38.5 x 5 / 9 = 21.3888 C.
    found = read("Time,Temp (°F),RH\n2026-01-01 00:00,68,50\n2026-01-01 01:00,77,50\n2026-01-01 02:00,70.5,50\n")
    assert [celsius for _, celsius, _ in found.rows()] == [2000, 2500, 2139]
    assert found.shape.unit is Unit.FAHRENHEIT


def test_where_no_unit_is_said_the_reader_must_say_it() -> None:
    text = "Time,Temp,RH\n2026-01-01 00:00,68,50\n"
    assert shape_of(chunks_of(text.encode())).unit is None
    assert read(text, unit=Unit.FAHRENHEIT).rows() == [("2026-01-01T00:00:00", 2000, 5000)]


def test_dates_that_can_be_two_days_are_asked_for_and_one_that_cannot_settles_all() -> None:
    text = "Time,°C,%RH\n03/04/2026 00:00,20.5,45\n"
    assert shape_of(chunks_of(text.encode())).dates is None
    assert read(text, DateOrder.DAY_FIRST).rows()[0][0] == "2026-04-03T00:00:00"
    assert read(text, DateOrder.MONTH_FIRST).rows()[0][0] == "2026-03-04T00:00:00"
    assert read(text + "13/04/2026 00:00,20,45\n").rows()[0][0] == "2026-04-03T00:00:00"
    assert read(text + "03/14/2026 00:00,20,45\n").rows()[0][0] == "2026-03-04T00:00:00"


def test_a_wide_file_has_a_channel_for_each_temperature_with_its_humidity() -> None:
    found = read(
        "Time,Study °C Average,Study %RH Average,Hall °C Average,Hall %RH Average\n"
        "2026-01-01 00:00,20,45,18,55\n2026-01-01 01:00,-,45,,\n"
    )
    assert found.shape.pairs == (Pair("Study", 1, 2), Pair("Hall", 3, 4))
    assert found.rows(1) == [("2026-01-01T00:00:00", 2000, 4500), ("2026-01-01T01:00:00", None, 4500)]
    assert found.rows(2) == [("2026-01-01T00:00:00", 1800, 5500), ("2026-01-01T01:00:00", None, None)]
    assert [(each.number, each.name, each.readings) for each in found.reading.channels] == [
        (1, "Study", 2),
        (2, "Hall", 1),
    ]


def test_a_long_file_has_a_channel_for_each_name_in_the_order_they_come() -> None:
    found = read(
        "Site,Sensor,Time,Temperature (C),Humidity %\nA,1,2026-01-01 00:00,20,45\nA,2,2026-01-01 00:00,18,55\n"
        "A,1,2026-01-01 01:00,21,46\n",
    )
    assert [(each.number, each.name, each.readings) for each in found.reading.channels] == [
        (1, "A 1", 2),
        (2, "A 2", 1),
    ]
    assert found.rows(2) == [("2026-01-01T00:00:00", 1800, 5500)]


def test_what_is_not_read_is_told_by_its_line() -> None:
    found = read(
        "Time,°C,%RH\n2026-01-01 00:00,20,45\n2026-01-01 00:00,20,45\n2026-01-01 01:00,err,45\n2026-01-01 02:00,99,101\n"
        "\n2026-02-30 00:00,20,45\n2026-01-01 00:30,20,45\nAlarm limits,10,70\n2026-01-01 03:00,20,45\n"
    )
    assert found.unread == [
        (3, "time_back"),
        *((4, "no_figure"), (5, "no_figure"), (5, "no_figure")),
        *((7, "no_time"), (8, "time_back"), (9, "no_time")),
    ]
    assert found.reading.reasons == {"time_back": 2, "no_figure": 3, "no_time": 2}
    assert found.rows()[1:] == [
        ("2026-01-01T01:00:00", None, 4500),
        ("2026-01-01T02:00:00", None, None),
        ("2026-01-01T03:00:00", 2000, 4500),
    ]


def test_the_hour_that_comes_twice_at_the_end_of_summer_time_is_read_once() -> None:
    hours = ["01:00", "02:00", "02:30", "02:00", "02:30", "03:00"]
    found = read("Time,°C,%RH\n" + "".join(f"2026-10-25 {each},20,45\n" for each in hours))
    assert [when[11:16] for when, _, _ in found.rows()] == ["01:00", "02:00", "02:30", "03:00"]
    assert found.reading.reasons == {"time_back": 2}


def test_a_gap_lowers_the_coverage_and_is_never_filled() -> None:
    # Readings each hour from 0 to 3 and from 7 to 10: eight hours of eleven are known.
    found = read("Time,°C,%RH\n" + "".join(f"2026-01-01 {h:02}:00,20,45\n" for h in (0, 1, 2, 3, 7, 8, 9, 10)))
    (channel,) = found.reading.channels
    assert (channel.interval, channel.readings) == (3600, 8)
    assert channel.coverage_per_mille == 8 * 1000 // 11
    assert len(found.rows()) == 8


def test_a_figure_that_is_missing_counts_as_a_gap() -> None:
    found = read("Time,°C,%RH\n2026-01-01 00:00,20,45\n2026-01-01 01:00,20,-\n2026-01-01 02:00,20,45\n")
    (channel,) = found.reading.channels
    assert channel.coverage_per_mille == 666


def test_the_newest_first_has_the_same_coverage() -> None:
    lines = [f"2026-01-01 {h:02}:00,20,{'-' if h == 5 else 45}\n" for h in (0, 1, 2, 3, 5, 7, 8, 9)]
    ahead, back = (read("Time,°C,%RH\n" + "".join(each)) for each in (lines, lines[::-1]))
    assert ahead.rows() == back.rows()
    one, other = ahead.reading.channels[0], back.reading.channels[0]
    assert (one.first, one.last, one.interval, one.coverage_per_mille) == (
        *(other.first, other.last, other.interval, other.coverage_per_mille),
    )


def test_months_are_parted_by_the_logger_s_clock() -> None:
    found = read("Time,°C,%RH\n2025-12-31 23:00,20,45\n2026-01-01 00:00,20,45\n2026-02-01 00:00,20,45\n")
    assert [(each.month, list(each.seconds)) for each in found.parts] == [
        ("2025-12", [30 * 86_400 + 23 * 3600]),
        ("2026-01", [0]),
        ("2026-02", [0]),
    ]


def test_times_with_and_without_an_offset_do_not_mix() -> None:
    found = read("Time,°C,%RH\n2026-01-01T00:00Z,20,45\n2026-01-01T01:00,20,45\n2026-01-01T02:00Z,20,45\n")
    assert found.reading.in_utc
    assert found.unread == [(3, "no_time")]


def test_a_reading_stands_until_the_next_or_for_one_interval() -> None:
    assert [held_for(step, 300) for step in (60, 300, 450, 451, 86_400)] == [60, 300, 450, 300, 300]
    assert [held_for(step, 900_000) for step in (60, 900_000)] == [60, 86_400], "and never for more than a day"


def test_two_readings_ten_days_apart_tell_of_two_days_and_one_of_none() -> None:
    found = read("Time,A °C,A %RH,B °C,B %RH\n2026-01-01 00:00,20,45,20,45\n2026-01-11 00:00,20,45,-,-\n")
    two, one = found.reading.channels
    assert (two.interval, two.coverage_per_mille) == (864_000, 2 * 1000 // 11)
    assert (one.interval, one.coverage_per_mille) == (None, 0)


WRONG = {
    "nothing": (b"", "no line"),
    "no readings": (b"Time,Temp\nnone,none\n", "no line"),
    "zero bytes": (PLAIN.encode() + b"2026-01-01 00:20,\x00,45\n", "zero bytes"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(64), "zero bytes"),
    "a long line": (PLAIN.encode() + b"x" * (LINE_MOST + 1), "characters"),
    "many columns": (b"2026-01-01 00:00" + b",20" * COLUMNS_MOST, "columns"),
    "many channels": (
        b"Time" + b"".join(b",S%d \xc2\xb0C" % n for n in range(65)) + b"\n2026-01-01 00:00" + b",20" * 65,
        "channels",
    ),
    "no columns that are known": (b"Time,Dew point\n2026-01-01 00:00,8\n", "no column"),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_is_no_climate_file_is_refused_with_the_reason(name: str) -> None:
    data, words = WRONG[name]
    with pytest.raises(LoggerFileError, match=words):
        read(data)


def test_a_file_that_is_too_large_is_refused_before_it_is_read_to_its_end() -> None:
    taken = 0

    def endless() -> Iterator[bytes]:
        nonlocal taken
        while True:
            taken += 1
            yield b"2026-01-01 00:00,20,45\n" * 4096

    with pytest.raises(LoggerFileError, match="MiB"):
        for _ in text_lines(endless()):
            pass
    assert taken <= FILE_MOST // (23 * 4096) + 2


def test_a_line_without_end_is_refused_before_it_fills_the_memory() -> None:
    with pytest.raises(LoggerFileError, match="characters"):
        list(text_lines(b"x" * 65_536 for _ in range(1000)))


def test_names_without_end_are_no_channels() -> None:
    rows = "".join(f"S{n},2026-01-01 00:00,20,45\n" for n in range(CHANNELS_MOST + 1))
    with pytest.raises(LoggerFileError, match="channels"):
        read("Sensor,Time,Temp °C,RH\n" + rows)


@given(st.binary(max_size=400))
def test_whatever_bytes_come_they_are_read_or_refused(data: bytes) -> None:
    try:
        found = read(PLAIN.encode() + data)
    except LoggerFileError:
        return
    assert found.rows()[:2] == TWO


ROWS = st.lists(
    st.tuples(st.integers(1, 9000), st.one_of(st.none(), st.integers(-500, 4000)), st.one_of(st.none(), st.integers(0, 10_000))),
    min_size=1,
    max_size=40,
)  # fmt: skip


@given(rows=ROWS)
def test_what_was_written_is_read_again_to_the_hundredth(rows: list[tuple[int, Any, Any]]) -> None:
    at, lines, expected = 1_767_225_600, ["Time;°C;%RH", "2026-01-01 00:00:00;20,5;45"], list[Any]()
    for step, celsius, rh in rows:
        at += step
        expected.append((moment_of(at), celsius, rh))
        figures = ["-" if each is None else f"{each / 100:.2f}".replace(".", ",") for each in (celsius, rh)]
        lines.append(";".join([moment_of(at).replace("T", " "), *figures]))
    found = read("\n".join(lines))
    assert found.rows()[1:] == expected
    assert found.unread == []
