"""Verifying a million entries: the walk beside the same loop written bare, the full pass, and proofs in so long a ledger."""

import hashlib
import json
from collections.abc import Iterator
from time import perf_counter
from typing import Final

import rfc8785

from ledger.bootstrap import OWNER, open_to_read
from ledger.ports import ENTRIES, HEADS, Ledger, Reader
from ledger.proof import merkle
from ledger.proof.chain import Walk
from ledger.usecases.prove import inclusion
from ledger.usecases.stored import all_entries, nodes_of
from ledger.usecases.verify import verify_ledger
from tests.bench.many_entries import SIZE, many_entries, settings_of
from tests.bench.measuring import Ratio, compared

LEAST_A_SECOND: Final = 20_000
PROOFS: Final = 400


def ratios() -> Iterator[Ratio]:
    """The walk, the full pass, one entry's proof and one book's."""
    with open_to_read(settings_of(many_entries(SIZE))) as ledger:
        with ledger.log.read() as reader:
            start = perf_counter()
            walked(reader)
            middle = perf_counter()
            bare(reader)
            end = perf_counter()
        what = f"verify {SIZE:,}: bytes, links, trees"
        reference = "the same loop written bare"
        yield Ratio(what=what, ours=middle - start, reference=reference, theirs=end - middle, unit="s", goal=1.3)
        seconds = full_pass(ledger)
        what = f"verify {SIZE:,}: the full pass"
        allowed = SIZE / LEAST_A_SECOND
        reference = f"{LEAST_A_SECOND:,} entries a second"
        yield Ratio(what=what, ours=seconds, reference=reference, theirs=allowed, unit="s", goal=1.0)
        yield from _proofs(ledger)


def walked(reader: Reader) -> None:
    """As the program does it."""
    walk = Walk(reader.collection)
    for row in all_entries(reader):
        walk.step(row.seq, row.data, bytes.fromhex(row.leaf))
    assert walk.finish().findings == []
    assert walk.size == SIZE


def bare(reader: Reader) -> None:
    """The least that says the same of a ledger that is whole: one spelling, numbers, links, both roots."""
    edge: list[bytes] = []
    last: dict[str, tuple[int, str]] = {}
    size = 0
    for row in all_entries(reader):
        said = json.loads(row.data)
        assert rfc8785.dumps(said) == row.data
        leaf = hashlib.sha256(b"\0" + row.data).digest()
        assert (leaf.hex(), said["seq"], said["collection"]) == (row.leaf, size + 1, reader.collection)
        if said["book"] is not None:
            number, before = last.get(said["book"], (0, None))
            assert (said["book_seq"], said["book_prev"]) == (number + 1, before)
            last[said["book"]] = (said["book_seq"], row.leaf)
        own, count = leaf, size
        while count & 1:
            own = hashlib.sha256(b"\1" + edge.pop() + own).digest()
            count >>= 1
        edge.append(own)
        size += 1
    assert size == SIZE


def full_pass(ledger: Ledger) -> float:
    """Seconds that everything takes, with its progress told."""
    told: list[int] = []
    start = perf_counter()
    report = verify_ledger(ledger, OWNER, progress=lambda done, _all: told.append(done))
    seconds = perf_counter() - start
    assert report.findings == [], report.findings[:3]
    assert told[-1] == SIZE
    return seconds


def _proofs(ledger: Ledger) -> Iterator[Ratio]:
    """Units: ms, the middle one of many, beside the time that each may take."""
    step = SIZE // PROOFS
    places = iter(range(1, SIZE, step))
    ours, _ = compared(lambda: inclusion(ledger, OWNER, next(places)), lambda: None, times=PROOFS - 2)
    yield Ratio(what=f"inclusion proof at {SIZE:,}", ours=ours, reference="a millisecond", theirs=1, unit="ms", goal=1)
    with ledger.log.read() as reader:
        books = reader.head().books
        numbers = iter(range(0, books, max(1, books // PROOFS)))
        read = nodes_of(reader, HEADS)
        ours, _ = compared(
            lambda: merkle.inclusion_proof(next(numbers), books, read), lambda: None, times=min(PROOFS, books) - 3
        )
        yield Ratio(
            what=f"head proof at {books:,} books", ours=ours, reference="a millisecond", theirs=1, unit="ms", goal=1
        )
        asked = rows_asked(reader)
    reference = "twice the levels of the tree"
    yield Ratio(
        what="nodes read for a proof", ours=asked, reference=reference, theirs=2 * SIZE.bit_length(), unit="", goal=1
    )


def rows_asked(reader: Reader) -> float:
    """The most nodes that a proof of one entry reads."""
    most, read = 0, nodes_of(reader, ENTRIES)
    for place in range(0, SIZE, SIZE // 50):
        seen: list[int] = []

        def counted(which: object, seen: list[int] = seen) -> object:
            seen.append(len(which))  # type: ignore[arg-type]
            return read(which)  # type: ignore[arg-type]

        merkle.inclusion_proof(place, SIZE, counted)  # type: ignore[arg-type]
        most = max(most, sum(seen))
    return float(most)
