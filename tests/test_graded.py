"""Grades that came back, held against what was left on the book when it was sent."""

from typing import Any

import pytest

from ledger.events import Event
from ledger.events.examination import Suppleness, Tone
from ledger.events.outlook import Origin, Outlook, OutlookStage, Weight
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.graded import Graded, Untold, faults_at, graded_of, key_of, services
from ledger.history import history
from ledger.looks import looks_of
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.stated import Stated, Timing, stated_of
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


# --- outlooks that were recorded -------------------------------------------------------------------------------------------


def outlook(day: str, grade: str = "9.0", **more: Any) -> Outlook:
    weights = (Weight(grade=Grade(grade), per_mille=1000),)
    return Outlook(**{"on": on(f"2024-{day}"), "weights": weights, **more})


def stated(*events: Event) -> dict[int, Stated]:
    return {each.seq: each for each in stated_of(moments(*events))}


def test_the_last_outlook_before_the_book_is_sent_is_marked_and_earlier_ones_are_kept_by_stage() -> None:
    first = outlook("01-10", "8.5", stage=OutlookStage.AT_PURCHASE, ceiling=Grade("9.0"))
    found = stated(first, outlook("02-10", stage=OutlookStage.BEFORE_SENDING), sent(), back())
    assert [(each.stage, each.timing, each.last) for each in found.values()] == [
        (OutlookStage.AT_PURCHASE, Timing.BEFORE_SENDING, False),
        (OutlookStage.BEFORE_SENDING, Timing.BEFORE_SENDING, True),
    ]
    assert (found[3].sent, found[3].outcome) == (4, 5)
    assert found[2].ceiling == Grade("9.0")
    assert found[3].distribution.chance_of(Grade("9.0")) == 1


def test_own_and_computed_outlooks_each_have_a_last_one() -> None:
    found = stated(outlook("02-10"), outlook("02-11", origin=Origin.COMPUTED), sent(), back())
    assert [each.last for each in found.values()] == [True, True]


def test_one_made_while_the_book_was_away_is_not_the_one_that_is_scored() -> None:
    found = stated(outlook("02-10"), sent(), outlook("03-10"), back())
    assert [(each.timing, each.last) for each in found.values()] == [
        (Timing.BEFORE_SENDING, True),
        (Timing.WHILE_AWAY, False),
    ]


@pytest.mark.parametrize("day", ["05-10", "02-10"], ids=["dated after the result", "dated back before the sending"])
def test_one_entered_after_the_result_is_late_however_it_is_dated(day: str) -> None:
    found = stated(outlook("02-09"), sent(), back(), outlook(day, for_batch="spring"))
    assert found[5].timing is Timing.LATE
    assert not found[5].last
    assert found[2].last


def test_one_after_a_result_that_names_no_batch_speaks_of_the_next_submission() -> None:
    again = an_opening("2024-05-01"), outlook("05-10"), sent("06-01", "summer")
    found = stated(outlook("02-10"), sent(), back(), *again)
    assert (found[6].sent, found[6].outcome, found[6].timing, found[6].last) == (7, None, Timing.BEFORE_SENDING, True)


def test_a_book_that_was_not_sent_yet_has_an_outlook_without_a_submission() -> None:
    found = stated(outlook("02-10"))
    assert (found[2].sent, found[2].timing, found[2].last) == (None, Timing.BEFORE_SENDING, False)


def test_a_submission_for_a_new_holder_is_none_that_an_outlook_speaks_of() -> None:
    found = stated(outlook("02-10"), sent(asks=Ask.NEW_HOLDER))
    assert found[2].sent is None


def test_what_the_service_says_on_the_way_changes_nothing() -> None:
    news = Submission(on=on("2024-03-10"), batch="spring", stage=Stage.RECEIVED)
    assert stated(outlook("02-10"), sent(), news, back())[2].outcome == 5
    assert graded(look("02-01", DENT), sent(), news, back())[0].sent == 3
