"""The catalogue of five hundred books with their covers, beside the same pictures and words set as plainly as can be.

The reference scales every photograph by the library alone and sets it with one line of words, by the same typesetter to
the same standard: no contents, no index, no facts. Beside the ratio stands the time itself, since a minute is the goal.
"""

import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from time import perf_counter, process_time
from typing import Final

from ledger.adapters.pictures import FilePictures
from ledger.adapters.sheets import TypstSheets
from ledger.bootstrap import OWNER, open_ledger
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.catalogue import WIDTH, catalogue
from ledger.usecases.catalogues import catalogue_pdf
from ledger.usecases.drafts import Draft
from ledger.usecases.record import record
from ledger.views import ShelfQuery
from tests.bench.measuring import Ratio
from tests.bench.small_copies import _photograph, bare
from tests.builders import a_purchase, an_issue, on

BOOKS: Final = 500
SERIES: Final = 40
GOAL: Final = 2.0
MINUTE_S: Final = 60.0
PLAIN: Final = """
#let d = json("data.json")
#set document(title: d.title, date: auto)
#set text(font: "Libertinus Serif", fallback: false)
#for each in d.files [#image(each, height: 40mm, alt: each) #each \\ ]
"""


def ratios() -> Iterator[Ratio]:
    """Two rows: against the plainest sheet, and against the minute. Units: s."""
    with tempfile.TemporaryDirectory() as place:
        settings = Settings(folder=f"{place}/data", keys=f"{place}/keys")
        with open_ledger(settings) as ledger:
            base = _photograph()
            _fill(ledger, base)
            ours, worked = _timed_ours(ledger)
    theirs = _timed_plainly(base)
    what = f"catalogue of {BOOKS} books, no small copy kept before"
    yield Ratio(what=what, ours=ours, reference="the same pictures, set plainly", theirs=theirs, unit="s", goal=GOAL)
    what = "the same, of all processors' time"
    yield Ratio(what=what, ours=worked, reference="one minute", theirs=MINUTE_S, unit="s", goal=1.0)


def _fill(ledger: Ledger, base: bytes) -> None:
    """Books of so many series, each with a photograph of its own."""
    for number in range(BOOKS):
        # As the intake leaves it, without decoding five hundred photographs that nobody times.
        assert isinstance(ledger.pictures, FilePictures)
        name = ledger.pictures._put(_other(base, number))
        issue = an_issue(title=f"Series {number % SERIES}", number=str(number), publisher=f"Press {number % 9}")
        bought = record(ledger, OWNER, [Draft(event=a_purchase(issue=issue), new_book=True)]).entries[0].book
        record(ledger, OWNER, [Draft(event=Photograph(original=name, clean=name, on=on("2025-06")), book=bought)])


def _timed_ours(ledger: Ledger) -> tuple[float, float]:
    """By the clock, and of all processors together, which says as much on a machine that is busy with other things."""
    start, worked = perf_counter(), process_time()
    of = catalogue(ledger, OWNER, ShelfQuery(kept=True), lambda _done, _expected: None)
    assert catalogue_pdf(ledger, of, chosen=(), places=True).startswith(b"%PDF")
    taken, worked = perf_counter() - start, process_time() - worked
    assert len(of.covers) == BOOKS
    return taken, worked


def _timed_plainly(base: bytes) -> float:
    start = perf_counter()
    beside = {f"{number}.jpg": bare(_other(base, number), WIDTH) for number in range(BOOKS)}
    made = TypstSheets().pdf(PLAIN, {"title": "Plain", "files": list(beside)}, beside, datetime.now(UTC))
    assert made.startswith(b"%PDF")
    return perf_counter() - start


def _other(photograph: bytes, number: int) -> bytes:
    """The same photograph as another file: with a comment. Source: ITU-T T.81 section B.2.4.5."""
    said = b"%06d" % number
    return photograph[:2] + b"\xff\xfe" + (len(said) + 2).to_bytes(2, "big") + said + photograph[2:]
