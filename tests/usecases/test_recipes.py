"""A recipe goes on: kept, adjusted, worked by, called off; its history stays with it, beside the ledger."""

import pytest

from ledger.actor import Actor, Permission
from ledger.bench import Recipe, Step
from ledger.errors import ConflictError, ForbiddenError, InvalidError, NotFoundError
from ledger.usecases import bench
from ledger.usecases.recipes import adjust_recipe, look_at_recipe
from tests.builders import an_intervention
from tests.usecases.telling import OWNER
from tests.usecases.working import CLEAN, COLD, PRESS, Worker, a_look

# --- what is kept ------------------------------------------------------------------------------------------------------


def test_an_entry_that_tells_a_load_is_remembered_with_recipe_state_step_and_book(at: Worker, press: Recipe) -> None:
    books = [at.teller.buy(), at.teller.buy()]
    entries = at.works(press, books, "2024-04-01")
    (run,) = at.look(press).recipe.runs
    assert (run.state, run.place) == (1, 0)
    assert run.told == tuple((each.book, each.seq) for each in entries)
    assert run.ends is not None
    assert run.stopped is not None
    assert (run.stopped >= run.ends, run.early) == (True, False)
    assert bench.look_at_bench(at.ledger, OWNER).loads == ()


def test_a_load_that_is_told_twice_is_remembered_once(at: Worker, press: Recipe) -> None:
    load = at.goes_in(press, [at.teller.buy()])
    entries = at.tells(load, "2024-04-01")
    assert bench.told(at.ledger, OWNER, load.id, entries) is None
    assert len(at.look(press).recipe.runs) == 1


def test_what_tells_of_no_work_on_its_books_is_not_remembered(at: Worker, press: Recipe) -> None:
    load = at.goes_in(press, [at.teller.buy()])
    other = at.teller.add(at.teller.buy(), an_intervention())
    look = at.teller.add(load.books[0], a_look("2024-04-01"))
    bench.told(at.ledger, OWNER, load.id, [other, look])
    assert at.look(press).recipe.runs == ()


def test_a_load_that_is_called_off_leaves_no_trace_and_is_counted(at: Worker, press: Recipe) -> None:
    load = at.goes_in(press, [at.teller.buy()])
    bench.call_off(at.ledger, OWNER, load.id)
    look = at.look(press)
    assert (look.recipe.runs, look.passages, look.recipe.called_off) == ((), (), 1)


def test_a_load_without_a_recipe_or_of_one_that_is_gone_is_told_all_the_same(at: Worker, press: Recipe) -> None:
    alone = bench.put_in(at.ledger, OWNER, [at.teller.buy()], PRESS)
    orphan = at.goes_in(press, [at.teller.buy()])
    bench.forget_recipe(at.ledger, OWNER, press.id)
    for load in (alone, orphan):
        at.tells(load, "2024-04-01")
    assert bench.look_at_bench(at.ledger, OWNER).loads == ()


def test_a_load_that_comes_out_before_its_time_says_so(at: Worker, press: Recipe) -> None:
    load = at.goes_in(press, [at.teller.buy()])
    at.comes_out(load, 300)
    at.tells(load, "2024-04-01")
    (passage,) = at.look(press).passages
    assert (passage.runs[0].early, passage.is_whole) == (True, False)


# --- how a recipe goes on ----------------------------------------------------------------------------------------------


def test_history_stays_when_it_is_adjusted_renamed_and_kept_again_under_its_name(at: Worker, press: Recipe) -> None:
    book = at.teller.buy()
    at.works(press, [book], "2024-04-01")
    second = adjust_recipe(at.ledger, OWNER, press.id, "Flat again", [CLEAN, PRESS], state=1)
    assert (second.id, second.state, [each.number for each in second.earlier]) == (press.id, 2, [1])
    assert second.earlier[0].steps == press.steps
    at.works(second, [book], "2024-05-01", place=1)
    third = bench.keep_recipe(at.ledger, OWNER, "flat AGAIN", [COLD])
    assert (third.id, third.state, third.name) == (press.id, 3, "flat AGAIN")
    assert [run.state for run in third.runs] == [1, 2]
    assert [each.number for each in third.states] == [1, 2, 3]
    assert [each.steps for each in at.look(third).passages] == [1, 2]


