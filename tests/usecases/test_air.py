"""The air of rooms and what aged a book: from placements and logs, held against sums by hand; what no log knows stays open."""

from datetime import UTC, datetime, timedelta

import pytest

from ledger.climate_damp import Warned
from ledger.events._settings import Settings
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.placement import Placement, Spot
from ledger.events.room import Room, Wall
from ledger.events.ruling import NewValue, Ruling
from ledger.events.withdrawal import Withdrawal
from ledger.rules.ageing import lifetime_multiplier
from ledger.sealed import Sealed
from ledger.usecases.air import ageing_of, air_of_room, logs
from ledger.usecases.climate import Where, look_at_file, take_in
from tests.builders import an_intervention, on
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER, Teller

DAY = 86_400


def days_of(first: str, days: int, celsius: float, rh: float) -> str:
    """A reading each hour."""
    start = datetime.fromisoformat(first)
    lines = [f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M},{celsius},{rh}\n" for hour in range(days * 24)]
    return "Time,°C,%RH\n" + "".join(lines)


def logged(teller: Teller, text: str, room: str, wall: str | None = None) -> int:
    file = look_at_file(teller.ledger, OWNER, text.encode()).file
    return take_in(teller.ledger, OWNER, file, [Where(channel=1, room=room, wall=wall)]).entries[0].seq


def put(spot: Spot, when: str | None, room: str | None, wall: str | None = None) -> Placement:
    return Placement(on=on(when), spot=spot, room=room, wall=wall)


def clock_at(teller: Teller, day: str) -> None:
    assert isinstance(teller.ledger.clock, FakeClock)
    teller.ledger.clock.time = datetime.fromisoformat(day).replace(tzinfo=UTC)


@pytest.fixture
def book(teller: Teller) -> str:
    return teller.buy(on=on("2025-12-01"))


