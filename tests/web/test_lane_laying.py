"""The way in which a lane is laid: the same as if every way had been tried in turn, however few of them were."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events import Event
from ledger.events.count import Count
from ledger.history import history
from tests.builders import CODEC, a_purchase, an_entry, an_intervention, on
from web.axis import axis, placed, span_of
from web.lane_laying import COLUMNS, TURNS, Found, Ground, _cheaper, _Trying
from web.lane_marks import Point, points_of, told
from web.lanes import CLOSE, WIDE

BEGAN, UNTIL = date(2019, 4, 3), date(2026, 1, 1)
DAYS = st.lists(st.integers(0, 2400), min_size=1, max_size=24)


def points(days: Sequence[int], plot: float) -> list[Point]:
    """Points of counts and of steps of work on these days, in the order of the days."""
    events: list[Event] = [a_purchase(BEGAN.isoformat())]
    for place, after in enumerate(sorted(days)):
        day = (BEGAN + timedelta(days=after)).isoformat()
        events.append(an_intervention("dry-cleaning", day) if place % 3 else Count(on=on(day)))
    entries = [an_entry(event, seq, recorded=_the_day_of(event)) for seq, event in enumerate(events, start=1)]
    moments = history(entries, CODEC)
    line = axis([span_of(each) for each in moments], UNTIL, plot=plot)
    return points_of([told(each) for each in placed(moments, line)], line, plot)


def _the_day_of(event: Event) -> datetime:
    assert event.on is not None
    return datetime.combine(event.on.latest_day, time(19), UTC)


def all_in_turn(trying: _Trying) -> Found:
    """Every way tried, up to the first that is low and cheaper than all before it."""
    best: Found | None = None
    for turn in range(len(TURNS)):
        best = _cheaper(best, trying._tried(turn))
        if best is not None and best.is_low:
            break
    assert best is not None
    return best


@given(DAYS, st.sampled_from([WIDE, CLOSE, 300.0]), st.sampled_from([0.0, 26.0]))
def test_what_is_put_off_is_never_what_would_have_been_chosen(days: list[int], plot: float, top: float) -> None:
    found = points(days, plot)
    ground = Ground(top, plot)
    assert _Trying(found, ground).best() == all_in_turn(_Trying(found, ground))


@given(DAYS, st.sampled_from([WIDE, CLOSE]))
def test_no_way_costs_less_than_it_is_said_to_cost_at_least(days: list[int], plot: float) -> None:
    trying = _Trying(points(days, plot), Ground(0.0, plot))
    for turn in range(len(TURNS)):
        tried, least = trying._tried(turn), trying._least(turn)
        if tried is not None and least:
            assert tried.cost >= least - 0.01
            assert not tried.is_low


@pytest.mark.parametrize(
    ("days", "turns"),
    [([500, 1200, 2000], [0]), (list(range(20)), list(range(COLUMNS, len(TURNS))))],
    ids=["far apart", "crowded"],
)
def test_far_apart_only_the_plainest_way_is_laid_and_in_a_crowd_only_columns(days: list[int], turns: list[int]) -> None:
    trying = _Trying(points(days, WIDE), Ground(0.0, WIDE))
    trying.best()
    assert sorted(trying._found) == turns
