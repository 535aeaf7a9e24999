"""A walk over the stored entries names each kind of damage, each with a code and a plain sentence of its own."""

from dataclasses import replace

import pytest

from ledger.proof.chain import Envelope, Walk
from ledger.proof.merkle import leaf_hash
from ledger.proof.report import Evidence
from tests.proof.making import (
    BOOK_A,
    BOOK_B,
    BOOK_C,
    COLLECTION,
    OTHER_COLLECTION,
    a_ledger,
    changed,
    numbered,
    told,
    walked,
    with_bytes,
)

MADE = a_ledger()
ROWS = numbered(MADE.entries)


def test_a_whole_ledger_is_good_and_both_roots_are_those_kept() -> None:
    walk = Walk(COLLECTION)
    for seq, data in ROWS:
        assert walk.step(seq, data) == leaf_hash(data)
        at_that_size = a_ledger(seq)
        assert (walk.size, walk.root) == (seq, at_that_size.tree.root)
        assert (walk.heads_count, walk.heads_root) == (len(at_that_size.heads), at_that_size.heads_tree.root)
        assert walk.heads == at_that_size.heads
    report = walk.finish()
    assert report.ok
    assert report.checked == {"entries": 10, "books": 3}


def test_a_walk_over_nothing_is_not_good() -> None:
    report = Walk(COLLECTION).finish()
    assert report.findings == []
    assert not report.ok


def test_a_changed_bit_shows_where_the_next_entry_of_the_book_does_not_follow() -> None:
    damaged = with_bytes(MADE, 4, MADE.entries[3].replace(b'"kind":"arrival"', b'"kind":"arrivam"'))
    sentence = (
        f"Entry 7 of book {BOOK_A} does not follow the entry before it as that one stands here: "
        "one of the two was changed."
    )
    assert told(walked(damaged)) == [("book-link-broken", 7, sentence)]


def test_a_rewritten_entry_is_named_when_its_kept_leaf_is_at_hand() -> None:
    walk = Walk(COLLECTION)
    for seq, data in with_bytes(MADE, 9, changed(MADE, 9, on="2026-03-07")):
        walk.step(seq, data, kept=leaf_hash(MADE.entries[seq - 1]))
    assert told(walk.finish()) == [("entry-changed", 9, "Entry 9 was changed after it was written.")]
    assert walk.root != MADE.tree.root


def test_an_entry_removed_from_the_middle_is_missing() -> None:
    report = walked([row for row in ROWS if row[0] != 5])
    assert told(report) == [("entry-missing", 5, "Entry 5 is missing.")]
    assert report.findings[0].evidence is Evidence.MISSING


def test_several_entries_removed_are_told_in_one_sentence_and_in_their_books() -> None:
    report = walked([row for row in ROWS if row[0] not in {4, 5, 8}])
    assert told(report) == [
        ("book-entry-missing", 7, f"Entry 7 is number 3 of book {BOOK_A}, where number 2 belongs."),
        ("entry-missing", 4, "Entries 4 to 5 are missing."),
        ("entry-missing", 8, "Entry 8 is missing."),
    ]
    assert {finding.evidence for finding in report.findings} == {Evidence.MISSING}


def test_an_entry_removed_and_the_places_closed_up_is_missing_all_the_same() -> None:
    report = walked(numbered([*MADE.entries[:4], *MADE.entries[5:]]))
    assert told(report) == [
        ("order-broken", 5, "Entry 6 stands in place 5."),
        ("entry-missing", 5, "Entry 5 is missing."),
    ]


def test_an_entry_slipped_in_has_a_number_that_is_taken() -> None:
    head = MADE.said[3]
    extra = replace(head, seq=5, book_seq=3, book_prev=head.leaf.hex(), kind="note")
    report = walked(numbered([*MADE.entries[:4], extra.to_bytes(), *MADE.entries[4:]]))
    assert told(report) == [
        ("number-used-twice", 6, "A second entry has the number 5, in place 6."),
        ("book-order-broken", 7, f"Entry 7 is number 3 of book {BOOK_A}, where number 4 belongs."),
    ]


