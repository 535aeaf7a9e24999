"""Reads the file of a climate logger, row after row: nothing is filled in, and what cannot be read is told by its line."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Final

from ledger.events.climate import DateOrder, Unit
from ledger.logger_columns import CHANNELS_MOST, Shape, rows_of
from ledger.logger_lines import Chunks, LoggerFileError, text_lines
from ledger.logger_times import Clock, Figures

__all__ = ["Channel", "LoggerReading", "Part", "Unread", "held_for", "moment_of", "month_of"]

UNREAD_TOLD: Final = 50
"""Rows that are named one by one; of the others only the count is told."""
_STEPS_MOST: Final = 4096
_LATE: Final = 1.5
"""A reading stands for the time to the next one, if that comes within so many intervals; else for one interval."""
HELD_MOST: Final = 86_400
"""No reading stands for more than a day, however seldom they come. Our assumption. Units: s."""
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


def moment_of(seconds: int) -> str:
    """A time of the logger's clock as an entry has it."""
    return (_EPOCH + timedelta(seconds=seconds)).strftime("%Y-%m-%dT%H:%M:%S")


def month_of(seconds: int) -> tuple[str, int, int]:
    """The month of a time, its first second and the one after its last."""
    when = _EPOCH + timedelta(seconds=seconds)
    start = when.replace(day=1, hour=0, minute=0, second=0)
    after = (start + timedelta(days=32)).replace(day=1)
    return start.strftime("%Y-%m"), _seconds(start), _seconds(after)


def _seconds(when: datetime) -> int:
    return int((when - _EPOCH).total_seconds())


def held_for(step: int, interval: int) -> int:
    """For how long a reading stands when the next one comes after that step; a gap is never filled. Units: s."""
    return min(step if step <= interval * _LATE else interval, HELD_MOST)


@dataclass(frozen=True, kw_only=True)
class Unread:
    """A row, or a figure of one, that does not count; `reason` is a word of `web/words/climate.json`."""

    line: int
    reason: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Part:
    """Readings of one channel in one month, in order; None is a gap.

    Units: s from the month's start, hundredths of a degree Celsius, hundredths of a per cent.
    """

    channel: int
    month: str
    start: int
    seconds: Sequence[int]
    celsius: Sequence[int | None]
    rh: Sequence[int | None]


