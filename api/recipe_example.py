"""Examples of recipes for the OpenAPI document: one adjusted, and what one did."""

from typing import Any, Final

__all__ = ["RECIPE_ANSWERS", "RECIPE_REQUESTS"]

_BOOK: Final = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_ID: Final = "k3j8h2g4f6d5s3a7b7q2m4x6n5"
_MADE: Final = "2026-03-01T09:30:00.000000Z"
_RECIPE: Final = {"name": "Clean and press", "steps": [{"technique": "dry-cleaning"}, {"technique": "cold-press"}]}
_RENAMED: Final = "Clean, then press"
_TALLY: Final[dict[str, Any]] = {
    "key": None,
    "times": 1,
    "books": 1,
    "seen": 1,
    "changes": {"gone": 1},
    "few": True,
    "unseen": 0,
    "shared": 0,
    "waiting": 0,
    "overtaken": 0,
    "left": 0,
}
_NO_HEAT: Final = {
    "low_days": "0",
    "middle_days": "0",
    "high_days": "0",
    "sessions": 0,
    "untold": 0,
    "without_cooling": 0,
}
_BEND: Final = {"id": "d2", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12.5"}
_PASSAGE: Final[dict[str, Any]] = {
    "on": "2026-02-22",
    "entries": [6, 7],
    "states": [1],
    "places": [0, 1],
    "steps": 2,
    "early": [],
    "standing": "seen after a rest",
    "era": "1956-1970",
    "tone": "ivory",
    "suppleness": "supple",
    "heat": _NO_HEAT,
    "look": 9,
    "named": True,
    "worked": [_BEND],
    "outcomes": [{"defect": _BEND, "change": "gone"}],
    "new": [],
}
"""One book was pressed, and one bend went."""


_ANSWER: Final[dict[str, Any]] = {**_RECIPE, "id": _ID, "made": _MADE, "state": 1}

RECIPE_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "adjust_recipe": {
        "renamed": {"summary": "The same steps under another name", "value": {**_RECIPE, "name": _RENAMED, "state": 1}}
    },
}
"""Operation -> name -> an example of its body."""

RECIPE_ANSWERS: dict[str, Any] = {
    "adjust_recipe": {**_ANSWER, "name": _RENAMED, "state": 2},
    "read_recipe": {
        **_ANSWER,
        "earlier": [],
        "under_way": 0,
        "called_off": 0,
        "rest_hours_needed": 168,
        "few_most": 10,
        "in_all": _TALLY,
        "by_type": [{**_TALLY, "key": "bend"}],
        "by_era": [{**_TALLY, "key": "1956-1970"}],
        "by_tone": [{**_TALLY, "key": "ivory"}],
        "by_suppleness": [{**_TALLY, "key": "supple"}],
        "passages": [{"book": _BOOK, **_PASSAGE}],
    },
}
"""Operation -> an example of its answer."""
