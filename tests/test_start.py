"""A start: which Python goes on with which arguments, and how one ends that cannot go on."""

import ast
import os
import sys
from pathlib import Path

import pytest

from tests.machine import Machine, a_machine
from web import environment as subject
from web.environment import ROOT, start, surroundings
from web.oldest import refuse_old_python


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    return a_machine(tmp_path)


def test_an_older_python_is_sent_home_with_a_sentence() -> None:
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer, and this is Python 3\.10\."):
        refuse_old_python((3, 10))
    refuse_old_python((3, 11))
    refuse_old_python((4, 0))


@pytest.mark.parametrize("path", ["web/__main__.py", "web/oldest.py", "tests/__main__.py"])
def test_what_an_older_python_reads_before_the_sentence_it_can_read(path: str) -> None:
    text = (ROOT / path).read_text(encoding="utf-8")
    # Whatever is imported before the check would be read by the older Python too.
    first, found, _ = text.partition("refuse_old_python()\n")
    assert ast.parse(text, feature_version=(3, 7))
    imported = {line.split()[1] for line in first.splitlines() if line.startswith(("import ", "from "))}
    assert imported <= {"os", "subprocess", "sys", "collections.abc", "web.oldest"}
    assert found or path == "web/oldest.py"


def test_the_users_choice_of_index_stays_and_settings_that_lead_astray_go(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PIP_INDEX_URL", "an index of the user's own")
    monkeypatch.setenv("PYTHONHOME", "elsewhere")
    monkeypatch.setenv("PIP_TARGET", "elsewhere")
    seen = surroundings()
    assert seen["PIP_INDEX_URL"] == "an index of the user's own"
    assert (seen["PIP_NO_INPUT"], seen["PIP_DISABLE_PIP_VERSION_CHECK"]) == ("1", "1")
    assert "PYTHONHOME" not in seen
    assert "PIP_TARGET" not in seen


def test_a_command_is_run_without_a_terminal_and_answers_with_all_it_printed() -> None:
    script = "import sys; print(sys.stdin.read() == ''); print('oh', file=sys.stderr); sys.exit(3)"
    assert subject.run_quietly([sys.executable, "-c", script]) == (3, "True\noh\n")


@pytest.mark.skipif(os.name != "posix", reason="elsewhere a process cannot replace itself")
def test_a_start_becomes_the_environments_python_with_the_same_arguments(
    machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    became: list[tuple[str, list[str]]] = []

    def become(path: str, command: list[str], variables: dict[str, str]) -> None:
        became.append((path, command))
        raise SystemExit

    monkeypatch.setattr(os, "execve", become)
    with pytest.raises(SystemExit):
        start("web.cli", ["serve", "--port", "0"], machine.environment())
    python = str(machine.root / ".venv/bin/python")
    assert became == [(python, [python, "-m", "web.cli", "serve", "--port", "0"])]


def test_a_start_inside_the_environment_goes_on_in_the_same_process(
    machine: Machine, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    machine.make()
    monkeypatch.setattr(sys, "prefix", str(machine.root / ".venv"))
    monkeypatch.setattr(sys, "argv", ["-m", "--asked"])
    (machine.root / "shown.py").write_text("import sys\nprint(__name__, sys.argv[1:])\n")
    monkeypatch.syspath_prepend(machine.root)
    assert start("shown", ["--asked"], machine.environment()) == 0
    assert capsys.readouterr().out == "__main__ ['--asked']\n"


def test_a_start_whose_set_up_fails_ends_with_the_sentence_and_one(
    machine: Machine, capsys: pytest.CaptureFixture[str]
) -> None:
    machine.answers = {"project": (1, "ERROR: no")}
    with pytest.raises(SystemExit, match='stopped at the step "project"'):
        start("web.cli", [], machine.environment())


def test_a_start_that_is_stopped_by_hand_says_that_nothing_is_lost(machine: Machine) -> None:
    def interrupt(step: str) -> None:
        raise KeyboardInterrupt

    machine.during = interrupt
    with pytest.raises(SystemExit) as caught:
        start("web.cli", [], machine.environment())
    assert caught.value.code == 130
    assert machine.said.endswith("Stopped. The next start begins the set-up again.\n")
