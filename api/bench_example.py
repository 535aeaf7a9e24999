"""Examples of the bench for the OpenAPI document: loads, recipes and tools, as they are sent and as they come back."""

from typing import Any

__all__ = ["BENCH_ANSWERS", "BENCH_REQUESTS"]

_BOOK = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_ID = "k3j8h2g4f6d5s3a7b7q2m4x6n5"
_TOOL_ID = "t5o2l6e3x4a7m2p5l6e3t4o7o2"
_MADE = "2026-03-01T09:30:00.000000Z"

_COLD = {"books": [_BOOK], "values": {"technique": "cold-press", "settings.total_minutes": "720"}}
_HOT = {
    "books": [_BOOK],
    "values": {"technique": "hot-press-dry", "settings.set_celsius": "60", "settings.total_minutes": "720"},
    "tool": _TOOL_ID,
}
_RECIPE = {"name": "Clean and press", "steps": [{"technique": "dry-cleaning"}, {"technique": "cold-press"}]}
_CALIBRATION = {
    "on": "2025-12-20",
    "measured_with": "thermocouple between two boards",
    "points": [
        {"set_celsius": "40", "measured_celsius": "38.5"},
        {"set_celsius": "60", "measured_celsius": "57.5"},
    ],
}
_TOOL = {"name": "Large press", "kind": "hot press", "capacity": 4, "calibration": _CALIBRATION}
_COLD_TOOL = {"name": "Book press", "kind": "cold press", "capacity": 6, "note": "Screw, a quarter turn past touching."}

_LOAD_ANSWER: dict[str, Any] = {
    **_HOT,
    "id": _ID,
    "started": _MADE,
    "ends": "2026-03-01T21:30:00.000000Z",
    "stopped": None,
    "recipe": None,
    "place": 0,
    "expected": {
        "set_celsius": "60",
        "measured_celsius": "57.5",
        "on": "2025-12-20",
        "measured_with": "thermocouple between two boards",
    },
}
_RECIPE_ANSWER: dict[str, Any] = {**_RECIPE, "id": _ID, "made": _MADE, "state": 1}
_TOOL_ANSWER: dict[str, Any] = {**_TOOL, "id": _TOOL_ID, "room": 3, "note": "", "retired": False, "made": _MADE}

_AT_BENCH: dict[str, Any] = {
    "book": _BOOK,
    "name": "The Copper Lantern 14",
    "waits_for": "decision",
    "load": None,
    "over": {"technique": "hot-press-dry", "on": "2026-02-21"},
    "look_due": "2026-02-28",
    "heat": {
        "low_days": "0.0144",
        "middle_days": "1.63",
        "high_days": "8.24",
        "sessions": 1,
        "untold": 0,
        "without_cooling": 0,
    },
}

BENCH_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "put_in": {
        "press": {"summary": "A book into a cold press, for half a day", "value": _COLD},
        "tool": {"summary": "A book into a press of the list", "value": _HOT},
    },
    "keep_recipe": {"two": {"summary": "Clean, then press", "value": _RECIPE}},
    "add_tool": {
        "press": {"summary": "A hot press with what it was measured at", "value": _TOOL},
        "cold": {"summary": "A press without heat", "value": _COLD_TOOL},
    },
    "change_tool": {"retired": {"summary": "It takes nothing new", "value": {**_TOOL, "retired": True}}},
}
"""Operation -> name -> an example of its body."""

BENCH_ANSWERS: dict[str, Any] = {
    "read_bench": {"loads": [_LOAD_ANSWER], "recipes": [_RECIPE_ANSWER], "tools": [_TOOL_ANSWER]},
    "put_in": _LOAD_ANSWER,
    "stop_load": {**_LOAD_ANSWER, "stopped": "2026-03-01T21:30:00.000000Z"},
    "keep_recipe": _RECIPE_ANSWER,
    "read_board": {"books": [_AT_BENCH]},
    "next_step": {**_LOAD_ANSWER, "recipe": _ID, "place": 1},
    "list_tools": {"tools": [_TOOL_ANSWER]},
    "read_tool": _TOOL_ANSWER,
    "add_tool": {**_TOOL_ANSWER, "room": 4},
    "change_tool": {**_TOOL_ANSWER, "retired": True},
}
"""Operation -> an example of its answer."""
