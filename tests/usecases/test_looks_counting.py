"""Which look counts, what is to be seen again, what is said of the whole book; and that only what is in force matters."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.events._parts import Answer, Face, Mark, Region
from ledger.events.correction import Correction
from ledger.events.examination import Suppleness, Tone
from ledger.events.withdrawal import Withdrawal
from ledger.looks import RESTED_HOURS, Change, LookSeen, looks_of, outcome, see_again
from ledger.measured import NATURAL_MM, Measured
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.usecases.found import found
from ledger.usecases.look import look_at
from tests.builders import an_examination, an_intervention, worked_on
from tests.conftest import COLLECTION, ledger_on
from tests.counts import count
from tests.fakes import FakeLog
from tests.usecases.telling import OWNER, Teller
from tests.usecases.test_looks import a_look, bend, changes

GONE: dict[str, Any] = {"gone": True, "size_mm": None}


def moments_of(teller: Teller, *events: Any) -> Sequence[Any]:
    """The moments of a book of which these happened."""
    book = teller.buy()
    for event in events:
        teller.add(book, event)
    return look_at(teller.ledger, OWNER, book).moments


def said(look: LookSeen, name: str) -> Measured:
    return next(each for each in look.measured if each.name == name)


RESTED = (
    a_look("2024-03-01", bend()),
    an_intervention("cold-press", "2024-03-03"),
    a_look("2024-03-12", bend(size_mm="4"), rest_hours=RESTED_HOURS),
)


def test_a_rested_look_counts_until_there_is_more_work(teller: Teller) -> None:
    looks = looks_of(moments_of(teller, *RESTED))
    assert outcome(looks) == looks[1]
    again = looks_of(moments_of(teller, *RESTED, an_intervention("cold-press", "2024-03-20")))
    assert outcome(again) is None
    soon = a_look("2024-03-21", bend(**GONE), rest_hours=12)
    assert outcome(looks_of(moments_of(teller, *RESTED, an_intervention("cold-press", "2024-03-20"), soon))) is None


def test_an_hour_less_than_a_week_is_no_rest(teller: Teller) -> None:
    work = an_intervention("cold-press", "2024-03-03")
    assert RESTED_HOURS == 7 * 24
    said = ((RESTED_HOURS - 1, "2024-03-12", True), (RESTED_HOURS, "2024-03-12", False))
    for hours, day, due in (*said, (None, "2024-03", True), (None, "2024-03-09", True), (None, "2024-03-10", False)):
        moments = moments_of(teller, work, a_look(day, rest_hours=hours))
        assert (see_again(moments) is not None) is due
        assert (outcome(looks_of(moments)) is None) is due


def test_without_work_no_look_is_due(teller: Teller) -> None:
    moments = moments_of(teller, a_look("2024-03-01", bend()), a_look("2024-04-01", bend(**GONE)))
    assert see_again(moments) is None
    assert outcome(looks_of(moments)) is None


def test_what_was_worked_on_or_found_eased_too_soon_is_to_be_seen_again(teller: Teller) -> None:
    named = an_intervention("cold-press", "2024-03-03", worked_defects=worked_on("d2"))
    before = a_look("2024-03-01", bend("d1"), bend("d2"), bend("d3"))
    assert see_again(moments_of(teller, before, named)) == ("d2",)
    soon = a_look("2024-03-04", bend("d1", **GONE), bend("d3"), rest_hours=20)
    assert see_again(moments_of(teller, before, named, soon)) == ("d2", "d1")
    late = a_look("2024-03-20", bend("d1", **GONE), rest_hours=RESTED_HOURS)
    assert see_again(moments_of(teller, before, named, soon, late)) is None


def test_work_that_names_no_defect_may_have_eased_all_that_are_there_and_whole_in_colour(teller: Teller) -> None:
    before = a_look(
        "2024-03-01",
        bend("d1", breaks_colour=Answer.NO),
        bend("d2", breaks_colour=Answer.UNSURE),
        bend("d3", breaks_colour=Answer.NO),
    )
    gone = a_look("2024-03-02", bend("d3", **GONE))
    assert see_again(moments_of(teller, before, gone, an_intervention("cold-press", "2024-03-03"))) == ("d1",)


def test_what_is_said_of_the_whole_book_is_held_against_the_last_time_it_was_said(teller: Teller) -> None:
    first, second, third = looks_of(
        moments_of(
            teller,
            a_look("2024-03-01", height_mm="260", weight_g="92.5", pages_counted=36, tone=Tone.IVORY, presents_as=Grade("8.0")),
            a_look("2024-04-01", height_mm="260.9", pages_counted=32, suppleness=Suppleness.STIFF),
            a_look("2024-05-01", height_mm="258", weight_g="92.4", tone=Tone.STRAW, presents_as=Grade("8.5"), suppleness=Suppleness.STIFF),
        )
    )  # fmt: skip
    assert {each.step for each in first.measured} == {None}
    assert {each.name: each.step for each in second.measured if each.step is not None} == {
        "height_mm": 0,
        "pages_counted": -1,
    }
    assert said(second, "weight_g") == Measured(
        name="weight_g", value=None, before="92.5", before_seq=first.seq, step=None, first="92.5", first_seq=first.seq
    )
    assert {each.name: each.step for each in third.measured if each.step is not None} == {
        "presents_as": 1,
        "height_mm": -1,
        "weight_g": -1,
        "tone": 1,
        "suppleness": 0,
    }
    assert said(third, "weight_g").before_seq == first.seq
    assert (second.questions, third.questions) == ((), ("height_mm",))


def test_a_grade_is_compared_by_steps_and_not_as_text(teller: Teller) -> None:
    looks = looks_of(
        moments_of(
            teller, a_look("2024-03-01", presents_as=Grade("9.8")), a_look("2024-04-01", presents_as=Grade("10.0"))
        )
    )
    assert said(looks[1], "presents_as").step == 1


def test_whoever_is_unsure_whether_a_book_is_complete_has_not_said_it(teller: Teller) -> None:
    days = ("2024-03-01", "2024-04-01", "2024-05-01")
    answers = (Answer.YES, Answer.UNSURE, Answer.NO)
    looks = looks_of(
        moments_of(teller, *(a_look(day, completeness=each) for day, each in zip(days, answers, strict=True)))
    )
    found_ = [said(each, "completeness") for each in looks]
    assert [(each.value, each.before, each.step) for each in found_] == [
        ("yes", None, None),
        (None, "yes", None),
        ("no", "yes", 1),
    ]


@pytest.mark.parametrize(("wide", "high"), [(197, 267), (181, 267), (175, 260), (168, 260)])
def test_moisture_moves_no_page_by_as_much_as_asks_a_question(wide: int, high: int) -> None:
    """Source: PrintWiki: 5 per cent more moisture expands paper by 0.23 per cent across the grain; sizes: common practice, no source."""
    assert max(wide, high) * Decimal("0.0023") < NATURAL_MM


def test_a_mark_stays_known_and_lies_where_it_lay(teller: Teller) -> None:
    place = Region(x_mm="12", y_mm="80")
    mark = Mark(id="m1", what="blue fibre", face=Face.BACK, region=place)
    again = Mark(id="m1", what="blue fibre, 3 mm", face=Face.BACK)
    first, second, third = looks_of(
        moments_of(
            teller, a_look("2024-03-01", marks=(mark,)), a_look("2024-04-01"), a_look("2024-05-01", marks=(again,))
        )
    )
    assert [each.mark for each in second.marks] == [mark]
    assert second.marks[0].seen_by == first.seq
    assert [(each.mark.what, each.mark.region, each.seen_by) for each in third.marks] == [
        ("blue fibre, 3 mm", place, third.seq)
    ]


def test_a_look_that_was_corrected_counts_as_corrected(teller: Teller) -> None:
    book = teller.buy()
    first = teller.add(book, a_look("2024-03-01", bend(size_mm="12")))
    teller.add(book, a_look("2024-04-01", bend(size_mm="12")))
    smaller = {"id": "d1", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "5"}
    teller.add(book, Correction(entry=first.seq, changes={"defects": [smaller]}, reason=Sealed.of("misread")))
    looks = looks_of(look_at(teller.ledger, OWNER, book).moments)
    assert [changes(each) for each in looks] == [{"d1": Change.NEW}, {"d1": Change.WORSE}]
    later = Correction(entry=first.seq, changes={"on": "2024-05-01"}, reason=Sealed.of("another day"))
    teller.add(book, later)
    looks = looks_of(look_at(teller.ledger, OWNER, book).moments)
    assert [str(each.on) for each in looks] == ["2024-04-01", "2024-05-01"]
    assert [changes(each) for each in looks] == [{"d1": Change.NEW}, {"d1": Change.LESSENED}]


def facts(looks: Sequence[LookSeen]) -> list[Any]:
    """What the looks come to, without the numbers of entries, which hang on the order of writing."""
    return [
        (
            str(each.on),
            {one.defect.id: (one.defect, one.change) for one in each.seen},
            [(one.name, one.value, one.before, one.step) for one in each.measured],
            len(each.work),
            each.worked_before,
            each.worked_after,
        )
        for each in looks
    ]


DAYS = [f"2024-{month:02d}-10" for month in range(3, 10)]
SIZES = st.sampled_from(["3", "3.5", "5", None])
LOOKS = st.builds(
    lambda sizes, height, rest: {
        "defects": tuple(bend(name, size_mm=size) for name, size in sizes.items() if size is not None),
        "height_mm": height,
        "rest_hours": rest,
    },
    st.fixed_dictionaries({"d1": SIZES, "d2": SIZES}),
    st.sampled_from([None, "260", "260.5", "262"]),
    st.sampled_from([None, 12, RESTED_HOURS]),
)
EVENTS = st.lists(st.one_of(LOOKS, st.none()), min_size=1, max_size=len(DAYS))


@settings(max_examples=count(25, 400), deadline=None)
@given(EVENTS, st.data())
def test_neither_the_order_of_writing_nor_a_withdrawn_look_changes_what_the_looks_come_to(
    told: list[dict[str, Any] | None], data: st.DataObject
) -> None:
    happened = [
        an_intervention("cold-press", day) if each is None else an_examination(day, **each)
        for day, each in zip(DAYS, told, strict=False)
    ]
    ledger = ledger_on(FakeLog(COLLECTION, EventCodec()))
    found(ledger, OWNER)
    teller = Teller(ledger)
    in_order = moments_of(teller, *happened)
    shuffled = data.draw(st.permutations(happened))
    stray = an_examination("2024-04-20", defects=(bend("d9", size_mm="50"),), height_mm="200", rest_hours=RESTED_HOURS)
    book = teller.buy()
    seq = None
    place = data.draw(st.integers(0, len(shuffled)))
    for at, event in enumerate([*shuffled[:place], stray, *shuffled[place:]]):
        written = teller.add(book, event)
        seq = written.seq if at == place else seq
    assert seq is not None
    teller.add(book, Withdrawal(entry=seq, reason=Sealed.of("of another book")))
    late = look_at(ledger, OWNER, book).moments
    assert facts(looks_of(late)) == facts(looks_of(in_order))
    assert set(see_again(late) or ()) == set(see_again(in_order) or ())
    worked = None in told
    assert (see_again(late) is None) == (not worked or outcome(looks_of(late)) is not None)
