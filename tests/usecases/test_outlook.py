"""The outlook of a book as it is read in one moment: its defects, this collector's results, and what was recorded."""

from fractions import Fraction
from typing import Any

import pytest

from ledger.actor import Actor
from ledger.errors import DamagedError, ForbiddenError, NotFoundError
from ledger.events._parts import Answer, Face
from ledger.events.choice import Choice, Next
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.examination import Tone
from ledger.events.opening import Opening
from ledger.events.outlook import Outlook, Weight
from ledger.events.slab import Slab
from ledger.forecast import Stands
from ledger.history import history
from ledger.outlooks import weights_of
from ledger.rules.chances import Chances, Eased
from ledger.rules.graders import grader_row, learned
from ledger.rules.grades import Grade, grades
from ledger.usecases import own_results
from ledger.usecases.outlook import outlook_of, precedents_of
from tests.builders import a_defect, a_stated_grade, an_examination, an_intervention, on
from tests.fakes import FakeClock
from tests.usecases.forecast_books import at_noon
from tests.usecases.forecasting import BEND, CREASE, eases, graded, looked, rules, sends, view
from tests.usecases.telling import OWNER, Teller

# --- what the defects say ------------------------------------------------------------------------------------------------------


def test_the_ceiling_is_told_with_the_defects_that_hold_it_by_number(teller: Teller) -> None:
    book = looked(teller, a_defect("dent", "edge-dent", size_mm="1"), CREASE)
    found = view(teller, book)
    assert found.computed is not None
    assert (found.computed.held.grade, found.computed.held.by) == (Grade("8.0"), ("d1",))
    assert found.by_number == {"dent": 1, "d1": 2}
    assert found.computed.held.unread == ()


def test_after_a_round_of_work_each_ceiling_has_its_chance(teller: Teller) -> None:
    # By hand: the crease stays with .55 and allows 8.0; lessened it allows 9.0, where the bend has gone or is lessened
    # (to 25 mm: 9.2); the bend stays with .05 and allows 8.5.
    found = view(teller, looked(teller, CREASE, BEND)).computed
    assert found is not None
    told = {grade.text: found.ceilings_after.chance_of(grade) for grade in grades()}
    assert {name: chance for name, chance in told.items() if chance} == {
        "8.0": Fraction(5500, 10_000),
        "8.5": Fraction(45 * 5, 10_000),
        "9.0": Fraction(45 * 95, 10_000),
    }


def test_paper_counts_as_it_was_last_said_and_presenting_well_does_not(teller: Teller) -> None:
    book = looked(teller, tone=Tone.BROWN, presents_as=Grade("9.4"))
    teller.add(book, an_examination("2024-02-20", technical=Grade("6.0")))
    found = view(teller, book)
    assert found.computed is not None
    assert (found.computed.held.grade, found.computed.held.by) == (Grade("5.5"), ("paper-tone",))
    assert (found.presents_as, found.technical) == (Grade("9.4"), Grade("6.0"))


def test_what_was_not_measured_is_named_and_not_guessed(teller: Teller) -> None:
    book = looked(teller, CREASE, BEND)
    rules(teller, "ceilings", "crease", by="share_percent")
    found = view(teller, book).computed
    assert found is not None
    assert [(fault.id, flaw.measure) for fault, flaw in found.held.unread] == [("d1", "share_percent")]
    assert found.held.grade == Grade("8.5")


def test_it_says_which_faces_some_look_went_over_as_a_whole(teller: Teller) -> None:
    book = looked(teller, CREASE, faces_looked_at=(Face.FRONT, Face.SPINE))
    teller.add(book, an_examination("2024-02-20", faces_looked_at=(Face.BACK,)))
    assert view(teller, book).gone_over == {Face.FRONT, Face.SPINE, Face.BACK}
    assert view(teller, looked(teller, CREASE)).gone_over == frozenset()


def test_of_a_book_that_nobody_looked_at_nothing_is_computed(teller: Teller) -> None:
    found = view(teller, teller.buy())
    assert (found.look, found.computed, found.grades, found.faults) == (None, None, None, ())
    assert precedents_of(teller.ledger, OWNER, found.book) == ()


def test_a_look_before_the_work_is_told_as_one(teller: Teller) -> None:
    book = looked(teller, BEND)
    assert (view(teller, book).rested, view(teller, book).worked_since) == (True, False)
    teller.add(book, an_intervention("cold-press", "2024-03-01"))
    assert (view(teller, book).rested, view(teller, book).worked_since) == (False, True)
    teller.add(book, an_examination("2024-03-02", defects=(BEND,), rest_hours=20))
    assert (view(teller, book).rested, view(teller, book).worked_since) == (False, False)


