"""The project's own Python environment, `.venv`: made on the first start, checked by its stamp on every later one.

Nothing but the standard library is used here, for here nothing else is installed yet. Packages go into the
environment only, so a Python that its distribution manages, and that refuses a bare pip install, will do.
"""

import hashlib
import importlib.util
import json
import os
import runpy
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from web.setup_errors import ForeignFolderError, InstallError, SetupError, UnwritableError, VenvMissingError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

ROOT = Path(__file__).resolve().parent.parent
RUN_TIME = "requirements.lock"
TESTS = "tests/requirements.lock"
HOLDS = {RUN_TIME: (RUN_TIME,), TESTS: (RUN_TIME, TESTS)}
"""Lock file -> the lock files it holds every line of, itself among them."""

LOCK, UNFINISHED, STAMP = "setup.lock", "setup.unfinished", "setup.stamp"
QUIET = {"PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1", "PIP_USER": "0"}
ASTRAY = ("PYTHONHOME", "__PYVENV_LAUNCHER__", "PIP_TARGET", "PIP_PREFIX")
"""Settings that would send a Python or its packages past the environment; which index pip asks stays the user's."""


def surroundings() -> dict[str, str]:
    """The variables that commands inside the environment see."""
    return {name: value for name, value in os.environ.items() if name not in ASTRAY} | QUIET


