"""Looks held against one another: new, gone, back, lessened, worse; what was not looked at stays as it was seen."""

from typing import Any

import pytest

from ledger.events._parts import Answer, Face, Region
from ledger.events.withdrawal import Withdrawal
from ledger.looks import RESTED_HOURS, Change, LookSeen, looks_of, outcome
from ledger.sealed import Sealed
from ledger.usecases.look import look_at
from tests.builders import a_defect, an_examination, an_intervention
from tests.usecases.telling import OWNER, Teller


def told(teller: Teller, *events: Any) -> tuple[LookSeen, ...]:
    """The looks at a book of which these happened."""
    book = teller.buy()
    for event in events:
        teller.add(book, event)
    return looks_of(look_at(teller.ledger, OWNER, book).moments)


def a_look(day: str, *defects: Any, **more: Any) -> Any:
    return an_examination(day, defects=defects, **more)


def changes(look: LookSeen) -> dict[str, Change]:
    return {each.defect.id: each.change for each in look.seen}


def bend(name: str = "d1", **more: Any) -> Any:
    return a_defect(name, "bend", **more)


def test_at_the_first_look_everything_is_new(teller: Teller) -> None:
    (look,) = told(teller, a_look("2024-03-01", bend("d1"), bend("d2")))
    assert changes(look) == {"d1": Change.NEW, "d2": Change.NEW}


@pytest.mark.parametrize(
    ("before", "now", "change"),
    [
        ({"size_mm": "12"}, {"size_mm": "12"}, Change.SAME),
        ({"size_mm": "12"}, {"size_mm": "12.9"}, Change.SAME),
        ({"size_mm": "12"}, {"size_mm": "13"}, Change.WORSE),
        ({"size_mm": "12"}, {"size_mm": "11.1"}, Change.SAME),
        ({"size_mm": "12"}, {"size_mm": "11"}, Change.LESSENED),
        ({"size_mm": "12"}, {"gone": True, "size_mm": None}, Change.GONE),
        ({"size_mm": "12", "count": 3}, {"size_mm": "12", "count": 2}, Change.LESSENED),
        ({"size_mm": "12", "count": 3}, {"size_mm": "20", "count": 2}, Change.OTHERWISE),
    ],
)
def test_a_defect_is_held_against_what_was_measured_before(
    teller: Teller, before: dict[str, Any], now: dict[str, Any], change: Change
) -> None:
    _, second = told(teller, a_look("2024-03-01", bend(**before)), a_look("2024-04-01", bend(**now)))
    assert changes(second) == {"d1": change}


def test_what_was_measured_in_another_way_cannot_be_compared(teller: Teller) -> None:
    first = a_defect("d1", "spine-tick", size_mm=None, count=3)
    second = a_defect("d1", "spine-tick", size_mm="4", count=None)
    looks = told(teller, a_look("2024-03-01", first), a_look("2024-04-01", second))
    assert changes(looks[1]) == {"d1": Change.OTHERWISE}


def test_a_break_in_colour_that_was_not_there_is_worse(teller: Teller) -> None:
    first = a_defect("d1", "spine-tick", size_mm="4", breaks_colour=Answer.NO)
    second = a_defect("d1", "spine-tick", size_mm="4", breaks_colour=Answer.YES)
    looks = told(teller, a_look("2024-03-01", first), a_look("2024-04-01", second))
    assert changes(looks[1]) == {"d1": Change.WORSE}


def test_what_a_look_does_not_name_stays_as_it_was_last_seen(teller: Teller) -> None:
    first, second = told(
        teller, a_look("2024-03-01", bend("d1"), bend("d2")), a_look("2024-04-01", bend("d2"), bend("d3"))
    )
    assert changes(second) == {"d1": Change.UNSEEN, "d2": Change.SAME, "d3": Change.NEW}
    assert [each.seen_by for each in second.seen] == [first.seq, second.seq, second.seq]


def test_a_bend_that_came_back_is_told_as_that(teller: Teller) -> None:
    gone = bend(gone=True, size_mm=None)
    looks = told(
        teller, a_look("2024-03-01", bend()), a_look("2024-04-01", gone), a_look("2024-05-01", bend(size_mm="3"))
    )
    assert changes(looks[2]) == {"d1": Change.BACK}
    assert [each.defect.id for each in looks[2].changed(Change.BACK)] == ["d1"]


def test_work_between_two_looks_is_named_with_the_second(teller: Teller) -> None:
    first, second, third = told(
        teller,
        a_look("2024-03-01", bend()),
        an_intervention("dry-cleaning", "2024-03-02"),
        an_intervention("cold-press", "2024-03-03"),
        a_look("2024-04-01", bend()),
        a_look("2024-05-01", bend()),
    )
    assert (len(first.work), len(second.work), len(third.work)) == (0, 2, 0)
    assert (first.worked_before, third.worked_before) == (False, True)


def test_the_look_after_a_week_of_rest_is_the_one_that_counts(teller: Teller) -> None:
    looks = told(
        teller,
        a_look("2024-03-01", bend(), rest_hours=RESTED_HOURS),
        an_intervention("cold-press", "2024-03-03"),
        a_look("2024-03-04", bend(), rest_hours=12),
        a_look("2024-03-12", bend(), rest_hours=RESTED_HOURS),
        a_look("2024-08-12", bend()),
    )
    counting = outcome(looks)
    assert counting is not None
    assert str(counting.on) == "2024-08-12"
    assert outcome(looks[:3]) == looks[2]
    assert outcome(looks[:2]) is None


def test_a_book_that_grew_or_shrank_by_a_millimetre_raises_a_question(teller: Teller) -> None:
    size = {"height_mm": "260", "width_mm": "180"}
    looks = told(
        teller,
        a_look("2024-03-01", **size),
        a_look("2024-04-01", height_mm="260.9", width_mm="180"),
        a_look("2024-05-01", width_mm="178.5"),
    )
    assert [each.questions for each in looks] == [(), (), ("width_mm",)]


def test_a_look_that_was_written_down_late_stands_where_it_happened(teller: Teller) -> None:
    looks = told(
        teller, a_look("2024-03-01", bend(size_mm="12")), a_look("2024-05-01", bend(size_mm="5")), a_look("2024-04-01", bend(size_mm="8"))
    )  # fmt: skip
    assert [each.seen[0].defect.size_mm for each in looks] == ["12", "8", "5"]
    assert [each.seen[0].change for each in looks] == [Change.NEW, Change.LESSENED, Change.LESSENED]


def test_a_look_that_was_withdrawn_is_none(teller: Teller) -> None:
    book = teller.buy()
    first = teller.add(book, a_look("2024-03-01", bend()))
    teller.add(book, a_look("2024-04-01", bend("d2")))
    teller.add(book, Withdrawal(entry=first.seq, reason=Sealed.of("of another book")))
    (look,) = looks_of(look_at(teller.ledger, OWNER, book).moments)
    assert changes(look) == {"d2": Change.NEW}


def test_a_defect_whose_place_is_not_said_again_lies_where_it_lay(teller: Teller) -> None:
    place = Region(x_mm="20", y_mm="30")
    first, second, third = told(
        teller,
        a_look("2024-03-01", bend(region=place)),
        a_look("2024-04-01", bend(size_mm="3")),
        a_look("2024-05-01", bend(face=Face.BACK)),
    )
    assert [each.seen[0].defect.region for each in (first, second, third)] == [place, place, None]
