"""Examples of care and rotation for the OpenAPI document: as they are sent, and as they come back."""

from typing import Any

__all__ = ["CARE_ANSWERS", "CARE_REQUESTS"]

_PLAN = "r5o2t4a6t3i7o2n4p5l6a7n2x3"
_ONE, _OTHER = "b7q2m4x6n5k3j8h2g4f6d5s3a7", "b3c5d7f2g4h6j7k2m4n5p6q7r2"
_ACT = "k3j8h2g4f6d5s3a7b7q2m4x6n5"
_SPOT = {"id": "hall", "room": "r1", "wall": "w1", "x_cm": "60", "y_cm": "150"}
_LIT = {"light": {"low": "400", "middle": "400", "high": "400"}, "known": "typed", "filtered": "unsure"}
_DOSE = {"low": 300000, "middle": 1000000, "high": 3000000}
_BAND = {name: str(lux_hours) for name, lux_hours in _DOSE.items()}
_KNOWN = {"taken_for": "typed", "fade": _BAND, "filtered": None, "taken_typed": True, "unknown_days": 0}
_FREE = {"always": False, "pinned": None, "days_a_year": None, "lux_hours_a_year": None}
_BOOKS: list[dict[str, Any]] = [{"book": _ONE, "fade": _DOSE, "taken": 12000}, {"book": _OTHER, "fade": _DOSE}]
_TAKEN: dict[str, Any] = {
    "taken": {"low": "12000", "middle": "12000", "high": "12000"},
    "had": {"low": "0.0040", "middle": "0.0120", "high": "0.0400"},
}
_PLANNED = [{"what": "trip", "on": "2026-05-04"}]
_WRITTEN = {
    "seq": 41,
    "book": _ONE,
    "book_seq": 6,
    "kind": "placement",
    "on": "2026-06-01",
    "recorded": "2026-06-01T18:00:00.000000Z",
    "actor": "owner",
    "summary": "Hung on the wall, 60 cm from the left",
    "leaf": "5f0e4c1b9d3a27586e4f1a0b7c9d2e3f4a5b6c7d8e9f00112233445566778899",
}
_SWAPS = [
    {"number": 1, "due": "2026-06-01", "until": "2026-08-31", "act": None, "passed_over": False, "books": [_OTHER]},
    {"number": 2, "due": "2026-08-31", "until": "2026-11-30", "act": None, "passed_over": False, "books": [_ONE]},
]
_ANSWER: dict[str, Any] = {
    "id": _PLAN,
    "standing": "proposed",
    "starts": "2026-06-01",
    "ends": "2026-11-30",
    "largest": "0.0484",
    "least_possible": "0.0484",
    "exact": True,
    "by_hand": False,
    "spots": [{**_SPOT, **_LIT}],
    "books": [
        {
            "book": _ONE,
            **_KNOWN,
            **_TAKEN,
            **_FREE,
            "days": 91,
            "share": {"low": "0.0161", "middle": "0.0484", "high": "0.1613"},
        },
        {
            "book": _OTHER,
            **_KNOWN,
            "taken": None,
            "had": None,
            "taken_typed": False,
            **_FREE,
            "days": 91,
            "share": {"low": "0.0121", "middle": "0.0364", "high": "0.1213"},
        },
    ],
    "apart": [],
    "swaps": _SWAPS,
    "made": "2026-05-20T09:30:00.000000Z",
}
_HALF: dict[str, Any] = {
    **_ANSWER,
    "largest": "0.0302",
    "spots": [{**_SPOT, **_LIT, "light": {"low": "200", "middle": "200", "high": "200"}}],
    "books": [
        {**_ANSWER["books"][0], "share": {"low": "0.0101", "middle": "0.0302", "high": "0.1007"}},
        {**_ANSWER["books"][1], "share": {"low": "0.0061", "middle": "0.0182", "high": "0.0607"}},
    ],
}
_DAYS = {"low": 37.5, "middle": 37.5, "high": 37.5}
_ACCEPTED = {**_ANSWER, "standing": "accepted"}

CARE_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "propose_rotation": {
        "two": {
            "summary": "Two books take turns at one spot",
            "value": {
                "starts": "2026-06-01",
                "periods": [91, 91],
                "spots": [{**_SPOT, "lux_hours_a_day": "400"}],
                "books": _BOOKS,
            },
        }
    },
    "try_rotation": {"dimmed": {"summary": "Half of the light everywhere", "value": {"dim_to_percent": 50}}},
    "change_rotation": {"turned": {"summary": "The other first", "value": {"rows": [[_ONE], [_OTHER]]}}},
    "do_a_swap": {
        "done": {
            "summary": "Done on its day",
            "value": {"number": 1, "on": "2026-06-01", "kept_in": "box", "place": "Box 3"},
        }
    },
    "count_books": {
        "shelf": {"summary": "Two books were found", "value": {"books": [_ONE, _OTHER], "on": "2026-05-01"}}
    },
    "put_planned": {"trip": {"summary": "It goes out", "value": {"planned": _PLANNED}}},
}
"""Operation -> name -> an example of its body."""

CARE_ANSWERS: dict[str, Any] = {
    "list_rotations": {"rotations": [_ANSWER]},
    "read_rotation": _ANSWER,
    "propose_rotation": _ANSWER,
    "try_rotation": {"now": _ANSWER, "then": _HALF},
    "read_rotation_days": {
        "days": [{"spot": "hall", "book": book, "days": _DAYS, "copies": 10} for book in (_ONE, _OTHER)]
    },
    "change_rotation": {**_ANSWER, "by_hand": True},
    "accept_rotation": _ACCEPTED,
    "do_a_swap": {"rotation": _ACCEPTED, "act": _ACT, "entries": [_WRITTEN], "warnings": []},
    "read_care": {
        "dues": [
            {
                "book": _ONE,
                "title": "The Copper Lantern",
                "number": "14",
                "place": "Box 3",
                "care": "housing",
                "on": "2027-02-05",
                "since": "2024-02-05",
                "around": "sleeve",
                "material": "polyethylene",
                "ahead": None,
                "before": None,
                "by_table": True,
            }
        ],
        "books": 1,
        "further": False,
    },
    "count_books": {
        "act": _ACT,
        "entries": [{**_WRITTEN, "kind": "count", "on": "2026-05-01", "summary": "Counted: found"}],
        "warnings": [],
    },
    "read_planned": {"planned": _PLANNED},
    "put_planned": {"planned": _PLANNED},
}
"""Operation -> an example of its answer."""
