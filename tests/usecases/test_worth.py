"""Whether work on a book is worth it: what is left out is as assumed, a ruling counts, and heat is told beside it."""

from datetime import date
from typing import Any

import pytest

from ledger.errors import NotFoundError
from ledger.events._settings import Settings
from ledger.events.ruling import NewValue, Ruling
from ledger.history import fold, history
from ledger.money import Money
from ledger.rules._tables import table
from ledger.rules.grades import Grade
from ledger.rules.worth import Choice, Unvalued, Weighed
from ledger.sealed import Sealed
from ledger.usecases.weighing_values import fits_of
from ledger.usecases.worth import Asked, assumptions, worth_of
from tests.builders import an_intervention, usd
from tests.usecases.telling import OWNER, Teller

VALUES = {Grade("7.5"): usd("200.00"), Grade("8.0"): usd("400.00")}


def asked(**changes: Any) -> Asked:
    plain: dict[str, Any] = {
        "choice": Choice.WORK_THEN_GRADE,
        "weights": {Grade("7.5"): 500, Grade("8.0"): 500},
        "values": VALUES,
    }
    return Asked(**{**plain, "spent": (usd("40.00"),), **changes})


def test_what_is_left_out_is_as_assumed_and_what_is_given_counts(teller: Teller) -> None:
    """By hand: 300.00 on average; a sale keeps 150 of a thousand, harm takes 400 with a chance of 10 of a thousand.

    300 * 0.85 * (1 - 0.004) = 253.98, less 40.00 and the 120.00 that are given up: 93.98.
    """
    book = teller.buy(reason=Sealed.of("The cover I had as a child."))
    found = worth_of(teller.ledger, OWNER, book, usd("120.00"), [asked(), asked(sale_keeps_per_mille=0)])
    first, second = found.choices
    assert isinstance(first, Weighed)
    assert isinstance(second, Weighed)
    assert first.net == 9398
    assert first.days == 90
    assert second.net == 30000 * 996 // 1000 - 16000
    assert found.reason == "The cover I had as a child."


def test_a_ruling_of_the_collection_counts(teller: Teller) -> None:
    shipped = table("worth")
    values = (NewValue(field="risk_per_mille", value="0"), NewValue(field="sale_keeps_per_mille", value="0"))
    teller.add(None, Ruling(table="worth", row="work-then-grade", version=shipped.version, values=values))
    by = assumptions(teller.ledger, OWNER)
    assert (by[Choice.WORK_THEN_GRADE].risk_per_mille, by[Choice.ONE_MORE_SESSION].risk_per_mille) == (0, 5)
    found = worth_of(teller.ledger, OWNER, teller.buy(), usd("120.00"), [asked()])
    assert isinstance(found.choices[0], Weighed)
    assert found.choices[0].net == 14000


def test_the_heat_so_far_stands_beside_it_and_a_step_without_value_is_named(teller: Teller) -> None:
    book = teller.buy()
    hot = Settings(measured_celsius="60", hold_minutes=60)
    teller.add(book, an_intervention("hot-press-dry", settings=hot))
    found = worth_of(teller.ledger, OWNER, book, usd("120.00"), [asked(values={})])
    assert (found.heat.sessions, found.heat.band.middle > 0) == (1, True)
    assert found.choices == (Unvalued(choice=Choice.WORK_THEN_GRADE, steps=(Grade("7.5"), Grade("8.0"))),)
    assert found.reason is None


def test_a_book_that_is_not_here_is_told_so(teller: Teller) -> None:
    with pytest.raises(NotFoundError):
        worth_of(teller.ledger, OWNER, "nobody", usd("1.00"), [asked()])


def test_without_a_sale_the_home_currency_counts(teller: Teller) -> None:
    book = teller.buy(price=Sealed.of(Money.of("90.00", "GBP")))
    with teller.ledger.log.read() as reader:
        state = fold(book, 1, history(reader.of_book(book), teller.ledger.codec))
    assert fits_of(teller.ledger, OWNER, state, None, date(2026, 1, 2)).currency == "GBP"
