"""A climate log's entry: its rules, what it changes, its line."""

from typing import Any

import pytest

from ledger.collection import Collection
from ledger.events.climate import Climate, Unit
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold_collection, history, verdict
from ledger.sealed import Sealed
from tests.builders import CODEC, an_entry, at, broken_rules, on, shut

FILE = "a1" * 32


def log(**changes: Any) -> Climate:
    said = {
        "on": on("2026-01-01/2026-01-31"),
        "room": "r1",
        "file": FILE,
        "channel": 1,
        "first": "2026-01-01T00:00:00",
        "last": "2026-01-31T23:55:00",
        "readings": 8902,
        "interval_seconds": 300,
        "coverage_per_mille": 997,
    }
    return Climate(**{**said, **changes})


def test_a_month_of_readings_stands() -> None:
    assert broken_rules(log()) == []
    one = log(last="2026-01-01T00:00:00", readings=1, interval_seconds=None, coverage_per_mille=0)
    assert broken_rules(one) == []


@pytest.mark.parametrize(
    ("changes", "rule", "field"),
    [
        ({"first": "2026-02-30T00:00:00"}, "climate.1", "first"),
        ({"last": "yesterday"}, "climate.1", "last"),
        ({"last": "2025-12-31T23:59:59"}, "climate.1", "last"),
        ({"interval_seconds": None}, "climate.2", "interval_seconds"),
        ({"readings": 1}, "climate.2", "interval_seconds"),
        ({"last": "2026-01-01T00:00:10", "readings": 12, "interval_seconds": 1}, "climate.4", "readings"),
    ],
)
def test_what_cannot_be_so_is_refused(changes: dict[str, Any], rule: str, field: str) -> None:
    assert (rule, field) in broken_rules(log(**changes))


def test_a_channel_of_a_file_is_in_force_once_and_again_when_it_was_withdrawn() -> None:
    first = an_entry(log(), 1, book=None)
    refused, _ = verdict([first], an_entry(log(room="r2"), 2, book=None), CODEC)
    assert [(problem.rule, problem.entries) for problem in refused] == [("climate.3", (1,))]
    other, _ = verdict([first], an_entry(log(channel=2), 2, book=None), CODEC)
    assert other == []
    gone = an_entry(Withdrawal(on=on("2026-02-03"), entry=1), 2, book=None)
    again, _ = verdict([first, gone], an_entry(log(room="r2"), 3, book=None), CODEC)
    assert again == []


def test_the_collection_knows_which_channels_count() -> None:
    collection = log().apply_collection(Collection(id="c"), at(3))
    collection = log(channel=2).apply_collection(collection, at(4))
    assert dict(collection.climates) == {(FILE, 1): 3, (FILE, 2): 4}
    moments = history([an_entry(log(), 1, book=None)], CODEC)
    assert dict(fold_collection("c", moments).climates) == {(FILE, 1): 1}


def test_its_line_tells_room_time_and_what_is_known_and_no_name() -> None:
    told = shut(log(file_name=Sealed.of("study.csv"), temperature_unit=Unit.FAHRENHEIT))
    assert told.summary() == "Climate log of room r1: 2026-01-01 to 2026-01-31, 8902 readings, 99.7 % of the time known"
    assert log(wall="north").summary().startswith("Climate log of wall north of room r1: ")
