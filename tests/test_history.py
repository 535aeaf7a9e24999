"""History: entries mended and put in the order of happening, folded, and one more checked against them."""

from datetime import timedelta
from typing import Any

import pytest

from ledger.book import Status
from ledger.collection import Collection
from ledger.errors import InvalidError
from ledger.events import NotUnderstood
from ledger.events._parts import Face, Holding, OpinionOf
from ledger.events.choice import Choice, Next
from ledger.events.correction import Correction
from ledger.events.identification import Identification
from ledger.events.note import Note
from ledger.events.photograph import Photograph
from ledger.events.purchase import Means
from ledger.events.room import Room
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Slab
from ledger.events.withdrawal import Withdrawal
from ledger.history import MOST_PLACES, broken, fold_collection, history, verdict
from ledger.sealed import Sealed
from tests.builders import (
    BOOK,
    CODEC,
    RECORDED,
    a_purchase,
    a_slab,
    a_stated_grade,
    against,
    an_entry,
    an_examination,
    an_intervention,
    an_issue,
    an_opening,
    chain,
    folded,
    on,
)


def a_sale(when: str | None = "2024-06-01") -> Sale:
    return Sale(on=on(when), disclosed=Disclosed.NOTHING)


def a_note() -> Note:
    return Note(words=Sealed.of("the buyer wrote"))


def inside(when: str | None) -> Photograph:
    """A picture that can only be taken of an open book."""
    return Photograph(on=on(when), original="a" * 64, clean="b" * 64, face=Face.INSIDE)


def an_identification(number: str, when: str | None) -> Identification:
    return Identification(on=on(when), issue=an_issue(number=number), how="the indicia")


def refused(event: Any, *before: Any) -> list[tuple[str, str, tuple[int, ...]]]:
    problems, warnings = against(chain(*before), event)
    assert warnings == []
    return [(problem.rule, problem.field, problem.entries) for problem in problems]


def test_entries_are_told_in_the_order_of_happening_whenever_they_were_written() -> None:
    moments = history(chain(a_slab("2024-02"), an_opening("2024-05"), an_identification("15", "2024-03")), CODEC)
    assert [moment.entry.seq for moment in moments] == [1, 3, 2]


def test_what_has_no_date_stands_where_it_was_written() -> None:
    moments = history(chain(a_slab(None), an_identification("15", None), an_opening(None)), CODEC)
    assert [moment.entry.seq for moment in moments] == [1, 2, 3]


def test_a_back_dated_entry_changes_the_book_at_its_own_time() -> None:
    book = folded(a_slab(), an_identification("15", "2024-05"), an_identification("16", "2024-04"))
    assert book.issue == an_issue(number="15")


def test_the_fold_counts_every_entry_and_knows_the_last_recorded() -> None:
    book = folded(a_slab(), an_opening(), Withdrawal(entry=2))
    assert (book.id, book.no, book.entries) == (BOOK, 1, 3)
    assert book.last_recorded == RECORDED + timedelta(hours=2)
    assert (book.holding, book.openings) == (Holding.SLABBED, 0)


def test_an_entry_from_before_what_is_written_already_is_taken() -> None:
    opened = (a_slab("2024-02-01"), a_sale("2024-06-01"))
    assert refused(an_opening("2024-03-01"), *opened) == []


def test_an_entry_certainly_before_the_purchase_is_refused() -> None:
    assert refused(an_opening("2024-01-31"), a_slab("2024-02-01")) == [("opening.0", "on", ())]


def test_an_entry_that_makes_a_later_one_impossible_is_refused_naming_it() -> None:
    before = (a_slab("2024-02-01"), an_opening("2024-03-01"))
    problems, _ = against(chain(*before), a_sale("2024-02-15"))
    assert [(problem.rule, problem.field, set(problem.entries)) for problem in problems] == [
        ("opening.0", "on", {2, 3})
    ]
    assert "entry 2 could not have happened" in problems[0].sentence


def test_dates_too_vague_to_tell_the_order_warn_and_do_not_refuse() -> None:
    problems, warnings = against(chain(a_slab("2024-02-01"), an_opening("2024-03")), inside("2024-03"))
    assert problems == []
    assert [(problem.rule, problem.field) for problem in warnings] == [("photograph.4", "face")]
    assert warnings[0].sentence.startswith("The dates are too vague to tell the order")


def test_a_vague_date_that_fits_only_at_an_earlier_place_warns_too() -> None:
    before = chain(a_slab("2024-02-01"), an_opening("2024-03-01"), a_sale("2024-03-20"))
    problems, warnings = against(before, Choice(next=Next.STOP, on=on("2024-03")))
    assert problems == []
    assert [problem.rule for problem in warnings] == ["choice.0"]


def test_a_vague_date_that_fits_nowhere_is_refused() -> None:
    assert refused(inside("2024-02"), a_slab("2024-01-01"), an_opening("2024-03-01")) == [("photograph.4", "face", ())]


