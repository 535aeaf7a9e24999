"""Examples of light for the OpenAPI document: a cover of 1962 that hung for ten days at 200 lx h a day."""

from typing import Any, Final

__all__ = ["LIGHT_ANSWERS", "LIGHT_REQUESTS"]

_BOOK: Final = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_HIGH: Final[dict[str, Any]] = {
    "light_class": "high",
    "steps": [1, 2, 3],
    "most_lux": 50,
    "most_lux_hours_a_year": 15000,
}


def _all(value: float) -> dict[str, float]:
    return {"low": value, "middle": value, "high": value}


_FADED: Final[dict[str, Any]] = {
    "known": {"low": 0.000333, "middle": 0.003333, "high": 0.018182},
    "with_uv": {"low": 0.000667, "middle": 0.003333, "high": 0.018182},
    "without_uv": {"low": 0.000333, "middle": 0.002, "high": 0.013333},
}


def _others(against: str) -> list[dict[str, Any]]:
    """Limits of other things, all with the same verdict."""
    titles = (
        "What a museum's light tool takes as special, as a starting point only",
        "Very light-sensitive photographs: this in one year, then three years of rest",
    )
    return [{"title": each, "lux_hours_a_year": 50_000, "against": against} for each in titles]


_HERE: Final[dict[str, Any]] = {
    "known": "measured",
    "filtered": "unsure",
    "away_cm": 0,
    "lux": 50.0,
    "uv_milliwatts": None,
    "lux_hours_a_day": _all(200.0),
    "lux_hours_a_year": _all(73000.0),
    "years": {"low": 1.479452, "middle": 8.191781, "high": 82.164384},
    "days_a_year": _all(75.0),
    "copies": 5,
    "against": "over",
    "brighter": False,
    "others": _others("over"),
}
_THEN: Final[dict[str, Any]] = {
    **_HERE,
    "lux": 25.0,
    "lux_hours_a_day": _all(100.0),
    "lux_hours_a_year": _all(36500.0),
    "years": {"low": 2.958904, "middle": 16.383562, "high": 164.328767},
    "days_a_year": _all(150.0),
    "copies": 3,
    "others": _others("within"),
}
LIGHT: Final[dict[str, Any]] = {
    "book": _BOOK,
    "until": "2024-01-11",
    "since": "2024-01-01",
    "since_open": False,
    "earlier": "not known",
    "lux_hours": _all(2000.0),
    "days": 10,
    "unknown_days": 0,
    "standing": {
        "book": _HIGH,
        "chosen": False,
        "why": "",
        "default": _HIGH,
        "dated": True,
        "signature": _HIGH,
        "signature_chosen": False,
    },
    "faded": _FADED,
    "signature": _FADED,
    "here": _HERE,
    "series": [{"by": "2024-01-01", "lux_hours": _all(0.0)}, {"by": "2024-01-11", "lux_hours": _all(2000.0)}],
}

LIGHT_REQUESTS: Final[dict[str, dict[str, dict[str, Any]]]] = {
    "set_light": {
        "chosen": {
            "summary": "A reprint on coated stock",
            "value": {"light_class": "medium", "why": "Coated stock", "signature_class": "high"},
        }
    },
    "try_light": {"dimmed": {"summary": "Half of the light", "value": {"dim_to_percent": 50}}},
}
LIGHT_ANSWERS: Final[dict[str, Any]] = {
    "list_light": {"books": [LIGHT]},
    "read_light": LIGHT,
    "set_light": LIGHT,
    "try_light": {"now": _HERE, "then": _THEN},
}
