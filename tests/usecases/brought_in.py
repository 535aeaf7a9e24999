"""Short ways to bring a table in for tests."""

from ledger.importing.begun import Begun, Options
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases.imports import begin_import, check_import, choose_columns, mend_rows
from ledger.views import BookQuery
from tests.store.writing import OWNER

TABLE = b"""Title,No,Cond,Paid,Bought
Amber Anchor,14,VF/NM,12.50,1998
Copper Comet,2,lovely,3,1999
Amber Anchor,14,VF/NM,12.50,1998
Frozen Garden,101,NM-,lots,2001
"""
USD = Options(currency="USD")


def nobody(done: int, expected: int) -> None:
    assert 0 <= done <= expected


def begun(ledger: Ledger, data: bytes = TABLE, name: str = "boxes.csv", options: Options = USD) -> Begun:
    made = begin_import(ledger, OWNER, name, data, TableAsked())
    chosen = choose_columns(ledger, OWNER, made.id, made.columns.fields, options, made.source)
    return check_import(ledger, OWNER, chosen.id, nobody)


def mended(ledger: Ledger) -> Begun:
    made = begun(ledger)
    return mend_rows(ledger, OWNER, made.id, {3: {"grade": "9.0"}, 5: {"price": "7"}})


def books(ledger: Ledger) -> list[tuple[str, str]]:
    with ledger.log.read() as reader:
        return [(row.title, row.number) for row in reader.books(BookQuery(limit=100)).rows]


def size(ledger: Ledger) -> int:
    with ledger.log.read() as reader:
        return reader.head().size