def test_more_places_than_are_tried_one_by_one_are_judged_by_their_ends() -> None:
    many = [an_identification(str(number), "2024") for number in range(MOST_PLACES + 2)]
    problems, warnings = against(chain(a_slab("2023"), *many), an_opening("2024"))
    assert (problems, warnings) == ([], [])


def test_what_was_broken_before_is_not_held_against_a_new_entry() -> None:
    before = chain(an_opening("2024-01-01"), a_slab("2024-02-01"))
    assert [each.seq for each in broken(BOOK, history(before, CODEC))] == [1]
    assert against(before, an_identification("15", "2024-03-01")) == ([], [])


def test_a_corrected_date_is_checked_again_and_refused_where_it_breaks_a_later_entry() -> None:
    before = (a_slab("2024-02-01"), an_opening("2024-03-01"))
    later = Correction(entry=1, changes={"on": "2024-04-01"})
    assert [(rule, field, set(entries)) for rule, field, entries in refused(later, *before)] == [
        ("opening.0", "on", {2}),
    ]
    assert refused(Correction(entry=1, changes={"on": "2024-02-15"}), *before) == []


def test_a_correction_that_breaks_the_corrected_entry_itself_names_it() -> None:
    before = (a_slab("2024-02-01"), an_opening("2024-03-01"))
    earlier = Correction(entry=2, changes={"on": "2024-01-01"})
    assert refused(earlier, *before) == [("opening.0", "on", (2,))]


def test_a_corrected_fact_is_checked_against_all_that_followed() -> None:
    before = (a_slab(), an_opening(), inside("2024-03-02"))
    never_slabbed = Correction(entry=1, changes={"holding": "raw", "holder_number": None})
    assert refused(never_slabbed, *before) == [("opening.1", "on", (2,))]


def test_a_withdrawal_that_would_break_a_later_entry_is_refused_naming_it() -> None:
    before = (a_slab(), an_opening(), inside("2024-03-02"))
    assert refused(Withdrawal(entry=2), *before) == [("photograph.4", "on", (3,))]
    assert [entries for _, _, entries in refused(Withdrawal(entry=1), *before)] == [(2,)]
    assert refused(Withdrawal(entry=3), *before) == []


def test_after_a_sale_only_notes_and_mending_are_written() -> None:
    sold = (a_slab(), a_sale())
    assert refused(an_opening("2024-07-01"), *sold) == [("opening.0", "", (2,))]
    assert refused(inside("2024-07-01"), *sold)[0] == ("photograph.0", "", (2,))
    assert refused(a_note(), *sold) == []
    assert refused(Correction(entry=1, changes={"on": "2024-01-01"}), *sold) == []
    assert refused(Withdrawal(entry=2), *sold) == []


def test_a_book_that_was_bought_again_is_written_to_as_before() -> None:
    assert refused(an_opening("2024-09-01"), a_slab(), a_sale(), a_slab("2024-08-01")) == []
    assert folded(a_slab(), a_sale(), a_slab("2024-08-01")).status is Status.HELD


def test_an_entry_of_a_newer_program_is_kept_and_changes_nothing() -> None:
    newer = NotUnderstood(wire_kind="scent", version=1)
    assert refused(an_opening(), a_slab(), newer) == []
    assert folded(a_slab(), newer).entries == 2


def test_a_duplicate_is_told_apart_from_the_book_to_write_to() -> None:
    twice = Withdrawal(same_as="b-0002", on=on("2024-03-01"))
    problems, _ = against(chain(a_slab(), twice), an_opening("2024-04-01"))
    assert problems[0].rule == "opening.0"
    assert problems[0].sentence.endswith("Write to the other one.")


def test_a_kind_that_speaks_of_the_collection_is_not_written_for_one_book() -> None:
    problems, _ = against(chain(a_slab()), Room(room="r1"))
    assert [problem.rule for problem in problems] == ["room.0"]


def test_the_collection_is_folded_from_its_own_entries() -> None:
    entries = [an_entry(Room(room="r1"), 1, book=None), an_entry(Room(room="r1"), 2, book=None)]
    assert fold_collection("c-1", history(entries, CODEC)).rooms == {"r1": 2}
    withdrawn = [*entries, an_entry(Withdrawal(entry=2), 3, book=None)]
    assert fold_collection("c-1", history(withdrawn, CODEC)).rooms == {"r1": 1}


def test_notes_on_the_collection_leave_it_as_it_is() -> None:
    entry = an_entry(a_note(), 1, book=None)
    assert fold_collection("c-1", history([entry], CODEC)) == Collection(id="c-1")
    assert verdict([entry], an_entry(a_note(), 2, book=None), CODEC) == ([], [])


@pytest.mark.parametrize("count", [0, 1])
def test_an_empty_or_single_history_is_told_without_a_stumble(count: int) -> None:
    assert len(history(chain(*[a_slab()] * count), CODEC)) == count


