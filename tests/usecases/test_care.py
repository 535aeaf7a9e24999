"""Care all over a collection: what is due by place, counts as one act, what is planned, and all of it in the calendar."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.calendar import ICalendars
from ledger.care import CareRow, Drawer
from ledger.care_due import Ahead, Care
from ledger.errors import ForbiddenError, InvalidError, NotFoundError, RuleError
from ledger.events.count import Count, Result
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.placement import Placement, Spot
from ledger.events.ruling import NewValue, Ruling
from ledger.sealed import Sealed
from ledger.usecases import care as work
from ledger.usecases.feed import calendar_of
from ledger.usecases.record import Request
from ledger.usecases.rotation import accept_rotation, propose_rotation
from tests.builders import on
from tests.usecases.rotating import a_rotation_book, asked_for, hang
from tests.usecases.telling import OWNER, Teller


def today(teller: Teller) -> date:
    return teller.ledger.clock.today()


def put(teller: Teller, book: str, place: str) -> None:
    teller.add(book, Placement(on=on("2024-03-01"), spot=Spot.BOX, place=Sealed.of(place)))


def of_book(teller: Teller, book: str, *places: str) -> dict[Care, Any]:
    found = work.care_due(teller.ledger, OWNER, places)
    return {each.due.care: each.due for each in found.dues if each.row.book == book}


def count(teller: Teller, *books: str, key: str | None = None, **said: Any) -> Any:
    asked = Request(key=key, body=b"count") if key else None
    return work.count_books(teller.ledger, OWNER, books, Count(**{"on": on("2024-07-01"), **said}), asked)


def test_what_is_due_is_told_by_place_with_what_has_no_day_first(teller: Teller) -> None:
    near, far, unknown = teller.buy(), teller.buy(when="2023-01-01"), teller.buy(when=None)
    put(teller, near, "box one")
    put(teller, far, "box two")
    found = work.care_due(teller.ledger, OWNER)
    assert [each.due.on for each in found.dues] == sorted(
        (each.due.on for each in found.dues), key=lambda day: (day is not None, day or date.min)
    )
    assert found.dues[0].row.book == unknown
    assert {each.book for each in found.books} == {near, far, unknown}
    assert not found.further
    only = work.care_due(teller.ledger, OWNER, ("box two",))
    assert {each.row.book for each in only.dues} == {each.book for each in only.books} == {far}


def test_a_shelf_is_counted_as_one_act_and_the_same_request_counts_once(teller: Teller) -> None:
    books = [teller.buy() for _ in range(3)]
    first = count(teller, *books, key="k1")
    assert {each.book for each in first.entries} == set(books)
    assert len({each.act for each in first.entries}) == 1
    size = teller.head.size
    assert (count(teller, *books, key="k1").replayed, teller.head.size) == (True, size)
    assert {of_book(teller, each)[Care.COUNT].on for each in books} == {date(2025, 7, 1)}


def test_a_book_that_is_not_found_is_to_be_looked_for(teller: Teller) -> None:
    book = teller.buy()
    count(teller, book, result=Result.NOT_FOUND)
    assert Care.MISSING in of_book(teller, book)
    assert Care.COUNT not in of_book(teller, book)


def test_a_count_that_cannot_be_is_refused_at_its_book_and_nothing_is_written(teller: Teller) -> None:
    here, away = teller.buy(), teller.buy()
    teller.add(away, Custody(on=on("2024-03-01"), direction=Direction.OUT, to_whom=Hands.FRAMER))

    def refused(error: Any, *books: str) -> set[str]:
        told = teller.nothing_written(lambda: count(teller, *books), error)
        return {each.field for each in told.problems}

    assert refused(RuleError, here, away) == {"books.1.result"}
    assert refused(RuleError, away) == {"books.0.result"}
    assert refused(InvalidError, here, here) == {"books.1"}
    assert refused(InvalidError) == {"books"}
    teller.nothing_written(lambda: count(teller, "nobody"), NotFoundError)
    assert {each.book for each in work.care_due(teller.ledger, OWNER).books} == {here}


def test_what_is_ruled_counts_from_now_on(teller: Teller) -> None:
    book = teller.buy()
    before = of_book(teller, book)[Care.COUNT].on
    teller.add(None, Ruling(table="care", row="count", version=1, values=(NewValue(field="days", value="30"),)))
    assert of_book(teller, book)[Care.COUNT].on == before - timedelta(days=335)


def test_what_is_planned_lies_beside_the_ledger_among_what_others_keep_there(teller: Teller) -> None:
    book, ledger = teller.buy(), teller.ledger
    assert ledger.care is not None
    row = CareRow(id=book, made=ledger.clock.now(), said={"light_class": "high"})
    ledger.care.write(lambda writer: writer.put(Drawer.CARE, row))
    size, day = teller.head.size, today(teller) + timedelta(days=20)
    planned = work.plan_ahead(ledger, OWNER, book, Ahead.TRIP, day)
    assert [(each.what, each.on) for each in planned] == [(Ahead.TRIP, day)]
    assert work.planned_of(ledger, OWNER, book) == planned
    assert of_book(teller, book)[Care.BEFORE].before == day
    assert work.plan_ahead(ledger, OWNER, book, Ahead.TRIP, day)[0].on == day
    assert work.take_planned(ledger, OWNER, book, Ahead.TRIP, day) == ()
    assert Care.BEFORE not in of_book(teller, book)
    with ledger.care.read() as reader:
        assert reader.row(Drawer.CARE, book) == row
    assert teller.head.size == size


def test_what_cannot_be_planned_is_refused(teller: Teller) -> None:
    book, ledger = teller.buy(), teller.ledger
    for day in (today(teller) - timedelta(days=3), date(9999, 1, 1)):
        with pytest.raises(InvalidError):
            work.plan_ahead(ledger, OWNER, book, Ahead.MOVE, day)
    with pytest.raises(NotFoundError):
        work.plan_ahead(ledger, OWNER, "nobody", Ahead.MOVE, today(teller))
    for days in range(work.PLANNED_MOST):
        work.plan_ahead(ledger, OWNER, book, Ahead.MOVE, today(teller) + timedelta(days=days))
    with pytest.raises(InvalidError):
        work.plan_ahead(ledger, OWNER, book, Ahead.PRESS, today(teller))
    reader = Actor(id="reader", scopes=frozenset({Permission.READ}))
    with pytest.raises(ForbiddenError):
        work.plan_ahead(ledger, reader, book, Ahead.PRESS, today(teller))
    with pytest.raises(ForbiddenError):
        work.take_planned(ledger, reader, book, Ahead.PRESS, today(teller))


def test_a_row_that_was_harmed_plans_nothing(teller: Teller) -> None:
    book, ledger = teller.buy(), teller.ledger
    assert ledger.care is not None
    for harmed in ("soon", [3], [{"what": "trip"}], [{"what": "trip", "on": "2026-01-01", "made": "2026-01-01"}]):
        row = CareRow(id=book, made=ledger.clock.now(), said={"planned": harmed})
        ledger.care.write(lambda writer, row=row: writer.put(Drawer.CARE, row))  # type: ignore[misc]
        assert work.planned_of(ledger, OWNER, book) == ()
        assert Care.BEFORE not in of_book(teller, book)


def test_the_next_swap_asks_for_a_look_before_and_stands_in_the_calendar(teller: Teller) -> None:
    first, second = teller.buy(), teller.buy()
    hang(teller, first)
    starts = today(teller) + timedelta(days=20)
    asked = asked_for(a_rotation_book(first), a_rotation_book(second), starts=starts)
    ledger = teller.ledger = _with_calendars(teller)
    plan = propose_rotation(ledger, OWNER, asked)
    assert "Swap" not in calendar_of(ledger, OWNER).decode()
    accept_rotation(ledger, OWNER, plan.id)
    assert of_book(teller, first)[Care.BEFORE].before == starts
    text = calendar_of(ledger, OWNER).decode()
    for number, day in ((1, starts), (2, starts + timedelta(days=30))):
        assert f"SUMMARY:Swap {number} of 2: hang one book" in text
        assert f"DTSTART;VALUE=DATE:{day:%Y%m%d}" in text
    assert "SUMMARY:The plan of rotation ends" in text
    assert "SUMMARY:Count: 2 books" in text
    assert "landing" not in text


def _with_calendars(teller: Teller) -> Any:
    return replace(teller.ledger, calendars=ICalendars())
