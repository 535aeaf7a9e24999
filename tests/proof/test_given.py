"""A record in whatever form it was given, asked about with a key, a file, eight words, or nothing."""

import os
import zipfile
from dataclasses import replace
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest

from ledger.proof.__main__ import FOUND, GOOD, UNUSABLE, main
from ledger.proof.checkpoint import origin_of
from ledger.proof.eight import eight_words, first_bytes
from ledger.proof.forms import bag_of
from ledger.proof.given import Asked, check_given, key_digest
from ledger.proof.page import page_of
from ledger.proof.signature import SigningKey
from tests.proof.handing_over import SECOND, a_house, after, chain_of, record_of
from tests.proof.making import OTHER_COLLECTION, OTHER_SEED, OWNER, OWNER_SEED, a_ledger
from tests.proof.printed import a_pdf
from tests.proof.recording import Given, a_record
from tests.proof.test_main import FILE, run, written

ONE = a_record()
TWO = a_record(earlier=ONE)
KEY = OWNER.verifier.vkey
WORDS = eight_words(key_digest(KEY))
STRANGER = SigningKey.from_seed(OWNER.verifier.name, OTHER_SEED).verifier.vkey
FORMS = ("record.json", "record.html", "record.zip", "folder", "record.pdf")
CONSISTENT = "CONSISTENT, SIGNER NOT KNOWN."


