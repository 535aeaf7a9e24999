"""What own work came to: found at the look after a week of rest, counted once a round, and never taken from a claim."""

from typing import Any

import pytest

from ledger.events import Event
from ledger.events._parts import Answer, Face, OpinionOf
from ledger.events.withdrawal import Withdrawal
from ledger.history import history
from ledger.learned import Came, came_of, eased, learned_chances
from ledger.looks import Change
from ledger.rules.chances import Chances, Eased, chance_row
from tests.builders import CODEC, a_defect, a_purchase, an_examination, an_intervention, chain, worked_on
from tests.rules.faults import a_fault

REST = 168


def came(*events: Event) -> tuple[Came, ...]:
    return came_of(history(chain(a_purchase("2024-01-01"), *events), CODEC))


def told(*events: Event) -> dict[str, Change]:
    return {each.defect.id: each.change for each in came(*events)}


def look(day: str, *defects: Any, rest: int | None = None, **more: Any) -> Event:
    return an_examination(f"2024-{day}", defects=defects, rest_hours=rest, **more)


def work(day: str, *named: str, technique: str = "hot-press-dry", **more: Any) -> Event:
    return an_intervention(technique, f"2024-{day}", worked_defects=worked_on(*named), **more)


def gone(name: str, kind: str = "bend", **more: Any) -> Any:
    return a_defect(name, kind, gone=True, size_mm=None, **more)


CREASE = a_defect("c1", "crease", breaks_colour=Answer.YES)
BEFORE = look("02-01", a_defect("d1"), a_defect("d2"), a_defect("d3"), CREASE)


def test_what_the_look_after_a_rest_found_counts_against_the_look_before_the_work() -> None:
    after = look("03-20", gone("d1"), a_defect("d2", size_mm="4"), a_defect("d3"), rest=REST)
    found = came(BEFORE, work("03-01", "d1", "d2", "d3"), after)
    assert {each.defect.id: each.change for each in found} == {
        "d1": Change.GONE,
        "d2": Change.LESSENED,
        "d3": Change.SAME,
    }
    assert [each.counts_as for each in found] == ["gone", "lessened", "same"]
    assert {each.look for each in found} == {4}
    assert {each.defect.size_mm for each in found} == {"12"}


def test_what_the_worker_claims_right_after_never_counts() -> None:
    assert told(BEFORE, work("03-01", "d1 gone", "d2 gone")) == {}
    after = look("03-20", a_defect("d1"), rest=REST)
    assert told(BEFORE, work("03-01", "d1 gone", "d2 gone"), after) == {"d1": Change.SAME}


def test_what_others_claim_of_the_copy_never_counts() -> None:
    claim = look("02-01", a_defect("d1", claimed_by=OpinionOf.SELLER))
    assert told(claim, work("03-01", technique="cold-press"), look("03-20", gone_claim(), rest=REST)) == {}


def gone_claim() -> Any:
    """The claimed defect, seen for the first time."""
    return a_defect("d1", size_mm="3")


def test_a_look_before_a_week_of_rest_does_not_count_and_the_last_one_after_it_does() -> None:
    early = look("03-02", gone("d1"), rest=20)
    first, second = look("03-09", gone("d1"), rest=REST), look("04-09", a_defect("d1", size_mm="3"), rest=900)
    assert told(BEFORE, work("03-01", "d1"), early) == {}
    assert told(BEFORE, work("03-01", "d1"), early, first) == {"d1": Change.GONE}
    assert told(BEFORE, work("03-01", "d1"), early, first, second) == {"d1": Change.LESSENED}


def test_several_steps_before_one_such_look_are_one_round() -> None:
    steps = work("03-01", "d1"), look("03-02", a_defect("d1", size_mm="8"), rest=20), work("03-05", "d1")
    found = came(BEFORE, *steps, look("03-20", gone("d1"), rest=REST))
    assert [(each.defect.size_mm, each.change) for each in found] == [("12", Change.GONE)]


