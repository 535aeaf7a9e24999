"""Proofs hold for a stranger: every entry at every size, every growth, and one book's whole account."""

import subprocess
import sys
from base64 import b64encode
from pathlib import Path
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.bootstrap import OWNER
from ledger.errors import ConflictError, DamagedError, ForbiddenError, InvalidError, NotFoundError
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.money import Money
from ledger.ports import Ledger
from ledger.proof import merkle
from ledger.proof.__main__ import main
from ledger.proof.canonical import encode
from ledger.proof.record import verify
from ledger.proof.signature import parse_vkey
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.drafts import Draft
from ledger.usecases.prove import Opened, book_proof, consistency, inclusion
from tests.builders import an_examination
from tests.usecases.tampering import SEED, Bench, a_note, vkey_of
from tests.usecases.telling import Teller

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def told(teller: Teller) -> Ledger:
    """Eleven entries on three books, not signed."""
    books = [teller.buy(seller=Sealed.of("a neighbour")) for _ in range(3)]
    for number in range(6):
        teller.add(books[number % 3], a_note(f"look {number}"))
    teller.add(None, a_note("on the collection"))
    return teller.ledger


def leaves(ledger: Ledger) -> list[bytes]:
    with ledger.log.read() as reader:
        return [merkle.leaf_hash(each.data) for each in reader.stored(1, 100)]


def test_every_entry_is_proven_at_every_size(told: Ledger) -> None:
    hashes = leaves(told)
    assert len(hashes) == 11
    for size in range(1, 12):
        root = merkle.root_of(hashes[:size])
        for seq in range(1, size + 1):
            made = inclusion(told, OWNER, seq, size)
            assert (made.seq, made.size, made.leaf, made.root) == (seq, size, hashes[seq - 1].hex(), root)
            merkle.verify_inclusion(seq - 1, size, hashes[seq - 1], made.proof, root)
    assert inclusion(told, OWNER, 3).size == 11


def test_every_growth_is_proven(told: Ledger) -> None:
    hashes = leaves(told)
    for second in range(1, 12):
        for first in range(1, second + 1):
            made = consistency(told, OWNER, first, second)
            roots = merkle.root_of(hashes[:first]), merkle.root_of(hashes[:second])
            assert (made.first, made.second, made.first_root, made.second_root) == (first, second, *roots)
            merkle.verify_consistency(first, second, made.proof, *roots)
    assert consistency(told, OWNER, 3).second == 11


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        (lambda ledger: inclusion(ledger, OWNER, 5, 4), "size"),
        (lambda ledger: inclusion(ledger, OWNER, 5, 12), "size"),
        (lambda ledger: consistency(ledger, OWNER, 0, 4), "first"),
        (lambda ledger: consistency(ledger, OWNER, 5, 4), "first"),
        (lambda ledger: consistency(ledger, OWNER, 1, 12), "second"),
        (lambda ledger: consistency(ledger, OWNER, 1, 0), "second"),
    ],
)
def test_what_no_proof_can_show_is_refused_with_the_field(told: Ledger, asked: Any, field: str) -> None:
    with pytest.raises(InvalidError) as caught:
        asked(told)
    assert [each.field for each in caught.value.problems] == [field]


@pytest.mark.parametrize("seq", [0, 12])
def test_an_entry_that_is_not_there_has_no_proof(told: Ledger, seq: int) -> None:
    with pytest.raises(NotFoundError) as caught:
        inclusion(told, OWNER, seq)
    assert (caught.value.what, caught.value.name) == ("entry", str(seq))


@pytest.mark.parametrize(
    "asked",
    [
        lambda ledger, actor: inclusion(ledger, actor, 1),
        lambda ledger, actor: consistency(ledger, actor, 1),
        lambda ledger, actor: book_proof(ledger, actor, "b"),
    ],
)
def test_who_may_not_read_gets_no_proof(told: Ledger, asked: Any) -> None:
    with pytest.raises(ForbiddenError) as caught:
        asked(told, Actor(id="x", scopes=frozenset({Permission.SIGN})))
    assert caught.value.needs == "read"


def test_the_record_of_a_book_is_good_to_a_stranger_who_has_only_the_key(told: Ledger) -> None:
    sign_checkpoint(told, OWNER)
    keys = [parse_vkey(told.signer.verifier.vkey)]
    with told.log.read() as reader:
        heads = reader.book_heads()
    for head in heads:
        report = verify(encode(book_proof(told, OWNER, head.book, opened=Opened.ALL)), keys)
        assert report.findings == []
        assert (report.book, report.book_no, report.size, report.books) == (head.book, head.no, 11, 3)
        assert [each.book_seq for each in report.entries] == [1, 2, 3]
        assert report.entries[0].opened["seller"] == "a neighbour"


