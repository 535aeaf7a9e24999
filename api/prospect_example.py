"""Examples of prospects, lots and batches for the OpenAPI document, as they are sent and as they come back."""

from typing import Any

__all__ = ["PROSPECT_ANSWERS", "PROSPECT_REQUESTS"]

_BOOK = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_ACT = "k3j8h2g4f6d5s3a7b7q2m4x6n5"
_LEAF = "5f0e4c1b9d3a27586e4f1a0b7c9d2e3f4a5b6c7d8e9f00112233445566778899"
_MADE = "2026-03-01T09:30:00.000000Z"
_ISSUE = {"title": "The Copper Lantern", "number": "14", "start_year": 1962}
_WEIGHTS = [{"grade": "7.5", "per_mille": 600}, {"grade": "8.0", "per_mille": 400}]
_MONEY = {"minor": 12000, "currency": "EUR", "exponent": 2}
_SAID: dict[str, Any] = {
    "issue": _ISSUE,
    "asking": _MONEY,
    "holding": "raw",
    "stated": {"as_written": "VF", "steps": ["8.0"], "opinion_of": "seller"},
    "seller": "A shop by the harbour",
    "listing": "Bright copy, bent corner.",
    "defects": [{"id": "d1", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12"}],
    "note": "Ask for the back.",
}
_FULL_ISSUE = {**_ISSUE, "publisher": None, "cover_date": None, "printing": None, "variant": None}
_PROSPECT: dict[str, Any] = {
    **_SAID,
    "id": "p7r2o4s6p5e3c8t2g4f6d5s3a7",
    "issue": _FULL_ISSUE,
    "stated": {**_SAID["stated"], "matched_by": "not matched"},
    "venue": "",
    "pictures": [],
    "weights": _WEIGHTS,
    "weighed": _MADE,
    "verdict": "open",
    "decided": None,
    "why": "",
    "book": None,
    "made": _MADE,
}
_SEND = {
    "batch": "spring-2026",
    "on": "2026-03-01",
    "asks": "grade",
    "service": "Third Bench",
    "fee": _MONEY,
    "books": [{"book": _BOOK}],
}
_RESULTS = {
    "on": "2026-05-01",
    "came_back": "2026-05-06",
    "results": [{"book": _BOOK, "as_written": "8.0", "step": "8.0", "holder_number": "77-1041"}],
}
_IN_BATCH: dict[str, Any] = {
    "book": _BOOK,
    "title": "The Copper Lantern",
    "number": "14",
    "sent": 12,
    "stage": "shipped back",
    "under_way": False,
    "outcome": "grade given",
    "outcome_entry": 20,
    "grade": "8.0",
    "forecast_entry": 11,
    "forecast_middle": "7.5",
    "surprise_steps": 1,
}
_BATCH: dict[str, Any] = {
    "batch": "spring-2026",
    "is_open": False,
    "stage": None,
    "sent_on": "2026-03-01",
    "service": "Third Bench",
    "asks": "grade",
    "books": [_IN_BATCH],
}


def _written(kind: str, summary: str) -> dict[str, Any]:
    entry: dict[str, Any] = {"seq": 12, "book": _BOOK, "book_seq": 4, "kind": kind, "leaf": _LEAF, "recorded": _MADE}
    entry |= {"on": "2026-03-01", "actor": "owner"}
    return {"act": _ACT, "entries": [{**entry, "summary": summary}], "warnings": []}


_LOT = {
    "on": "2026-03-02",
    "price": {"minor": 30000, "currency": "EUR", "exponent": 2},
    "shipping": {"amount": "18,50", "currency": "EUR"},
    "seller": "A shop by the harbour",
    "books": [
        {"issue": _ISSUE, "holding": "raw", "stated": _SAID["stated"], "share": 3},
        {"issue": {**_ISSUE, "number": "15"}, "share": 1},
        {"issue": {**_ISSUE, "number": "16"}, "share": 1},
    ],
}

PROSPECT_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "keep_prospect": {"listing": {"summary": "What a listing says", "value": _SAID}},
    "change_prospect": {"dearer": {"summary": "It is offered again", "value": {**_SAID, "note": "Dearer now."}}},
    "weigh_prospect": {"two": {"summary": "Two steps", "value": {"weights": _WEIGHTS}}},
    "judge_prospect": {"dear": {"summary": "Too dear", "value": {"verdict": "passed up", "why": "Too dear."}}},
    "buy_prospect": {
        "bought": {"summary": "It was bought", "value": {"on": "2026-03-02", "issue": _ISSUE, "price": _MONEY}}
    },
    "buy_together": {"three": {"summary": "Three books by stated shares", "value": _LOT}},
    "send_batch": {"one": {"summary": "One book goes out", "value": _SEND}},
    "tell_batch": {"there": {"summary": "It is there", "value": {"stage": "received there", "on": "2026-03-09"}}},
    "write_results": {"graded": {"summary": "It was graded", "value": _RESULTS}},
}
"""Operation -> name -> an example of its body."""

PROSPECT_ANSWERS: dict[str, Any] = {
    "list_prospects": {"prospects": [_PROSPECT]},
    "read_prospect": _PROSPECT,
    "keep_prospect": {**_PROSPECT, "weights": [], "weighed": None},
    "change_prospect": {**_PROSPECT, "note": "Dearer now."},
    "weigh_prospect": _PROSPECT,
    "judge_prospect": {**_PROSPECT, "verdict": "passed up", "decided": _MADE, "why": "Too dear."},
    "buy_prospect": _written("purchase", "Bought: The Copper Lantern 14"),
    "buy_together": _written("purchase", "Bought: The Copper Lantern 14, raw, stated grade VF"),
    "list_batches": {"batches": [_BATCH]},
    "read_batch": _BATCH,
    "send_batch": _written("submission", "Sent for a grade, batch spring-2026"),
    "tell_batch": _written("submission", "Submission received there, batch spring-2026"),
    "write_results": _written("slab", "Graded 8.0, batch spring-2026"),
}
"""Operation -> an example of its answer."""
