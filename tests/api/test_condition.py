"""A book's condition over the service: the looks, what each changed, which one counts, and what is to be seen again."""

from typing import Any

import pytest

from tests.api.door import Door, problem

BEND: dict[str, Any] = {"type": "bend", "face": "front", "breaks_colour": "no"}


def bend(name: str, size: str | None = "12", **more: Any) -> dict[str, Any]:
    return {"id": name, **BEND, **({} if size is None else {"size_mm": size}), **more}


@pytest.fixture
def worked(door: Door) -> tuple[str, list[int]]:
    """A book with two looks and a press between them, and the numbers of those three entries."""
    book = door.a_book()
    mark = {"id": "m1", "what": "Blue fibre", "face": "back"}
    first = {"height_mm": "260", "tone": "ivory", "defects": [bend("d1"), bend("d2"), bend("d3")], "marks": [mark]}
    second = {
        "height_mm": "258.9",
        "tone": "straw",
        "rest_hours": 20,
        "defects": [bend("d1", "4"), bend("d2", None, gone=True), bend("d4")],
    }
    seqs = [
        door.an_event(book, "examination", on="2024-03-01", **first),
        door.an_event(book, "intervention", on="2024-03-10", technique="cold-press", worked_defects=["d1"]),
        door.an_event(book, "examination", on="2024-03-11", **second),
    ]
    return book, seqs


def test_each_look_says_what_it_changed(door: Door, worked: tuple[str, list[int]]) -> None:
    book, (first, press, second) = worked
    answer = door.get(f"/books/{book}/condition")
    assert (answer.status_code, answer.headers["etag"]) == (200, '"4"')
    told = answer.json()
    assert [each["entry"] for each in told["looks"]] == [first, second]
    before, after = told["looks"]
    assert {each["change"] for each in before["defects"]} == {"new"}
    assert {each["defect"]["id"]: (each["change"], each["seen_by"]) for each in after["defects"]} == {
        "d1": ("lessened", second),
        "d2": ("gone", second),
        "d3": ("not looked at", first),
        "d4": ("new", second),
    }
    assert (before["work"], after["work"]) == ([], [press])
    assert after["questions"] == ["height_mm"]
    assert [(each["mark"]["id"], each["seen_by"]) for each in after["marks"]] == [("m1", first)]
    measured = {each["name"]: each for each in after["measured"]}
    assert measured["height_mm"] == {
        "name": "height_mm",
        "value": "258.9",
        "before": "260",
        "before_entry": first,
        "change": "less",
    }
    assert measured["tone"]["change"] == "other"
    assert measured["weight_g"]["change"] is None


def test_the_look_that_counts_is_due_until_the_book_has_rested(door: Door, worked: tuple[str, list[int]]) -> None:
    book, _ = worked
    told = door.get(f"/books/{book}/condition").json()
    assert (told["counting"], told["due"], told["see_again"]) == (None, True, ["d1", "d2"])
    assert (told["rest_hours_needed"], told["natural_mm"], told["natural_source"]) == (168, "1", "our assumption")
    last = door.an_event(book, "examination", on="2024-03-20", rest_hours=200, defects=[bend("d1", "9")])
    told = door.get(f"/books/{book}/condition").json()
    assert (told["counting"], told["due"], told["see_again"]) == (last, False, [])
    assert told["looks"][-1]["rested"] is True
    assert told["looks"][-1]["defects"][0]["change"] == "worse"


def test_no_look_is_due_of_a_book_that_has_left(door: Door, worked: tuple[str, list[int]]) -> None:
    book, _ = worked
    door.an_event(book, "sale", on="2024-04-01", means="gift", disclosed="nothing told")
    told = door.get(f"/books/{book}/condition").json()
    assert (told["due"], told["see_again"], len(told["looks"])) == (False, [], 2)


def test_a_book_nobody_looked_at_has_no_looks(door: Door) -> None:
    told = door.get(f"/books/{door.a_book()}/condition").json()
    assert (told["looks"], told["counting"], told["due"]) == ([], None, False)


def test_a_book_that_is_not_there_has_no_condition(door: Door) -> None:
    problem(door.get("/books/b7q2m4x6n5k3j8h2g4f6d5s3a7/condition"), 404)
