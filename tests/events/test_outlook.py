"""The outlook: its rules, what it changes, its line."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.book import Book, Sent, Status
from ledger.events.outlook import Origin, Outlook, OutlookStage, ValueUsed, Weight
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import a_book, against, at, broken_rules, on, shut, usd


def weights(**by_step: int) -> tuple[Weight, ...]:
    """Weights written g92=600."""
    return tuple(
        Weight(grade=Grade.parse(f"{name[1:-1]}.{name[-1]}"), per_mille=share) for name, share in by_step.items()
    )


def an_outlook(when: str | None = "2024-04-01", **changes: Any) -> Outlook:
    return Outlook(**{"on": on(when), "weights": weights(g90=250, g92=600, g94=150), **changes})


def values(*pairs: tuple[str, str]) -> Sealed[tuple[ValueUsed, ...]]:
    return Sealed.of(tuple(ValueUsed(grade=Grade.parse(grade), value=usd(value)) for grade, value in pairs))


@pytest.mark.parametrize("wrong", [weights(g90=999), weights(g90=500, g92=501), ()])
def test_the_weights_are_a_thousand_thousandths_together(wrong: tuple[Weight, ...]) -> None:
    assert broken_rules(an_outlook(weights=wrong)) == [("outlook.1", "weights")]


def test_no_grade_has_two_weights() -> None:
    twice = (*weights(g90=500), *weights(g90=500))
    assert broken_rules(an_outlook(weights=twice)) == [("outlook.2", "weights.1.grade")]


def test_no_grade_has_two_values_and_none_is_below_zero() -> None:
    twice = an_outlook(values_used=values(("9.0", "10.00"), ("9.2", "20.00"), ("9.0", "11.00")))
    assert broken_rules(twice) == [("outlook.3", "values_used.2.grade")]
    below = an_outlook(values_used=values(("9.0", "-10.00")))
    assert broken_rules(below) == [("outlook.3", "values_used.0.value")]


def test_a_good_outlook_breaks_no_rule_even_before_the_purchase() -> None:
    good = an_outlook(values_used=values(("9.0", "10.00")), ceiling=Grade.parse("9.4"))
    assert broken_rules(good, a_book(status=Status.NOT_YET)) == []
    assert against([], good) == ([], [])
    assert broken_rules(an_outlook(weights=weights(g98=1000))) == []


def with_batch(ended_by: int | None) -> Book:
    sent = Sent(batch="spring", seq=3, stage="sent", ended_by=ended_by)
    return a_book(submissions=(sent,))


def test_an_outlook_made_before_the_outcome_counts() -> None:
    book = an_outlook(for_batch="spring").apply(with_batch(None), at(8))
    assert (book.outlooks, book.late_outlooks) == ((8,), ())


def test_an_outlook_made_after_its_outcome_is_kept_apart_as_late() -> None:
    book = an_outlook(for_batch="spring").apply(with_batch(5), at(8))
    assert (book.outlooks, book.late_outlooks) == ((), (8,))


@pytest.mark.parametrize("batch", [None, "autumn"])
def test_the_outcome_of_another_submission_makes_no_outlook_late(batch: str | None) -> None:
    assert an_outlook(for_batch=batch).apply(with_batch(5), at(8)).outlooks == (8,)


def test_its_line_tells_the_likeliest_grade_and_the_ceiling() -> None:
    own = shut(an_outlook(ceiling=Grade.parse("9.4")))
    assert own.summary() == "Outlook, own, raw: 9.2 most likely, ceiling 9.4"
    even = replace(own, weights=weights(g94=500, g90=500), ceiling=None, origin=Origin.COMPUTED)
    assert replace(even, stage=OutlookStage.BEFORE_SENDING).summary() == (
        "Outlook, computed, before sending: 9.0 most likely"
    )
    assert replace(even, weights=()).summary() == "Outlook, computed, raw"
