"""Makes one call that writes to the disk fail, as a disk would: not done, or done and reported as failed all the same."""

import errno
import os
from collections.abc import Callable
from io import BufferedIOBase
from pathlib import Path
from typing import Any, Literal, Self

import pytest

Way = Literal["not done", "done but reported as failed"]
WAYS: tuple[Way, ...] = ("not done", "done but reported as failed")
CALLS = ("fsync", "replace", "rename", "mkdir")
"""Of `os`, by which files are forced, named and made; each write to an open file is counted beside them."""


class Failing:
    """Counts the calls that write and fails at one of them, counted from 1; None lets all through."""

    def __init__(self, patch: pytest.MonkeyPatch, at: int | None = None, way: Way = "not done") -> None:
        self.count, self.failed, self._at, self._way = 0, "", at, way
        for name in CALLS:
            patch.setattr(os, name, self._wrapped(name, getattr(os, name)))
        opened, taken = Path.open, os.fdopen
        patch.setattr(Path, "open", lambda path, *args, **more: self._writing(opened(path, *args, **more)))
        patch.setattr(os, "fdopen", lambda *args, **more: self._writing(taken(*args, **more)))

    def _writing(self, file: Any) -> Any:
        """The file, its writes counted."""
        if isinstance(file, BufferedIOBase) and file.writable():
            return _Counted(file, self._wrapped("write", file.write))
        return file

    def _wrapped(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def calling(*values: Any, **more: Any) -> Any:
            self.count += 1
            failing = self.count == self._at
            result = None if failing and self._way == "not done" else call(*values, **more)
            if failing:
                self.failed = name
                raise OSError(errno.EIO, "Input/output error")
            return result

        return calling


class _Counted:
    """A file whose `write` is another."""

    def __init__(self, file: BufferedIOBase, write: Callable[..., Any]) -> None:
        self._file, self.write = file, write

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()
