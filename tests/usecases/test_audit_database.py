"""The database itself is held against what it must be: tables, receipts, and rows of the lists left over."""

import pytest

from ledger.bootstrap import OWNER
from ledger.events.erasure import Erasure
from ledger.store import beside
from ledger.usecases import audit
from ledger.usecases.record import Draft, Request, record
from tests.usecases.tampering import SIZE, Bench, a_note
from tests.usecases.test_verify import codes, sentences


@pytest.mark.parametrize("name", ["entry", "head", "node", "book_head", "sealed_value", "receipt", "checkpoint"])
def test_without_a_table_that_the_rest_rests_on_nothing_else_is_said_to_be_read(bench: Bench, name: str) -> None:
    bench.behind_its_back(lambda db: db.executescript(f"PRAGMA foreign_keys = OFF; DROP TABLE {name}"), guards=False)
    report = bench.verified(bench.anchor)
    (told,) = sentences(report, "table-missing")
    assert told.startswith(f"The table {name} of the database is missing; ")
    assert set(codes(report)) <= {"table-missing", "guard-missing"}
    assert report.checked == {}
    assert report.notes == ["Nothing else was read again: that can be done only once every table is back."]


def test_a_receipt_is_to_forget_its_request_when_something_of_its_act_is_erased(bench: Bench) -> None:
    erasure = Erasure(entry=SIZE + 1, names=("words",))
    with bench.opened() as ledger:
        record(ledger, OWNER, [Draft(event=a_note("a name"), book=bench.first)], Request(key="once", body=b"a name"))
        with ledger.log.read() as reader:
            kept = reader.receipt("once")
        record(ledger, OWNER, [Draft(event=erasure, book=bench.first)])
    assert bench.verified().findings == []
    assert kept is not None
    put_back = "UPDATE receipt SET salt = ?, request = ? WHERE key = 'once'"
    bench.behind_its_back(lambda db: db.execute(put_back, (kept.salt, kept.request)))
    assert sentences(bench.verified(), "receipt-changed") == [
        "The receipt of one entry from 8 on still holds a hash of its request, from which what was erased could be guessed."
    ]


def test_of_very_many_rows_left_over_only_the_first_are_named_one_by_one(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(audit, "TOLD", 2)
    row = "INSERT INTO picture_row SELECT collection_id, ?, 'nobody' FROM collection"
    bench.behind_its_back(lambda db: db.executemany(row, [(f"{n:064}",) for n in range(5)]))
    assert sentences(bench.verified(), "read-model-stray")[1:] == [
        f"The lists hold photograph {1:064} of book nobody, which belongs to no book in them; rebuild takes it out.",
        "The lists hold 3 more rows that belong to no book in them; rebuild takes them out.",
    ]


def test_receipts_are_read_on_behind_those_that_are_read_at_once(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    with bench.opened() as ledger:
        for number in range(5):
            draft = Draft(event=a_note(str(number)), book=bench.first)
            record(ledger, OWNER, [draft, draft], Request(key=f"k{number}", body=b""))
    monkeypatch.setattr(beside, "_RECEIPTS", beside._RECEIPTS.limit(2))
    report = bench.verified()
    assert report.findings == []
    assert report.checked["receipts"] == 6
