"""A body for every operation that takes one, which the ledger takes too."""

from typing import Any

from api.examples import REQUESTS
from tests.api.care_bodies import CARE_BODIES
from tests.pictures import a_picture

__all__ = ["GOOD_BODIES", "RAW_BODIES", "body_for"]

GOOD_BODIES: dict[str, Any] = {
    "POST /books": REQUESTS["create_book"]["purchase"]["value"],
    "POST /books/{book}/events": {"kind": "note", "words": "a"},
    "POST /events": REQUESTS["record_collection_event"]["note"]["value"],
    "POST /acts": {"events": [{"new": True, "event": REQUESTS["create_book"]["purchase"]["value"]}]},
    "POST /verify": REQUESTS["verify"]["anchor"]["value"],
    "POST /tokens": REQUESTS["make_token"]["reader"]["value"],
    "POST /photographs": a_picture(),
    "POST /bench/loads": {**REQUESTS["put_in"]["press"]["value"], "books": []},
    "POST /bench/recipes": REQUESTS["keep_recipe"]["two"]["value"],
    "POST /checkpoint/stamps": {},
    "POST /barcodes/picture": a_picture(),
    "PUT /barcodes/{code}": REQUESTS["keep_barcode"]["book"]["value"],
    "POST /places/move": REQUESTS["move_books"]["away"]["value"],
    "POST /books/{book}/records": {},
    "POST /records/{sha256}/links": {"days": 30},
    "POST /records/check": b"",
    "POST /books/{book}/records/received": b"",
    "POST /climate": b"Time,A \xc2\xb0C,A %RH,B \xc2\xb0C,B %RH\n2026-01-01 00:00,20,50,18,60\n",
    "POST /climate/{sha256}": {"channels": [{"channel": 2, "room": "hall"}]},
    "POST /runs": REQUESTS["state_run"]["said"]["value"],
    "POST /wants": REQUESTS["keep_want"]["copy"]["value"],
    "PUT /wants/{want}": REQUESTS["change_want"]["dearer"]["value"],
    "POST /rates": REQUESTS["keep_rates"]["two"]["value"],
    "POST /bench/tools": REQUESTS["add_tool"]["press"]["value"],
    "PUT /bench/tools/{tool}": {**REQUESTS["change_tool"]["retired"]["value"]},
    "POST /comparables": REQUESTS["keep_comparable"]["auction"]["value"],
    "POST /comparables/table": {**REQUESTS["keep_comparables"]["pasted"]["value"], "keep_doubles": True},
    "POST /imports": b"Title;No;Quality\nAmber Anchor;14;VF/NM\nCopper Comet;2;NM-\n",
    "PUT /imports/{sheet}/columns": REQUESTS["choose_import_columns"]["three"]["value"],
    "PUT /imports/{sheet}/problems/file": b"Row in the file,Stated grade\n2,9.2\n",
    "PATCH /imports/{sheet}/rows": REQUESTS["mend_import_rows"]["one"]["value"],
    "PATCH /imports/{sheet}/doubles": REQUESTS["decide_import_doubles"]["rest"]["value"],
    "PATCH /comparables/{sale}": REQUESTS["change_comparable"]["out"]["value"],
    "PUT /books/{book}/light": REQUESTS["set_light"]["chosen"]["value"],
    "POST /books/{book}/light/what-if": {"lux": "50", "hours_per_day": "8"},
    "PUT /bench/recipes/{recipe}": REQUESTS["adjust_recipe"]["renamed"]["value"],
    "POST /prospects": REQUESTS["keep_prospect"]["listing"]["value"],
    "PUT /prospects/{prospect}": REQUESTS["change_prospect"]["dearer"]["value"],
    "PUT /prospects/{prospect}/outlook": REQUESTS["weigh_prospect"]["two"]["value"],
    "PUT /prospects/{prospect}/verdict": REQUESTS["judge_prospect"]["dear"]["value"],
    "POST /prospects/{prospect}/purchase": REQUESTS["buy_prospect"]["bought"]["value"],
    **CARE_BODIES,
    "POST /exports": {},
    "POST /catalogues": {},
    "POST /lots": REQUESTS["buy_together"]["three"]["value"],
    "POST /submissions": {**REQUESTS["send_batch"]["one"]["value"]},
    "POST /submissions/{batch}/news": {"stage": "received there"},
    "POST /submissions/{batch}/results": {**REQUESTS["write_results"]["graded"]["value"]},
}
"""By method and path; tests put the ids of their own books into some of them."""
RAW_BODIES = {
    *("POST /photographs", "POST /barcodes/picture", "POST /climate", "POST /imports"),
    "PUT /imports/{sheet}/problems/file",
    *("POST /records/check", "POST /books/{book}/records/received"),
}


def body_for(operation: str) -> dict[str, Any]:
    """The body of a good request and what it is said to be; nothing where none is taken."""
    if operation not in GOOD_BODIES:
        return {}
    kind = "application/octet-stream" if operation in RAW_BODIES else "application/json"
    return {"body": GOOD_BODIES[operation], "media_type": kind}
