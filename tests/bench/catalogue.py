"""The catalogue of five hundred books with their covers, beside the same pictures and words set as plainly as can be.

The reference scales every photograph by the library alone and sets it with one line of words, by the same typesetter to
the same standard: no contents, no index, no facts. Beside the ratio stands the time itself, since a minute is the goal.
"""

import io
import random
import tempfile
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from time import perf_counter
from typing import Final

from PIL import Image

from ledger.adapters.sheets import TypstSheets
from ledger.bootstrap import OWNER, open_ledger
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.catalogue import WIDTH, catalogue
from ledger.usecases.drafts import Draft
from ledger.usecases.record import record
from ledger.views import ShelfQuery
from tests.bench.measuring import Ratio
from tests.bench.small_copies import bare
from tests.builders import a_purchase, an_issue, on
from web.catalogue_told import catalogue_data, names_of
from web.report_sheet import source

BOOKS: Final = 500
SIZE: Final = (1500, 2250)
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
            covers = _filled(ledger)
            ours = _timed_ours(ledger)
    theirs = _timed_plainly(covers)
    what = f"catalogue of {BOOKS} books, no small copy kept before"
    yield Ratio(what=what, ours=ours, reference="the same pictures, set plainly", theirs=theirs, unit="s", goal=GOAL)
    yield Ratio(what=what, ours=ours, reference="one minute", theirs=MINUTE_S, unit="s", goal=1.0)


def _filled(ledger: Ledger) -> Sequence[bytes]:
    """Books of so many series, each with a photograph of its own; the clean copies."""
    chance, covers = random.Random(5), []
    for number in range(BOOKS):
        kept = ledger.pictures.keep(_photograph(chance))
        covers.append(ledger.pictures.read(kept.clean))
        issue = an_issue(title=f"Series {number % SERIES}", number=str(number), publisher=f"Press {number % 9}")
        bought = record(ledger, OWNER, [Draft(event=a_purchase(issue=issue), new_book=True)]).entries[0].book
        shot = Photograph(original=kept.original, clean=kept.clean, on=on("2025-06"))
        record(ledger, OWNER, [Draft(event=shot, book=bought)])
    return covers


def _timed_ours(ledger: Ledger) -> float:
    start = perf_counter()
    of = catalogue(ledger, OWNER, ShelfQuery(kept=True), lambda _done, _expected: None)
    files = names_of(of)
    beside = {files[digest]: cover for digest, cover in of.covers.items()}
    data = catalogue_data(of, chosen=(), places=True)
    assert TypstSheets().pdf(source("catalogue"), data, beside, of.recorded).startswith(b"%PDF")
    taken = perf_counter() - start
    assert len(of.covers) == BOOKS
    return taken


def _timed_plainly(covers: Sequence[bytes]) -> float:
    start = perf_counter()
    beside = {f"{number}.jpg": bare(cover, WIDTH) for number, cover in enumerate(covers)}
    made = TypstSheets().pdf(PLAIN, {"title": "Plain", "files": list(beside)}, beside, datetime.now(UTC))
    assert made.startswith(b"%PDF")
    return perf_counter() - start


def _photograph(chance: random.Random) -> bytes:
    """Soft noise in three colours, no two alike."""
    parts = [Image.effect_noise((SIZE[0] // 6, SIZE[1] // 6), 20 + 60 * chance.random()) for _ in range(3)]
    out = io.BytesIO()
    Image.merge("RGB", parts).resize(SIZE).save(out, "JPEG", quality=88)
    return out.getvalue()
