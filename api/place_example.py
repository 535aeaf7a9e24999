"""Examples of places for the OpenAPI document: as they are asked for, and as they come back."""

from typing import Any

__all__ = ["PLACE_ANSWERS", "PLACE_REQUESTS"]

_BOOK = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_OTHER = "c7q2m4x6n5k3j8h2g4f6d5s3a7"
_ONTO = {"book": _BOOK, "spot": "wall", "room": "study", "wall": "n", "x_cm": "52.5", "y_cm": "150"}

PLACE_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "move_books": {
        "away": {
            "summary": "A book goes into a box",
            "value": {"moves": [{"book": _BOOK, "spot": "box", "place": "Box 4"}], "on": "2026-03-01"},
        },
        "two": {
            "summary": "One book onto the wall, another into a safe",
            "value": {"moves": [_ONTO, {"book": _OTHER, "spot": "safe", "place": "House safe"}], "on": "2026-03-01"},
        },
    }
}

_WALL: dict[str, Any] = {"id": "n", "side": "north", "outer": False, "books": [_BOOK]}
_HUNG: dict[str, Any] = {
    "book": _BOOK,
    "x_cm": "52.5",
    "y_cm": "150",
    "width_cm": "22.1",
    "height_cm": "31.7",
    "measured": False,
    "in_holder": True,
    "since": "2026-03-01",
}
PLACE_ANSWERS: dict[str, Any] = {
    "read_places": {
        "rooms": [{"id": "study", "name": "Study", "entry": 2, "on": "2026-02-01", "walls": [_WALL]}],
        "elsewhere": [],
        "kept": [{"spot": "safe", "place": "House safe", "room": "study", "count": 1, "books": [_OTHER]}],
    },
    "read_room": {
        "id": "study",
        "name": "Study",
        "walls": [
            {
                "id": "n",
                "width_cm": "412",
                "height_cm": "262",
                "windows": [{"number": "1", "x_cm": "280", "y_cm": "92", "width_cm": "110", "height_cm": "128"}],
                "lamps": [{"id": "desk", "kind": "LED", "x_cm": "80", "y_cm": "178"}],
                "readings": [
                    {
                        "x_cm": "110",
                        "y_cm": "150",
                        "lux": "52",
                        "hours_per_day": "9",
                        "uv_microwatts_per_lumen": None,
                        "basis": "measured",
                    }
                ],
                "hung": [_HUNG],
                "in_the_way": [],
            }
        ],
    },
}
