"""The verifier by hand, as a stranger runs it: alone, in any folder, with two libraries and nothing else."""

import json
import os
import subprocess
import sys
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.proof.__main__ import FOUND, GOOD, UNUSABLE, main
from ledger.proof.proof_file import ProofFile
from ledger.proof.sealing import digest, disclosure
from tests.proof.making import BOOK_A, OWNER, Made, a_cosignature, a_ledger
from tests.proof.test_keys import vkey_of
from tests.proof.vectors import VECTORS, load

ROOT = Path(__file__).parents[2]
RECORD = VECTORS / "record" / "good.json"
HELD = VECTORS / "record" / "held.txt"
KEY = OWNER.verifier.vkey
FILE = a_ledger().proof_file(BOOK_A, ("price", "seller"), first=6)
SMALL_ORDER = vkey_of(OWNER.verifier.name, 1, b"\1" + bytes(31))

ALONE = """
import importlib.abc, runpy, sys

class Only(importlib.abc.MetaPathFinder):
    allowed = {"ledger", "rfc8785", "cryptography", "cffi", "_cffi_backend"} | set(sys.stdlib_module_names)
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] not in self.allowed:
            raise ModuleNotFoundError(f"{name} is not needed here", name=name)

sys.meta_path.insert(0, Only())
sys.argv[0] = "verifier"
runpy.run_module("ledger.proof", run_name="__main__", alter_sys=True)
"""


def run(folder: Path, *arguments: str | Path, alone: bool = False) -> subprocess.CompletedProcess[str]:
    start = ["-c", ALONE] if alone else ["-m", "ledger.proof"]
    return subprocess.run(
        [sys.executable, "-W", "error", *start, *map(str, arguments)],
        cwd=folder,
        env={"PYTHONPATH": str(ROOT), "PATH": os.environ["PATH"], "PYTHONUTF8": "1"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def written(folder: Path, file: ProofFile) -> str:
    path = folder / "record.json"
    path.write_bytes(file.to_bytes())
    return str(path)


@pytest.mark.long
@pytest.mark.parametrize("alone", [False, True])
def test_a_good_record_is_told_line_by_line_and_exits_0(tmp_path: Path, alone: bool) -> None:  # noqa: FBT001
    done = run(tmp_path, RECORD, "--key", KEY, "--held", HELD, alone=alone)
    assert (done.returncode, done.stderr) == (0, "")
    leaf = {entry["why"]: entry["leaf"][:8] for entry in load("chain/entries.json")["entries"]}
    lines = [" ".join(line.split()) for line in done.stdout.splitlines()]
    assert lines[0] == "GOOD."
    assert f"2 purchase 1987 2026-03-02T10:00:00.000002Z {leaf['entry 2: purchase of book 1']}" in lines
    assert '2 price: {"currency": "EUR", "exponent": 2, "minor": 1250}' in lines
    assert "The first 6 entries of the ledger are those of the checkpoint you hold." in lines
    assert lines[-3:] == ["Withheld by the owner (sealed; some may be empty):", "4 remark", "9 remark"]


@pytest.mark.long
def test_a_damaged_record_is_told_with_every_finding_and_exits_1(tmp_path: Path) -> None:
    said = json.loads(RECORD.read_text("utf-8"))
    del said["entries"][1]
    said["checkpoint"] = said["checkpoint"].replace("heads 3", "heads 4")
    (tmp_path / "damaged.json").write_text(json.dumps(said), "utf-8")
    done = run(tmp_path, "damaged.json", "--key", KEY)
    assert done.returncode == 1
    lines = done.stdout.splitlines()
    assert lines[0] == "NOT GOOD: 2 things were found."
    assert lines[1].startswith("  checkpoint-forged: The signature of ")
    assert lines[2] == f"  book-entry-missing: Entry 7 is number 3 of book {BOOK_A}, where number 2 belongs."
    assert lines[-1] == "Do not rely on this record."


@pytest.mark.long
@pytest.mark.parametrize("arguments", [[], ["--key", KEY], [RECORD, "--key"], [RECORD, "--key", KEY, "more"]])
def test_a_wrong_call_exits_2(tmp_path: Path, arguments: list[str | Path]) -> None:
    done = run(tmp_path, *arguments)
    assert done.returncode == 2
    assert done.stderr.startswith("usage: python -m ledger.proof")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["no-such-file", "--key", KEY], "No such file"),
        ([str(RECORD), "--key", "no-such-key"], "No such file"),
        ([str(RECORD), "--key", str(RECORD)], "The key: its file is too long for one. A key is one line."),
        ([str(RECORD), "--key", "aardvark abacus"], "The eight words: there are 2 of them."),
        ([str(RECORD), "--key", KEY, "--held", "no-such-file"], "No such file"),
        ([str(RECORD), "--key", KEY[:-1]], "The verifier key: its key is not 33 bytes in base64."),
        ([str(RECORD), "--key", SMALL_ORDER], "The verifier key: it is of small order"),
        ([str(RECORD), "--key", "\x1b[2J+"], "The verifier key: it is not name+id+key."),
    ],
)
def test_what_cannot_be_used_is_told_and_is_2(
    arguments: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == UNUSABLE
    captured = capsys.readouterr()
    assert told in captured.err
    assert captured.out == ""


def test_a_file_that_is_no_record_is_a_finding(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "photo").write_bytes(bytes(range(256)))
    assert main([str(tmp_path / "photo"), "--key", KEY]) == FOUND
    assert "file-unreadable: The record at byte 128: this is not UTF-8." in capsys.readouterr().out


HOSTILE = {
    "no end of digits": b'{"collection":' + b"9" * 5000 + b"}",
    "deep": b"[" * 100_000,
    "no end of values": b'{"collection":[' + b"[]," * 600_000 + b"[]]}",
    "a page of one letter": b"<!doctype html>" + b"A" * 1_000_000,
    "a zip of nothing": b"PK\x05\x06" + bytes(18),
    "a checkpoint": b"x.slipsheet.invalid\n" + b"1" * 5000 + b"\nAAAA\nheads 1 AAAA\n",
    "a PDF of nothing": b"%PDF-1.7\n" + b"1 0 obj\n<</Length 0>>\nstream\n\nendstream\n" * 1000,
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_what_is_made_to_crash_a_reader_is_a_finding_and_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    (tmp_path / "given").write_bytes(HOSTILE[kind])
    assert main([str(tmp_path / "given"), "--key", KEY]) == FOUND
    assert "file-unreadable: The " in capsys.readouterr().out


@pytest.mark.parametrize("beside", ["--held", "--chain"])
def test_what_lies_beside_a_record_has_a_limit_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], beside: str
) -> None:
    (tmp_path / "long").write_bytes(bytes(8 * 1024 * 1024 + 1))
    assert main([str(RECORD), "--key", KEY, beside, str(tmp_path / "long")]) == UNUSABLE
    assert "it has more than 8388608 bytes. Ask for the file again." in capsys.readouterr().err


