"""An example of a book's condition, for the OpenAPI document: two bends that were pressed, and a look too soon after."""

from typing import Any

__all__ = ["condition_of"]

_BEND = {"type": "bend", "face": "front", "breaks_colour": "no"}
_LOOK: dict[str, Any] = {
    "entry": 3,
    "on": "2026-02-21",
    "through_holder": False,
    "lights": ["normal", "raking"],
    "presents_as": "9.0",
    "rest_hours": 12,
    "rested": False,
    "work": [2],
    "measured": [{"name": "height_mm", "value": "258", "before": "260", "before_entry": 1, "change": "less"}],
    "questions": ["height_mm"],
    "defects": [
        {"defect": {**_BEND, "id": "d1", "size_mm": "4"}, "change": "lessened", "seen_by": 3},
        {"defect": {**_BEND, "id": "d2", "size_mm": "12.5"}, "change": "not looked at", "seen_by": 1},
    ],
    "marks": [{"mark": {"id": "m1", "what": "Blue fibre, 3 mm long", "face": "back"}, "seen_by": 1}],
}


def condition_of(book: str) -> dict[str, Any]:
    """The condition of that book."""
    return {
        "book": book,
        "counting": None,
        "due": True,
        "see_again": ["d1"],
        "rest_hours_needed": 168,
        "natural_mm": "1",
        "natural_source": "our assumption",
        "looks": [_LOOK],
    }
