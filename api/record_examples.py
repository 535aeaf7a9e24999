"""Examples of records for the OpenAPI document."""

from typing import Any

__all__ = ["RECORD_ANSWERS", "RECORD_REQUESTS"]

BOOK = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
ACT = "k3j8h2g4f6d5s3a7b7q2m4x6n5"
ROOT = "0a1b2c3d4e5f60718293a4b5c6d7e8f90a1b2c3d4e5f60718293a4b5c6d7e8f9"
LEAF = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
MOMENT = "2026-03-01T09:30:00.000000Z"
_RECORD: dict[str, Any] = {"sha256": ROOT, "book": BOOK, "received": False, "entry": 9, "made": MOMENT}

RECORD_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "make_record": {
        "seller": {"summary": "With the seller shown", "value": {"opened": [{"entry": 3, "name": "seller"}]}}
    },
    "link_record": {"month": {"summary": "For a month", "value": {"days": 30}}},
}

RECORD_ANSWERS: dict[str, Any] = {
    "list_records": {
        "records": [_RECORD],
        "fields": [
            {
                "entry": 3,
                "kind": "Purchase",
                "name": "seller",
                "title": "Seller",
                "usual": False,
                "corrected_by": None,
                "withdrawn_by": None,
            }
        ],
    },
    "make_record": _RECORD,
    "link_record": {
        "id": ACT,
        "path": "/handed/AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8",
        "expires": MOMENT,
    },
    "check_record": {
        "sha256": ROOT,
        "verdict": "whole, signer not known",
        "title": "The Copper Lantern 14",
        "findings": [],
        "notes": [],
        "earlier": [
            {
                "sha256": LEAF,
                "inside": ROOT,
                "verdict": "broken",
                "title": "The Copper Lantern 14",
                "findings": [
                    "The words of this record are not those that the ledger has the digest of: they were changed."
                ],
            }
        ],
    },
    "receive_record": {
        "act": ACT,
        "entries": [
            {
                "seq": 3,
                "book": BOOK,
                "book_seq": 2,
                "kind": "earlier",
                "on": "2026-02-20",
                "recorded": MOMENT,
                "actor": "owner",
                "summary": "Earlier record 0a1b2c3d: whole, signer not known",
                "leaf": ROOT,
            }
        ],
        "warnings": [],
    },
}
