"""What a recipe came to, read by the entries as they are in force and counted by the last look after a week of rest."""

from typing import Any

import pytest

from ledger.bench import Recipe
from ledger.events._parts import Answer
from ledger.events._settings import Settings as Heat
from ledger.events.correction import Correction
from ledger.events.examination import Suppleness, Tone
from ledger.events.sale import Disclosed, Sale
from ledger.events.withdrawal import Withdrawal
from ledger.looks import Change
from ledger.tallies import FEW, by_passage, by_type
from ledger.when import When
from ledger.worked import Standing
from tests.builders import a_defect, an_intervention, an_issue, worked_on
from tests.usecases.working import RESTED, Worker, a_look, gone

HEAT = Heat(measured_celsius="65", hold_minutes=10, cooling_minutes=0, moisture=None)


def seen(at: Worker, *defects: Any, issue: Any = None, **more: Any) -> str:
    """A book at which somebody looked before the work."""
    book = at.teller.buy(issue=issue or an_issue())
    at.teller.add(book, a_look("2024-03-01", *defects, **more))
    return book


def outcomes(at: Worker, recipe: Recipe) -> list[dict[str, Change | None]]:
    return [{each.defect.id: each.change for each in one.outcomes} for one in at.look(recipe).passages]


# --- what it came to ---------------------------------------------------------------------------------------------------


def test_the_last_look_after_a_week_of_rest_counts_against_the_look_before_the_work(at: Worker, press: Recipe) -> None:
    book = seen(at, "d1", "d2", "d3", "d4")
    at.works(press, [book], "2024-04-01", worked_defects=worked_on("d1", "d2", "d3", "d4"))
    assert outcomes(at, press) == [{}]
    assert at.look(press).passages[0].standing is Standing.WAITING
    assert [each.id for each in at.look(press).passages[0].worked] == ["d1", "d2", "d3", "d4"]
    # At once all are gone; after a week two have come back, one of them in part.
    at.teller.add(book, a_look("2024-04-02", *map(gone, ("d1", "d2", "d3")), rest=20))
    assert at.look(press).passages[0].standing is Standing.WAITING
    found = (gone("d1"), a_defect("d2", size_mm="5"), a_defect("d3"))
    rested = at.teller.add(book, a_look("2024-04-09", *found, rest=RESTED))
    (passage,) = at.look(press).passages
    assert (passage.standing, passage.look, passage.named) == (Standing.SEEN, rested.seq, True)
    assert outcomes(at, press) == [{"d1": Change.GONE, "d2": Change.LESSENED, "d3": Change.SAME, "d4": Change.UNSEEN}]


def test_worked_five_times_on_four_books_seven_of_nine_gone_one_less_one_the_same(at: Worker, press: Recipe) -> None:
    # Counted by hand: 3 + 2 + 1 + 1 gone on four books, then one less and one the same at a second time on the first.
    books = [seen(at, *names) for names in (("d1", "d2", "d3", "d4", "d5"), ("d1", "d2"), ("d1",), ("d1",))]
    for number, (book, names) in enumerate(
        zip(books, (("d1", "d2", "d3"), ("d1", "d2"), ("d1",), ("d1",)), strict=True), start=1
    ):
        at.works(press, [book], f"2024-04-0{number}", worked_defects=worked_on(*names))
        at.teller.add(book, a_look("2024-04-20", *map(gone, names), rest=RESTED))
    at.works(press, books[:1], "2024-05-01", worked_defects=worked_on("d4", "d5"))
    at.teller.add(books[0], a_look("2024-05-10", a_defect("d4", size_mm="4"), a_defect("d5"), rest=RESTED))
    told = at.look(press).in_all
    assert (told.times, told.books, told.seen) == (5, 4, 9)
    assert told.changes == {Change.GONE: 7, Change.LESSENED: 1, Change.SAME: 1}
    assert told.few
    assert FEW == 10
    (bends,) = by_type(at.look(press).passages)
    assert (bends.key, bends.seen, bends.times, bends.books) == ("bend", 9, 5, 4)


def test_work_after_it_and_before_such_a_look_leaves_it_untold(at: Worker, press: Recipe) -> None:
    book = seen(at, "d1")
    at.works(press, [book], "2024-04-01", worked_defects=worked_on("d1"))
    at.teller.add(book, an_intervention("local-heat", "2024-04-03", worked_defects=worked_on("d1")))
    at.teller.add(book, a_look("2024-04-20", gone("d1"), rest=RESTED))
    (passage,) = at.look(press).passages
    assert (passage.standing, passage.outcomes) == (Standing.OVERTAKEN, ())
    assert at.look(press).in_all.overtaken == 1


def test_a_book_that_left_before_such_a_look_is_not_waited_for(at: Worker, press: Recipe) -> None:
    book = seen(at, "d1")
    at.works(press, [book], "2024-04-01", worked_defects=worked_on("d1"))
    at.teller.add(book, Sale(on=When.parse("2024-04-03"), disclosed=Disclosed.NOTHING))
    look = at.look(press)
    assert [each.standing for each in look.passages] == [Standing.LEFT]
    assert (look.in_all.waiting, look.in_all.left) == (0, 1)


