"""The set-up of the project's own environment, with the commands it would run written down instead of run."""

import json
import re
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from tests.machine import Machine, a_machine
from web import environment as subject
from web.environment import RUN_TIME, STAMP, TESTS, UNFINISHED
from web.setup_errors import (
    SIGNS,
    UNKNOWN,
    UNREACHABLE,
    ForeignFolderError,
    InstallError,
    UnwritableError,
    VenvMissingError,
)


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    return a_machine(tmp_path)


def stamp(machine: Machine) -> Path:
    return machine.root / ".venv" / STAMP


def test_the_first_start_makes_the_environment_then_installs_by_hash_then_the_project_in_place(
    machine: Machine,
) -> None:
    assert machine.make() == ["environment", "packages", "project"]
    python = str(machine.root / ".venv/bin/python")
    pip = [python, "-m", "pip", "install", "--quiet"]
    assert machine.commands == [
        [str(machine.base), "-m", "venv", str(machine.root / ".venv")],
        [*pip, "--require-hashes", "--requirement", str(machine.root / RUN_TIME)],
        [*pip, "--no-deps", "--no-build-isolation", "--no-index", "--editable", str(machine.root)],
    ]
    assert re.fullmatch(
        r"Setting up once, about a minute: environment … packages … project … ready after \d+ s\.\n", machine.said
    )


def test_the_second_start_does_nothing_and_says_nothing(machine: Machine) -> None:
    machine.make()
    machine.said = ""
    assert machine.make() == []
    assert machine.said == ""


def test_the_stamp_is_written_only_after_the_last_step(machine: Machine) -> None:
    stamped: list[bool] = []
    machine.during = lambda step: stamped.append(stamp(machine).exists())
    machine.make()
    (machine.root / RUN_TIME).write_text("second\n")
    machine.make()
    assert stamped == [False] * 5
    assert set(json.loads(stamp(machine).read_text())) == {
        "root",
        "version",
        "interpreter",
        "pyproject.toml",
        RUN_TIME,
    }


@pytest.mark.parametrize(("changed", "steps"), [(RUN_TIME, ["packages", "project"]), ("pyproject.toml", ["project"])])
def test_a_changed_file_repeats_only_what_was_made_from_it(machine: Machine, changed: str, steps: list[str]) -> None:
    machine.make()
    (machine.root / changed).write_text("second\n")
    assert machine.make() == steps
    assert "Setting up what has changed: " in machine.said


def test_an_environment_for_the_tests_will_do_for_a_start_but_not_the_other_way(machine: Machine) -> None:
    machine.make(RUN_TIME)
    assert machine.make(TESTS) == ["packages", "project"]
    assert machine.make(RUN_TIME) == []
    assert machine.make(TESTS) == []


def test_the_lock_for_the_tests_holds_every_line_of_the_lock_for_a_start() -> None:
    lines = {name: set((subject.ROOT / name).read_text().splitlines()) for name in (RUN_TIME, TESTS)}
    assert lines[RUN_TIME] - lines[TESTS] == set()


def test_a_moved_folder_gets_a_new_environment(machine: Machine, tmp_path: Path) -> None:
    machine.make()
    machine.root = machine.root.rename(tmp_path / "elsewhere")
    assert machine.make() == ["environment", "packages", "project"]
    assert json.loads(stamp(machine).read_text())["root"] == str(tmp_path / "elsewhere")


def test_another_python_version_gets_a_new_environment(machine: Machine) -> None:
    machine.make()
    newer = replace(machine.environment(), version=(3, 12))
    assert newer.make_ready(RUN_TIME)
    assert machine.steps == ["environment", "packages", "project"] * 2


def test_an_interpreter_that_went_away_gets_a_new_environment(machine: Machine, tmp_path: Path) -> None:
    machine.make()
    machine.base.unlink()
    machine.base = tmp_path / "python3.11-again"
    machine.base.touch()
    assert machine.make() == ["environment", "packages", "project"]


