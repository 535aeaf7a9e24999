"""Makes the writer's connection fail at a chosen call, in two ways: not done, or done but reported as failed."""

import sqlite3
from collections.abc import Callable
from typing import Any, Literal

from ledger.store.engine import SqliteStore

Way = Literal["not done", "done but reported as failed"]
WAYS: tuple[Way, ...] = ("not done", "done but reported as failed")
CALLS = ("do_execute", "do_executemany", "do_commit")
"""Every call by which statements and commits reach the database."""


class Faults:
    """Counts the calls of a store's writer and fails at one of them, as a disk would.

    `fail_at` is the number of the call that fails, counted from 1; None lets all through.
    """

    def __init__(self, store: SqliteStore, fail_at: int | None = None, way: Way = "not done") -> None:
        assert store._writer is not None
        dialect: Any = store._writer._connection.engine.dialect
        self.count, self.failed, self.fail_at, self._way = 0, "", fail_at, way
        for name in CALLS:
            setattr(dialect, name, self._wrapped(name, getattr(dialect, name)))

    def _wrapped(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def calling(*values: Any, **more: Any) -> Any:
            self.count += 1
            failing = self.count == self.fail_at
            if not failing or self._way != "not done":
                result = call(*values, **more)
            if failing:
                self.failed = name
                raise sqlite3.OperationalError("disk I/O error")
            return result

        return calling