def test_two_entries_swapped_are_both_out_of_place() -> None:
    swapped = [*MADE.entries[:4], MADE.entries[5], MADE.entries[4], *MADE.entries[6:]]
    assert told(walked(numbered(swapped))) == [
        ("order-broken", 5, "Entry 6 stands in place 5."),
        ("order-broken", 6, "Entry 5 stands in place 6."),
    ]


def test_rows_handed_over_out_of_order_are_told() -> None:
    out_of_order = ROWS
    out_of_order[4], out_of_order[5] = out_of_order[5], out_of_order[4]
    assert told(walked(out_of_order)) == [("order-broken", 5, "Entry 5 stands behind entry 6.")]


def test_an_entry_that_stands_twice_is_told_with_its_place() -> None:
    doubled = numbered([*MADE.entries[:8], MADE.entries[2], *MADE.entries[8:]])
    assert told(walked(doubled))[0] == ("entry-twice", 9, "Entry 3 stands a second time, in place 9.")
    assert "number-used-twice" not in [code for code, _, _ in told(walked(doubled))]


def test_two_entries_with_one_number_are_told() -> None:
    report = walked(with_bytes(MADE, 5, changed(MADE, 5, seq=4)))
    assert told(report) == [
        ("number-used-twice", 5, "A second entry has the number 4, in place 5."),
        ("entry-missing", 5, "Entry 5 is missing."),
    ]


def test_an_entry_of_another_collection_is_told() -> None:
    other = a_ledger(collection=OTHER_COLLECTION)
    report = walked(with_bytes(MADE, 5, other.entries[4]))
    assert told(report) == [
        ("other-collection", 5, f"Place 5 holds entry 5 of another collection, {OTHER_COLLECTION}.")
    ]
    assert Walk(COLLECTION).step(1, other.entries[0]) is None


def test_chains_of_two_collections_with_the_same_entries_have_no_leaf_in_common() -> None:
    other = a_ledger(collection=OTHER_COLLECTION)
    assert not set(map(leaf_hash, MADE.entries)) & set(map(leaf_hash, other.entries))


def test_an_entry_that_says_another_book_is_told_by_the_chain_it_continues() -> None:
    report = walked(with_bytes(MADE, 7, changed(MADE, 7, book=BOOK_B, book_no=2, book_seq=2)))
    assert told(report)[0] == (
        "other-book",
        7,
        f"Entry 7 says it is of book {BOOK_B}, but it continues book {BOOK_A}.",
    )


def test_a_changed_link_is_told_at_the_entry_and_at_the_one_after_it() -> None:
    report = walked(with_bytes(MADE, 7, changed(MADE, 7, book_prev="0" * 64)))
    assert [(code, seq) for code, seq, _ in told(report)] == [("book-link-broken", 7), ("book-link-broken", 9)]


def test_a_changed_book_number_is_told() -> None:
    report = walked(with_bytes(MADE, 9, changed(MADE, 9, book_no=7)))
    sentence = f"Entry 9 gives book {BOOK_A} the number 7; it has had 1."
    assert told(report) == [("book-number-changed", 9, sentence)]


def test_a_book_number_used_twice_is_told() -> None:
    report = walked(with_bytes(MADE, 9, changed(MADE, 9, book_no=3)))
    sentence = f"Entry 9 gives book {BOOK_A} the number 3 of book {BOOK_C}."
    assert told(report) == [("book-number-used-twice", 9, sentence)]


def test_a_book_number_left_out_is_told() -> None:
    report = walked(with_bytes(MADE, 6, changed(MADE, 6, book_no=4)))
    assert told(report)[0] == (
        "book-number-skipped",
        6,
        "Entry 6 gives a new book the number 4, where number 3 belongs.",
    )


def test_a_changed_number_within_the_book_is_told() -> None:
    report = walked(with_bytes(MADE, 9, changed(MADE, 9, book_seq=3)))
    sentence = f"Entry 9 is number 3 of book {BOOK_A}, where number 4 belongs."
    assert told(report) == [("book-order-broken", 9, sentence)]


