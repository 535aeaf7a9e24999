"""Money: exact, in one currency, split without losing a unit."""

import json
from dataclasses import dataclass, field
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from ledger.money import (
    MINOR_MOST,
    Money,
    MoneyError,
    OtherCurrencyError,
    WeightsError,
)
from ledger.rules.currencies import CurrencyError

AMOUNTS = st.integers(-(10**12), 10**12)


def usd(minor: int) -> Money:
    return Money(minor, "USD", 2)


def test_an_amount_is_written_with_the_decimals_of_its_currency() -> None:
    # Source: ISO 4217 minor units: USD 2, JPY 0, KWD 3, CLF 4.
    written = [
        str(Money.of(*pair)) for pair in (("1250.00", "USD"), ("100", "JPY"), ("-1.005", "KWD"), ("0.0001", "CLF"))
    ]
    assert written == ["1250.00 USD", "100 JPY", "-1.005 KWD", "0.0001 CLF"]
    assert Money.of("-1.005", "KWD") == Money(-1005, "KWD", 3)


@pytest.mark.parametrize(
    "amount",
    [
        "1250",
        "1250.0",
        "1250.000",
        "1,250.00",
        "01250.00",
        "+1.00",
        "-0.00",
        " 1.00",
        "1.00\n",
        "",
        "1e3",
        "9" * 5000 + ".00",
        "\u0661.00",
    ],
)
def test_any_other_spelling_of_an_amount_is_refused_with_the_right_one(amount: str) -> None:
    with pytest.raises(MoneyError) as caught:
        Money.of(amount, "USD")
    assert "1250.00" in caught.value.mend


@given(minor=st.integers(-MINOR_MOST, MINOR_MOST), code=st.sampled_from(["USD", "JPY", "KWD", "CLF", "DEM"]))
def test_writing_an_amount_and_reading_it_again_changes_nothing(minor: int, code: str) -> None:
    money = Money(minor, code, Money.zero(code).exponent)
    assert Money.of(money.amount, code) == money


def test_the_exponent_must_be_the_one_of_the_currency() -> None:
    with pytest.raises(MoneyError) as caught:
        Money(100, "JPY", 2)
    assert caught.value.where == "exponent"
    assert "JPY has 0 decimals" in str(caught.value)


@pytest.mark.parametrize("minor", [MINOR_MOST + 1, -MINOR_MOST - 1, 1.0, True, "1", None])
def test_a_minor_amount_is_a_whole_number_that_json_keeps_exact(minor: Any) -> None:
    # Source: RFC 8259 section 6 and RFC 7493 section 2.2: integers within ±(2**53 - 1) are exact everywhere.
    with pytest.raises(MoneyError) as caught:
        Money(minor, "USD", 2)
    assert caught.value.where == "minor"
    assert MINOR_MOST == 9007199254740991


def test_amounts_of_one_currency_are_added_subtracted_negated_and_compared() -> None:
    assert usd(125) + usd(-25) == usd(100)
    assert usd(125) - usd(25) == usd(100)
    assert -usd(5) == usd(-5)
    assert sum([usd(1), usd(2)], Money.zero("USD")) == usd(3)
    assert usd(1) < usd(2) <= usd(2) < usd(3)
    assert max(usd(-3), usd(2)) == usd(2)


@pytest.mark.parametrize("act", [lambda a, b: a + b, lambda a, b: a - b, lambda a, b: a < b, lambda a, b: a >= b])
def test_amounts_of_two_currencies_are_never_put_together(act: Any) -> None:
    with pytest.raises(OtherCurrencyError) as caught:
        act(usd(1), Money(1, "EUR", 2))
    assert (caught.value.left, caught.value.right) == ("USD", "EUR")
    assert "rate" in caught.value.mend


