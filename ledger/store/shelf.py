"""What the pages of the collection and of the walls read: rows with the names that lie sealed beside them, and counts.

A name is read from where it lies sealed and kept nowhere else, so an erasure needs to know of nothing here.
"""

import json
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from typing import Any, Final

from sqlalchemy import (
    BindParameter,
    Column,
    ColumnElement,
    Connection,
    FromClause,
    Select,
    and_,
    bindparam,
    func,
    or_,
    select,
)

from ledger.book import Status
from ledger.store.asking import page_limit, read_cursor, search_words, sort_key, write_cursor
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, PICTURE_ROW
from ledger.store.searching import asked_for, found_by
from ledger.store.tables import SEALED_VALUE
from ledger.views import NOTHING, HungRow, Page, PlaceTally, ShelfQuery, ShelfRow, Tallies, Tally

__all__ = ["Counted", "hung", "is_clean", "shelf", "tallies"]

_OURS: Final[BindParameter[str]] = bindparam("collection")
_PLACE: Final = SEALED_VALUE.alias("place_value")
_GRADER: Final = SEALED_VALUE.alias("grader_value")
_AT_PLACE: Final = and_(
    _PLACE.c.collection_id == BOOK_ROW.c.collection_id,
    _PLACE.c.seq == BOOK_ROW.c.place_seq,
    _PLACE.c.name == BOOK_ROW.c.place_field,
)
_OF_GRADER: Final = and_(
    _GRADER.c.collection_id == BOOK_ROW.c.collection_id,
    _GRADER.c.seq == BOOK_ROW.c.stated_seq,
    _GRADER.c.name == BOOK_ROW.c.stated_field,
)
_NAMES: Final = {"place": _PLACE.c.value, "graded_by": _GRADER.c.value}
_MOST: Final = 2**63 - 1
_ESCAPE: Final = "\\"
_WALL: Final = "wall"
_EMPTY: Final = "null"
"""How an empty sealed value is kept."""

Shape = tuple[str, bool, bool, tuple[str, ...]]
"""Order, its direction, whether it goes on behind a cursor, and the names of all that is bound."""


def shelf(connection: Connection, collection: str, query: ShelfQuery) -> Page[ShelfRow]:
    """The rows that a query lets through, from its cursor on.

    Raises: InvalidError for an order, a limit, a search or a cursor that there is not.
    """
    key, limit, words = sort_key(query), page_limit(query.limit), search_words(query)
    values: dict[str, Any] = {"collection": collection, "most": limit + 1}
    values.update({name: given for name in _GIVEN if (given := _given(query, name)) is not None})
    values.update(asked_for(connection.dialect.name, words))
    if query.after is not None:
        values["value"], values["number"] = read_cursor(query)
    shape = (key, query.descending, query.after is not None, tuple(sorted(values)))
    statement = _statement(shape, connection.dialect.name)
    found = connection.execute(statement, values).all()
    rows = [_shelf_row(each) for each in found[:limit]]
    if len(found) <= limit:
        return Page(rows)
    return Page(rows, write_cursor(query, found[limit - 1][-1], rows[-1].no))


def hung(connection: Connection, collection: str, limit: int) -> list[HungRow]:
    """Books that hang on a wall, wall by wall from the left, no more than the limit."""
    found = connection.execute(_HUNG, {"collection": collection, "most": limit}).all()
    return [HungRow._make((*row[:-1], _name(row[-1]))) for row in found]


def tallies(connection: Connection, collection: str) -> Tallies:
    """How many books are alike, and how many lie in each place."""
    books = connection.execute(_ALIKE, {"collection": collection}).all()
    places = connection.execute(_PLACED, {"collection": collection}).all()
    counted: dict[tuple[str, str | None], int] = {}
    stands: dict[tuple[str, str | None], set[str]] = {}
    for spot, room, kept, count in places:
        where = (spot, _name(kept))
        counted[where] = counted.get(where, 0) + count
        if room is not None and spot != _WALL and where[1] is not None:
            stands.setdefault(where, set()).add(room)
    in_order = sorted(counted, key=lambda where: (where[0], where[1] is None, where[1] or ""))
    return Tallies(
        books=tuple(Tally(row.status, row.holding, row.heading, bool(row.on_bench), row.books) for row in books),
        places=tuple(PlaceTally(*where, counted[where], _only(stands.get(where))) for where in in_order),
    )


