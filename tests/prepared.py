"""New data folders sooner: the database that the program makes in one is made once, and copied from then on.

It is the same bytes each time, as `tests/store/test_engine.py` checks.
"""

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from ledger.store import engine

REALLY = engine._prepare
BY = ("VERSION", "APPLICATION_ID", "migrate", "make_read_models", "make_guards")
"""What it is made by. Where a test puts something else in the place of one, that is what makes it."""


@cache
def made(*by: Callable[..., Any] | int) -> bytes:
    """The database of a new folder, as the program makes it."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / engine.DATABASE
        REALLY(path, mend=False)
        return path.read_bytes()


def prepare(path: Path, *, mend: bool) -> None:
    """A new database is copied; one that is there already is brought up to this program by the program."""
    if mend or path.exists():
        REALLY(path, mend=mend)
    else:
        path.write_bytes(made(*(getattr(engine, name) for name in BY)))


@pytest.fixture(scope="session", autouse=True)
def new_folders_sooner() -> Iterator[None]:
    """In every test of this process; a program that a test starts makes its own."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(engine, "_prepare", prepare)
        yield
