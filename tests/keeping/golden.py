"""Makes the golden archive of today's version: `python -m tests.keeping.golden FILE`, run once before it is released.

Time, chance and key stand still, so the same program gives the same bytes. An archive that was released is never made
anew: whatever later versions write, they read this one.
"""

import io
import json
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from ledger.bench import Step
from ledger.bootstrap import OWNER, open_ledger
from ledger.care import CareRow, Drawer
from ledger.events._parts import Face, Holding, Issue
from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.market import Came, KeptSale, ProspectSaid, Rate
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.tools import ToolSaid
from ledger.usecases.bench import keep_recipe, put_in
from ledger.usecases.checkpoint import current, sign_checkpoint
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.prospects import keep_prospect
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.sign_in import enter
from ledger.usecases.stamps import take
from ledger.usecases.take_out import take_out
from ledger.usecases.tools import add_tool
from ledger.when import When
from seeds.fixed import StoryChance
from tests.builders import a_purchase, an_issue, usd
from tests.pictures import a_picture
from tests.usecases.cosigned import WITNESS, asked

PASSPHRASE: Final = "golden: read by whoever has this file"
COLLECTION: Final = "thegoldencollectionarchive"
SEED: Final = b"\x2a" * 32
AT: Final = datetime(2026, 11, 26, 7, 0, tzinfo=UTC)
FOLDER: Final = Path(__file__).parents[1] / "vectors" / "archives"


class _Still:
    """A clock that stands."""

    def now(self) -> datetime:
        return AT

    def today(self) -> date:
        return AT.date()


@contextmanager
def golden_ledger(folder: Path) -> Iterator[Ledger]:
    """The ledger that the archive holds."""
    settings = Settings(folder=str(folder / "data"), keys=str(folder / "keys"))
    with open_ledger(settings, clock=_Still(), chance=StoryChance(), seed=SEED, collection=COLLECTION) as ledger:
        _fill(ledger)
        yield ledger


def _fill(ledger: Ledger) -> None:
    """Two books, and something in every table that an archive carries."""
    bought = a_purchase(price=Sealed.of(usd("12.50")), seller=Sealed.of("Ölm & Søn"))
    book = str(record(ledger, OWNER, [Draft(event=bought, new_book=True)], Request(key="k", body=b"x")).entries[0].book)
    other = a_purchase("1998", issue=an_issue(title="Harbor Lamp", number="½"), seller=Sealed.of("to be erased"))
    second = record(ledger, OWNER, [Draft(event=other, new_book=True)]).entries[0]
    photograph(ledger, OWNER, book, [Shot(data=a_picture("teal"), said={"face": Face.FRONT})])
    record(ledger, OWNER, [Draft(event=Note(words=Sealed.of('=1+1 "quoted", line\nline')), book=book)])
    erased = Erasure(entry=second.seq, names=("seller",))
    record(ledger, OWNER, [Draft(event=erased, book=second.book)])
    _beside(ledger, book)
    sign_checkpoint(ledger, OWNER)
    take(ledger, OWNER, asked(ledger).encode(), key=WITNESS.verifier.vkey)
    issue(ledger, OWNER, book, Wish())


def _beside(ledger: Ledger, book: str) -> None:
    step = Step(values={"technique": "cold-press"})
    add_tool(ledger, OWNER, ToolSaid(name="Book press", kind="cold press", capacity="6"))
    put_in(ledger, OWNER, [book], step, by=(keep_recipe(ledger, OWNER, "Flat", [step]).id, 0))
    keep_prospect(ledger, OWNER, ProspectSaid(issue=Issue(title="Gearbox Garrity", number="7"), asking=usd("60.00")))
    assert ledger.market is not None
    assert ledger.care is not None
    assert ledger.accounts is not None
    enter(ledger.accounts)
    rate = Rate(of="EUR", into="USD", on=When("2026-03-01"), rate=Decimal("1.0815"), source="Statement", made=AT)
    sale = KeptSale(
        id="sale-1",
        issue=an_issue(),
        on=When("2026-02"),
        grade=Grade("9.0"),
        price=Money.of("210.00", "USD"),
        holding=Holding.SLABBED,
        came=Came.PASTED,
        made=AT,
    )
    ledger.market.write(lambda writer: writer.put_sale(sale))
    ledger.market.write(lambda writer: writer.put_rate(rate))
    for each in Drawer:
        row = CareRow(id=f"{each.value}-1", made=AT, said={"drawer": each.value, "note": "ö"})
        ledger.care.write(lambda writer, each=each, row=row: writer.put(each, row))  # type: ignore[misc]


def told(ledger: Ledger) -> dict[str, Any]:
    """What every later version must read from it."""
    with ledger.log.read() as reader:
        state = current(reader)
        shelf = [
            [each.title, each.number, each.status] for each in (reader.book(head.book) for head in reader.book_heads())
        ]
        sealed = [each.value for each in reader.sealed_between(1, state.size) if isinstance(each.value, str)]
    assert ledger.carrier is not None
    with ledger.carrier.read() as carried:
        rows = dict(carried.counts())
    return {"checkpoint": state.to_text(), "books": shelf, "sealed": sealed, "rows": rows}


def main(path: Path) -> None:
    """The archive, and beside it what is in it."""
    made = io.BytesIO()
    with tempfile.TemporaryDirectory() as folder, golden_ledger(Path(folder)) as ledger:
        take_out(ledger, OWNER, made, passphrase=PASSPHRASE)
        found = told(ledger)
    path.write_bytes(made.getvalue())
    path.with_suffix(".json").write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
