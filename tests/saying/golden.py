"""The sheets of two books of the demo, as they are kept among the vectors; `python -m tests.saying.golden` makes them anew.

They are our own and prove no figure: they show in a change what it makes a record say.
"""

import json
import tempfile
from datetime import date
from pathlib import Path
from typing import Final

from ledger.disclosed import Telling, disclosed_sheet
from ledger.events.photograph import Photograph
from ledger.history import fold, history, states
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.air import ageing_within
from ledger.usecases.light import light_within
from seeds.demo import open_told

__all__ = ["BOOKS", "FOLDER", "kept", "sheet_of_demo"]

FOLDER: Final = Path(__file__).resolve().parent.parent / "vectors" / "sheets"
BOOKS: Final = (7, 9)
"""By their numbers: one with three steps, one with marks, photographs before and after, and two holders."""
MADE: Final = date(2026, 9, 1)


def sheet_of_demo(ledger: Ledger, number: int) -> str:
    """The words of a book's record, open as it is unless its maker says otherwise, spelled to be read."""
    with ledger.log.read() as reader:
        (head,) = [each for each in reader.book_heads() if each.no == number]
        moments = history(reader.of_book(head.book), ledger.codec)
        book = fold(head.book, number, moments)
        telling = Telling(
            collection=reader.collection,
            book=book,
            moments=moments,
            opened=frozenset((each.entry.seq, n) for each in moments for n in each.entry.event.shown_fields()),
            pictures={each.entry.seq: each.event.clean for each in moments if isinstance(each.event, Photograph)},
            earlier=(),
            stamped=False,
            light=light_within(ledger, reader, book, moments, {}, MADE),
            ageing=ageing_within(ledger, reader, moments, states(head.book, number, moments), MADE),
            made=MADE,
        )
    sheet = disclosed_sheet(telling)
    return json.dumps({"sha256": sheet.digest, **sheet.to_plain()}, ensure_ascii=False, indent=1) + "\n"


def kept(number: int) -> Path:
    """Where the sheet of a book lies."""
    return FOLDER / f"book-{number}.json"


def main() -> None:
    """Write them."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, open_told(Settings(folder=folder)) as ledger:
        for number in BOOKS:
            kept(number).write_text(sheet_of_demo(ledger, number), "utf-8")


if __name__ == "__main__":
    main()
