"""The ceiling of a book: what its defects allow together, read as lots, and many small ones."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.book_ceiling import (
    MOST_WITHIN,
    NO_LIMIT,
    Fault,
    Left,
    book_ceiling,
    ceiling_of,
    lots_of,
    read_off,
)
from ledger.rules.ceilings import allows, ceilings
from ledger.rules.defects import DefectTypeError
from ledger.rules.grades import Grade, grades
from tests.rules.faults import a_fault, books, ceiling_again, faults

LIMITS = st.lists(st.integers(0, NO_LIMIT), max_size=14)
LEFTS = st.sampled_from(Left)


def best(*found: Fault, **left: Left) -> str:
    return ceiling_of(found, left).text


def ticks(*counts: int, size: str | None = "2", breaks: bool = True, face: str = "spine") -> list[Fault]:
    return [
        a_fault("spine-tick", size, id=f"t{number}", count=count, breaks_colour=breaks, face=face)
        for number, count in enumerate(counts, start=1)
    ]


# --- common practice, no source: the checks that every table must meet ---------------------------------------------------


def test_two_tiny_ticks_that_break_colour_allow_about_9_2_written_as_one_or_as_two() -> None:
    assert best(*ticks(2)) == best(*ticks(1, 1)) == "9.2"


def test_a_tiny_crease_that_breaks_colour_at_a_front_corner_allows_about_9_2() -> None:
    assert best(a_fault("crease", "2.5")) == "9.2"


def test_a_small_edge_dent_that_stays_allows_about_9_4() -> None:
    assert best(a_fault("edge-dent", "1.5")) == "9.4"


def test_a_bend_without_break_that_has_gone_sets_no_cap() -> None:
    assert best(a_fault("bend", "30"), bend=Left.GONE) == "10.0"


@given(faults(), faults())
def test_a_defect_alone_allows_what_its_row_says(first: Fault, second: Fault) -> None:
    for each in (first, second):
        limit = allows(
            each.type,
            face=each.face,
            breaks_colour=each.breaks_colour,
            size_mm=each.size_mm,
            count=each.count,
            share_percent=each.share_percent,
            word=each.word,
        )
        assert ceiling_of([each]) == (grades()[-1] if limit is None else limit)


@given(books(1))
def test_the_back_is_never_stricter_than_the_front(found: tuple[Fault, ...]) -> None:
    front, back = ([replace(each, face=face) for each in found] for face in ("front", "back"))
    assert ceiling_of(back) >= ceiling_of(front)


@given(books(1), st.data())
def test_breaking_colour_never_raises_a_ceiling_and_not_knowing_counts_as_breaking(
    found: tuple[Fault, ...], data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(found) - 1))
    unbroken, broken, unknown = (
        ceiling_of([replace(each, breaks_colour=breaks) if at == place else each for at, each in enumerate(found)])
        for breaks in (False, True, None)
    )
    assert broken <= unbroken
    assert broken == unknown


@given(books(1), st.data())
def test_a_larger_one_of_the_same_kind_never_allows_a_better_grade(
    found: tuple[Fault, ...], data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(found) - 1))
    each = found[place]
    larger = replace(
        each,
        size_mm=None if each.size_mm is None else each.size_mm + data.draw(st.integers(0, 90)),
        count=None if each.count is None else each.count + data.draw(st.integers(0, 9)),
        share_percent=None if each.share_percent is None else each.share_percent + data.draw(st.integers(0, 40)),
    )
    assert ceiling_of([larger if at == place else one for at, one in enumerate(found)]) <= ceiling_of(found)


# --- the rule for many small ones: our assumption --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("limits", "grade"),
    [
        ((), "10.0"),
        ((NO_LIMIT,) * 20, "10.0"),
        # By hand from the rule: at most 3 exactly there, 6 there or one above, 9 there or one of the two above.
        ((19,) * 3, "9.2"),
        ((19,) * 4, "9.0"),
        ((19,) * 6, "9.0"),
        ((19,) * 7, "8.5"),
        ((19,) * 9, "8.5"),
        ((19,) * 10, "8.0"),
        ((19, 19, 19, 20, 20, 20), "9.2"),
        ((19, 19, 19, 20, 20, 20, 20), "9.0"),
        ((19, 19, 19, 20, 20, 20, 21, 21, 21), "9.2"),
        ((19, 19, 19, 20, 20, 20, 21, 21, 21, 21), "9.0"),
        ((0,) * 12, "0.5"),
        ((24,) * 4, "9.9"),
        ((3, 24), "1.8"),
    ],
)
def test_many_small_ones_lower_the_ceiling_as_the_rule_says(limits: tuple[int, ...], grade: str) -> None:
    assert MOST_WITHIN == (3, 6, 9)
    assert book_ceiling(limits).text == grade


@given(LIMITS, st.data())
def test_raising_a_limit_or_taking_one_away_never_lowers_the_ceiling(limits: list[int], data: st.DataObject) -> None:
    before = book_ceiling(limits)
    if limits:
        place = data.draw(st.integers(0, len(limits) - 1))
        more = data.draw(st.integers(limits[place], NO_LIMIT))
        assert book_ceiling([*limits[:place], more, *limits[place + 1 :]]) >= before
        assert book_ceiling([*limits[:place], *limits[place + 1 :]]) >= before


@given(LIMITS)
def test_no_book_has_a_better_ceiling_than_its_worst_defect_allows(limits: list[int]) -> None:
    assert book_ceiling(limits).step <= min([*limits, NO_LIMIT - 1])


@given(books(), st.data())
def test_easing_any_defect_never_lowers_the_ceiling(found: tuple[Fault, ...], data: st.DataObject) -> None:
    lefts = {each.id: data.draw(LEFTS) for each in found}
    for each in found:
        eased = {**lefts, each.id: Left(max(lefts[each.id] - 1, 0))}
        assert ceiling_of(found, eased) >= ceiling_of(found, lefts)


@given(books(), st.data())
def test_the_ceiling_is_the_one_told_a_second_time_from_the_words_of_the_rule(
    found: tuple[Fault, ...], data: st.DataObject
) -> None:
    lefts = [data.draw(LEFTS) for _ in found]
    told = dict(zip((each.id for each in found), lefts, strict=True))
    assert ceiling_of(found, told).step == ceiling_again(found, lefts)
    assert read_off(found).grade.step == ceiling_again(found, [Left.SAME] * len(found))


# --- lots ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("counts", "grade"), [((1,), "9.4"), ((1, 1), "9.2"), ((1, 2), "9.0"), ((3, 4), "8.5"), ((6, 6, 1), "6.5")]
)
def test_ticks_on_one_face_are_counted_together(counts: tuple[int, ...], grade: str) -> None:
    assert best(*ticks(*counts)) == grade


def test_ticks_on_another_face_are_counted_apart() -> None:
    assert best(*ticks(1), a_fault("spine-tick", "2", id="f", count=1, breaks_colour=True)) == "9.4"


def test_a_tick_that_breaks_colour_is_still_one_among_those_that_do_not() -> None:
    # 13 unbroken ticks allow 7.5, and 12 allow 8.5: one of the thirteen that breaks colour must not make it better.
    assert best(*ticks(13, breaks=False)) == "7.5"
    assert best(*ticks(12, breaks=False), replace(ticks(1)[0], id="b")) == "7.5"


def test_a_long_tick_is_read_as_a_crease_and_counted_with_the_rest() -> None:
    assert best(*ticks(1, size="7")) == "8.0"
    assert best(*ticks(1), *[replace(each, id="long") for each in ticks(1, size="7")]) == "8.0"


def test_bends_on_one_face_are_measured_in_all() -> None:
    two = [a_fault("bend", "20", id="b1"), a_fault("bend", "6", id="b2")]
    assert best(two[0]) == "9.2"
    assert best(*two) == "8.5"
    assert best(two[0], replace(two[1], face="inside")) == "9.2"


def test_lengths_are_added_in_tenths_of_a_millimetre_rounded_up() -> None:
    small = [a_fault("bend", "1.46", id="b1"), a_fault("bend", "1.54", id="b2")]
    assert best(*small) == "9.6"
    assert best(replace(small[0], size_mm=Decimal("1.5")), replace(small[1], size_mm=Decimal("1.5"))) == "9.8"


@pytest.mark.parametrize(
    ("fault", "lessened"),
    [
        # One class lower by the table: 13 to 6 mm, 13 to 25 mm, and none below the smallest.
        (a_fault("crease", "20"), "8.0"),
        (a_fault("crease", "2"), "9.2"),
        (a_fault("bend", "40"), "9.2"),
        (a_fault("surface-dirt", share_percent=30), "8.0"),
        (a_fault("staple-rust", count=2), "7.0"),
        (a_fault("spine-tick", "2", count=6, breaks_colour=True), "9.0"),
        (a_fault("spine-tick", "2", count=1, breaks_colour=True), "9.4"),
    ],
    ids=lambda each: each.id if isinstance(each, Fault) else each,
)
def test_lessened_is_read_one_class_lower_where_there_is_one(fault: Fault, lessened: str) -> None:
    assert best(fault, **{fault.id: Left.LESSENED}) == lessened


def test_what_measures_nothing_has_gone() -> None:
    assert best(a_fault("crease", "0"), a_fault("surface-dirt", share_percent=0)) == "10.0"


# --- what holds it, and what could not be read --------------------------------------------------------------------------------


def test_the_defects_that_hold_the_ceiling_are_named() -> None:
    found = [a_fault("crease", "10", id="d1"), a_fault("edge-dent", "1", id="d2"), a_fault("tear", "5", id="d3")]
    assert read_off(found).grade.text == "8.0"
    assert read_off(found).by == ("d1", "d3")


def test_all_ticks_of_a_count_hold_it_and_of_creases_only_the_long_tick() -> None:
    counted = read_off(ticks(2, 3))
    assert (counted.grade.text, counted.by) == ("8.5", ("t1", "t2"))
    long = read_off([*ticks(1, 1), replace(ticks(1, size="20")[0], id="long")])
    assert (long.grade.text, long.by) == ("7.0", ("long",))


def test_many_small_ones_hold_it_together() -> None:
    dents = [a_fault("edge-dent", "1", id=f"d{number}") for number in range(4)]
    assert read_off(dents).grade.text == "9.2"
    assert read_off(dents).by == ("d0", "d1", "d2", "d3")
    assert read_off(dents[:3]).grade.text == "9.4"


def test_nothing_holds_a_book_without_defects() -> None:
    assert (read_off([]).grade.text, read_off([]).by, read_off([]).unread) == ("10.0", (), ())


@given(books(1))
def test_without_what_holds_it_a_book_has_a_better_ceiling(found: tuple[Fault, ...]) -> None:
    held = read_off(found)
    others = [each for each in found if each.id not in held.by]
    assert (ceiling_of(others) > held.grade) == bool(held.by)


def test_a_defect_that_was_not_measured_is_named_and_not_guessed() -> None:
    found = [a_fault("crease", id="d1"), a_fault("edge-dent", "1", id="d2"), a_fault("surface-dirt", id="d3")]
    held = read_off(found)
    assert held.grade.text == "9.4"
    assert [(fault.id, flaw.measure) for fault, flaw in held.unread] == [("d1", "size_mm"), ("d3", "share_percent")]
    assert all(flaw.mend.startswith("Measure the ") for _, flaw in held.unread)
    assert [fault.id for lot in lots_of(found)[0] for fault in lot.faults] == ["d2"]


def test_a_type_that_is_not_in_the_table_is_refused() -> None:
    with pytest.raises(DefectTypeError):
        ceiling_of([Fault(id="d1", type="wear-and-tear", face="front", breaks_colour=None)])


def test_other_rows_count_where_they_are_given() -> None:
    kinder = [replace(row, classes=(replace(row.classes[-1], allows=Grade("9.9")),)) for row in ceilings()]
    assert ceiling_of([a_fault("crease", "200")], rows=kinder).text == "9.9"
