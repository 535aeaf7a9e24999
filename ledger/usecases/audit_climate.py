"""Holds climate files against their digests, and the readings that are kept against what the file says."""

import hashlib

from ledger.care import CareReader, Drawer
from ledger.climate_kept import Own, file_of, kept_channel, said_of_part
from ledger.entry import Entry
from ledger.errors import LedgerError
from ledger.events.climate import Climate
from ledger.logger_columns import shape_of
from ledger.logger_file import LoggerReading
from ledger.logger_lines import chunks_of
from ledger.ports import Ledger, Reader
from ledger.proof.report import Evidence, Report
from ledger.usecases.stored import readable

__all__ = ["audit_climate"]


def audit_climate(ledger: Ledger, reader: Reader, report: Report) -> None:
    """Every file that entries speak of, and every month of readings that was taken from it."""
    if ledger.care is None:
        return
    told: dict[str, bytes | None] = {}
    with ledger.care.read() as beside:
        for entry in readable(reader, Climate.kind):
            if not isinstance(entry.event, Climate):
                continue
            file = entry.event.file
            if file not in told:
                told[file] = _whole(beside, entry, file, report)
            data = told[file]
            if data is not None:
                _audit_readings(beside, entry, entry.event, data, report)


def _whole(beside: CareReader, entry: Entry, file: str, report: Report) -> bytes | None:
    """The file, where it is what its digest says."""
    data = file_of(beside, file)
    if data is None:
        report.notes.append(f"Entry {entry.seq} tells of a climate file that is not kept here.")
        return None
    report.count("climate files")
    if hashlib.sha256(data).hexdigest() == file:
        return data
    sentence = f"The climate file {file[:8]} that is kept was changed. Put back a backup that is whole."
    report.add("climate-file-changed", sentence, seq=entry.seq)
    return None


def _audit_readings(beside: CareReader, entry: Entry, event: Climate, data: bytes, report: Report) -> None:
    own = Own(event.file, event.channel, event.temperature_unit, event.dates)
    kept = kept_channel(beside, own)
    expected: set[str] = set()
    differs: set[str] = set()
    try:
        reading = LoggerReading(
            chunks_of(data), shape_of(chunks_of(data)), dates=event.dates, unit=event.temperature_unit
        )
        for part in reading.parts():
            if part.channel != event.channel:
                continue
            expected.add(part.month)
            row = beside.row(Drawer.CLIMATE_PART, own.month(part.month))
            if row is None or row.said != said_of_part(part):
                differs.add(part.month)
    except LedgerError as error:
        sentence = f"The climate file {event.file[:8]} can no longer be read as entry {entry.seq} says: {error}"
        report.add("climate-file-unreadable", sentence, seq=entry.seq)
        return
    if kept is None or set(kept.months) != expected:
        sentence = f"Readings of the climate log in entry {entry.seq} are missing. Look at its file once more, and they are put back."
        report.add("climate-readings-missing", sentence, evidence=Evidence.MISSING, seq=entry.seq)
    elif differs:
        months = ", ".join(sorted(differs))
        sentence = (
            f"Readings of the climate log in entry {entry.seq} are not those of its file: {months}. Look at its file "
            "once more, and they are put back."
        )
        report.add("climate-readings-changed", sentence, seq=entry.seq)
