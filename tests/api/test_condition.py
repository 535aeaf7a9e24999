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
        door.an_event(book, "intervention", on="2024-03-10", technique="cold-press", worked_defects=[{"id": "d1"}]),
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
        "first": "260",
        "first_entry": first,
        "change_from_first": "less",
    }
    assert measured["tone"]["change"] == "other"
    assert measured["weight_g"]["change"] is None


def test_the_look_that_counts_is_due_until_the_book_has_rested(door: Door, worked: tuple[str, list[int]]) -> None:
    book, _ = worked
    told = door.get(f"/books/{book}/condition").json()
    assert (told["counting"], told["due"], told["see_again"]) == (None, True, ["d1", "d2"])
    assert (told["rest_hours_needed"], told["natural_mm"], told["natural_source"]) == (168, "1", "our assumption")
    assert told["marks_asked"] == 3
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


def test_claims_stand_apart_from_what_was_seen(door: Door) -> None:
    book = door.a_book()
    claim = bend("d1", None, claimed_by="seller", note="said to be light")
    first = door.an_event(book, "examination", on="2024-03-01", defects=[claim, bend("d2")])
    second = door.an_event(book, "examination", on="2024-03-20", faces_looked_at=["front"], defects=[])
    before, after = door.get(f"/books/{book}/condition").json()["looks"]
    assert [each["defect"]["id"] for each in before["defects"]] == ["d2"]
    (told,) = after["claims"]
    assert (told["told_by"], told["looked_by"], told["defect"]["claimed_by"]) == (first, second, "seller")
    assert told["defect"]["note"] == "said to be light"
    (seen,) = after["defects"]
    assert (seen["change"], seen["seen_by"], seen["since"]) == ("same as before, not mentioned", first, first)
    third = door.an_event(book, "examination", on="2024-04-20", defects=[bend("d1", "3")])
    last = door.get(f"/books/{book}/condition").json()["looks"][-1]
    assert {each["defect"]["id"]: (each["change"], each["since"]) for each in last["defects"]} == {
        "d1": ("seen as claimed", third),
        "d2": ("not looked at", first),
    }
    assert last["claims"] == []


def test_small_steps_the_rest_by_the_dates_and_what_else_a_look_says(door: Door) -> None:
    book = door.a_book()
    door.an_event(book, "examination", on="2024-03-01", height_mm="260", defects=[bend("d1", "12")])
    door.an_event(book, "intervention", on="2024-03-02", technique="cold-press")
    door.an_event(book, "examination", on="2024-03-09", height_mm="260.6", defects=[bend("d1", "12.6")])
    said = {"technical": "8.5", "staples_counted": 2, "staple_rust": "no", "faces_looked_at": ["front", "spine"]}
    last = door.an_event(book, "examination", on="2024-03-20", height_mm="261", defects=[bend("d1", "13")], **said)
    told = door.get(f"/books/{book}/condition").json()
    assert (told["counting"], told["due"]) == (last, False)
    looks = told["looks"]
    assert [(each["rest_hours"], each["rest_from_dates"], each["rested"]) for each in looks] == [
        (None, False, False),
        (168, True, True),
        (432, True, True),
    ]
    assert [each["questions"] for each in looks] == [[], [], ["height_mm"]]
    (bent,) = looks[2]["defects"]
    assert (bent["change"], bent["in_small_steps"]) == ("worse", True)
    height = next(each for each in looks[2]["measured"] if each["name"] == "height_mm")
    assert (height["change"], height["first"], height["change_from_first"]) == ("same", "260", "more")
    assert {name: looks[2][name] for name in said} == said
    state = door.get(f"/books/{book}").json()["last_look"]
    assert (state["technical"], state["rest_hours"], state["rest_from_dates"]) == ("8.5", 432, True)


def test_what_breaks_a_rule_of_places_claims_or_photographs_is_refused(door: Door) -> None:
    book = door.a_book()
    half = bend("d1", region={"x_mm": "1", "y_mm": "2", "to_x_mm": "3"})
    unknown = bend("d1", photograph="ab" * 32)
    for wrong, status, rule in (
        (half, 422, "examination.9"),
        (bend("d1", None, gone=True, claimed_by="seller"), 422, "examination.10"),
        (unknown, 409, "examination.11"),
    ):
        answer = door.post(f"/books/{book}/events", {"kind": "examination", "on": "2024-03-01", "defects": [wrong]})
        assert answer.status_code == status
        assert rule in answer.text