def run_quietly(command: Sequence[str]) -> tuple[int, str]:
    """The exit code of a command and all that it printed."""
    done = subprocess.run(  # noqa: S603  the commands are written below
        command,
        env=surroundings(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        check=False,
    )
    return done.returncode, done.stdout


def say_on_stderr(words: str) -> None:
    """Progress goes where it cannot mix with an answer."""
    sys.stderr.write(words)
    sys.stderr.flush()


def can_make_environments() -> bool:
    """Some distributions ship Python's venv as a package of its own, and it may not be there."""
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


@dataclass(frozen=True, kw_only=True)
class Environment:
    """The environment in one project folder.

    Keeps: the stamp is written last and removed first, so an environment with a stamp is a whole one.
    """

    root: Path = ROOT
    run: Callable[[Sequence[str]], tuple[int, str]] = run_quietly
    say: Callable[[str], None] = say_on_stderr
    base: str = getattr(sys, "_base_executable", sys.executable)
    version: tuple[int, int] = sys.version_info[:2]

    @property
    def folder(self) -> Path:
        """Where the environment lies."""
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """The environment's interpreter."""
        return self.folder / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")

    def is_ready(self, lock: str) -> bool:
        """The environment is whole, and what it was made from has not changed since."""
        return not self._changed(lock)

    def make_ready(self, lock: str) -> bool:
        """The packages of the lock file and the project itself are installed; False if they were already.

        Raises: SetupError, and then the next start begins the set-up again.
        """
        if self.is_ready(lock):
            return False
        with self._alone():
            if self.is_ready(lock):  # another start has done it meanwhile
                return False
            self._set_up(lock)
        return True

    def is_running(self) -> bool:
        """The process that asks runs on the environment's interpreter."""
        return Path(sys.prefix).resolve() == self.folder.resolve()

    def _changed(self, lock: str) -> set[str]:
        try:
            stamp = json.loads((self.folder / STAMP).read_bytes())
        except (FileNotFoundError, NotADirectoryError, ValueError):
            stamp = {}
        return {name for name, value in self._made_from(lock).items() if stamp.get(name) != value}

    def _made_from(self, lock: str) -> dict[str, str]:
        """Everything that makes an environment what it is.

        Its scripts hold the folder's path, so a moved folder needs a new one. The interpreter is a link to one
        outside, which a system update can take away or exchange.
        """
        interpreter = self.python.resolve()
        return {
            "root": str(self.root),
            "version": "{}.{}".format(*self.version),
            "interpreter": str(interpreter) if interpreter.exists() else "gone",
            **{name: _digest(self.root / name) for name in ("pyproject.toml", *HOLDS[lock])},
        }

    def _set_up(self, lock: str) -> None:
        began = time.monotonic()
        steps = self._steps(lock)
        (self.folder / UNFINISHED).touch()
        (self.folder / STAMP).unlink(missing_ok=True)
        self.say("Setting up once, about a minute: " if "environment" in steps else "Setting up what has changed: ")
        if "environment" in steps:
            self._clear()
        for step, command in steps.items():
            self.say(f"{step} … ")
            code, output = self.run(command)
            if code:
                raise InstallError(step=step, code=code, output=output)
        fresh = self.folder / f"{STAMP}.new"
        fresh.write_text(json.dumps(self._made_from(lock), indent=1), encoding="utf-8")
        fresh.replace(self.folder / STAMP)
        (self.folder / UNFINISHED).unlink()
        self.say(f"ready after {time.monotonic() - began:.0f} s.\n")

    def _steps(self, lock: str) -> dict[str, list[str]]:
        """What there is to do, and the command for it. After an interruption nothing in the folder is trusted."""
        pip = [str(self.python), "-m", "pip", "install", "--quiet"]
        steps = {
            "environment": [self.base, "-m", "venv", str(self.folder)],
            "packages": [*pip, "--require-hashes", "--requirement", str(self.root / lock)],
            "project": [*pip, "--no-deps", "--no-build-isolation", "--no-index", "--editable", str(self.root)],
        }
        changed = self._changed(lock)
        if (self.folder / UNFINISHED).exists() or changed & {"root", "version", "interpreter"}:
            return steps
        steps.pop("environment")
        if changed == {"pyproject.toml"}:
            steps.pop("packages")
        return steps

    def _clear(self) -> None:
        if not can_make_environments():
            raise VenvMissingError(version=self.version)
        for path in self.folder.iterdir():
            if path.name in {LOCK, UNFINISHED}:
                continue
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path)
            else:
                path.unlink()

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """One start at a time sets up, the others wait. The lock ends with its process, however that ends."""
        try:
            if self.folder.exists() and not self._is_ours():
                raise ForeignFolderError(folder=self.folder)
            self.folder.mkdir(exist_ok=True)
            with (self.folder / LOCK).open("ab") as file:
                if not _taken(file.fileno()):
                    self.say("Another start is setting up here; waiting for it …\n")
                    while not _taken(file.fileno()):
                        time.sleep(0.2)
                yield
        except OSError as problem:
            raise UnwritableError(folder=self.folder, problem=str(problem)) from problem

    def _is_ours(self) -> bool:
        """Only an environment is ever cleared away, never some other folder that has the name."""
        names = {path.name for path in self.folder.iterdir()} if self.folder.is_dir() else {"a file"}
        return not names or bool(names & {"pyvenv.cfg", LOCK})


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _taken(file: int) -> bool:
    """The lock on an open file is ours now."""
    try:
        if sys.platform == "win32":
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def ready_or_exit(environment: Environment, lock: str) -> bool:
    """As Environment.make_ready, but a set-up that fails ends the process with its sentence."""
    try:
        return environment.make_ready(lock)
    except SetupError as problem:
        sys.exit(f"\n{problem}")
    except KeyboardInterrupt:
        environment.say("\nStopped. The next start begins the set-up again.\n")
        sys.exit(130)


def start(module: str, arguments: Sequence[str], environment: Environment | None = None) -> int:
    """A module of the project runs in the environment, with these arguments, in place of this process."""
    environment = environment or Environment()
    made = ready_or_exit(environment, RUN_TIME)
    if environment.is_running() and not made:
        sys.argv[1:] = arguments
        runpy.run_module(module, run_name="__main__", alter_sys=True)
        return 0
    command = [str(environment.python), "-m", module, *arguments]
    if os.name == "posix":
        sys.stdout.flush()
        os.execve(command[0], command, surroundings())  # noqa: S606  the user's own arguments
    # Elsewhere a process that replaces itself gives the prompt back before it has done anything.
    return subprocess.call(command, env=surroundings())  # noqa: S603  the user's own arguments
