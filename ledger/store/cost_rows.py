"""The costs of books as rows: kept in the transaction of their entries, added up in one statement."""

from collections.abc import Iterable, Sequence
from typing import Any, Final

from sqlalchemy import BindParameter, Connection, Row, and_, bindparam, delete, func, insert, or_, select

from ledger.cost_rows import INSURANCE, MARKET, CostRow, CostSum, KeptCosts
from ledger.store.row_tables import COST_ROW

__all__ = ["cost_values", "kept_costs", "put_costs", "read_cost"]

_OURS: Final[BindParameter[str]] = bindparam("own_collection")
_OF_BOOK: Final = (COST_ROW.c.collection_id == _OURS, COST_ROW.c.book == bindparam("own_book"))
_ROW: Final = [COST_ROW.c[name] for name in CostRow._fields]
_KEPT: Final = select(*_ROW).where(*_OF_BOOK).order_by(COST_ROW.c.place)
_INSERT: Final = insert(COST_ROW)
_DELETE: Final = delete(COST_ROW).where(*_OF_BOOK)

_ALIKE: Final = [COST_ROW.c[name] for name in ("currency", "what", "year", "why", "held", "gain", "gain_year")]
_HOME: Final[BindParameter[str]] = bindparam("home")
# The columns come in the order of their index, so that the rows are added up as they lie there.
_SUMS: Final = (
    select(*_ALIKE, func.sum(COST_ROW.c.minor).label("minor"), func.count().label("number"))
    .where(COST_ROW.c.collection_id == _OURS, COST_ROW.c.currency.in_(["", _HOME]))
    .group_by(*_ALIKE)
)
_CURRENCY: Final = COST_ROW.c.currency
# Two ranges of the index, on either side of the home currency: "not in" would go through every row.
_OTHER: Final = select(COST_ROW.c.book).where(
    COST_ROW.c.collection_id == _OURS,
    or_(and_(_CURRENCY > "", _CURRENCY < _HOME), _CURRENCY > _HOME),
)
_MIXED: Final = (
    select(COST_ROW.c.book, *_ROW)
    .where(COST_ROW.c.collection_id == _OURS, COST_ROW.c.book.in_(_OTHER))
    .order_by(COST_ROW.c.book, COST_ROW.c.place)
)
_YEAR: Final[BindParameter[int]] = bindparam("year")
_OF_YEAR: Final = (
    select(COST_ROW.c.book, *_ROW)
    .where(
        COST_ROW.c.collection_id == _OURS,
        or_(COST_ROW.c.year == _YEAR, COST_ROW.c.gain_year == _YEAR),
        COST_ROW.c.what.not_in([MARKET, INSURANCE]),
    )
    .order_by(COST_ROW.c.book, COST_ROW.c.place)
)


def put_costs(connection: Connection, collection: str, book: str, made: Sequence[CostRow], *, is_new: bool) -> None:
    """The rows of one book, put in the place of those it had."""
    own = {"own_collection": collection, "own_book": book}
    kept = [] if is_new else [read_cost(row) for row in connection.execute(_KEPT, own)]
    if kept == list(made):
        return
    if kept:
        connection.execute(_DELETE, own)
    if made:
        connection.execute(_INSERT, list(cost_values(collection, book, made)))


def kept_costs(connection: Connection, collection: str, home: str, year: int | None = None) -> KeptCosts:
    """Every row of a collection, those in the home currency added up; or the rows of one year."""
    own: dict[str, Any] = {"own_collection": collection, "home": home}
    if year is not None:
        rows = connection.execute(_OF_YEAR, {"own_collection": collection, "year": year})
        return KeptCosts(sums=(), mixed=[(row[0], CostRow._make(row[1:])) for row in rows])
    sums = [
        CostSum(
            what=row.what,
            year=row.year,
            currency=row.currency,
            why=row.why,
            held=bool(row.held),
            gain=row.gain,
            gain_year=row.gain_year,
            minor=int(row.minor),
            number=row.number,
        )
        for row in connection.execute(_SUMS, own)
    ]
    found = [(book, CostRow._make(row)) for book, *row in connection.execute(_MIXED, own)]
    others = {(book, row.period) for book, row in found if row.currency not in ("", home)}
    return KeptCosts(sums=sums, mixed=[(book, row) for book, row in found if (book, row.period) in others])


def read_cost(row: Row[Any]) -> CostRow:
    """One row as it is kept."""
    return CostRow._make(getattr(row, name) for name in CostRow._fields)


def cost_values(collection: str, book: str, made: Sequence[CostRow]) -> Iterable[dict[str, Any]]:
    """The rows of one book as they are put in."""
    for place, row in enumerate(made):
        yield {**row._asdict(), "held": int(row.held), "collection_id": collection, "book": book, "place": place}