def _only(rooms: set[str] | None) -> str | None:
    """The one room that is named; None where none is, or several."""
    return next(iter(rooms)) if rooms is not None and len(rooms) == 1 else None


class Counted:
    """The counts of the last size of the ledger that was asked about; an entry makes another size, an erasure too."""

    def __init__(self) -> None:
        self._last: tuple[int, Tallies] | None = None

    def at(self, size: int, count: Callable[[], Tallies]) -> Tallies:
        """The counts of a ledger of that size.

        Requires: a state that is kept; one of a transaction under way may never come to be.
        """
        last = self._last
        if last is None or last[0] != size:
            last = self._last = (size, count())
        return last[1]


def is_clean(connection: Connection, collection: str, sha256: str) -> bool:
    """Some book's photograph has a clean copy of that digest."""
    return connection.execute(_CLEAN, {"collection": collection, "clean": sha256}).first() is not None


def _shelf_row(found: Sequence[Any]) -> ShelfRow:
    *plain, graded_by, place, _key = found
    return ShelfRow._make((*plain, _name(graded_by), _name(place)))


def _name(kept: str | None) -> str | None:
    """The text of a sealed value as it is kept; None for an empty or an erased one."""
    if kept is None:
        return None
    if kept.startswith('"') and _ESCAPE not in kept:
        return kept[1:-1]
    found = json.loads(kept)
    assert found is None or isinstance(found, str)
    return found


def _kept(name: str) -> str:
    """The same the other way round; nothing said is an empty one."""
    return _EMPTY if name == NOTHING else json.dumps(name, ensure_ascii=False)


def _given(query: ShelfQuery, name: str) -> Any:  # noqa: ANN401 - what is bound may be of any type
    """The value of one filter as it is bound; None where the query leaves it out."""
    match name:
        case "places":
            return [_kept(each) for each in query.places] or None
        case "headings":
            return [each for each in query.headings if each != NOTHING] or None
        case "no_heading":
            return NOTHING if NOTHING in query.headings else None
        case "on_bench" | "kept":
            flag = getattr(query, name)
            return None if flag is None else int(flag)
        case "statuses" | "holdings":
            return list(getattr(query, name)) or None
        case _:
            return getattr(query, name)


_GIVEN: Final = (
    *("kept", "statuses", "holdings", "headings", "no_heading", "places"),
    *("on_bench", "grade_from", "grade_to"),
)


@lru_cache(maxsize=512)
def _statement(shape: Shape, dialect: str) -> Select[Any]:
    """The statement for queries of one shape; made once, since making it takes longer than running it."""
    key_name, descending, goes_on, asked = shape
    key = BOOK_ROW.c[key_name]
    narrowed = [BOOK_ROW.c.collection_id == _OURS, *_filters(frozenset(asked))]
    if "places" in asked:
        narrowed.append(BOOK_ROW.c.search_key.in_(_lying_in()))
    rows: FromClause = BOOK_ROW
    by: tuple[Column[Any], ...] = (key, BOOK_ROW.c.no)
    search = found_by(dialect, asked)
    if search and key is BOOK_ROW.c.title_key:
        # The search itself goes along the list by title, and stops where the page is full.
        # A row cannot lead to its text by a sum, so no database begins with the rows.
        rows = BOOK_SEARCH.join(BOOK_ROW, BOOK_ROW.c.search_key == BOOK_SEARCH.c.rowid + 0)
        narrowed, by = [*narrowed, *search], (BOOK_SEARCH.c.rowid,)
    elif search:
        narrowed.append(BOOK_ROW.c.search_key.in_(select(BOOK_SEARCH.c.rowid).where(*search)))
    if goes_on:
        along = _found_behind(descending=descending) if len(by) == 1 else _behind(key, descending=descending)
        narrowed.append(along)
    columns = [_NAMES[name] if name in _NAMES else BOOK_ROW.c[name] for name in ShelfRow._fields]
    joined = rows.outerjoin(_PLACE, _AT_PLACE).outerjoin(_GRADER, _OF_GRADER)
    statement = select(*columns, key).select_from(joined).where(*narrowed)
    order = (each.desc() if descending else each for each in by)
    return statement.order_by(*order).limit(bindparam("most", type_=BOOK_ROW.c.no.type))


