"""Examples for the OpenAPI document: what to send, and what comes back; each fits its schema, and tests hold it to that."""

from typing import Any

from api.area_examples import AREA_ANSWERS, AREA_REQUESTS
from api.condition_example import EXAMINATION, condition_of

BOOK = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
ACT = "k3j8h2g4f6d5s3a7b7q2m4x6n5"
LEAF = "5f0e4c1b9d3a27586e4f1a0b7c9d2e3f4a5b6c7d8e9f00112233445566778899"
ROOT = "0a1b2c3d4e5f60718293a4b5c6d7e8f90a1b2c3d4e5f60718293a4b5c6d7e8f9"
MOMENT = "2026-03-01T09:30:00.000000Z"

ISSUE = {
    "title": "The Copper Lantern",
    "number": "14",
    "start_year": 1962,
    "publisher": "Harbour Light",
    "cover_date": "1964-03",
}
PURCHASE = {
    "on": "2026-02-14",
    "means": "bought",
    "issue": ISSUE,
    "holding": "slabbed",
    "holder_number": "77-1040",
    "stated": {"as_written": "VF/NM 9.0", "steps": ["9.0"], "matched_by": "holder number"},
    "expects_arrival": True,
    "price": {"minor": 125000, "currency": "EUR", "exponent": 2},
    "shipping": {"amount": "18,50", "currency": "EUR"},
    "seller": "A shop by the harbour",
}
ARRIVAL = {"kind": "arrival", "on": "2026-02-20", "stage": "arrived", "as_described": "yes"}
CORRECTION = {
    "kind": "correction",
    "entry": 3,
    "changes": {"on": "2026-02-22"},
    "reason": "The date was read off the wrong slip.",
}
WITHDRAWAL = {"kind": "withdrawal", "entry": 4, "reason": "Entered for the wrong book."}
ERASURE = {"kind": "erasure", "entry": 1, "names": ["seller"], "reason": "The seller asked for it."}
NOTE = {"kind": "note", "on": "2026-03-01", "words": "The north room was painted; nothing hung there for a week."}

REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "create_book": {"purchase": {"summary": "A slabbed book, on its way", "value": PURCHASE}},
    "record_book_event": {
        "arrival": {"summary": "It came", "value": ARRIVAL},
        "examination": {"summary": "It was looked at", "value": EXAMINATION},
        "correction": {"summary": "A date was wrong", "value": CORRECTION},
        "withdrawal": {"summary": "An entry was a mistake", "value": WITHDRAWAL},
        "erasure": {"summary": "A value has to go", "value": ERASURE},
    },
    "record_collection_event": {"note": {"summary": "A note on the collection", "value": NOTE}},
    "record_act": {
        "lot": {
            "summary": "Two books of one lot, and a note on a third",
            "value": {
                "events": [
                    {"new": True, "event": {**PURCHASE, "holder_number": "77-1041"}},
                    {"new": True, "event": {**PURCHASE, "holder_number": "77-1042"}},
                    {"book": BOOK, "tag": 4, "event": {"kind": "note", "words": "Came in the same parcel."}},
                ]
            },
        }
    },
    "verify": {"anchor": {"summary": "Against a checkpoint kept elsewhere", "value": {"anchor": None}}},
    "make_token": {
        "reader": {
            "summary": "A program that only reads, for a month",
            "value": {"label": "wall display", "permissions": ["read"], "days": 31},
        }
    },
    **AREA_REQUESTS,
}
"""Operation -> name -> an example of its body."""

_ENTRY: dict[str, Any] = {
    "seq": 3,
    "book": BOOK,
    "book_seq": 2,
    "act": ACT,
    "kind": "arrival",
    "v": 1,
    "on": "2026-02-20",
    "recorded": MOMENT,
    "actor": "owner",
    "summary": "Arrived, as described",
    "leaf": LEAF,
    "body": {"stage": "arrived", "as_described": "yes"},
    "sealed": {
        "differences": {"state": "open", "value": None},
        "refund": {"state": "open", "value": None},
        "remark": {"state": "erased", "value": None},
    },
    "corrected_by": [5],
    "withdrawn_by": None,
    "in_force": True,
    "now": {
        "on": "2026-02-22",
        "summary": "Arrived, as described",
        "body": {"stage": "arrived", "as_described": "yes"},
        "sealed": {
            "differences": {"state": "open", "value": None},
            "refund": {"state": "open", "value": None},
            "remark": {"state": "erased", "value": None},
        },
    },
}
_WRITTEN_ENTRY: dict[str, Any] = {
    "seq": 3,
    "book": BOOK,
    "book_seq": 2,
    "kind": "arrival",
    "on": "2026-02-20",
    "recorded": MOMENT,
    "actor": "owner",
    "summary": "Arrived, as described",
    "leaf": LEAF,
}
_WRITTEN: dict[str, Any] = {"act": ACT, "entries": [_WRITTEN_ENTRY], "warnings": []}
_LINE: dict[str, Any] = {
    "id": BOOK,
    "no": 1,
    "status": "here",
    "title": "The Copper Lantern",
    "number": "14",
    "start_year": 1962,
    "publisher": "Harbour Light",
    "cover_date": "1964-03",
    "holding": "slabbed",
    "holder_number": "77-1040",
    "grade_as_written": "VF/NM 9.0",
    "grade": "9.0",
    "heading": None,
    "spot": "wall",
    "on_bench": False,
    "cover": None,
    "state": "On the wall",
    "entries": 4,
    "since": "2026-02-14",
}
_STATED = {"as_written": "VF/NM 9.0", "steps": ["9.0"], "opinion_of": "grading service", "matched_by": "holder number"}
_TOKEN: dict[str, Any] = {
    "id": ACT,
    "label": "wall display",
    "permissions": ["read"],
    "created": MOMENT,
    "expires": "2026-04-01T09:30:00.000000Z",
    "revoked": None,
}
_CHECKPOINT: dict[str, Any] = {
    "size": 3,
    "note": "slipsheet/k3j4h2g4f6d5s3a7b7q2m4x6n5\n3\nChsu...=\nheads 1 Chsu...=\n\n\u2014 owner Chsu...=\n",
    "signed": MOMENT,
}

