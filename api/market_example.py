"""Examples of comparables for the OpenAPI document: as they are sent, and as they come back."""

from typing import Any

__all__ = ["MARKET_ANSWERS", "MARKET_REQUESTS"]

_SALE_ID = "c5o2m4p6a3r7a2b4l5e3s7a2l4"
_ISSUE = {"title": "The Copper Lantern", "number": "14", "start_year": 1962}
_PRICE = {"minor": 125000, "currency": "USD", "exponent": 2}
_SALE = {"on": "2025-11-08", "grade": "9.0", "price": _PRICE, "where": "an auction", "holding": "slabbed", "tone": ""}
_ANSWER: dict[str, Any] = {
    "id": _SALE_ID,
    **_ISSUE,
    "printing": None,
    "variant": None,
    **_SALE,
    "came": "by hand",
    "left_out": "",
    "made": "2026-03-01T09:30:00.000000Z",
}
_BELOW = {"minor": 96000, "currency": "USD", "exponent": 2}
_ABOVE = {"minor": 162800, "currency": "USD", "exponent": 2}

MARKET_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "keep_comparable": {"auction": {"summary": "One sale", "value": {"issue": _ISSUE, **_SALE}}},
    "keep_comparables": {
        "pasted": {
            "summary": "Two sales, as they were pasted",
            "value": {
                "issue": _ISSUE,
                "table": "date;grade;price;where\n8 Nov 2025;VF/NM;1250;an auction\n2025-12;8.0;600;a shop",
                "currency": "USD",
            },
        }
    },
    "change_comparable": {"out": {"summary": "It does not count", "value": {"left_out": "It had been restored."}}},
}
"""Operation -> name -> an example of its body."""

MARKET_ANSWERS: dict[str, Any] = {
    "list_comparables": {"comparables": [_ANSWER]},
    "read_comparable": _ANSWER,
    "keep_comparable": _ANSWER,
    "keep_comparables": {"comparables": [{**_ANSWER, "came": "pasted"}]},
    "change_comparable": {**_ANSWER, "left_out": "It had been restored."},
    "read_value": {
        "grade": "9.0",
        "on": "2026-03-01",
        "currency": "USD",
        "count": 12,
        "least": 5,
        "half_life_days": 730,
        "band_percent": 80,
        "value": {
            "mid": _PRICE,
            "low": _BELOW,
            "high": _ABOVE,
            "how": "sales of this grade",
            "grades": ["9.0"],
            "sales": [_SALE_ID],
        },
        "at_least": None,
        "at_most": None,
        "adjustments": [{"of": "holder", "like": 7, "unlike": 5, "needed": 6, "percent": None}],
        "aside": [],
    },
}
"""Operation -> an example of what comes back."""
