"""The list of books, page by page, and the state of one."""

import re
from itertools import chain
from typing import Any

import pytest

from tests.api.door import Door, fields, problem, purchase

LINK = re.compile(r'<([^>]+)>; rel="next"')
"""Source: RFC 8288 section 3."""


def an_issue(number: int, **changes: Any) -> dict[str, Any]:
    return {"title": "The Copper Lantern", "number": str(number), "start_year": 1962, **changes}


def walk(door: Door, path: str) -> list[list[str]]:
    """The ids on every page, following the links."""
    pages = []
    at: str | None = path
    while at is not None:
        answer = door.get(at)
        assert answer.status_code == 200, answer.text
        pages.append([book["id"] for book in answer.json()["books"]])
        found = LINK.fullmatch(answer.headers["link"]) if "link" in answer.headers else None
        at = found[1] if found else None
    return pages


@pytest.fixture
def seven(door: Door) -> list[str]:
    """Seven books, two of them twice the same issue."""
    return [door.a_book(issue=an_issue(number)) for number in (3, 1, 2, 3, 10, 7, 7)]


@pytest.mark.parametrize("sort", ["title", "number", "grade", "recent"])
@pytest.mark.parametrize("descending", ["false", "true"])
@pytest.mark.parametrize("limit", [1, 2, 3, 7])
def test_following_the_links_visits_every_book_once(
    door: Door, seven: list[str], sort: str, descending: str, limit: int
) -> None:
    pages = walk(door, f"/books?sort={sort}&descending={descending}&limit={limit}")
    visited = [book for page in pages for book in page]
    assert sorted(visited) == sorted(seven)
    assert all(len(page) == limit for page in pages[:-1])


def test_a_book_that_comes_in_between_two_pages_repeats_and_loses_none(door: Door, seven: list[str]) -> None:
    first = door.get("/books?sort=title&limit=3")
    door.a_book(issue=an_issue(1, title="A Title Before All Others"))
    link = LINK.fullmatch(first.headers["link"])
    assert link
    visited = [book["id"] for book in first.json()["books"]]
    visited += [book for page in walk(door, link[1]) for book in page]
    assert sorted(visited) == sorted(seven)


def test_the_link_keeps_every_filter(door: Door, seven: list[str]) -> None:
    link = door.get("/books?q=lantern&holding=raw&sort=number&limit=2").headers["link"]
    for each in ("q=lantern", "holding=raw", "sort=number", "limit=2", "after="):
        assert each in link


def test_a_link_of_one_order_is_no_link_of_another(door: Door, seven: list[str]) -> None:
    link = door.get("/books?sort=title&limit=2").headers["link"]
    found = re.search(r"after=([^&>]+)", link)
    assert found
    assert fields(problem(door.get(f"/books?sort=grade&after={found[1]}"), 422)) == ["after"]


def test_books_are_found_by_words_and_filters(door: Door) -> None:
    lantern = door.a_book(issue=an_issue(14))
    graded = door.a_book(
        issue=an_issue(3, title="Tide Watch"),
        holding="slabbed",
        stated={"as_written": "9.2", "steps": ["9.2"]},
    )
    asked = {
        "q=copper": [lantern],
        "q=tide+watch": [graded],
        "q=nothing": [],
        "holding=slabbed": [graded],
        "grade_from=9.0": [graded],
        "grade_from=9.0&grade_to=9.2": [graded],
        "grade_from=9.4": [],
        "status=here": [lantern, graded],
        "on_bench=true": [],
    }
    for query, expected in asked.items():
        assert sorted(chain.from_iterable(walk(door, f"/books?{query}"))) == sorted(expected), query


@pytest.mark.parametrize(
    ("query", "field", "mend"),
    [
        ("limit=0", "limit", "1 or more"),
        ("limit=501", "limit", "500 or less"),
        ("limit=many", "limit", "digits"),
        ("sort=colour", "sort", "'recent'"),
        ("status=lost", "status", "'here'"),
        ("grade_from=9.3", "grade_from", "9.4"),
        ("colour=red", "colour", "Leave it out"),
        ("q=%00", "q", "fits"),
    ],
)
def test_a_parameter_that_does_not_fit_is_refused_with_the_mend(door: Door, query: str, field: str, mend: str) -> None:
    told = problem(door.get(f"/books?{query}"), 400)
    assert fields(told) == [field]
    assert mend in told["detail"]


def test_a_new_book_is_where_its_location_says(door: Door) -> None:
    made = door.post("/books", purchase())
    book = made.json()["entries"][0]["book"]
    assert made.headers["location"] == f"/books/{book}"
    assert door.get(made.headers["location"]).json()["id"] == book


def test_at_the_door_for_new_books_the_kind_goes_without_saying(door: Door) -> None:
    body = {name: value for name, value in purchase().items() if name != "kind"}
    assert door.post("/books", body).json()["entries"][0]["kind"] == "purchase"


def test_a_books_state_tells_what_its_entries_in_force_say(door: Door) -> None:
    book = door.a_book(holding="slabbed", holder_number="77-1", stated={"as_written": "VF/NM", "steps": ["9.0"]})
    opened = door.an_event(book, "opening", on="2024-03-01")
    defect = {"id": "d1", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12.5"}
    looked = door.an_event(book, "examination", on="2024-03-02", defects=[defect], presents_as="8.5")
    said = {"worked_defects": [{"id": "d1", "outcome": "lessened"}], "ended": "cut off"}
    worked = door.an_event(book, "intervention", on="2024-03-03", technique="cold-press", **said)
    state = door.get(f"/books/{book}").json()
    assert (state["holding"], state["holder_number"], state["grade"]) == ("raw", None, None)
    assert state["grades"][0]["ended_by"] == opened
    assert state["defects"][0] | defect == state["defects"][0]
    seen = {"entry": looked, "on": "2024-03-02", "presents_as": "8.5", "technical": None}
    assert state["last_look"] == {**seen, "rest_hours": None, "rest_from_dates": False}
    assert [(each["changed_anything"], each["ended"]) for each in state["work"]] == [(True, "cut off")]
    assert [(each["entry"], each["technique"], each["heading"]) for each in state["work"]] == [
        (worked, "cold-press", "non-additive")
    ]
    assert state["entries"] == 4
    assert state["ownerships"][0]["since"] == "2024-02-01"


def test_a_withdrawn_entry_counts_no_longer(door: Door) -> None:
    book = door.a_book(holding="slabbed")
    opened = door.an_event(book, "opening", on="2024-03-01")
    door.an_event(book, "withdrawal", entry=opened, reason="It was the other one.")
    assert door.get(f"/books/{book}").json()["holding"] == "slabbed"