@pytest.mark.parametrize(
    ("other", "shared"),
    [
        ({"worked_defects": worked_on("d1")}, {"d1": None, "d2": Change.GONE}),
        # A step that names none may have eased what breaks no colour.
        ({}, {"d1": None, "d2": Change.GONE}),
        ({"worked_defects": worked_on("d2")}, {"d1": Change.GONE, "d2": None}),
    ],
)
def test_a_defect_that_other_work_reached_between_the_looks_does_not_count(
    at: Worker, press: Recipe, other: dict[str, Any], shared: dict[str, Change | None]
) -> None:
    book = seen(at, "d1", a_defect("d2", "crease", breaks_colour=Answer.YES))
    at.teller.add(book, an_intervention("local-heat", "2024-03-20", **other))
    at.works(press, [book], "2024-04-01", worked_defects=worked_on("d1", "d2"))
    after = (gone("d1"), a_defect("d2", "crease", gone=True, size_mm=None, breaks_colour=Answer.YES))
    at.teller.add(book, a_look("2024-04-20", *after, rest=RESTED))
    assert outcomes(at, press) == [shared]
    assert at.look(press).in_all.shared == 1


def test_a_step_that_names_no_defect_counts_for_those_that_were_there_and_break_no_colour(
    at: Worker, press: Recipe
) -> None:
    book = seen(at, "d1", a_defect("d2", "crease", breaks_colour=Answer.YES))
    at.works(press, [book], "2024-04-01")
    at.teller.add(book, a_look("2024-04-20", gone("d1"), rest=RESTED))
    assert outcomes(at, press) == [{"d1": Change.GONE}]
    assert not at.look(press).passages[0].named


def test_what_was_first_seen_since_is_told(at: Worker, press: Recipe) -> None:
    book = seen(at, "d1")
    at.works(press, [book], "2024-04-01", worked_defects=worked_on("d1"))
    harm = a_defect("d9", "gloss-loss", size_mm=None, share_percent=4)
    at.teller.add(book, a_look("2024-04-20", gone("d1"), harm, rest=RESTED))
    assert [each.id for each in at.look(press).passages[0].new] == ["d9"]


# --- paper, heat, and entries that are mended --------------------------------------------------------------------------


def test_paper_is_told_by_cover_date_tone_and_suppleness(at: Worker, press: Recipe) -> None:
    early = seen(at, "d1", issue=an_issue(cover_date=When.parse("1955-12")), tone=Tone.STRAW)
    late = seen(at, issue=an_issue(cover_date=When.parse("1956-01")), suppleness=Suppleness.STIFF)
    between = seen(at, issue=an_issue(cover_date=When.parse("1955/1956")))
    undated = seen(at)
    for number, book in enumerate((early, late, between, undated), start=1):
        at.works(press, [book], f"2024-04-0{number}")
    at.teller.add(late, a_look("2024-04-20", tone=Tone.BRIGHT))
    papers = {each.book: each.paper for each in at.look(press).passages}
    # Common practice, no source: the sizes of books changed with 1956.
    assert (papers[early].era, papers[early].tone, papers[early].suppleness) == ("to-1955", Tone.STRAW, None)
    # The tone was first said after the work.
    assert (papers[late].era, papers[late].tone, papers[late].suppleness) == (
        "1956-1970",
        Tone.BRIGHT,
        Suppleness.STIFF,
    )
    assert (papers[between].era, papers[undated].era) == (None, None)
    groups = by_passage(at.look(press).passages, lambda each: each.paper.era, ("to-1955", "1956-1970"))
    assert [(each.key, each.times) for each in groups] == [("to-1955", 1), ("1956-1970", 1), (None, 2)]


def test_heat_is_that_of_the_steps_of_that_time(at: Worker, press: Recipe) -> None:
    book = at.teller.buy()
    at.works(press, [book], "2024-04-01", settings=HEAT)
    at.works(press, [book], "2024-05-01")
    first, second = (each.heat for each in at.look(press).passages)
    assert first is not None
    assert second is not None
    # Michalski's formula: 10 minutes at 65 degrees are 1.633 days at 100 kJ/mol and unchanged moisture, by hand:
    # 10/1440 * exp(100000/8.314 * (1/293.15 - 1/338.15)) = 1.633.
    assert first.band.middle == pytest.approx(1.633, abs=0.001)
    assert (first.sessions, second.sessions, second.untold) == (1, 1, 1)


def test_an_entry_that_was_corrected_is_read_as_it_is_in_force(at: Worker, press: Recipe) -> None:
    book = seen(at, "d1", "d2")
    (entry,) = at.works(press, [book], "2024-04-01", worked_defects=worked_on("d1"))
    rested = at.teller.add(book, a_look("2024-04-20", gone("d1"), gone("d2"), rest=RESTED))
    at.teller.add(book, Correction(entry=entry.seq, changes={"worked_defects": [{"id": "d2"}], "on": "2024-04-02"}))
    assert outcomes(at, press) == [{"d2": Change.GONE}]
    assert str(at.look(press).passages[0].on) == "2024-04-02"
    at.teller.add(book, Correction(entry=rested.seq, changes={"rest_hours": 20}))
    assert at.look(press).passages[0].standing is Standing.WAITING


def test_an_entry_that_was_withdrawn_no_longer_counts(at: Worker, press: Recipe) -> None:
    (entry,) = at.works(press, [at.teller.buy()], "2024-04-01")
    at.teller.add(entry.book, Withdrawal(entry=entry.seq))
    look = at.look(press)
    assert [each.standing for each in look.passages] == [Standing.WITHDRAWN]
    assert (look.in_all.times, look.in_all.books) == (0, 0)


def test_of_a_time_of_which_one_step_was_withdrawn_the_others_count(at: Worker, flat: Recipe) -> None:
    book = seen(at, "d1")
    at.works(flat, [book], "2024-04-01", place=0)
    (pressed,) = at.works(flat, [book], "2024-04-02", place=1, worked_defects=worked_on("d1"))
    at.teller.add(book, Withdrawal(entry=pressed.seq))
    (passage,) = at.look(flat).passages
    assert (len(passage.entries), passage.named, passage.counts) == (1, False, True)