@pytest.mark.parametrize(("claimed", "what"), [(b"slipsheet/2", "unknown"), (b"slipsheet/0", "lowered")])
def test_another_format_is_told(claimed: bytes, what: str) -> None:
    report = walked(with_bytes(MADE, 5, MADE.entries[4].replace(b"slipsheet/1", claimed)))
    sentence = f"Entry 5 cannot be read at fmt: this program reads slipsheet/1 and not '{claimed.decode()}'."
    assert told(report) == [("unknown-format", 5, sentence)]


@pytest.mark.parametrize(
    ("before", "after", "problem"),
    [
        (b'{"lux":50}', b'{"lux":50,"lux":50}', ' at body: the name "lux" stands twice'),
        (
            b'"lux"',
            '"lu\u0308x"'.encode(),
            ' at body["lu\\u0308x"]: the text "lu\\u0308x" has a twin that looks the same',
        ),
        (b'"lux":50', b'"lux": 50', ": the bytes are not the one form of what they say"),
        (b'"lux":50', b'"l\\u0075x":50', ": the bytes are not the one form of what they say"),
        (b'"lux":50', b'"lux":50.0', " at body.lux: a number with a fraction or an exponent is not exact"),
    ],
    ids=["duplicate name", "unicode twin", "re-spaced", "escaped", "fraction"],
)
def test_another_spelling_is_told(before: bytes, after: bytes, problem: str) -> None:
    data = MADE.entries[4].replace(before, after)
    assert data != MADE.entries[4]
    assert told(walked(with_bytes(MADE, 5, data))) == [("not-canonical", 5, f"Entry 5 cannot be read{problem}.")]


@pytest.mark.parametrize("data", [b"", b"\xff", b"[]", b"null", b"{}", MADE.entries[4][:-1]])
def test_bytes_that_are_no_entry_are_told_and_nothing_breaks(data: bytes) -> None:
    report = walked(with_bytes(MADE, 5, data))
    assert [finding.seq for finding in report.findings] == [5]
    assert told(report)[0][0] in {"not-canonical", "not-an-entry", "unknown-format"}
    assert report.checked["entries"] == 10


def test_all_findings_are_gathered_and_not_the_first_alone() -> None:
    damaged = dict(ROWS)
    damaged[2] = changed(MADE, 2, body={"means": "gift"})
    damaged[5] = b"not an entry"
    damaged[9] = changed(MADE, 9, book_no=2)
    del damaged[8]
    report = walked(sorted(damaged.items()))
    assert [(code, seq) for code, seq, _ in told(report)] == [
        ("book-link-broken", 4),
        ("not-canonical", 5),
        ("book-number-used-twice", 9),
        ("entry-missing", 8),
    ]


def test_finishing_twice_says_the_same() -> None:
    walk = Walk(COLLECTION)
    for seq, data in ROWS[1:]:
        walk.step(seq, data)
    assert told(walk.finish()) == told(walk.finish()) != []


@pytest.mark.parametrize("seq", range(1, 11))
def test_every_flipped_bit_is_seen_in_the_root_and_at_the_entry_when_its_leaf_is_kept(seq: int) -> None:
    data = MADE.entries[seq - 1]
    kept = leaf_hash(data)
    for place in range(len(data)):
        bad = bytearray(data)
        bad[place] ^= 1 << (place + seq) % 8
        walk = Walk(COLLECTION)
        walk.step(seq, bytes(bad), kept)
        assert walk.finish().findings[0].code == "entry-changed"
        assert walk.root != kept


def test_an_entry_number_far_away_costs_no_memory() -> None:
    far = replace(MADE.said[0], seq=2**53 - 1)
    report = walked([(1, MADE.entries[0]), (2, far.to_bytes())])
    assert told(report) == [
        ("order-broken", 2, f"Entry {2**53 - 1} stands in place 2."),
        ("entry-missing", 2, f"Entries 2 to {2**53 - 2} are missing."),
    ]
    assert Envelope.from_bytes(far.to_bytes()) == far
