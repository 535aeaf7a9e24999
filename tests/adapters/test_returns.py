"""Rates of return: the published example, every kept row, and scipy's root finder on flows made at random."""

import json
import math
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from ledger.adapters.returns import XirrReturns
from ledger.money import Money
from ledger.returns import DAYS_LEAST, Flow, Why, why_not

ROWS: dict[str, Any] = json.loads((Path(__file__).parents[1] / "vectors/money/xirr.json").read_text("utf-8"))
RETURNS = XirrReturns()


def flows(row: dict[str, Any]) -> list[Flow]:
    return [
        Flow(on=date.fromisoformat(day), amount=Money(round(amount * 100), "USD", 2)) for day, amount in row["flows"]
    ]


def named(part: str) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("row", ROWS[part], ids=lambda row: row["name"])


@named("single_root")
def test_a_series_with_one_root_has_that_rate(row: dict[str, Any]) -> None:
    found = RETURNS.rate(flows(row))
    assert found == pytest.approx(row["root_brentq"], abs=1e-8)
    assert found == pytest.approx(row["pyxirr"], abs=1e-8)


def test_the_published_example_of_a_spreadsheet_comes_out() -> None:
    row = ROWS["single_root"][0]
    assert row["published"] == "0.373362535"
    assert RETURNS.rate(flows(row)) == pytest.approx(0.373362535, abs=1e-8)


@named("several_roots")
def test_a_series_with_several_roots_gets_no_rate_shown(row: dict[str, Any]) -> None:
    assert RETURNS.rate(flows(row)) == pytest.approx(row["pyxirr_returns"], abs=1e-8)
    assert why_not(flows(row)) is Why.SIGNS


@named("no_answer")
def test_a_series_with_no_root_has_no_rate(row: dict[str, Any]) -> None:
    assert RETURNS.rate(flows(row)) is None
    assert why_not(flows(row)) is Why.SIGNS


@named("meaningless_but_finite")
def test_a_rate_of_a_few_days_is_not_shown(row: dict[str, Any]) -> None:
    assert RETURNS.rate(flows(row)) == pytest.approx(row["rate"], rel=1e-8)
    assert why_not(flows(row)) is Why.SHORT


def test_a_year_is_365_days_and_no_other_count() -> None:
    found, counts = RETURNS.rate(flows(ROWS["single_root"][0])), ROWS["same_flows_other_day_counts"]
    assert [name for name, rate in counts.items() if found == pytest.approx(rate, abs=1e-8)] == ["ACT/365F"]


def bought_and_sold(days: int) -> list[Flow]:
    first = date(2024, 1, 1)
    return [
        Flow(on=first, amount=Money(-10000, "EUR", 2)),
        Flow(on=first + timedelta(days=days), amount=Money(12000, "EUR", 2)),
    ]


def test_a_rate_needs_more_than_ninety_days() -> None:
    assert [why_not(bought_and_sold(days)) for days in (DAYS_LEAST, DAYS_LEAST + 1)] == [Why.SHORT, None]


def test_work_paid_after_the_sale_is_a_second_change_of_sign() -> None:
    assert why_not(flows(ROWS["single_root"][1])) is Why.SIGNS


def test_payments_of_one_day_count_together() -> None:
    first, last = bought_and_sold(400)
    fees = Flow(on=last.on, amount=Money(-500, "EUR", 2))
    assert why_not([first, last, fees]) is None


@st.composite
def one_change(draw: st.DrawFn) -> list[Flow]:
    """Payments out, then payments in, each on its own day."""
    paid = draw(st.lists(st.integers(10**5, 10**6), min_size=1, max_size=6))
    came = draw(st.lists(st.integers(10**5, 10**6), min_size=1, max_size=4))
    gaps = draw(st.lists(st.integers(91, 700), min_size=len(paid) + len(came), max_size=len(paid) + len(came)))
    days = [date(2001, 1, 1) + timedelta(days=sum(gaps[:at])) for at in range(len(gaps))]
    return [
        Flow(on=day, amount=Money(minor, "USD", 2))
        for day, minor in zip(days, [*(-each for each in paid), *came], strict=True)
    ]


@given(one_change())
@settings(max_examples=200, deadline=None)
def test_the_rate_is_that_of_a_general_root_finder(series: list[Flow]) -> None:
    first = series[0].on

    def worth(rate: float) -> float:
        return math.fsum(each.amount.minor / (1 + rate) ** ((each.on - first).days / 365) for each in series)

    assert why_not(series) is None
    expected = brentq(worth, -1 + 1e-9, 1e8, xtol=1e-14, rtol=1e-14, maxiter=1000)
    assert RETURNS.rate(series) == pytest.approx(expected, rel=1e-6, abs=1e-8)
