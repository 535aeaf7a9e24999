"""`python3 -m tests`: every check there is, started from nothing but Python in an environment of its own.

With `--full` every fault is tried as often as before a release, which takes hours; otherwise a few times.

With arguments, only pytest runs, and they are pytest's: `python3 -m tests tests/proof -k merkle`.
"""

import os
import subprocess
import sys
from collections.abc import Sequence

from web.oldest import refuse_old_python

refuse_old_python()

from web.environment import ROOT, TESTS, Environment, ready_or_exit, surroundings  # noqa: E402  newer than the check

FULL = "SLIPSHEET_TESTS_FULL"
"""Set for a full run; `tests/counts.py` reads it."""
CHECKS = {
    "the linter": ["ruff", "check", "."],
    "the formatter": ["ruff", "format", "--check", "."],
    "the types": ["mypy"],
}
PYTEST = ["pytest", "-rs", "-p", "tests.no_skips"]


def processes(cores: int | None = os.cpu_count()) -> list[str]:
    """Pytest uses every core; the tests of one file stay together, for they share what is costly to start."""
    return ["-n", str(cores), "--dist", "loadfile"] if cores and cores > 1 else []


def run(environment: Environment, module: Sequence[str]) -> int:
    """The exit code of a module run in the environment, its output shown as it comes."""
    command = [str(environment.python), "-m", *module]
    return subprocess.run(command, cwd=ROOT, env=surroundings(), check=False).returncode


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
    return run(environment, [*PYTEST, *processes()]) or len(failed)


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