@dataclass(kw_only=True)
class Channel:
    """What is known of one channel once the file was read."""

    number: int
    name: str
    first: int = 0
    last: int = 0
    readings: int = 0
    steps: Counter[int] = field(default_factory=Counter)
    """Steps from a reading with both figures to whatever row comes next, counted."""
    all_steps: Counter[int] = field(default_factory=Counter)
    whole: int = 0
    """Readings with both figures."""

    @property
    def interval(self) -> int | None:
        """The commonest step, the shortest of several; None for a single reading. Units: s."""
        if self.readings < 2:  # noqa: PLR2004 - it takes two to have a step
            return None
        return min(self.all_steps, key=lambda step: (-self.all_steps[step], step)) if self.all_steps else None

    @property
    def coverage_per_mille(self) -> int:
        """Share of the time from first to last, the last one's interval with it, for which both figures are known."""
        interval = self.interval
        if interval is None:
            return 0
        known = sum(held_for(step, interval) * count for step, count in self.steps.items())
        # The last whole reading that nothing follows stands for an interval too.
        known += held_for(interval, interval) * min(1, self.whole - self.steps.total())
        return min(1000, known * 1000 // (self.last - self.first + held_for(interval, interval)))


class _Months:
    """One channel while it is read: the month at hand, and which way time runs in the file."""

    __slots__ = ("celsius", "channel", "end", "known", "last", "month", "rh", "seconds", "sign", "start")

    def __init__(self, channel: Channel) -> None:
        self.channel = channel
        self.start = self.end = self.sign = 0
        self.last: int | None = None
        self.month = ""
        self.known = False
        self.seconds: list[int] = []
        self.celsius: list[int | None] = []
        self.rh: list[int | None] = []

    def add(self, stamp: int, celsius: int | None, rh: int | None) -> None:
        """The next reading.

        Requires: `goes_on`, and the month of that time at hand.
        """
        channel = self.channel
        if self.last is not None:
            step = abs(stamp - self.last)
            self.sign = 1 if stamp > self.last else -1
            # In a file that runs back, the step belongs to the reading that is earlier: the one at hand.
            if self.known if self.sign > 0 else celsius is not None and rh is not None:
                _count(channel.steps, step)
            _count(channel.all_steps, step)
        self.last = stamp
        self.known = celsius is not None and rh is not None
        self.seconds.append(stamp - self.start)
        self.celsius.append(celsius)
        self.rh.append(rh)
        if celsius is not None or rh is not None:
            channel.readings += 1
            channel.whole += self.known
            if channel.readings == 1:
                channel.first = channel.last = stamp
            elif self.sign > 0:
                channel.last = stamp
            else:
                channel.first = stamp

    def goes_on(self, stamp: int) -> bool:
        """That time comes next, whichever way time runs in the file."""
        return self.last is None or (stamp - self.last) * (self.sign or stamp - self.last) > 0

    def turn(self, stamp: int) -> None:
        """The month of that time begins."""
        self.month, self.start, self.end = month_of(stamp)
        self.seconds, self.celsius, self.rh = [], [], []

    def part(self) -> Part | None:
        """The month at hand; None where nothing was in it."""
        if not self.seconds:
            return None
        way = self.sign or 1
        return Part(
            channel=self.channel.number,
            month=self.month,
            start=self.start,
            seconds=self.seconds[::way],
            celsius=self.celsius[::way],
            rh=self.rh[::way],
        )


def _count(steps: Counter[int], step: int) -> None:
    if step in steps or len(steps) < _STEPS_MOST:
        steps[step] += 1


class LoggerReading:
    """One pass over a file; what it found is whole once `parts` has come to its end.

    Keeps: no more than a month of each channel is held. A time that comes again, or goes back as at the end of summer
    time, is told and not read.
    """

    def __init__(self, chunks: Chunks, shape: Shape, *, dates: DateOrder, unit: Unit) -> None:
        self._chunks, self._shape = chunks, shape
        self._clock = Clock(dates)
        self._celsius, self._rh = Figures("celsius", unit), Figures("rh")
        self._months: dict[tuple[str, int], _Months] = {}
        self.unread: list[Unread] = []
        """The first of them, each by its line."""
        self.reasons: Counter[str] = Counter()

    @property
    def channels(self) -> list[Channel]:
        """All that had a reading, by number."""
        return [each.channel for each in self._months.values() if each.channel.readings]

    @property
    def in_utc(self) -> bool:
        """The file says how far its clock is from UTC, so its times are in UTC here."""
        return bool(self._clock.with_offset)

    def parts(self) -> Iterator[Part]:
        """Month after month of each channel, as each is whole.

        Raises: LoggerFileError.
        """
        stamp_of, name_of = self._stamp_reader(), self._name_reader()
        pairs = list(enumerate(self._shape.pairs))
        for line, row in self._rows():
            stamp, name = self._read(row, stamp_of, name_of)
            if stamp is None:
                self._tell(line, "no_time", row)
                continue
            for place, pair in pairs:
                months = self._months.get((name, place)) or self._new(name, place)
                celsius = self._figure(self._celsius, row, pair.celsius, line)
                rh = self._figure(self._rh, row, pair.rh, line)
                if not months.goes_on(stamp):
                    self._tell(line, "time_back", row)
                elif months.start <= stamp < months.end:
                    months.add(stamp, celsius, rh)
                else:
                    if part := months.part():
                        yield part
                    months.turn(stamp)
                    months.add(stamp, celsius, rh)
        for months in self._months.values():
            if part := months.part():
                yield part

    def _rows(self) -> Iterator[tuple[int, list[str]]]:
        """All behind the header that are not blank."""
        header = self._shape.header_lines
        for line, row in rows_of(text_lines(self._chunks()), self._shape.delimiter):
            if line > header and row:
                yield line, row

    def _read(
        self, row: Sequence[str], stamp_of: Callable[[Sequence[str]], str], name_of: Callable[[Sequence[str]], str]
    ) -> tuple[int | None, str]:
        try:
            return self._clock.read(stamp_of(row)), name_of(row)
        except IndexError:
            return None, ""

    def _figure(self, figures: Figures, row: Sequence[str], column: int | None, line: int) -> int | None:
        if column is None or column >= len(row):
            return None
        text = row[column]
        try:
            found = figures.known[text]
        except KeyError:
            found = figures.read(text)
        if found.__class__ is str:
            self._tell(line, "no_figure", (text,))
            return None
        return found  # type: ignore[return-value]  # the one text there is was told

    def _new(self, name: str, place: int) -> _Months:
        if len(self._months) >= CHANNELS_MOST:
            problem = f"there are more than {CHANNELS_MOST} channels"
            raise LoggerFileError(problem=problem, mend="Export fewer sensors at a time.")
        said = " ".join(filter(None, (name, self._shape.pairs[place].name)))
        made = self._months[name, place] = _Months(Channel(number=len(self._months) + 1, name=said[:200]))
        return made

    def _stamp_reader(self) -> Callable[[Sequence[str]], str]:
        columns = self._shape.stamp
        if len(columns) == 1:
            column = columns[0]
            return lambda row: row[column].strip()
        day, time = columns
        return lambda row: f"{row[day].strip()} {row[time].strip()}"

    def _name_reader(self) -> Callable[[Sequence[str]], str]:
        names = self._shape.names
        if not names:
            return lambda _: ""
        return lambda row: " ".join(row[column].strip() for column in names)

    def _tell(self, line: int, reason: str, row: Iterable[str]) -> None:
        self.reasons[reason] += 1
        if len(self.unread) < UNREAD_TOLD:
            self.unread.append(Unread(line=line, reason=reason, text=self._shape.delimiter.join(row)[:80]))
