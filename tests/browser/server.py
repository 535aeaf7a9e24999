"""The program as a collector starts it: a process of its own, on a free port, ended when it is no longer needed."""

import json
import os
import select
import sqlite3
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

__all__ = ["HOUSE", "ROOT", "Server", "demo", "serve", "serve_the_house", "ten_minutes_pass"]

ROOT = Path(__file__).resolve().parent.parent.parent
HOUSE = "bench.test"
"""A name in a home network. Source: RFC 6761 section 6.2, names for tests."""
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


@contextmanager
def serve_the_house(folder: Path) -> Iterator[Server]:
    """As `serve`, found under the name of the house, over plain http as in a home network."""
    options = ["serve", "--json", "--port", "0", "--folder", str(folder / "collection"), "--keys", str(folder / "keys")]
    with _running(options, folder, SLIPSHEET_HOSTS=HOUSE) as running:
        url, sign_in = (each.replace("127.0.0.1", HOUSE) for each in (running.url, running.sign_in))
        yield replace(running, url=url, sign_in=sign_in)


def ten_minutes_pass(server: Server) -> None:
    """For every session: its password was not given only just now any more."""
    with closing(sqlite3.connect(server.folder / "collection/slipsheet.sqlite3", timeout=10)) as store, store:
        store.execute("UPDATE session SET confirmed = NULL")


@contextmanager
def _running(command: Sequence[str], folder: Path, **settings: str) -> Iterator[Server]:
    """The program, started and in the end stopped."""
    folder.mkdir(parents=True, exist_ok=True)
    clean = {name: value for name, value in os.environ.items() if not name.startswith("SLIPSHEET_")}
    with (
        (folder / "said.txt").open("a", encoding="utf-8") as said,
        subprocess.Popen(
            [sys.executable, "-m", "web.cli", *command],
            cwd=ROOT,
            env={**clean, **settings},
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
