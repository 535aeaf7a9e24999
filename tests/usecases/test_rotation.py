"""Rotation: a plan is proposed, changed by hand and accepted beside the ledger; a swap that is done writes its placements."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.care import CareRow, Drawer
from ledger.errors import ConflictError, ForbiddenError, InvalidError, KeyReusedError, NotFoundError
from ledger.events.placement import Around, Placement, Spot
from ledger.rotation_kept import rotation_of, said_of
from ledger.rotations import Rotation, Span, Standing
from ledger.sealed import Sealed
from ledger.usecases.record import Request
from ledger.usecases.rotation import (
    PLANS_MOST,
    accept_rotation,
    change_rotation,
    look_at_rotation,
    look_at_rotations,
    propose_rotation,
    take_rotation,
)
from ledger.usecases.rotation_swap import SwapSaid, do_swap, moves_of
from tests.builders import on
from tests.usecases.rotating import BRIGHT, DARK, FRAME, SLEEVE, a_rotation_book, asked_for, hang, spot_of
from tests.usecases.telling import OWNER, Teller


def two_books(teller: Teller) -> tuple[str, str]:
    return teller.buy(), teller.buy()


def accepted(teller: Teller, *books: str, **changes: Any) -> Rotation:
    made = propose_rotation(teller.ledger, OWNER, asked_for(*map(a_rotation_book, books), **changes))
    return accept_rotation(teller.ledger, OWNER, made.id)


def done(teller: Teller, plan: Rotation, number: int = 0, key: str | None = None, **said: Any) -> Any:
    asked = SwapSaid(**{"number": number, "on": on("2024-06-01"), **said})
    return do_swap(teller.ledger, OWNER, plan.id, asked, Request(key=key, body=b"swap") if key else None)


def placed(teller: Teller, book: str) -> Placement:
    with teller.ledger.log.read() as reader:
        event = reader.of_book(book)[-1].event
    assert isinstance(event, Placement)
    return event


def test_a_plan_is_made_and_kept_with_its_band_and_the_ledger_is_not_touched(teller: Teller) -> None:
    first, second = two_books(teller)
    size = teller.head.size
    plan = propose_rotation(teller.ledger, OWNER, asked_for(*map(a_rotation_book, (first, second))))
    assert sorted(plan.rows) == sorted([(first,), (second,)])
    # By hand: 30 days of 400 lx h are 12,000 lx h, of 1,000,000 that is 1.2 %, of 500,000 2.4 %, of 2,000,000 0.6 %.
    assert (plan.largest, plan.exact, plan.least_possible) == (Fraction(12, 1000), True, Fraction(12, 1000))
    assert plan.bands()[first] == Span(low=Fraction(6, 1000), middle=Fraction(12, 1000), high=Fraction(24, 1000))
    assert plan.days() == {first: 30, second: 30}
    assert [(each.due, each.until) for each in plan.swaps] == [
        (date(2024, 6, 1), date(2024, 7, 1)),
        (date(2024, 7, 1), date(2024, 7, 31)),
    ]
    assert (plan.ends, plan.standing) == (date(2024, 7, 31), Standing.PROPOSED)
    assert look_at_rotation(teller.ledger, OWNER, plan.id) == plan
    assert teller.head.size == size


def test_accepting_writes_nothing_and_only_one_plan_counts_at_a_time(teller: Teller) -> None:
    books = two_books(teller)
    size = teller.head.size
    plan = accepted(teller, *books)
    other = propose_rotation(teller.ledger, OWNER, asked_for(*map(a_rotation_book, books)))
    with pytest.raises(ConflictError, match="Another plan counts already"):
        accept_rotation(teller.ledger, OWNER, other.id)
    assert [each.id for each in look_at_rotations(teller.ledger, OWNER)] == [plan.id, other.id]
    take_rotation(teller.ledger, OWNER, plan.id)
    assert accept_rotation(teller.ledger, OWNER, other.id).standing is Standing.ACCEPTED
    assert teller.head.size == size


def test_a_swap_writes_who_comes_down_and_who_is_hung_as_one_act(teller: Teller) -> None:
    first, second = two_books(teller)
    hang(teller, first)
    plan = accepted(teller, first, second)
    # What hangs stays for the first period, since that costs nothing.
    assert plan.rows == ((first,), (second,))
    size = teller.head.size
    begun = done(teller, plan)
    assert (begun.recorded, begun.plan.done, teller.head.size) == (None, {0: ""}, size)
    moves = moves_of(teller.ledger, OWNER, plan.id, 1)
    assert (moves.hung, moves.down, moves.stay) == (((second, plan.spots[0]),), (first,), ())
    swapped = done(teller, plan, 1, on=on("2024-07-01"), kept_in=Spot.SAFE, place="drawer two")
    assert len(swapped.recorded.entries) == 2
    assert swapped.plan.next_swap is None
    down, hung = placed(teller, first), placed(teller, second)
    assert (down.spot, down.place.value, down.housings, str(down.on)) == (
        Spot.SAFE, "drawer two", (SLEEVE,), "2024-07-01",
    )  # fmt: skip
    assert (hung.room, hung.wall, hung.x_cm, hung.place.value) == ("r1", "w1", "60", "the landing")
    assert [each.around for each in hung.housings] == [Around.FRAME]
    assert hung.housings == (FRAME,)
    assert [spot_of(teller, each) for each in (first, second)] == ["safe", "wall"]


def test_what_comes_down_lies_in_the_room_that_its_box_stands_in(teller: Teller) -> None:
    first, second = two_books(teller)
    teller.add(teller.buy(), Placement(spot=Spot.BOX, room="r1", place=Sealed.of("drawer two")))
    hang(teller, first)
    plan = accepted(teller, first, second)
    done(teller, plan)
    done(teller, plan, 1, on=on("2024-07-01"), place="drawer two")
    assert placed(teller, first).room == "r1"


def test_the_same_request_swaps_once_and_another_is_refused(teller: Teller) -> None:
    first, second = two_books(teller)
    hang(teller, first)
    plan = accepted(teller, first, second)
    done(teller, plan)
    once = done(teller, plan, 1, key="k1")
    size = teller.head.size
    again = done(teller, plan, 1, key="k1")
    assert (again.recorded.act, again.recorded.replayed, teller.head.size) == (once.recorded.act, True, size)
    with pytest.raises(ConflictError, match="Swap 2 is over"):
        done(teller, plan, 1, key="k2")
    with pytest.raises(KeyReusedError):
        do_swap(teller.ledger, OWNER, plan.id, SwapSaid(number=1, on=None), Request(key="k1", body=b"other"))


def test_a_swap_whose_check_off_was_lost_is_checked_off_without_writing_again(teller: Teller) -> None:
    first, second = two_books(teller)
    hang(teller, second)
    plan = accepted(teller, first, second)
    done(teller, plan)
    done(teller, plan, 1)
    size = teller.head.size
    assert teller.ledger.care is not None
    # As the store had it before the check-off.
    teller.ledger.care.write(lambda writer: writer.put(Drawer.ROTATION, CareRow(**vars(plan.row))))
    later = done(teller, plan, 1)
    assert (later.recorded, later.plan.done, teller.head.size) == (None, {1: ""}, size)
    assert [each.passed_over for each in later.plan.swaps] == [True, False]


def test_a_swap_of_a_plan_that_is_not_accepted_or_into_a_wall_is_refused_and_writes_nothing(teller: Teller) -> None:
    first, second = two_books(teller)
    hang(teller, first)
    plan = propose_rotation(teller.ledger, OWNER, asked_for(*map(a_rotation_book, (first, second))))
    teller.nothing_written(lambda: done(teller, plan), ConflictError)
    accept_rotation(teller.ledger, OWNER, plan.id)
    teller.nothing_written(lambda: done(teller, plan, kept_in=Spot.WALL), InvalidError)
    teller.nothing_written(lambda: done(teller, plan, 7), NotFoundError)
    teller.nothing_written(lambda: done(teller, plan, 1, place="x" * 41), InvalidError)


def test_a_plan_is_changed_by_hand_and_what_is_over_stays(teller: Teller) -> None:
    first, second = two_books(teller)
    hang(teller, first)
    plan = accepted(teller, first, second)
    changed = change_rotation(teller.ledger, OWNER, plan.id, ((first,), (first,)))
    assert (changed.by_hand, changed.exact, changed.largest) == (True, False, Fraction(24, 1000))
    assert changed.least_possible == plan.least_possible
    back = change_rotation(teller.ledger, OWNER, plan.id, plan.rows)
    assert (back.exact, back.rows) == (True, plan.rows)
    done(teller, plan)
    with pytest.raises(ConflictError, match="Swap 1 is over"):
        change_rotation(teller.ledger, OWNER, plan.id, ((second,), (first,)))
    with pytest.raises(InvalidError):
        change_rotation(teller.ledger, OWNER, plan.id, ((first,), ("nobody",)))


def test_yearly_limits_keep_a_book_down_for_the_rest_of_the_plan(teller: Teller) -> None:
    first, second = two_books(teller)
    books = (a_rotation_book(first, days_a_year=37), a_rotation_book(second, fade=(300_000, 600_000, 900_000)))
    plan = propose_rotation(teller.ledger, OWNER, asked_for(*books, periods=(30, 30, 30)))
    assert plan.days() == {first: 30, second: 60}
    with pytest.raises(InvalidError) as caught:
        change_rotation(teller.ledger, OWNER, plan.id, ((first,), (second,), (first,)))
    assert [each.sentence for each in caught.value.problems] == [
        "It hangs 60 days, and 37 are allowed. Take it down sooner."
    ]
    # Two years and a half allow 37 * 913 // 365 = 92 days.
    longer = (30,) * 30 + (13,)
    assert propose_rotation(teller.ledger, OWNER, asked_for(*books, periods=longer)).days()[first] <= 92


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"starts": date(1, 1, 1)}, "starts"),
        ({"periods": (366 * 6,)}, "periods"),
        ({"periods": ()}, "periods"),
        ({"spots": (BRIGHT, BRIGHT)}, "spots"),
        ({"spots": (replace(DARK, x_cm="1.23456"),)}, "spots.0.x_cm"),
        ({"spots": (replace(DARK, room="The Landing"),)}, "spots.0.room"),
        ({"spots": (replace(DARK, lux_hours_a_day="-3"),)}, "spots.0.lux_hours_a_day"),
        ({"apart": (("a", "a"),)}, "apart.0"),
    ],
)
def test_what_cannot_be_planned_is_refused_at_its_field(teller: Teller, changes: Any, field: str) -> None:
    books = two_books(teller)
    asked = asked_for(*map(a_rotation_book, books), **changes)
    refused = teller.nothing_written(lambda: propose_rotation(teller.ledger, OWNER, asked), InvalidError)
    assert field in {each.field for each in refused.problems}


def test_numbers_out_of_their_band_books_that_are_not_here_and_wishes_that_cannot_be_met_are_refused(
    teller: Teller,
) -> None:
    first, second = two_books(teller)
    ledger = teller.ledger

    def refused(error: Any, *books: Any, **changes: Any) -> Any:
        return teller.nothing_written(lambda: propose_rotation(ledger, OWNER, asked_for(*books, **changes)), error)

    told = refused(InvalidError, a_rotation_book(first, fade=(3_000_000, 1_000_000, 2_000_000), taken=-1))
    assert {each.field for each in told.problems} == {"books.0.fade", "books.0.taken"}
    refused(NotFoundError, a_rotation_book("nobody"))
    both = [a_rotation_book(each) for each in (first, second)]
    refused(ConflictError, *both, spots=(BRIGHT, DARK), apart=((first, second),))


def test_no_more_plans_are_kept_than_anybody_needs(teller: Teller) -> None:
    asked = asked_for(a_rotation_book(teller.buy()))
    for _ in range(PLANS_MOST):
        propose_rotation(teller.ledger, OWNER, asked)
    with pytest.raises(ConflictError, match="Take one away first"):
        propose_rotation(teller.ledger, OWNER, asked)


def test_a_reader_sees_plans_and_changes_none(teller: Teller) -> None:
    plan = accepted(teller, teller.buy())
    reader = Actor(id="reader", scopes=frozenset({Permission.READ}))
    assert look_at_rotations(teller.ledger, reader) == (plan,)
    for work in (
        lambda: propose_rotation(teller.ledger, reader, asked_for()),
        lambda: change_rotation(teller.ledger, reader, plan.id, plan.rows),
        lambda: accept_rotation(teller.ledger, reader, plan.id),
        lambda: take_rotation(teller.ledger, reader, plan.id),
        lambda: do_swap(teller.ledger, reader, plan.id, SwapSaid(number=0, on=None)),
    ):
        teller.nothing_written(work, ForbiddenError)


def test_a_row_that_was_harmed_is_no_plan(teller: Teller) -> None:
    plan = accepted(teller, teller.buy())
    whole = dict(said_of(plan))
    assert rotation_of(CareRow(id="x", made=plan.row.made, said=whole)) is not None
    for name, value in (
        ("starts", "soon"), ("periods", ["x"]), ("rows", []), ("books", [{}]), ("spots", 3), ("apart", [["a"]]),
        ("least_possible", "1/0"), ("standing", "odd"), ("done", []), ("rows", [["a", "b"], ["c"]]), ("periods", [10**12]),
    ):  # fmt: skip
        assert rotation_of(CareRow(id="x", made=plan.row.made, said={**whole, name: value})) is None, name
    assert rotation_of(CareRow(id="x", made=plan.row.made, said={})) is None
