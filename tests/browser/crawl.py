"""Finds the pages that links lead to, from the wall on, and sorts them by what they are made of."""

import re
from collections import defaultdict, deque
from collections.abc import Iterator
from typing import Final
from urllib.parse import parse_qsl, urljoin, urlsplit

from tests.browser.window import Window
from tests.web.markup import read_page

__all__ = ["pages", "pattern_of"]

OF_EACH: Final = 2
"""How many pages of one pattern are looked at."""
MOST: Final = 250
"""Pages that are asked for at most."""
TELLING: Final = frozenset({"kind", "as"})
"""Names in an address whose value makes another page, not the same page with other rows."""
ONE_OF_MANY: Final = {
    "books": "{book}",
    "ledger": "{seq}",
    "rules": "{table}",
    "bench/recipes": "{recipe}",
    "value/sales": "{sale}",
    "money/loss": "{book}",
    "money/year": "{year}",
}
"""Folders whose pages are alike."""


def pages(window: Window, start: str = "/wall") -> dict[str, list[str]]:
    """The paths of some pages of every pattern there is, in the order in which links lead there."""
    found: dict[str, list[str]] = defaultdict(list)
    waiting, seen = deque([start]), {start}
    asked = 0
    while waiting and asked < MOST:
        path = waiting.popleft()
        if len(found[pattern_of(path)]) >= OF_EACH:
            continue
        asked += 1
        answer = window.context.request.get(window.server.at(path))
        assert answer.ok, f"a link leads to {path}, which answers {answer.status}"
        if not answer.headers["content-type"].startswith("text/html"):
            continue
        found[pattern_of(path)].append(path)
        for link in _links(path, answer.text()):
            if link not in seen:
                seen.add(link)
                waiting.append(link)
    return {pattern: paths for pattern, paths in found.items() if paths}


def pattern_of(path: str) -> str:
    """The path without what only says which one: `/books/{book}`, `/entry/new?book&kind=sale`."""
    parts = urlsplit(path)
    many = r"^/(books|ledger|rules|money/loss|money/year|bench/recipes(?!/new$)|value/sales)/[^/]+"
    folders = re.sub(many, lambda found: f"/{found[1]}/{ONE_OF_MANY[found[1]]}", parts.path)
    folders = re.sub(r"^/bench/tools/(?!new$)[^/]+", "/bench/tools/{tool}", folders)
    folders = re.sub(r"^/prospects/(?!new$)[^/]+", "/prospects/{prospect}", folders)
    folders = re.sub(r"^/runs/[^/]+", "/runs/{run}", folders)
    folders = re.sub(r"^/bring-in/[^/]+", "/bring-in/{table}", folders)
    folders = re.sub(r"^/batches/[^/]+", "/batches/{batch}", folders)
    asked = sorted({f"{name}={value}" if name in TELLING else name for name, value in parse_qsl(parts.query)})
    return folders + ("?" + "&".join(asked) if asked else "")


def _links(path: str, html: str) -> Iterator[str]:
    """Where a page leads on this server."""
    for link in read_page(html).all("a"):
        to = urlsplit(urljoin(path, link.attrs.get("href", "")))
        if not to.netloc and "download" not in link.attrs:
            yield to.path + (f"?{to.query}" if to.query else "")
