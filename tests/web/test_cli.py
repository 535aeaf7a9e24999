"""The command: what it says of itself, how it ends, and what scripts can read of it."""

import json
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import platformdirs
import pytest

from ledger.bootstrap import open_ledger
from ledger.settings import Settings
from ledger.store.engine import DATABASE
from tests.usecases.tampering import OTHER_SEED, SEED, Bench, a_bench, cut, rewrite, vkey_of
from tests.usecases.telling import Teller
from web import cli

Run = Callable[..., tuple[int, str, str]]
COMMANDS = ("demo", "serve", "verify", "rebuild")


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """The command in this process: its exit code, what it printed, and what it said beside that."""
    for name in ("SLIPSHEET_FOLDER", "SLIPSHEET_KEYS"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home" / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home" / "config"))
    monkeypatch.setenv("COLUMNS", "80")

    def ran(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["slipsheet", *arguments])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        told = capsys.readouterr()
        code = ended.value.code
        assert isinstance(code, int)
        return code, told.out, told.err

    return ran


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return a_bench(tmp_path / "bench")


def verify(run: Run, bench: Bench, *more: str) -> tuple[int, str, str]:
    return run("verify", "--folder", bench.settings.folder, "--key", vkey_of(SEED), *more)


def kept_elsewhere(bench: Bench, tmp_path: Path) -> str:
    path = tmp_path / "anchor.txt"
    path.write_text(bench.anchor, encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)], ids=" ".join)
def test_help_fits_one_screen(run: Run, command: tuple[str, ...]) -> None:
    code, out, err = run(*command, "--help")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    # Common practice, no source: a terminal opens with 24 lines of 80.
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80
    assert "..." not in out.replace("[OPTIONS] COMMAND [ARGS]...", "")
    for name in COMMANDS if not command else ():
        assert f"  {name}" in out


def test_without_a_command_it_says_what_there_is_and_that_this_was_wrong_usage(run: Run) -> None:
    code, out, err = run()
    assert code == cli.USAGE == 2
    assert all(name in out + err for name in COMMANDS)


@pytest.mark.parametrize(
    "arguments",
    [
        ["polish"],
        ["serve", "--port", "70000"],
        ["serve", "--port", "eighty"],
        ["verify", "--anchor", "nowhere.txt"],
        ["verify", "--loudly"],
        ["rebuild", "something"],
    ],
)
def test_wrong_usage_ends_with_two_and_says_why(run: Run, arguments: list[str]) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert "Error" in err


def test_a_variable_that_cannot_be_read_is_wrong_usage_too(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SLIPSHEET_PORT", "eighty")
    assert run("rebuild") == (2, "", "slipsheet: SLIPSHEET_PORT is 'eighty'; it must be a number from 0 to 65535\n")


@pytest.mark.parametrize("command", ["verify", "rebuild"])
def test_a_folder_without_a_ledger_is_refused_in_one_sentence(run: Run, command: str, tmp_path: Path) -> None:
    folder = tmp_path / "empty"
    folder.mkdir()
    sentence = f"slipsheet: There is no ledger in {folder}. Name its folder with --folder.\n"
    assert run(command, "--folder", str(folder)) == (1, "", sentence)
    assert list(folder.iterdir()) == []


def test_a_whole_ledger_ends_with_zero(run: Run, bench: Bench, tmp_path: Path) -> None:
    code, out, err = verify(run, bench, "--anchor", kept_elsewhere(bench, tmp_path))
    assert (code, err) == (0, "")
    assert out.splitlines() == [
        "Looked at: 7 entries, 2 checkpoints, 2 books, 14 nodes, 26 sealed values, 1 receipts, 2 read models, 2 photographs.",
        "Whole: nothing was found.",
    ]


def test_without_an_anchor_it_says_what_cannot_be_seen(run: Run, bench: Bench) -> None:
    code, out, _ = verify(run, bench)
    assert code == 0
    assert "a checkpoint kept elsewhere; none was given." in out


def test_damage_ends_with_one_and_is_told_in_sentences(run: Run, bench: Bench) -> None:
    bench.behind_its_back(lambda db: rewrite(db, 6, on="1999"))
    code, out, err = verify(run, bench)
    assert (code, err) == (cli.FINDING, "") == (1, "")
    lines = out.splitlines()
    assert any(line.startswith("The checkpoint over 7 entries has another root: ") for line in lines)
    assert lines[-1].startswith("Findings: ")


def test_what_only_the_anchor_shows_is_told_as_such(run: Run, bench: Bench, tmp_path: Path) -> None:
    cut(bench, 5)
    assert verify(run, bench)[0] == 0
    code, out, _ = verify(run, bench, "--anchor", kept_elsewhere(bench, tmp_path))
    assert code == 1
    assert (
        "needs an anchor to be seen: A checkpoint was signed over 7 entries and 5 are here: the last 2 are missing."
        in out.splitlines()
    )


def test_an_anchor_that_is_no_text_is_a_finding_and_no_crash(run: Run, bench: Bench, tmp_path: Path) -> None:
    (tmp_path / "picture.txt").write_bytes(b"\xff\xd8\xff\xe0")
    code, out, err = verify(run, bench, "--anchor", str(tmp_path / "picture.txt"))
    assert (code, err) == (1, "")
    assert "The checkpoint kept elsewhere is not one that this ledger's key signed" in out


def test_scripts_get_one_line_of_json(run: Run, bench: Bench, tmp_path: Path) -> None:
    cut(bench, 5)
    code, out, err = verify(run, bench, "--anchor", kept_elsewhere(bench, tmp_path), "--json")
    assert (code, err, out.count("\n")) == (1, "", 1)
    told: dict[str, Any] = json.loads(out)
    assert set(told) == {"ok", "findings", "checked", "notes"}
    assert told["ok"] is False
    assert told["checked"]["entries"] == 5
    assert told["notes"] == []
    for each in told["findings"]:
        assert set(each) == {"code", "sentence", "evidence", "seq", "book"}
    assert [(each["code"], each["evidence"], each["seq"]) for each in told["findings"]] == [
        ("checkpoint-missing", "anchor", None),
        ("entries-cut", "anchor", 6),
    ]


def test_a_key_that_is_not_the_ledgers_finds_that_out(run: Run, bench: Bench) -> None:
    code, out, _ = run("verify", "--folder", bench.settings.folder, "--key", vkey_of(OTHER_SEED))
    assert code == 1
    assert "The ledger names another signing key than the one at hand" in out


def test_without_any_key_at_hand_the_ledgers_own_is_used_and_that_is_said(run: Run, bench: Bench) -> None:
    code, out, _ = run("verify", "--folder", bench.settings.folder, "--keys", bench.settings.keys)
    assert code == 0
    assert "The key was taken from the ledger itself: that shows only that the ledger agrees with itself." in out


@pytest.mark.parametrize("key", ["", "mislaid", "a+00000000+AAAA"])
def test_a_key_that_is_none_is_refused(run: Run, bench: Bench, key: str) -> None:
    code, out, err = run("verify", "--folder", bench.settings.folder, "--key", key)
    assert (code, out) == (1, "")
    assert err.startswith("slipsheet: The verifier key: ")


def test_rebuild_makes_the_lists_anew_and_says_how_many(run: Run, tmp_path: Path) -> None:
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings) as ledger:
        Teller(ledger).buy()
    with closing(sqlite3.connect(Path(settings.folder) / DATABASE)) as db, db:
        db.execute("UPDATE book_row SET state = 'Sold'")
    asked = ["--folder", settings.folder, "--keys", settings.keys]
    assert run("verify", *asked)[0] == 1
    assert run("rebuild", *asked) == (0, "Rebuilt the lists of 1 book from their entries.\n", "")
    assert run("verify", *asked)[0] == 0


