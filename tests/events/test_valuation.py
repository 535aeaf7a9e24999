"""A valuation: its rules, what it leaves, its line."""

from typing import Any

from ledger.book import Status
from ledger.events.valuation import Comparable, Method, Purpose, Valuation
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import a_book, a_purchase, against, at, broken_rules, chain, on, shut, usd


def valued(when: str | None = "2025-01-10", **changes: Any) -> Valuation:
    given = {"method": Method.OWN_JUDGEMENT, "amount": Sealed.of(usd("1250.00"))}
    return Valuation(**{"on": on(when), **given, **changes})


def sold(when: str | None = "2024-11-01", price: str = "1200.00") -> Comparable:
    return Comparable(on=on(when), grade=Grade.parse("9.0"), price=usd(price), where="an auction")


def test_a_value_by_own_judgement_breaks_no_rule() -> None:
    assert broken_rules(valued()) == []
    assert broken_rules(valued(amount=Sealed.of(usd("0.00")))) == []


def test_a_value_from_sales_before_it_breaks_no_rule() -> None:
    sales = Sealed.of((sold(), sold(None), sold("2025-01-10"), sold("2025")))
    assert broken_rules(valued(method=Method.COMPARABLES, comparables_used=sales)) == []


def test_a_valuation_says_an_amount() -> None:
    assert broken_rules(valued(amount=Sealed())) == [("valuation.1", "amount")]


def test_a_withheld_amount_is_not_a_missing_one() -> None:
    assert broken_rules(shut(valued(method=Method.COMPARABLES))) == []


def test_an_amount_below_zero_is_refused_where_it_stands() -> None:
    assert [problem.field for problem in valued(amount=Sealed.of(-usd("1.00"))).flaws()] == ["amount"]


def test_it_is_not_out_of_date_before_it_was_made() -> None:
    assert broken_rules(valued(valid_until=on("2024-12"))) == [("valuation.2", "valid_until")]
    assert broken_rules(valued(valid_until=on("2025"))) == []


def test_a_value_from_comparables_names_them_and_no_other_does() -> None:
    assert broken_rules(valued(method=Method.COMPARABLES)) == [("valuation.3", "comparables_used")]
    assert broken_rules(valued(comparables_used=Sealed.of((sold(),)))) == [("valuation.3", "method")]


def test_a_sale_after_the_valuation_cannot_have_been_used() -> None:
    late = valued(method=Method.COMPARABLES, comparables_used=Sealed.of((sold(), sold("2025-01-11"))))
    assert broken_rules(late) == [("valuation.4", "comparables_used.1.on")]


def test_the_price_of_a_comparable_is_zero_or_more() -> None:
    odd = valued(method=Method.COMPARABLES, comparables_used=Sealed.of((sold(price="-1.00"),)))
    assert broken_rules(odd) == [("valuation.5", "comparables_used.0.price")]


def test_it_needs_a_book_in_the_collection_in_whoever_s_hands() -> None:
    refused, _ = against(chain(a_purchase()), valued("2023-01-01"))
    assert [problem.rule for problem in refused] == ["valuation.0"]
    assert broken_rules(valued(), a_book(status=Status.OUT)) == []


def test_valuations_are_kept_in_order() -> None:
    book = valued().apply(valued().apply(a_book(), at(5)), at(8))
    assert book.valuations == (5, 8)


def test_its_line_tells_purpose_and_method_and_no_sum() -> None:
    assert shut(valued()).summary() == "Valued for the market, by own judgement"
    papers = valued(purpose=Purpose.INSURANCE, method=Method.APPRAISER, valid_until=on("2028-01"))
    assert papers.summary() == "Valued for insurance, by a licensed appraiser, valid until January 2028"
    assert valued(method=Method.OTHER).summary() == "Valued for the market"
