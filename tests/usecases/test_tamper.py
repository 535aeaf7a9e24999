"""Every kind of tampering is named in a plain sentence; those only an anchor can show are named as such."""

import sqlite3
from collections import Counter

import pytest

from ledger.proof.report import Evidence, Report
from tests.usecases.tamper_kinds import Tampering
from tests.usecases.tamper_table import KINDS
from tests.usecases.tampering import OTHER_SEED, Bench, another_signature, rewrite, said_by, vkey_of

NUMBERS = range(1, 32)


def told(report: Report, code: str) -> list[tuple[int | None, str, Evidence]]:
    return [(each.seq, each.sentence, each.evidence) for each in report.findings if each.code == code]


def test_nothing_is_found_where_nothing_was_done(bench: Bench) -> None:
    report = bench.verified(bench.anchor)
    assert report.findings == []
    assert report.ok
    assert report.checked["entries"] == 7
    assert report.checked["photographs"] == 2
    assert report.notes == []


def test_every_kind_of_tampering_is_tried_at_two_places() -> None:
    tried = Counter(each.number for each in KINDS)
    assert {number for number in NUMBERS if tried[number] < 2} == set()
    assert len({str(each) for each in KINDS}) == len(KINDS)


@pytest.mark.parametrize("tampering", [each for each in KINDS if not each.anchored], ids=str)
def test_tampering_is_named(bench: Bench, tampering: Tampering) -> None:
    tampering.change(bench)
    report = bench.verified()
    sentence = tampering.sentence.format(first=bench.first, second=bench.second)
    found = told(report, tampering.code)
    assert any(sentence in said and tampering.seq in (seq, None) for seq, said, _ in found), report.findings
    assert not report.ok


@pytest.mark.parametrize("tampering", [each for each in KINDS if each.anchored], ids=str)
def test_what_only_an_anchor_shows_is_named_as_such(bench: Bench, tampering: Tampering) -> None:
    tampering.change(bench)
    alone = bench.verified()
    assert alone.findings == []
    assert any("against a checkpoint kept elsewhere; none was given" in note for note in alone.notes)
    report = bench.verified(bench.anchor)
    found = told(report, tampering.code)
    assert any(tampering.sentence in said and tampering.seq in (seq, None) for seq, said, _ in found), report.findings
    assert {each.evidence for each in report.findings} == {Evidence.ANCHOR}
    assert not report.ok


def test_an_anchor_that_another_key_signed_is_refused_as_one(bench: Bench) -> None:
    forged = another_signature(bench.anchor.split("\n\n", 1)[0] + "\n")
    found = bench.verified(forged).findings
    assert [(each.code, each.evidence) for each in found] == [("checkpoint-forged", Evidence.ANCHOR)]


def test_an_anchor_that_is_no_checkpoint_is_refused_as_one(bench: Bench) -> None:
    found = bench.verified("a shopping list").findings
    assert [(each.code, each.evidence) for each in found] == [("checkpoint-forged", Evidence.ANCHOR)]


def test_an_empty_ledger_is_not_a_verified_one(bench: Bench) -> None:
    def empty(db: sqlite3.Connection) -> None:
        for table in ("sealed_value", "receipt", "checkpoint", "entry"):
            db.execute(f"DELETE FROM {table}")

    bench.behind_its_back(empty)
    report = bench.verified()
    assert not report.ok
    sentence = "There is no entry to verify. An empty ledger is not a verified one."
    assert told(report, "nothing-here") == [(None, sentence, Evidence.MISSING)]


def test_a_ledger_made_anew_with_another_key_names_a_key_that_is_not_the_one_at_hand(bench: Bench) -> None:
    def change(db: sqlite3.Connection) -> None:
        db.execute("DELETE FROM checkpoint")
        rewrite(db, 1, body={**said_by(db, 1)["body"], "vkey": vkey_of(OTHER_SEED)})

    bench.behind_its_back(change)
    bench.remade()
    assert [each.code for each in bench.verified().findings] == ["key-differs"]
