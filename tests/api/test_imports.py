"""A spreadsheet comes in over the service: sent, tried, mended, brought in; a second time adds nothing."""

import csv
import io
from typing import Any

from ledger.actor import Permission
from tests.api.door import Door, fields, problem
from tests.hostile.tables import HOSTILE
from tests.usecases.brought_in import TABLE


def sent(door: Door, data: bytes = TABLE, query: str = "?name=boxes.csv") -> dict[str, Any]:
    made = door.post(f"/imports{query}", data, Content_Type="text/csv", Idempotency_Key="")
    assert made.status_code == 201, made.text
    told: dict[str, Any] = made.json()
    assert made.headers["Location"].endswith(f"/imports/{told['id']}")
    return told


def columns(door: Door, told: dict[str, Any], **changes: Any) -> Any:
    own = [each["field"] for each in told["columns"]]
    body = {"columns": own, "source": told["source"], "currency": "USD", **changes}
    return door.client.put(f"/imports/{told['id']}/columns", json=body)


def test_a_spreadsheet_is_sent_tried_mended_and_brought_in(real_door: Door) -> None:
    door = real_door
    told = sent(door)
    own = f"/imports/{told['id']}"
    assert [each["field"] for each in told["columns"]] == ["title", "number", "grade", "price", "on"]
    assert columns(door, told).status_code == 200
    tried = door.client.post(f"{own}/trial").json()
    assert (tried["found"]["good"], tried["found"]["wrong"]) == (2, 2)
    assert tried["hindrance"] == "2 rows have a problem. Mend each, or leave it out."
    rows = door.get(f"{own}/problems").json()["rows"]
    assert [(row["row"], row["problems"][0]["field"]) for row in rows] == [(3, "grade"), (5, "price")]
    assert door.get(f"{own}/problems?after=3").json()["rows"] == rows[1:]
    problem(door.client.post(f"{own}/books"), 409)
    before = door.size

    mends = {"rows": [{"row": 3, "fields": {"grade": "9.0"}}, {"row": 5, "left_out": True}]}
    assert door.client.patch(f"{own}/rows", json=mends).json()["hindrance"] is None
    done = door.client.post(f"{own}/books").json()

    assert (done["done"]["books"], done["done"]["left_out"]) == (3, 1)
    assert door.size == before + 3
    assert door.get("/books?q=copper").json()["books"][0]["title"] == "Copper Comet"


def test_rows_below_another_table_are_asked_about_and_then_passed_over(real_door: Door) -> None:
    door = real_door
    told = sent(
        door, b"Title,No,Price\nAmber Anchor,1,5 USD\nTitle,No,Sold for\nAmber Anchor,2,9 USD\n", "?name=two.csv"
    )
    own = f"/imports/{told['id']}"
    columns(door, told)
    tried = door.client.post(f"{own}/trial").json()
    assert (tried["below_at"], tried["found"]["asks"]) == (3, {"below": 1})

    assert columns(door, told, below="pass_over").json()["below"] == "pass_over"
    tried = door.client.post(f"{own}/trial").json()
    assert (tried["found"]["good"], tried["found"]["aside"]) == (1, 2)


def test_rows_under_a_title_are_asked_about_and_then_have_it(real_door: Door) -> None:
    door = real_door
    told = sent(door, b"Title,No,Sold,Wanted\nAmber Anchor,,,\n,14,,\n,15,yes,\n,16,,x\n", "?name=groups.csv")
    own = f"/imports/{told['id']}"
    assert columns(door, told).json()["untitled"] is None
    asked = door.client.post(f"{own}/trial").json()
    assert (asked["found"]["good"], asked["found"]["wrong"]) == (0, 2)

    assert columns(door, told, untitled="above").json()["untitled"] == "above"
    tried = door.client.post(f"{own}/trial").json()
    assert (tried["found"]["good"], tried["found"]["wrong"], tried["found"]["aside"]) == (1, 0, 3)
    assert columns(door, told, untitled="below").status_code == 422
    assert door.client.post(f"{own}/books").json()["done"]["books"] == 1

    assert [(book["title"], book["number"]) for book in door.get("/books?q=amber").json()["books"]] == [
        ("Amber Anchor", "14")
    ]


