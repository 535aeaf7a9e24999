"""`slipsheet check`: a record that was handed over, checked without a ledger; the verdict as lines and as JSON."""

import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.proof.forms import bag_of
from ledger.proof.page import page_of
from tests.proof.making import OWNER
from tests.proof.recording import a_record
from web import cli

Run = Callable[..., tuple[int, str, str]]
ONE = a_record()
TWO = a_record(earlier=ONE)
KEY = OWNER.verifier.vkey


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """The command in this process and in an empty folder: its exit code and what it said."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "nowhere"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "nowhere"))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)

    def ran(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["slipsheet", "check", *arguments])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        told = capsys.readouterr()
        assert isinstance(ended.value.code, int)
        return ended.value.code, told.out, told.err

    return ran


@pytest.mark.parametrize("form", [page_of, bag_of], ids=["page", "bag"])
def test_a_record_is_checked_without_a_ledger_on_this_computer(
    run: Run, tmp_path: Path, form: Callable[..., bytes]
) -> None:
    (tmp_path / "given").write_bytes(form(TWO.data, TWO.beside))
    code, out, err = run("given", "--key", KEY)
    assert (code, err) == (0, "")
    assert out.startswith("GOOD.\n\nThe record: A Paper Lantern 14\n")
    code, out, err = run("given")
    assert (code, err) == (1, "")
    assert out.startswith("CONSISTENT, SIGNER NOT KNOWN.\n")
    assert not (tmp_path / "nowhere").exists()


def test_what_does_not_fit_into_the_memory_is_told_and_ends_with_two(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_much(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr("ledger.proof.reading.check_given", too_much)
    (tmp_path / "given").write_bytes(ONE.data)
    code, out, err = run("given", "--key", KEY)
    assert (code, out) == (2, "")
    assert err.startswith(
        "slipsheet: The file: it takes more memory than there is here. Check it on a machine with more"
    )


@pytest.mark.parametrize(
    "data", [b'{"a":' + b"9" * 5000 + b"}", b"[" * 100_000, b"%PDF-1.7\n", b"PK\x05\x06" + bytes(18)]
)
def test_what_is_made_to_crash_a_reader_ends_with_one(run: Run, tmp_path: Path, data: bytes) -> None:
    (tmp_path / "given").write_bytes(data)
    code, out, err = run("given", "--key", KEY)
    assert (code, err) == (1, "")
    assert "file-unreadable" in out


def test_a_damaged_record_ends_with_one_and_names_what_was_found(run: Run, tmp_path: Path) -> None:
    changed = ONE.with_file(sheet=replace(ONE.file.sheet, lead="Nothing was ever done."))
    (tmp_path / "record.json").write_bytes(changed.data)
    code, out, _ = run("record.json", "--key", KEY)
    assert code == 1
    assert out.startswith("NOT GOOD: 1 thing was found.\n  sheet-differs: The words of this record are not those")


def test_a_script_reads_the_verdict_as_one_line_of_json(run: Run, tmp_path: Path) -> None:
    broken = ONE.with_file(sheet=replace(ONE.file.sheet, lead="Nothing was ever done."))
    (tmp_path / "record.zip").write_bytes(bag_of(a_record(earlier=broken).data, a_record(earlier=broken).beside))
    code, out, err = run("record.zip", "--key", KEY, "--json")
    assert (code, err, out.count("\n")) == (1, "", 1)
    said = json.loads(out)
    assert (said["whole"], said["ok"], said["signer_known"], said["findings"]) == (False, True, True, [])
    assert [[each["code"] for each in one["findings"]] for one in said["earlier"]] == [["sheet-differs"]]
    assert said["checked"]["photographs"] == 2
    (tmp_path / "good.json").write_bytes(ONE.data)
    code, out, _ = run("good.json", "--key", KEY, "--json")
    assert (code, json.loads(out)["whole"]) == (0, True)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((), "Missing argument"),
        (("nowhere.json",), "does not exist"),
        (("record.json", "--held", "nowhere.txt"), "does not exist"),
        (("record.json", "--loudly"), "No such option"),
        (("record.json", "--key", "nowhere.txt"), "No such file"),
        (("record.json", "--key", KEY[:-1]), "The verifier key: its key is not 33 bytes in base64."),
        (("record.json", "--key", "one two"), "The eight words: there are 2 of them."),
    ],
)
def test_a_wrong_call_ends_with_two_and_says_why(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], told: str
) -> None:
    (tmp_path / "record.json").write_bytes(ONE.data)
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert told in " ".join(err.split())


def test_help_fits_one_screen(run: Run) -> None:
    code, out, err = run("--help")
    assert (code, err) == (0, "")
    # Common practice, no source: a terminal opens with 24 lines of 80.
    assert len(out.splitlines()) <= 24
    assert max(map(len, out.splitlines())) <= 80
