"""The told folder, kept beside the environment's packages so that a second start need not tell the story again."""

import hashlib
import os
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TOLD = "slipsheet-told"
NAME_DIGITS = 32
SOURCES = ("ledger/**/*.py", "ledger/**/*.json", "seeds/**/*.py", "seeds/**/*.png", "requirements.lock")
"""Whatever of these changes, the story is told anew."""


def lay(folder: Path, tell: Callable[[Path], None]) -> None:
    """A told folder where there was none: a copy of the kept one, which `tell` makes when it is not there.

    Keeps: what is kept is whole or absent, and belongs to exactly these sources. Where nothing can be kept, it is told
    into the folder itself.
    Requires: the folder holds no ledger.
    """
    shelf = Path(sys.prefix) / TOLD
    kept = shelf / _digest()
    if not kept.is_dir() and not _make(shelf, kept, tell):
        tell(folder)
        return
    shutil.copytree(kept, folder, dirs_exist_ok=True)


def _make(shelf: Path, kept: Path, tell: Callable[[Path], None]) -> bool:
    """The story told once, under its name only when it is whole; False where there is no place for it."""
    if sys.prefix == sys.base_prefix or not os.access(sys.prefix, os.W_OK):
        return False
    shelf.mkdir(exist_ok=True)
    draft = Path(tempfile.mkdtemp(dir=shelf))
    try:
        tell(draft)
        for older in shelf.iterdir():
            if len(older.name) == NAME_DIGITS:
                shutil.rmtree(older, ignore_errors=True)
        try:
            draft.rename(kept)
        except OSError:  # somebody else was faster, which is as good
            return kept.is_dir()
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return True


def _digest() -> str:
    """One digest over everything that the told folder follows from."""
    whole = hashlib.sha256(sys.version.encode())
    for path in sorted(path for pattern in SOURCES for path in ROOT.glob(pattern)):
        whole.update(str(path.relative_to(ROOT)).encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    return whole.hexdigest()[:NAME_DIGITS]
