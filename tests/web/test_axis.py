"""The axis of time: cut where events lie denser, even within a stretch, told in words, its figures never on each other."""

from datetime import date, timedelta
from itertools import combinations, pairwise
from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.history import Moment
from tests.builders import a_purchase, chain
from web import axis as made
from web.axis import EDGE, Axis, Span, axis, span_of, stretches
from web.leaders import text_width
from web.ticks import CLOSEST, Unit, unit_of

BEGAN, UNTIL = date(2019, 4, 3), date(2026, 11, 25)
PLOT = 980.0


def on(*days: date) -> list[Span]:
    return [Span(day, day) for day in days]


def after(*days: int) -> list[date]:
    return [BEGAN + timedelta(days=each) for each in days]


def in_a_month() -> list[date]:
    """One day in April 2019, twelve in a month of the next year, one much later."""
    return [*after(0), *after(*range(300, 330, 2)), *after(2000)]


def test_a_day_of_the_axis_lies_between_its_ends_and_a_later_one_further_right() -> None:
    line = axis(on(*in_a_month()), UNTIL, plot=PLOT)
    places = [line.place(BEGAN + timedelta(days=each)) for each in range(0, (UNTIL - BEGAN).days, 7)]
    assert places == sorted(places)
    assert places[0] == pytest.approx(EDGE)
    assert line.place(UNTIL) == pytest.approx(100 - EDGE)


def test_what_lies_beyond_an_end_lies_at_the_end() -> None:
    line = axis(on(*after(0, 100)), UNTIL, plot=PLOT)
    assert line.place(date(1900, 1, 1)) == pytest.approx(EDGE)
    assert line.place(date(2100, 1, 1)) == pytest.approx(100 - EDGE)


def test_a_month_of_much_work_takes_more_room_than_the_years_around_it() -> None:
    line = axis(on(*in_a_month()), UNTIL, plot=PLOT)
    assert not line.even
    dense = [part for part in line.stretches if part.dense]
    assert len(dense) == 1
    assert dense[0].begin < BEGAN + timedelta(days=300)
    assert dense[0].end > BEGAN + timedelta(days=328)
    assert dense[0].stop - dense[0].start > 40


def test_brackets_say_how_long_each_stretch_is_and_the_sentence_says_it_of_all() -> None:
    line = axis(on(*in_a_month()), UNTIL, plot=PLOT)
    assert [part.words for part in line.stretches][1] == "32 days, day by day"
    assert line.sentence.startswith("The axis is stretched where more happened: ten months, then 32 days, then ")


def test_words_that_have_no_room_are_left_out_rather_than_cut() -> None:
    line = axis(on(*in_a_month()), UNTIL, plot=300.0)
    for part in line.stretches:
        assert text_width(part.words) < (part.stop - part.start) / 100 * 300 or part.words == ""


def test_events_as_even_as_a_clock_leave_the_axis_even() -> None:
    line = axis(on(*after(*range(0, 2700, 90))), BEGAN + timedelta(days=2700), plot=PLOT)
    assert line.even
    assert line.sentence == ""


def test_one_event_today_has_an_axis_of_a_week() -> None:
    line = axis(on(UNTIL), UNTIL, plot=PLOT)
    assert line.even
    assert (line.stretches[0].end - line.stretches[0].begin).days == 7


def test_a_vague_date_widens_the_axis_and_says_nothing_on_where_it_is_dense() -> None:
    vague = Span(date(1990, 1, 1), date(1999, 12, 31))
    line = axis([vague, *on(*after(0, 1, 2))], UNTIL, plot=PLOT)
    assert line.stretches[0].begin == date(1990, 1, 1)
    assert line.place(vague.middle) > line.place(vague.first)


def test_an_entry_whose_date_is_not_known_stands_where_it_was_written_down() -> None:
    moment = Moment(entry=chain(a_purchase(None))[0], event=a_purchase(None))
    assert span_of(moment) == Span(date(2025, 1, 1), date(2025, 1, 1))


