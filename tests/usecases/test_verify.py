"""Verifying goes on behind what it cannot read, sees what lies beside the bytes, and knows which keys to believe."""

import sqlite3

import pytest

from ledger.actor import Actor, Permission
from ledger.bootstrap import OWNER, open_to_read
from ledger.errors import ForbiddenError
from ledger.proof.report import Evidence, Report
from ledger.usecases import audit_beside, stored
from ledger.usecases.verify import verify_ledger
from tests.usecases.tampering import Bench, put_bytes, rewrite, said_by


def codes(report: Report) -> list[str]:
    return [each.code for each in report.findings]


def sentences(report: Report, code: str) -> list[str]:
    return [each.sentence for each in report.findings if each.code == code]


def test_entries_that_cannot_be_read_do_not_stop_the_rest(bench: Bench) -> None:
    def change(db: sqlite3.Connection) -> None:
        put_bytes(db, 1, b"no entry")
        put_bytes(db, 5, b"[]")
        db.execute("UPDATE sealed_value SET salt = zeroblob(16) WHERE seq = 6 AND name = 'words'")
        db.execute("UPDATE book_row SET state = 'Sold' WHERE no = 1")

    bench.behind_its_back(change)
    report = bench.verified()
    assert [each.seq for each in report.findings if each.code in ("not-canonical", "not-an-entry")] == [1, 5]
    assert [each.seq for each in report.findings if each.code == "sealed-changed"] == [6]
    assert sentences(report, "read-model-differs") == [
        f"The lists show book {bench.first} other than its entries; rebuild mends it."
    ]


@pytest.mark.parametrize(
    ("column", "value", "name"),
    [
        ("book_id", "'nobody'", "book"),
        ("book_no", "3", "book number"),
        ("book_seq", "9", "number within the book"),
        ("act", "'another'", "act"),
        ("kind", "'sale'", "kind"),
        ("kind", "'photograph'", "kind"),
        ("kind", "'erasure'", "kind"),
        ("actor", "'somebody'", "actor"),
        ("recorded", "'2001-01-01T00:00:00.000000Z'", "time of recording"),
        ("recorded", "'yesterday'", "time of recording"),
    ],
)
@pytest.mark.parametrize("seq", [4, 6])
def test_a_column_beside_the_bytes_that_says_something_else_is_named(
    bench: Bench, seq: int, column: str, value: str, name: str
) -> None:
    bench.behind_its_back(lambda db: db.execute(f"UPDATE entry SET {column} = {value} WHERE seq = ?", (seq,)))
    found = [each for each in bench.verified().findings if each.code == "index-differs"]
    assert [(each.seq, each.sentence) for each in found] == [
        (seq, f"Beside entry {seq} stands another {name} than in its bytes.")
    ]


@pytest.mark.parametrize(
    ("word", "found"), [("lantern", ["sealed-changed", "read-model-differs"]), ("look", ["sealed-changed"])]
)
def test_where_a_sealed_value_was_changed_the_words_of_the_other_entries_are_still_held_against_them(
    bench: Bench, word: str, found: list[str]
) -> None:
    def change(db: sqlite3.Connection) -> None:
        db.execute("UPDATE sealed_value SET value = '\"else\"' WHERE seq = 6 AND name = 'words'")
        assert db.execute("DELETE FROM word_row WHERE book = ? AND word = ?", (bench.second, word)).rowcount == 1

    bench.behind_its_back(change)
    assert codes(bench.verified()) == found


@pytest.mark.parametrize("leaf", ["x''", "x'00'", "zeroblob(32)", "zeroblob(33)"])
def test_a_kept_leaf_that_is_not_the_hash_of_the_bytes_is_named_whatever_its_length(bench: Bench, leaf: str) -> None:
    bench.behind_its_back(lambda db: db.execute(f"UPDATE entry SET leaf = {leaf} WHERE seq = 6"))
    assert sentences(bench.verified(), "entry-changed") == ["Entry 6 was changed after it was written."]


