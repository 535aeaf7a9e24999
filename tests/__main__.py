"""`python3 -m tests`: every check there is, started from nothing but Python in an environment of its own.

With `--full` every fault is tried as often as before a release, which takes hours; otherwise a few times.

With arguments, only pytest runs, and they are pytest's: `python3 -m tests tests/proof -k merkle`.
"""

import os
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence

from web.oldest import refuse_old_python

refuse_old_python()

import shutil  # noqa: E402  what comes now is newer than the check
import tempfile  # noqa: E402
from contextlib import contextmanager  # noqa: E402
from pathlib import Path  # noqa: E402

from web.environment import ROOT, TESTS, Environment, ready_or_exit, surroundings  # noqa: E402

FULL = "SLIPSHEET_TESTS_FULL"
"""Set for a full run; `tests/counts.py` reads it."""
CHECKS = {
    "the linter": ["ruff", "check", "."],
    "the formatter": ["ruff", "format", "--check", "."],
    "the types": ["mypy", "--num-workers", "auto"],
}
PYTEST = ["pytest", "-rs", "-p", "tests.no_skips"]
MEMORY = Path("/dev/shm")
MEMORY_LEAST = 8 << 30
"""Bytes that must be free there. A whole run leaves a fraction of it, and a machine with so much has as much again."""


def processes(cores: int | None = os.cpu_count()) -> list[str]:
    """Pytest uses every core; the tests of one file stay together, for they share what is costly to start.

    Which file comes first is for `tests/longest_first.py`.
    """
    return ["-n", str(cores), "--dist", "loadfile", "--no-loadscope-reorder"] if cores and cores > 1 else []


def compiled(variables: Mapping[str, str], folder: Path) -> dict[str, str]:
    """Variables under which nothing is compiled twice: where no compiled file may lie beside its source, it does there.

    Tests start the program again and again, and pytest compiles every file of tests once more for each process.
    """
    if not variables.get("PYTHONDONTWRITEBYTECODE"):
        return dict(variables)
    kept = {name: value for name, value in variables.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {"PYTHONPYCACHEPREFIX": str(folder), **kept}


@contextmanager
def scratch(memory: Path = MEMORY, least: int = MEMORY_LEAST) -> Iterator[dict[str, str]]:
    """The variable that sends temporary files into memory, where there is room: what is written is waited for at each step.

    Whoever looks into what a failed test left runs that test alone, and finds it in the usual place.
    """
    if "TMPDIR" in os.environ or not memory.is_dir() or shutil.disk_usage(memory).free < least:
        yield {}
        return
    with tempfile.TemporaryDirectory(prefix="slipsheet-tests-", dir=memory, ignore_cleanup_errors=True) as folder:
        Path(folder).chmod(0o755)  # a database server may run as somebody else, and has its folder in here
        yield {"TMPDIR": folder}


def run(environment: Environment, module: Sequence[str], **more: str) -> int:
    """The exit code of a module run in the environment, its output shown as it comes; `more` are variables."""
    command = [str(environment.python), "-m", *module]
    variables = compiled(surroundings(), environment.folder / "compiled") | more
    return subprocess.run(command, cwd=ROOT, env=variables, check=False).returncode


def run_everything(environment: Environment) -> int:
    """All checks, even after one has failed; pytest last, so that its count closes the output."""
    failed = []
    for name, module in CHECKS.items():
        print(f"== {name}: {' '.join(module)}", flush=True)
        if run(environment, module):
            failed.append(name)
    if failed:
        print(f"== failed, whatever pytest says below: {', '.join(failed)}", flush=True)
    print(f"== the tests: {' '.join(PYTEST)}", flush=True)
    with scratch() as more:
        return run(environment, [*PYTEST, *processes()], **more) or len(failed)


def main(arguments: Sequence[str]) -> int:
    """The exit code: 0 only if every check that ran has passed."""
    if "--full" in arguments:
        os.environ[FULL] = "1"
        arguments = [each for each in arguments if each != "--full"]
    environment = Environment()
    ready_or_exit(environment, TESTS)
    try:
        return run(environment, [*PYTEST, *arguments]) if arguments else run_everything(environment)
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
