"""How climate files and readings lie beside the ledger: the file as it came, its channels, their months."""

import base64
import hashlib
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, NamedTuple

from ledger.care import CareReader, CareRow, CareWriter, Drawer
from ledger.events.climate import DateOrder, Unit
from ledger.logger_file import Channel, Part, month_of
from ledger.logger_lines import LoggerFileError

__all__ = [
    "KEPT_MOST",
    "KeptChannel",
    "Own",
    "file_of",
    "kept_channel",
    "packed",
    "parts_of",
    "put_channel",
    "put_file",
    "put_part",
    "said_of_part",
    "stay",
    "waiting_files",
]

KEPT_MOST: Final = 24 * 2**20
"""A file as it is kept: compressed, as text. Units: characters."""
WAITING: Final = "waiting"
"""Id of the row that lists files that were looked at and not taken in."""
WAITING_MOST: Final = 4
_FAST: Final = 3
"""How hard zlib tries; more costs time and saves little on a table of figures."""


@dataclass(frozen=True, kw_only=True)
class KeptChannel:
    """What is told of one channel beside its readings. Units: s of the logger's clock."""

    first: int
    last: int
    interval: int | None
    months: tuple[str, ...]


class Own(NamedTuple):
    """One channel of one file, read in one way: read in another, its readings lie beside these."""

    file: str
    channel: int
    unit: Unit
    dates: DateOrder

    @property
    def id(self) -> str:
        """The id of the channel's row; its months lie under it."""
        return f"{self.file}.{self.channel:02}{'f' if self.unit is Unit.FAHRENHEIT else 'c'}{self.dates[0]}"

    def month(self, name: str) -> str:
        """The id of the row of a month."""
        return f"{self.id}/{name}"


def packed(chunks: Iterable[bytes]) -> tuple[str, str]:
    """The digest of a file, and the file as it is kept.

    Raises: LoggerFileError for one that is too long to be kept.
    """
    digest, press, made = hashlib.sha256(), zlib.compressobj(_FAST), bytearray()
    for chunk in chunks:
        digest.update(chunk)
        made += press.compress(chunk)
        if len(made) * 4 // 3 > KEPT_MOST:
            raise LoggerFileError(problem="it is too long to be kept", mend="Export a shorter time.")
    made += press.flush()
    return digest.hexdigest(), base64.b64encode(made).decode()


def put_file(writer: CareWriter, file: str, kept: str, now: datetime) -> None:
    """It is kept, and waits until it is taken in; of those that wait only the last few stay."""
    if writer.row(Drawer.CLIMATE, file) is not None:
        return
    waiting = [*waiting_files(writer), file]
    for old in waiting[:-WAITING_MOST]:
        writer.take(Drawer.CLIMATE, old)
    _put_waiting(writer, waiting[-WAITING_MOST:], now)
    writer.put(Drawer.CLIMATE, CareRow(id=file, made=now, said={"zlib": kept}))


def waiting_files(reader: CareReader) -> list[str]:
    """Files that were looked at and not taken in, the oldest first."""
    row = reader.row(Drawer.CLIMATE, WAITING)
    found = row.said.get("files") if row is not None else None
    return [each for each in found if isinstance(each, str)] if isinstance(found, list) else []


def stay(writer: CareWriter, file: str, now: datetime) -> None:
    """It waits no longer, and stays."""
    _put_waiting(writer, [each for each in waiting_files(writer) if each != file], now)


def _put_waiting(writer: CareWriter, files: Sequence[str], now: datetime) -> None:
    writer.put(Drawer.CLIMATE, CareRow(id=WAITING, made=now, said={"files": list(files)}))


def file_of(reader: CareReader, file: str) -> bytes | None:
    """The bytes that are kept for that digest, whatever they are; None where there are none.

    Keeps: a row that was harmed gives other bytes, and unpacking it never fills the memory.
    """
    row = reader.row(Drawer.CLIMATE, file)
    if row is None:
        return None
    try:
        return zlib.decompressobj().decompress(base64.b64decode(str(row.said["zlib"])), FILE_OUT_MOST)
    except (KeyError, ValueError, zlib.error):
        return b""


FILE_OUT_MOST: Final = 65 * 2**20
"""A little more than a file may have, so that a longer one differs from its digest. Units: bytes."""


def put_part(writer: CareWriter, own: Own, part: Part, now: datetime) -> None:
    """One month of one channel."""
    writer.put(Drawer.CLIMATE_PART, CareRow(id=own.month(part.month), made=now, said=said_of_part(part)))


def said_of_part(part: Part) -> dict[str, list[int] | list[int | None]]:
    """A month as its row says it."""
    return {"seconds": list(part.seconds), "celsius": list(part.celsius), "rh": list(part.rh)}


def put_channel(writer: CareWriter, own: Own, channel: Channel, months: Sequence[str], now: datetime) -> None:
    """What there is of one channel."""
    said = {
        "first": channel.first,
        "last": channel.last,
        "interval": channel.interval,
        "months": sorted(months),
    }
    writer.put(Drawer.CLIMATE, CareRow(id=own.id, made=now, said=said))


def kept_channel(reader: CareReader, own: Own) -> KeptChannel | None:
    """What is told of a channel; None where it is not kept, or was harmed."""
    row = reader.row(Drawer.CLIMATE, own.id)
    if row is None:
        return None
    first, last, interval, months = (row.said.get(name) for name in ("first", "last", "interval", "months"))
    if not isinstance(first, int) or not isinstance(last, int) or not isinstance(months, list):
        return None
    return KeptChannel(
        first=first,
        last=last,
        interval=interval if isinstance(interval, int) and interval > 0 else None,
        months=tuple(each for each in months if isinstance(each, str)),
    )


def parts_of(reader: CareReader, own: Own, months: Sequence[str], start: int, end: int) -> Iterator[Part]:
    """The months that reach into a time, in order; one that was harmed is left out."""
    first, last = month_of(start)[0], month_of(end)[0]
    for month in sorted(months):
        if not first <= month <= last:
            continue
        row = reader.row(Drawer.CLIMATE_PART, own.month(month))
        part = None if row is None else _part(row.said, own.channel, month)
        if part is not None:
            yield part


def _part(said: Mapping[str, Any], channel: int, month: str) -> Part | None:
    columns = [said.get(name) for name in ("seconds", "celsius", "rh")]
    if not all(isinstance(each, list) and len(each) == len(columns[0] or ()) for each in columns):
        return None
    seconds, celsius, rh = (each or [] for each in columns)
    if not all(type(each) is int for each in seconds):
        return None
    if not all(each is None or type(each) is int for each in (*celsius, *rh)):
        return None
    try:
        start = int(datetime.fromisoformat(f"{month}-01T00:00:00+00:00").timestamp())
    except ValueError:
        return None
    return Part(channel=channel, month=month, start=start, seconds=seconds, celsius=celsius, rh=rh)
