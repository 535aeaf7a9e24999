"""The program as a collector starts it: a process of its own, on a free port, ended when it is no longer needed."""

import json
import os
import select
import sqlite3
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

__all__ = ["ROOT", "Server", "demo", "serve", "ten_minutes_pass"]

ROOT = Path(__file__).resolve().parent.parent.parent
START_SECONDS = 60
STOP_SECONDS = 20


@dataclass
class Server:
    """One running program."""

    url: str
    sign_in: str
    """The one-time link; empty for a collection whose owner has a password."""
    folder: Path
    process: subprocess.Popen[str]
    cookies: list[Any] = field(default_factory=list)
    """Of the browser that came in by the link."""

    def at(self, path: str) -> str:
        """The address of a page."""
        return self.url + path


def demo(folder: Path) -> AbstractContextManager[Server]:
    """The told collection, in a folder of its own."""
    return _running(["demo", "--json", "--folder", str(folder / "demo")], folder)


def serve(folder: Path, *more: str) -> AbstractContextManager[Server]:
    """An empty collection on its first start, or whatever the folder holds by now; `more` are options."""
    data, keys = folder / "collection", folder / "keys"
    return _running(["serve", "--json", "--port", "0", "--folder", str(data), "--keys", str(keys), *more], folder)


def ten_minutes_pass(server: Server) -> None:
    """For every session: its password was not given only just now any more."""
    with closing(sqlite3.connect(server.folder / "collection/slipsheet.sqlite3", timeout=10)) as store, store:
        store.execute("UPDATE session SET confirmed = NULL")


@contextmanager
def _running(command: Sequence[str], folder: Path) -> Iterator[Server]:
    """The program, started and in the end stopped."""
    folder.mkdir(parents=True, exist_ok=True)
    clean = {name: value for name, value in os.environ.items() if not name.startswith("SLIPSHEET_")}
    with (
        (folder / "said.txt").open("a", encoding="utf-8") as said,
        subprocess.Popen(
            [sys.executable, "-m", "web.cli", *command],
            cwd=ROOT,
            env=clean,
            stdout=subprocess.PIPE,
            stderr=said,
            text=True,
        ) as process,
    ):
        try:
            told = json.loads(_first_line(process, folder / "said.txt"))
            yield Server(url=told["url"], sign_in=told.get("sign_in", ""), folder=folder, process=process)
        finally:
            process.terminate()
            try:
                process.wait(STOP_SECONDS)
            except subprocess.TimeoutExpired:
                process.kill()


def _first_line(process: subprocess.Popen[str], said: Path) -> str:
    """What it prints when it listens."""
    assert process.stdout is not None
    ready, _, _ = select.select([process.stdout], [], [], START_SECONDS)
    line = process.stdout.readline() if ready else ""
    assert line, f"the program did not start: {said.read_text('utf-8')}"
    return line
