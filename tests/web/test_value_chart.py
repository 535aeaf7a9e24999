"""The drawing of a fair value: steps equally wide, logarithms of prices upright, points by weight, the fit as a stair."""

import itertools
import math

import pytest

from ledger.rules.fair_terms import terms
from ledger.rules.fair_value import Priced, fit_prices
from ledger.rules.grades import Grade, grades
from web.value_chart import BARS, HEIGHT, TOP, Chart, chart_of

LOW, HIGH = Grade("6.0"), Grade("8.0")
HALF = terms().half_life_days
SALES = [
    *(Priced(f"low{at}", LOW.step, 10_000, at * HALF) for at in range(3)),
    *(Priced(f"high{at}", HIGH.step, 40_000, 0) for at in range(3)),
]
OUTLOOK = {Grade("7.0"): 250, Grade("8.0"): 750}


@pytest.fixture
def chart() -> Chart:
    names = {each.id: f"sale {each.id}" for each in SALES}
    made = chart_of(fit_prices(SALES, "USD", terms()), names, Grade("7.0"), OUTLOOK)
    assert made is not None
    return made


def test_every_step_is_a_twenty_fifth_of_the_width_and_lies_at_its_place(chart: Chart) -> None:
    assert [each.x for each in chart.stairs] == pytest.approx([step * 4 for step in range(LOW.step, HIGH.step + 1)])
    assert {each.width for each in chart.stairs} == {4.0}
    assert len(chart.ticks) == len(grades())
    assert chart.now is not None
    assert chart.now.x == pytest.approx((Grade("7.0").step + 0.5) * 4)


def test_equal_ratios_of_prices_are_equal_distances(chart: Chart) -> None:
    # Between 100 and 400 the logarithm goes on a straight line over four steps, so that each rises as far as the last.
    mids = [each.mid for each in chart.stairs]
    rises = [before - after for before, after in itertools.pairwise(mids)]
    assert rises == pytest.approx([rises[0]] * 4, rel=1e-3)
    assert rises[0] > 0
    at = {tick.word: tick.at for tick in chart.prices}
    assert (at["100"] - at["200"]) / math.log(2) == pytest.approx((at["200"] - at["500"]) / math.log(2.5))
    assert at["100"] == pytest.approx(chart.stairs[0].mid)


def test_the_stair_rises_from_the_step_before_and_the_band_lies_around_it(chart: Chart) -> None:
    assert chart.stairs[0].rise is None
    assert [each.rise for each in chart.stairs[1:]] == [each.mid for each in chart.stairs[:-1]]
    assert all(TOP <= each.top < each.mid < each.bottom <= TOP + HEIGHT for each in chart.stairs)
    assert [each.sold for each in chart.stairs] == [True, False, False, False, True]


def test_a_point_has_the_area_of_its_weight_above_the_least_and_its_own_place(chart: Chart) -> None:
    dots = {each.label: each for each in chart.dots}
    sizes = [dots[f"sale low{at}"].r for at in range(3)]
    assert sizes[0] > sizes[1] > sizes[2] > 2.5
    # A half-life halves the weight, and a radius goes by the root of the weight beyond the least one.
    assert (sizes[1] - 2.5) / (sizes[0] - 2.5) == pytest.approx(math.sqrt(0.5))
    assert len({(each.x, each.y) for each in chart.dots}) == len(chart.dots)
    assert all(abs(each.x - (Grade("6.0").step + 0.5) * 4) < 2 for name, each in dots.items() if "low" in name)


def test_a_forecast_stands_below_as_bars_in_proportion(chart: Chart) -> None:
    assert [(each.height, each.word) for each in chart.outlook] == [
        (pytest.approx(BARS / 3), "25\N{NO-BREAK SPACE}%"),
        (BARS, "75\N{NO-BREAK SPACE}%"),
    ]
    assert chart.height > chart.bars_floor


def test_too_few_sales_draw_nothing() -> None:
    assert chart_of(fit_prices(SALES[:2], "USD", terms()), {}, None, None) is None
