"""Finding anything in 50,000 books, each bought through the door with its seller, its price and, of some, a note."""

import random
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from statistics import median
from time import process_time
from typing import Final

from ledger.ports import Ledger
from ledger.rows import ROWS_VERSION
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.store.engine import open_store
from ledger.store.log import SqlLog
from ledger.usecases.drafts import ACT_MOST, Draft
from ledger.usecases.find import find
from tests.bench.appending import a_log
from tests.bench.hundred_thousand import _FIRST, _PRESSES, _SECOND, _THIRD
from tests.bench.measuring import Ratio
from tests.builders import a_purchase, an_issue
from tests.conftest import COLLECTION, ledger_on
from tests.store.writing import OWNER, Scribe, a_note

__all__ = ["ratios"]

BOOKS: Final = 50_000
ROUNDS: Final = 9
INSTANT_MS: Final = 100
"""What is taken for no waiting at all. Source: Miller, Response time in man-computer conversational transactions, AFIPS
1968: a tenth of a second."""
TYPED: Final = {
    "a title, letter by letter": ("am", "amb", "amber", "amber an", "amber anchor", "amber anchor 12"),
    "a word that is in every book": ("press", "comics", "the"),
    "a seller and a sealed number": ("orrin", "orrin vale", "lot-4711", "lot-4711 vale"),
    "words misspelt": ("ambre ancohr", "jaggd becon", "flicekr", "orrni vael"),
}
_SELLERS: Final = ("Orrin Vale", "Tamsin Holloway", "Dock Row Paper Fair", "Ferris and Daughter", "Wend Street Shop")
_NOTES: Final = ("the cover flickers in raking light", "staples were turned", "a corner dreams of better days")


def ratios() -> Iterator[Ratio]:
    """Units: ms of the processor for one text, the words of the ledger at hand as they are between two entries."""
    with closing(open_store(fifty_thousand())) as store:
        ledger = ledger_on(SqlLog(COLLECTION, store, EventCodec()))
        for what, texts in TYPED.items():
            ours = max(_milliseconds(ledger, text) for text in texts)
            yield Ratio(
                what=f"found in {BOOKS:,} books: {what}",
                ours=ours,
                reference="what is no waiting at all",
                theirs=INSTANT_MS,
                unit="ms",
                goal=1.0,
            )


def fifty_thousand() -> Path:
    """The folder; a new one whenever the books are made otherwise."""
    own = sha256(Path(__file__).read_bytes() + str(ROWS_VERSION).encode()).hexdigest()[:12]
    folder = Path(tempfile.gettempdir()) / f"slipsheet-bench-finding-{own}"
    if not (folder / "made").exists():
        shutil.rmtree(folder, ignore_errors=True)
        _fill(folder)
        (folder / "made").touch()
    return folder


def _fill(folder: Path) -> None:
    log, chance = a_log(folder), random.Random(5)
    scribe = Scribe(log)
    for first in range(0, BOOKS, ACT_MOST):
        names = [f"b{first + place}" for place in range(ACT_MOST)]
        scribe.write(*(_bought(name, chance) for name in names))
        scribe.write(*(Draft(event=a_note(chance.choice(_NOTES)), book=name) for name in names[::5]))
    log._store.close()


def _bought(name: str, chance: random.Random) -> Draft:
    issue = an_issue(
        title=f"{chance.choice(_FIRST)} {chance.choice(_SECOND)} {chance.choice(_THIRD)}",
        number=str(chance.randrange(1, 300)),
        start_year=chance.randrange(1938, 1990),
        publisher=chance.choice(_PRESSES),
    )
    seller, reason = Sealed.of(chance.choice(_SELLERS)), Sealed.of(f"lot-{name[1:]}")
    return Draft(event=a_purchase(issue=issue, seller=seller, reason=reason), new_book=True, id=name)


def _milliseconds(ledger: Ledger, text: str) -> float:
    find(ledger, OWNER, text)
    taken = []
    for _ in range(ROUNDS):
        start = process_time()
        find(ledger, OWNER, text)
        taken.append(process_time() - start)
    return median(taken) * 1000