ANSWERS: dict[str, Any] = {
    **AREA_ANSWERS,
    "health": {"status": "ok"},
    "read_readiness": {
        "ready": True,
        "points": [{"name": "writer", "well": True, "sentence": "It can be written to."}],
    },
    "list_books": {"books": [_LINE]},
    "create_book": _WRITTEN,
    "read_book": {
        **_LINE,
        "issue": {**ISSUE, "printing": None, "variant": None},
        "grades": [
            {
                "entry": 2,
                "on": "2026-02-14",
                "stated": _STATED,
                "holder_number": "77-1040",
                "own_submission": False,
                "ended_by": None,
            }
        ],
        "ownerships": [{"taken_by": 2, "since": "2026-02-14", "left_by": None, "until": None}],
        "openings": 0,
        "defects": [],
        "marks": [],
        "last_look": None,
        "work": [],
        "heat": {
            **dict.fromkeys(("low_days", "middle_days", "high_days"), "0"),
            **dict.fromkeys(("sessions", "untold", "without_cooling"), 0),
        },
        "submissions": [],
        "choice": None,
        "placed_on": "2026-02-25",
        "missing_since": None,
        "valuations": [],
        "outlooks": [],
        "disclosures": [],
        "photographs": [],
        "earlier_work": "nothing said",
        "same_as": None,
        "last_recorded": MOMENT,
    },
    "read_condition": condition_of(BOOK),
    "list_book_events": {"entries": [_ENTRY]},
    "record_book_event": _WRITTEN,
    "list_events": {"entries": [_ENTRY]},
    "record_collection_event": {
        **_WRITTEN,
        "entries": [{**_WRITTEN_ENTRY, "book": None, "book_seq": None, "kind": "note"}],
    },
    "read_event_at": {**_ENTRY, "bytes": "eyJhY3QiOiIuLi4ifQ=="},
    "record_act": _WRITTEN,
    "read_act": {"act": ACT, "entries": [_ENTRY]},
    "read_checkpoint": _CHECKPOINT,
    "sign_checkpoint_now": _CHECKPOINT,
    "prove_inclusion": {"seq": 1, "size": 3, "leaf": LEAF, "root": ROOT, "proof": [LEAF, ROOT]},
    "prove_consistency": {"first": 1, "second": 3, "first_root": LEAF, "second_root": ROOT, "proof": [LEAF, ROOT]},
    "prove_head": {
        "format": "slipsheet-proof/1",
        "checkpoint": _CHECKPOINT["note"],
        "head": {"book": BOOK, "book_no": 1, "book_seq": 1, "leaf": LEAF, "proof": []},
        "entries": [{"bytes": "eyJhY3QiOiIuLi4ifQ==", "proof": [], "open": []}],
    },
    "verify": {
        "ok": False,
        "findings": [
            {
                "code": "checkpoint-beyond",
                "sentence": "The checkpoint kept elsewhere covers 4 entries and there are 3: the last ones are missing.",
                "evidence": "anchor",
                "seq": None,
                "book": None,
            }
        ],
        "checked": {"entries": 3, "books": 1},
        "notes": [],
    },
    "send_photograph": {
        "original": "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
        "clean": "60303ae22b998861bce3b28f33eec1be758a213c86c93c076dbe9f558c11c752",
        "width_px": 3000,
        "height_px": 4500,
        "was_here": False,
    },
    "move_books": _WRITTEN,
    "list_tokens": {"tokens": [_TOKEN]},
    "make_token": {**_TOKEN, "secret": "slip_k3j8h2g4f6d5s3a7b7q2m4x6n5k3j8h2g4f6d5s3a7b7q2m4x6n5"},
    "list_rules": {"tables": [{"name": "grades", "version": 1, "rows": 25}]},
    "read_rules": {
        "name": "grades",
        "version": 1,
        "rows": [
            {
                "id": "9.2",
                "fields": {"id": "9.2", "letters": "NM-", "words": "near mint minus"},
                "sources": ["common practice, no source"],
                "edited": None,
                "edited_by": None,
            }
        ],
    },
}
"""Operation -> an example of its answer."""
