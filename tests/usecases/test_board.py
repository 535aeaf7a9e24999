"""The board: which books wait for a decision and why, which wait to go in, and how much heat each had."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from ledger.actor import Actor
from ledger.bench import Step
from ledger.bootstrap import open_ledger
from ledger.dose import heat_of
from ledger.errors import ForbiddenError
from ledger.events._settings import Settings as Heat
from ledger.events.choice import Choice, Next
from ledger.history import history
from ledger.settings import Settings
from ledger.usecases import bench
from ledger.usecases.board import Board, look_at_board
from ledger.usecases.record import Draft
from tests.builders import a_defect, a_slab, an_examination, an_intervention, an_opening, on, worked_on
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER, Teller


@pytest.fixture
def at(tmp_path: Any, clock: FakeClock) -> Any:
    """A teller whose ledger has a bench."""
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings, clock=clock) as ledger:
        yield Teller(ledger)


def chose(day: str | None, what: Next = Next.GO_ON) -> Choice:
    return Choice(on=on(day), next=what)


def seen(at: Teller) -> Board:
    return look_at_board(at.ledger, OWNER)


def undecided(at: Teller) -> list[str]:
    return [each.id for each in seen(at).undecided]


def waiting(at: Teller) -> list[str]:
    return [each.id for each in seen(at).waiting]


def test_a_book_waits_to_go_in_once_going_on_was_chosen_and_for_a_decision_once_its_step_is_over(at: Teller) -> None:
    book = at.buy()
    assert (undecided(at), waiting(at)) == ([], [])
    at.add(book, chose("2025-12-20"))
    assert (undecided(at), waiting(at)) == ([], [book])
    at.add(book, an_intervention("cold-press", "2025-12-21"))
    assert (undecided(at), waiting(at)) == ([book], [])
    over = seen(at).books[book].over
    assert over is not None
    assert (over.technique, str(over.on)) == ("cold-press", "2025-12-21")
    at.add(book, chose("2025-12-22"))
    assert (undecided(at), waiting(at)) == ([], [book])


@pytest.mark.parametrize("what", [Next.STOP, Next.LEAVE_ALONE])
def test_a_book_that_is_left_is_off_the_board(at: Teller, what: Next) -> None:
    book = at.buy()
    at.add(book, an_intervention("cold-press", "2026-01-01"))
    assert undecided(at) == [book]
    at.add(book, chose("2026-01-01", what))
    assert (undecided(at), waiting(at)) == ([], [])


def test_a_step_that_happened_before_the_choice_asks_for_none_though_it_was_written_after_it(at: Teller) -> None:
    book = at.buy()
    at.add(book, chose("2025-12-22"))
    at.add(book, an_intervention("cold-press", "2025-12-21"))
    assert (undecided(at), waiting(at)) == ([], [book])


@pytest.mark.parametrize("technique", ["housing", "signature"])
def test_after_what_is_no_work_on_the_paper_there_is_nothing_to_decide(at: Teller, technique: str) -> None:
    book = at.buy()
    at.add(book, an_intervention(technique, "2026-01-01"))
    assert undecided(at) == []


def test_a_book_in_a_load_waits_for_nothing_but_the_load(at: Teller) -> None:
    book = at.buy()
    at.add(book, chose("2025-12-20"))
    at.add(book, an_intervention("cold-press", "2025-12-21"))
    load = bench.put_in(at.ledger, OWNER, [book], Step(values={"technique": "cold-press"}))
    assert (undecided(at), waiting(at)) == ([], [])
    assert seen(at).books.keys() == {book}
    bench.call_off(at.ledger, OWNER, load.id)
    assert undecided(at) == [book]


def test_where_nothing_is_there_that_may_come_back_no_look_falls_due(at: Teller, clock: FakeClock) -> None:
    book = at.buy()
    at.add(book, an_examination("2025-12-01", defects=()))
    at.add(book, an_intervention("cold-press", "2025-12-30", worked_defects=()))
    at.add(book, chose("2025-12-31"))
    assert (undecided(at), waiting(at)) == ([], [book])
    clock.time += timedelta(days=9)
    assert (undecided(at), waiting(at)) == ([], [book])


def a_look_due(at: Teller) -> str:
    """A book with a bend that was worked on; the look after a week falls due on 6 January."""
    book = at.buy()
    at.add(book, an_examination("2025-12-01", defects=(a_defect(),)))
    at.add(book, an_intervention("cold-press", "2025-12-30", worked_defects=worked_on("d1")))
    at.add(book, chose("2025-12-31"))
    return book


def test_a_look_comes_due_a_week_after_the_work_and_not_a_day_sooner(at: Teller, clock: FakeClock) -> None:
    book = a_look_due(at)
    clock.time = clock.time.replace(month=1, day=5, hour=12)
    assert (undecided(at), waiting(at)) == ([], [book])
    clock.time = clock.time.replace(day=6)
    (found,) = seen(at).undecided
    assert (found.over, found.look_due) == (None, date(2026, 1, 6))
    at.add(book, chose("2026-01-06"))
    assert (undecided(at), waiting(at)) == ([], [book])


def test_a_look_after_the_rest_answers_it_too(at: Teller, clock: FakeClock) -> None:
    book = a_look_due(at)
    clock.time = clock.time.replace(month=1, day=7, hour=12)
    assert undecided(at) == [book]
    at.add(book, an_examination("2026-01-07", rest_hours=190))
    assert (undecided(at), waiting(at)) == ([], [book])


def test_only_what_is_here_and_out_of_its_holder_can_be_decided_on(at: Teller) -> None:
    slabbed = at.tell(Draft(event=a_slab("2025-11-01"), new_book=True)).entries[0].book
    at.add(slabbed, an_opening("2025-11-02"))
    at.add(slabbed, an_intervention("cold-press", "2025-11-03"))
    assert undecided(at) == [slabbed]
    assert seen(at).undecided[0].heat.sessions == 0
    still = at.tell(Draft(event=a_slab("2025-11-01", holder_number="A-78"), new_book=True)).entries[0].book
    assert still not in seen(at).books


def test_a_book_that_was_worked_on_long_ago_and_never_chosen_is_no_longer_at_the_bench(
    at: Teller, clock: FakeClock
) -> None:
    old, chosen = at.buy(), at.buy()
    at.add(chosen, chose("2025-12-01"))
    for book in (old, chosen):
        at.add(book, an_intervention("cold-press", "2026-01-01"))
    assert undecided(at) == [chosen, old]
    clock.time += timedelta(days=62)
    assert undecided(at) == [chosen]


def test_the_heat_is_that_of_all_steps_so_far_in_a_load_and_out_of_it(at: Teller) -> None:
    book = at.buy()
    hot: Callable[[str], Any] = lambda day: an_intervention(  # noqa: E731 - two of a kind
        "hot-press-dry", day, settings=Heat(measured_celsius="60", hold_minutes=10, cooling_minutes=30)
    )
    for day in ("2025-12-20", "2025-12-21"):
        at.add(book, hot(day))
    with at.ledger.log.read() as reader:
        heat = heat_of(history(reader.of_book(book), at.ledger.codec))
    assert heat.sessions == 2
    assert seen(at).books[book].heat == heat
    bench.put_in(at.ledger, OWNER, [book], Step(values={"technique": "cold-press"}))
    assert seen(at).books[book].heat == heat


def test_who_may_not_read_does_not_look(at: Teller) -> None:
    with pytest.raises(ForbiddenError):
        look_at_board(at.ledger, Actor(id="x", scopes=frozenset()))
