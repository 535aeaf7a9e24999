"""A walk held against signed checkpoints names what no chain can show by itself: an end cut off, a chain made anew."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.proof.chain import Walk
from ledger.proof.report import Evidence
from tests.proof.making import (
    COLLECTION,
    OTHER_COLLECTION,
    Made,
    a_ledger,
    changed,
    numbered,
    told,
    walked,
    with_bytes,
)

MADE = a_ledger()
ROWS = numbered(MADE.entries)


def test_a_rewritten_last_entry_is_seen_in_the_signed_root() -> None:
    walk = Walk(COLLECTION)
    walk.expect(MADE.checkpoint)
    for seq, data in with_bytes(MADE, 10, changed(MADE, 10, on="2026-03-07")):
        walk.step(seq, data)
    sentence = (
        "The checkpoint over 10 entries has another root: something in entries 1 to 10 was changed after it was signed."
    )
    assert told(walk.finish()) == [("root-differs", None, sentence)]


def remade(seq: int, **fields: Any) -> Made:
    """A ledger made anew from a changed entry to its end, every link right."""
    made = Made()
    for entry in MADE.said:
        said = replace(entry, **fields) if entry.seq == seq else entry
        following = made.next_entry(said.kind, said.book, on=said.on, act=said.act, body=said.body)
        made.store(replace(following, sealed=said.sealed))
    return made


def test_a_chain_made_anew_is_good_by_itself_and_named_by_every_checkpoint_after_the_change() -> None:
    walk = Walk(COLLECTION)
    for size, evidence in ((2, Evidence.BROKEN), (6, Evidence.ANCHOR), (10, Evidence.BROKEN)):
        walk.expect(a_ledger(size).checkpoint, evidence)
    forged = remade(4, body={"as": "described"})
    assert walked(numbered(forged.entries)).ok
    for seq, data in numbered(forged.entries):
        walk.step(seq, data)
    report = walk.finish()
    sentence = (
        "The checkpoint over 6 entries has another root: something in entries 1 to 6 was changed after it was signed."
    )
    assert told(report) == [("root-differs", None, sentence)]
    assert report.findings[0].evidence is Evidence.ANCHOR
    assert report.notes == ["1 later checkpoints differ from the entries as well."]
    assert report.checked["checkpoints"] == 3


def test_a_lost_end_is_named_when_an_anchor_is_at_hand_and_by_nothing_else() -> None:
    cut = ROWS[:8]
    assert walked(cut).ok
    walk = Walk(COLLECTION)
    walk.expect(a_ledger(9).checkpoint)
    walk.expect(MADE.checkpoint, Evidence.ANCHOR)
    for seq, data in cut:
        walk.step(seq, data)
    report = walk.finish()
    sentence = "A checkpoint was signed over 10 entries and 8 are here: the last 2 are missing."
    assert told(report) == [("entries-cut", 9, sentence)]
    assert report.findings[0].evidence is Evidence.ANCHOR


def test_other_heads_than_the_signed_ones_are_told() -> None:
    walk = Walk(COLLECTION)
    walk.expect(replace(MADE.checkpoint, heads_root=a_ledger(9).heads_tree.root))
    for seq, data in ROWS:
        walk.step(seq, data)
    sentence = "The checkpoint over 10 entries has other last entries of its books than these."
    assert told(walk.finish()) == [("heads-differ", None, sentence)]


def test_a_checkpoint_of_another_collection_is_told() -> None:
    walk = Walk(COLLECTION)
    walk.expect(a_ledger(collection=OTHER_COLLECTION).checkpoint)
    for seq, data in ROWS:
        walk.step(seq, data)
    sentence = f"A checkpoint over 10 entries is of another collection: {OTHER_COLLECTION}.slipsheet.invalid."
    assert told(walk.finish()) == [("checkpoint-other-collection", None, sentence)]


def test_a_checkpoint_handed_over_too_late_is_a_mistake_and_not_a_verdict() -> None:
    walk = Walk(COLLECTION)
    walk.step(1, MADE.entries[0])
    with pytest.raises(AssertionError):
        walk.expect(a_ledger(1).checkpoint)
