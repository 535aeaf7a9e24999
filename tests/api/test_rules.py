"""The rule tables: whole, with their sources, and what the owner ruled beside what was shipped."""

from ledger.rules.grades import grades
from tests.api.door import Door, problem


def test_every_table_is_listed_and_can_be_read(door: Door) -> None:
    listed = door.get("/rules").json()["tables"]
    assert {"grades", "currencies", "techniques", "defects"} <= {each["name"] for each in listed}
    for table in listed:
        told = door.get(f"/rules/{table['name']}").json()
        assert (told["version"], len(told["rows"])) == (table["version"], table["rows"])
        assert all(row["sources"] for row in told["rows"])


def test_the_scale_has_its_25_steps(door: Door) -> None:
    # Common practice, no source: 25 steps, the best first in the table.
    rows = door.get("/rules/grades").json()["rows"]
    assert [row["id"] for row in rows] == [grade.text for grade in reversed(grades())]
    assert len(rows) == 25


def test_a_ruling_stands_beside_the_row_it_is_on(door: Door) -> None:
    table = door.get("/rules/techniques").json()
    shipped = next(row for row in table["rows"] if row["id"] == "cold-press")
    values = [{"field": "title", "value": "Cold press, as we do it"}]
    ruling = {
        "kind": "ruling",
        "table": "techniques",
        "row": "cold-press",
        "version": table["version"],
        "values": values,
    }
    made = door.post("/events", {**ruling, "why": "Our own words."})
    assert made.status_code == 201, made.text
    row = next(row for row in door.get("/rules/techniques").json()["rows"] if row["id"] == "cold-press")
    assert row["fields"] == shipped["fields"]
    assert row["edited"] == {**shipped["fields"], "title": "Cold press, as we do it"}
    assert row["edited_by"] == made.json()["entries"][0]["seq"]
    door.post("/events", {"kind": "withdrawal", "entry": row["edited_by"]})
    rows = door.get("/rules/techniques").json()["rows"]
    assert next(row for row in rows if row["id"] == "cold-press")["edited"] is None


def test_a_name_that_leads_out_of_the_tables_leads_nowhere(door: Door) -> None:
    for name in ("..%2F..%2Fbook", "%2e%2e", "grades.json", "Grades", "_tables"):
        problem(door.get(f"/rules/{name}"), 404)
