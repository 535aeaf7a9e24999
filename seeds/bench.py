"""What lies on the bench when the demo is opened for the first time: a press at work, a rest without an end, two recipes."""

from datetime import timedelta

from ledger.actor import Actor
from ledger.bench import BenchWriter, Load, Step
from ledger.ports import Ledger
from ledger.usecases.bench import keep_recipe
from ledger.usecases.browse import look_through
from ledger.usecases.record import random_id
from ledger.views import ShelfQuery

__all__ = ["lay_bench"]

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
REST = Step(values={"technique": "rest-under-weight", "tool": "Two oak boards"})


def lay_bench(ledger: Ledger, actor: Actor) -> None:
    """Two loads of the books that wait, as of this moment, and two recipes."""
    assert ledger.bench is not None
    whole = keep_recipe(ledger, actor, "Clean, warm, cold", [CLEAN, HOT, COLD])
    keep_recipe(ledger, actor, "Let it rest", [REST])
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
        ),
        Load(id=random_id(ledger.chance), books=tuple(books[1:2]), step=REST, started=now - timedelta(days=2)),
    ]

    def work(writer: BenchWriter) -> None:
        for load in loads:
            if load.books:
                writer.put_load(load)

    ledger.bench.write(work)