def test_a_withdrawal_that_is_withdrawn_puts_the_entry_back_in_force() -> None:
    entries = chain(a_purchase(), Withdrawal(entry=1), Withdrawal(entry=2))
    first, second, _third = history(entries, CODEC)
    assert (first.withdrawn_by, second.withdrawn_by) == (None, 3)
    assert folded(a_purchase(), Withdrawal(entry=1), Withdrawal(entry=2)).held
    assert not folded(a_purchase(), Withdrawal(entry=1)).held


def test_a_duplicate_that_was_none_takes_entries_again_once_its_withdrawal_is_withdrawn() -> None:
    entries = chain(a_slab(), Withdrawal(same_as="b-0002"))
    assert [problem.rule for problem in against(entries, an_opening())[0]] == ["opening.0"]
    mended = chain(a_slab(), Withdrawal(same_as="b-0002"), Withdrawal(entry=2))
    assert against(mended, an_opening()) == ([], [])


def test_a_correction_may_not_leave_what_its_kind_would_refuse_by_itself() -> None:
    with pytest.raises(InvalidError) as caught:
        against(chain(a_slab()), Correction(entry=1, changes={"holding": "raw"}))
    assert [problem.field for problem in caught.value.problems] == ["changes.holder_number"]


def test_two_things_of_one_day_stand_in_the_order_in_which_they_were_written_down() -> None:
    entries = chain(a_slab("2024-02-01"), an_opening("2024-02-01"))
    assert against(entries, an_intervention("dry-cleaning", "2024-02-01")) == ([], [])


def test_what_was_forgotten_on_the_day_of_a_sale_is_still_taken_and_warned_of() -> None:
    sold = chain(a_purchase("2024-02-01"), a_sale("2024-02-01"))
    refused, warned = against(sold, an_intervention("dry-cleaning", "2024-02-01"))
    assert (refused, {problem.rule for problem in warned}) == ([], {"intervention.0"})
    assert warned[0].sentence.startswith("The dates are too vague to tell the order; were it the other way round: ")
    book = folded(a_purchase("2024-02-01"), a_sale("2024-02-01"), an_intervention("dry-cleaning", "2024-02-01"))
    assert (book.status, len(book.work)) == (Status.GONE, 1)
    assert [problem.rule for problem in against(sold, a_purchase("2024-02-01", means=Means.GIFT))[1]] == []
    assert against(sold, a_sale("2024-02-01"))[0] != []


def test_what_has_a_vague_date_counts_where_it_can_have_happened() -> None:
    story = (a_purchase("2001-01-01"), a_sale("2010-06-01"), an_examination("2010"))
    entries = chain(*story)
    assert [moment.entry.seq for moment in history(entries, CODEC)] == [1, 3, 2]
    book = folded(*story)
    assert book.last_look is not None
    assert (book.status, book.last_look.seq) == (Status.GONE, 3)


def test_a_grade_whose_date_is_vague_is_not_lost_behind_a_sale() -> None:
    stated = a_stated_grade("9.0", "9.0", opinion_of=OpinionOf.SERVICE)
    graded = Slab(on=on("2010"), submission_known=False, stated=stated)
    book = folded(a_purchase("2001-01-01"), a_sale("2010-06-01"), graded)
    assert [(step.seq, step.stated.as_written) for step in book.grades] == [(3, "9.0")]
    assert book.status is Status.GONE


def test_of_an_unknown_date_nothing_is_warned_of_where_it_was_written_down() -> None:
    story: list[Any] = [a_slab(None), an_opening(None), an_intervention("dry-cleaning", None), a_sale(None)]
    story[3] = Sale(disclosed=Disclosed.WORK)
    for number in range(1, len(story)):
        assert against(chain(*story[:number]), story[number]) == ([], [])


def test_an_unknown_date_is_no_matter_of_the_clock() -> None:
    early = an_entry(a_purchase("2024-02-01"), 1, recorded=RECORDED)
    late = an_entry(Choice(next=Next.STOP), 2, recorded=RECORDED - timedelta(days=3650))
    assert verdict([early], late, CODEC) == ([], [])
    assert [moment.entry.seq for moment in history([early, late], CODEC)] == [1, 2]


def test_a_date_that_is_corrected_to_a_vague_one_warns_as_a_new_entry_would() -> None:
    before = chain(a_purchase("1987"), a_sale("1999-06-01"), an_intervention("dry-cleaning", "1995"))
    refused, warned = against(before, Correction(entry=3, changes={"on": "199X"}))
    assert refused == []
    assert [(problem.rule, 3 in problem.entries) for problem in warned] == [("intervention.0", True)]


def test_a_day_beside_a_vague_date_is_still_warned_of() -> None:
    entries = chain(a_slab("2024-02-01"), an_opening("2024"))
    refused, warned = against(entries, an_intervention("dry-cleaning", "2024-05-01"))
    assert refused == []
    assert [problem.rule for problem in warned] == ["intervention.2"]
