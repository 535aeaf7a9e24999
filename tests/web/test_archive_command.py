"""`slipsheet export` and `slipsheet import`: what they say, how they end, and that the root is the same behind them."""

import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.bootstrap import open_to_read
from ledger.settings import Settings
from ledger.usecases.checkpoint import current
from tests.keeping.archived import PASSPHRASE, files_of
from tests.keeping.conftest import House, a_house
from web import cli

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """The command in this process: its exit code, what it printed, and what it said beside that."""
    for name in ("SLIPSHEET_FOLDER", "SLIPSHEET_KEYS", "SLIPSHEET_DATABASE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "nowhere"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "nowhere"))

    def ran(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["slipsheet", *arguments])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        told = capsys.readouterr()
        assert isinstance(ended.value.code, int)
        return ended.value.code, told.out, told.err

    return ran


@pytest.fixture
def house(tmp_path: Path) -> House:
    with a_house("sqlite", tmp_path) as made:
        return made


@pytest.fixture
def passphrase(tmp_path: Path) -> str:
    path = tmp_path / "passphrase.txt"
    path.write_text(f"{PASSPHRASE}\n", "utf-8")
    return str(path)


def root_of(house: House, folder: str, keys: str) -> bytes:
    settings = Settings(folder=str(house.around / folder), keys=str(house.around / keys))
    with open_to_read(settings) as ledger, ledger.log.read() as reader:
        return current(reader).root


def at(house: House, folder: str = "data", keys: str = "keys") -> tuple[str, ...]:
    return ("--folder", str(house.around / folder), "--keys", str(house.around / keys))


def test_a_collection_goes_out_and_comes_in_with_the_same_root(run: Run, house: House) -> None:
    file = str(house.around / "all.zip")
    code, out, err = run("export", "--to", file, *at(house))
    assert (code, err) == (0, "")
    assert out == f"5 entries and 4 photographs are in {file}.\nThe signing key is not in it.\n"
    code, out, err = run("import", file, *at(house, "back"))
    assert (code, err) == (0, "")
    assert out.startswith("5 entries and 4 photographs of the archive of ")
    assert "Whole: nothing was found." in out
    assert root_of(house, "back", "keys") == root_of(house, "data", "keys")


def test_for_scripts_it_says_so_in_one_line(run: Run, house: House) -> None:
    file = str(house.around / "all.zip")
    run("export", "--to", file, *at(house))
    code, out, _ = run("import", file, "--json", *at(house, "back"))
    told = json.loads(out)
    assert (code, told["size"], told["photographs"], told["key"], told["trusted"]) == (0, 5, 4, False, True)
    assert (told["against_anchor"], told["report"]["ok"]) == ("it goes as far", True)


def test_the_key_goes_along_under_a_passphrase(run: Run, house: House, passphrase: str) -> None:
    file = str(house.around / "all.zip")
    code, out, _ = run("export", "--to", file, "--with-keys", "--passphrase", passphrase, *at(house))
    assert (code, out.splitlines()[1]) == (0, "The signing key is in it, under the passphrase.")
    code, out, _ = run("import", file, "--with-keys", "--passphrase", passphrase, *at(house, "back", "keys back"))
    assert code == 0
    assert "The signing key is put back too." in out
    assert "No key at hand signed it: that shows only that the archive agrees with itself." in out
    assert "Until then it can be read and not written to." in out
    assert root_of(house, "back", "keys back") == root_of(house, "data", "keys")


def test_a_passphrase_is_asked_for_twice_when_it_is_new(
    run: Run, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def prompt(text: str, **how: object) -> str:
        asked.append((text, how["hide_input"], how["confirmation_prompt"]))
        return PASSPHRASE

    monkeypatch.setattr("web.commands.archive.typer.prompt", prompt)
    file = house.around / "all.zip"
    assert run("export", "--to", str(file), "--with-keys", *at(house))[0] == 0
    assert run("import", str(file), "--with-keys", *at(house, "back", "other"))[0] == 0
    assert asked == [("Passphrase", True, True), ("Passphrase", True, False)]
    assert "data/keys.json" in files_of(file)


def test_another_passphrase_ends_with_one_and_writes_nothing(run: Run, house: House, passphrase: str) -> None:
    file = str(house.around / "all.zip")
    run("export", "--to", file, "--with-keys", "--passphrase", passphrase, *at(house))
    Path(passphrase).write_text("another one altogether\n", "utf-8")
    code, out, err = run("import", file, "--with-keys", "--passphrase", passphrase, *at(house, "back", "other"))
    assert (code, out) == (1, "")
    assert "The passphrase does not open the key" in err
    assert not (house.around / "back").exists()
    assert not (house.around / "other").exists()


def test_a_place_that_has_something_is_refused_with_the_mend(run: Run, house: House) -> None:
    file = str(house.around / "all.zip")
    run("export", "--to", file, *at(house))
    code, _, err = run("import", file, *at(house))
    assert (code, err.split(": ", 1)[1]) == (
        1,
        f"There is something in {house.settings.folder} already. Name a folder that is empty or not there, with --folder.\n",
    )


def test_an_archive_without_the_key_file_at_hand_says_where_it_is(run: Run, house: House, passphrase: str) -> None:
    file = str(house.around / "all.zip")
    run("export", "--to", file, "--with-keys", "--passphrase", passphrase, *at(house))
    _, out, _ = run("import", file, *at(house, "back", "other"))
    assert "to put it back, begin anew with --with-keys" in out


def test_a_photograph_that_is_not_in_it_is_named_and_ends_with_one(run: Run, house: House) -> None:
    picture = next((house.around / "data" / "pictures").glob("*/*"))
    picture.write_bytes(b"something else")
    code, out, _ = run("export", "--to", str(house.around / "all.zip"), *at(house))
    assert code == 1
    assert f"Photograph {picture.name[:8]} is not in it: its file is gone or was changed. Run verify." in out