def test_a_record_holds_however_far_apart_the_entries_of_a_book_are(told: Ledger, teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of("a neighbour"))
    other = teller.buy(seller=Sealed.of("somebody else"))
    for between in (1, 7, 8, 9, 30):
        others = [Draft(event=a_note("another"), book=other) for _ in range(between)]
        teller.tell(*others, Draft(event=a_note(f"after {between}"), book=book))
    sign_checkpoint(told, OWNER)
    report = verify(encode(book_proof(told, OWNER, book, opened=Opened.ALL)), [parse_vkey(told.signer.verifier.vkey)])
    assert report.findings == []
    assert [each.seq for each in report.entries] == [12, 15, 23, 32, 42, 73]
    said = [value for each in report.entries for value in each.opened.values() if value]
    assert said == ["a neighbour", *(f"after {between}" for between in (1, 7, 8, 9, 30))]


@pytest.mark.parametrize(
    ("opened", "values"),
    [
        (Opened.NONE, {}),
        (Opened.SHOWN, {"examiner": "A friend", "reason": "It was another", "new.examiner": "An aunt"}),
    ],
)
def test_a_record_opens_no_more_than_is_asked_for_and_holds_all_the_same(
    told: Ledger, teller: Teller, opened: Opened, values: dict[str, str]
) -> None:
    book = teller.buy(seller=Sealed.of("a neighbour"), price=Sealed.of(Money(minor=500, currency="EUR", exponent=2)))
    look = an_examination(examiner=Sealed.of("A friend"), remark=Sealed.of("for the owner alone"))
    seen = teller.add(book, look).seq
    mended = {"examiner": "An aunt", "remark": "for the owner too"}
    teller.add(book, Correction(entry=seen, changes=mended, reason=Sealed.of("It was another")))
    sign_checkpoint(told, OWNER)
    proof = encode(book_proof(told, OWNER, book, opened=opened))
    report = verify(proof, [parse_vkey(told.signer.verifier.vkey)])
    assert report.findings == []
    assert {name: value for each in report.entries for name, value in each.opened.items() if value} == values
    report = verify(encode(book_proof(told, OWNER, book, opened=Opened.ALL)), [parse_vkey(told.signer.verifier.vkey)])
    said = {name: value for each in report.entries for name, value in each.opened.items() if value}
    assert said.keys() > values.keys() | {"seller", "price", "new.remark"}


@pytest.mark.parametrize("opened", list(Opened))
def test_the_strangers_command_takes_every_kind_of_file(
    told: Ledger, teller: Teller, tmp_path: Path, capsys: pytest.CaptureFixture[str], opened: Opened
) -> None:
    book = teller.buy(seller=Sealed.of("a neighbour"), stated_by=Sealed.of("an uncle"))
    sign_checkpoint(told, OWNER)
    file = tmp_path / "proof.json"
    file.write_bytes(encode(book_proof(told, OWNER, book, opened=opened)))
    assert main([str(file), "--key", told.signer.verifier.vkey]) == 0
    said = capsys.readouterr().out
    assert ("a neighbour" in said, "an uncle" in said) == (opened is Opened.ALL, opened is not Opened.NONE)


def test_a_record_opens_what_is_shown_when_nothing_is_asked_for(told: Ledger, teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of("a neighbour"))
    sign_checkpoint(told, OWNER)
    assert book_proof(told, OWNER, book) == book_proof(told, OWNER, book, opened=Opened.SHOWN)


def test_a_reader_with_an_older_checkpoint_sees_that_the_ledger_only_grew(told: Ledger, teller: Teller) -> None:
    held = sign_checkpoint(told, OWNER)
    book = teller.buy()
    sign_checkpoint(told, OWNER)
    keys = [parse_vkey(told.signer.verifier.vkey)]
    report = verify(encode(book_proof(told, OWNER, book, held=held.size)), keys, held.note)
    assert (report.findings, report.held) == ([], 11)
    alone = verify(encode(book_proof(told, OWNER, book)), keys, held.note)
    assert [each.code for each in alone.findings] == ["consistency-missing"]
    again = verify(encode(book_proof(told, OWNER, book, held=12)), keys, sign_checkpoint(told, OWNER).note)
    assert (again.findings, again.held) == ([], 12)


