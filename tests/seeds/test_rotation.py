"""The demo's plan of rotation: two walls, accepted, a swap due soon; it lies beside a ledger that is as it was told."""

from dataclasses import replace
from datetime import timedelta

from ledger.bootstrap import OWNER
from ledger.ports import Ledger
from ledger.rotations import TYPED, Standing, wish_of
from ledger.rules.rotation import breaches
from ledger.usecases.browse import look_up
from ledger.usecases.checkpoint import current
from ledger.usecases.feed import calendar_of
from ledger.usecases.light import light_of_book, spot_days
from ledger.usecases.rotation import look_at_rotations
from seeds.rotation import DUE_IN
from tests.fakes import FakeClock
from tests.seeds.test_story import ENTRIES, ROOT
from web.hung_lines import Used, used_of


def test_the_demo_has_one_plan_for_two_walls_and_the_ledger_is_as_it_was(told: Ledger) -> None:
    (plan,) = look_at_rotations(told, OWNER)
    assert plan.standing is Standing.ACCEPTED
    assert {(each.room, each.wall) for each in plan.spots} == {("landing", "long"), ("study", "n")}
    assert len(plan.books) >= 6
    assert len({book for row in plan.rows for book in row}) > len(plan.spots)
    assert not list(breaches(wish_of(plan), plan.rows))
    with told.log.read() as reader:
        head = current(reader)
    assert (head.size, head.root.hex()) == (ENTRIES, ROOT)


def test_its_next_swap_is_due_within_a_week(told: Ledger) -> None:
    (plan,) = look_at_rotations(told, OWNER)
    assert plan.next_swap is not None
    # The day may have changed since it was laid.
    assert timedelta(0) <= plan.next_swap.due - told.clock.today() <= DUE_IN < timedelta(days=7)


def test_its_swaps_and_what_care_is_due_stand_in_the_calendar(told: Ledger) -> None:
    (plan,) = look_at_rotations(told, OWNER)
    lines = calendar_of(told, OWNER).decode("utf-8").split("\r\n")
    for swap in plan.swaps:
        at = lines.index(f"SUMMARY:Swap {swap.number + 1} of {len(plan.swaps)}: hang {len(plan.spots)} books")
        assert lines[at + 1] == f"DTSTART;VALUE=DATE:{swap.due:%Y%m%d}"
    assert any(each.startswith("SUMMARY:Count: ") for each in lines)
    assert any(each.startswith("SUMMARY:Look at: ") for each in lines)


def test_nothing_of_it_was_typed_and_what_hung_longest_rests(told: Ledger) -> None:
    (plan,) = look_at_rotations(told, OWNER)
    assert TYPED not in {*(each.known for each in plan.spots), *(each.taken_for for each in plan.books)}
    assert not any(each.taken_typed for each in plan.books)
    worst = max((each for each in plan.books if each.had is not None), key=lambda each: each.had.middle)  # type: ignore[union-attr]
    faded = light_of_book(told, OWNER, worst.book).light.faded
    assert faded is not None
    assert worst.had is not None
    assert abs(float(worst.had.middle) - faded.known.middle) < 1e-6
    assert plan.days()[worst.book] == 0


def test_a_book_that_hung_long_in_a_bright_spot_is_warned_of(told: Ledger) -> None:
    # As of the story's end: whatever else hangs there is used up too, some time after it.
    with told.log.read() as reader:
        then = replace(told, clock=FakeClock(reader.entry(ENTRIES).recorded))
    days = spot_days(then, OWNER, look_up(told, OWNER).hung)
    used = [book for book, each in days.items() if used_of(each) is Used.UP]
    (plan,) = look_at_rotations(told, OWNER)
    assert used
    assert set(used) <= {each.book for each in plan.books}
