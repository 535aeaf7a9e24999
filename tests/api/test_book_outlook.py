"""The outlook of a book over REST: what the use case says, and what stands in the document as an example."""

from typing import Any

from api.book_outlook_example import BOOK_OUTLOOK_ANSWERS
from ledger.actor import Permission
from ledger.events._parts import Answer
from ledger.usecases.record import Draft, record
from tests.api.door import OWNER, Door, door_to
from tests.builders import a_defect, a_purchase, an_examination
from tests.usecases.forecast_books import graded_on, sent_on, written

CREASE = a_defect("d1", "crease", size_mm="10", breaks_colour=Answer.YES)
EXAMPLE = BOOK_OUTLOOK_ANSWERS["read_book_outlook"]


def a_book(door: Door, *defects: Any) -> str:
    (book,) = written(door.ledger, (None, a_purchase("2024-01-09")))
    if defects:
        written(door.ledger, (book, an_examination("2024-02-05", defects=defects)))
    return book


def told(door: Door, book: str) -> dict[str, Any]:
    answer = door_to(door.ledger, {Permission.READ}).get(f"/books/{book}/outlook")
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_the_example_of_the_document_is_what_such_a_book_is_answered(door: Door) -> None:
    book = a_book(door, CREASE)
    found = told(door, book)
    for name, example in EXAMPLE["computed"].items():
        if name != "ceiling":
            at_least = found["computed"][name].pop("at_least")
            assert {grade: at_least[grade] for grade in example["at_least"]} == example["at_least"]
            assert len(at_least) == 25
    computed = {
        name: each if name == "ceiling" else {key: value for key, value in each.items() if key != "at_least"}
        for name, each in EXAMPLE["computed"].items()
    }
    assert found == {**EXAMPLE, "book": book, "look": found["look"], "computed": computed}


def test_a_book_nobody_looked_at_has_nothing_computed(door: Door) -> None:
    found = told(door, a_book(door))
    assert (found["look"], found["computed"], found["faults"], found["precedents"]) == (None, None, [], [])


def test_graded_books_with_like_defects_are_named(door: Door) -> None:
    first, second = a_book(door, CREASE), a_book(door, CREASE)
    written(door.ledger, (first, sent_on("2024-06-01", "b-1")))
    (graded,) = record(door.ledger, OWNER, [Draft(event=graded_on("2024-08-01", "b-1", "7.5"), book=first)]).entries
    (like,) = told(door, second)["precedents"]
    assert (like["book"], like["grade"], like["entry"]) == (first, "7.5", graded.seq)
    assert (like["alike"], like["only_here"], like["only_there"], like["work"]) == (1, 0, 0, [])


def test_an_outlook_is_read_as_it_is_written_and_nothing_is_kept(door: Door) -> None:
    size = door.size
    answer = door_to(door.ledger, {Permission.READ}).get("/outlooks/reading?said=60%20%25%207.5,%2040%20%25%207.0")
    assert answer.json() == BOOK_OUTLOOK_ANSWERS["read_outlook_said"]
    assert door.size == size


def test_what_cannot_be_read_says_how_to_write_it(door: Door) -> None:
    answer = door_to(door.ledger, {Permission.READ}).get("/outlooks/reading?said=60%20%25%207.7")
    assert answer.status_code == 400
    assert "7.7" in answer.text


def test_a_book_that_is_not_there_is_told(door: Door) -> None:
    assert door.get("/books/aaaaaaaaaaaaaaaaaaaaaaaaaa/outlook").status_code == 404