def laid(folder: Path, form: str, record: Given = TWO) -> str:
    """The record in that form, on the disk."""
    path = folder / form
    if form == "folder":
        with zipfile.ZipFile(BytesIO(bag_of(record.data, record.beside))) as archive:
            archive.extractall(folder)
            return str(folder / archive.namelist()[0].partition("/")[0])
    made = {
        "record.json": lambda: record.data,
        "record.html": lambda: page_of(record.data, record.beside),
        "record.zip": lambda: bag_of(record.data, record.beside),
        "record.pdf": lambda: a_pdf(record.data),
    }
    path.write_bytes(made[form]())
    return str(path)


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, list[str]]:
    code = main(arguments)
    captured = capsys.readouterr()
    assert captured.err == ""
    return code, captured.out.splitlines()


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_good_with_the_owners_key_and_only_consistent_without(
    form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = laid(tmp_path, form)
    code, lines = said(capsys, path, "--key", KEY)
    assert (code, lines[0]) == (GOOD, "GOOD.")
    digest = sha256(TWO.data).hexdigest()
    assert f"  SHA-256 {digest}" in lines
    assert f"  In words, its first 88 bits: {eight_words(digest)}" in lines
    code, lines = said(capsys, path)
    assert (code, lines[0]) == (FOUND, CONSISTENT)
    assert f"It names as its owner's key: {KEY}" in lines
    assert f"  In words: {WORDS}" in lines
    code, lines = said(capsys, path, "--key", STRANGER)
    assert (code, lines[0]) == (FOUND, "NOT GOOD: 1 thing was found.")
    assert lines[1].startswith("  checkpoint-other-key: None of the keys at hand signed this; it is signed by ")


@pytest.mark.long
@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_checked_alone_with_two_libraries_and_nothing_else(form: str, tmp_path: Path) -> None:
    done = run(tmp_path, laid(tmp_path, form), "--key", WORDS, alone=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("GOOD.\n")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("spelled", [WORDS, WORDS.upper(), WORDS.replace(" ", ", "), f" {WORDS}\n"])
def test_eight_words_pick_the_key_that_the_record_names_and_their_strength_is_told(
    form: str, spelled: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, lines = said(capsys, laid(tmp_path, form), "--key", spelled)
    assert (code, lines[0]) == (GOOD, "GOOD.")
    assert "The key was picked by its eight words, which are 88 bits of its digest." in lines


def test_eight_words_of_another_key_are_a_finding_and_not_a_wrong_call(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = eight_words(key_digest(STRANGER))
    code, lines = said(capsys, laid(tmp_path, "record.json"), "--key", words)
    assert (code, lines[0]) == (FOUND, "NOT GOOD: 1 thing was found.")
    assert lines[1].startswith("  key-other-words: No key that the record names has the eight words you gave (88 bits)")
    one, other = WORDS.split()[:2]
    swapped = WORDS.replace(f"{one} {other}", f"{other} {one}")
    assert said(capsys, laid(tmp_path, "record.json"), "--key", swapped)[0] == FOUND


def test_a_key_that_the_record_names_and_that_did_not_sign_it_is_not_enough_by_its_words() -> None:
    """A forger may name the owner's key in a record of their own; its words then pick it, and its signature is not there."""
    forged = replace(
        ONE.file.proof,
        checkpoint=SigningKey.from_seed(OWNER.verifier.name, OTHER_SEED).sign(ONE.made.checkpoint.to_text()),
    )
    given = ONE.with_file(proof=forged, keys=(STRANGER, KEY))
    found = check_given(given.data, Asked(words=(first_bytes(WORDS),)))
    assert [each.code for each in found.report.findings] == ["checkpoint-other-key"]
    assert not found.whole


@pytest.mark.parametrize("inside", [KEY, f"{KEY}\n", WORDS, f"\n{WORDS}\n"])
def test_a_key_may_be_given_as_a_file_with_the_line_or_the_words(
    inside: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "key.txt").write_text(inside, "utf-8")
    assert said(capsys, laid(tmp_path, "record.json"), "--key", str(tmp_path / "key.txt"))[0] == GOOD


def test_a_key_file_that_came_with_the_bag_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = laid(tmp_path, "folder")
    inside = Path(folder) / "data" / "key.txt"
    inside.write_text(KEY, "utf-8")
    (tmp_path / "link").symlink_to(inside)
    for path in (inside, tmp_path / "link"):
        assert main([folder, "--key", str(path)]) == UNUSABLE
        assert "its file lies in the bag that it is to check" in capsys.readouterr().err


def test_an_older_proof_file_still_works_and_has_no_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path, FILE)
    assert said(capsys, path, "--key", KEY)[0] == GOOD
    code, lines = said(capsys, path, "--key", WORDS)
    assert (code, lines[1].partition(":")[0]) == (FOUND, "  key-other-words")


@pytest.mark.parametrize("form", FORMS)
def test_a_record_is_held_against_an_older_checkpoint(
    form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    grown = replace(TWO.made.proof_file(TWO.file.proof.head.book, ("seller",), first=6))
    record = TWO.with_file(proof=grown)
    (tmp_path / "held.txt").write_text(a_ledger(6).note, "utf-8")
    path = laid(tmp_path, form, record)
    code, lines = said(capsys, path, "--key", KEY, "--held", str(tmp_path / "held.txt"))
    assert code == GOOD
    assert "  The first 6 entries of the ledger are those of the checkpoint you hold." in lines


def test_a_broken_record_of_an_earlier_owner_is_told_as_theirs_and_ends_with_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = ONE.with_file(sheet=replace(ONE.file.sheet, lead="Nothing was ever done."))
    code, lines = said(capsys, laid(tmp_path, "record.zip", a_record(earlier=broken)), "--key", KEY)
    assert (code, lines[0]) == (
        FOUND,
        "NOT GOOD: the book's own record is good, and one of an earlier owner is not good.",
    )
    assert f"Record of an earlier owner, {sha256(broken.data).hexdigest()[:8]}: A Paper Lantern 14" in lines
    assert any(line.startswith("    sheet-differs: The words of this record are not those") for line in lines)


@pytest.mark.parametrize("form", ["record.html", "record.zip"])
def test_a_broken_record_of_an_earlier_owner_is_never_told_as_consistent_without_a_key(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], form: str
) -> None:
    broken = ONE.with_file(sheet=replace(ONE.file.sheet, lead="Nothing was ever done."))
    code, lines = said(capsys, laid(tmp_path, form, a_record(earlier=broken)))
    own = (
        "NOT GOOD: the book's own record holds together, its signer not known, and one of an earlier owner is not good."
    )
    assert (code, lines[0]) == (FOUND, own)
    assert not any("CONSISTENT" in line for line in lines)
    assert any(line.startswith("    sheet-differs: ") for line in lines)


def test_an_earlier_owner_whose_key_was_not_given_is_told_as_not_known_and_does_not_spoil_the_record(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = a_record(collection=OTHER_COLLECTION)
    theirs = SigningKey.from_seed(origin_of(OTHER_COLLECTION), OWNER_SEED)
    proof = replace(other.file.proof, checkpoint=theirs.sign(other.made.checkpoint.to_text()))
    record = a_record(earlier=other.with_file(proof=proof, keys=(theirs.verifier.vkey,)))
    path = laid(tmp_path, "record.zip", record)
    code, lines = said(capsys, path, "--key", KEY)
    assert (code, lines[0]) == (GOOD, "GOOD.")
    assert "  CONSISTENT, SIGNER NOT KNOWN. Its owner's key shows who signed it (--key)." in lines
    code, lines = said(capsys, path, "--key", KEY, "--key", theirs.verifier.vkey)
    assert code == GOOD
    assert "  GOOD: signed with a key that you gave." in lines
    wrong = SigningKey.from_seed(theirs.verifier.name, OTHER_SEED).verifier.vkey
    code, lines = said(capsys, path, "--key", KEY, "--key", wrong)
    assert code == FOUND
    assert any(line.startswith("    checkpoint-other-key: ") for line in lines)


def test_a_record_under_an_earlier_key_is_good_with_a_file_of_keys_beside_the_new_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "record.json").write_bytes(record_of(a_house()))
    (tmp_path / "keys.json").write_bytes(chain_of(after()))
    (tmp_path / "nonsense").write_bytes(b"{}")
    new = [str(tmp_path / "record.json"), "--key", SECOND.verifier.vkey]
    code, lines = said(capsys, *new, "--chain", str(tmp_path / "keys.json"))
    assert code == GOOD
    assert lines[-1].startswith("It is signed with an earlier key of this collection")
    assert said(capsys, *new)[1][1].startswith("  checkpoint-other-key: ")
    code, lines = said(capsys, *new, "--chain", str(tmp_path / "nonsense"))
    assert code == FOUND
    assert lines[1].startswith("  keys-unusable: The file of keys cannot be used.")


def test_an_entry_that_speaks_of_an_earlier_record_which_does_not_come_is_noted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = laid(tmp_path, "record.zip", TWO.with_file(earlier=()))
    code, lines = said(capsys, path, "--key", KEY)
    assert code == GOOD
    name = sha256(ONE.data).hexdigest()[:8]
    assert lines[-1] == f"An entry speaks of an earlier record, {name}, which does not come with this one."


def test_a_printed_sheet_says_that_what_is_printed_was_not_looked_at(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, lines = said(capsys, laid(tmp_path, "record.pdf", ONE), "--key", KEY)
    assert code == GOOD
    assert lines[-1].startswith("The record attached to the printed sheet was checked; what is printed was not.")


def test_a_link_or_a_pipe_in_an_unpacked_bag_is_refused_and_not_followed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = Path(laid(tmp_path, "folder"))
    (folder / "data" / "more.txt").symlink_to(folder / "bagit.txt")
    assert main([str(folder), "--key", KEY]) == UNUSABLE
    assert "'data/more.txt': it is a link or a device, and no file" in capsys.readouterr().err
    (folder / "data" / "more.txt").unlink()
    os.mkfifo(folder / "pipe")
    assert main([str(folder), "--key", KEY]) == UNUSABLE
    assert "'pipe': it is a link or a device" in capsys.readouterr().err


def test_an_empty_folder_and_an_empty_file_are_findings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "nothing").touch()
    assert said(capsys, str(tmp_path / "empty"))[1][1].startswith(
        "  file-unreadable: The bag: there is no data/record.json"
    )
    assert said(capsys, str(tmp_path / "nothing"))[1][1].startswith("  file-unreadable: The record at line 1 column 1")
