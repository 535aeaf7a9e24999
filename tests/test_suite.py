"""What `python3 -m tests` runs, and that nothing is left out where a machine judges."""

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tests import __main__ as subject
from tests.longest_first import in_order
from tests.no_skips import is_ci
from web.environment import ROOT, Environment

TEST_FILES = {
    "test_one.py": "import pytest\ndef test_left_out(): pytest.skip('no browser')\ndef test_fine(): pass\n",
    "test_two.py": "import pytest\npytest.skip('no server', allow_module_level=True)\n",
    "test_three.py": "import pytest\n@pytest.mark.xfail\ndef test_known(): assert False\ndef test_fine(): pass\n",
}


def run_pytest(folder: Path, files: Sequence[str], *, ci: str, options: Sequence[str] = ()) -> tuple[int, str]:
    for name in files:
        (folder / name).write_text(TEST_FILES[name])
    command = [sys.executable, "-m", "pytest", "-rs", "-p", "tests.no_skips", "-p", "no:cacheprovider", *options]
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    # What else is installed for pytest takes longer to load than these tests to run.
    variables = kept | {"CI": ci, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    done = subprocess.run([*command, str(folder)], cwd=ROOT, env=variables, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout


@pytest.mark.long
@pytest.mark.parametrize("options", [[], ["-p", "xdist", "-n", "1"]])
def test_a_skip_fails_the_run_where_a_machine_judges(tmp_path: Path, options: list[str]) -> None:
    code, output = run_pytest(tmp_path, ["test_one.py", "test_two.py"], ci="true", options=options)
    assert code == 1
    named = output.split("skipped, which fails this run because CI is set", 1)[1]
    assert "test_one.py::test_left_out" in named
    assert "test_two.py" in named
    assert "test_fine" not in named


@pytest.mark.long
def test_a_skip_is_only_told_where_a_person_works(tmp_path: Path) -> None:
    code, output = run_pytest(tmp_path, ["test_one.py", "test_two.py"], ci="")
    assert code == 0
    assert "no browser" in output
    assert "no server" in output


@pytest.mark.long
def test_an_expected_failure_is_no_skip(tmp_path: Path) -> None:
    code, output = run_pytest(tmp_path, ["test_three.py"], ci="true")
    assert code == 0
    assert "1 passed, 1 xfailed" in output


def test_a_machine_is_known_by_its_variable() -> None:
    assert [word for word in ("", "0", "false", "true", "1") if is_ci({"CI": word})] == ["true", "1"]
    assert not is_ci({})


def modules_run(monkeypatch: pytest.MonkeyPatch, arguments: list[str], failing: str) -> tuple[int, list[str]]:
    """The exit code, and the modules in their order, when one of them fails."""
    ran: list[str] = []

    def run(environment: Environment, module: Sequence[str], **more: str) -> int:
        ran.append(" ".join(module))
        return int(module[0] == failing)

    monkeypatch.setattr(subject, "ready_or_exit", lambda environment, lock: False)
    monkeypatch.setattr(subject, "run", run)
    monkeypatch.setattr(subject, "processes", lambda: ["-n", "2"])
    return subject.main(arguments), ran


@pytest.mark.parametrize(("failing", "code"), [("nothing", 0), ("ruff", 2), ("mypy", 1), ("pytest", 1)])
def test_every_check_runs_and_any_that_fails_fails_the_whole(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], failing: str, code: int
) -> None:
    assert modules_run(monkeypatch, [], failing) == (
        code,
        ["ruff check .", "ruff format --check .", "mypy --num-workers auto", "pytest -rs -p tests.no_skips -n 2"],
    )
    assert ("== failed" in capsys.readouterr().out) is (failing in {"ruff", "mypy"})


def test_with_arguments_only_pytest_runs_and_gets_them(monkeypatch: pytest.MonkeyPatch) -> None:
    assert modules_run(monkeypatch, ["tests/proof", "-k", "merkle"], "ruff") == (
        0,
        ["pytest -rs -p tests.no_skips tests/proof -k merkle"],
    )


def test_tests_are_spread_over_the_cores_there_are() -> None:
    assert subject.processes(2) == ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]
    assert subject.processes(1) == []
    assert subject.processes(None) == []


def test_where_nothing_compiled_may_lie_beside_its_source_it_lies_in_the_environment(tmp_path: Path) -> None:
    plain = {"PATH": "/bin"}
    assert subject.compiled(plain, tmp_path) == plain
    assert subject.compiled(plain | {"PYTHONDONTWRITEBYTECODE": ""}, tmp_path)["PATH"] == "/bin"
    assert subject.compiled(plain | {"PYTHONDONTWRITEBYTECODE": "1"}, tmp_path) == plain | {
        "PYTHONPYCACHEPREFIX": str(tmp_path)
    }
    own = {"PYTHONDONTWRITEBYTECODE": "1", "PYTHONPYCACHEPREFIX": "/kept"}
    assert subject.compiled(own, tmp_path) == {"PYTHONPYCACHEPREFIX": "/kept"}


def test_temporary_files_go_into_memory_where_there_is_room_and_are_gone_afterwards(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("TMPDIR", raising=False)
    with subject.scratch(tmp_path, least=1) as more:
        folder = Path(more["TMPDIR"])
        assert folder.parent == tmp_path
        (folder / "left").touch()
    assert not folder.exists()
    for memory, least in ((tmp_path, 1 << 80), (tmp_path / "none", 1)):
        with subject.scratch(memory, least) as more:
            assert more == {}
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    with subject.scratch(tmp_path, least=1) as more:
        assert more == {}


def a_test(file: str, name: str, *, long: bool = False) -> Any:
    """As far as the order looks at it."""
    return SimpleNamespace(path=Path(file), name=name, get_closest_marker=lambda mark: long or None)


def test_files_with_long_tests_begin_first_and_small_ones_come_last() -> None:
    small, many = [a_test("tests/a.py", "1")], [a_test("tests/b.py", name) for name in "23"]
    long = [a_test("tests/c.py", "4"), a_test("tests/c.py", "5", long=True)]
    shared = [a_test("tests/browser/d.py", "6"), a_test("tests/browser/e.py", "7", long=True)]
    found = in_order([*small, *many, *long, *shared])
    assert [each.name for each in found] == list("4567231")
