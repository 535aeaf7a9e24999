"""A sale: its rules, that the book is gone, its line."""

from typing import Any

import pytest

from ledger.book import Book, Ownership, Sent, Status, WorkDone
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.sale import Disclosed, Means, Sale
from ledger.rules.headings import Heading
from ledger.sealed import Sealed
from tests.builders import BOOK, a_book, a_purchase, against, at, broken_rules, chain, folded, on, shut, usd

PRESSED = WorkDone(seq=3, on=None, technique="cold-press", heading=Heading.NON_ADDITIVE, changed_anything=True)
GONE_TO_NOBODY = [Means.LOST, Means.STOLEN, Means.DESTROYED]


def sale(when: str | None = "2025-03-01", **changes: Any) -> Sale:
    return Sale(**{"on": on(when), "disclosed": Disclosed.WORK, **changes})


def lost(means: Means = Means.LOST, when: str | None = "2025-03-01", **changes: Any) -> Sale:
    return sale(when, means=means, **{"disclosed": Disclosed.NOT_APPLICABLE, **changes})


def test_a_sale_with_price_and_record_breaks_no_rule() -> None:
    whole = sale(disclosed=Disclosed.RECORD, record="a" * 64, price=Sealed.of(usd("900.00")))
    assert broken_rules(whole, a_book(work=(PRESSED,))) == []
    assert broken_rules(sale(disclosed=Disclosed.RECORD)) == []


@pytest.mark.parametrize("means", [Means.GIFT, *GONE_TO_NOBODY])
def test_a_price_is_paid_for_a_book_sold_or_traded_only(means: Means) -> None:
    told = Disclosed.WORK if means is Means.GIFT else Disclosed.NOT_APPLICABLE
    given = sale(means=means, disclosed=told, price=Sealed.of(usd("1.00")))
    assert broken_rules(given) == [("sale.1", "price")]


def test_compensation_is_paid_for_a_loss_only() -> None:
    assert broken_rules(sale(compensation=Sealed.of(usd("1.00")))) == [("sale.2", "compensation")]
    assert broken_rules(lost(compensation=Sealed.of(usd("1.00")))) == []


def test_a_record_is_named_only_when_one_was_given() -> None:
    assert broken_rules(sale(record="a" * 64)) == [("sale.3", "disclosed")]


@pytest.mark.parametrize("means", GONE_TO_NOBODY)
def test_a_book_that_went_to_nobody_was_disclosed_to_nobody(means: Means) -> None:
    assert broken_rules(sale(means=means)) == [("sale.4", "disclosed")]
    assert broken_rules(lost(means), a_book(work=(PRESSED,))) == []


def test_where_work_was_done_it_matters_what_was_told() -> None:
    (problem,) = sale(disclosed=Disclosed.NOT_APPLICABLE).check(a_book(work=(PRESSED,)))
    assert (problem.rule, problem.field, problem.entries) == ("sale.5", "disclosed", (3,))
    assert broken_rules(sale(disclosed=Disclosed.NOT_APPLICABLE)) == []


def test_nothing_told_is_allowed_and_its_line_says_so() -> None:
    silent = sale(disclosed=Disclosed.NOTHING)
    assert broken_rules(silent, a_book(work=(PRESSED,))) == []
    assert silent.summary() == "Sold; nothing was told of work done"


@pytest.mark.parametrize("means", list(Means))
def test_a_book_may_leave_out_of_other_hands(means: Means) -> None:
    event = lost(means) if means in GONE_TO_NOBODY else sale(means=means)
    assert broken_rules(event, a_book(status=Status.OUT, away_by=4)) == []


def test_the_book_is_gone_from_its_spot_and_all_hands_and_its_time_here_ended() -> None:
    sent = Sent(batch="spring", seq=4, stage="sent")
    before = a_book(spot="wall", placed_by=2, placed_on=on("2024-03"), away_by=3, missing_since=5, submissions=(sent,))
    book = sale().apply(before, at(7))
    assert (book.status, book.spot, book.placed_by, book.placed_on) == (Status.GONE, None, None, None)
    assert (book.away_by, book.missing_since, book.open_submission) == (None, None, None)
    period = Ownership(taken_by=1, since=on("2024-02-01"), left_by=7, until=on("2025-03-01"))
    assert book.ownerships == (period,)


def test_a_book_that_is_gone_is_not_sold_again_nor_placed_but_noted() -> None:
    entries = chain(a_purchase(), sale())
    for event in (sale("2025-04-01"), Placement(on=on("2025-04-01"), spot=Spot.BOX)):
        refused, _ = against(entries, event)
        assert [(problem.rule, problem.entries) for problem in refused] == [(f"{event.kind}.0", (2,))]
    assert against(entries, Note(on=on("2025-04-01"), words=Sealed.of("x"))) == ([], [])


def test_a_book_bought_back_has_two_times_in_the_collection() -> None:
    book = folded(a_purchase(), sale("2024-06-01"), a_purchase("2024-09-01"), sale("2025-01-01"))
    assert [(each.taken_by, each.left_by) for each in book.ownerships] == [(1, 2), (3, 4)]


def test_its_line_tells_how_it_left_without_any_sealed_value() -> None:
    whole = sale(disclosed=Disclosed.RECORD, price=Sealed.of(usd("900.00")), buyer=Sealed.of("Somebody"))
    assert shut(whole).summary() == "Sold; a record was given"
    assert lost(Means.STOLEN).summary() == "Stolen"
    assert sale(means=Means.GIFT).summary() == "Given away; the work done was told"


def test_before_the_purchase_it_moves_nothing_and_is_refused() -> None:
    assert sale().apply(Book(id=BOOK, no=1), at(5)) == Book(id=BOOK, no=1)
    refused, _ = against(chain(a_purchase()), sale("2023-01-01"))
    assert [problem.rule for problem in refused] == ["sale.0"]
