"""A log over a time, held against sums by hand; gaps stay open, and damp is told by how long it lasts."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.climate_damp import Warned
from ledger.climate_held import Held, held, merged, within
from ledger.climate_log import DAY, figures_of
from ledger.logger_file import Part, month_of
from ledger.rules.ageing import ENERGIES, ENERGY, lifetime_multiplier
from ledger.rules.walls import wall_rules

HOUR = 3600


def part(*readings: tuple[int, int | None, int | None], month: str = "1970-01", start: int = 0) -> Part:
    seconds, celsius, rh = zip(*readings, strict=True)
    return Part(channel=1, month=month, start=start, seconds=seconds, celsius=celsius, rh=rh)


def hours(*airs: tuple[int, int], start: int = 0) -> list[Held]:
    """An hour of each, one after the other."""
    return [Held(start + place * HOUR, HOUR, *air) for place, air in enumerate(airs)]


def test_a_reading_stands_until_the_next_and_no_longer_than_its_interval_where_the_logger_is_silent() -> None:
    first = part((0, 2000, 5000), (HOUR, 2100, 5100), (5 * HOUR, 2200, None), (6 * HOUR, 2300, 5300))
    second = part((0, 2400, 5400), month="1970-02", start=31 * DAY)
    assert list(held([first, second], HOUR)) == [
        Held(0, HOUR, 2000, 5000),
        Held(HOUR, HOUR, 2100, 5100),
        Held(6 * HOUR, HOUR, 2300, 5300),
        Held(31 * DAY, HOUR, 2400, 5400),
    ]
    assert list(held([first], None)) == []


def test_a_day_is_added_up_as_by_hand() -> None:
    # Eight hours each at 18 and 45, 22 and 55, 26 and 60: the sum of hours over their lifetime multipliers, 40.31 h.
    airs = [(1800, 4500)] * 8 + [(2200, 5500)] * 8 + [(2600, 6000)] * 8
    found = figures_of(hours(*airs), 0, DAY)
    by_hand = {
        energy: sum(8 / lifetime_multiplier(celsius, rh, energy) for celsius, rh in ((18, 45), (22, 55), (26, 60))) / 24
        for energy in (*ENERGIES, ENERGY)
    }
    assert found.equivalent.middle == pytest.approx(40.31 / 24, abs=3e-4)
    assert found.equivalent.middle == pytest.approx(by_hand[ENERGY])
    assert found.equivalent.low == pytest.approx(min(by_hand.values()))
    assert found.equivalent.high == pytest.approx(max(by_hand.values()))
    assert found.multiplier is not None
    assert found.multiplier.middle == pytest.approx(0.5954, abs=6e-5)
    assert (found.known, found.coverage_per_mille) == (DAY, 1000)
    assert found.celsius is not None
    assert (found.celsius.low, found.celsius.high) == (18, 26)
    assert found.celsius.mean == pytest.approx(22)


def test_what_is_not_known_is_counted_and_adds_nothing() -> None:
    found = figures_of(hours(*[(2000, 5000)] * 6), 0, DAY)
    assert found.coverage_per_mille == 250
    assert found.equivalent.middle == pytest.approx(0.25)
    assert found.multiplier is not None
    assert found.multiplier.middle == pytest.approx(1)


def test_of_a_time_without_readings_nothing_is_known_and_nothing_is_zero() -> None:
    found = figures_of([], 0, DAY, (2, 7))
    assert (found.multiplier, found.celsius, found.rh, found.dew_point, found.coverage_per_mille) == (
        *(None, None, None, None, 0),
    )
    assert found.warning is Warned.NOT_KNOWN
    assert (found.ranges, found.swings, found.days) == ((), (), ())


def test_damp_that_lasts_for_three_days_is_warned_of_and_75_at_once() -> None:
    for airs, expected in (
        ([(2000, 6500)] * 200, Warned.NONE),
        ([(2000, 6501)] * 71, Warned.NONE),
        ([(2000, 6501)] * 72, Warned.HELD),
        ([(2000, 6501)] * 71 + [(2000, 6400)] + [(2000, 6501)] * 71, Warned.NONE),
        ([(2000, 7500)], Warned.NONE),
        ([(2000, 7501)], Warned.DAMP),
    ):
        assert figures_of(hours(*airs), 0, 20 * DAY).damp[0].warning is expected


def test_a_time_that_is_not_known_ends_a_run_of_damp() -> None:
    log = hours(*[(2000, 7000)] * 40) + hours(*[(2000, 7000)] * 40, start=41 * HOUR)
    (air,) = figures_of(log, 0, 10 * DAY).damp
    assert air.longest_65 == pytest.approx(40 / 24)
    assert air.above_65 == pytest.approx(80 / 24)


def test_an_outer_wall_can_be_damp_while_the_room_is_not() -> None:
    # 21 degrees and 55 per cent are 85.6 per cent at a wall of 14 degrees, worked out by hand.
    found = figures_of(hours(*[(2100, 5500)] * 24), 0, DAY, (2, 7))
    air, mild, cold = found.damp
    assert found.warning is Warned.NONE, "whether the wall is that cold nobody knows"
    assert (air.above_65, air.warning) == (0, Warned.NONE)
    assert mild.above_65 == 0
    assert (cold.above_75, cold.warning) == (1, Warned.DAMP)
    assert (air.mould, cold.mould) == (0, 1)


def test_a_published_range_is_told_by_the_share_of_the_known_time() -> None:
    found = figures_of(hours(*[(2000, 5000)] * 18, *[(2600, 5000)] * 6), 0, DAY)
    shares = {each.range.id: each.per_mille for each in found.ranges}
    assert (shares["bs-4971"], shares["ashrae-d"], shares["iso-11799-optimum"]) == (750, 1000, 0)
    assert {each.range.id: each.per_mille for each in found.swings} == {
        "ashrae-aa": 0,
        "ashrae-a1": 0,
        "ashrae-a2": 0,
        "ashrae-b": 1000,
    }


def test_the_longest_damp_on_end_stands_beside_the_days_until_mould_is_seen() -> None:
    # 30 hours of 76 per cent, one of 64, then 10 of 91: by hand the runs above 65 and 75 are 30 h, above 80 and 90 are 10 h.
    log = hours(*[(2000, 7600)] * 30, (2000, 6400), *[(2000, 9100)] * 10)
    (air,) = figures_of(log, 0, 10 * DAY).damp
    runs = {each.rh: each.longest * 24 for each in air.lasted}
    assert runs == pytest.approx({60: 41, 65: 30, 70: 30, 75: 30, 80: 10, 90: 10})
    assert [(each.seen_least, each.seen_most) for each in air.lasted[:3]] == [(None, None), (365, None), (100, 100)]
    assert air.longest_65 * 24 == pytest.approx(30)


def test_mould_is_told_above_each_published_humidity_by_hand() -> None:
    # At 20 degrees it can begin above 75.62, grows by a millimetre a day above 83.59, on wood above 80.04.
    log = hours(*[(2000, 7500)] * 4, *[(2000, 7600)] * 3, *[(2000, 8100)] * 2, (2000, 8400))
    (air,) = figures_of(log, 0, DAY).damp
    assert [each * 24 for each in (air.mould, air.wood, air.growing)] == pytest.approx([6, 3, 1])


def test_what_counts_as_lasting_is_as_it_was_ruled() -> None:
    log = hours(*[(2000, 7000)] * 48)
    for days, expected in ((3, Warned.NONE), (2, Warned.HELD)):
        rules = replace(wall_rules(), held_days=days)
        assert figures_of(log, 0, 9 * DAY, (), rules).damp[0].warning is expected


def test_a_log_is_told_by_other_formulas_too_as_by_hand() -> None:
    # Eight hours each as in the day above: 3 / (1/P1 + 1/P2 + 1/P3) with P of each by Sebera's equations.
    airs = [(1800, 4500)] * 8 + [(2200, 5500)] * 8 + [(2600, 6000)] * 8
    found = figures_of(hours(*airs), 0, DAY)

    def permanence(celsius: float, rh: float, heat: float) -> float:
        return 50 / rh * math.exp(heat / 0.001987 * (1 / (celsius + 273.15) - 1 / 293.15))

    assert found.isoperm is not None
    for heat, mean in ((25, found.isoperm.high), (30, found.isoperm.middle), (35, found.isoperm.low)):
        by_hand = 3 / sum(1 / permanence(celsius, rh, heat) for celsius, rh in ((18, 45), (22, 55), (26, 60)))
        assert mean == pytest.approx(by_hand)
    assert found.film is not None
    assert found.film < 1
    assert (figures_of([], 0, DAY).isoperm, figures_of([], 0, DAY).film) == (None, None)


def year_of(monthly: list[tuple[int, int]]) -> list[Held]:
    """Thirty days of each, one reading a day."""
    return [Held(day * DAY, DAY, *monthly[day // 30]) for day in range(30 * len(monthly))]


def test_of_less_than_a_year_no_season_is_told() -> None:
    assert figures_of(year_of([(2000, 5000)] * 11), 0, 400 * DAY).seasons == ()
    # A month of which three days and more are not known is none, and is not filled.
    gap = [each for each in year_of([(2000, 5000)] * 12) if not 0 < each.start < 5 * DAY]
    assert figures_of(gap, 0, 400 * DAY).seasons == ()


def test_seasons_are_told_by_the_months_that_lie_near_the_mean_of_all() -> None:
    # Six months at 14 degrees and 45 per cent, six at 26 and 55: 6 K and 5 per cent from the mean, by hand.
    found = figures_of(year_of([(1400, 4500)] * 6 + [(2600, 5500)] * 6), 0, 360 * DAY).seasons
    shares = {each.range.id.removeprefix("ashrae-").removesuffix("-season"): each.per_mille for each in found}
    # AA allows 5 K either way; A1 and A2 10 below and 5 above; B 10 above and below as needed.
    assert shares == {"aa": 0, "a1": 500, "a2": 500, "b": 1000}
    hot = figures_of(year_of([(2300, 5000)] * 6 + [(3100, 5000)] * 6), 0, 360 * DAY).seasons
    assert {each.range.id: each.per_mille for each in hot}["ashrae-b-season"] == 500, "no month of B is above 30"


def test_a_day_is_that_of_the_logger_s_clock() -> None:
    log = [Held(23 * HOUR, 2 * HOUR, 2000, 5000), Held(25 * HOUR, HOUR, 2100, 5200)]
    first, second = figures_of(log, 0, 2 * DAY).days
    assert (first.known, first.celsius) == (HOUR, (2000, 2000))
    assert (second.known, second.celsius, second.rh) == (2 * HOUR, (2000, 2100), (5000, 5200))


def test_of_two_logs_the_first_counts_and_the_other_fills_only_what_it_leaves_open() -> None:
    first = [Held(10, 10, 2000, 5000), Held(40, 10, 2000, 5000)]
    other = [Held(0, 15, 1000, 4000), Held(15, 30, 1000, 4000), Held(60, 5, 1000, 4000)]
    assert merged([first, other]) == [
        Held(0, 10, 1000, 4000),
        Held(10, 10, 2000, 5000),
        Held(20, 20, 1000, 4000),
        Held(40, 10, 2000, 5000),
        Held(60, 5, 1000, 4000),
    ]
    assert merged([]) == []


SPANS = st.lists(st.tuples(st.integers(1, 50), st.integers(1, 50)), max_size=12)


def log_of(spans: list[tuple[int, int]], celsius: int) -> list[Held]:
    at, found = 0, list[Held]()
    for gap, length in spans:
        found.append(Held(at + gap, length, celsius, 5000))
        at += gap + length
    return found


@given(one=SPANS, other=SPANS, third=SPANS)
def test_merged_logs_never_overlap_and_know_every_second_that_one_of_them_knows(
    one: list[tuple[int, int]], other: list[tuple[int, int]], third: list[tuple[int, int]]
) -> None:
    logs = [log_of(one, 1), log_of(other, 2), log_of(third, 3)]
    expected: dict[int, int] = {}
    for log in reversed(logs):
        expected |= {second: each.celsius for each in log for second in range(each.start, each.start + each.seconds)}
    found = [(second, each.celsius) for each in merged(logs) for second in range(each.start, each.start + each.seconds)]
    assert found == sorted(expected.items())


@given(log=SPANS, cut=st.integers(0, 400))
def test_a_time_cut_in_two_adds_up_to_the_whole(log: list[tuple[int, int]], cut: int) -> None:
    readings = log_of(log, 2300)
    whole, left, right = (figures_of(readings, *ends) for ends in ((0, 2000), (0, cut), (cut, 2000)))
    assert left.known + right.known == whole.known
    assert left.equivalent.middle + right.equivalent.middle == pytest.approx(whole.equivalent.middle)
    assert [*within(readings, 0, 2000)] == readings


@given(warmer=st.integers(0, 800), damper=st.integers(0, 1500), colder=st.floats(0.1, 10))
def test_warmer_and_damper_never_spare_paper_and_a_colder_wall_is_never_drier(
    warmer: int, damper: int, colder: float
) -> None:
    before = figures_of(hours((1900, 5500), (2100, 6400)), 0, DAY, (colder,))
    after = figures_of(hours((1900 + warmer, 5500 + damper), (2100 + warmer, 6400 + damper)), 0, DAY, (colder,))
    assert after.equivalent.middle >= before.equivalent.middle
    assert after.equivalent.low >= before.equivalent.low
    for one, other in zip(before.damp, after.damp, strict=True):
        assert other.above_65 >= one.above_65
    assert before.damp[1].above_65 >= before.damp[0].above_65


def test_a_month_is_as_long_as_it_is() -> None:
    name, start, end = month_of(1_772_323_199)  # 2026-02-28 23:59:59 UTC
    assert (name, (end - start) // DAY) == ("2026-02", 28)
