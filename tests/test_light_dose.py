"""The light of a book from where it was kept: rooms as they were, the dark, dates as vague as they are, and no guesses."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events._parts import Answer
from ledger.events.custody import Custody, Direction, Hands
from ledger.light_share import Against
from ledger.light_spot import Known
from ledger.rules.light import LightClass
from tests.builders import a_purchase, on
from tests.lit import RULES, a_reading, a_room, boxed, hung, light


def test_a_year_on_the_wall_is_its_light_by_its_hours_worked_out_by_hand() -> None:
    # 2023 has 365 days; 50 lx for 8 hours are 400 lx h a day, and up to 5 lx for the other 16 hours are 80 more.
    found = light(a_purchase("2023-01-01"), hung("2023-01-01"), until=date(2024, 1, 1))
    total = found.total
    assert (total.days, total.unknown_days) == (365, 0)
    assert (total.extent.low, total.extent.middle) == (365 * 400, 365 * 400)
    assert total.extent.high == 365 * 480
    assert found.faded is not None
    # Of blue wool 2 without ultraviolet 146,000 lx h are 0.146 of a just noticeable fade; with it 600,000 are one.
    assert found.faded.without_uv.middle == pytest.approx(0.146)
    assert found.faded.with_uv.middle == pytest.approx(0.146 / 0.6)
    # The least is on blue wool 3 with the doubt, the most on blue wool 1.
    assert found.faded.without_uv.low == pytest.approx(0.146 / 6)
    assert found.faded.with_uv.high == pytest.approx(0.480 * 0.365 / 0.11)
    # Whether ultraviolet is filtered is not known, so both columns are open.
    assert found.faded.known.low == found.faded.without_uv.low
    assert found.faded.known.high == found.faded.with_uv.high


def test_a_box_is_dark_and_the_time_before_a_placement_is_not_known() -> None:
    found = light(a_purchase("2023-01-01"), boxed("2023-01-11"), until=date(2023, 1, 31))
    assert found.total.extent.high == 0
    assert (found.total.days, found.total.unknown_days) == (30, 10)
    assert found.here is not None
    assert found.here.light.known is Known.DARK
    assert found.here.years is None
    assert found.here.against is Against.WITHIN


def test_the_room_counts_as_it_was_stated_at_the_time() -> None:
    rooms = (a_room("2023-01-01", a_reading("50", "24")), a_room("2023-01-11", a_reading("10", "24")))
    found = light(a_purchase("2023-01-01"), hung("2023-01-01"), rooms=rooms, until=date(2023, 1, 21))
    assert found.total.extent.middle == 10 * 1200 + 10 * 240
    assert found.total.extent.low == found.total.extent.high


def test_before_the_room_was_stated_its_light_is_not_known() -> None:
    found = light(
        a_purchase("2023-01-01"), hung("2023-01-01"), rooms=(a_room("2023-01-11", a_reading("50", "24")),), until=date(2023, 1, 21)
    )  # fmt: skip
    assert found.total.unknown_days == 10
    assert found.total.extent.low == 10 * 1200


def test_a_vague_date_gives_the_least_and_the_most_that_it_allows() -> None:
    # Hung some day of January 2023, so for 0 to 30 days of the month and all 28 of February: by hand.
    room = a_room("2020-01-01", a_reading("50", "24"))
    found = light(a_purchase("2022-12-01"), boxed("2022-12-01"), hung("2023-01"), rooms=(room,), until=date(2023, 3, 1))
    assert found.total.extent.low == (28 + 1) * 1200
    assert found.total.extent.high == (28 + 31) * 1200
    assert found.total.extent.middle == (28 + 16) * 1200
    assert found.total.unknown_days == 0


def test_moving_it_within_a_vague_year_to_a_spot_of_the_same_light_leaves_nothing_open() -> None:
    room = a_room("2020-01-01", a_reading("50", "24"))
    found = light(a_purchase("2022-01-01"), hung("2022-01-01"), hung("2023", x="110"), rooms=(room,))
    assert found.total.extent.low == found.total.extent.high == found.total.days * 1200


def test_what_is_lent_has_light_that_nobody_knows_and_what_came_back_waits_for_its_place() -> None:
    room = a_room("2020-01-01", a_reading("50", "24"))
    out = Custody(on=on("2023-02-01"), direction=Direction.OUT, to_whom=Hands.OTHER)
    back = Custody(on=on("2023-02-11"), direction=Direction.BACK)
    found = light(
        a_purchase("2023-01-01"), hung("2023-01-01"), out, back, hung("2023-02-21"), rooms=(room,), until=date(2023, 3, 1)
    )  # fmt: skip
    assert found.total.unknown_days == 20
    assert found.total.extent.low == (31 + 8) * 1200


def test_without_any_date_it_counts_from_when_it_must_have_been_so_and_says_so() -> None:
    # The entries were recorded on 1 January 2025.
    found = light(a_purchase(None), hung(None), until=date(2025, 1, 11))
    assert found.since_open
    assert found.since == date(2025, 1, 1)
    assert found.total.days == 10


def test_a_book_without_an_entry_of_its_place_has_nothing_known() -> None:
    found = light(a_purchase("2024-01-01"), until=date(2024, 1, 31))
    assert (found.total.unknown_days, found.total.extent.middle) == (30, 0)
    assert not found.known
    assert found.here is not None
    assert found.here.against is Against.NOT_KNOWN
    assert found.here.a_year is None


@pytest.mark.parametrize(
    ("lux", "rest", "against"),
    [("4", ("0.3", "16"), Against.WITHIN), ("5", (), Against.OPEN), ("6", ("0", "16"), Against.OVER)],
)
def test_a_year_is_held_against_the_limit_of_the_class(lux: str, rest: tuple[str, ...], against: Against) -> None:
    # 15,000 lx h a year are 41.1 a day. By hand: 36.8; 40 and, of hours without a reading, 0 to 80 more; 48.
    readings = (a_reading(lux, "8"), *((a_reading(*rest),) if rest else ()))
    found = light(a_purchase("2024-01-01"), hung("2024-01-01"), rooms=(a_room("2020-01-01", *readings),)).here
    assert found is not None
    assert found.against is against


def test_the_days_a_year_and_the_copies_that_take_turns_are_as_worked_out_by_hand() -> None:
    # Class high, 50 lx, 4 hours, nothing in the other hours: 15,000 / 200 = 75 days, five copies.
    room = a_room("2020-01-01", a_reading("50", "4"), a_reading("0", "20"))
    found = light(a_purchase("2024-01-01"), hung("2024-01-01"), rooms=(room,)).here
    assert found is not None
    assert found.days is not None
    assert (found.days.low, found.days.middle, found.days.high) == (75, 75, 75)
    assert found.copies == 5
    assert found.brighter is False


def test_signatures_are_told_apart_from_the_cover() -> None:
    low = RULES.of_class(LightClass.LOW)
    found = light(a_purchase("2023-01-01"), hung("2023-01-01"), chosen=low)
    assert found.faded is not None
    assert found.signature is not None
    # With ultraviolet, which is not known to be filtered: steps 2 and 7, at 0.6 and 50 million lux hours.
    assert found.signature.known.middle / found.faded.known.middle == pytest.approx(50 / 0.6)
    nothing = light(a_purchase("2023-01-01"), hung("2023-01-01"), chosen=RULES.of_class(LightClass.NONE))
    assert nothing.faded is None
    assert nothing.here is not None
    assert nothing.here.against is Against.NO_LIMIT


LUX = st.integers(1, 2000)
HOURS = st.integers(1, 24)


@given(LUX, HOURS, LUX, HOURS, st.sampled_from(list(Answer)))
def test_more_light_more_hours_or_ultraviolet_never_lengthen_the_years_left(
    lux: int, hours: int, more: int, longer: int, filtered: Answer
) -> None:
    def left(lux: int, hours: int, filtered: Answer) -> list[float]:
        readings = (a_reading(str(lux), str(hours)), a_reading("0", str(24 - hours)))
        room = a_room("2020-01-01", *readings, uv_filter=filtered)
        found = light(a_purchase("2024-12-01"), hung("2024-12-01"), rooms=(room,)).here
        assert found is not None
        assert found.years is not None
        assert found.days is not None
        bounds = (found.years.low, found.years.middle, found.years.high, found.days.low or 365, found.days.high or 365)
        return [float("inf") if each is None else each for each in bounds]

    before = left(lux, hours, filtered)
    after = left(lux + more, min(24, hours + longer), filtered)
    assert all(then <= now for then, now in zip(after, before, strict=True))
    unfiltered = left(lux, hours, Answer.NO)
    assert all(without <= now for without, now in zip(unfiltered, before, strict=True))


@given(
    st.lists(st.sampled_from(["2020", "2021-03", "2021-03-05", "202X", "2020/2022", "2023"]), min_size=1, max_size=5)
)
def test_the_middle_lies_between_the_least_and_the_most_however_vague_the_dates(dates: list[str]) -> None:
    moves = [hung(each) if place % 2 else boxed(each) for place, each in enumerate(dates)]
    total = light(a_purchase("2019"), *moves).total
    assert 0 <= total.extent.low <= total.extent.middle <= total.extent.high
    assert total.unknown_days <= total.days
