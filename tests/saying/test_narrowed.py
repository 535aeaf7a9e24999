"""What a list was narrowed by, in words: every answer after its question, the same in whichever order it was made."""

from itertools import permutations

import pytest

from ledger.book import Status
from ledger.events._parts import Holding
from ledger.rules.grades import Grade
from ledger.rules.headings import Heading
from ledger.saying.narrowed import narrowed
from ledger.views import NOTHING, ShelfQuery


def test_every_book_that_is_here_is_no_choice() -> None:
    assert narrowed(ShelfQuery(kept=True)) == ()
    assert narrowed(ShelfQuery()) == ("Where it stands: show also what has left",)


def test_every_answer_stands_after_its_question() -> None:
    query = ShelfQuery(
        text="lantern", statuses=("here",), holdings=("raw",), headings=(NOTHING, "not-settled"), places=("Box 1",)
    )
    assert narrowed(query) == (
        "search for lantern",
        "Where: Box 1",
        "Raw or in a holder: raw",
        "Work done here: none here",
        "Work done here: heading not settled",
        "Where it stands: here",
    )


@pytest.mark.parametrize("places", tuple(permutations(("box b", "Box A", NOTHING))))
def test_places_come_by_name_each_once(places: tuple[str, ...]) -> None:
    said = ("Where: not known", "Where: Box A", "Where: box b")
    assert narrowed(ShelfQuery(kept=True, places=(*places, "box b"))) == said


def test_every_answer_that_there_is_has_words() -> None:
    said = narrowed(
        ShelfQuery(statuses=tuple(Status), holdings=tuple(Holding), headings=tuple(Heading), on_bench=False)
    )
    assert len(said) == len(set(said)) == len(Status) + len(Holding) + len(Heading) + 1
    assert said[-1] == "Where it stands: not on the bench"


def test_an_answer_that_there_is_not_says_nothing() -> None:
    assert narrowed(ShelfQuery(kept=True, holdings=("in a bag",), headings=("any",), statuses=("lent",))) == ()


def test_a_side_of_the_scale_that_is_left_open_reaches_to_its_end() -> None:
    step = Grade("9.0").step
    assert narrowed(ShelfQuery(kept=True, grade_from=step)) == ("grade from 9.0 to 10.0",)
    assert narrowed(ShelfQuery(kept=True, grade_to=step)) == ("grade from 0.5 to 9.0",)
