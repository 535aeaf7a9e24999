"""Examples of climate: what to send, and what comes back."""

from typing import Any, Final

__all__ = ["CLIMATE_ANSWERS", "CLIMATE_REQUESTS"]

_FILE: Final = "3f79bb7b435b05321651daefd374cdc681dc06faa65e374e38337b88ca046dea"
_READ: Final[dict[str, Any]] = {
    "first": "2026-01-01T00:00:00",
    "last": "2026-01-31T23:55:00",
    "readings": 8902,
    "interval_seconds": 300,
    "coverage_per_mille": 997,
}
_LOG: Final[dict[str, Any]] = {
    "entry": 41,
    "sha256": _FILE,
    "channel": 1,
    "room": "study",
    "wall": None,
    **_READ,
}
_EQUIVALENT: Final = {"low": 34.25, "middle": 37.5, "high": 41.125}

CLIMATE_REQUESTS: Final[dict[str, dict[str, dict[str, Any]]]] = {
    "take_in_climate": {
        "study": {
            "summary": "The first channel, in the study",
            "value": {"channels": [{"channel": 1, "room": "study"}], "file_name": "study-january.csv"},
        }
    },
}
"""Operation -> name -> an example of its body."""

CLIMATE_ANSWERS: Final[dict[str, Any]] = {
    "list_climate": {"logs": [_LOG]},
    "look_at_climate": {
        "sha256": _FILE,
        "size": 284864,
        "header_lines": 1,
        "asks": [],
        "dates": "day first",
        "temperature_unit": "°C",
        "assumed": False,
        "in_utc": False,
        "channels": [{"number": 1, "name": "", **_READ}],
        "unread": [{"line": 8904, "reason": "no_time", "text": "Alarm limits,10,70"}],
        "not_read": 1,
    },
    "read_room_air": {
        "room": "study",
        "start": "2026-01-01T00:00:00",
        "end": "2026-02-01T00:00:00",
        "known_seconds": 2670600,
        "coverage_per_mille": 997,
        "equivalent_days": _EQUIVALENT,
        "lifetime_multiplier": {"low": 0.751609, "middle": 0.824267, "high": 0.902478},
        "celsius": {"low": 17.5, "mean": 20.75, "high": 23.25},
        "rh": {"low": 41.5, "mean": 54.25, "high": 78.0},
        "dew_point": {"low": 6.5, "mean": 11.25, "high": 17.75},
        "water": {"low": 7.25, "mean": 9.75, "high": 14.5},
        "untried_seconds": 0,
        "damp": [
            {
                "colder_kelvin": 0.0,
                "days_above_65": 4.25,
                "days_above_75": 1.5,
                "days_mould_can_begin": 1.25,
                "days_mould_grows": 0.5,
                "days_wood": 0.75,
                "lasted": [
                    {"rh": 65.0, "longest_days": 4.25, "seen_least_days": 365, "seen_most_days": None},
                    {"rh": 75.0, "longest_days": 1.5, "seen_least_days": 30, "seen_most_days": 30},
                ],
                "longest_days_above_65": 4.25,
                "warning": "damp",
            }
        ],
        "ranges": [
            {
                "id": "bs-4971",
                "title": "Archives (BS 4971:2017)",
                "per_mille": 812,
                "sources": ["BS 4971:2017, as coded in a library's published script"],
            }
        ],
        "swings": [],
        "seasons": [],
        "isoperm": {"low": 0.761, "middle": 0.787, "high": 0.814},
        "film_index": 0.846,
        "logs": [_LOG],
    },
    "read_wall_air": {
        "dew_point": 11.62,
        "estimate": {
            "coldest": {
                "celsius": 11.86,
                "rh": 98.39,
                "wet": False,
                "mould_begins": True,
                "mould_grows": True,
                "seen": {"rh": 90.0, "least_days": 2, "most_days": 3},
                "wood_weeks": {"growth": 1.74, "seen": 3.67},
            },
            "warmest": {
                "celsius": 14.99,
                "rh": 80.23,
                "wet": False,
                "mould_begins": True,
                "mould_grows": False,
                "seen": {"rh": 80.0, "least_days": 10, "most_days": 10},
                "wood_weeks": {"growth": 25.23, "seen": 41.26},
            },
        },
        "measured": None,
    },
    "read_ageing": {
        "book": "b7q2m4x6n5k3j8h2g4f6d5s3a7",
        "presses": {
            "sessions": 1,
            "untold": 0,
            "equivalent_days": {"low": 0.0144, "middle": 1.633, "high": 8.244},
        },
        "wall": {"stays": 1, "lasted_days": 365.0, "known_days": 31.0, "equivalent_days": _EQUIVALENT},
        "storage": {"stays": 0, "lasted_days": 0.0, "known_days": 0.0, "equivalent_days": None},
        "no_place_days": 12.0,
    },
}
"""Operation -> an example of its answer."""