def test_where_the_work_is_over_the_outlook_is_of_the_book_as_it_is(teller: Teller) -> None:
    book = looked(teller, CREASE)
    before = view(teller, book)
    assert before.computed is not None
    assert (before.work_over, before.grades) == (False, before.computed.grades_after)
    teller.add(book, Choice(on=on("2024-03-01"), next=Next.STOP))
    after = view(teller, book)
    assert after.computed is not None
    assert (after.work_over, after.grades) == (True, after.computed.grades_now)


def test_a_book_at_a_service_or_graded_here_is_not_worked_on(teller: Teller) -> None:
    book = looked(teller, CREASE)
    sends(teller, book, "Third Bench")
    assert view(teller, book).work_over
    other = graded(teller, "8.0")
    assert view(teller, other).work_over
    teller.add(other, Opening(on=on("2024-09-01")))
    assert not view(teller, other).work_over


def test_what_easing_one_defect_is_worth_is_told_by_other_chances_for_it(teller: Teller) -> None:
    found = view(teller, looked(teller, CREASE, BEND))
    assert found.computed is not None
    eased = found.with_chances("d1", Chances(0, 1, 0))
    # By hand: with the crease certain to be lessened 9.0 has .95 in place of .4275.
    assert eased.ceilings_after.chance_of(Grade("9.0")) == Fraction(95, 100)
    assert all(eased.grades_after.at_least(each) >= found.computed.grades_after.at_least(each) for each in grades())
    with pytest.raises(KeyError):
        found.with_chances("d9", Chances(0, 1, 0))


# --- what was learned ----------------------------------------------------------------------------------------------------------


def test_chances_are_learned_from_all_books_and_say_what_they_rest_on(teller: Teller) -> None:
    book = looked(teller, CREASE, BEND)
    eases(teller)
    found = view(teller, book)
    # By hand: 10 x (.80 .15 .05) and one gone: (9, 1.5, 0.5) of 11.
    assert found.chances["d2"].shares == (Fraction(18, 22), Fraction(3, 22), Fraction(1, 22))
    assert found.rests["d2"].seen == Eased(gone=1)
    assert (found.rests["d1"].row.id, found.rests["d1"].seen) == ("crease", Eased())


def test_graders_are_learned_service_by_service(teller: Teller) -> None:
    graded(teller, "7.5")
    graded(teller, "8.0", "third bench")
    graded(teller, "9.0", "First Bench")
    book = looked(teller, CREASE)
    known = view(teller, book, service="THIRD BENCH")
    assert (known.kernel.service, known.kernel.results, known.kernel.strength) == ("THIRD BENCH", 2, 8)
    assert known.kernel.kernel == learned(grader_row(), [-1, 0])
    assert {key: each.results for key, each in known.services.items()} == {
        "third bench": (-1, 0),
        "first bench": (2,),
    }
    # Where it is not known who will grade, all results count.
    unknown = view(teller, book)
    assert (unknown.kernel.service, unknown.kernel.results) == (None, 3)
    assert unknown.kernel.kernel == learned(grader_row(), [-1, 0, 2])
    other = view(teller, book, service="Fourth Bench").kernel
    assert (other.service, other.results, other.kernel) == ("Fourth Bench", 0, learned(grader_row(), []))


def test_who_graded_it_last_is_taken_where_nobody_else_is_named(teller: Teller) -> None:
    book = graded(teller, "7.5")
    assert (view(teller, book).kernel.service, view(teller, book).kernel.results) == ("Third Bench", 1)


def test_an_entry_that_is_corrected_counts_as_it_is_now(teller: Teller) -> None:
    book, other = graded(teller, "7.5"), looked(teller, CREASE)
    assert view(teller, other, service="Third Bench").services["third bench"].results == (-1,)
    seq = view(teller, book).results[0].seq
    stated = {"as_written": "8.5", "steps": ["8.5"], "opinion_of": "grading service", "matched_by": "not matched"}
    teller.add(book, Correction(entry=seq, changes={"stated": stated}))
    assert view(teller, other, service="Third Bench").services["third bench"].results == (1,)


