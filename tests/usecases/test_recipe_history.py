"""Whatever is done with a recipe in whatever order, its history says what was told and nothing else."""

from dataclasses import dataclass, field

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.bench import Load, Recipe, Step
from ledger.errors import NotFoundError
from ledger.ports import Ledger
from ledger.store.codec import EventCodec
from ledger.usecases import bench
from ledger.usecases.found import found
from ledger.usecases.recipes import adjust_recipe
from tests.conftest import COLLECTION, ledger_on
from tests.counts import count
from tests.fakes import FakeClock, FakeLog
from tests.usecases.telling import OWNER, Teller
from tests.usecases.working import Worker

STEPS = [Step(values={"technique": name}) for name in ("dry-cleaning", "hot-press-dry", "cold-press")]
LISTS = st.lists(st.sampled_from(STEPS), min_size=1, max_size=4)
DOES = st.one_of(
    st.tuples(st.just("keep"), LISTS),
    st.tuples(st.just("adjust"), LISTS),
    st.tuples(st.just("start"), st.integers(0, 3)),
    st.tuples(st.just("stop"), st.integers(0, 3)),
    st.tuples(st.just("tell"), st.integers(0, 3)),
    st.tuples(st.just("off"), st.integers(0, 3)),
)


@dataclass
class Told:
    """The same told a second time: what went in by which steps, what was told, and how often nothing was."""

    at: Worker
    recipe: Recipe
    in_it: list[tuple[Load, tuple[Step, ...], int]] = field(default_factory=list)
    told: list[tuple[str, tuple[Step, ...], int, str, int]] = field(default_factory=list)
    off: int = 0

    def does(self, what: str, said: object, books: list[str]) -> None:
        """One of the things that can be done."""
        ledger = self.at.ledger
        if what == "keep":
            assert isinstance(said, list)
            self.recipe = bench.keep_recipe(ledger, OWNER, self.recipe.name, said)
        elif what == "adjust":
            assert isinstance(said, list)
            own = self.recipe
            self.recipe = adjust_recipe(ledger, OWNER, own.id, f"No. {own.state}", said, state=own.state)
        elif what == "start":
            assert isinstance(said, int)
            place = said % len(self.recipe.steps)
            busy = {each for load, _, _ in self.in_it for each in load.books}
            free = [each for each in books if each not in busy][: 1 + said % 2]
            if free:
                self.in_it.append((self.at.goes_in(self.recipe, free, place), self.recipe.steps, place))
        elif self.in_it:
            assert isinstance(said, int)
            self.ends(what, said % len(self.in_it))

    def ends(self, what: str, number: int) -> None:
        """A load comes out, is told, or never was."""
        load, steps, place = self.in_it[number]
        if what == "stop":
            self.at.comes_out(load, 5)
            return
        del self.in_it[number]
        if what == "off":
            bench.call_off(self.at.ledger, OWNER, load.id)
            self.off += 1
        else:
            entries = self.at.tells(load, "2024-04-01")
            self.told += [(load.id, steps, place, str(each.book), each.seq) for each in entries]


def a_ledger() -> Ledger:
    ledger = ledger_on(FakeLog(COLLECTION, EventCodec()), clock=FakeClock())
    found(ledger, OWNER)
    return ledger


@settings(max_examples=count(25, 300), deadline=None, suppress_health_check=list(HealthCheck))
@given(doing=st.lists(DOES, max_size=18))
def test_history_survives_keeping_adjusting_starting_stopping_telling_and_calling_off(
    doing: list[tuple[str, object]],
) -> None:
    ledger = a_ledger()
    clock = ledger.clock
    assert isinstance(clock, FakeClock)
    teller = Teller(ledger)
    books = [teller.buy() for _ in range(3)]
    told = Told(Worker(ledger, clock), bench.keep_recipe(ledger, OWNER, "Flat", STEPS[:2]))
    for what, said in doing:
        told.does(what, said, books)
    look = told.at.look(told.recipe)
    steps = {each.number: each.steps for each in look.recipe.states}
    kept = [(run.load, steps[run.state], run.place, *pair) for run in look.recipe.runs for pair in run.told]
    assert kept == told.told
    assert look.recipe.called_off == told.off
    assert look.loads == len(told.in_it)
    assert sorted(seq for each in look.passages for seq in each.entries) == sorted(each[-1] for each in told.told)
    assert look.in_all.books == len({each[3] for each in told.told})


def test_one_that_is_taken_away_is_gone_with_its_history_and_its_name_is_free() -> None:
    ledger = a_ledger()
    clock = ledger.clock
    assert isinstance(clock, FakeClock)
    at, recipe = Worker(ledger, clock), bench.keep_recipe(ledger, OWNER, "Flat", STEPS)
    at.works(recipe, [Teller(ledger).buy()], "2024-04-01")
    bench.forget_recipe(ledger, OWNER, recipe.id)
    with pytest.raises(NotFoundError, match="There is no recipe"):
        at.look(recipe)
    again = bench.keep_recipe(ledger, OWNER, "Flat", STEPS)
    assert (again.state, again.runs) == (1, ())
