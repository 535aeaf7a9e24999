"""The collection with 100,000 books: its page, its search, its memory."""

import http.client
import json
import re
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from html import unescape
from pathlib import Path
from time import sleep
from typing import Final
from urllib.parse import urlsplit

from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, open_read_only
from ledger.store.log import SqlLog
from ledger.views import PAGE, ShelfQuery
from tests.bench.hundred_thousand import hundred_thousand
from tests.bench.measuring import Ratio, compared
from tests.conftest import COLLECTION

TIMES: Final = 120
TYPED: Final = ("amb", "ambe", "amber", "amber an", "amber anchor", "comics", "press", "jagged beacon")
"""What somebody types, letter by letter."""
GOAL: Final = 2.0
"""Of a page, the same whether it is kept or made anew."""
MEMORY_MOST: Final = 250
NEXT: Final = re.compile(r'<a href="([^"]+)" rel="next"')


class Client:
    """One connection that stays open, as a browser's does."""

    def __init__(self, url: str, cookie: str = "") -> None:
        parts = urlsplit(url)
        self._host, self._cookie = f"{parts.hostname}:{parts.port}", cookie
        self._connection = http.client.HTTPConnection(self._host)

    def get(self, path: str) -> bytes:
        """The body of an answer that is fine."""
        self._connection.request("GET", path, headers={"Cookie": self._cookie} if self._cookie else {})
        answer = self._connection.getresponse()
        body = answer.read()
        assert answer.status == http.HTTPStatus.OK, (path, answer.status)
        return body


def ratios() -> Iterator[Ratio]:
    """The rows of the table."""
    folder = hundred_thousand()
    yield from _search(folder)
    with ExitStack() as stack:
        told, pid = stack.enter_context(_started("tests.bench.serving"))
        client = Client(told["url"], told["cookie"])
        first = client.get("/collection")
        bare, _ = stack.enter_context(_started("tests.bench.bare", str(len(first)), str(PAGE)))
        reference = Client(bare["url"])
        assert len(reference.get("/")) == len(first)
        yield from _pages(client, reference)
        yield Ratio(
            what="memory of the process that serves them",
            ours=_resident_mib(pid),
            reference="what it may have",
            theirs=MEMORY_MOST,
            unit="MiB",
            goal=1.0,
        )


def _pages(client: Client, reference: Client) -> Iterator[Ratio]:
    where = ["/collection"]

    def further() -> None:
        found = NEXT.search(client.get(where[0]).decode())
        assert found
        where[0] = unescape(found[1])

    bare = f"a bare page of as many bytes, {PAGE} rows in it"
    for what, work in (
        (f"page of {PAGE} rows of 100,000, seen again", lambda: client.get("/collection")),
        ("further pages, each for the first time since an entry", further),
    ):
        ours, theirs = compared(work, lambda: reference.get("/"), times=TIMES)
        yield Ratio(what=what, ours=ours, reference=bare, theirs=theirs, unit="ms", goal=GOAL)


def _search(folder: Path) -> Iterator[Ratio]:
    with closing(open_read_only(folder)) as store, closing(sqlite3.connect(folder / DATABASE)) as db:
        log = SqlLog(COLLECTION, store, EventCodec())

        def ours() -> None:
            for text in TYPED:
                with log.read() as reader:
                    assert reader.shelf(ShelfQuery(text=text, kept=True)).rows

        def theirs() -> None:
            for text in TYPED:
                words = " ".join(f'"{word}"' for word in text.split() if len(word) > 2)
                assert db.execute("SELECT rowid FROM book_search WHERE text MATCH ?", (words,)).fetchall()

        mine, bare = compared(ours, theirs, times=TIMES // 4)
        what, reference = f"search while {len(TYPED)} texts are typed", "the bare FTS5 query for the same words"
        yield Ratio(what=what, ours=mine, reference=reference, theirs=bare, unit="ms", goal=1.5)


@contextmanager
def _started(module: str, *arguments: str) -> Iterator[tuple[dict[str, str], int]]:
    """A server in a process of its own, once it answers; and its number."""
    command = [sys.executable, "-m", module, *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            told = json.loads(process.stdout.readline())
            while not _answers(told["url"]):
                sleep(0.05)
            yield told, process.pid
        finally:
            process.terminate()


def _answers(url: str) -> bool:
    parts = urlsplit(url)
    try:
        http.client.HTTPConnection(f"{parts.hostname}:{parts.port}").request("GET", "/")
    except OSError:
        return False
    return True


def _resident_mib(pid: int) -> float:
    """Memory in use, as the system tells it. Source: proc(5), VmRSS."""
    found = re.search(r"^VmRSS:\s+(\d+) kB$", Path(f"/proc/{pid}/status").read_text("utf-8"), re.MULTILINE)
    assert found
    return int(found[1]) / 1024
