"""What a look says beyond defects: claims of others, faces it went over, small steps that add up, rest by the dates."""

from typing import Any

import pytest

from ledger.events._parts import Answer, Face, Mark, OpinionOf, Region
from ledger.events._settings import Settings
from ledger.events.photograph import Photograph
from ledger.looks import MARKS_ASKED, RESTED_HOURS, Change, LookSeen, outcome, see_again
from ledger.measured import NATURAL_MM
from ledger.rules.grades import Grade
from ledger.usecases.look import look_at
from tests.builders import a_defect, an_intervention, on
from tests.usecases.telling import OWNER, Teller
from tests.usecases.test_looks import a_look, bend, changes, told

CLEAN = "ab" * 32


def claim(name: str = "d1", by: OpinionOf = OpinionOf.SELLER, **more: Any) -> Any:
    return bend(name, **{"size_mm": None, "claimed_by": by, **more})


def claims(look: LookSeen) -> dict[str, tuple[OpinionOf | None, int, int | None]]:
    return {each.defect.id: (each.defect.claimed_by, each.told_by, each.looked_by) for each in look.claims}


def test_a_claim_is_neither_new_nor_missing_and_stands_apart(teller: Teller) -> None:
    first, second = told(
        teller, a_look("2024-03-01", bend("d1"), claim("d2")), a_look("2024-04-01", claim("d3", OpinionOf.SERVICE))
    )
    assert changes(first) == {"d1": Change.NEW}
    assert changes(second) == {"d1": Change.UNSEEN}
    assert claims(first) == {"d2": (OpinionOf.SELLER, first.seq, None)}
    assert claims(second) == {
        "d2": (OpinionOf.SELLER, first.seq, None), "d3": (OpinionOf.SERVICE, second.seq, None),
    }  # fmt: skip


def test_what_was_claimed_and_is_seen_is_a_claim_no_longer(teller: Teller) -> None:
    first, second, third = told(
        teller,
        a_look("2024-03-01", claim("d1"), claim("d2")),
        a_look("2024-04-01", bend("d1")),
        a_look("2024-05-01", bend("d1")),
    )
    assert (changes(first), changes(second), changes(third)) == (
        {}, {"d1": Change.CONFIRMED}, {"d1": Change.SAME},
    )  # fmt: skip
    assert [sorted(claims(each)) for each in (first, second, third)] == [["d1", "d2"], ["d2"], ["d2"]]


def test_a_claim_says_which_look_went_over_its_face_and_did_not_find_it(teller: Teller) -> None:
    first, second, third = told(
        teller,
        a_look("2024-03-01", claim("d1", face=Face.BACK), faces_looked_at=(Face.BACK,)),
        a_look("2024-04-01", faces_looked_at=(Face.BACK, Face.SPINE)),
        a_look("2024-05-01", faces_looked_at=(Face.FRONT,)),
    )
    assert [each.claims[0].looked_by for each in (first, second, third)] == [None, second.seq, second.seq]


def test_no_claim_is_eased_by_work(teller: Teller) -> None:
    book = teller.buy()
    for event in (
        a_look("2024-03-01", claim("d1", breaks_colour=Answer.NO), bend("d2", breaks_colour=Answer.NO)),
        an_intervention("cold-press", "2024-03-03"),
    ):
        teller.add(book, event)
    assert see_again(look_at(teller.ledger, OWNER, book).moments) == ("d2",)


def test_what_is_not_named_on_a_face_that_was_looked_at_is_as_it_was(teller: Teller) -> None:
    everywhere = (
        bend("d1", face=Face.FRONT), bend("d2", face=Face.BACK), bend("d3", face=Face.FRONT), bend("d4", face=Face.INSIDE)
    )  # fmt: skip
    first, second, third = told(
        teller,
        a_look("2024-03-01", *everywhere),
        a_look("2024-04-01", bend("d3", size_mm="4"), faces_looked_at=(Face.FRONT, Face.INSIDE)),
        a_look("2024-05-01", bend("d3", size_mm="4")),
    )
    assert changes(second) == {
        "d1": Change.UNMENTIONED, "d2": Change.UNSEEN, "d3": Change.LESSENED, "d4": Change.UNMENTIONED,
    }  # fmt: skip
    assert changes(third) == dict.fromkeys(("d1", "d2", "d4"), Change.UNSEEN) | {"d3": Change.SAME}
    assert {each.seen_by for each in second.seen if each.defect.id != "d3"} == {first.seq}
    assert {each.since for each in third.seen} == {first.seq}


def sizes(teller: Teller, *found: str | None) -> list[tuple[str, bool]]:
    looks = told(teller, *(a_look(f"2024-{3 + at:02d}-01", bend(size_mm=each)) for at, each in enumerate(found)))
    return [(each.seen[0].change.name, each.seen[0].in_small_steps) for each in looks]


def test_small_steps_that_come_to_a_millimetre_are_a_change(teller: Teller) -> None:
    assert NATURAL_MM == 1
    assert sizes(teller, "12", "12.5", "12.9", "13")[1:] == [("SAME", False), ("SAME", False), ("WORSE", True)]
    assert sizes(teller, "12", "11.4", "11.1", "10.9")[1:] == [("SAME", False), ("SAME", False), ("LESSENED", True)]
    assert sizes(teller, "12", "12.999", "12.001")[1:] == [("SAME", False), ("SAME", False)]


