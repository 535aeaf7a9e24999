"""What a record says of the air a book was in can be worked out again, from the record and the loggers' files alone."""

import csv
import hashlib
import io
import math
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from ledger.events.placement import Placement, Spot
from ledger.proof.forms import check_file
from ledger.proof.sheet import Facts, Sheet, Table
from ledger.usecases.choose import Wish
from ledger.usecases.climate import Said, Where, look_at_file, take_in
from ledger.usecases.disclose import issue
from tests.builders import on
from tests.fakes import FakeClock
from tests.usecases.houses import House
from tests.usecases.telling import OWNER

DAY = 86_400
ENERGIES = (70, 80, 90, 100, 110, 120)


def a_file(
    first: str, days: int, *airs: tuple[float, float], fahrenheit: bool = False, skipped: range = range(0)
) -> bytes:
    """A reading each hour, the airs by turns; of hours that are skipped there is none."""
    start = datetime.fromisoformat(first).replace(tzinfo=UTC)
    lines = []
    for hour in range(days * 24):
        celsius, rh = airs[hour % len(airs)]
        shown = celsius * 1.8 + 32 if fahrenheit else celsius
        if hour not in skipped:
            lines.append(f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M},{shown:.2f},{rh}\n")
    return (f"Time,°{'F' if fahrenheit else 'C'},%RH\n" + "".join(lines)).encode()


STUDY = a_file("2025-01-01", 60, (21, 55), (24, 60), (18, 45), skipped=range(400, 430))
WALL = a_file("2025-01-11", 10, (14, 72), (16, 68), fahrenheit=True)
LOFT = a_file("2025-01-01", 60, (12, 40))
FILES = {hashlib.sha256(each).hexdigest(): each for each in (STUDY, WALL, LOFT)}


def told(house: House) -> str:
    """A book that hung in the study and lay in the loft, each with its logs."""
    assert isinstance(house.ledger.clock, FakeClock)
    house.ledger.clock.time = datetime(2025, 2, 20, 9, tzinfo=UTC)
    for data, room, wall in ((STUDY, "study", None), (WALL, "study", "n"), (LOFT, "loft", None)):
        file = look_at_file(house.ledger, OWNER, data).file
        take_in(house.ledger, OWNER, file, [Where(channel=1, room=room, wall=wall)], said=Said())
    book = house.teller.buy(on=on("2024-12-25"))
    for when, spot, room, where in (
        ("2025-01-06", Spot.WALL, "study", "n"),
        ("2025-01-26", Spot.BOX, "loft", None),
        ("2025-02-10", Spot.WALL, "study", "s"),
    ):
        house.teller.add(book, Placement(on=on(when), spot=spot, room=room, wall=where))
    return book


# --- worked out again, by nothing of the program ------------------------------------------------------------------------


def rate(celsius: float, rh: float, energy: float) -> float:
    """Michalski 2002: how many times as fast as at 20 degrees and 50 per cent."""
    return float((rh / 50) ** 1.3) * math.exp(energy * 1000 / 8.314 * (1 / 293.15 - 1 / (celsius + 273.15)))


def readings(row: dict[str, str]) -> Iterator[tuple[float, float, float, float]]:
    """Each reading from its start to its end, with its air; it stands until the next, an hour at the most."""
    rows = list(csv.reader(io.StringIO(FILES[row["File (SHA-256)"]].decode())))[1:]
    for time, shown, rh in rows:
        start = datetime.fromisoformat(time).replace(tzinfo=UTC).timestamp()
        celsius = (float(shown) - 32) / 1.8 if row["Read as"].startswith("°F") else float(shown)
        yield start, start + 3600, round(celsius, 2), float(rh)


