"""Examples of runs and wants for the OpenAPI document, as they are sent and as they come back."""

from typing import Any, Final

__all__ = ["RUN_ANSWERS", "RUN_REQUESTS"]

_SAID: Final[dict[str, Any]] = {
    "title": "The Copper Lantern",
    "start_year": 1962,
    "first": 1,
    "last": 16,
    "never": "13",
    "also": "1/2, Annual 1",
}
_WANTED: Final[dict[str, Any]] = {
    "title": "The Copper Lantern",
    "number": "2",
    "start_year": 1962,
    "least": "6.0",
    "most": {"minor": 4000, "currency": "EUR", "exponent": 2},
    "note": "With its poster.",
}
_RUN: Final[dict[str, Any]] = {
    **_SAID,
    "run": "the-copper-lantern-1962-1c52b1a6",
    "said": True,
    "owned": [
        {
            "number": "14",
            "copies": [{"book": "b7q2m4x6n5k3j8h2g4f6d5s3a7", "grade": "VF/NM 9.0"}],
            "exists": True,
        }
    ],
    "missing": ["1/2", *(str(each) for each in range(1, 17) if each not in (13, 14)), "Annual 1"],
    "double": [],
}
_WANT: Final[dict[str, Any]] = {**_WANTED, "id": "k3j8h2g4f6d5s3a7b7q2m4x6n5", "best": None, "met": False}
RUN_ANSWERS: Final[dict[str, Any]] = {
    "list_runs": {"runs": [_RUN]},
    "state_run": _RUN,
    "read_run": _RUN,
    "list_wants": {"wants": [_WANT]},
    "keep_want": _WANT,
    "change_want": _WANT,
}
RUN_REQUESTS: Final[dict[str, Any]] = {
    "state_run": {"said": {"summary": "Sixteen numbers, one never printed, two besides", "value": _SAID}},
    "keep_want": {"copy": {"summary": "A number, from 6.0 on, up to 40 euros", "value": _WANTED}},
    "change_want": {"dearer": {"summary": "The same for less", "value": {**_WANTED, "least": None}}},
}
