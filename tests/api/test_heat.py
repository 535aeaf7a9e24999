"""The heat a book had here, over REST: a sum where it can be told, null where none of it can, zero where there was none."""

from typing import Any

from tests.api.door import Door


def heat(door: Door, *presses: dict[str, Any]) -> dict[str, Any]:
    book = door.a_book(holding="raw", expects_arrival=False)
    for settings in presses:
        body = {"kind": "intervention", "on": "2026-02-20", "technique": "hot-press-dry", "settings": settings}
        assert door.post(f"/books/{book}/events", body).status_code == 201
    found = door.get(f"/books/{book}").json()["heat"]
    assert isinstance(found, dict)
    return found


def test_a_session_is_told_as_a_band(door: Door) -> None:
    # 65 degrees for ten minutes: 0.0144, 1.633 and 8.244 days by the formula of Michalski 2002.
    told = heat(door, {"measured_celsius": "65", "hold_minutes": 10, "cooling_minutes": 0})
    assert told == {
        "low_days": "0.0144",
        "middle_days": "1.63",
        "high_days": "8.24",
        "sessions": 1,
        "untold": 0,
        "without_cooling": 0,
    }


def test_what_cannot_be_told_is_null_and_not_zero(door: Door) -> None:
    told = heat(door, {"total_minutes": 1440})
    assert told == {
        "low_days": None,
        "middle_days": None,
        "high_days": None,
        "sessions": 1,
        "untold": 1,
        "without_cooling": 0,
    }


def test_a_book_that_was_never_heated_here_had_none(door: Door) -> None:
    assert heat(door) == {
        "low_days": "0",
        "middle_days": "0",
        "high_days": "0",
        "sessions": 0,
        "untold": 0,
        "without_cooling": 0,
    }


def test_a_hold_without_its_cooling_is_said_to_be_one(door: Door) -> None:
    told = heat(door, {"measured_celsius": "65", "hold_minutes": 10})
    assert (told["middle_days"], told["without_cooling"]) == ("1.63", 1)
