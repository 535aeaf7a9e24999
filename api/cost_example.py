"""Examples of costs, rates and insurance for the OpenAPI document."""

from typing import Any

__all__ = ["COST_ANSWERS", "COST_REQUESTS"]

_BOOK = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_MADE = "2026-03-01T09:30:00.000000Z"


def _eur(minor: int) -> dict[str, Any]:
    return {"minor": minor, "currency": "EUR", "exponent": 2}


_USD: dict[str, Any] = {"minor": 136000, "currency": "USD", "exponent": 2}
_RATE = {"of": "USD", "into": "EUR", "on": "2026-02-14", "rate": "0.9213", "source": "Statement of the bank"}
_MONTH = {"of": "GBP", "into": "EUR", "on": "2026-02", "rate": "1.17", "source": "Mean of the month, own working"}
_KEPT = {"id": "USD-EUR-2026-02-14", **_RATE, "made": _MADE}
_LINE: dict[str, Any] = {
    "entry": 2,
    "on": "2026-02-14",
    "part": "price",
    "side": "basis",
    "amount": _USD,
    "taken_off": False,
    "expected": False,
    "counted": _eur(125297),
    "rate": "USD-EUR-2026-02-14",
}
_VALUE: dict[str, Any] = {
    "entry": 7,
    "on": "2026-03-01",
    "amount": _eur(150000),
    "method": "own judgement",
    "valid_until": "2027-03",
}
_PERIOD: dict[str, Any] = {
    "since": "2026-02-14",
    "until": None,
    "left": None,
    "lines": [_LINE],
    "gaps": [],
    "basis": _eur(125297),
    "basis_whole": True,
    "proceeds": _eur(0),
    "market": _VALUE,
    "insurance": None,
    "gain": _eur(24703),
    "no_gain": None,
    "yearly_return": None,
    "no_return": "too few days",
    "missing_rates": [],
}
_TOTALS: dict[str, Any] = {
    "currency": "EUR",
    "years": [{"year": 2026, "purchases": _eur(125297), "fees": _eur(0), "sales": _eur(0), "gain": _eur(0)}],
    "basis_held": _eur(125297),
    "market_value": _eur(150000),
    "insurance_value": _eur(0),
    "realised": _eur(0),
    "unrealised": _eur(24703),
    "not_counted": [{"what": "insurance value", "why": "not entered", "number": 1}],
    "missing_rates": [{"rate": {"of": "GBP", "into": "EUR", "on": "2026-01-05"}, "number": 2}],
}
_YEAR: dict[str, Any] = {
    "year": 2026,
    "currency": "EUR",
    "lines": [
        {
            "book": _BOOK,
            "entry": 2,
            "on": "2026-02-14",
            "part": "price",
            "amount": _USD,
            "counted": _eur(125297),
            "rate": "USD-EUR-2026-02-14",
        }
    ],
    "sold": [{"book": _BOOK, "proceeds": _eur(180000), "basis": _eur(125297), "gain": _eur(54703)}],
}
_SCHEDULE: dict[str, Any] = {
    "on": "2026-03-02",
    "currency": "EUR",
    "total": _eur(150000),
    "not_counted": 0,
    "books": [
        {
            "book": _BOOK,
            "number": 1,
            "title": "The Copper Lantern",
            "issue_number": "14",
            "start_year": 1962,
            "grade": "VF/NM 9.0",
            "holder_number": "77-1040",
            "value": _VALUE,
            "market": {**_VALUE, "entry": 9, "amount": _eur(170000), "valid_until": None},
            "basis": _eur(125297),
            "basis_whole": True,
            "photographs": [],
            "out_for": None,
            "to_look_at": ["market value is higher"],
            "missing": _eur(20000),
        }
    ],
}

COST_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "keep_rates": {"two": {"summary": "Of a day and of a month", "value": {"rates": [_RATE, _MONTH]}}}
}
COST_ANSWERS: dict[str, Any] = {
    "read_book_costs": {"book": _BOOK, "currency": "EUR", "periods": [_PERIOD]},
    "read_costs": _TOTALS,
    "read_cost_year": _YEAR,
    "list_rates": {"rates": [_KEPT]},
    "keep_rates": {"rates": [_KEPT]},
    "read_schedule": _SCHEDULE,
}