def test_work_after_such_a_look_is_another_round() -> None:
    first = work("03-01", "d1"), look("03-20", a_defect("d1", size_mm="6"), rest=REST)
    second = work("04-01", "d1"), look("04-20", gone("d1"), rest=REST)
    found = came(BEFORE, *first, *second)
    assert [(each.defect.size_mm, each.change) for each in found] == [("12", Change.LESSENED), ("6", Change.GONE)]


def test_what_was_not_worked_or_not_looked_at_does_not_count() -> None:
    assert told(BEFORE, work("03-01", "d1", "d2"), look("03-20", gone("d1"), gone("d3"), rest=REST)) == {
        "d1": Change.GONE
    }


def test_worse_counts_as_the_same_and_measured_otherwise_as_nothing() -> None:
    worse = look("03-20", a_defect("d1", size_mm="30"), a_defect("d2", size_mm=None, count=2), rest=REST)
    found = came(BEFORE, work("03-01", "d1", "d2"), worse)
    assert [(each.change, each.counts_as) for each in found] == [(Change.WORSE, "same"), (Change.OTHERWISE, None)]
    assert eased(found) == {"bend": Eased(same=1)}


@pytest.mark.parametrize(
    ("technique", "reached"), [("cold-press", {"d1"}), ("dry-cleaning", {"s1"}), ("housing", set())]
)
def test_a_step_that_names_none_counts_for_what_it_is_meant_for_and_breaks_no_colour(
    technique: str, reached: set[str]
) -> None:
    dirt = a_defect("s1", "surface-dirt", size_mm=None, share_percent=20)
    before = look("02-01", a_defect("d1"), CREASE, dirt)
    seen = (gone("d1"), a_defect("c1", "crease", breaks_colour=Answer.YES), gone("s1", "surface-dirt"))
    assert set(told(before, work("03-01", technique=technique), look("03-20", *seen, rest=REST))) == reached


@pytest.mark.parametrize("more", [{"by_other_hands": True}, {"technique": "infill"}, {"technique": "washing-stains"}])
def test_other_hands_and_work_that_is_more_than_non_additive_leave_a_defect_out(more: dict[str, Any]) -> None:
    after = look("03-20", gone("d1"), gone("d2"), rest=REST)
    assert told(BEFORE, work("03-01", "d1", "d2"), work("03-03", "d1", **more), after) == {"d2": Change.GONE}
    assert told(BEFORE, work("03-01", "d1", "d2"), work("03-03", **more), after) == {}


def test_a_step_that_was_withdrawn_does_not_count() -> None:
    steps = work("03-01", "d1"), look("03-20", gone("d1"), rest=REST)
    assert told(BEFORE, *steps, Withdrawal(entry=3)) == {}


def test_results_are_counted_by_type_and_break() -> None:
    ticks = [
        a_defect("t1", "spine-tick", face=Face.SPINE, breaks_colour=Answer.NO, count=2),
        a_defect("t2", "spine-tick", face=Face.SPINE, breaks_colour=Answer.YES, count=2),
        a_defect("t3", "spine-tick", face=Face.SPINE, breaks_colour=Answer.UNSURE, count=2),
    ]
    after = [
        gone("t1", "spine-tick", face=Face.SPINE),
        a_defect("t2", "spine-tick", face=Face.SPINE, breaks_colour=Answer.YES, count=1),
        a_defect("t3", "spine-tick", face=Face.SPINE, breaks_colour=Answer.UNSURE, count=2),
    ]
    found = came(look("02-01", *ticks), work("03-01", "t1", "t2", "t3"), look("03-20", *after, rest=REST))
    assert eased(found) == {
        "spine-tick-unbroken": Eased(gone=1),
        "spine-tick-broken": Eased(lessened=1, same=1),
    }


def test_chances_are_those_of_the_row_after_what_was_seen_of_such_defects() -> None:
    # By hand: 10 x (.80 .15 .05) and 2 gone, 1 the same: (10, 1.5, 1.5) of 13.
    found = learned_chances([a_fault("bend", "9"), a_fault("crease", "9")], {"bend": Eased(gone=2, same=1)})
    assert found["bend"].shares == Chances(20, 3, 3).shares
    assert found["crease"].shares == chance_row("crease", breaks_colour=True).chances.shares
