"""Invented books and their sheets, for the tests of what a record says."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from ledger.disclosed import Telling, disclosed_sheet
from ledger.entry import Entry
from ledger.events import Event
from ledger.events.photograph import Photograph
from ledger.history import fold, history
from ledger.proof.sheet import Facts, Map, Picture, Section, Sheet, Table, Words, Work
from tests.builders import BOOK, CODEC, an_entry, on

COLLECTION = "thecollectionofthesetests"


def entries_of(events: Iterable[Event]) -> list[Entry]:
    """Entries 1, 2, 3 ... of one book, each completed as at the door."""
    found: list[Entry] = []
    for seq, event in enumerate(events, 1):
        found.append(an_entry(event.complete(found), seq))
    return found


def telling_of(*events: Event, opened: Iterable[tuple[int, str]] | None = None, **changes: Any) -> Telling:
    """What is told of these events; open is what a record shows unless its maker says otherwise."""
    moments = history(entries_of(events), CODEC)
    usual = {(each.entry.seq, name) for each in moments for name in each.entry.event.shown_fields()}
    told = {
        "collection": COLLECTION,
        "book": fold(BOOK, 1, moments),
        "moments": moments,
        "opened": frozenset(usual if opened is None else opened),
        "pictures": {each.entry.seq: each.event.clean for each in moments if isinstance(each.event, Photograph)},
        "earlier": (),
        "stamped": False,
        "made": date(2026, 3, 20),
    }
    return Telling(**{**told, **changes})


def sheet_of(*events: Event, **changes: Any) -> Sheet:
    return disclosed_sheet(telling_of(*events, **changes))


def text_of(sheet: Sheet | Section) -> str:
    """All of it in lines."""
    whole = sheet if isinstance(sheet, Sheet) else Sheet(title="", lead="", sections=(sheet,))
    return "\n".join(whole.text())


def section(sheet: Sheet, name: str) -> Section:
    (found,) = [each for each in sheet.sections if each.id == name]
    return found


def facts_of(of: Section) -> dict[str, str]:
    return {name: value for each in of.blocks if isinstance(each, Facts) for name, value in each.rows}


def rows_of(of: Section) -> list[dict[str, str]]:
    """Rows of its tables by their heads."""
    tables = [each for each in of.blocks if isinstance(each, Table)]
    return [dict(zip(each.head, row, strict=True)) for each in tables for row in each.rows]


def lines_of(of: Section) -> list[str]:
    return [line for each in of.blocks if isinstance(each, Words) for line in each.lines]


def works_of(of: Section) -> dict[str, tuple[str, ...]]:
    """Lines of steps by their heading, in the order of the headings."""
    return {each.heading: each.lines for each in of.blocks if isinstance(each, Work)}


def maps_of(of: Section) -> list[Map]:
    return [each for each in of.blocks if isinstance(each, Map)]


def pictures_of(of: Section) -> list[Picture]:
    return [each for each in of.blocks if isinstance(each, Picture)]


def a_photograph(name: str, when: str | None = "2024-02-06", **changes: Any) -> Photograph:
    """A photograph whose digests are made of a letter."""
    return Photograph(**{"on": on(when), "original": "0" * 63 + name, "clean": name * 64, **changes})
