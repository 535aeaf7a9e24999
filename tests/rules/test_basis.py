"""What a book has cost: every sum once, in its period, and what is not known said."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events import Event
from ledger.events._parts import OpinionOf
from ledger.events.arrival import Arrival
from ledger.events.arrival import Stage as Way
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.purchase import Means as Came
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Left
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold, history
from ledger.money import Money, MoneyError
from ledger.rules.basis import periods
from ledger.rules.cost_lines import Part, Period, Side, Why, signed
from ledger.sealed import Sealed
from tests.builders import BOOK, CODEC, a_purchase, a_stated_grade, an_intervention, chain, on, shut, usd

VECTORS: dict[str, Any] = json.loads((Path(__file__).parents[1] / "vectors/money/allocations.json").read_text("utf-8"))


def money(amount: str) -> Sealed[Money]:
    return Sealed.of(usd(amount))


def told(*events: Event) -> tuple[Period, ...]:
    moments = history(chain(*events), CODEC)
    return periods(fold(BOOK, 1, moments), moments)


def basis(period: Period, side: Side = Side.BASIS) -> int:
    return sum(minor for _line, minor in signed(period.lines, side))


def bought(when: str = "2021-03-15", **changes: Any) -> Event:
    return a_purchase(when, **{"price": money("100.00"), **changes})


def sold(when: str = "2024-11-05", **changes: Any) -> Sale:
    return Sale(on=on(when), **{"disclosed": Disclosed.WORK, "price": money("300.00"), **changes})


def sent(**changes: Any) -> Submission:
    return Submission(on=on("2022-01-10"), batch="b1", asks=Ask.GRADE, **changes)


def graded(**changes: Any) -> Slab:
    stated = a_stated_grade("9.0", opinion_of=OpinionOf.SERVICE)
    return Slab(on=on("2022-03-10"), **{"batch": "b1", "stated": stated, "came_back": on("2022-03-12"), **changes})


def valued(amount: str, when: str = "2023-01-01", purpose: Purpose = Purpose.MARKET) -> Valuation:
    return Valuation(on=on(when), purpose=purpose, method=Method.OWN_JUDGEMENT, amount=money(amount))


def test_every_sum_of_a_books_life_is_in_its_basis_with_its_entry() -> None:
    (period,) = told(
        bought(premium=money("20.00"), tax=money("8.00"), shipping=money("12.50")),
        an_intervention(when="2021-05-01", cost=money("15.00")),
        Custody(on=on("2021-06-01"), direction=Direction.OUT, to_whom=Hands.CONSERVATOR, cost=money("6.00")),
        Custody(on=on("2021-07-01"), direction=Direction.BACK, cost=money("7.00")),
        sent(fee=money("30.00"), postage=money("9.00")),
        graded(fee=money("32.00"), invoice=money("35.00")),
    )
    assert [(line.seq, line.part, line.amount.amount) for line in period.lines] == [
        (1, Part.PRICE, "100.00"),
        (1, Part.PREMIUM, "20.00"),
        (1, Part.TAX, "8.00"),
        (1, Part.SHIPPING, "12.50"),
        (2, Part.WORK, "15.00"),
        (3, Part.OTHER_HANDS, "6.00"),
        (4, Part.OTHER_HANDS, "7.00"),
        (5, Part.POSTAGE, "9.00"),
        (6, Part.GRADING, "35.00"),
    ]
    # 100 + 20 + 8 + 12.50 + 15 + 6 + 7 + 9 + 35, added up on paper.
    assert basis(period) == 21250
    assert period.gaps == ()


def test_a_quoted_fee_counts_until_the_outcome_names_the_real_one() -> None:
    quoted = (bought(), sent(fee=money("30.00")))
    (before,) = told(*quoted)
    assert [(line.amount.amount, line.expected) for line in before.lines[1:]] == [("30.00", True)]
    for outcome, expected in (
        (graded(fee=money("32.00")), [("32.00", False)]),
        (graded(invoice=money("41.00")), [("41.00", False)]),
        (graded(), [("30.00", True)]),
    ):
        (after,) = told(*quoted, outcome)
        assert [(line.amount.amount, line.expected) for line in after.lines[1:]] == expected


def test_a_later_quote_takes_the_place_of_an_earlier_one() -> None:
    later = Submission(on=on("2022-02-01"), batch="b1", stage=Stage.RECEIVED, fee=money("45.00"))
    (period,) = told(bought(), sent(fee=money("30.00")), later)
    assert [line.amount.amount for line in period.lines[1:]] == ["45.00"]


def test_a_second_batch_of_the_same_name_keeps_the_fee_of_the_first() -> None:
    again = Submission(on=on("2023-01-10"), batch="b1", asks=Ask.REVIEW, fee=money("20.00"))
    back = graded(fee=money("22.00"))
    after = Slab(on=on("2023-03-10"), batch="b1", stated=back.stated, came_back=on("2023-03-11"), fee=money("25.00"))
    (period,) = told(bought(), sent(fee=money("30.00")), back, again, after)
    assert [line.amount.amount for line in period.lines[1:]] == ["22.00", "25.00"]


def test_refunds_and_what_is_paid_for_damage_are_taken_off() -> None:
    (period,) = told(
        bought(),
        Arrival(on=on("2021-04-01"), stage=Way.REFUNDED, refund=money("25.00")),
        sent(),
        graded(outcome=Outcome.DAMAGED, stated=None, compensation=money("40.00")),
    )
    assert basis(period) == 3500


def test_what_is_paid_for_a_loss_is_what_came_in() -> None:
    (period,) = told(
        bought(),
        sent(),
        graded(outcome=Outcome.LOST, stated=None, came_back=None, compensation=money("80.00")),
    )
    assert (period.left, basis(period), basis(period, Side.PROCEEDS)) == ("lost", 10000, 8000)


def test_a_sale_takes_the_basis_of_its_own_period() -> None:
    first, second = told(
        bought("2020-01-01"),
        sold("2021-01-01", fees=money("30.00")),
        bought("2022-01-01", price=money("400.00")),
        an_intervention(when="2022-02-01", cost=money("10.00")),
    )
    assert (basis(first), basis(first, Side.PROCEEDS), first.left) == (10000, 27000, "sold")
    assert (basis(second), second.held, second.left) == (41000, True, None)


def test_a_refund_for_a_book_sent_back_belongs_to_the_period_that_ended() -> None:
    (period,) = told(
        bought(),
        Arrival(on=on("2021-04-01"), stage=Way.SENT_BACK),
        Arrival(on=on("2021-05-01"), stage=Way.REFUNDED, refund=money("100.00")),
    )
    assert (period.left, basis(period), period.gives) == ("sent back", 0, True)


def test_a_trade_counts_at_its_agreed_worth() -> None:
    (period,) = told(bought(means=Came.TRADE), sold(means=Left.TRADE))
    assert (period.came, basis(period), basis(period, Side.PROCEEDS)) == (Came.TRADE, 10000, 30000)


def test_a_price_that_was_never_entered_is_a_gap_and_not_nothing() -> None:
    (period,) = told(bought(price=Sealed.of(None)), sold(price=Sealed.of(None)))
    assert [(gap.part, gap.why) for gap in period.gaps] == [
        (Part.PRICE, Why.NOT_ENTERED),
        (Part.SALE_PRICE, Why.NOT_ENTERED),
    ]


@pytest.mark.parametrize("means", [Came.GIFT, Came.INHERITANCE, Came.FOUND, Came.RECEIVED])
def test_nothing_is_paid_for_a_gift_so_no_price_is_missed(means: Came) -> None:
    (period,) = told(bought(means=means, price=Sealed.of(None), shipping=money("5.00")))
    assert (period.gaps, basis(period)) == ((), 500)


def test_giving_a_book_away_makes_no_gain() -> None:
    (period,) = told(bought(), sold(means=Left.GIFT, price=Sealed.of(None)))
    assert not period.gives


def test_what_was_withheld_or_erased_is_a_gap() -> None:
    (period,) = told(shut(bought()))
    assert {(gap.part, gap.why) for gap in period.gaps} == {
        (part, Why.WITHHELD) for part in (Part.PRICE, Part.PREMIUM, Part.TAX, Part.SHIPPING)
    }
    (period,) = told(bought(tax=Sealed.erased()))
    assert [(gap.part, gap.why) for gap in period.gaps] == [(Part.TAX, Why.ERASED)]


def test_a_corrected_sum_counts_as_corrected_and_a_withdrawn_one_not_at_all() -> None:
    work = an_intervention(when="2021-05-01", cost=money("15.00"))
    mended = Correction(entry=1, changes={"price": Sealed.of(vars(usd("110.00")))}, reason=Sealed.of("misread"))
    (period,) = told(bought(), work, mended, Withdrawal(entry=2, reason=Sealed.of("another book")))
    assert [(line.seq, line.amount.amount) for line in period.lines] == [(1, "110.00")]


def test_a_sale_that_was_undone_counts_only_with_what_was_paid_back() -> None:
    back = a_purchase("2025-01-01", means=Came.CAME_BACK)
    (without,) = told(bought(), sold(fees=money("30.00")), back)
    assert (without.held, basis(without), basis(without, Side.PROCEEDS)) == (True, 13000, 0)
    paid = a_purchase("2025-01-01", means=Came.CAME_BACK, price=money("320.00"))
    (with_price,) = told(bought(), sold(fees=money("30.00")), paid)
    # 100 paid, 300 came in, 30 fees, 320 paid back.
    assert (with_price.held, basis(with_price)) == (True, 15000)


def test_the_last_value_of_the_period_counts_for_each_purpose() -> None:
    first, second = told(
        bought("2020-01-01"),
        valued("500.00", "2020-06-01"),
        sold("2021-01-01"),
        bought("2022-01-01"),
        valued("150.00", "2022-05-01", Purpose.INSURANCE),
    )
    assert first.market is not None
    assert first.market.amount == usd("500.00")
    assert second.market is None
    assert second.insurance is not None
    assert second.insurance.amount == usd("150.00")


def test_entries_count_in_the_order_of_happening() -> None:
    (period,) = told(bought(), valued("200.00", "2024-01-01"), valued("90.00", "2022-01-01"))
    assert period.market is not None
    assert period.market.amount == usd("200.00")


def test_a_book_that_is_the_same_copy_as_another_has_no_cost_of_its_own() -> None:
    assert told(bought(), Withdrawal(same_as="b-2", reason=Sealed.of("entered twice"))) == ()


@pytest.mark.parametrize("row", VECTORS["allocations"], ids=lambda row: row["note"])
def test_a_shared_sum_is_split_as_the_reference_splits_it(row: dict[str, Any]) -> None:
    parts = Money(row["total_minor"], "USD", 2).split(row["weights"])
    assert [part.minor for part in parts] == row["result"]


@pytest.mark.parametrize("weights", [[], [0, 0], [1, -1]])
def test_shares_that_split_nothing_are_refused(weights: list[int]) -> None:
    with pytest.raises(MoneyError):
        usd("1.00").split(weights)


@given(st.integers(-(10**10), 10**10), st.lists(st.integers(0, 10**6), min_size=1, max_size=12).filter(any))
def test_the_parts_come_to_the_cent(minor: int, shares: list[int]) -> None:
    assert sum(part.minor for part in Money(minor, "EUR", 2).split(shares)) == minor
