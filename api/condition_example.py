"""Examples of a look and of a book's condition, for the OpenAPI document: two bends that were pressed, a look too soon."""

from typing import Any

__all__ = ["EXAMINATION", "condition_of"]

EXAMINATION = {
    "kind": "examination",
    "on": "2026-02-21",
    "through_holder": True,
    "lights": ["normal", "raking"],
    "faces_looked_at": ["front", "spine", "back"],
    "defects": [
        {"id": "d1", "type": "spine-tick", "face": "spine", "breaks_colour": "no", "count": 3},
        {"id": "d2", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12.5"},
        {"id": "d3", "type": "staple-rust", "face": "staples", "claimed_by": "grading service"},
    ],
    "presents_as": "9.0",
    "technical": "8.5",
    "remark": "Three light ticks, none through the ink.",
}
_BEND = {"type": "bend", "face": "front", "breaks_colour": "no"}
_MACRO = "5f0e4c1b9d3a27586e4f1a0b7c9d2e3f4a5b6c7d8e9f00112233445566778899"
_LINE = {"x_mm": "20", "y_mm": "31.5", "to_x_mm": "31", "to_y_mm": "37"}
_LOOK: dict[str, Any] = {
    "entry": 3,
    "on": "2026-02-21",
    "through_holder": False,
    "lights": ["normal", "raking"],
    "faces_looked_at": ["front", "spine"],
    "presents_as": "9.0",
    "technical": "8.5",
    "staples_counted": 2,
    "staple_rust": "no",
    "rest_hours": 12,
    "rest_from_dates": False,
    "rested": False,
    "work": [2],
    "measured": [
        {
            "name": "height_mm",
            "value": "258",
            "before": "260",
            "before_entry": 1,
            "change": "less",
            "first": "260",
            "first_entry": 1,
            "change_from_first": "less",
        }
    ],
    "questions": ["height_mm"],
    "defects": [
        {
            "defect": {**_BEND, "id": "d1", "size_mm": "4", "note": "Across the lamp", "photograph": _MACRO},
            "change": "lessened",
            "in_small_steps": False,
            "first_mm": "4",
            "since": 1,
            "seen_by": 3,
        },
        {
            "defect": {**_BEND, "id": "d2", "size_mm": "12.5", "region": _LINE},
            "change": "same as before, not mentioned",
            "in_small_steps": False,
            "first_mm": "12.5",
            "since": 1,
            "seen_by": 1,
        },
    ],
    "claims": [
        {
            "defect": {"id": "d3", "type": "tear", "face": "inside", "breaks_colour": "unsure", "claimed_by": "seller"},
            "told_by": 1,
            "looked_by": None,
        }
    ],
    "marks": [{"mark": {"id": "m1", "what": "Blue fibre, 3 mm long", "face": "back"}, "since": 1, "seen_by": 1}],
}


def condition_of(book: str) -> dict[str, Any]:
    """The condition of that book."""
    return {
        "book": book,
        "counting": None,
        "due": True,
        "see_again": ["d1"],
        "rest_hours_needed": 168,
        "marks_asked": 3,
        "natural_mm": "1",
        "natural_source": "our assumption",
        "looks": [_LOOK],
    }
