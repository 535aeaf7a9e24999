"""The manifest of a backup: which files it has, by their hashes, and the ledger they hold; signed by the ledger's key."""

import re
from dataclasses import dataclass
from typing import Final, NoReturn

from ledger.proof import checkpoint as checkpoint_text
from ledger.proof.checkpoint import Checkpoint
from ledger.proof.report import MalformedError

__all__ = ["DATABASE_FILE", "FIRST_LINE", "KeptFile", "Manifest", "parse"]

FIRST_LINE: Final = "slipsheet backup 1"
"""No checkpoint begins like it, so the signature of one can never be taken for that of the other."""
DATABASE_FILE: Final = "slipsheet.sqlite3"

_WHAT: Final = "The manifest"
_MADE: Final = re.compile(r"made \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z")
_STORE: Final = re.compile(r"store ([1-9]\d{0,5})")
_FILE: Final = re.compile(r"([0-9a-f]{64}) (0|[1-9]\d{0,15}) ([a-z0-9./-]{1,200})")
_CHECKPOINT_LINES: Final = slice(3, 7)
_FILES: Final = 7


@dataclass(frozen=True, order=True)
class KeptFile:
    """One file of a backup: where it lies in it, its SHA-256 and its size in bytes."""

    name: str
    sha256: str
    size: int

    def __str__(self) -> str:
        return f"{self.sha256} {self.size} {self.name}"


@dataclass(frozen=True, kw_only=True)
class Manifest:
    """What a backup holds.

    Keeps: one spelling, with files in the order of their names.
    """

    made: str
    """When, UTC with microseconds."""
    store: int
    """Version of the tables."""
    state: Checkpoint
    """Size and roots of the ledger in it."""
    files: tuple[KeptFile, ...]

    def to_text(self) -> str:
        """The text that is signed."""
        lines = [FIRST_LINE, f"made {self.made}", f"store {self.store}", *self.state.to_text().splitlines()]
        return "\n".join([*lines, *map(str, sorted(self.files))]) + "\n"


def parse(text: str) -> Manifest:
    """The manifest that a text says, if that text is what the manifest would be written as.

    Raises: MalformedError.
    """
    lines = text.splitlines()
    if lines[:1] != [FIRST_LINE]:
        _refuse("line 1", "it is no manifest of a backup", f"One begins with the line {FIRST_LINE}.")
    if len(lines) <= _FILES or not _MADE.fullmatch(lines[1]):
        _refuse("line 2", "it is cut short, or its time is spelled otherwise", "Take another backup.")
    store = _STORE.fullmatch(lines[2])
    if store is None:
        _refuse("line 3", "the version of its tables cannot be read", "Take another backup.")
    state = checkpoint_text.parse("\n".join(lines[_CHECKPOINT_LINES]) + "\n")
    files = tuple(_file(number, line) for number, line in enumerate(lines[_FILES:], start=_FILES + 1))
    found = Manifest(made=lines[1].removeprefix("made "), store=int(store[1]), state=state, files=files)
    names = [each.name for each in files]
    if found.to_text() != text or len(set(names)) != len(names) or DATABASE_FILE not in names:
        _refuse("the files", "they are not each named once, in order", "Take another backup.")
    return found


def _file(number: int, line: str) -> KeptFile:
    found = _FILE.fullmatch(line)
    if found is None or ".." in found[3] or found[3].startswith("/"):
        _refuse(f"line {number}", "it names no file of a backup", "Take another backup.")
    return KeptFile(name=found[3], sha256=found[1], size=int(found[2]))


def _refuse(where: str, problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=_WHAT, where=where, problem=problem, mend=mend)