def air_of(stays: list[tuple[float, float, str, str | None]], logs: list[dict[str, str]]) -> tuple[float, list[float]]:
    """How long it is known and the equivalent days at each energy, hour after hour; the log at its own wall first."""
    known, sums = 0.0, [0.0] * len(ENERGIES)
    for begun, ended, room, wall in stays:
        own = [each for each in logs if re.search(rf"in room {room}|of room {room}", each["Read"])]
        own.sort(key=lambda each: 0 if f"at wall {wall} " in each["Read"] else 1 if "in room" in each["Read"] else 2)
        hours: dict[float, tuple[float, float]] = {}
        for log in own:
            for start, _, celsius, rh in readings(log):
                if begun <= start < ended:
                    hours.setdefault(start, (celsius, rh))
        known += len(hours) * 3600
        for celsius, rh in hours.values():
            for place, energy in enumerate(ENERGIES):
                sums[place] += rate(celsius, rh, energy) / 24
    return known / DAY, sums


def facts_of(sheet: Sheet) -> dict[str, str]:
    (care,) = (each for each in sheet.sections if each.id == "care")
    return {name: value for each in care.blocks if isinstance(each, Facts) for name, value in each.rows}


def logs_of(sheet: Sheet) -> list[dict[str, str]]:
    (care,) = (each for each in sheet.sections if each.id == "care")
    tables = [each for each in care.blocks if isinstance(each, Table) and "File (SHA-256)" in each.head]
    return [dict(zip(each.head, row, strict=True)) for each in tables for row in each.rows]


SAID = re.compile(
    r"Of ([\d.]+) of its ([\d.]+) days there a climate log knows: .* about ([\d.]+) days \(([\d.]+) to ([\d.]+)\)"
)


def test_a_disclosed_dose_is_worked_out_again_from_the_record_and_the_files(house: House) -> None:
    book = told(house)
    report = check_file(issue(house.ledger, OWNER, book, Wish()).data, [house.key])
    assert report.ok
    assert report.file is not None
    logs = logs_of(report.file.sheet)
    assert {each["File (SHA-256)"] for each in logs} == set(FILES), "every file by its digest, and no other"
    placed = [each for each in report.entries if each.kind == "placement"]
    begun = [datetime.fromisoformat(str(each.on)).replace(tzinfo=UTC).timestamp() for each in placed]
    ends = [*begun[1:], datetime(2025, 2, 20, tzinfo=UTC).timestamp()]
    stays: dict[bool, list[tuple[float, float, str, str | None]]] = {True: [], False: []}
    for entry, start, end in zip(placed, begun, ends, strict=True):
        body = entry.body
        wall = body.get("wall")
        stays[body["spot"] == "wall"].append((start, end, str(body["room"]), None if wall is None else str(wall)))
    facts = facts_of(report.file.sheet)
    for hung, name in ((True, "Air at its walls"), (False, "Air of its boxes and safes")):
        known, sums = air_of(stays[hung], logs)
        found = SAID.search(facts[name])
        assert found is not None, facts[name]
        said_known, said_lasted, middle, low, high = map(float, found.groups())
        assert said_known == pytest.approx(known, abs=0.06)
        assert said_lasted == pytest.approx(sum(end - start for start, end, _, _ in stays[hung]) / DAY, abs=0.06)
        # A record says two figures.
        assert middle == pytest.approx(sums[ENERGIES.index(100)], rel=0.05)
        assert (low, high) == pytest.approx((min(sums), max(sums)), rel=0.05)


def test_of_time_that_no_log_knows_the_record_says_that_and_never_nothing(house: House) -> None:
    assert isinstance(house.ledger.clock, FakeClock)
    house.ledger.clock.time = datetime(2025, 2, 20, 9, tzinfo=UTC)
    book = house.teller.buy(on=on("2025-02-01"))
    house.teller.add(book, Placement(on=on("2025-02-11"), spot=Spot.WALL, room="study", wall="n"))
    report = check_file(issue(house.ledger, OWNER, book, Wish()).data, [house.key])
    assert report.file is not None
    facts = facts_of(report.file.sheet)
    assert facts["Air at its walls"] == "Of its 9 days there no climate log knows any."
    assert facts["Air of its boxes and safes"] == "That it was there was not entered."
    assert facts["Air that is not known"] == (
        "Of 10 days here no place is entered, or dates leave it open. "
        "The air it was in before it came here is not known."
    )
    assert logs_of(report.file.sheet) == []