@pytest.mark.parametrize("step", ["environment", "packages", "project"])
def test_an_interrupted_set_up_begins_again_from_nothing(machine: Machine, step: str) -> None:
    def interrupt(now: str) -> None:
        (machine.root / ".venv/half-made").touch()
        if now == step:
            raise KeyboardInterrupt

    machine.during = interrupt
    with pytest.raises(KeyboardInterrupt):
        machine.make()
    assert not machine.environment().is_ready(RUN_TIME)
    machine.during = lambda step: None
    assert machine.make() == ["environment", "packages", "project"]
    assert not (machine.root / ".venv/half-made").exists()
    assert not (machine.root / ".venv" / UNFINISHED).exists()


def test_an_interrupted_change_is_not_taken_for_done_either(machine: Machine) -> None:
    machine.make()
    (machine.root / RUN_TIME).write_text("second\n")
    machine.answers = {"packages": (1, "killed")}
    with pytest.raises(InstallError):
        machine.make()
    (machine.root / RUN_TIME).write_text(f"first {RUN_TIME}\n")
    machine.answers = {}
    assert machine.make() == ["environment", "packages", "project"]


@pytest.mark.parametrize(
    ("output", "meaning"),
    [
        # As pip 23.2 prints them.
        ("WARNING: Retrying …: Failed to establish a new connection: [Errno 101] Network is unreachable", UNREACHABLE),
        ("WARNING: …: [Errno -3] Temporary failure in name resolution\nNo matching distribution found", UNREACHABLE),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", SIGNS["DO NOT MATCH THE HASHES"]),
        ("ERROR: Could not install packages: [Errno 28] No space left on device", SIGNS["No space left on device"]),
        ("ERROR: something nobody thought of", UNKNOWN),
    ],
)
def test_a_failed_step_is_named_with_what_pip_said_and_the_mend(machine: Machine, output: str, meaning: str) -> None:
    machine.answers = {"packages": (2, output)}
    with pytest.raises(InstallError) as caught:
        machine.make()
    assert (caught.value.step, caught.value.code, caught.value.output) == ("packages", 2, output)
    assert caught.value.meaning == meaning
    assert str(caught.value).endswith(meaning)
    assert caught.value.last_words == [output.splitlines()[-1]]
    assert caught.value.last_words[0] in str(caught.value)


def test_a_python_without_venv_is_told_what_to_install(machine: Machine, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(subject, "can_make_environments", lambda: False)
    with pytest.raises(VenvMissingError) as caught:
        machine.make()
    assert caught.value.version == (3, 11)
    assert "apt install python3-venv" in str(caught.value)
    assert machine.steps == []


def test_a_folder_that_is_no_environment_is_left_alone(machine: Machine) -> None:
    (machine.root / ".venv").mkdir()
    (machine.root / ".venv/letters.txt").touch()
    with pytest.raises(ForeignFolderError) as caught:
        machine.make()
    assert caught.value.folder == machine.root / ".venv"
    assert (machine.root / ".venv/letters.txt").exists()


def test_a_disk_that_takes_nothing_is_named(machine: Machine) -> None:
    def refuse(step: str) -> None:
        raise OSError(30, "Read-only file system", step)

    machine.during = refuse
    with pytest.raises(UnwritableError) as caught:
        machine.make()
    assert caught.value.folder == machine.root / ".venv"
    assert "Read-only file system" in caught.value.problem


def test_of_two_starts_at_once_one_sets_up_and_the_other_waits(machine: Machine) -> None:
    installing, waiting, late = threading.Event(), threading.Event(), Machine(machine.root, machine.base)

    def hold(step: str) -> None:
        installing.set()
        assert waiting.wait(10)

    def say(words: str) -> None:
        late.say(words)
        waiting.set()

    machine.during = hold
    first = threading.Thread(target=machine.make)
    first.start()
    assert installing.wait(10)
    assert replace(late.environment(), say=say).make_ready(RUN_TIME) is False
    first.join()
    assert machine.steps == ["environment", "packages", "project"]
    assert late.steps == []
    assert late.said == "Another start is setting up here; waiting for it …\n"