def test_a_size_beside_a_checkpoint_that_is_not_the_one_in_its_text_is_named(bench: Bench) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE checkpoint SET size = 6 WHERE size = 7"))
    assert sentences(bench.verified(), "index-differs") == [
        "Beside the checkpoint over 7 entries stands another size than in its text, 6."
    ]


def test_checkpoints_in_another_order_than_they_were_signed_in_are_named(bench: Bench) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE checkpoint SET no = 9 WHERE size = 4"))
    assert sentences(bench.verified(), "checkpoint-shrinks") == [
        "A checkpoint over 4 entries was signed after one over 7."
    ]


@pytest.mark.parametrize(
    ("change", "sentence", "evidence"),
    [
        ("size = 9", "The head says 9 entries and 7 are here.", Evidence.MISSING),
        ("size = 6", "The head says 6 entries and 7 are here.", Evidence.BROKEN),
        ("books = 3", "The head says 3 books and 2 are here.", Evidence.MISSING),
        ("books = 1", "The head says 1 book and 2 are here.", Evidence.BROKEN),
    ],
)
def test_a_head_that_counts_otherwise_is_named(bench: Bench, change: str, sentence: str, evidence: Evidence) -> None:
    bench.behind_its_back(lambda db: db.execute(f"UPDATE head SET {change}"))
    found = bench.verified().findings
    assert [(each.code, each.sentence, each.evidence) for each in found] == [("head-differs", sentence, evidence)]


def test_without_its_head_a_ledger_is_verified_all_the_same(bench: Bench) -> None:
    def change(db: sqlite3.Connection) -> None:
        db.execute("DELETE FROM head")
        db.execute("UPDATE sealed_value SET salt = zeroblob(16) WHERE seq = 6 AND name = 'words'")

    bench.behind_its_back(change)
    report = bench.verified()
    assert codes(report) == ["head-differs", "sealed-changed"]
    assert sentences(report, "head-differs") == ["The head, which says how many entries there are, is missing."]
    assert report.checked["entries"] == 7


def test_a_gap_longer_than_what_is_read_at_once_does_not_hide_what_follows(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stored, "BATCH", 2)
    monkeypatch.setattr(audit_beside, "BATCH", 2)
    assert bench.verified(bench.anchor).findings == []

    def change(db: sqlite3.Connection) -> None:
        db.execute("DELETE FROM entry WHERE seq BETWEEN 2 AND 5")
        rewrite(db, 7, on="1999")

    bench.behind_its_back(change)
    report = bench.verified()
    assert report.checked["entries"] == 3
    assert sentences(report, "entry-missing") == ["Entries 2 to 5 are missing."]
    assert [each.seq for each in report.findings if each.code == "sealed-without-entry"] == [2, 3, 4, 5]


