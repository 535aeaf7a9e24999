"""Whatever goes in and comes out in whatever order: no press holds more than it takes, and no book is in two at a time."""

from collections import Counter
from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from ledger.bench import Load, Step, books_in
from ledger.errors import ConflictError, NoRoomError
from ledger.tools import Tool, ToolKind
from ledger.usecases.room import begun
from tests.fakes import FakeBench

NOW = datetime(2026, 1, 2, tzinfo=UTC)
TOOLS = [
    Tool(id="a", name="Large press", kind=ToolKind.HOT_PRESS, made=NOW, capacity=3),
    Tool(id="b", name="Small press", kind=ToolKind.COLD_PRESS, made=NOW, capacity=1),
    Tool(id="c", name="Boards", kind=ToolKind.WEIGHT, made=NOW),
]
BOOKS = [f"b{number}" for number in range(8)]
goes_in = st.tuples(st.just("in"), st.lists(st.sampled_from(BOOKS), min_size=1, max_size=4, unique=True),
                    st.sampled_from([*TOOLS, None]))  # fmt: skip
comes_out = st.tuples(st.sampled_from(["stop", "off"]), st.integers(0, 9), st.none())


def refused(bench: FakeBench, name: str, books: list[str], tool: Tool | None) -> ConflictError | None:
    """Why it did not go in, in which case nothing has changed; None where it did."""
    before = bench.loads()
    load = Load(id=name, books=tuple(books), step=Step(), started=NOW, tool=tool.id if tool else None)
    error = None
    try:
        bench.write(lambda writer: begun(writer, load, frozenset()))
    except ConflictError as found:
        error = found
    assert (bench.loads() == before) == (error is not None)
    return error


@given(st.lists(st.one_of(goes_in, comes_out), max_size=30))
def test_no_press_holds_more_than_it_takes_and_no_book_is_in_two_loads(
    acts: list[tuple[str, object, Tool | None]],
) -> None:
    bench = FakeBench()
    for each in TOOLS:
        bench.put_tool(each)
    for number, (what, which, tool) in enumerate(acts):
        if what == "in":
            assert isinstance(which, list)
            free = {book for load in bench.loads() for book in load.books}.isdisjoint(which)
            room = None if tool is None else tool.room(books_in(bench.loads(), tool.id))
            error = refused(bench, f"l{number}", which, tool)
            assert (error is None) == (free and (room is None or room >= len(which)))
            if isinstance(error, NoRoomError):
                assert (error.room, error.wanted) == (room, len(which))
        elif loads := bench.loads():
            assert isinstance(which, int)
            load = loads[which % len(loads)]
            bench.take_load(load.id)
            if what == "stop":
                bench.put_load(Load(**{**vars(load), "stopped": NOW}))
        assert all(books_in(bench.loads(), each.id) <= (each.capacity or len(BOOKS)) for each in TOOLS)
        assert all(count == 1 for count in Counter(book for load in bench.loads() for book in load.books).values())