def test_a_service_whose_name_was_erased_is_not_known_any_longer(teller: Teller) -> None:
    book, other = graded(teller, "7.5"), looked(teller, CREASE)
    assert list(view(teller, other).services) == ["third bench"]
    seq = view(teller, book).results[0].sent
    assert seq is not None
    teller.add(book, Erasure(entry=seq, names=("service",)))
    found = view(teller, other)
    assert (list(found.services), found.services[""].results) == ([""], (-1,))


def test_of_many_results_none_is_missed_whatever_fits_on_a_page(
    teller: Teller, monkeypatch: pytest.MonkeyPatch
) -> None:
    for grade in ("7.5", "8.0", "9.0"):
        graded(teller, grade)
    eases(teller)
    monkeypatch.setattr(own_results, "PAGE_MOST", 1)
    found = view(teller, looked(teller, CREASE, BEND))
    assert found.services["third bench"].results == (-1, 0, 2)
    assert found.rests["d2"].seen == Eased(gone=1)


def test_a_book_that_cannot_be_read_is_named_and_the_others_count(
    teller: Teller, monkeypatch: pytest.MonkeyPatch
) -> None:
    damaged, _, book = graded(teller, "7.5"), graded(teller, "8.0"), looked(teller, CREASE)

    def read(entries: Any, codec: Any) -> Any:
        if entries[0].book == damaged:
            raise DamagedError(what=f"Book {damaged}", problem="its entries are missing")
        return history(entries, codec)

    monkeypatch.setattr(own_results, "history", read)
    found = view(teller, book)
    assert (found.damaged, found.services["third bench"].results) == ((damaged,), (0,))


# --- what was recorded -------------------------------------------------------------------------------------------------------


def test_outlooks_and_the_result_are_told_with_the_one_that_counts(teller: Teller, clock: FakeClock) -> None:
    at_noon(clock, "2024-04-30")
    book = looked(teller, CREASE)
    own = (Weight(grade=Grade("8.0"), per_mille=600), Weight(grade=Grade("7.5"), per_mille=400))
    first = teller.add(book, Outlook(on=on("2024-04-29"), weights=own)).seq
    grades_now = view(teller, book).grades
    assert grades_now is not None
    last = teller.add(book, Outlook(on=on("2024-04-30"), weights=weights_of(grades_now))).seq
    at_noon(clock, "2024-08-03")
    sends(teller, book, "Third Bench")
    result = teller.add(book, Slab(on=on("2024-08-01"), batch="spring", stated=a_stated_grade("8.0", "8.0"))).seq
    late = teller.add(book, Outlook(on=on("2024-08-02"), weights=own, for_batch="spring")).seq
    found = view(teller, book)
    assert [(each.seq, each.stands) for _, each in found.stated] == [
        (first, Stands.EARLIER),
        (last, Stands.COUNTS),
        (late, Stands.LATE),
    ]
    assert [each.seq for each in found.late] == [late]
    assert {(attempt.outcome, attempt.result) for attempt, _ in found.stated} == {(result, Grade("8.0"))}


def test_an_outlook_without_a_result_has_none(teller: Teller) -> None:
    book = looked(teller, CREASE)
    teller.add(book, Outlook(on=on("2024-05-01"), weights=(Weight(grade=Grade("8.0"), per_mille=1000),)))
    ((attempt, forecast),) = view(teller, book).stated
    assert (attempt.outcome, attempt.result, forecast.stands) == (None, None, Stands.COUNTS)


def test_precedents_are_this_collectors_graded_books_with_like_defects(teller: Teller) -> None:
    near = graded(teller, "7.5")
    graded(teller, "9.0", "Third Bench", a_defect("d1", "edge-dent", size_mm="4"))
    book = looked(teller, a_defect("d7", "crease", size_mm="12", breaks_colour=Answer.YES))
    (found,) = precedents_of(teller.ledger, OWNER, book)
    assert (found.case.graded.book, str(found.case.graded.grade)) == (near, "7.5")
    assert [(each.ours.id, each.theirs.id) for each in found.alike] == [("d7", "d1")]


# --- who may --------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("read", [outlook_of, precedents_of])
def test_reading_takes_the_permission_and_a_book_that_is_there(teller: Teller, read: Any) -> None:
    book = looked(teller, CREASE)
    with pytest.raises(ForbiddenError):
        read(teller.ledger, Actor(id="owner", scopes=frozenset()), book)
    with pytest.raises(NotFoundError):
        read(teller.ledger, OWNER, "no-such-book")