def test_of_many_nodes_only_the_first_are_named_one_by_one(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(audit_beside, "TOLD", 2)
    bench.behind_its_back(lambda db: db.execute("UPDATE node SET hash = zeroblob(32) WHERE tree = 'entries'"))
    # Seven leaves make 7 + 3 + 1 nodes.
    assert sentences(bench.verified(), "node-changed") == [
        "Node 0 on level 0 of the tree of entries is changed; rebuild mends it.",
        "Node 1 on level 0 of the tree of entries is changed; rebuild mends it.",
        "9 more nodes of the tree of entries are changed or missing; rebuild mends them.",
    ]


def test_progress_is_told_entry_by_entry(bench: Bench) -> None:
    told: list[tuple[int, int]] = []
    with open_to_read(bench.settings) as ledger:
        verify_ledger(ledger, OWNER, progress=lambda done, expected: told.append((done, expected)))
    assert told == [(done, 7) for done in range(1, 8)]


def test_it_reads_beside_a_writer_that_goes_on_writing(bench: Bench) -> None:
    with bench.opened() as ledger:
        assert bench.verified(bench.anchor).ok
        with open_to_read(bench.settings) as reading, reading.log.read() as reader:
            before = reader.head().size
            bench.noted_in(ledger, "while somebody verifies")
            assert reader.head().size == before
        report = bench.verified(bench.anchor)
        assert report.ok
        assert report.checked["entries"] == 8


def test_a_verification_changes_no_byte_of_the_database(bench: Bench) -> None:
    before = bench.database.read_bytes()
    assert bench.verified().ok
    assert bench.database.read_bytes() == before


def test_who_may_not_read_may_not_verify(bench: Bench) -> None:
    with open_to_read(bench.settings) as ledger, pytest.raises(ForbiddenError) as caught:
        verify_ledger(ledger, Actor(id="x", scopes=frozenset({Permission.RECORD})))
    assert caught.value.needs == "read"


def test_a_key_taken_from_the_ledger_itself_is_said_to_prove_no_more_than_that(bench: Bench) -> None:
    words = "that shows only that the ledger agrees with itself"
    with open_to_read(bench.settings) as ledger:
        assert ledger.key_claimed
        report = verify_ledger(ledger, OWNER, anchor=bench.anchor)
    assert report.ok
    assert [words in note for note in report.notes] == [True]
    assert not any(words in note for note in bench.verified(bench.anchor).notes)


@pytest.mark.parametrize("size", [2**40, 2**62, -(2**62)])
def test_a_head_that_says_any_size_does_not_keep_a_verification_from_its_end(bench: Bench, size: int) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE head SET size = ?", (size,)))
    report = bench.verified()
    assert sentences(report, "head-differs") == [f"The head says {size} entries and 7 are here."]
    assert report.checked["entries"] == 7


def test_an_entry_far_behind_a_gap_is_seen(bench: Bench) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE entry SET seq = 1000000000000 WHERE seq = 7"))
    report = bench.verified()
    assert report.checked["entries"] == 7
    assert "Entry 7 stands in place 1000000000000." in sentences(report, "order-broken")


@pytest.mark.parametrize("seq", [-4, 0, 3000])
def test_a_value_kept_under_any_number_without_an_entry_is_seen(bench: Bench, seq: int) -> None:
    row = "SELECT collection_id, ?, name, salt, value FROM sealed_value WHERE seq = 7 AND name = 'words'"
    bench.behind_its_back(lambda db: db.execute(f"INSERT INTO sealed_value {row}", (seq,)))
    assert sentences(bench.verified(), "sealed-without-entry") == [
        f"Sealed values are kept for entry {seq}, which is not here: it was taken out."
    ]


def test_a_whole_entry_that_is_not_what_its_kind_says_is_named(bench: Bench) -> None:
    def change(db: sqlite3.Connection) -> None:
        for seq in (1, 3):
            rewrite(db, seq, body={**said_by(db, seq)["body"], "surplus": 1})

    bench.behind_its_back(change)
    report = bench.verified()
    assert [each.seq for each in report.findings if each.code == "event-unreadable"] == [1, 3]
    (told,) = [each.sentence for each in report.findings if each.code == "event-unreadable" and each.seq == 3]
    assert told.startswith(
        "Entry 3 is whole and yet cannot be understood: Entry 3 at surplus: it is not what a purchase"
    )


@pytest.mark.parametrize(
    ("change", "more"),
    [
        ("DROP TABLE book_row", ["table-missing"]),
        ("DROP TABLE picture_row", ["table-missing"]),
        ("DROP TABLE read_model", ["table-missing"]),
        ("DROP TABLE book_search_docsize", ["table-missing"]),
        ("UPDATE read_model SET shape = ''", []),
    ],
)
def test_lists_of_another_shape_than_todays_are_missing_and_the_rest_is_verified(
    bench: Bench, change: str, more: list[str]
) -> None:
    bench.behind_its_back(lambda db: db.execute(change))
    report = bench.verified(bench.anchor)
    assert codes(report) == [*more, "read-model-missing", "read-model-missing"]
    assert report.checked["entries"] == 7
