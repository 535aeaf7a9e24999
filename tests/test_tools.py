"""Presses and tools: what their calibration tells and what it does not, room, and what cannot be described so."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ledger.tools import (
    CAPACITY_MOST,
    POINTS_MOST,
    Calibration,
    Point,
    Tool,
    ToolKind,
    ToolSaid,
    flaws_of_tool,
    tool_of,
)

MADE = datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC)
SAID: dict[str, Any] = {"name": "Large press", "kind": "hot press", "capacity": "4"}
MEASURED: dict[str, Any] = {"on": "2026-01-01", "measured_with": "thermocouple between two boards"}
PAIRS = (("40", "38.5"), ("60", "57.25"), ("80", "79"))


def a_calibration(*pairs: tuple[str, str]) -> Calibration:
    points = (Point(set_celsius=Decimal(put), measured_celsius=Decimal(got)) for put, got in pairs)
    return Calibration(on=date(2026, 1, 1), measured_with="a probe", points=tuple(points))


def flaws(**changes: Any) -> list[str]:
    return [each.field for each in flaws_of_tool(ToolSaid(**{**SAID, **changes}))]


def test_between_two_points_it_is_what_numpy_works_out() -> None:
    """Source: numpy.interp, over a grid of quarters of a degree from the first point to the last."""
    found = a_calibration(*PAIRS)
    sets, measured = zip(*((float(put), float(got)) for put, got in PAIRS), strict=True)
    grid = [Decimal(quarter) / 4 for quarter in range(4 * 40, 4 * 80 + 1)]
    ours = [found.measured_at(each) for each in grid]
    assert None not in ours
    theirs = np.interp([float(each) for each in grid], sets, measured)
    assert np.max(np.abs(np.array([float(each or 0) for each in ours]) - theirs)) < 1e-12


def test_a_worked_example_halfway_between_two_points() -> None:
    # By hand: halfway from 40 to 60, (38.5 + 57.25) / 2.
    assert a_calibration(*PAIRS).measured_at(Decimal(50)) == Decimal("47.875")


@pytest.mark.parametrize("celsius", ["39.99", "80.01", "-5", "300"])
def test_outside_of_the_points_nothing_is_known(celsius: str) -> None:
    assert a_calibration(*PAIRS).measured_at(Decimal(celsius)) is None


def test_one_point_tells_only_of_itself() -> None:
    one = a_calibration(("60", "57.25"))
    assert one.measured_at(Decimal("60.0")) == Decimal("57.25")
    assert one.measured_at(Decimal("60.01")) is None
    assert one.measured_at(Decimal("59.99")) is None


def test_a_tool_that_was_never_measured_tells_nothing() -> None:
    tool = tool_of(ToolSaid(**SAID), id="t", made=MADE)
    assert tool.calibration is None
    assert tool.measured_at(Decimal(60)) is None


hundredths = st.integers(-4000, 30000).map(lambda each: Decimal(each) / 100)
calibrations = st.dictionaries(hundredths, hundredths, min_size=2, max_size=POINTS_MOST).map(
    lambda pairs: a_calibration(*((str(put), str(got)) for put, got in sorted(pairs.items())))
)


@given(calibrations, hundredths)
def test_it_is_known_exactly_from_the_first_point_to_the_last(found: Calibration, celsius: Decimal) -> None:
    first, last = found.reach
    assert (found.measured_at(celsius) is not None) == (first <= celsius <= last)


@given(calibrations)
def test_at_each_point_it_is_what_was_measured_there(found: Calibration) -> None:
    for point in found.points:
        assert found.measured_at(point.set_celsius) == point.measured_celsius


@given(calibrations, st.data())
def test_between_two_points_it_is_between_what_was_measured_at_them_and_numpy_agrees(
    found: Calibration, data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(found.points) - 2))
    low, high = found.points[place], found.points[place + 1]
    celsius = data.draw(hundredths)
    assume(low.set_celsius <= celsius <= high.set_celsius)
    measured = found.measured_at(celsius)
    assert measured is not None
    # A quotient has 28 digits, so that the last of them may be one off.
    least = Decimal("1e-20")
    both = low.measured_celsius, high.measured_celsius
    assert min(both) - least <= measured <= max(both) + least
    sets = [float(each.set_celsius) for each in found.points]
    got = [float(each.measured_celsius) for each in found.points]
    assert abs(float(measured) - float(np.interp(float(celsius), sets, got))) < 1e-9


def test_a_tool_is_as_it_was_described_its_points_in_the_order_of_the_dial() -> None:
    said = ToolSaid(**SAID, **MEASURED, points=(PAIRS[2], PAIRS[0]), note=" Slow to warm ")
    tool = tool_of(said, id="t", made=MADE)
    assert (tool.name, tool.kind, tool.capacity, tool.note) == ("Large press", ToolKind.HOT_PRESS, 4, "Slow to warm")
    assert tool.calibration is not None
    assert (tool.calibration.on, tool.calibration.reach) == (date(2026, 1, 1), (Decimal(40), Decimal(80)))


@pytest.mark.parametrize(("busy", "room"), [(0, 4), (3, 1), (4, 0), (9, 0)])
def test_room_is_what_is_left_and_never_less_than_none(busy: int, room: int) -> None:
    assert tool_of(ToolSaid(**SAID), id="t", made=MADE).room(busy) == room


def test_where_no_capacity_was_said_the_room_is_not_known() -> None:
    assert Tool(id="t", name="Boards", kind=ToolKind.WEIGHT, made=MADE).room(50) is None


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({}, []),
        ({**MEASURED, "points": PAIRS}, []),
        ({"name": "  "}, ["name"]),
        ({"name": "x" * 81}, ["name"]),
        ({"name": "two\nlines"}, ["name"]),
        ({"kind": "oven"}, ["kind"]),
        ({"capacity": "0"}, ["capacity"]),
        ({"capacity": str(CAPACITY_MOST + 1)}, ["capacity"]),
        ({"capacity": "a few"}, ["capacity"]),
        ({"capacity": "1.5"}, ["capacity"]),
        ({"note": "x" * 401}, ["note"]),
        ({"points": PAIRS}, ["calibration.on", "calibration.measured_with"]),
        ({**MEASURED}, ["calibration.points.0.set_celsius"]),
        ({**MEASURED, "on": "20260101", "points": PAIRS}, ["calibration.on"]),
        ({**MEASURED, "on": "2026-02-30", "points": PAIRS}, ["calibration.on"]),
        ({**MEASURED, "measured_with": "x" * 81, "points": PAIRS}, ["calibration.measured_with"]),
        ({**MEASURED, "kind": "cold press", "points": PAIRS}, ["calibration.points.0.set_celsius"]),
        ({**MEASURED, "points": (("60", ""),)}, ["calibration.points.0.measured_celsius"]),
        ({**MEASURED, "points": (("hot", "57"),)}, ["calibration.points.0.set_celsius"]),
        ({**MEASURED, "points": (("300.01", "57"),)}, ["calibration.points.0.set_celsius"]),
        ({**MEASURED, "points": (("60", "57.255"),)}, ["calibration.points.0.measured_celsius"]),
        ({**MEASURED, "points": (("60", "57"), ("60.0", "58"))}, ["calibration.points.1.set_celsius"]),
        ({**MEASURED, "points": [(str(each), "57") for each in range(31)]}, ["calibration.points"]),
    ],
)
def test_what_cannot_be_so_is_named_at_its_field(changes: dict[str, Any], found: list[str]) -> None:
    assert flaws(**changes) == found


@given(st.builds(ToolSaid, **dict.fromkeys(("name", "kind", "capacity", "on", "measured_with", "note"), st.text()),
                 points=st.lists(st.tuples(st.text(), st.text()), max_size=3)))  # fmt: skip
def test_whatever_is_typed_is_refused_or_is_a_tool(said: ToolSaid) -> None:
    if not flaws_of_tool(said):
        assert tool_of(said, id="t", made=MADE).name == said.name.strip()
