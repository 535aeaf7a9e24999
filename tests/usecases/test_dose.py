"""The dose of a step: a band from what was recorded, nothing guessed, and never a press's time for its heat."""

from typing import Any

import pytest

from ledger.dose import NOTHING, dose_of, heat_of
from ledger.events._settings import Moisture, Settings
from ledger.events.correction import Correction
from ledger.events.withdrawal import Withdrawal
from ledger.rules.ageing import ENERGY, hold_days
from ledger.sealed import Sealed
from ledger.usecases.look import look_at
from tests.builders import an_intervention
from tests.usecases.telling import OWNER, Teller


def a_press(technique: str = "hot-press-dry", **settings: Any) -> Any:
    return an_intervention(technique, settings=Settings(**settings))


def middle_of(step: Any) -> float:
    """The middle of its band, which can be told."""
    dose = dose_of(step)
    assert dose is not None
    assert dose.band is not None
    return dose.band.middle


def test_ten_minutes_at_65_degrees_are_about_1_6_days() -> None:
    dose = dose_of(a_press(measured_celsius="65", hold_minutes=10, cooling_minutes=0))
    assert dose is not None
    assert dose.band is not None
    # The band of a pack whose moisture is not known: dried out and 70 kJ/mol to humidified and 120 kJ/mol.
    found = (dose.band.low, dose.band.middle, dose.band.high)
    assert found == pytest.approx((0.014, 1.633, 8.244), abs=6e-4)
    assert not dose.from_the_dial
    assert not dose.cooling_left_out


@pytest.mark.parametrize(
    ("moisture", "rh", "low", "middle", "high"),
    [
        (Moisture.ROOM, None, 0.014, 1.633, 4.866),
        (Moisture.NONE, None, 0.014, 1.633, 4.866),
        # A room of 75 per cent: as much more as 75 per cent are over 50, to the power of 1.3.
        (Moisture.ROOM, 75, 0.024, 2.766, 8.244),
        (Moisture.CHAMBER, 75, 0.317, 2.766, 8.244),
        (Moisture.LIGHT_MIST, None, 0.317, 2.766, 8.244),
    ],
)
def test_what_is_known_of_the_moisture_narrows_the_band(
    moisture: Moisture, rh: int | None, low: float, middle: float, high: float
) -> None:
    technique = "hot-press-humidified" if moisture in (Moisture.CHAMBER, Moisture.LIGHT_MIST) else "hot-press-dry"
    step = a_press(
        technique, measured_celsius="65", hold_minutes=10, cooling_minutes=0, moisture=moisture, rh_percent=rh
    )
    dose = dose_of(step)
    assert dose is not None
    assert dose.band is not None
    assert (dose.band.low, dose.band.middle, dose.band.high) == pytest.approx((low, middle, high), abs=1e-3)


def test_a_day_in_the_press_is_no_day_in_the_heat() -> None:
    dose = dose_of(a_press(measured_celsius="65", total_minutes=1440))
    assert dose is not None
    assert dose.band is None
    assert dose.missing == ("hold_minutes",)


def test_cooling_is_counted_beyond_what_the_room_would_do_anyway() -> None:
    hot, cooled, longer = (
        middle_of(a_press(measured_celsius="65", hold_minutes=10, cooling_minutes=cooling))
        for cooling in (0, 710, 2000)
    )
    # Half a day in a room of 21 degrees and a quick cooling gave 2.633; the room itself is half a day of that.
    assert cooled == pytest.approx(2.05, abs=0.06)
    assert hot < cooled == pytest.approx(longer, rel=0.01)


def test_a_temperature_that_was_only_set_is_said_to_be_the_dials() -> None:
    dose = dose_of(a_press(set_celsius="60", hold_minutes=10))
    assert dose is not None
    assert dose.from_the_dial
    assert dose.cooling_left_out
    assert dose.band is not None
    assert dose.band.middle == pytest.approx(hold_days(60, 10, energy=ENERGY))


@pytest.mark.parametrize(
    ("settings", "missing"),
    [
        ({}, ("measured_celsius", "hold_minutes")),
        ({"hold_minutes": 10}, ("measured_celsius",)),
        ({"set_celsius": "60"}, ("hold_minutes",)),
    ],
)
def test_heat_whose_figures_are_missing_is_not_known_and_not_zero(
    settings: dict[str, Any], missing: tuple[str, ...]
) -> None:
    dose = dose_of(a_press(**settings))
    assert dose is not None
    assert (dose.band, dose.missing) == (None, missing)


@pytest.mark.parametrize("technique", ["dry-cleaning", "cold-press", "rest-under-weight"])
def test_work_without_heat_has_no_dose(technique: str) -> None:
    assert dose_of(an_intervention(technique)) is None
    assert dose_of(a_press(technique, measured_celsius="21", hold_minutes=600)) is None


def test_a_books_sessions_add_and_those_that_cannot_be_told_are_counted(teller: Teller) -> None:
    book = teller.buy()
    first = teller.add(book, a_press(measured_celsius="65", hold_minutes=10))
    teller.add(book, a_press(measured_celsius="65", hold_minutes=5))
    teller.add(book, a_press(set_celsius="60"))
    teller.add(book, an_intervention("dry-cleaning"))
    heat = heat_of(look_at(teller.ledger, OWNER, book).moments)
    assert (heat.sessions, heat.untold) == (3, 1)
    assert heat.band.middle == pytest.approx(hold_days(65, 15))
    teller.add(book, Withdrawal(entry=first.seq, reason=Sealed.of("of another book")))
    heat = heat_of(look_at(teller.ledger, OWNER, book).moments)
    assert heat.sessions == 2
    assert heat.band.middle == pytest.approx(hold_days(65, 5))


def test_a_correction_of_a_hold_counts(teller: Teller) -> None:
    book = teller.buy()
    step = teller.add(book, a_press(measured_celsius="65", hold_minutes=10))
    changes = {"settings": {"measured_celsius": "65", "hold_minutes": 20}}
    teller.add(book, Correction(entry=step.seq, changes=changes, reason=Sealed.of("a slip")))
    assert heat_of(look_at(teller.ledger, OWNER, book).moments).band.middle == pytest.approx(hold_days(65, 20))


def test_a_book_that_was_never_heated_here_has_none(teller: Teller) -> None:
    heat = heat_of(look_at(teller.ledger, OWNER, teller.buy()).moments)
    assert (heat.band, heat.sessions, heat.untold) == (NOTHING, 0, 0)
