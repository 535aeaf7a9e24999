"""The light of a spot: the nearest reading, estimates with their doubt, and which light has its ultraviolet filtered."""

from typing import Any

import pytest

from ledger.events._parts import Answer
from ledger.events.placement import Around, Housing
from ledger.events.room import Basis, Lamp, LampKind, Window
from ledger.light_spot import Known, Where
from tests.builders import a_purchase
from tests.lit import HERE, a_reading, a_room, extent, hung, light, middle, spot


def test_what_was_measured_at_one_spot_adds_up_over_the_hours_of_the_day() -> None:
    found = spot(HERE, a_room(None, a_reading("50", "8"), a_reading("5", "16")))
    assert extent(found) == (480, 480, 480)
    assert found.lux == 50
    assert found.known is Known.MEASURED


def test_the_nearest_reading_of_the_wall_counts() -> None:
    room = a_room(None, a_reading("50", "8", x="100"), a_reading("200", "8", x="180"))
    assert middle(spot(HERE, room)) == 400
    near = spot(Where(room="r", wall="n", x_cm="150", y_cm="150"), room)
    assert (middle(near), near.away_cm) == (1600, 30)


@pytest.mark.parametrize(("x", "known"), [("200", Known.MEASURED), ("201", Known.TABLE)])
def test_a_reading_counts_as_far_off_as_the_table_says_and_beyond_it_is_an_estimate(x: str, known: Known) -> None:
    found = spot(Where(room="r", wall="n", x_cm=x, y_cm="150"), a_room())
    assert found.known is known


def test_an_estimate_is_of_a_wall_beside_a_window_or_of_one_without() -> None:
    far = Where(room="r", wall="n", x_cm="390", y_cm="150")
    window = Window(wall="n", x_cm="0", y_cm="90", width_cm="100", height_cm="100")
    # Our assumption, and the table's: 1, 3 or 12 hours in a corridor, 4, 8 or 12 on the wall of a room with a window.
    assert extent(spot(far, a_room(None))) == (20 * 1, 50 * 3, 100 * 12)
    assert extent(spot(far, a_room(None, windows=(window,)))) == (50 * 4, 100 * 8, 200 * 12)


def test_a_reading_that_was_estimated_is_carried_with_its_doubt() -> None:
    found = spot(HERE, a_room(None, a_reading("50", "24", basis=Basis.ESTIMATED)))
    assert found.known is Known.ESTIMATED
    assert extent(found) == (600, 1200, 2400)


def test_without_a_place_on_the_wall_all_its_readings_count() -> None:
    room = a_room(None, a_reading("50", "24", x="100"), a_reading("100", "24", x="300"))
    found = spot(Where(room="r", wall="n"), room)
    assert extent(found) == (1200, 1800, 2400)
    assert found.away_cm is None


@pytest.mark.parametrize("where", [Where(), Where(room="other", wall="n"), Where(room="r"), Where(room="r", wall="x")])
def test_without_the_room_or_the_wall_nothing_is_known(where: Where) -> None:
    found = spot(where, a_room())
    assert found.known is Known.NOT_KNOWN
    assert found.lux_hours is None


LAMP = Lamp(id="l", kind=LampKind.LED, uv_filter=Answer.YES)


@pytest.mark.parametrize(
    ("glazing", "room", "filtered"),
    [
        (Answer.NO, {}, Answer.UNSURE),
        (Answer.YES, {"uv_filter": Answer.NO}, Answer.YES),
        (Answer.NO, {"uv_filter": Answer.YES}, Answer.YES),
        (Answer.NO, {"uv_filter": Answer.NO}, Answer.NO),
        (Answer.UNSURE, {"uv_filter": Answer.NO}, Answer.UNSURE),
        (Answer.NO, {"lamps": (LAMP,)}, Answer.YES),
        (Answer.NO, {"lamps": (LAMP, Lamp(id="m", kind=LampKind.LED))}, Answer.UNSURE),
        (Answer.NO, {"lamps": (LAMP, Lamp(id="m", kind=LampKind.LED, uv_filter=Answer.NO))}, Answer.NO),
        (Answer.NO, {"readings": (a_reading(uv_microwatts_per_lumen="10"),)}, Answer.YES),
        (Answer.NO, {"readings": (a_reading(uv_microwatts_per_lumen="40"),)}, Answer.UNSURE),
        (Answer.NO, {"readings": (a_reading(uv_microwatts_per_lumen="76"),)}, Answer.NO),
    ],
)
def test_ultraviolet_is_filtered_by_room_source_or_glazing_and_else_left_open(
    glazing: Answer, room: dict[str, Any], filtered: Answer
) -> None:
    where = Where(room="r", wall="n", x_cm="100", y_cm="150", glazing=glazing)
    assert spot(where, a_room(None, **{"readings": (a_reading(),), **room})).filtered is filtered


@pytest.mark.parametrize(
    ("housing", "filtered"),
    [
        (Housing(around=Around.FRAME, uv_filter=Answer.YES), Answer.YES),
        (Housing(around=Around.FRAME), Answer.UNSURE),
        (Housing(around=Around.SLEEVE), Answer.NO),
    ],
)
def test_the_glazing_of_a_frame_counts_and_a_sleeve_is_no_filter(housing: Housing, filtered: Answer) -> None:
    room = a_room(None, uv_filter=Answer.NO)
    found = light(a_purchase("2020-01-01"), hung("2020-01-01", housings=(housing,)), rooms=(room,))
    assert found.here is not None
    assert found.here.light.filtered is filtered


def test_ultraviolet_that_was_measured_is_told_at_the_brightest_and_dims_with_the_light() -> None:
    # 50 lx at 75 microwatts a lumen, the most that ISO 11799:2003 accepts, are 3.75 mW on a square metre.
    room = a_room(None, a_reading("50", "8", uv_microwatts_per_lumen="75"), a_reading("5", "16"))
    found = spot(HERE, room)
    assert found.uv_milliwatts == 3.75
    assert found.dimmed(0.5).uv_milliwatts == 1.875
    assert spot(HERE, a_room()).uv_milliwatts is None
