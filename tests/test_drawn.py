"""What lists and walls draw of a book, worked out from its entries alone."""

from ledger.drawn import clean_copies, drawn
from ledger.events import Event
from ledger.events._parts import Holding
from ledger.events.correction import Correction
from ledger.events.examination import Examination
from ledger.events.opening import Opening
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold, history
from ledger.views import Drawn
from tests.builders import BOOK, CODEC, a_purchase, a_slab, a_stated_grade, chain, on
from tests.web.shelves import sold

ON_WALL = Placement(spot=Spot.WALL, room="r1", wall="n", x_cm="40", y_cm="150", on=on("2024-04"))
SENT = Submission(batch="b", asks=Ask.GRADE, on=on("2026-05-03"))
BACK = Slab(batch="b", stated=a_stated_grade("9.2", "9.2"), holder_number="7", on=on("2026-07"))


def made(*events: Event) -> Drawn:
    moments = history(chain(*events), CODEC)
    return drawn(fold(BOOK, 1, moments), moments)


def a_look(when: str, **measures: str) -> Examination:
    return Examination(on=on(when), **measures)  # type: ignore[arg-type]  # measures are texts


def test_a_book_of_which_little_is_known_draws_little() -> None:
    assert made(a_purchase()) == Drawn(written_on="2025-01-01")


def test_a_stated_grade_reaches_from_its_lowest_step_and_names_where_its_grader_lies() -> None:
    found = made(a_slab(stated=a_stated_grade("VG to FN", "4.0", "4.5", "5.0")))
    # Common practice, no source: 4.0 is the ninth of 25 steps.
    assert (found.grade_low, found.opinion_of) == (8, "grading service")
    assert (found.stated_seq, found.stated_field) == (1, "stated_by")


def test_the_grader_of_a_result_is_the_service_and_after_an_opening_there_is_none() -> None:
    graded = made(a_purchase(), SENT, BACK)
    assert (graded.grade_low, graded.stated_seq, graded.stated_field) == (19, 3, "service")
    opened = made(a_purchase(), SENT, BACK, Opening(on=on("2026-08")))
    assert (opened.grade_low, opened.opinion_of, opened.stated_seq, opened.stated_field) == (None,) * 4


def test_a_grade_without_a_step_has_an_opinion_and_no_place_on_the_scale() -> None:
    stated = a_stated_grade("nice")
    found = made(a_purchase(stated=type(stated)(as_written="nice"), holding=Holding.RAW))
    assert (found.grade_low, found.opinion_of) == (None, "grading service")


def test_the_place_in_force_says_where_on_the_wall_and_where_its_name_lies() -> None:
    found = made(a_purchase(), ON_WALL)
    assert (found.room, found.wall, found.x_cm, found.y_cm, found.placed_on) == ("r1", "n", "40", "150", "2024-04")
    assert (found.place_seq, found.place_field) == (2, "place")
    withdrawn = made(a_purchase(), ON_WALL, Withdrawal(entry=2))
    assert (withdrawn.room, withdrawn.place_seq, withdrawn.placed_on) == (None, None, None)


def test_a_name_that_was_sealed_anew_lies_under_the_last_correction_of_it() -> None:
    first, second = (Correction(entry=2, changes={"place": name}) for name in ("Hall", "Study"))
    other = Correction(entry=2, changes={"x_cm": "41", "y_cm": "150"})
    events = (a_purchase(), ON_WALL, first.complete(chain(a_purchase(), ON_WALL)))
    assert made(*events).place_seq == 3
    later = made(*events, second.complete(chain(*events)), other)
    assert (later.place_seq, later.place_field, later.x_cm) == (4, "new.place", "41")
    assert made(*events, Withdrawal(entry=3)).place_field == "place"


def test_each_side_is_as_the_last_look_that_measured_it_found_it() -> None:
    looks = a_look("2024-02", height_mm="260", width_mm="184"), a_look("2024-05", height_mm="259"), a_look("2024-06")
    found = made(a_purchase(), *looks)
    assert (found.height_mm, found.width_mm) == ("259", "184")
    again = made(a_purchase(), *looks, Withdrawal(entry=3))
    assert (again.height_mm, again.width_mm) == ("260", "184")


def test_a_look_that_happened_later_counts_though_it_was_written_first() -> None:
    found = made(a_purchase(), a_look("2025", height_mm="259"), a_look("2024-05", height_mm="261"))
    assert found.height_mm == "259"


def test_what_has_left_or_was_another_book_is_not_kept() -> None:
    assert made(a_purchase()).kept
    assert not made(a_purchase(), sold()).kept
    assert not made(a_purchase(), Withdrawal(same_as="b-0002")).kept


def test_it_was_last_written_to_on_the_day_of_its_last_record() -> None:
    # The entries of these chains are recorded an hour apart, the first on 1 January at noon.
    assert made(*(a_purchase() for _ in range(1))).written_on == "2025-01-01"
    assert made(a_purchase(), *(a_look("2024") for _ in range(12))).written_on == "2025-01-02"


def test_clean_copies_are_named_once_in_order_those_out_of_force_too() -> None:
    shots = [Photograph(original="1" * 64, clean=name * 64, on=on("2024")) for name in "bab"]
    moments = history(chain(a_purchase(), *shots, Withdrawal(entry=3)), CODEC)
    assert clean_copies(moments) == ("a" * 64, "b" * 64)
