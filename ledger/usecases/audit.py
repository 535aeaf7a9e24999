"""Holds what lies beside the entries against them: tree nodes, heads, sealed values, read models, photographs."""

from collections import defaultdict
from collections.abc import Sequence

from ledger.errors import LedgerError
from ledger.events.photograph import Photograph
from ledger.history import fold, history
from ledger.ports import ENTRIES, HEADS, Ledger, Reader, SealedValue, StoredEntry
from ledger.proof import merkle
from ledger.proof.chain import Envelope, Walk, head_leaf
from ledger.proof.report import Evidence, Report
from ledger.proof.sealing import digest, disclosure
from ledger.rows import listing
from ledger.usecases.stored import BATCH, LAST, all_entries, batches, erased, readable

TOLD = 20
"""Nodes of a tree, or rows left over, that are named one by one; a single entry taken out moves all behind it."""


def audit_trees(reader: Reader, walk: Walk, report: Report) -> None:
    """Every kept node of both trees against the leaves, and every book's head against its last entry."""
    leaves = [merkle.leaf_hash(each.data) for each in all_entries(reader)]
    _audit_tree(reader, ENTRIES, leaves, report)
    heads = sorted(walk.heads.values(), key=lambda head: head.book_no)
    kept = {head.book: head for head in reader.book_heads()}
    for head in heads:
        own = kept.pop(head.book, None)
        if own is None or (own.no, own.seq, own.leaf) != (head.book_no, head.book_seq, head.leaf):
            report.add(
                "head-leaf-differs",
                f"The head kept for book {head.book} is not its last entry: an older one was put back, or it was changed.",
                book=head.book,
            )
    for book in kept:
        report.add("head-leaf-differs", f"A head is kept for book {book}, which has no entries.", book=book)
    leaves = [merkle.leaf_hash(head_leaf(each.book, each.book_no, each.book_seq, each.leaf)) for each in heads]
    _audit_tree(reader, HEADS, leaves, report)


def _audit_tree(reader: Reader, tree: str, leaves: list[bytes], report: Report) -> None:
    known: dict[tuple[int, int], bytes] = {}
    for size, leaf in enumerate(leaves):
        made = merkle.appended(size, leaf, lambda which: [known[each] for each in which])
        known.update({(level, index): found for level, index, found in made})
    places = list(known)
    wrong = 0
    for first in range(0, len(places), BATCH):
        some = places[first : first + BATCH]
        for (level, index), found in zip(some, reader.nodes(tree, some), strict=True):
            if found == known[level, index]:
                continue
            wrong += 1
            if wrong <= TOLD:
                state = "changed" if found else "missing"
                sentence = f"Node {index} on level {level} of the tree of {tree} is {state}; rebuild mends it."
                report.add("node-changed", sentence)
    if wrong > TOLD:
        more = f"{wrong - TOLD} more nodes of the tree of {tree} are changed or missing; rebuild mends them."
        report.add("node-changed", more)
    report.count("nodes", len(places))
    if reader.node_count(tree) > len(places):
        report.add("node-changed", f"The tree of {tree} has nodes that no entry accounts for; rebuild mends it.")


def audit_sealed(reader: Reader, report: Report) -> None:
    """Every sealed value against its digest; one that is gone must have been erased."""
    gone = erased(reader)
    behind = -LAST
    for first, rows in batches(reader):
        _tell_orphans(_held(reader, behind, first - behind), report)
        held = _held(reader, first, BATCH)
        behind = first + BATCH
        for row in rows:
            _audit_entry(row, held.pop(row.seq, {}), gone, report)
        _tell_orphans(held, report)
    _tell_orphans(_held(reader, behind, LAST - behind), report)


def _held(reader: Reader, first: int, count: int) -> dict[int, dict[str, SealedValue]]:
    held: dict[int, dict[str, SealedValue]] = defaultdict(dict)
    for value in reader.sealed_between(first, count):
        held[value.seq][value.name] = value
    return held


def _audit_entry(row: StoredEntry, held: dict[str, SealedValue], gone: set[tuple[int, str]], report: Report) -> None:
    try:
        envelope = Envelope.from_bytes(row.data)
    except LedgerError:
        return
    for name, expected in envelope.sealed.items():
        report.count("sealed values")
        _audit_value(report, row.seq, name, expected, held.pop(name, None), (row.seq, name) in gone)
    for name in held:
        sentence = f"A value {name} lies beside entry {row.seq}, which has no such field."
        report.add("sealed-changed", sentence, seq=row.seq)


