"""Prints the told story, one line for each entry, and its root: `python -m seeds`."""

import sys
import tempfile
from collections.abc import Iterator

from ledger.ports import Ledger, Reader
from ledger.settings import Settings
from ledger.usecases.checkpoint import current
from seeds.demo import open_told


def main() -> None:
    """The story, told into a folder that is thrown away."""
    with tempfile.TemporaryDirectory(prefix="slipsheet-story-") as folder, open_told(Settings(folder=folder)) as ledger:
        for line in lines(ledger):
            sys.stdout.write(line + "\n")


def lines(ledger: Ledger) -> Iterator[str]:
    """Number, when it happened, when it was recorded, which book and what it says; last size and root."""
    with ledger.log.read() as reader:
        names = _names(reader)
        for row in reader.stored(1, reader.head().size):
            entry = reader.entry(row.seq)
            when = entry.event.on.text if entry.event.on else "not known"
            book = names.get(entry.book or "", "")
            yield f"{entry.seq:4}  {when:21}  {entry.recorded:%Y-%m-%d %H:%M}  {book:26}  {entry.event.summary()}"
        now = current(reader)
        yield f"{now.size} entries, {now.heads_count} books, root {now.root.hex()}"


def _names(reader: Reader) -> dict[str, str]:
    """Each book's issue, by the book's id."""
    found = {}
    for head in reader.book_heads():
        row = reader.book(head.book)
        found[head.book] = f"{row.title} {row.number}"
    return found


if __name__ == "__main__":
    main()
