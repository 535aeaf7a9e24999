"""Grades that came back, held against what was left on the book when it was sent."""

from typing import Any

import pytest

from ledger.events import Event
from ledger.events.examination import Suppleness, Tone
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.graded import Graded, Untold, faults_at, graded_of, key_of, services
from ledger.history import history
from ledger.looks import looks_of
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import (
    BOOK,
    CODEC,
    a_defect,
    a_purchase,
    a_stated_grade,
    an_examination,
    an_intervention,
    an_opening,
    chain,
    on,
)


def sent(day: str = "03-01", batch: str = "spring", service: str | None = None, **more: Any) -> Submission:
    made = {"on": on(f"2024-{day}"), "batch": batch, "asks": Ask.GRADE, "service": Sealed.of(service), **more}
    return Submission(**made)


def back(grade: str = "9.0", day: str = "04-01", batch: str = "spring", service: str | None = None) -> Slab:
    stated = a_stated_grade(grade, grade)
    return Slab(on=on(f"2024-{day}"), batch=batch, stated=stated, service=Sealed.of(service))


def look(day: str = "02-01", *defects: Any, **more: Any) -> Event:
    return an_examination(f"2024-{day}", defects=defects, **more)


def moments(*events: Event) -> Any:
    return history(chain(a_purchase("2024-01-01"), *events), CODEC)


def graded(*events: Event) -> tuple[Graded, ...]:
    return graded_of(BOOK, moments(*events))


DENT = a_defect("d1", "edge-dent", size_mm="4")
"""Allows 9.0 at best."""


@pytest.mark.parametrize(("grade", "steps"), [("9.0", 0), ("8.5", -1), ("9.4", 2), ("7.5", -3)])
def test_a_result_is_counted_in_steps_from_what_was_left_on_the_book(grade: str, steps: int) -> None:
    (found,) = graded(look("02-01", DENT), sent(), back(grade))
    assert (found.ceiling, found.steps, found.untold) == (Grade("9.0"), steps, None)
    assert (found.look, found.sent, found.seq, found.batch) == (2, 3, 4, "spring")


def test_what_counts_is_the_last_look_before_the_book_was_sent() -> None:
    later = look("05-01", DENT, through_holder=True)
    (found,) = graded(
        look("02-01", a_defect("d1", "edge-dent", size_mm="9")), look("02-10", DENT), sent(), back(), later
    )
    assert (found.look, found.ceiling) == (3, Grade("9.0"))


def test_what_was_said_of_the_paper_is_left_on_the_book_too() -> None:
    (found,) = graded(look("02-01", tone=Tone.BROWN), look("02-10", DENT), sent(), back())
    assert found.ceiling == Grade("5.5")
    last = looks_of(moments(look("02-01", tone=Tone.STRAW, suppleness=Suppleness.CRACKS)))[-1]
    assert [(each.id, each.word) for each in faults_at(last)] == [
        ("paper-tone", "straw"),
        ("paper-suppleness", "cracks"),
    ]


@pytest.mark.parametrize(
    ("before", "untold"),
    [
        ((), Untold.NO_LOOK),
        ((look("02-01", DENT), an_intervention("cold-press", "2024-02-10")), Untold.WORKED_SINCE),
        ((look("02-01", a_defect("d1", "spine-tick", size_mm=None, count=1), DENT),), None),
    ],
)
def test_a_grade_that_tells_nothing_of_the_service_says_why(before: tuple[Event, ...], untold: Untold | None) -> None:
    (found,) = graded(*before, sent(), back())
    assert found.untold is untold
    assert (found.ceiling is None) == (found.steps is None) == (untold is not None)


def test_a_look_through_a_holder_says_too_little_of_what_was_left() -> None:
    slabbed = a_purchase("2024-01-01", holding="slabbed", holder_number="A1", stated=a_stated_grade("8.0", "8.0"))
    events = slabbed, look("02-01", DENT, through_holder=True), sent(asks=Ask.REVIEW), back()
    (found,) = graded_of(BOOK, history(chain(*events), CODEC))
    assert found.untold is Untold.THROUGH_HOLDER


def test_only_a_grade_that_was_given_is_a_result() -> None:
    refused = Slab(on=on("2024-04-01"), batch="spring", outcome=Outcome.REFUSED)
    assert graded(look("02-01", DENT), sent(), refused) == ()


def test_a_service_is_the_one_on_the_outcome_or_else_the_one_it_was_sent_to() -> None:
    assert graded(sent(service="Third Bench"), back())[0].service == "Third Bench"
    assert graded(sent(service="Third Bench"), back(service="First Bench"))[0].service == "First Bench"
    assert graded(sent(), back())[0].service is None
    shut = back().with_sealed({"service": Sealed.erased()})
    assert graded(sent(), shut)[0].service is None


def test_results_are_gathered_by_service_however_it_was_spelt() -> None:
    again = an_opening("2024-05-01"), sent("06-01", "summer", "third  bench"), back("8.5", "07-01", "summer")
    found = services(graded(look("02-01", DENT), sent(service="Third Bench"), back(), *again))
    assert list(found) == ["third bench"]
    assert (found["third bench"].name, found["third bench"].results, found["third bench"].untold) == (
        "third  bench",
        (0, -1),
        0,
    )
    assert services(graded(sent(), back()))[""].untold == 1
    assert key_of(None) == ""


def test_what_the_service_says_on_the_way_changes_nothing() -> None:
    news = Submission(on=on("2024-03-10"), batch="spring", stage=Stage.RECEIVED)
    assert graded(look("02-01", DENT), sent(), news, back())[0].sent == 3