def fitness(days: list[float], cuts: tuple[int, ...], begin: int, end: int, price: float) -> float:
    """The fitness of one way of cutting, worked out from the formula alone."""
    edges = [float(begin), *((low + high) / 2 for low, high in pairwise(days)), float(end)]
    bounds = [0, *cuts, len(days)]
    return sum(
        (last - first) * log((last - first) / max(edges[last] - edges[first], 0.5)) - price
        for first, last in pairwise(bounds)
    )


@given(st.lists(st.integers(0, 400), min_size=2, max_size=8, unique=True), st.floats(0.5, 6))
def test_no_other_way_of_cutting_is_fitter(days: list[int], price: float) -> None:
    # Source: Scargle et al. 2013, section 2.5: the dynamic program finds the global optimum; here against all ways.
    points = sorted(float(BEGAN.toordinal() + day) for day in days)
    begin, end = BEGAN.toordinal(), BEGAN.toordinal() + 401
    found = tuple(made._blocks(points, begin, end, price))[1:]
    ways = [cuts for count in range(len(points)) for cuts in combinations(range(1, len(points)), count)]
    best = max(fitness(points, cuts, begin, end, price) for cuts in ways)
    assert fitness(points, found, begin, end, price) == pytest.approx(best)


@given(st.lists(st.dates(date(1950, 1, 1), UNTIL), min_size=1, max_size=60))
def test_any_days_give_a_few_whole_stretches_that_follow_one_another(days: list[date]) -> None:
    line = axis(on(*days), UNTIL, plot=PLOT)
    assert 1 <= len(line.stretches) <= 5
    for before, then in pairwise(line.stretches):
        assert before.end == then.begin
        assert before.stop == pytest.approx(then.start)
    assert all(part.begin < part.end and part.start < part.stop for part in line.stretches)


@given(st.lists(st.dates(date(1950, 1, 1), UNTIL), min_size=1, max_size=60), st.sampled_from((672.0, 980.0)))
def test_no_figure_stands_on_another(days: list[date], plot: float) -> None:
    figures = [tick for tick in axis(on(*days), UNTIL, plot=plot).ticks if tick.word]
    assert figures
    for before, then in pairwise(figures):
        assert before.x / 100 * plot + text_width(before.word) < then.x / 100 * plot


@pytest.mark.parametrize(
    ("days", "room", "unit"),
    [(30, 400, Unit.DAY), (365, 400, Unit.MONTH), (3650, 200, Unit.YEAR), (20000, 60, Unit.DECADE)],
)
def test_ticks_are_as_fine_as_they_can_be_told_apart(days: int, room: float, unit: Unit) -> None:
    end = BEGAN + timedelta(days=days)
    assert unit_of(BEGAN, end, room) is unit
    lengths = {Unit.DAY: 1, Unit.MONTH: 30, Unit.YEAR: 365, Unit.DECADE: 3652}
    assert room / days * lengths[unit] >= CLOSEST * 0.98


def words_of(line: Axis) -> list[str]:
    return [tick.word for tick in line.ticks if tick.word]


def test_the_first_figure_of_a_stretch_says_all_of_its_date() -> None:
    line = axis(on(*in_a_month()), UNTIL, plot=PLOT)
    assert words_of(line)[0] == "May 2019"
    assert any(word.endswith("Jan 2020") for word in words_of(line))


def test_the_beginning_of_a_year_comes_before_a_month_that_would_take_its_place() -> None:
    begin = date(2023, 11, 18)
    line = axis(on(begin, begin + timedelta(days=690)), begin + timedelta(days=690), plot=500.0)
    assert "Jan 2024" in words_of(line)
    assert "Jan 2025" in words_of(line)


def test_a_cut_lies_between_the_days_it_parts() -> None:
    days = sorted({float(day.toordinal()) for day in in_a_month()})
    cuts = stretches(days, BEGAN, UNTIL)
    assert cuts[0] == BEGAN
    assert cuts[-1] == UNTIL
    assert BEGAN < cuts[1] < BEGAN + timedelta(days=300)
    assert BEGAN + timedelta(days=328) < cuts[2] < BEGAN + timedelta(days=2000)