@pytest.mark.parametrize("held", [0, 12, -1])
def test_a_size_nobody_can_hold_a_checkpoint_of_is_refused(told: Ledger, held: int) -> None:
    sign_checkpoint(told, OWNER)
    with told.log.read() as reader:
        book = reader.book_heads()[0].book
    with pytest.raises(InvalidError) as caught:
        book_proof(told, OWNER, book, held=held)
    assert [each.field for each in caught.value.problems] == ["held"]


def test_without_a_checkpoint_over_the_newest_entry_there_is_no_record(told: Ledger, teller: Teller) -> None:
    with told.log.read() as reader:
        book = reader.book_heads()[0].book
    sentence = "No checkpoint covers the newest entries yet. Sign one, then ask again."
    with pytest.raises(ConflictError) as caught:
        book_proof(told, OWNER, book)
    assert caught.value.sentence == sentence
    sign_checkpoint(told, OWNER)
    assert book_proof(told, OWNER, book)
    teller.add(book, a_note("newer"))
    with pytest.raises(ConflictError) as caught:
        book_proof(told, OWNER, book)
    assert caught.value.sentence == sentence
    with pytest.raises(NotFoundError):
        book_proof(told, OWNER, "nobody")


def test_the_small_verifier_alone_finds_the_record_good_and_a_changed_one_not(bench: Bench, tmp_path: Path) -> None:
    with bench.opened() as ledger:
        file = book_proof(ledger, OWNER, bench.first, held=4)
        with ledger.log.read() as reader:
            held = reader.checkpoints()[0].note
    (tmp_path / "proof.json").write_bytes(encode(file))
    (tmp_path / "held.txt").write_text(held)
    good = small_verifier(tmp_path, "proof.json", "--held", "held.txt")
    assert (good.returncode, good.stderr) == (0, "")
    assert good.stdout.startswith("GOOD.")
    assert "had these 3 entries and no others" in good.stdout
    assert "The first 4 entries of the ledger are those of the checkpoint you hold." in good.stdout

    entries = file["entries"]
    assert isinstance(entries, list)
    (tmp_path / "short.json").write_bytes(encode({**file, "entries": entries[:-1]}))
    short = small_verifier(tmp_path, "short.json")
    assert short.returncode == 1
    assert "book-entry-missing" in short.stdout


def small_verifier(folder: Path, *arguments: str) -> "subprocess.CompletedProcess[str]":
    """`python -m ledger.proof` as somebody would start it who has nothing else."""
    command = [sys.executable, "-m", "ledger.proof", *arguments, "--key", vkey_of(SEED)]
    environment = {"PYTHONPATH": str(ROOT), "PATH": "", "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("tree", ["entries", "heads"])
def test_no_proof_is_made_from_a_tree_with_a_missing_node(bench: Bench, tree: str) -> None:
    bench.behind_its_back(lambda db: db.execute("DELETE FROM node WHERE tree = ?", (tree,)))
    with bench.opened() as ledger, pytest.raises(DamagedError) as caught:
        book_proof(ledger, OWNER, bench.first)
    assert caught.value.what == f"The tree of {tree}"
    assert caught.value.mend == "Run verify, then rebuild."


def test_a_checkpoint_that_speaks_of_other_entries_gives_no_record(bench: Bench) -> None:
    bench.behind_its_back(lambda db: db.execute("UPDATE node SET hash = zeroblob(32) WHERE tree = 'heads'"))
    with bench.opened() as ledger, pytest.raises(ConflictError) as caught:
        book_proof(ledger, OWNER, bench.first)
    assert caught.value.sentence == "The last checkpoint does not speak of these entries. Run verify."


def test_an_erased_value_is_withheld_and_the_bytes_are_those_that_were_stored(teller: Teller) -> None:
    book = teller.buy(seller=Sealed.of("a neighbour"), venue=Sealed.of("a fair"))
    teller.add(book, Erasure(entry=2, names=("seller",)))
    sign_checkpoint(teller.ledger, OWNER)
    file: Any = book_proof(teller.ledger, OWNER, book, opened=Opened.ALL)
    with teller.ledger.log.read() as reader:
        kept = [b64encode(each.data).decode() for each in reader.stored(2, 2)]
    assert [each["bytes"] for each in file["entries"]] == kept
    report = verify(encode(file), [parse_vkey(teller.ledger.signer.verifier.vkey)])
    assert report.findings == []
    assert report.entries[0].withheld == ("seller",)
    assert report.entries[0].opened["venue"] == "a fair"
