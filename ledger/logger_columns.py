"""How a logger's file is laid out: where its header ends, what its columns hold, how its cells are parted."""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final

from ledger.events.climate import DateOrder, Unit
from ledger.logger_lines import Chunks, LoggerFileError, text_lines
from ledger.logger_times import BAD, Figures, is_clock, is_date, order_of

__all__ = ["CHANNELS_MOST", "COLUMNS_MOST", "Pair", "Shape", "shape_of"]

HEADER_MOST: Final = 40
"""Lines before the first reading."""
COLUMNS_MOST: Final = 200
CHANNELS_MOST: Final = 64
_DELIMITERS: Final = (";", "\t", ",", "|")
_HEADER_ROWS: Final = 3
_OTHER: Final = re.compile(
    r"dew|frost|wet.?bulb|heat index|vpd|absolute|lux|light|\buv\b|battery|pressure|alarm|limit|\b(min|max)(imum)?\b",
    re.IGNORECASE,
)
_TEMPERATURE: Final = re.compile(
    r"temp|[°º]\s*[cf]\b|\bdeg\.?\s*[cf]\b|celsius|fahrenheit|^\s*[tcf]\s*$|\(\s*[cf]\s*\)", re.IGNORECASE
)
_BARE_UNIT: Final = re.compile(r"(?:^|\s)([CF])(?:\s*$|\s+(?:[Aa]verage|[Aa]vg|[Mm]ean)\b)")
"""A unit without its sign at the end of a title, or before the kind of figure: `Attic C Average`."""
_FAHRENHEIT: Final = re.compile(r"[°º]\s*f\b|\bdeg\.?\s*f\b|fahrenheit|\(\s*f\s*\)|^\s*f\s*$", re.IGNORECASE)
_CELSIUS: Final = re.compile(r"[°º]\s*c\b|\bdeg\.?\s*c\b|celsius|\(\s*c\s*\)|^\s*c\s*$", re.IGNORECASE)
_HUMIDITY: Final = re.compile(r"humid|%|\br\.?h\b", re.IGNORECASE)
_NAME: Final = re.compile(
    r"sensor|channel|transmitter|receiver|logger|device|site|location|name|room|serial|probe|station|\bid\b",
    re.IGNORECASE,
)
_QUANTITY: Final = re.compile(
    r"\([^)]*\)|temperature|temp|relative|humidity|average|avg|mean|celsius|fahrenheit|[°º]\s*[cf]\b|%\s*r?h?|\br\.?h\b|\bdeg\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Pair:
    """The columns of one channel, from 0; None where the file has no such column."""

    name: str
    celsius: int | None
    rh: int | None


@dataclass(frozen=True, kw_only=True)
class Shape:
    """How one file is laid out."""

    delimiter: str
    header_lines: int
    """Lines before the first reading."""
    stamp: tuple[int, ...]
    """The column of the date-time, or the two of date and time."""
    pairs: tuple[Pair, ...]
    names: tuple[int, ...]
    """Columns that name the channel of a row, where the file has one row for each."""
    unit: Unit | None
    """None where the file does not say, so that its reader must."""
    dates: DateOrder | None
    """None where all dates of the file can be read in two ways, so that its reader must say."""
    assumed: bool
    """No header says which column is which: the first figure was taken for the temperature, the second for humidity."""


def rows_of(lines: Iterable[str], delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Row after row with the number of its line."""
    reader = csv.reader(lines, delimiter=delimiter)
    try:
        for row in reader:
            yield reader.line_num, row
    except csv.Error as error:
        problem = f"this is no table ({error})"
        raise LoggerFileError(
            where=f"line {reader.line_num}", problem=problem, mend="Export it again as CSV."
        ) from error


def shape_of(chunks: Chunks) -> Shape:
    """The layout, found from the first lines; the order of dates from as many as it takes.

    Raises: LoggerFileError where there are no readings, or more columns or channels than a logger has.
    """
    head = list(islice(text_lines(chunks()), HEADER_MOST + 1))
    found = [each for delimiter in _DELIMITERS if (each := _first_reading(head, delimiter))]
    if not found:
        problem = f"no line of the first {HEADER_MOST} has a date with its time and a figure behind it"
        raise LoggerFileError(problem=problem, mend="Export it as CSV, one reading a line.")
    delimiter, place, rows = min(found, key=lambda each: (each[1], -len(each[2][each[1]][1])))
    number, data = rows[place]
    if len(data) > COLUMNS_MOST:
        problem = f"there are more than {COLUMNS_MOST} columns"
        raise LoggerFileError(where=f"line {number}", problem=problem, mend="Export fewer sensors at a time.")
    titles = _titles([row for _, row in rows[:place]], len(data))
    stamp = _stamp(data)
    pairs, assumed = _pairs(titles, data, stamp)
    if len(pairs) > CHANNELS_MOST:
        problem = f"there are more than {CHANNELS_MOST} channels"
        raise LoggerFileError(where=f"line {number}", problem=problem, mend="Export fewer sensors at a time.")
    return Shape(
        delimiter=delimiter,
        header_lines=number - 1,
        stamp=stamp,
        pairs=pairs,
        names=_names(titles, data, stamp, pairs),
        unit=_unit(titles, data, pairs),
        dates=_dates(chunks, delimiter, stamp[0]),
        assumed=assumed,
    )


def _first_reading(head: Sequence[str], delimiter: str) -> tuple[str, int, list[tuple[int, list[str]]]] | None:
    rows = list(rows_of(head, delimiter))
    for place, (_, row) in enumerate(rows):
        stamp = _stamp(row)
        if stamp and any(_is_figure(cell) for column, cell in enumerate(row) if column not in stamp):
            return delimiter, place, rows
    return None


def _stamp(row: Sequence[str]) -> tuple[int, ...]:
    """The column with date and time, or the one with the date and the next one with the time."""
    for column, cell in enumerate(row[:COLUMNS_MOST]):
        day, _, time = cell.strip().partition("T" if "T" in cell else " ")
        if not is_date(day):
            continue
        if is_clock(time.strip()):
            return (column,)
        clock = next((at for at, each in enumerate(row) if at != column and is_clock(each.strip())), None)
        if not time and clock is not None:
            return column, clock
    return ()


def _is_figure(cell: str) -> bool:
    found = Figures("celsius").read(cell)
    return found != BAD and (found is not None or cell.strip() == "-")


def _is_number(cell: str) -> bool:
    return Figures("rh").read(cell) not in (BAD, None) or Figures("celsius").read(cell) not in (BAD, None)


def _titles(rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """What stands above each column, of up to three rows right above the readings that reach over them."""
    above: list[Sequence[str]] = []
    for row in reversed(rows):
        filled = sum(1 for cell in row if cell.strip())
        if len(row) < width - 1 or filled * 2 < width or len(above) == _HEADER_ROWS:
            break
        above.insert(0, row)
    return [" ".join(row[column].strip() for row in above if column < len(row)).strip() for column in range(width)]


def _role(title: str) -> str:
    if not title or _OTHER.search(title):
        return ""
    if _TEMPERATURE.search(title) and not re.search(r"humid", title, re.IGNORECASE):
        return "celsius"
    if _HUMIDITY.search(title):
        return "rh"
    return "celsius" if _bare_unit(title) else ""


def _bare_unit(title: str) -> str:
    """C or F; nothing where the letter may be a name's, as in `Sensor C`."""
    found = _BARE_UNIT.search(title)
    named = found is not None and found.end(1) == len(title.rstrip()) and _NAME.search(title)
    return found[1] if found is not None and not named else ""


def _pairs(titles: Sequence[str], data: Sequence[str], stamp: tuple[int, ...]) -> tuple[tuple[Pair, ...], bool]:
    """The channels of a row, and whether they are taken by their place alone."""
    roles = ["" if column in stamp else _role(title) for column, title in enumerate(titles)]
    warm = [column for column, role in enumerate(roles) if role == "celsius"]
    damp = [column for column, role in enumerate(roles) if role == "rh"]
    if not warm and not damp:
        figures = [at for at in range(max(stamp) + 1, len(data)) if not _OTHER.search(titles[at])]
        figures = [at for at in figures if _is_figure(data[at]) or not data[at].strip()]
        if not figures:
            problem = "no column is said to hold temperature or humidity"
            raise LoggerFileError(problem=problem, mend="Name the columns in a line above the readings.")
        return (Pair("", figures[0], figures[1] if len(figures) > 1 else None),), True
    by_stem = {_stem(titles[column]): column for column in damp}
    left, pairs = list(damp), list[Pair]()
    for place, column in enumerate(warm):
        stem = _stem(titles[column])
        mate = by_stem.get(stem)
        if mate not in left:
            mate = damp[place] if len(warm) == len(damp) and damp[place] in left else None
        if mate is not None:
            left.remove(mate)
        pairs.append(Pair(stem, column, mate))
    pairs += [Pair(_stem(titles[column]), None, column) for column in left]
    return tuple(pairs), False


def _stem(title: str) -> str:
    plain = re.sub(r"[\s,;:_/|-]+", " ", _QUANTITY.sub(" ", title)).strip()
    return re.sub(r"(^| )[CFcf]$", "", plain)


def _names(
    titles: Sequence[str], data: Sequence[str], stamp: tuple[int, ...], pairs: Sequence[Pair]
) -> tuple[int, ...]:
    taken = {*stamp, *(column for each in pairs for column in (each.celsius, each.rh))}
    free = [column for column in range(len(data)) if column not in taken]
    if any(titles):
        return tuple(column for column in free if _NAME.search(titles[column]) and not _role(titles[column]))
    return tuple(column for column in free if data[column].strip() and not _is_number(data[column]))


def _unit(titles: Sequence[str], data: Sequence[str], pairs: Sequence[Pair]) -> Unit | None:
    """As a column's title or its cell has it."""
    said: list[Unit] = []
    for column in (each.celsius for each in pairs if each.celsius is not None):
        for text in (titles[column], data[column] if re.search(r"[°º]|[CF]\s*$", data[column]) else ""):
            if _FAHRENHEIT.search(text) or re.search(r"\d\s*F\s*$", text) or _bare_unit(text) == "F":
                said.append(Unit.FAHRENHEIT)
            elif _CELSIUS.search(text) or re.search(r"\d\s*C\s*$", text) or _bare_unit(text) == "C":
                said.append(Unit.CELSIUS)
    if not any(each.celsius is not None for each in pairs):
        return Unit.CELSIUS
    return said[0] if said and set(said) == {said[0]} else None


def _dates(chunks: Chunks, delimiter: str, column: int) -> DateOrder | None:
    """The order of the first date that has only one."""
    seen: set[str] = set()
    for _, row in rows_of(text_lines(chunks()), delimiter):
        if column >= len(row):
            continue
        day = row[column].strip().partition("T" if "T" in row[column] else " ")[0]
        if day in seen or len(seen) > 100_000:  # noqa: PLR2004 - more days than any logger lives
            continue
        seen.add(day)
        if (order := order_of(day)) is not None:
            return order
    return None
