"""What a fair value says in words: what was allowed for, what was brought to another currency, what lies beyond."""

import math
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from ledger.events._parts import Holding, Issue
from ledger.market import KeptSale, Rate
from ledger.money import Money
from ledger.rules.fair_price import value_at
from ledger.rules.fair_terms import terms
from ledger.rules.fair_value import fit_prices
from ledger.rules.grades import Grade
from ledger.sales import Asked, counted
from ledger.usecases.comparables import Valued
from ledger.usecases.value_book import NAMED_MOST, used_for
from ledger.when import When
from web.value_subject import Subject
from web.value_told import grade_lines, notes_of, sale_lines

ISSUE = Issue(title="Harbor Lamp", number="14", start_year=1952)
DAY = date(2026, 3, 1)
MADE = datetime(2026, 3, 1, tzinfo=UTC)


def sale(at: int, price: int, *, grade: str = "7.5", holding: Holding = Holding.RAW, code: str = "USD") -> KeptSale:
    return KeptSale(
        id=f"s{at:03}",
        issue=ISSUE,
        on=When.of_day(DAY - timedelta(days=at)),
        grade=Grade(grade),
        price=Money(price * 100, code, 2),
        holding=holding,
        tone="white" if at % 2 else "cream",
        made=MADE,
    )


def valued(sales: list[KeptSale], rates: list[Rate] | None = None, tone: str = "") -> Valued:
    asked = Asked(on=DAY, currency="USD", holding=Holding.RAW, tone=tone)
    found = counted(sales, asked, rates or [])
    return Valued(
        issue=ISSUE, asked=asked, sales=tuple(sales), counted=found, fit=fit_prices(found.priced, "USD", terms())
    )


def told(of: Valued, **changes: object) -> str:
    return " ".join(notes_of(of, Subject(book="b", issue=ISSUE, **changes)))  # type: ignore[arg-type]  # its own fields


def test_a_difference_between_raw_and_slabbed_is_stated_in_percent_where_there_is_enough() -> None:
    sales = [sale(at, 200 if at % 2 else 100, holding=Holding.SLABBED if at % 2 else Holding.RAW) for at in range(20)]
    words = told(valued(sales))
    # By hand: raw copies sold at half the price of the others, which is 50 % less.
    assert "raw copies sold at \N{MINUS SIGN}50 % against the others; 10 prices were brought to theirs." in words
    value = value_at(valued(sales).fit, Grade("7.5"))
    assert value is not None
    assert math.isclose(value.mid.minor, 10_000, rel_tol=1e-4)


def test_where_there_is_too_little_it_says_how_many_there_are_and_are_needed() -> None:
    words = told(valued([sale(at, 100, holding=Holding.SLABBED if at < 2 else Holding.RAW) for at in range(10)]))
    assert "there are 8 sales that are raw and 2 of the other sort, and 6 of either are needed" in words


def test_page_tone_is_told_apart_only_where_one_is_asked_for() -> None:
    sales = [sale(at, 110 if at % 2 else 100) for at in range(20)]
    assert "Page tone is not allowed for, because none is asked for." in told(valued(sales))
    assert "copies with a page tone of White sold at +10 % against the others" in told(valued(sales, tone="White"))


def test_prices_in_another_currency_are_counted_only_at_a_rate_of_their_day() -> None:
    sales = [*(sale(at, 100) for at in range(6)), sale(6, 100, code="EUR"), sale(7, 100, code="EUR")]
    rate = Rate(of="EUR", into="USD", on=sales[6].on or When("2026"), rate=Decimal("1.1"), source="a bank", made=MADE)
    words = told(valued(sales, [rate]))
    assert "7 sales count, as of 1 March 2026. One more cannot count" in words
    assert "One price was brought to USD at a kept rate of its day." in words
    lines = {each.id: each.counts for each in sale_lines(valued(sales, [rate]), "on", down=True)}
    assert lines["s007"] == "does not count: in another currency, and no rate of that day is kept"
    assert lines["s000"] == "100 % of a sale of today"


@pytest.mark.parametrize(
    ("weights", "words"),
    [
        ({Grade("7.5"): 1000}, "Over the last forecast the price is 100.00\N{NO-BREAK SPACE}USD on average."),
        (
            {Grade("7.5"): 500, Grade("9.0"): 500},
            "the price is at least 100.00\N{NO-BREAK SPACE}USD on average: 50 % of it lies beyond the sales",
        ),
    ],
)
def test_a_forecast_is_told_as_an_average_or_as_a_lower_bound(weights: dict[Grade, int], words: str) -> None:
    assert words in told(valued([sale(at, 100) for at in range(8)]), outlook=weights)


def test_neighbours_are_named() -> None:
    sales = [*(sale(at, 100, grade="6.0") for at in range(4)), *(sale(at + 9, 300, grade="7.0") for at in range(4))]
    lines = {each.grade: each for each in grade_lines(valued(sales).fit, Grade("6.5"))}
    assert lines["6.5"].rests == "8 sales at 6.0 and 7.0"
    assert lines["6.0"].rests == "4 sales of this grade"
    assert [each.grade for each in lines.values() if each.now] == ["6.5"]
    turned = [*(sale(at, 300, grade="6.0") for at in range(4)), *(sale(at + 9, 100, grade="7.0") for at in range(4))]
    assert grade_lines(valued(turned).fit, None)[0].rests == "8 sales, drawn together with 6.0"


def test_a_valuation_names_the_newest_sales_where_there_are_more_than_it_can_name() -> None:
    of = valued([sale(at, 100) for at in range(NAMED_MOST + 20)])
    value = value_at(of.fit, Grade("7.5"))
    assert value is not None
    used = used_for(of, value)
    assert len(used) == NAMED_MOST
    assert used[0].on == When.of_day(DAY)
    assert min(each.on.earliest_day for each in used if each.on) == DAY - timedelta(days=NAMED_MOST - 1)