def test_a_sum_that_leaves_the_exact_range_is_refused() -> None:
    with pytest.raises(MoneyError):
        _ = usd(MINOR_MOST) + usd(1)


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    # Source: largest remainder method (Hare quota), ties to the lower index, a negative total split as its opposite.
    # The last row is the widely printed seat apportionment example of the Hare quota.
    [
        (2500, [12000, 7500, 5500, 3000], [1071, 670, 491, 268]),
        (999, [1999, 2999, 4999], [200, 300, 499]),
        (1000, [1, 1, 1], [334, 333, 333]),
        (100, [1, 1, 1], [34, 33, 33]),
        (1000, [1, 1, 1, 1, 1, 1, 1], [143, 143, 143, 143, 143, 143, 142]),
        (1, [1, 1], [1, 0]),
        (5, [3, 7], [2, 3]),
        (5, [0, 1, 1], [0, 3, 2]),
        (0, [3, 4], [0, 0]),
        (-1000, [1, 1, 1], [-334, -333, -333]),
        (10, [47000, 16000, 15800, 12000, 6100, 3100], [5, 2, 1, 1, 1, 0]),
    ],
)
def test_a_fee_is_split_by_largest_remainder(total: int, weights: list[int], parts: list[int]) -> None:
    assert [part.minor for part in usd(total).split(weights)] == parts


@given(total=AMOUNTS, weights=st.lists(st.integers(0, 10**9), min_size=1, max_size=12).filter(any))
def test_no_split_loses_or_makes_a_unit_and_none_is_off_by_a_whole_one(total: int, weights: list[int]) -> None:
    parts = usd(total).split(weights)
    assert sum(parts, Money.zero("USD")) == usd(total)
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part.minor * sum(weights) - total * weight) < sum(weights)
        assert weight or not part.minor


@pytest.mark.parametrize("weights", [[], [0, 0], [1, -1], [1.0], [True, 1]])
def test_nothing_is_split_by_weights_that_are_none(weights: list[Any]) -> None:
    with pytest.raises(WeightsError) as caught:
        usd(100).split(weights)
    assert caught.value.weights == tuple(weights)


@dataclass(frozen=True, kw_only=True)
class Bill:
    """An event-like dataclass, read by pydantic."""

    price: Money = field(metadata={"title": "Price"})
    fee: Money | None = None


BILL = TypeAdapter(Bill)


def test_money_goes_through_json_with_all_three_fields() -> None:
    text = '{"price":{"minor":125000,"currency":"USD","exponent":2},"fee":null}'
    bill = BILL.validate_json(text, strict=True)
    assert bill == Bill(price=Money.of("1250.00", "USD"))
    assert json.dumps(BILL.dump_python(bill, mode="json"), separators=(",", ":")) == text
    assert BILL.validate_python({"price": bill.price}) == bill


@pytest.mark.parametrize(
    ("price", "place"),
    [
        ({"minor": 5, "currency": "USD"}, ("price", "exponent")),
        ({"minor": 5.0, "currency": "USD", "exponent": 2}, ("price", "minor")),
        ({"minor": True, "currency": "USD", "exponent": 2}, ("price", "minor")),
        ({"minor": MINOR_MOST + 1, "currency": "USD", "exponent": 2}, ("price", "minor")),
        ({"minor": 5, "currency": "USD", "exponent": 2, "rate": 1}, ("price", "rate")),
        ("5 USD", ("price",)),
    ],
)
def test_json_that_is_no_money_is_refused_at_its_field(price: Any, place: tuple[str, ...]) -> None:
    with pytest.raises(ValidationError) as caught:
        BILL.validate_json(json.dumps({"price": price}), strict=True)
    assert [error["loc"] for error in caught.value.errors()] == [place]


def test_a_refusal_of_ours_reaches_the_reader_with_its_own_sentence() -> None:
    given = {
        "price": {"minor": 5, "currency": "USD", "exponent": 0},
        "fee": {"minor": 5, "currency": "XAU", "exponent": 0},
    }
    with pytest.raises(ValidationError) as caught:
        BILL.validate_json(json.dumps(given), strict=True)
    first, second = caught.value.errors()
    assert isinstance(first["ctx"]["error"].error, MoneyError)
    assert str(first["ctx"]["error"]) == str(first["ctx"]["error"].error)
    assert isinstance(second["ctx"]["error"].error, CurrencyError)


def test_the_schema_of_money_says_what_is_counted() -> None:
    for mode in ("validation", "serialization"):
        price = BILL.json_schema(mode=mode)["properties"]["price"]
        assert price["title"] == "Price"
        assert price["required"] == ["minor", "currency", "exponent"]
        assert all(part["description"] for part in price["properties"].values())