def _behind(key: Column[Any], *, descending: bool) -> ColumnElement[bool]:
    """Rows behind the cursor's, in the order asked for."""
    value, number = bindparam("value", type_=key.type), bindparam("number", type_=BOOK_ROW.c.no.type)
    if descending:
        return and_(key <= value, or_(key < value, BOOK_ROW.c.no < number))
    return and_(key >= value, or_(key > value, BOOK_ROW.c.no > number))


def _found_behind(*, descending: bool) -> ColumnElement[bool]:
    """The same of what a search finds along the list by title: behind the last key that is not behind the cursor."""
    passed = BOOK_ROW.alias("passed").c
    value, number = bindparam("value", type_=passed.title_key.type), bindparam("number", type_=passed.no.type)
    last = select(passed.search_key).where(passed.collection_id == _OURS).limit(1)
    if descending:
        up_to = and_(passed.title_key >= value, or_(passed.title_key > value, passed.no >= number))
        key = last.where(up_to).order_by(passed.title_key, passed.no).scalar_subquery()
        return BOOK_SEARCH.c.rowid < func.coalesce(key, _MOST)
    up_to = and_(passed.title_key <= value, or_(passed.title_key < value, passed.no <= number))
    key = last.where(up_to).order_by(passed.title_key.desc(), passed.no.desc()).scalar_subquery()
    return BOOK_SEARCH.c.rowid > func.coalesce(key, 0)


def _filters(asked: frozenset[str]) -> Iterator[ColumnElement[bool]]:
    row = BOOK_ROW.c
    if "kept" in asked:
        yield row.kept == bindparam("kept")
    if "statuses" in asked:
        yield row.status.in_(bindparam("statuses", expanding=True))
    if "holdings" in asked:
        yield row.holding.in_(bindparam("holdings", expanding=True))
    headings = []
    if "headings" in asked:
        headings.append(row.heading.in_(bindparam("headings", expanding=True)))
    if "no_heading" in asked:
        headings.append(row.heading.is_(None))
    if headings:
        yield or_(*headings)
    if "on_bench" in asked:
        yield row.on_bench == bindparam("on_bench")
    if "grade_from" in asked:
        yield row.grade_key >= bindparam("grade_from")
    if "grade_to" in asked:
        yield row.grade_key.between(0, bindparam("grade_to"))


def _lying_in() -> Select[Any]:
    """Keys of the books in one of the places asked for; where it has no name, only of those that are here."""
    named = select(_PLACE.c.value).where(_AT_PLACE).correlate(BOOK_ROW).scalar_subquery()
    name = func.coalesce(named, _EMPTY)
    lies = (name.in_(bindparam("places", expanding=True)), or_(BOOK_ROW.c.status == Status.HELD.value, name != _EMPTY))
    return select(BOOK_ROW.c.search_key).where(BOOK_ROW.c.collection_id == _OURS, *lies)


_HUNG: Final = (
    select(*(BOOK_ROW.c[name] for name in HungRow._fields[:-1]), _PLACE.c.value)
    .select_from(BOOK_ROW.outerjoin(_PLACE, _AT_PLACE))
    .where(BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.spot == "wall")
    .order_by(BOOK_ROW.c.room, BOOK_ROW.c.wall, BOOK_ROW.c.title_key, BOOK_ROW.c.no)
    .limit(bindparam("most", type_=BOOK_ROW.c.no.type))
)
_ALIKE_BY: Final = (BOOK_ROW.c.status, BOOK_ROW.c.holding, BOOK_ROW.c.heading, BOOK_ROW.c.on_bench)
_ALIKE: Final = (
    select(*_ALIKE_BY, func.count().label("books"))
    .where(BOOK_ROW.c.collection_id == _OURS)
    .group_by(BOOK_ROW.c.kept, *_ALIKE_BY)  # as the index has them; whether it is kept hangs on its status alone
)
_PLACED: Final = (
    select(BOOK_ROW.c.spot, BOOK_ROW.c.room, _PLACE.c.value, func.count())
    .select_from(BOOK_ROW.outerjoin(_PLACE, _AT_PLACE))
    .where(BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.spot.is_not(None))
    .group_by(BOOK_ROW.c.spot, BOOK_ROW.c.room, _PLACE.c.value)
)
_CLEAN: Final = select(PICTURE_ROW.c.book).where(
    PICTURE_ROW.c.collection_id == _OURS, PICTURE_ROW.c.clean == bindparam("clean")
)
