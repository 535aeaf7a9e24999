"""The light of books over REST: the numbers of the use case, the class as it is sent, and what else would do."""

from datetime import UTC, datetime
from typing import Any

import pytest

from api.light_example import LIGHT, LIGHT_ANSWERS, LIGHT_REQUESTS
from ledger.actor import Permission
from ledger.usecases.record import Draft, record
from tests.api.door import OWNER, Door, fields, problem
from tests.builders import an_issue, on
from tests.fakes import FakeClock
from tests.lit import a_reading, a_room, hung
from tests.usecases.telling import Teller


@pytest.fixture
def book(door: Door) -> str:
    """The book of the example: ten days at 200 lx h a day."""
    clock = door.ledger.clock
    assert isinstance(clock, FakeClock)
    clock.time = datetime(2024, 1, 11, 12, tzinfo=UTC)
    record(door.ledger, OWNER, [Draft(event=a_room("2020-01-01", a_reading("50", "4"), a_reading("0", "20")))])
    teller = Teller(door.ledger)
    bought = teller.buy(on=on("2024-01-01"), issue=an_issue(cover_date=on("1962-05")))
    teller.add(bought, hung("2024-01-01"))
    return bought


def put(door: Door, path: str, body: dict[str, Any]) -> Any:
    return door.client.put(path, json=body)


def test_the_light_of_a_book_is_the_example_of_the_document(door: Door, book: str) -> None:
    told = door.get(f"/books/{book}/light").json()
    assert told == {**LIGHT, "book": book}


def test_what_hangs_is_told_together(door: Door, book: str) -> None:
    assert door.get("/light").json() == {"books": [{**LIGHT, "book": book}]}


def test_half_of_the_light_is_the_example_of_the_document(door: Door, book: str) -> None:
    asked = LIGHT_REQUESTS["try_light"]["dimmed"]["value"]
    reader = door.as_other(Permission.READ)
    assert reader.post(f"/books/{book}/light/what-if", asked).json() == LIGHT_ANSWERS["try_light"]


def test_a_class_is_set_and_left_to_the_table_again_and_no_entry_tells_of_it(door: Door, book: str) -> None:
    size = door.size
    told = put(door, f"/books/{book}/light", LIGHT_REQUESTS["set_light"]["chosen"]["value"]).json()
    assert (told["standing"]["book"]["light_class"], told["standing"]["why"]) == ("medium", "Coated stock")
    assert told["here"]["days_a_year"] == {"low": None, "middle": None, "high": None}
    assert told == door.get(f"/books/{book}/light").json()
    assert put(door, f"/books/{book}/light", {}).json() == {**LIGHT, "book": book}
    assert door.size == size


def test_what_makes_no_class_or_no_spot_is_refused_by_its_field(door: Door, book: str) -> None:
    assert fields(problem(put(door, f"/books/{book}/light", {"light_class": "purple"}), 422)) == ["light_class"]
    asked = door.post(f"/books/{book}/light/what-if", {"room": "attic", "wall": "n"})
    assert fields(problem(asked, 422)) == ["room"]
    asked = door.post(f"/books/{book}/light/what-if", {"lux": 50, "hours_per_day": "8"})
    assert fields(problem(asked, 422)) == ["lux"]


def test_a_book_that_is_not_there_has_no_light(door: Door) -> None:
    problem(door.get(f"/books/{'b' * 26}/light"), 404)
    problem(put(door, f"/books/{'b' * 26}/light", {}), 404)
    problem(door.post("/books/other/light/what-if", {"dim_to_percent": 5}), 404)


def test_light_of_which_nothing_is_known_is_null_and_never_nothing(door: Door) -> None:
    told = door.get(f"/books/{door.a_book()}/light").json()
    assert (told["lux_hours"], told["faded"], told["signature"]) == (None, None, None)
    assert (told["earlier"], told["here"]["known"]) == ("not known", "not known")