def without(bench: Bench, name: str) -> None:
    """A table is taken from the database, and what names it with it."""
    dropped = f"PRAGMA foreign_keys = OFF; DROP TABLE {name}"
    bench.behind_its_back(lambda db: db.executescript(dropped), guards=False)


@pytest.mark.parametrize("name", ["collection", "entry", "head", "receipt", "sealed_value", "session"])
def test_a_table_that_is_missing_is_named_with_its_mend_and_no_command_breaks(
    run: Run, bench: Bench, name: str
) -> None:
    without(bench, name)
    code, out, err = verify(run, bench)
    assert code == 1
    assert f"able {name}" in out + err
    assert "ut back a backup that is whole." in out + err
    refused = f"slipsheet: {bench.database}: its table {name} is missing. Put back a backup that is whole.\n"
    asked = ["--folder", bench.settings.folder, "--keys", bench.settings.keys]
    assert run("rebuild", *asked) == (1, "", refused)
    assert run("serve", *asked, "--port", "0") == (1, "", refused)


@pytest.mark.parametrize(
    "name", ["node", "book_head", "read_model", "book_row", "picture_row", "cost_row", "word_row", "book_search"]
)
def test_a_table_that_is_worked_out_from_the_entries_comes_back_with_a_rebuild(
    run: Run, bench: Bench, name: str
) -> None:
    without(bench, name)
    code, out, err = verify(run, bench)
    assert (code, err) == (1, "")
    assert f"The table {name} of the database is missing; rebuild makes it anew." in out.splitlines()
    with open_ledger(bench.settings, seed=SEED, mend=True) as ledger:
        assert ledger.log.rebuild() == 2
    assert verify(run, bench)[0] == 0


def test_rebuild_leaves_a_folder_alone_that_another_program_has_open(run: Run, bench: Bench) -> None:
    with bench.opened():
        code, out, err = run("rebuild", "--folder", bench.settings.folder, "--keys", bench.settings.keys)
    assert (code, out) == (1, "")
    assert err.startswith(f"slipsheet: {bench.settings.folder} is in use by process ")
    assert err.endswith("Stop that one first, or name another folder with --folder.\n")


def test_a_folder_can_be_named_once_for_all_by_a_variable(
    run: Run, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SLIPSHEET_FOLDER", bench.settings.folder)
    assert run("verify", "--key", vkey_of(SEED))[0] == 0
    monkeypatch.setenv("SLIPSHEET_FOLDER", "")
    code, _, err = run("verify", "--key", vkey_of(SEED))
    assert code == 1
    assert f"There is no ledger in {platformdirs.user_data_dir('slipsheet', appauthor=False)}." in err


def test_a_folder_that_cannot_be_used_is_refused_in_one_line(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a-file").write_text("not a folder")
    code, out, err = run("serve", "--folder", str(tmp_path / "a-file"), "--port", "0")
    assert (code, out) == (1, "")
    assert err == f"slipsheet: {tmp_path / 'a-file'}: File exists\n"