def test_a_book_s_wall_and_storage_are_added_up_over_its_stays(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-02-10")
    logged(teller, days_of("2026-01-01", 31, 24, 60), "study")
    logged(teller, days_of("2026-01-01", 41, 16, 45), "loft")
    teller.add(book, put(Spot.BOX, "2026-01-01", "loft"))
    teller.add(book, put(Spot.WALL, "2026-01-11", "study", "n"))
    teller.add(book, put(Spot.BOX, "2026-01-21", "loft"))
    found = ageing_of(teller.ledger, OWNER, book)
    assert (found.wall.lasted // DAY, found.wall.known // DAY) == (10, 10)
    assert (found.storage.lasted // DAY, found.storage.known // DAY) == (30, 30)
    # By hand: ten days over the multiplier of 24 and 60, 0.4541, are 22.0 days; thirty over that of 16 and 45.
    assert found.wall.equivalent.middle == pytest.approx(10 / 0.4541, rel=2e-4)
    assert found.storage.equivalent.middle == pytest.approx(30 / lifetime_multiplier(16, 45))
    assert found.wall.equivalent.low < found.wall.equivalent.middle < found.wall.equivalent.high
    # In the 31 days of December nobody wrote down where it was.
    assert found.elsewhere // DAY == 31


def test_where_no_log_is_nothing_is_known_and_nothing_is_filled(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-01-31")
    logged(teller, days_of("2026-01-11", 5, 20, 50), "study")
    teller.add(book, put(Spot.WALL, "2026-01-01", "study", "n"))
    found = ageing_of(teller.ledger, OWNER, book)
    assert (found.wall.lasted // DAY, found.wall.known // DAY, found.wall.coverage_per_mille) == (30, 5, 166)
    assert found.wall.equivalent.middle == pytest.approx(5)
    assert (found.storage.lasted, found.storage.known) == (0, 0)


def test_a_place_without_a_room_has_no_log(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-01-31")
    logged(teller, days_of("2026-01-01", 30, 20, 50), "study")
    teller.add(book, put(Spot.SAFE, "2026-01-01", None))
    found = ageing_of(teller.ledger, OWNER, book)
    assert (found.storage.lasted // DAY, found.storage.known) == (30, 0)


def test_a_vague_date_leaves_its_time_open(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-03-01")
    logged(teller, days_of("2026-01-01", 60, 20, 50), "study")
    teller.add(book, put(Spot.BOX, "2026-01", "study"))
    teller.add(book, put(Spot.WALL, "2026-02-11/2026-02-20", "study", "n"))
    found = ageing_of(teller.ledger, OWNER, book)
    # In the box for certain from the last of January to the eleventh of February, on the wall from the twentieth.
    assert found.storage.lasted // DAY == 11
    assert found.wall.lasted // DAY == 9


def test_a_book_in_other_hands_is_in_no_place(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-01-31")
    logged(teller, days_of("2026-01-01", 30, 20, 50), "study")
    teller.add(book, put(Spot.WALL, "2026-01-01", "study", "n"))
    teller.add(book, Custody(on=on("2026-01-11"), direction=Direction.OUT, to_whom=Hands.EXHIBITION))
    teller.add(book, Custody(on=on("2026-01-21"), direction=Direction.BACK))
    found = ageing_of(teller.ledger, OWNER, book)
    assert found.wall.lasted // DAY == 10


def test_a_log_at_the_book_s_own_wall_counts_before_that_of_the_room(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-01-31")
    logged(teller, days_of("2026-01-01", 30, 20, 50), "study")
    logged(teller, days_of("2026-01-01", 15, 15, 75), "study", "n")
    teller.add(book, put(Spot.WALL, "2026-01-01", "study", "n"))
    found = ageing_of(teller.ledger, OWNER, book)
    assert found.wall.known // DAY == 30
    assert found.wall.equivalent.middle == pytest.approx(15 / lifetime_multiplier(15, 75) + 15)


def test_a_withdrawn_log_counts_no_more(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-01-31")
    seq = logged(teller, days_of("2026-01-01", 30, 20, 50), "study")
    teller.add(book, put(Spot.WALL, "2026-01-01", "study", "n"))
    assert ageing_of(teller.ledger, OWNER, book).wall.known // DAY == 30
    teller.add(None, Withdrawal(on=on("2026-01-31"), entry=seq))
    assert ageing_of(teller.ledger, OWNER, book).wall.known == 0
    assert logs(teller.ledger, OWNER) == ()
    assert air_of_room(teller.ledger, OWNER, "study") is None


def test_presses_stand_beside_wall_and_storage(teller: Teller, book: str) -> None:
    clock_at(teller, "2026-01-31")
    settings = Settings(measured_celsius="65", hold_minutes=10, cooling_minutes=0)
    teller.add(book, an_intervention("hot-press-dry", on=on("2025-12-20"), settings=settings))
    found = ageing_of(teller.ledger, OWNER, book)
    # 65 degrees for ten minutes at 100 kJ/mol, worked out by hand: 1.633 days where the moisture stays.
    assert found.heat.band.middle == pytest.approx(1.633, abs=6e-4)
    assert (found.heat.sessions, found.wall.stays, found.storage.stays) == (1, (), ())
    assert found.elsewhere // DAY == 61


def test_a_room_is_told_over_all_that_is_logged_or_over_a_time(teller: Teller) -> None:
    walls = (Wall(id="n", width_cm="400", height_cm="250"), Wall(id="s", width_cm="400", height_cm="250", outer=True))
    teller.add(None, Room(on=on("2025-12-01"), room="study", walls=walls, name=Sealed.of("The study")))
    logged(teller, days_of("2026-01-01", 10, 21, 55), "study")
    logged(teller, days_of("2026-01-21", 10, 20, 50), "study")
    air = air_of_room(teller.ledger, OWNER, "study")
    assert air is not None
    assert (air.name, air.outer_walls, len(air.logs)) == ("The study", ("s",), 2)
    assert (air.figures.end - air.figures.start) // DAY == 30
    assert air.figures.coverage_per_mille == 666
    assert [each.colder for each in air.figures.damp] == [0, 2, 7]
    # 21 degrees and 55 per cent are 85.6 per cent at a wall of 14, by hand.
    assert [each.warning for each in air.figures.damp] == [Warned.NONE, Warned.NONE, Warned.DAMP]
    assert air.figures.damp[2].above_75 == pytest.approx(20, abs=10.1)
    start = int(datetime(2026, 1, 21, tzinfo=UTC).timestamp())
    later = air_of_room(teller.ledger, OWNER, "study", start, start + 10 * DAY)
    assert later is not None
    assert later.figures.equivalent.middle == pytest.approx(10)
    assert later.figures.multiplier is not None
    assert later.figures.multiplier.low == pytest.approx(1)


def test_what_is_assumed_of_an_outer_wall_is_as_the_collector_ruled(teller: Teller) -> None:
    walls = (Wall(id="s", width_cm="400", height_cm="250", outer=True),)
    teller.add(None, Room(on=on("2025-12-01"), room="study", walls=walls))
    logged(teller, days_of("2026-01-01", 2, 20, 66), "study")
    for row, field, value in (
        ("outer-wall", "cold_kelvin", "4"),
        ("outer-wall", "mild_kelvin", "1"),
        ("held", "days", "2"),
    ):
        shipped = {"cold_kelvin": "7", "mild_kelvin": "2"}.items() if row == "outer-wall" else ()
        values = tuple(
            NewValue(field=name, value={field: value, "cold_kelvin": "4"}.get(name, kept)) for name, kept in shipped
        )
        values = values or (NewValue(field=field, value=value),)
        teller.add(None, Ruling(table="damp_walls", row=row, version=1, values=values))
    air = air_of_room(teller.ledger, OWNER, "study")
    assert air is not None
    assert [each.colder for each in air.figures.damp] == [0, 1, 4]
    # Two days of 66 per cent are damp that lasts, now that two days are enough.
    assert air.figures.damp[0].warning is Warned.HELD


def test_a_room_without_an_outer_wall_is_told_by_its_air_alone(teller: Teller) -> None:
    logged(teller, days_of("2026-01-01", 2, 21, 55), "landing")
    air = air_of_room(teller.ledger, OWNER, "landing")
    assert air is not None
    assert [each.colder for each in air.figures.damp] == [0]