def _tell_orphans(held: dict[int, dict[str, SealedValue]], report: Report) -> None:
    for seq in held:
        sentence = f"Sealed values are kept for entry {seq}, which is not here: it was taken out."
        report.add("sealed-without-entry", sentence, evidence=Evidence.MISSING, seq=seq)


def _audit_value(report: Report, seq: int, name: str, expected: str, value: SealedValue | None, named: bool) -> None:  # noqa: FBT001, PLR0913
    gone = value is None or value.salt is None
    if gone and not named:
        sentence = f"The sealed value {name} of entry {seq} is missing, and no erasure names it."
        report.add("sealed-missing", sentence, evidence=Evidence.MISSING, seq=seq)
    elif not gone and named:
        report.add("sealed-kept", f"The sealed value {name} of entry {seq} was erased, and is still here.", seq=seq)
    elif value is not None and value.salt is not None:
        try:
            matches = digest(disclosure(value.salt, name, value.value)) == expected
        except LedgerError:
            matches = False
        if not matches:
            report.add("sealed-changed", f"The sealed value {name} of entry {seq} or its salt was changed.", seq=seq)


def audit_models(ledger: Ledger, reader: Reader, report: Report) -> None:
    """Everything the lists keep of every book against a fold of its entries: row, sort keys and search text."""
    kept = {each.row.book: each for each in reader.listings()}
    unread: set[str | None] = set()
    for head in reader.book_heads():
        own = kept.pop(head.book, None)
        try:
            moments = history(reader.of_book(head.book), ledger.codec)
            expected = listing(fold(head.book, head.no, moments), moments)
        except LedgerError:
            unread.add(head.book)
            continue
        report.count("read models")
        if own is None:
            sentence = f"Book {head.book} is missing from the lists; rebuild mends it."
            report.add("read-model-missing", sentence, book=head.book)
        elif own != expected:
            sentence = f"The lists show book {head.book} other than its entries; rebuild mends it."
            report.add("read-model-differs", sentence, book=head.book)
    for book in kept:
        sentence = f"The lists show book {book}, which has no entries; rebuild mends it."
        report.add("read-model-differs", sentence, book=book)
    _tell_strays(reader.strays(), report)
    try:
        reader.of_collection()
    except LedgerError:
        unread.add(None)
    if unread:
        _tell_unreadable(reader, unread, report)


def _tell_strays(strays: Sequence[str], report: Report) -> None:
    for each in strays[:TOLD]:
        report.add(
            "read-model-stray", f"The lists hold {each}, which belongs to no book in them; rebuild takes it out."
        )
    if len(strays) > TOLD:
        more = f"The lists hold {len(strays) - TOLD} more rows that belong to no book in them; rebuild takes them out."
        report.add("read-model-stray", more)


def _tell_unreadable(reader: Reader, chains: set[str | None], report: Report) -> None:
    """Entries of these chains that are whole and are not what their kind says; what else is wrong was told before."""
    told = {each.seq for each in report.findings}
    for row in all_entries(reader):
        if row.book not in chains or row.seq in told:
            continue
        try:
            reader.entry(row.seq)
        except LedgerError as error:
            sentence = f"Entry {row.seq} is whole and yet cannot be understood: {error}"
            report.add("event-unreadable", sentence, seq=row.seq, book=row.book)


def audit_pictures(ledger: Ledger, reader: Reader, report: Report) -> None:
    """Every photograph the entries name, original and clean copy, read and hashed again."""
    for entry in readable(reader, "photograph"):
        if not isinstance(entry.event, Photograph):
            continue  # of a newer program, or another kind than the column beside it says, which the walk tells
        for which, expected in (("original", entry.event.original), ("clean copy", entry.event.clean)):
            report.count("photographs")
            found = ledger.pictures.digest(expected)
            if found is None:
                sentence = f"The {which} of the photograph in entry {entry.seq} is missing."
                report.add("picture-missing", sentence, evidence=Evidence.MISSING, seq=entry.seq, book=entry.book)
            elif found != expected:
                report.add(
                    "picture-changed", f"The {which} of the photograph in entry {entry.seq} was changed.", seq=entry.seq
                )