def test_a_state_by_which_nobody_worked_is_not_kept(at: Worker, press: Recipe) -> None:
    second = adjust_recipe(at.ledger, OWNER, press.id, "Press", [COLD], state=1)
    assert (second.state, second.earlier) == (2, ())


def test_a_load_counts_for_the_state_by_which_it_went_in(at: Worker, press: Recipe) -> None:
    load = at.goes_in(press, [at.teller.buy()])
    adjust_recipe(at.ledger, OWNER, press.id, "Press", [CLEAN, COLD], state=1)
    at.tells(load, "2024-04-01")
    recipe = at.look(press).recipe
    assert ([run.state for run in recipe.runs], [each.number for each in recipe.states]) == ([1], [1, 2])


def test_where_nothing_changes_there_is_no_new_state(at: Worker, press: Recipe) -> None:
    assert adjust_recipe(at.ledger, OWNER, press.id, " Press ", [PRESS], state=1) == press
    assert bench.keep_recipe(at.ledger, OWNER, "Press", [PRESS]) == press


def test_who_read_an_earlier_state_or_takes_anothers_name_is_refused(at: Worker, press: Recipe, flat: Recipe) -> None:
    adjust_recipe(at.ledger, OWNER, press.id, "Press", [COLD], state=1)
    with pytest.raises(ConflictError, match="adjusted since you read it"):
        adjust_recipe(at.ledger, OWNER, press.id, "Press", [CLEAN], state=1)
    with pytest.raises(ConflictError, match="Another recipe is called FLAT"):
        adjust_recipe(at.ledger, OWNER, press.id, "FLAT", [CLEAN], state=2)
    assert at.look(press).recipe.steps == (COLD,)
    assert at.look(flat).recipe == flat


def test_what_cannot_be_kept_so_is_refused_at_its_field(at: Worker, press: Recipe) -> None:
    with pytest.raises(InvalidError) as refused:
        adjust_recipe(at.ledger, OWNER, press.id, "", [CLEAN, Step(values={"technique": "wishing"})], state=1)
    assert [each.field for each in refused.value.problems] == ["steps.1.technique", "name"]


def test_one_that_is_not_there_is_not_found_and_who_only_reads_adjusts_nothing(at: Worker, press: Recipe) -> None:
    with pytest.raises(NotFoundError):
        look_at_recipe(at.ledger, OWNER, "nothing")
    with pytest.raises(NotFoundError):
        adjust_recipe(at.ledger, OWNER, "nothing", "x", [CLEAN], state=1)
    reader = Actor(id="r", scopes=frozenset({Permission.READ}))
    assert look_at_recipe(at.ledger, reader, press.id).recipe == press
    with pytest.raises(ForbiddenError):
        adjust_recipe(at.ledger, reader, press.id, "x", [CLEAN], state=1)


def test_entries_are_named_that_tell_of_the_loads_own_books(at: Worker, press: Recipe) -> None:
    load = at.goes_in(press, [at.teller.buy()])
    own = at.teller.add(load.books[0], an_intervention("hot-press-dry", "2024-04-01"))
    look = at.teller.add(load.books[0], a_look("2024-04-02"))
    with pytest.raises(ConflictError, match=f"Entry {look.seq} tells of no work"):
        bench.told_by(at.ledger, OWNER, load.id, [own.seq, look.seq])
    with pytest.raises(NotFoundError):
        bench.told_by(at.ledger, OWNER, load.id, [999])
    bench.told_by(at.ledger, OWNER, load.id, [own.seq])
    assert at.look(press).recipe.runs[0].told == ((load.books[0], own.seq),)
    with pytest.raises(NotFoundError):
        bench.told_by(at.ledger, OWNER, load.id, [own.seq])


# --- one time after the other ------------------------------------------------------------------------------------------


def test_steps_that_follow_one_another_are_one_time_and_a_step_back_begins_another(at: Worker, flat: Recipe) -> None:
    book, other = at.teller.buy(), at.teller.buy()
    for place, day in ((0, "2024-04-01"), (1, "2024-04-02"), (2, "2024-04-03"), (1, "2024-05-01"), (1, "2024-06-01")):
        at.works(flat, [book, other] if place == 0 else [book], day, place=place)
    told = [(each.book, [run.place for run in each.runs], each.is_whole) for each in at.look(flat).passages]
    assert told == [
        (book, [0, 1, 2], True),
        (other, [0], False),
        (book, [1], False),
        (book, [1], False),
    ]
