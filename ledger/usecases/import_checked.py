"""What trying rows of a table comes to: books, those that were brought in before, and those that are likely here already."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import TypeVar

from ledger.importing.begun import Begun, Found
from ledger.importing.identity import Doubles, short
from ledger.importing.trying import Tried, Trying
from ledger.ports import Ledger
from ledger.usecases.import_kept import remembered
from ledger.usecases.import_tried import tried_again

__all__ = ["found_alone", "found_of", "with_mended"]

T = TypeVar("T")


def found_of(
    ledger: Ledger,
    begun: Begun,
    tries: Iterable[Tried],
    issues: Callable[[], set[bytes]],
    told: Callable[[int], None],
) -> tuple[Found, frozenset[int]]:
    """What they came to, and the rows among them that were left out of this source before; `told` hears of every book."""
    known = remembered(ledger, begun.source)
    left: Counter[int] = Counter()
    with ledger.log.read() as reader:
        # What the file speaks of is read first, so that of a large collection only that is held against it.
        doubles = Doubles(issues() if reader.head().books else set())
        if doubles.issues:
            doubles.take(_telling(reader.listings(), told))
        trying = Trying(doubles=doubles, used=reader.used_keys)
        for each in tries:
            if each.key in known.left:
                left[each.row.number] += 1
            trying.take(each, is_real=each.key in known.real or each.row.number in begun.real)
        found = trying.found()
    gone = left.keys() & {each.row for each in found.doubles}
    return replace(found, good=found.good - sum(left[row] for row in gone)), frozenset(gone)


def found_alone(ledger: Ledger, begun: Begun, tries: Iterable[Tried]) -> Found:
    """The same without holding them against what is here, which takes as long as trying a whole file."""
    return found_of(ledger, begun, tries, set, lambda _: None)[0]


def with_mended(ledger: Ledger, begun: Begun, found: Found) -> tuple[Found, frozenset[int]]:
    """What was found, its mended rows held against what is here too; and those that were left out of this source before."""
    rows = set(begun.mends) - begun.left - {each.row for each in found.doubles}
    tries = tried_again(ledger, begun, rows)
    issues = {short(each.row.read.get("title"), each.row.read.get("number")) for each in tries if each.events}
    alone = found_alone(ledger, begun, tries)
    held, gone = found_of(ledger, begun, tries, lambda: issues, lambda _: None)
    more = replace(
        found,
        good=found.good + held.good - alone.good,
        doubles=(*found.doubles, *held.doubles),
        doubles_count=found.doubles_count + held.doubles_count,
    )
    return more, gone


def _telling(rows: Iterable[T], told: Callable[[int], None]) -> Iterator[T]:
    """The same, saying of each how many there were."""
    for number, row in enumerate(rows):
        told(number)
        yield row
