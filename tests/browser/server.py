"""The program as a collector starts it: a process of its own, on a free port, ended when it is no longer needed.

Each is forked from one that has loaded the program, for loading takes ten times as long as beginning;
`tests/web/test_serving.py` starts it from nothing.
"""

import json
import multiprocessing
import os
import sqlite3
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import dataclass, field, replace
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Final

__all__ = ["HOUSE", "ROOT", "Server", "demo", "serve", "serve_the_house", "ten_minutes_pass"]

ROOT = Path(__file__).resolve().parent.parent.parent
HOUSE = "bench.test"
"""A name in a home network. Source: RFC 6761 section 6.2, names for tests."""
START_SECONDS = 180
STOP_SECONDS = 20
FORKED: Final = multiprocessing.get_context("forkserver")
FORKED.set_forkserver_preload(["tests.browser.loaded"])


@dataclass
class Server:
    """One running program."""

    url: str
    sign_in: str
    """The one-time link; empty for a collection whose owner has a password."""
    folder: Path
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
    told, tells = FORKED.Pipe(duplex=False)
    process = FORKED.Process(target=_begin, args=(command, folder / "said.txt", settings, tells))
    process.start()
    tells.close()
    try:
        with told:
            line = json.loads(_first_line(told, folder / "said.txt"))
        yield Server(url=line["url"], sign_in=line.get("sign_in", ""), folder=folder)
    finally:
        process.terminate()
        process.join(STOP_SECONDS)
        process.kill()
        process.join()
        process.close()


def _begin(command: Sequence[str], said: Path, settings: Mapping[str, str], tells: Connection) -> None:
    """In the new process: as if it had been started by this command, with what it prints led to whoever started it."""
    with said.open("a", encoding="utf-8") as errors:
        os.dup2(errors.fileno(), 2)
    os.dup2(tells.fileno(), 1)
    tells.close()
    for name in [each for each in os.environ if each.startswith("SLIPSHEET_")]:
        del os.environ[name]
    os.environ.update(settings)
    os.chdir(ROOT)
    sys.argv = ["slipsheet", *command]
    from web.cli import main  # noqa: PLC0415 - only where it runs

    main()


def _first_line(told: Connection, said: Path) -> str:
    """What it prints when it listens."""
    line = b""
    while not line.endswith(b"\n") and told.poll(START_SECONDS):
        more = os.read(told.fileno(), 4096)
        if not more:
            break
        line += more
    assert line.endswith(b"\n"), f"the program did not start: {said.read_text('utf-8')}"
    return line.decode()
