"""Weighing choices, held against examples worked out by hand, a simulation with numpy, and what must always hold."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ledger.money import Money, OtherCurrencyError
from ledger.rules._tables import Row, TableError, table
from ledger.rules.grades import Grade, grades
from ledger.rules.worth import Choice, Unvalued, Way, Weighed, WorthError, chance_of_at_least, shares, weighed
from ledger.rules.worth_assumed import assumed
from ledger.rules.worth_gained import Gain, Most, gained, most_to_pay

SEVEN, HALF, EIGHT = Grade("7.0"), Grade("7.5"), Grade("8.0")
WEIGHTS = {SEVEN: 300, HALF: 500, EIGHT: 200}


def usd(text: str) -> Money:
    return Money.of(text, "USD")


VALUES = {SEVEN: usd("100.00"), HALF: usd("200.00"), EIGHT: usd("400.00")}


def a_way(**changes: Any) -> Way:
    """Worth 120.00 as it is, 42.00 to spend; it lands on 7.0, 7.5 or 8.0."""
    plain = {"choice": Choice.WORK_THEN_GRADE, "given_up": usd("120.00"), "weights": WEIGHTS, "values": VALUES}
    return Way(**{**plain, "spent": (usd("30.00"), usd("10.00"), usd("2.00")), **changes})


def fractions(*whole: int) -> list[Fraction]:
    return [Fraction(each) for each in whole]


def told(way: Way) -> Weighed:
    found = weighed(way)
    assert isinstance(found, Weighed)
    return found


def test_a_choice_is_weighed_as_by_hand() -> None:
    """By hand: net at 7.0 is 100 - 42 - 120 = -62, at 7.5 it is 38, at 8.0 it is 238; 0.3, 0.5 and 0.2 of them are 48.

    Break-even: at 7.5 or better the mean is (0.5 * 38 + 0.2 * 238) / 0.7 = 66.6 / 0.7, below it -62, so that the
    chance is 62 / (62 + 66.6 / 0.7) = 43.4 / 110.
    """
    found = told(a_way(days=90))
    assert [found.net, found.cost, found.low, found.high] == fractions(4800, 4200, -6200, 23800)
    assert found.loss == Fraction(3, 10)
    assert found.break_even is not None
    assert (found.break_even.needed, found.break_even.chance, found.break_even.held) == (
        HALF,
        Fraction(434, 1100),
        Fraction(7, 10),
    )
    assert (found.days, str(found.money(found.net))) == (90, "48.00 USD")


def test_harm_and_a_sale_take_their_share_as_by_hand() -> None:
    """By hand, one step worth 200.00: a sale keeps a tenth, harm of 1 in 50 takes half of it.

    180 - 42 - 120 = 18 with 0.98, 90 - 162 = -72 with 0.02: on average 16.20.
    """
    found = told(a_way(weights={HALF: 1000}, sale_keeps_per_mille=100, risk_per_mille=20, harm_takes_per_mille=500))
    assert [found.net, found.low, found.high] == fractions(1620, 1800, 1800)
    assert found.loss == Fraction(1, 50)


def test_leaving_a_book_costs_and_brings_nothing() -> None:
    found = told(a_way(choice=Choice.LEAVE))
    assert [found.net, found.low, found.high, found.loss, found.cost] == fractions(0, 0, 0, 0, 0)
    assert found.break_even is None


def test_a_step_without_a_value_is_named_and_not_guessed() -> None:
    found = weighed(a_way(values={HALF: usd("200.00")}))
    assert found == Unvalued(choice=Choice.WORK_THEN_GRADE, steps=(SEVEN, EIGHT))


def test_no_step_breaks_even_where_none_brings_back_what_it_costs() -> None:
    assert told(a_way(given_up=usd("900.00"))).break_even is None


def test_where_every_step_pays_the_lowest_needs_no_chance() -> None:
    even = told(a_way(given_up=usd("1.00"))).break_even
    assert even is not None
    assert even.needed == SEVEN
    assert [even.chance, even.held] == fractions(0, 1)


def test_a_step_without_weight_stands_for_its_side_of_the_break_even() -> None:
    """By hand: all weight on 7.0, net -62; the needed 7.5 has net 38, so 62 of 100 would do."""
    even = told(a_way(weights={SEVEN: 1})).break_even
    assert even is not None
    assert even.chance == Fraction(62, 100)
    assert even.held == 0


def test_what_cannot_be_weighed_is_refused() -> None:
    with pytest.raises(OtherCurrencyError):
        weighed(a_way(given_up=Money.of("120.00", "EUR")))
    with pytest.raises(WorthError, match="per mille"):
        weighed(a_way(risk_per_mille=1001))
    with pytest.raises(WorthError, match="below zero"):
        weighed(a_way(given_up=usd("-1.00")))
    with pytest.raises(WorthError, match="no chances"):
        shares({SEVEN: 0})


def test_easing_a_defect_is_worth_the_difference_as_by_hand() -> None:
    """By hand: a tenth moved from 7.0 (100.00) to 8.0 (400.00) adds 30.00, and a tenth to the chance of 8.0."""
    found = gained(a_way(), {SEVEN: 200, HALF: 500, EIGHT: 300}, EIGHT)
    assert found == Gain(value=Fraction(3000), at_least=EIGHT, chance=Fraction(1, 10))
    assert gained(a_way(), {Grade("9.8"): 1}, EIGHT) == Unvalued(choice=Choice.WORK_THEN_GRADE, steps=(Grade("9.8"),))


def test_the_most_to_pay_is_as_by_hand() -> None:
    """By hand: 210.00 on average (0.3 * 100 + 0.5 * 200 + 0.2 * 400), less 42.00 and 8.00 of carriage, is 160.00.

    With a margin of 40.00 and a premium of a quarter it is 120.00 / 1.25 = 96.00; a tax of a fifth on both leaves 80.00.
    """
    way = a_way(given_up=usd("8.00"))
    assert most_to_pay(way) == Most(exact=Fraction(16000), currency="USD", exponent=2)
    with_margin = most_to_pay(way, premium_per_mille=250, margin=usd("40.00"))
    assert isinstance(with_margin, Most)
    assert str(with_margin.money) == "96.00 USD"
    taxed = most_to_pay(way, premium_per_mille=250, tax_per_mille=200, margin=usd("40.00"))
    assert isinstance(taxed, Most)
    assert str(taxed.money) == "80.00 USD"


def test_the_most_to_pay_is_rounded_down_and_may_be_below_nothing() -> None:
    thirds = most_to_pay(a_way(given_up=usd("0.00"), weights={SEVEN: 1, HALF: 2}, spent=()))
    assert isinstance(thirds, Most)
    assert (thirds.exact, str(thirds.money)) == (Fraction(50000, 3), "166.66 USD")
    below = most_to_pay(a_way(given_up=usd("8.00"), spent=(usd("500.00"),)))
    assert isinstance(below, Most)
    assert below.money.minor < 0
    assert isinstance(most_to_pay(a_way(values={})), Unvalued)
    with pytest.raises(OtherCurrencyError):
        most_to_pay(a_way(), margin=Money.of("1.00", "EUR"))


def test_buying_at_the_most_to_pay_leaves_exactly_the_margin() -> None:
    way = a_way(given_up=usd("8.00"), sale_keeps_per_mille=130, risk_per_mille=20, harm_takes_per_mille=400)
    most = most_to_pay(way, premium_per_mille=150, tax_per_mille=77, margin=usd("25.00"))
    assert isinstance(most, Most)
    paid = most.exact * Fraction(1150, 1000) * Fraction(1077, 1000)
    assert told(way).net - paid == 2500


AMOUNTS = st.integers(0, 10**7)
STEPS = st.lists(st.integers(0, 24), min_size=1, max_size=6, unique=True)


@st.composite
def ways(draw: st.DrawFn) -> Way:
    """Any choice whose values never fall as the grade rises."""
    steps = [Grade.at(step) for step in sorted(draw(STEPS))]
    rising = sorted(draw(st.lists(AMOUNTS, min_size=len(steps), max_size=len(steps))))
    weights = draw(st.lists(st.integers(0, 1000), min_size=len(steps), max_size=len(steps)))
    assume(any(weights))
    mille = [draw(st.integers(0, 1000)) for _ in range(3)]
    return Way(
        choice=Choice.ONE_MORE_SESSION,
        given_up=Money(draw(AMOUNTS), "USD", 2),
        weights=dict(zip(steps, weights, strict=True)),
        values={grade: Money(minor, "USD", 2) for grade, minor in zip(steps, rising, strict=True)},
        spent=(Money(draw(AMOUNTS), "USD", 2),),
        sale_keeps_per_mille=mille[0],
        risk_per_mille=mille[1],
        harm_takes_per_mille=mille[2],
    )


@given(ways(), st.integers(0, 10**5))
def test_raising_every_value_never_lowers_the_net(way: Way, more: int) -> None:
    raised = {grade: Money(each.minor + more, "USD", 2) for grade, each in way.values.items()}
    assert told(with_changes(way, values=raised)).net >= told(way).net


@given(ways())
def test_at_the_break_even_chance_the_net_is_zero(way: Way) -> None:
    even = told(way).break_even
    assume(even is not None and 0 < even.held < 1 and even.chance > 0)
    assert even is not None
    held = shares(way.weights)
    moved = {
        grade: share * (even.chance / even.held if grade >= even.needed else (1 - even.chance) / (1 - even.held))
        for grade, share in held.items()
    }
    assert sum(moved.values()) == 1
    assert told(with_changes(way, weights=moved)).net == 0


@given(ways(), st.fractions(0, 1))
def test_moving_chance_to_a_better_step_never_lowers_net_nor_chance(way: Way, part: Fraction) -> None:
    held = shares(way.weights)
    worst, best = min(held), max(way.values)
    moved = dict(held)
    moved[worst] -= held[worst] * part
    moved[best] = moved.get(best, Fraction(0)) + held[worst] * part
    after = with_changes(way, weights=moved)
    assert told(after).net >= told(way).net
    assert told(after).loss <= told(way).loss
    gain = gained(way, moved, best)
    assert isinstance(gain, Gain)
    assert gain.value == told(after).net - told(way).net
    assert gain.chance == chance_of_at_least(moved, best) - chance_of_at_least(held, best)


@given(ways())
def test_low_net_and_high_stand_in_the_distribution_and_chances_between_none_and_all(way: Way) -> None:
    found = told(way)
    assert found.low <= found.high
    assert 0 <= found.loss <= 1
    if found.break_even is not None:
        assert 0 <= found.break_even.chance <= 1


def test_a_simulation_with_numpy_agrees() -> None:
    """A million draws; the bounds are five standard errors of a mean or of a chance."""
    way = a_way(sale_keeps_per_mille=130, risk_per_mille=40, harm_takes_per_mille=600)
    found, draws = told(way), 1_000_000
    chance = np.random.default_rng(20261126)
    values = np.array([VALUES[each].minor for each in (SEVEN, HALF, EIGHT)], dtype=float)
    drawn = values[chance.choice(3, size=draws, p=[0.3, 0.5, 0.2])] * 0.87
    net = drawn * np.where(chance.random(draws) < 0.04, 0.4, 1.0) - 4200 - 12000
    assert abs(net.mean() - float(found.net)) < 5 * net.std() / draws**0.5
    assert abs((net < 0).mean() - float(found.loss)) < 5 * 0.5 / draws**0.5
    ends = np.quantile(net, [0.05, 0.95], method="inverted_cdf")
    assert ends == pytest.approx([float(found.low), float(found.high)])


@pytest.mark.parametrize("choice", Choice)
def test_every_choice_has_assumptions_with_their_source(choice: Choice) -> None:
    found = assumed(choice)
    assert found.title
    assert found.sources[0].startswith("our assumption, editable")
    assert {row.id for row in table("worth").rows} == set(Choice)


def test_a_row_that_counts_in_a_collection_takes_the_place_of_the_shipped_one() -> None:
    row = table("worth").row("work-then-grade")
    assert row is not None
    assert assumed(Choice.WORK_THEN_GRADE, edited(row, {"risk_per_mille": 25})).risk_per_mille == 25
    with pytest.raises(TableError):
        assumed(Choice.WORK_THEN_GRADE, edited(row, {"risk_per_mille": 1001}))


def test_all_steps_of_the_scale_can_be_weighed() -> None:
    values = {grade: Money(100 * (grade.step + 1), "USD", 2) for grade in grades()}
    found = told(a_way(weights=dict.fromkeys(grades(), 1), values=values, given_up=usd("0.00"), spent=()))
    assert found.net == Fraction(100 * 13)  # the mean of 1 to 25


def edited(row: Row, values: Mapping[str, int]) -> Row:
    return Row(row.table, {**row.fields, **values}, row.sources)


def with_changes(way: Way, **changes: Any) -> Way:
    return Way(**{**vars(way), **changes})
