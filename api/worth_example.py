"""An example of a book's choices: two steps, worked out by hand from what came with the question."""

from typing import Any, Final

__all__ = ["WORTH_ANSWERS"]

_BOOK: Final = "b7q2m4x6n5k3j8h2g4f6d5s3a7"


def _usd(minor: int) -> dict[str, Any]:
    return {"minor": minor, "currency": "USD", "exponent": 2}


WORTH_ANSWERS: dict[str, Any] = {
    "read_worth": {
        "book": _BOOK,
        "currency": "USD",
        "reason": "The cover I had as a child.",
        "origin": "own",
        "outlook": 2,
        "weights": [{"grade": "7.5", "per_mille": 500}, {"grade": "8.0", "per_mille": 500}],
        "given_up": {"grade": None, "value": _usd(12000), "typed": True},
        "graded": [
            {"grade": "7.5", "value": _usd(20000), "typed": True},
            {"grade": "8.0", "value": _usd(40000), "typed": True},
        ],
        "raw": [],
        "choices": [
            {
                "choice": "work-then-grade",
                "title": "Work, then grade",
                "unvalued": [],
                "cost": _usd(4000),
                "net": _usd(9398),
                "low": _usd(1000),
                "high": _usd(18000),
                "loss": 0.005,
                "break_even": {"needed": "7.5", "chance": 0.0, "held": 1.0},
                "days": 90,
                "heat": {"low": 0.03, "middle": 4.4, "high": 16.0},
            }
        ],
        "at_least": "8.0",
        "eased": [{"number": 1, "id": "d1", "value": _usd(140), "chance": 0.03, "unvalued": []}],
    },
}
