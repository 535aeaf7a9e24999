"""Nothing the program says promises years of paper: neither the oven's old figure nor any other span of a book's life."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TOLD = sorted(
    path
    for pattern in (
        *("web/words/*.json", "web/templates/**/*.html", "web/sheets/*", "ledger/saying/*.json", "ledger/rules/**/*"),
        *("README.md", "DEVELOPERS.md", "api/**/*.py", "web/**/*.py"),
    )
    for path in ROOT.glob(pattern)
    if path.is_file() and path.suffix in {".json", ".html", ".typ", ".md", ".py"}
)
PROMISED = re.compile(r"\b(25|twenty-five)[ -]?years?\b|\byears of (its|the book\'s|a book\'s) life\b", re.IGNORECASE)


def test_there_is_something_to_read() -> None:
    assert len(TOLD) > 100


def test_no_file_that_people_read_from_promises_years() -> None:
    assert [str(path.relative_to(ROOT)) for path in TOLD if PROMISED.search(path.read_text("utf-8"))] == []
