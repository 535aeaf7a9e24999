"""Tools are the owner's to change; a load goes into one as long as there is room, and its calibration tells what it had."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.bench import Step
from ledger.bootstrap import open_ledger
from ledger.errors import ConflictError, ForbiddenError, InvalidError, NoRoomError, NotFoundError
from ledger.settings import Settings
from ledger.tools import TOOLS_MOST, ToolSaid
from ledger.usecases import bench, tools
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER, Teller

PRESS = Step(values={"technique": "hot-press-dry", "settings.set_celsius": "60", "settings.total_minutes": "720"})
COLD = Step(values={"technique": "cold-press", "tool": "book press"})
LARGE = ToolSaid(
    name="Large press", kind="hot press", capacity="2", on="2026-01-01", measured_with="a probe",
    points=(("40", "38"), ("60", "57.5"), ("80", "77")),
)  # fmt: skip
BOOK_PRESS = ToolSaid(name="Book press", kind="cold press", capacity="1")
PHONE = Actor(id="owner", scopes=frozenset({Permission.READ, Permission.BENCH}))


@pytest.fixture
def at(tmp_path: Any, clock: FakeClock) -> Any:
    """A teller whose ledger has a bench."""
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings, clock=clock) as ledger:
        yield Teller(ledger)


def test_a_tool_is_kept_changed_retired_and_taken_away(at: Teller) -> None:
    made = tools.add_tool(at.ledger, OWNER, LARGE)
    assert tools.look_at_tools(at.ledger, OWNER) == (made,)
    changed = tools.change_tool(at.ledger, OWNER, made.id, replace(LARGE, name="Larger press"))
    assert (changed.id, changed.made, changed.name) == (made.id, made.made, "Larger press")
    retired = tools.retire_tool(at.ledger, OWNER, made.id, retired=True)
    assert tools.look_at_tool(at.ledger, OWNER, made.id) == retired == replace(changed, retired=True)
    assert tools.change_tool(at.ledger, OWNER, made.id, LARGE).retired
    assert not tools.change_tool(at.ledger, OWNER, made.id, LARGE, retired=False).retired
    tools.take_tool(at.ledger, OWNER, made.id)
    assert tools.look_at_tools(at.ledger, OWNER) == ()


def test_what_is_not_there_is_not_found(at: Teller) -> None:
    for work in (
        lambda: tools.look_at_tool(at.ledger, OWNER, "none"),
        lambda: tools.change_tool(at.ledger, OWNER, "none", LARGE),
        lambda: tools.retire_tool(at.ledger, OWNER, "none", retired=True),
        lambda: tools.take_tool(at.ledger, OWNER, "none"),
        lambda: bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, tool="none"),
    ):
        with pytest.raises(NotFoundError):
            work()


def test_a_phone_chooses_a_tool_and_changes_none(at: Teller) -> None:
    made = tools.add_tool(at.ledger, OWNER, LARGE)
    assert tools.look_at_tools(at.ledger, PHONE) == (made,)
    assert bench.put_in(at.ledger, PHONE, [at.buy()], PRESS, tool=made.id).tool == made.id
    for work in (
        lambda: tools.add_tool(at.ledger, PHONE, BOOK_PRESS),
        lambda: tools.change_tool(at.ledger, PHONE, made.id, BOOK_PRESS),
        lambda: tools.retire_tool(at.ledger, PHONE, made.id, retired=True),
        lambda: tools.take_tool(at.ledger, PHONE, made.id),
    ):
        with pytest.raises(ForbiddenError):
            work()
    assert tools.look_at_tools(at.ledger, OWNER) == (made,)


def test_no_two_tools_have_one_name_and_there_is_an_end_to_them(at: Teller) -> None:
    first = tools.add_tool(at.ledger, OWNER, LARGE)
    with pytest.raises(ConflictError, match="Give this one another name"):
        tools.add_tool(at.ledger, OWNER, replace(BOOK_PRESS, name="LARGE press"))
    other = tools.add_tool(at.ledger, OWNER, BOOK_PRESS)
    with pytest.raises(ConflictError, match="Give this one another name"):
        tools.change_tool(at.ledger, OWNER, other.id, replace(BOOK_PRESS, name=first.name))
    for number in range(TOOLS_MOST - 2):
        tools.add_tool(at.ledger, OWNER, replace(BOOK_PRESS, name=f"Press {number}"))
    with pytest.raises(ConflictError, match="Take one away first"):
        tools.add_tool(at.ledger, OWNER, replace(BOOK_PRESS, name="One more"))


def test_a_calibration_of_a_day_to_come_is_refused_at_its_field(at: Teller, clock: FakeClock) -> None:
    day = (clock.time + timedelta(days=2)).date().isoformat()
    with pytest.raises(InvalidError) as refused:
        tools.add_tool(at.ledger, OWNER, replace(LARGE, on=day))
    assert [each.field for each in refused.value.problems] == ["calibration.on"]


def test_a_press_that_has_not_enough_room_says_how_much_and_what_comes_out_when(at: Teller) -> None:
    press = tools.add_tool(at.ledger, OWNER, LARGE)
    load = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, tool=press.id)
    with pytest.raises(NoRoomError) as refused:
        bench.put_in(at.ledger, OWNER, [at.buy(), at.buy()], PRESS, tool=press.id)
    error = refused.value
    assert (error.room, error.wanted, error.held[0].ends) == (1, 2, load.ends)
    assert load.ends is not None
    out = f"Hot press, dry (one book), out on {load.ends:%Y-%m-%d at %H:%M} UTC"
    assert str(error) == (
        f"Large press has room for one more book, and 2 are to go in. In it: {out}. Take one out first, or choose another."
    )
    assert bench.look_at_bench(at.ledger, OWNER).loads == (load,)


def test_more_books_than_an_empty_press_takes_are_refused(at: Teller) -> None:
    press = tools.add_tool(at.ledger, OWNER, BOOK_PRESS)
    with pytest.raises(NoRoomError, match=r"Book press has room for one more book, and 2 are to go in\. Take fewer"):
        bench.put_in(at.ledger, OWNER, [at.buy(), at.buy()], COLD, tool=press.id)


def test_what_has_come_out_takes_up_no_room(at: Teller) -> None:
    press = tools.add_tool(at.ledger, OWNER, BOOK_PRESS)
    first = bench.put_in(at.ledger, OWNER, [at.buy()], COLD, tool=press.id)
    with pytest.raises(NoRoomError, match="no room left, and one is to go in"):
        bench.put_in(at.ledger, OWNER, [at.buy()], COLD, tool=press.id)
    bench.stop(at.ledger, OWNER, first.id)
    assert bench.put_in(at.ledger, OWNER, [at.buy()], COLD, tool=press.id).tool == press.id
    seen = bench.look_at_bench(at.ledger, OWNER)
    assert seen.room_in(press) == 0


def test_a_tool_without_a_capacity_refuses_nothing(at: Teller) -> None:
    boards = tools.add_tool(at.ledger, OWNER, ToolSaid(name="Boards", kind="boards and weight"))
    for _ in range(3):
        bench.put_in(at.ledger, OWNER, [at.buy()], COLD, tool=boards.id)
    assert bench.look_at_bench(at.ledger, OWNER).room_in(boards) is None


def test_a_retired_press_takes_nothing_new_and_keeps_what_is_in_it(at: Teller) -> None:
    press = tools.add_tool(at.ledger, OWNER, LARGE)
    load = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, tool=press.id)
    tools.retire_tool(at.ledger, OWNER, press.id, retired=True)
    with pytest.raises(ConflictError, match="it is retired"):
        bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, tool=press.id)
    assert bench.look_at_bench(at.ledger, OWNER).loads == (load,)
    with pytest.raises(ConflictError, match="Write down what came of it first"):
        tools.take_tool(at.ledger, OWNER, press.id)


def test_a_step_that_calls_its_tool_nothing_calls_it_by_its_name(at: Teller) -> None:
    press = tools.add_tool(at.ledger, OWNER, LARGE)
    assert bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, tool=press.id).step.values["tool"] == "Large press"
    said = Step(values={**PRESS.values, "tool": "the grey one"})
    assert bench.put_in(at.ledger, OWNER, [at.buy()], said, tool=press.id).step.values["tool"] == "the grey one"


def test_the_next_step_begins_in_the_tool_it_names_and_the_one_before_waits_to_be_told(at: Teller) -> None:
    cold = tools.add_tool(at.ledger, OWNER, BOOK_PRESS)
    recipe = bench.keep_recipe(at.ledger, OWNER, "Warm, cold", [PRESS, COLD])
    first = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, by=(recipe.id, 0))
    after = bench.go_on(at.ledger, OWNER, first.id)
    assert (after.books, after.step, after.recipe, after.place, after.tool) == (
        first.books,
        COLD,
        recipe.id,
        1,
        cold.id,
    )
    before, now = bench.look_at_bench(at.ledger, OWNER).loads
    assert before.stopped is not None
    assert now == after
    with pytest.raises(ConflictError, match="in another load"):
        bench.go_on(at.ledger, OWNER, first.id)
    with pytest.raises(ConflictError, match="No step follows"):
        bench.go_on(at.ledger, OWNER, after.id)
    with pytest.raises(NotFoundError):
        bench.go_on(at.ledger, OWNER, "none")


def test_where_the_next_press_is_full_nothing_has_changed(at: Teller) -> None:
    cold = tools.add_tool(at.ledger, OWNER, BOOK_PRESS)
    bench.put_in(at.ledger, OWNER, [at.buy()], COLD, tool=cold.id)
    recipe = bench.keep_recipe(at.ledger, OWNER, "Warm, cold", [PRESS, COLD])
    first = bench.put_in(at.ledger, OWNER, [at.buy()], PRESS, by=(recipe.id, 0))
    before = bench.look_at_bench(at.ledger, OWNER)
    with pytest.raises(NoRoomError):
        bench.go_on(at.ledger, OWNER, first.id)
    assert bench.look_at_bench(at.ledger, OWNER) == before


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [("60", Decimal("57.5")), ("50", Decimal("47.8")), ("61,0", Decimal("58.5")), ("90", None)],
)
def test_the_calibration_tells_what_a_load_had_as_finely_as_it_was_measured(
    at: Teller, celsius: str, expected: Decimal | None
) -> None:
    # By hand: 38 + (57.5 - 38) / 2 = 47.75; 57.5 + (77 - 57.5) / 20 = 58.475; half to even in the last place kept.
    press = tools.add_tool(at.ledger, OWNER, LARGE)
    step = Step(values={**PRESS.values, "settings.set_celsius": celsius})
    load = bench.put_in(at.ledger, OWNER, [at.buy()], step, tool=press.id)
    found = tools.expected_of(load, [press])
    assert found is not None
    assert (found.celsius, found.calibration.on.isoformat()) == (expected, "2026-01-01")


@pytest.mark.parametrize("celsius", ["", "hot", "NaN"])
def test_where_nothing_that_can_be_read_was_set_nothing_is_expected(at: Teller, celsius: str) -> None:
    press = tools.add_tool(at.ledger, OWNER, LARGE)
    step = Step(values={**PRESS.values, "settings.set_celsius": celsius})
    load = bench.put_in(at.ledger, OWNER, [at.buy()], step, tool=press.id)
    assert tools.expected_of(load, [press]) is None
    assert tools.expected_of(replace(load, tool=None), [press]) is None


def test_the_ledger_is_the_same_with_tools_and_without(at: Teller) -> None:
    book = at.buy()
    before = at.kept()
    press = tools.add_tool(at.ledger, OWNER, LARGE)
    load = bench.put_in(at.ledger, OWNER, [book], PRESS, tool=press.id)
    bench.stop(at.ledger, OWNER, load.id)
    assert at.kept() == before
