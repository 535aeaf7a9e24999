"""A load goes in, comes out and is told by an entry; a book is in one at a time, and what is planned is of the tables."""

from datetime import timedelta
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.bench import LOADS_MOST, Load, Step
from ledger.bootstrap import open_ledger
from ledger.errors import ConflictError, ForbiddenError, InvalidError, NotFoundError
from ledger.settings import Settings
from ledger.usecases import bench
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER, Teller

PRESS = Step(values={"technique": "hot-press-dry", "settings.total_minutes": "720"})
AIRING = Step(values={"technique": "rest-under-weight"})


@pytest.fixture
def at(tmp_path: Any, clock: FakeClock) -> Any:
    """A teller whose ledger has a bench."""
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings, clock=clock) as ledger:
        yield Teller(ledger)


def test_a_load_ends_when_its_time_has_passed(at: Teller, clock: FakeClock) -> None:
    load = bench.put_in(at.ledger, OWNER, [at.buy(), at.buy()], PRESS)
    assert load.ends == load.started + timedelta(hours=12)
    clock.time = load.started + timedelta(hours=11, minutes=59)
    assert not load.is_over(clock.time)
    assert load.minutes_until(clock.time) == 719
    clock.time += timedelta(minutes=1)
    assert load.is_over(clock.time)


def test_a_load_without_a_time_never_ends_by_itself(at: Teller, clock: FakeClock) -> None:
    load = bench.put_in(at.ledger, OWNER, [at.buy()], AIRING)
    assert load.ends is None
    assert not load.is_over(clock.time + timedelta(days=400))


def test_it_is_stopped_once(at: Teller, clock: FakeClock) -> None:
    load = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS)
    clock.time += timedelta(hours=2)
    stopped = bench.stop(at.ledger, OWNER, load.id)
    clock.time += timedelta(hours=2)
    assert bench.stop(at.ledger, OWNER, load.id) == stopped
    assert stopped.minutes_until(clock.time) == 120
    assert not stopped.is_over(clock.time + timedelta(days=9))
    assert bench.look_at_bench(at.ledger, OWNER).loads == (stopped,)


def test_it_is_gone_once_it_was_told_or_called_off(at: Teller) -> None:
    load = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS)
    assert bench.told(at.ledger, OWNER, load.id) == load
    assert bench.told(at.ledger, OWNER, load.id) is None
    again = bench.put_in(at.ledger, OWNER, load.books, PRESS)
    bench.call_off(at.ledger, OWNER, again.id)
    assert bench.look_at_bench(at.ledger, OWNER).loads == ()
    for work in (bench.stop, bench.call_off):
        with pytest.raises(NotFoundError):
            work(at.ledger, OWNER, again.id)


def test_a_book_is_in_one_load_at_a_time(at: Teller) -> None:
    book = at.buy()
    bench.put_in(at.ledger, OWNER, [book], PRESS)
    with pytest.raises(ConflictError, match="One of these books is in another load"):
        bench.put_in(at.ledger, OWNER, [at.buy(), book], AIRING)


def test_a_book_that_is_not_here_goes_into_none(at: Teller) -> None:
    with pytest.raises(NotFoundError):
        bench.put_in(at.ledger, OWNER, ["nobody"], PRESS)


def test_there_is_an_end_to_the_bench(at: Teller) -> None:
    for _ in range(LOADS_MOST):
        bench.put_in(at.ledger, OWNER, [at.buy()], AIRING)
    with pytest.raises(ConflictError, match=f"There are {LOADS_MOST} loads"):
        bench.put_in(at.ledger, OWNER, [at.buy()], AIRING)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({}, "technique"),
        ({"technique": "wishing"}, "technique"),
        ({"technique": "cold-press", "remark": "x"}, "remark"),
        ({"technique": "cold-press", "settings.total_minutes": "soon"}, "settings.total_minutes"),
        ({"technique": "cold-press", "settings.total_minutes": "86401"}, "settings.total_minutes"),
        ({"technique": "cold-press", "tool": "x" * 401}, "tool"),
    ],
)
def test_what_cannot_be_planned_is_refused_at_its_field(at: Teller, values: dict[str, str], field: str) -> None:
    with pytest.raises(InvalidError) as refused:
        bench.put_in(at.ledger, OWNER, [at.buy()], Step(values=values))
    assert [each.field for each in refused.value.problems] == [field]


def test_a_recipe_is_kept_taken_up_and_replaced_by_its_name(at: Teller) -> None:
    recipe = bench.keep_recipe(at.ledger, OWNER, " Flat ", [PRESS, AIRING])
    load = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, by=(recipe.id, 0))
    seen = bench.look_at_bench(at.ledger, OWNER)
    assert (seen.recipe_of(load), seen.next_of(load)) == (recipe, AIRING)
    again = bench.keep_recipe(at.ledger, OWNER, "flat", [AIRING])
    assert again.id == recipe.id
    seen = bench.look_at_bench(at.ledger, OWNER)
    assert (seen.recipes, seen.next_of(load)) == ((again,), None)
    bench.forget_recipe(at.ledger, OWNER, recipe.id)
    seen = bench.look_at_bench(at.ledger, OWNER)
    assert (seen.recipes, seen.recipe_of(load)) == ((), None)


@pytest.mark.parametrize(("name", "steps"), [("", [PRESS]), ("x" * 81, [PRESS]), ("Flat", []), ("Flat", [PRESS] * 21)])
def test_a_recipe_without_name_or_steps_is_refused(at: Teller, name: str, steps: list[Step]) -> None:
    with pytest.raises(InvalidError):
        bench.keep_recipe(at.ledger, OWNER, name, steps)


def test_who_may_only_read_only_looks(at: Teller) -> None:
    reader = Actor(id="r", scopes=frozenset({Permission.READ}))
    assert bench.look_at_bench(at.ledger, reader).loads == ()
    with pytest.raises(ForbiddenError):
        bench.put_in(at.ledger, reader, [at.buy()], PRESS)


def test_the_bench_is_there_after_the_next_start(tmp_path: Any) -> None:
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings) as ledger:
        load = bench.put_in(ledger, OWNER, [Teller(ledger).buy()], PRESS)
    with open_ledger(settings) as ledger:
        kept: tuple[Load, ...] = bench.look_at_bench(ledger, OWNER).loads
        assert kept == (load,)
