"""A machine on which an environment can be set up without installing anything."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from web.environment import RUN_TIME, TESTS, Environment


@dataclass
class Machine:
    """Stands for Python's venv and pip: makes the links they would make, and keeps what it was told and has said."""

    root: Path
    base: Path
    steps: list[str] = field(default_factory=list)
    commands: list[Sequence[str]] = field(default_factory=list)
    said: str = ""
    during: Callable[[str], None] = lambda step: None
    answers: dict[str, tuple[int, str]] = field(default_factory=dict)

    def run(self, command: Sequence[str]) -> tuple[int, str]:
        """As `run_quietly` would answer."""
        step = "environment" if "venv" in command else "project" if "--editable" in command else "packages"
        self.steps.append(step)
        self.commands.append(command)
        if step == "environment":
            (self.root / ".venv/bin").mkdir(parents=True)
            (self.root / ".venv/bin/python").symlink_to(self.base)
            (self.root / ".venv/pyvenv.cfg").write_text("home = somewhere\n")
        self.during(step)
        return self.answers.get(step, (0, ""))

    def say(self, words: str) -> None:
        """As `say_on_stderr`, but kept."""
        self.said += words

    def environment(self) -> Environment:
        """A start's view of the project folder, on this machine."""
        return Environment(root=self.root, run=self.run, say=self.say, base=str(self.base), version=(3, 11))

    def make(self, lock: str = RUN_TIME) -> list[str]:
        """The steps that this start took."""
        self.steps.clear()
        self.environment().make_ready(lock)
        return list(self.steps)


def a_machine(folder: Path) -> Machine:
    """A project folder with the files an environment is made from, and a Python beside it."""
    machine = Machine(folder / "project", folder / "python3.11")
    (machine.root / "tests").mkdir(parents=True)
    for name in ("pyproject.toml", RUN_TIME, TESTS):
        (machine.root / name).write_text(f"first {name}\n")
    machine.base.touch()
    return machine
