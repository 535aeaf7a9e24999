"""A plan takes light, doses and shares so far from the ledger: as the page of light has them, and as they are by hand."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from ledger.errors import InvalidError, NotFoundError
from ledger.events._parts import Answer
from ledger.events.placement import Around, Housing
from ledger.rotation_kept import rotation_of, said_of
from ledger.rotations import TYPED, Rotation, Span
from ledger.usecases.light import ClassSaid, light_of_book, set_light_class
from ledger.usecases.rotation import propose_rotation
from ledger.usecases.rotation_known import known_light, year_there
from ledger.usecases.rotation_said import BookSaid, RotationSaid, SpotSaid
from ledger.usecases.rotation_what_if import RotationWhatIf, rotation_what_if
from tests.builders import an_issue, on
from tests.lit import a_reading, a_room, boxed, hung
from tests.usecases.telling import OWNER, Teller

HERE = SpotSaid(id="here", room="r", wall="n", x_cm="100", y_cm="150")
FAR = SpotSaid(id="far", room="r", wall="n", x_cm="350", y_cm="150")
# 50 lx for 4 hours and nothing else is 200 lx h a day; 5 lx for a day is 120, far away on the same wall.
LIT = (a_reading("50", "4"), a_reading("0", "20"), a_reading("5", "24", x="350"))


@pytest.fixture
def books(teller: Teller) -> tuple[str, str]:
    """One that hangs since the start of 2024 where it is not known whether ultraviolet is filtered, one in a box."""
    teller.add(None, a_room("2020-01-01", *LIT))
    first, second = (teller.buy(on=on("2024-01-01"), issue=an_issue(cover_date=on("1962-05"))) for _ in range(2))
    teller.add(first, hung("2024-01-01"))
    teller.add(second, boxed("2024-01-01"))
    return first, second


def said(*books: str, spots: tuple[SpotSaid, ...] = (HERE,), **more: Any) -> RotationSaid:
    rows = tuple(BookSaid(book=each, **more) for each in books)
    return RotationSaid(starts=date(2025, 3, 1), periods=(30, 30), spots=spots, books=rows)


def proposed(teller: Teller, *books: str, **more: Any) -> Rotation:
    return propose_rotation(teller.ledger, OWNER, said(*books, **more))


def thirds(low: Fraction | int, middle: Fraction | int, high: Fraction | int) -> Span:
    return Span(low=Fraction(low), middle=Fraction(middle), high=Fraction(high))


def test_the_light_of_a_spot_is_what_was_read_near_it_and_says_how_it_is_known(
    teller: Teller, books: tuple[str, str]
) -> None:
    plan = proposed(teller, *books, spots=(HERE, FAR))
    here, far = plan.spots
    assert (here.light, here.known, here.filtered) == (thirds(200, 200, 200), "measured", Answer.UNSURE)
    assert (far.light, far.known) == (thirds(120, 120, 120), "measured")
    assert rotation_of(replace(plan.row, said=said_of(plan))) == plan


def test_what_fades_a_book_is_the_dose_of_its_class_and_is_another_where_the_collector_chose_it(
    teller: Teller, books: tuple[str, str]
) -> None:
    set_light_class(teller.ledger, OWNER, books[1], ClassSaid(light_class="none"))
    high, none = proposed(teller, *books).books
    # From memory, Michalski's table of doses: blue wool 1, 2, 3 with ultraviolet 220,000, 600,000, 1,500,000 lx h and
    # without 300,000, 1,000,000, 3,000,000; the doubt of the table is a factor of two at either end.
    assert (high.taken_for, high.fade, high.filtered) == (
        "high", thirds(110_000, 600_000, 3_000_000), thirds(150_000, 1_000_000, 6_000_000),
    )  # fmt: skip
    assert (none.taken_for, none.fade) == ("none", None)


def test_the_share_so_far_is_the_one_the_page_of_light_tells_and_unknown_days_stay_unknown(
    teller: Teller, books: tuple[str, str]
) -> None:
    first, second = books
    hangs, boxed_one = proposed(teller, first, second).books
    light = light_of_book(teller.ledger, OWNER, first).light
    days = (teller.ledger.clock.today() - date(2024, 1, 1)).days
    assert light.faded is not None
    assert hangs.taken == thirds(200 * days, 200 * days, 200 * days)
    assert hangs.had is not None
    for name in ("low", "middle", "high"):
        assert float(getattr(hangs.had, name)) == pytest.approx(getattr(light.faded.known, name), abs=1e-6)
    # By hand: in the middle what is not known to be filtered counts as not filtered, 600,000 lx h.
    assert float(hangs.had.middle) == pytest.approx(200 * days / 600_000, abs=1e-6)
    assert boxed_one.had == thirds(0, 0, 0)
    assert (hangs.unknown_days, hangs.taken_typed) == (light.total.unknown_days, False)


def test_of_a_book_whose_place_was_never_entered_nothing_is_known_and_that_is_not_nothing(
    teller: Teller, books: tuple[str, str]
) -> None:
    stranger = teller.buy(on=on("2024-01-01"))
    unknown = proposed(teller, stranger).books[0]
    assert (unknown.taken, unknown.had) == (None, None)
    assert unknown.unknown_days == (teller.ledger.clock.today() - date(2024, 1, 1)).days
    typed = proposed(teller, stranger, taken=12_000).books[0]
    assert (typed.taken, typed.taken_typed) == (thirds(12_000, 12_000, 12_000), True)
    assert typed.had == thirds(Fraction(12_000, 3_000_000), Fraction(12_000, 600_000), Fraction(12_000, 110_000))


def test_a_spot_of_which_nothing_is_known_asks_for_its_light_and_is_shown_as_typed(
    teller: Teller, books: tuple[str, str]
) -> None:
    attic = SpotSaid(id="attic", room="attic", wall="n", x_cm="10", y_cm="10")
    refused = teller.nothing_written(lambda: proposed(teller, *books, spots=(attic,)), InvalidError)
    assert [each.field for each in refused.problems] == ["spots.0.lux_hours_a_day"]
    typed = proposed(teller, *books, spots=(replace(attic, lux_hours_a_day="62.5"),)).spots[0]
    assert (typed.known, typed.light.middle) == (TYPED, Fraction(125, 2))
    teller.nothing_written(lambda: proposed(teller, "nobody"), NotFoundError)


def test_a_frame_with_a_filter_counts_for_whoever_hangs_behind_it_next(teller: Teller, books: tuple[str, str]) -> None:
    frame = Housing(around=Around.FRAME, uv_filter=Answer.YES)
    teller.add(books[0], hung("2024-06-01", housings=(frame,)))
    plan = proposed(teller, *books)
    assert plan.spots[0].filtered is Answer.YES
    # By hand: 60 days of 200 lx h are 12,000; of 1,000,000 behind the filter 1.2 %.
    assert plan.bands()[books[1]].middle == Fraction(12_000, 1_000_000)


def test_the_band_at_the_end_is_the_band_so_far_and_that_of_the_turns(teller: Teller, books: tuple[str, str]) -> None:
    plan = proposed(teller, *books)
    # It has hung before, so the other hangs all the time: 60 days of 200 lx h, 12,000.
    assert plan.rows == ((books[1],), (books[1],))
    assert plan.bands()[books[1]] == thirds(
        Fraction(12_000, 6_000_000), Fraction(12_000, 600_000), Fraction(12_000, 110_000)
    )
    assert plan.bands()[books[0]] == plan.books[0].had


def test_the_yearly_limit_of_its_class_keeps_a_book_down(teller: Teller, books: tuple[str, str]) -> None:
    # CIE 157:2004: 15,000 lx h a year for the most sensitive; at 200 lx h a day 75 days.
    free = propose_rotation(teller.ledger, OWNER, replace(said(*books), periods=(40, 40)))
    assert free.days()[books[1]] == 80
    asked = replace(said(*books, within_limit=True), periods=(40, 40))
    held = propose_rotation(teller.ledger, OWNER, asked)
    assert held.books[0].lux_hours_a_year == 15_000
    assert held.days() == {books[0]: 40, books[1]: 40}


def test_days_a_year_are_told_for_every_spot_and_book_and_never_grow_with_the_light(
    teller: Teller, books: tuple[str, str]
) -> None:
    known = known_light(teller.ledger, OWNER, (HERE, FAR), books)
    here, far = (year_there(known, each.where, books[0]) for each in (HERE, FAR))
    assert here.days is not None
    assert far.days is not None
    assert (here.days.middle, far.days.middle) == (75, 125)
    # 365 days divided by 75 and by 125, rounded up.
    assert (here.copies, far.copies) == (5, 3)


def test_in_another_light_the_same_turns_come_to_what_they_are_by_hand(teller: Teller, books: tuple[str, str]) -> None:
    plan = proposed(teller, *books)

    def then(**asked: Any) -> Fraction:
        return rotation_what_if(teller.ledger, OWNER, plan.id, RotationWhatIf(**asked))[1].bands()[books[1]].middle

    before = plan.bands()[books[1]].middle
    assert before == Fraction(12_000, 600_000)
    assert then(dim_to_percent=50) == before / 2
    assert then(uv_filter=Answer.YES) == Fraction(12_000, 1_000_000)
    assert then(spot="here", x_cm="350", y_cm="150") == Fraction(60 * 120, 600_000)
    assert then(spot="here", dim_to_percent=0) == 0
    assert [then(dim_to_percent=each) for each in (10, 40, 90)] == sorted(
        then(dim_to_percent=each) for each in (10, 40, 90)
    )


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"spot": "nowhere"}, "spot"),
        ({"x_cm": "10", "y_cm": "10"}, "spot"),
        ({"spot": "here", "x_cm": "10"}, "y_cm"),
        ({"spot": "here", "wall": ("r", "n")}, "x_cm"),
        ({"spot": "here", "x_cm": "ten", "y_cm": "10"}, "x_cm"),
        ({"spot": "here", "wall": ("attic", "n"), "x_cm": "10", "y_cm": "10"}, "wall"),
        ({"dim_to_percent": 101}, "dim_to_percent"),
    ],
)
def test_a_light_that_cannot_be_is_refused_at_its_field(
    teller: Teller, books: tuple[str, str], asked: dict[str, Any], field: str
) -> None:
    plan = proposed(teller, *books)
    with pytest.raises(InvalidError) as caught:
        rotation_what_if(teller.ledger, OWNER, plan.id, RotationWhatIf(**asked))
    assert [each.field for each in caught.value.problems] == [field]
