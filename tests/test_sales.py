"""Which comparables count for a fair value, at what price, and which are likely told twice."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events._parts import Holding, Issue
from ledger.market import KeptSale, Rate
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sales import Aside, Asked, converted, counted, twins
from ledger.when import When

DAY = date(2026, 3, 1)
MADE = datetime(2026, 3, 1, tzinfo=UTC)
SALE = KeptSale(
    id="s1",
    issue=Issue(title="Harbor Lamp", number="14", start_year=1952),
    on=When("2026-02-19"),
    grade=Grade("7.5"),
    price=Money.of("120.00", "USD"),
    where="an auction",
    made=MADE,
)
ASKED = Asked(on=DAY, currency="USD")


def rate(of: str, into: str, worth: str, on: str = "2026-02-19") -> Rate:
    return Rate(of=of, into=into, on=When(on), rate=Decimal(worth), source="a central bank", made=MADE)


def test_a_sale_counts_with_its_step_its_price_and_its_age_in_days() -> None:
    (found,) = counted([SALE], ASKED).priced
    assert (found.id, found.step, found.minor, found.age) == ("s1", Grade("7.5").step, 12000, 10)
    assert (found.like_holder, found.like_tone) == (None, None)


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"left_out": "it was restored"}, Aside.LEFT_OUT),
        ({"on": None}, Aside.NO_DATE),
        ({"on": When("2026-03-02")}, Aside.LATER),
        ({"on": When("2027")}, Aside.LATER),
        ({"grade": None}, Aside.NO_GRADE),
        ({"price": Money.zero("USD")}, Aside.NO_PRICE),
        ({"price": Money.of("120.00", "EUR")}, Aside.OTHER_CURRENCY),
    ],
)
def test_a_sale_that_does_not_count_says_why(changes: dict[str, object], why: Aside) -> None:
    found = counted([replace(SALE, **changes)], ASKED)  # type: ignore[arg-type]  # of the fields' own kinds
    assert (found.priced, found.aside) == ((), {"s1": why})


@pytest.mark.parametrize(("on", "age"), [("2025", 242), ("2026", 0), ("2026-03-01", 0), ("2025-12", 75)])
def test_a_vague_date_counts_as_the_middle_of_its_span_and_never_later_than_asked(on: str, age: int) -> None:
    # 2 July 2025 is the 183rd of 365 days, and 16 December the 16th of 31; by the calendar 242 and 75 days before.
    (found,) = counted([replace(SALE, on=When(on))], ASKED).priced
    assert found.age == age


@pytest.mark.parametrize(
    ("book", "sold", "like"),
    [
        (Holding.RAW, Holding.RAW, True),
        (Holding.RAW, Holding.SLABBED, False),
        (Holding.RAW, Holding.NOT_STATED, None),
        (Holding.NOT_STATED, Holding.RAW, None),
    ],
)
def test_a_holder_is_compared_only_where_both_were_told(book: Holding, sold: Holding, like: bool | None) -> None:  # noqa: FBT001
    (found,) = counted([replace(SALE, holding=sold)], replace(ASKED, holding=book)).priced
    assert found.like_holder is like


@pytest.mark.parametrize(
    ("book", "sold", "like"),
    [("Ivory", " ivory", True), ("ivory", "white", False), ("", "x", None), ("ivory", "", None)],
)
def test_page_tones_are_compared_by_their_words(book: str, sold: str, like: bool | None) -> None:  # noqa: FBT001
    (found,) = counted([replace(SALE, tone=sold)], replace(ASKED, tone=book)).priced
    assert found.like_tone is like


def test_a_price_in_another_currency_counts_at_the_rate_of_that_very_day_kept_either_way_round() -> None:
    euro = replace(SALE, price=Money.of("100.00", "EUR"))
    for kept in (rate("EUR", "USD", "1.25"), rate("USD", "EUR", "0.8")):
        found = counted([euro], ASKED, [kept])
        assert [each.minor for each in found.priced] == [12500]
        assert found.converted == {"s1": kept}
    other_day = rate("EUR", "USD", "1.25", on="2026-02-20")
    assert counted([euro], ASKED, [other_day]).aside == {"s1": Aside.OTHER_CURRENCY}


@given(minor=st.integers(1, 10**9), worth=st.decimals("0.01", "90", places=5))
def test_a_converted_price_is_the_exact_product_rounded_half_to_even(minor: int, worth: Decimal) -> None:
    # The standard library's decimal arithmetic, which is exact at this length.
    found = converted(Money(minor, "EUR", 2), rate("EUR", "USD", str(worth)), "USD")
    exact = (Decimal(minor) * worth).to_integral_value(ROUND_HALF_EVEN)
    assert (found.minor if found else 0) == int(exact)


def test_currencies_with_other_decimals_are_counted_in_their_own_units() -> None:
    found = converted(Money.of("100.00", "USD"), rate("USD", "JPY", "150.5"), "JPY")
    assert found == Money(15050, "JPY", 0)


def test_the_same_sale_told_twice_is_likely_a_double_and_one_at_another_place_is_not() -> None:
    again = replace(SALE, id="s2", where="An  auction")
    unsaid = replace(SALE, id="s3", where="")
    elsewhere = replace(SALE, id="s4", where="a shop")
    dearer = replace(SALE, id="s5", price=Money.of("121.00", "USD"))
    assert twins([again, unsaid, elsewhere, dearer], [SALE]) == {"s2": "s1", "s3": "s1", "s4": "s3"}
    assert twins([replace(SALE, id="s6"), replace(SALE, id="s7")], []) == {"s7": "s6"}
