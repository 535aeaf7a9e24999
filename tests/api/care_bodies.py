"""Bodies that the ledger takes for care and rotation, and plans that they lead to."""

from typing import Any

from api.examples import REQUESTS
from tests.api.door import Door

__all__ = ["CARE_BODIES", "plans_of_rotation"]

CARE_BODIES: dict[str, Any] = {
    "POST /care/counts": {**REQUESTS["count_books"]["shelf"]["value"]},
    "PUT /books/{book}/planned": {"planned": []},
    "POST /rotations": {**REQUESTS["propose_rotation"]["two"]["value"]},
    "PUT /rotations/{rotation}/rows": {},
    "POST /rotations/{rotation}/what-if": {"dim_to_percent": 50},
    "POST /rotations/{rotation}/swaps": {**REQUESTS["do_a_swap"]["done"]["value"]},
}


def plans_of_rotation(door: Door, bodies: dict[str, Any]) -> dict[str, str]:
    """One to read and change, one that counts, which may be accepted again, and one to be taken away."""
    books = [door.a_book() for _ in range(2)]
    bodies["POST /care/counts"]["books"] = books
    asked = bodies["POST /rotations"]
    asked["books"] = [{**row, "book": book} for row, book in zip(asked["books"], books, strict=True)]
    plans = [door.post("/rotations", asked).json() for _ in range(3)]
    bodies["PUT /rotations/{rotation}/rows"] = {"rows": [each["books"] for each in plans[0]["swaps"]]}
    counts = plans[1]["id"]
    assert door.client.post(f"/rotations/{counts}/acceptance").status_code == 200
    ways = ("rotation", "POST /rotations/{rotation}/swaps", "DELETE /rotations/{rotation}")
    accept = {"POST /rotations/{rotation}/acceptance": counts}
    return dict(zip(ways, (each["id"] for each in plans), strict=True)) | accept
