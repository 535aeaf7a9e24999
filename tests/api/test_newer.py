"""An entry that a newer program wrote is answered as it is written, as far as it can be."""

import sqlite3
from pathlib import Path

import pytest

from ledger.actor import Permission
from tests.api.door import door_to
from tests.usecases.tampering import SIZE, a_bench, rewrite

SEASON = "2024-21"
"""Spring 2024, which this program reads as no date. Source: Library of Congress, EDTF Specification, Level 1, Seasons."""


@pytest.mark.parametrize("on", [SEASON, "2024-05", None])
def test_its_date_is_told_as_it_is_written_whether_it_can_be_read_or_not(tmp_path: Path, on: str | None) -> None:
    def change(db: sqlite3.Connection) -> None:
        rewrite(db, SIZE, kind="scent", v=3, on=on, body={"note": "mould"}, sealed={})
        db.execute("UPDATE entry SET kind = 'scent' WHERE seq = ?", (SIZE,))
        db.execute("DELETE FROM sealed_value WHERE seq = ?", (SIZE,))

    bench = a_bench(tmp_path / "bench")
    bench.behind_its_back(change)
    with bench.opened() as ledger:
        door = door_to(ledger, {Permission.READ})
        one = door.get(f"/events/{SIZE}").json()
        listed = [
            *door.get("/events").json()["entries"],
            *door.get(f"/books/{bench.first}/events").json()["entries"],
        ]
        found = [each for each in listed if each["seq"] == SIZE]
    assert [(each["kind"], each["v"], each["on"]) for each in (one, *found)] == [("scent", 3, on)] * 3
    assert one["summary"] == "Not understood: scent, version 3; a newer program wrote it"
    assert one["body"] == {"note": "mould"}
