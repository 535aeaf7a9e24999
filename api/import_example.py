"""Examples of tables that are brought in, for the OpenAPI document."""

from typing import Any

__all__ = ["IMPORT_ANSWERS", "IMPORT_REQUESTS", "TO_FIX"]

_TABLE: dict[str, Any] = {
    "id": "t5a2b4l6e3i5n2b4r6i3n5g2i4",
    "name": "boxes.csv",
    "source": "boxes",
    "sha256": "0a1b2c3d4e5f60718293a4b5c6d7e8f90a1b2c3d4e5f60718293a4b5c6d7e8f9",
    "kind": "text",
    "encoding": "utf-8",
    "mark": "semicolon",
    "sheet": "",
    "sheets": [],
    "rows": 5,
    "columns": [
        {"head": "Title", "field": "title", "by": "name"},
        {"head": "No", "field": "number", "by": "name"},
        {"head": "Quality", "field": "grade", "by": "content"},
    ],
    "head_at": 1,
    "order": None,
    "marks": None,
    "currency": "USD",
    "several": None,
    "here": None,
    "untitled": None,
    "below": None,
    "below_at": 0,
    "found": None,
    "hindrance": "Its rows were not tried since its columns were chosen. Try them first.",
    "running": None,
    "done": None,
}
_FOUND = {
    "rows": 4,
    "good": 3,
    "more": 0,
    "aside": 0,
    "already": 0,
    "wrong": 1,
    "doubles": [],
    "asks": {},
    "kept": None,
}
_TRIED = {**_TABLE, "found": _FOUND, "hindrance": "One row has a problem. Mend each, or leave it out."}
_MENDED = {**_TABLE, "found": {**_FOUND, "good": 4, "wrong": 0}, "hindrance": None}
_DONE = {"books": 4, "entries": 4, "already": 0, "left_out": 0, "at": "2026-03-01T09:30:00.000000Z"}

IMPORT_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "choose_import_columns": {
        "three": {
            "summary": "Three columns, amounts in dollars",
            "value": {"columns": ["title", "number", "grade"], "source": "boxes", "currency": "USD"},
        }
    },
    "mend_import_rows": {
        "one": {"summary": "One row mended", "value": {"rows": [{"row": 3, "fields": {"grade": "9.0"}}]}}
    },
    "decide_import_doubles": {"rest": {"summary": "All are left out", "value": {"rest": "left"}}},
}
"""Operation -> name -> an example of its body."""

IMPORT_ANSWERS: dict[str, Any] = {
    "list_imports": {"imports": [_TABLE]},
    "send_import": _TABLE,
    "read_import": _TABLE,
    "choose_import_columns": _TABLE,
    "try_import": _TRIED,
    "list_import_problems": {
        "rows": [
            {
                "row": 3,
                "said": {"title": "Copper Comet", "number": "2", "grade": "lovely"},
                "read": {"title": "Copper Comet", "number": "2"},
                "problems": [
                    {
                        "field": "grade",
                        "detail": "'lovely' is no grade of the ten-point scale. Write it like 9.2 or NM-, or leave it empty.",
                    }
                ],
            }
        ]
    },
    "mend_import_rows": _MENDED,
    "send_import_mended": _MENDED,
    "decide_import_doubles": _MENDED,
    "bring_in_import": {**_TABLE, "hindrance": None, "done": _DONE},
}
"""Operation -> an example of its answer."""

TO_FIX: dict[str, Any] = {
    "text/csv": {
        "schema": {"type": "string"},
        "example": "Row in the file,What is wrong,Series title,Number,Stated grade\r\n"
        "3,Stated grade: 'lovely' is no grade of the ten-point scale.,Copper Comet,2,lovely\r\n",
    }
}
"""Rows with problems as a file."""