def test_after_a_change_that_was_told_small_steps_are_counted_anew(teller: Teller) -> None:
    assert sizes(teller, "12", "12.6", "13.2", "13.8", "14.2")[2:] == [
        ("WORSE", True), ("SAME", False), ("WORSE", True),
    ]  # fmt: skip
    assert sizes(teller, "12", "5", "5", "5.9", "6")[1:] == [
        ("LESSENED", False), ("SAME", False), ("SAME", False), ("WORSE", True),
    ]  # fmt: skip


def test_small_steps_are_counted_on_over_a_look_that_did_not_measure(teller: Teller) -> None:
    looks = told(
        teller,
        a_look("2024-03-01", bend(size_mm="12")),
        a_look("2024-04-01"),
        a_look("2024-05-01", bend(size_mm="12.7")),
        a_look("2024-06-01", bend(size_mm="13.1")),
    )
    assert [each.seen[0].change for each in looks[2:]] == [Change.SAME, Change.WORSE]
    assert looks[3].seen[0].first_mm == "13.1"


def test_a_colour_that_broke_leaves_small_steps_as_they_were(teller: Teller) -> None:
    looks = told(
        teller,
        a_look("2024-03-01", a_defect("d1", "spine-tick", size_mm="4", breaks_colour=Answer.NO)),
        a_look("2024-04-01", a_defect("d1", "spine-tick", size_mm="4.6", breaks_colour=Answer.YES)),
        a_look("2024-05-01", a_defect("d1", "spine-tick", size_mm="5", breaks_colour=Answer.YES)),
    )
    assert [(each.seen[0].change, each.seen[0].in_small_steps) for each in looks[1:]] == [
        (Change.WORSE, False), (Change.WORSE, True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("heights", "asked"),
    [
        (("260", "260.5", "260.9", "260.99"), [False, False, False]),
        (("260", "260.5", "260.9", "261"), [False, False, True]),
        (("260", "259.5", "259.1", "258.9"), [False, False, True]),
        (("260", "258", "258", "260"), [True, True, True]),
        (("260", "261", "260.1", "260"), [True, False, False]),
    ],
)
def test_the_size_of_the_book_is_held_against_the_first_measure_too(
    teller: Teller, heights: tuple[str, ...], asked: list[bool]
) -> None:
    looks = told(teller, *(a_look(f"2024-{3 + at:02d}-01", height_mm=each) for at, each in enumerate(heights)))
    assert [bool(each.questions) for each in looks[1:]] == asked
    last = next(each for each in looks[-1].measured if each.name == "height_mm")
    assert (last.first, last.first_seq) == (heights[0], looks[0].seq)


def test_grade_from_near_staples_and_rust_are_compared_like_the_rest(teller: Teller) -> None:
    looks = told(
        teller,
        a_look("2024-03-01", technical=Grade("8.0"), staples_counted=2, staple_rust=Answer.NO),
        a_look("2024-04-01"),
        a_look("2024-05-01", technical=Grade("7.5"), staples_counted=1, staple_rust=Answer.YES),
    )
    found = {each.name: (each.before, each.value, each.step) for each in looks[2].measured}
    assert found["technical"] == ("8.0", "7.5", -1)
    assert found["staples_counted"] == ("2", "1", -1)
    assert found["staple_rust"] == ("no", "yes", 1)
    assert {each.value for each in looks[1].measured if each.name in found} == {None}


def test_a_week_that_the_dates_tell_makes_a_look_count(teller: Teller) -> None:
    looks = told(
        teller,
        a_look("2024-03-01", bend()),
        an_intervention("cold-press", "2024-03-01/2024-03-03"),
        a_look("2024-03-09", bend()),
        a_look("2024-03-10", bend()),
        a_look("2024-03-11", bend(), rest_hours=12),
    )
    assert [(each.rest_hours, each.rest_from_dates) for each in looks] == [
        (None, False), (144, True), (168, True), (12, False),
    ]  # fmt: skip
    assert [each.rested for each in looks] == [False, False, True, False]
    assert outcome(looks) == looks[2]
    assert RESTED_HOURS == 168


def test_hours_in_the_press_are_no_rest(teller: Teller) -> None:
    press = an_intervention("cold-press", "2024-03-03T08:00:00Z", settings=Settings(total_minutes=24 * 60))
    looks = told(teller, press, a_look("2024-03-10T20:00:00Z", bend()), a_look("2024-03-11T08:00:00Z", bend()))
    assert [(each.rest_hours, each.rested) for each in looks] == [(156, False), (168, True)]


def test_a_look_says_place_note_and_photograph_only_once(teller: Teller) -> None:
    said: dict[str, Any] = {"region": Region(x_mm="1", y_mm="2"), "note": "runs out", "photograph": CLEAN}
    mark = Mark(id="m1", what="blue fibre", face=Face.BACK, photograph=CLEAN)
    again = Mark(id="m1", what="blue fibre, 3 mm", face=Face.BACK)
    _, second, third = told(
        teller,
        Photograph(on=on("2024-02-20"), original="cd" * 32, clean=CLEAN),
        a_look("2024-03-01", bend(**said), marks=(mark,)),
        a_look("2024-04-01", bend(size_mm="4"), marks=(again,)),
        a_look("2024-05-01", bend(face=Face.BACK, size_mm="4", note="on the back after all")),
    )
    assert second.seen[0].defect == bend(**{**said, "size_mm": "4"})
    assert second.marks[0].mark.photograph == CLEAN
    assert (second.marks[0].since, second.marks[0].seen_by) == (second.seq - 1, second.seq)
    assert third.seen[0].defect == bend(face=Face.BACK, size_mm="4", note="on the back after all")


def test_three_marks_are_asked_for() -> None:
    """Source: our assumption."""
    assert MARKS_ASKED == 3
