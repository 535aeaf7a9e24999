"""What a person would type for the values of an event, for tests that send a form."""

import json
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.events import Event
from ledger.ports import Ledger
from ledger.usecases.record import Draft, record
from web.form_values import Habits
from web.forms import form_of

HABITS = Habits(today=date(2026, 1, 2))
OWNER = Actor(id="owner")
VECTORS = Path(__file__).parent.parent / "vectors" / "events"


def vectors() -> list[tuple[str, dict[str, Any]]]:
    """Every case of an event as a door takes it, with its kind."""
    found = []
    for path in sorted(VECTORS.glob("*.json")):
        content = json.loads(path.read_text("utf-8"))
        found += [(case["kind"], case["input"]) for case in (content if isinstance(content, list) else [content])]
    return found


def typed_for(kind: str, values: Mapping[str, Any], **more: str | Sequence[str]) -> dict[str, str | Sequence[str]]:
    """The inputs of a whole form, as a browser sends them."""
    defects = [(each["id"], each["id"]) for each in values.get("worked_defects", ())]
    typed = form_of(kind, known={"worked_defects": defects}).inputs(values, HABITS)
    return {name: given[0] if len(given) == 1 else list(given) for name, given in typed.items()} | more


def written(ledger: Ledger, *events: Event, book: str | None = None) -> list[Entry]:
    """Entries of a book: of that one, or of a new one that begins with the first event."""
    made: list[Entry] = []
    for event in events:
        draft = Draft(event=event, book=book, new_book=book is None)
        made += record(ledger, OWNER, [draft]).entries
        book = made[-1].book
    return made


def last(ledger: Ledger) -> Entry:
    """The entry that was written last."""
    with ledger.log.read() as reader:
        return reader.entry(reader.head().size)


def size(ledger: Ledger) -> int:
    """How many entries there are."""
    with ledger.log.read() as reader:
        return reader.head().size