def test_rows_with_problems_are_taken_as_a_file_and_sent_back_mended(real_door: Door) -> None:
    door = real_door
    told = sent(door)
    own = f"/imports/{told['id']}"
    columns(door, told)
    door.client.post(f"{own}/trial")

    file = door.get(f"{own}/problems/file")

    assert file.headers["Content-Type"] == "text/csv; charset=utf-8"
    lines = list(csv.DictReader(io.StringIO(file.text, newline="")))
    assert [(line["Row in the file"], line["Stated grade"]) for line in lines] == [("3", "lovely"), ("5", "NM-")]
    mended = file.text.replace("lovely", "9.0").replace("lots", "7").encode()
    back = door.client.put(f"{own}/problems/file", content=mended, headers={"Content-Type": "text/csv"}).json()
    assert (back["found"]["wrong"], back["hindrance"]) == (0, None)
    assert door.client.post(f"{own}/books").json()["done"]["books"] == 4
    other = door.client.put(f"{own}/problems/file", content=b"Title,No\n", headers={"Content-Type": "text/csv"})
    problem(other, 409)


def test_another_file_than_that_one_is_refused(door: Door) -> None:
    told = sent(door)
    own = f"/imports/{told['id']}/problems/file"

    other = door.client.put(own, content=b"Title,No\nA,1\n", headers={"Content-Type": "text/csv"})

    assert "no column of it is called Row in the file" in problem(other, 400)["detail"]
    problem(door.client.put(own, content=b"x", headers={"Content-Type": "image/png"}), 415)


def test_the_same_table_again_adds_nothing(real_door: Door) -> None:
    for _ in range(2):
        told = sent(real_door, b"Title,No\nA B,1\nA B,1\n")
        columns(real_door, told)
        tried = real_door.client.post(f"/imports/{told['id']}/trial").json()
        done = real_door.client.post(f"/imports/{told['id']}/books").json()["done"]

    assert tried["found"]["already"] == 2
    assert (done["books"], done["already"]) == (0, 2)


def test_a_likely_double_is_told_and_decided_on(door: Door) -> None:
    book = door.a_book(on="1998", issue={"title": "A B", "number": "1"})
    told = sent(door, b"Title,No,Bought\nA B,1,1998\nC D,2,1999\n")
    columns(door, told)
    own = f"/imports/{told['id']}"

    tried = door.client.post(f"{own}/trial").json()

    assert tried["found"]["doubles"] == [{"row": 2, "book": book, "why": "day"}]
    decided = door.client.patch(f"{own}/doubles", json={"left_out": [2]}).json()
    assert (decided["found"]["doubles"], decided["found"]["good"]) == ([], 1)


def test_columns_that_cannot_be_so_are_refused_at_their_place(door: Door) -> None:
    told = sent(door)

    refused = columns(door, told, columns=["title", "title", None, None, None])

    assert {"columns.1", "number"} <= set(fields(refused.json()))
    assert refused.status_code == 422


def test_how_a_file_is_read_can_be_said(door: Door) -> None:
    told = sent(door, "Title|No\nP\u0159\u00edb\u011bh|1\n".encode("cp1250"), "?encoding=cp1250&mark=bar")

    assert (told["encoding"], told["mark"], told["name"]) == ("cp1250", "bar", "table")


def test_an_attack_is_refused_and_nothing_waits(door: Door) -> None:
    made, says = HOSTILE["XML that laughs a billion times"]

    refused = door.post("/imports", made(), Content_Type="application/octet-stream", Idempotency_Key="")

    assert says in problem(refused, 400)["detail"]
    assert door.get("/imports").json() == {"imports": []}
    kind = door.post("/imports", b"a,b", Content_Type="image/png", Idempotency_Key="")
    problem(kind, 415)


def test_what_goes_on_is_told_and_can_be_called_off(door: Door) -> None:
    told = sent(door)
    own = f"/imports/{told['id']}"
    assert door.ledger.tables is not None
    with door.ledger.tables.runs.going(told["id"]) as run:
        run.done, run.expected = 3, 8
        assert door.get(own).json()["running"] == {"done": 3, "expected": 8}
        problem(door.client.post(f"{own}/trial"), 409)
        assert door.client.delete(f"{own}/run").status_code == 204
        assert run.called_off
    assert door.get(own).json()["running"] is None


def test_a_table_is_put_away(door: Door) -> None:
    told = sent(door)

    assert door.client.delete(f"/imports/{told['id']}").status_code == 204

    problem(door.get(f"/imports/{told['id']}"), 404)
    problem(door.get("/imports/none"), 404)


def test_who_may_only_work_at_the_bench_brings_nothing_in(door: Door) -> None:
    other = door.as_other(Permission.BENCH, Permission.READ)

    problem(other.post("/imports", TABLE, Content_Type="text/csv", Idempotency_Key=""), 403)
