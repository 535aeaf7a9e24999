"""What care a book is due: counted from what happened, with no day made up where none is known."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from ledger.book import Book
from ledger.care_due import Ahead, Care, CareDue, Planned, cares_of
from ledger.events import Event
from ledger.events.count import Count, Result
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.feed import due_care
from ledger.history import Moment, fold, history
from ledger.rules.care import care_rules
from ledger.sealed import Sealed
from tests.builders import BOOK, CODEC, RECORDED, a_defect, a_purchase, an_examination, an_intervention, chain, on

SLEEVE = Housing(around=Around.SLEEVE, material=Material.POLYETHYLENE, changed_on=on("2024-02-05"))


def chain_of(*events: Event) -> tuple[Book, list[Moment]]:
    moments = history(chain(*events), CODEC)
    return fold(BOOK, 1, moments), moments


def dues(*events: Event, planned: tuple[Planned, ...] = ()) -> dict[Care, CareDue]:
    book, moments = chain_of(a_purchase(), *events)
    return {each.care: each for each in cares_of(book, moments, care_rules(), planned)}


def a_placement(when: str | None = "2024-03-01", **changes: Any) -> Placement:
    return Placement(**{"on": on(when), "spot": Spot.BOX, "place": Sealed.of("box one"), **changes})


def test_a_book_that_was_never_counted_nor_looked_at_is_due_from_the_day_it_came() -> None:
    found = dues()
    # By hand: 2024-02-01 and 365 days; 2024 is a leap year.
    assert found.keys() == {Care.COUNT, Care.LOOK}
    for each in found.values():
        assert (each.on, each.since, each.by_table, each.book) == (date(2025, 1, 31), "2024-02-01", True, BOOK)


def test_a_count_and_a_look_put_off_each_its_own() -> None:
    found = dues(Count(on=on("2024-06-01")), an_examination("2024-09-10"))
    assert found[Care.COUNT].on == date(2025, 6, 1)
    assert found[Care.LOOK].on == date(2025, 9, 10)


def test_a_book_that_was_not_found_is_to_be_looked_for_and_no_day_is_made_up() -> None:
    lost = Count(on=on("2024-06-01"), result=Result.NOT_FOUND)
    found = dues(lost)
    assert Care.COUNT not in found
    assert (found[Care.MISSING].on, found[Care.MISSING].since) == (None, "2024-06-01")
    assert dues(lost, Count(on=on("2024-06-02"), result=Result.DAMAGED))[Care.COUNT].on == date(2025, 6, 2)


@pytest.mark.parametrize(
    ("when", "day"),
    [(None, None), ("2023/2024", date(2024, 1, 1)), ("2024", date(2024, 12, 31)), ("202X", date(2020, 12, 31))],
)
def test_a_vague_day_counts_from_its_earliest_and_an_unknown_one_from_none(when: str | None, day: date | None) -> None:
    book, moments = chain_of(a_purchase(None), Count(on=on(when)))
    (count,) = [each for each in cares_of(book, moments, care_rules()) if each.care is Care.COUNT]
    assert count.on == day


def test_a_move_asks_for_a_look_and_the_first_place_is_no_move() -> None:
    looked = an_examination("2024-02-05")
    assert Care.AFTER_MOVE not in dues(looked, a_placement())
    moved = a_placement("2024-04-01", spot=Spot.WALL, place=Sealed.of("landing"))
    found = dues(looked, a_placement(), moved)[Care.AFTER_MOVE]
    assert (found.on, found.since) == (date(2024, 5, 1), "2024-04-01")
    assert Care.AFTER_MOVE not in dues(a_placement(), moved, an_examination("2024-04-03"))
    assert Care.AFTER_MOVE not in dues(looked, a_placement(), a_placement("2024-04-01", housings=(SLEEVE,)))


def test_a_trip_asks_for_a_look_once_it_is_back() -> None:
    out = Custody(on=on("2024-03-01"), direction=Direction.OUT, to_whom=Hands.FRAMER)
    back = Custody(on=on("2024-03-20"), direction=Direction.BACK)
    looked = an_examination("2024-02-20")
    assert dues(looked, out) == {}
    assert dues(looked, out, back)[Care.AFTER_TRIP].on == date(2024, 3, 27)
    assert Care.AFTER_TRIP not in dues(out, back, an_examination("2024-03-21"))


def test_work_asks_for_a_look_after_a_week_of_rest() -> None:
    found = dues(an_examination("2024-02-05", defects=(a_defect(),)), an_intervention("hot-press-dry", "2024-03-10"))
    assert found[Care.AFTER_WORK].on == date(2024, 3, 17)


def ahead(what: Ahead = Ahead.MOVE, day: date = date(2025, 6, 20), *, hours: int = 1) -> tuple[Planned, ...]:
    return (Planned(what=what, on=day, made=RECORDED + timedelta(hours=hours)),)


@pytest.mark.parametrize("what", list(Ahead))
def test_what_is_planned_asks_for_a_look_that_is_not_older_than_a_fortnight_on_its_day(what: Ahead) -> None:
    found = dues(an_examination("2025-06-05"), planned=ahead(what))[Care.BEFORE]
    assert (found.on, found.before, found.ahead) == (date(2025, 6, 6), date(2025, 6, 20), what)
    assert Care.BEFORE not in dues(an_examination("2025-06-06"), planned=ahead(what))
    assert dues(planned=ahead(what))[Care.BEFORE].since is None


def test_what_was_done_since_it_was_planned_asks_for_nothing() -> None:
    # Entries are recorded an hour apart, the first of them at RECORDED.
    assert Care.BEFORE not in dues(a_placement(), planned=ahead())
    assert Care.BEFORE in dues(a_placement(), planned=ahead(hours=2))
    assert Care.BEFORE in dues(a_placement(), planned=ahead(Ahead.PRESS))


def test_a_housing_is_due_on_the_day_its_owner_fixed_or_after_the_usual_interval_or_on_none() -> None:
    fixed = Housing(around=Around.FRAME, due=on("2027-05"), changed_on=on("2024"))
    unknown = Housing(around=Around.BOARD)
    book, moments = chain_of(a_purchase(), a_placement(housings=(SLEEVE, fixed, unknown)))
    found = {each.around: each for each in cares_of(book, moments, care_rules()) if each.care is Care.HOUSING}
    # By hand: 2024-02-05 and 1096 days, three years of which one has a leap day behind 5 February.
    assert (found[Around.SLEEVE].on, found[Around.SLEEVE].by_table) == (date(2027, 2, 5), True)
    assert (found[Around.FRAME].on, found[Around.FRAME].by_table) == (date(2027, 5, 1), False)
    assert (found[Around.BOARD].on, found[Around.BOARD].since) == (None, None)
    anew = chain_of(a_purchase(), a_placement(housings=(SLEEVE,)), a_placement("2024-05-01"))
    assert not [each for each in cares_of(*anew, care_rules()) if each.care is Care.HOUSING]


def test_a_shorter_interval_never_puts_anything_off() -> None:
    events = (
        an_examination("2024-02-05"),
        a_placement(),
        a_placement("2024-04-01", housings=(SLEEVE,), spot=Spot.SAFE),
    )
    found = dues(*events)
    assert found[Care.AFTER_MOVE].on is not None
    for care in (Care.COUNT, Care.LOOK, Care.AFTER_MOVE, Care.HOUSING):
        on_day, since = found[care].on, found[care].since
        assert on_day is not None
        assert since is not None
        assert on_day > date.fromisoformat(since)


def a_due(book: str = "b1", care: Care = Care.COUNT, day: date | None = date(2026, 1, 5), **changes: Any) -> CareDue:
    noted = datetime(2025, 1, 1, tzinfo=UTC)
    return CareDue(**{"book": book, "care": care, "on": day, "since": None, "noted": noted, **changes})


def test_a_calendar_tells_what_is_due_on_a_day_in_one_entry_and_never_why_nor_where() -> None:
    trip = a_due("b3", Care.AFTER_TRIP)
    found = due_care(
        [a_due(), a_due("b2"), trip, a_due("b2", Care.AFTER_MOVE), a_due("b4", day=None), a_due("b5", Care.AFTER_WORK)],
        None,
    )
    assert sorted(each.words for each in found) == ["Count: 2 books", "Look at: 2 books"]
    assert {each.at for each in found} == {date(2026, 1, 5)}
    names = {"b1": "The Copper Lantern 14", "b2": "Harbor Lamp 3"}
    assert [each.words for each in due_care([a_due(), a_due("b2")], names)] == [
        "Count: The Copper Lantern 14, Harbor Lamp 3"
    ]
    many = [a_due(f"b{n}") for n in range(6)]
    assert [each.words for each in due_care(many, {f"b{n}": "A" for n in range(6)})] == ["Count: 6 books"]
    frame = a_due(care=Care.HOUSING, around=Around.FRAME)
    assert [each.words for each in due_care([frame], None)] == ["Look over the frame: one book"]


def test_the_same_due_has_the_same_id_at_every_reading() -> None:
    first, second = due_care([a_due()], None), due_care([a_due(), a_due("b2")], {})
    assert [each.id for each in first] == [each.id for each in second]
    assert len({each.id for each in due_care([a_due(), a_due(care=Care.LOOK)], None)}) == 2