def a_bomb(folder: Path, bytes_of_it: int) -> Path:
    """A zip of one file of zeroes, as the standard library writes it; it unpacks to a thousand times its size."""
    with (
        zipfile.ZipFile(folder / "bomb.zip", "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("record/data/record.json", "w") as file,
    ):
        for _ in range(bytes_of_it // 2**20):
            file.write(bytes(2**20))
    return folder / "bomb.zip"


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="no process can be given less memory there")
def test_what_unpacks_to_more_than_the_memory_holds_is_told_and_is_2(tmp_path: Path) -> None:
    """A process of so little memory that a file within the limit does not fit into it."""
    bomb = a_bomb(tmp_path, 640 * 2**20)
    little = f"ulimit -v {600 * 1024}; exec {sys.executable} -m ledger.proof {bomb}"
    done = subprocess.run(
        ["/bin/sh", "-c", little],
        env={"PYTHONPATH": str(ROOT), "PATH": os.environ["PATH"], "PYTHONUTF8": "1"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stdout) == (UNUSABLE, "")
    assert done.stderr == (
        "The file: it takes more memory than there is here. "
        "Check it on a machine with more, or check the file record.json that is in it.\n"
    )


def test_an_older_proof_file_without_a_key_is_consistent_and_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(RECORD)]) == FOUND
    told = capsys.readouterr().out
    assert told.startswith("CONSISTENT, SIGNER NOT KNOWN.\n")
    assert "Proven" not in told
    assert told.endswith("No key came from elsewhere, so it was not looked at who signed this.\n")


def test_without_an_older_checkpoint_or_a_witness_the_owners_word_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(RECORD), "--key", KEY]) == GOOD
    told = capsys.readouterr().out
    assert "you hold no older one" in told
    assert "When the checkpoint was signed: no second person's signature was checked." in told


def test_a_witness_is_told_with_the_time_and_an_unknown_one_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    note, witness = a_cosignature(FILE.checkpoint, "example.org/witness", 1767225600)
    path = written(tmp_path, replace(FILE, checkpoint=note))
    assert main([path, "--key", KEY, "--key", witness.vkey]) == GOOD
    told = capsys.readouterr().out
    assert f"example.org/witness ({witness.key_id.hex()}) saw the ledger so on 2026-01-01T00:00:00+00:00." in told
    assert "no second person" not in told
    assert main([path, "--key", KEY]) == GOOD
    assert "example.org/witness is named on it; get that key to check it" in capsys.readouterr().out


def test_a_time_that_no_calendar_has_is_told_in_seconds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    note, witness = a_cosignature(FILE.checkpoint, "example.org/witness", 2**63)
    path = written(tmp_path, replace(FILE, checkpoint=note))
    assert main([path, "--key", KEY, "--key", witness.vkey]) == GOOD
    assert f"second {2**63} after 1970-01-01" in capsys.readouterr().out


def test_a_record_cannot_move_the_cursor_or_hide_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = Made()
    made.write("note", BOOK_A, sealed={"text": "\x1b[2J\u202eGOOD.\u2028GOOD."})
    assert main([written(tmp_path, made.proof_file(BOOK_A, ("text",))), "--key", KEY]) == GOOD
    told = capsys.readouterr().out
    assert told.isascii()
    assert all(letter.isprintable() or letter == "\n" for letter in told)
    assert told.count("\nGOOD.") == 0


def test_a_terminal_that_lacks_letters_gets_them_escaped(tmp_path: Path) -> None:
    made = Made()
    made.write("note", BOOK_A, sealed={"text": "Drückt"})
    path = written(tmp_path, made.proof_file(BOOK_A, ("text",)))
    environment = {"PYTHONPATH": str(ROOT), "PATH": os.environ["PATH"], "PYTHONIOENCODING": "ascii"}
    command = [sys.executable, "-m", "ledger.proof", path, "--key", KEY]
    done = subprocess.run(command, env=environment, cwd=tmp_path, capture_output=True, check=True)
    assert b'text: "Dr\\xfcckt"' in done.stdout


def test_a_finding_is_1_and_the_record_is_not_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = disclosure(bytes(16), "price", 1)
    assert digest(other) not in RECORD.read_text("utf-8")
    entries = (replace(FILE.entries[0], opened=(other,)), *FILE.entries[1:])
    assert main([written(tmp_path, replace(FILE, entries=entries)), "--key", KEY]) == FOUND
    told = capsys.readouterr().out
    assert told.startswith("NOT GOOD: 1 thing was found.\n  sealed-value-differs: ")
    assert "purchase" not in told
