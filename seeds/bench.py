"""What lies on the bench when the demo is opened first: two presses, a hot tool, a load in one, a rest, recipes.

One of the recipes was worked by: its history is told by the steps of the story that were done so.
"""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from itertools import groupby
from typing import Final

from ledger.actor import Actor
from ledger.bench import BenchWriter, Load, Recipe, Step
from ledger.entry import Entry
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.recipes import adjusted, with_run
from ledger.tools import ToolSaid
from ledger.usecases.bench import keep_recipe
from ledger.usecases.browse import look_through
from ledger.usecases.record import random_id
from ledger.usecases.tools import add_tool
from ledger.views import PAGE_MOST, EntryQuery, ShelfQuery

__all__ = ["TOOLS", "lay_bench"]

PROBE = "thermocouple between two boards, where the book lies"
TOOLS = (
    ToolSaid(
        name="Large press",
        kind="hot press",
        capacity="4",
        on="2025-11-08",
        measured_with=PROBE,
        points=(("40", "38.5"), ("50", "47.9"), ("60", "57.2"), ("70", "66.1"), ("80", "75.4")),
        note="The middle is warmest. Twenty minutes until it holds.",
    ),
    ToolSaid(name="Book press", kind="cold press", capacity="6", note="A quarter turn past the touch."),
    ToolSaid(
        name="Flat iron tip",
        kind="iron tip",
        on="2025-11-09",
        measured_with="thermocouple under the tip, through one sheet",
        points=(("55", "49.5"), ("65", "59")),
    ),
)

CLEAN = Step(values={"technique": "dry-cleaning", "tool": "Soft sponge"})
HOT = Step(
    values={
        "technique": "hot-press-dry",
        "tool": "Large press",
        "settings.set_celsius": "60",
        "settings.hold_minutes": "10",
        "settings.cooling_minutes": "710",
        "settings.total_minutes": "720",
        "settings.cooling": "in the press",
        "settings.moisture": "room",
        "settings.heat_side": "back",
        "settings.stack": "Plate, release paper, book, release paper, board",
    }
)
COLD = Step(values={"technique": "cold-press", "tool": "Book press", "settings.total_minutes": "720"})
WARM = Step(values={**HOT.values, "settings.set_celsius": "65"})
WARM_BEFORE = Step(
    values={
        **HOT.values,
        "settings.hold_minutes": "12",
        "settings.cooling_minutes": "600",
        "settings.total_minutes": "612",
    }
)
"""As the first book of the story was pressed."""
EVENING: Final = time(20, tzinfo=UTC)
REST = Step(values={"technique": "rest-under-weight", "tool": "Two oak boards"})


def lay_bench(ledger: Ledger, actor: Actor) -> None:
    """Two loads of the books that wait, as of this moment, three recipes, two presses and a hot tool."""
    assert ledger.bench is not None
    whole = keep_recipe(ledger, actor, "Clean, warm, cold", [CLEAN, HOT, COLD])
    keep_recipe(ledger, actor, "Let it rest", [REST])
    worked = _worked(ledger, keep_recipe(ledger, actor, "Half a day, warm", [WARM_BEFORE]))
    # A machine whose clock is slow has not come to the day of the calibration yet.
    today = ledger.clock.today().isoformat()
    press, *_ = [add_tool(ledger, actor, replace(each, on=min(each.on, today))) for each in TOOLS]
    rows = look_through(ledger, actor, ShelfQuery(on_bench=True)).page.rows
    books, now = [each.book for each in rows], ledger.clock.now()
    loads = [
        Load(
            id=random_id(ledger.chance),
            books=tuple(books[:1]),
            step=HOT,
            started=now - timedelta(hours=3, minutes=20),
            recipe=whole.id,
            place=1,
            tool=press.id,
        ),
        Load(id=random_id(ledger.chance), books=tuple(books[1:2]), step=REST, started=now - timedelta(days=2)),
    ]

    def work(writer: BenchWriter) -> None:
        writer.put_recipe(worked)
        for load in loads:
            if load.books:
                writer.put_load(load)

    ledger.bench.write(work)


def _worked(ledger: Ledger, recipe: Recipe) -> Recipe:
    """The recipe with every dry hot press of the story, adjusted after the first one to what was done from then on."""
    for number, entries in enumerate(_presses(ledger)):
        day = entries[0].event.on
        assert day is not None
        load = Load(
            id=random_id(ledger.chance),
            books=tuple(each.book for each in entries if each.book),
            step=recipe.steps[0],
            started=datetime.combine(day.earliest_day, EVENING),
            recipe=recipe.id,
            state=recipe.state,
        )
        recipe = with_run(recipe, load, [(each.book, each.seq) for each in entries if each.book])
        if number == 0:
            recipe = adjusted(recipe, name=recipe.name, steps=[WARM], made=recipe.made)
    return recipe


def _presses(ledger: Ledger) -> list[list[Entry]]:
    """Books that were pressed hot and dry together, in the order in which that was written down."""
    with ledger.log.read() as reader:
        found = reader.entries(EntryQuery(kinds=(Intervention.kind,), limit=PAGE_MOST)).rows
    hot = [
        each
        for each in found
        if isinstance(each.event, Intervention) and each.event.technique == WARM.technique and each.event.on
    ]
    return [list(together) for _, together in groupby(hot, key=lambda each: each.act)]
