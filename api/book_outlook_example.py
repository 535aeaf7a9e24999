"""An example of a book's outlook: one crease of ten millimetres that breaks colour, worked out by hand from the tables."""

from typing import Any, Final

_BOOK: Final = "b7q2m4x6n5k3j8h2g4f6d5s3a7"


def _weights(said: str) -> list[dict[str, Any]]:
    pairs = (each.split() for each in said.split(", "))
    return [{"grade": grade, "per_mille": int(weight)} for grade, weight in pairs]


def _read(said: str, likeliest: str, between: tuple[str, str], **at_least: float) -> dict[str, Any]:
    named = {name.removeprefix("g").replace("_", "."): chance for name, chance in at_least.items()}
    low, high = between
    return {"weights": _weights(said), "likeliest": likeliest, "low": low, "high": high, "at_least": named}


BOOK_OUTLOOK_ANSWERS: dict[str, Any] = {
    "read_book_outlook": {
        "book": _BOOK,
        "look": 2,
        "rested": True,
        "work_over": False,
        "presents_as": None,
        "faults": [
            {
                "number": 1,
                "id": "d1",
                "type": "crease",
                "face": "front",
                "size_mm": "10",
                "count": None,
                "share_percent": None,
                "holds": True,
                "unread": None,
                "gone": 0.0,
                "lessened": 0.45,
                "same": 0.55,
                "results": 0,
            }
        ],
        "computed": {
            "ceiling": "8.0",
            "ceilings_after": _read("8.0 550, 9.0 450", "8.0", ("8.0", "9.0"), g8_0=1.0, g8_5=0.45, g9_0=0.45),
            "grades_now": _read(
                "6.5 30, 7.0 100, 7.5 270, 8.0 450, 8.5 120, 9.0 30", "8.0", ("7.0", "8.5"), g7_5=0.87, g8_0=0.6
            ),
            "grades_after": _read(
                "6.5 17, 7.0 55, 7.5 162, 8.0 293, 8.5 187, 9.0 219, 9.2 54, 9.4 13",
                "8.0",
                ("7.5", "9.0"),
                g8_0=0.7665,
                g9_0=0.2865,
            ),
        },
        "kernel": {"service": None, "results": 0, "strength": 8},
        "rulings": [],
        "precedents": [],
    },
    "read_prospect_outlook": {
        "prospect": "p7r2o4s6p5e3c8t2g4f6d5s3a7",
        "defects": 0,
        "computed": None,
        "currency": "EUR",
        "expected": {"minor": 12000, "currency": "EUR", "exponent": 2},
        "at_least": False,
    },
    "read_outlook_said": {"weights": _weights("7.0 400, 7.5 600"), "how": ""},
}
"""Operation -> an example of its answer."""
