"""The list of books: every order, filter and search, page by page, alike in every kind of store."""

import base64
import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from ledger.errors import InvalidError
from ledger.events.identification import Identification
from ledger.store.codec import EventCodec
from ledger.store.engine import open_store
from ledger.store.log import make_collection, open_log
from ledger.usecases.record import Draft
from ledger.views import BookQuery, BookRow
from tests.builders import a_purchase, a_slab, a_stated_grade, an_issue
from tests.check import check_ledger
from tests.conftest import COLLECTION, STORES, Kept
from tests.store.writing import WHEN, Scribe, a_note

BOOKS: tuple[tuple[str, str, int | None, str | None, str | None], ...] = (
    ("Captain Lantern", "14", 1962, "Night Press", "9.0"),
    ("Captain Lantern", "9", 1962, "Night Press", None),
    ("Captain Lantern", "Annual 12", 1962, "Night Press", "4.0"),
    ("Captain Lantern", "Annual 3", 1962, None, "9.6"),
    ("Captain Lantern", "14", 1948, "Harbour & Sons", None),
    ("captain lantern", "14", 1962, "Night Press", "9.0"),
    ("Élan Vital", "1/2", 1955, "Œuvre", "0.5"),
    ("Elan Vital", "1", 1955, None, "10.0"),
    ("The 100% Hero", "7", None, "A_B", None),
    ("The 1000 Heroes", "7", None, "AXB", None),
    ("Ω", "3", 1970, None, None),
    ("影の灯", "2", 1970, None, None),
)


@contextmanager
def a_shelf(kind: str, folder: Path) -> Iterator[Kept]:
    """A log with the books above, numbered in that order; afterwards everything in it is read again."""
    with STORES[kind](folder) as log:
        scribe = Scribe(log)
        drafts = []
        for title, number, year, publisher, grade in BOOKS:
            issue = an_issue(title=title, number=number, start_year=year, publisher=publisher)
            slabbed = a_slab(issue=issue, stated=a_stated_grade(grade, grade), holder_number=None) if grade else None
            drafts.append(Draft(event=slabbed or a_purchase(issue=issue), new_book=True))
        scribe.write(*drafts)
        yield Kept(kind, log, folder)
        check_ledger(log)


@pytest.fixture(scope="module", params=STORES)
def shelf(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kept]:
    """The books above, for tests that only read."""
    with a_shelf(request.param, tmp_path_factory.mktemp("shelf")) as kept:
        yield kept


@pytest.fixture(params=STORES)
def own_shelf(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Kept]:
    """The books above, for a test that writes to them."""
    with a_shelf(request.param, tmp_path) as kept:
        yield kept


def numbers(shelf: Kept, **query: Any) -> list[int]:
    """Numbers of the books found, all pages together."""
    return [row.no for row in rows(shelf, **query)]


def rows(shelf: Kept, **query: Any) -> list[BookRow]:
    found, after = [], None
    with shelf.log.read() as reader:
        while True:
            page = reader.books(BookQuery(**{"limit": 5, "after": after, **query}))
            found += page.rows
            if page.after is None:
                return found
            after = page.after


def test_titles_are_in_order_without_capitals_and_accents_and_numbers_count(shelf: Kept) -> None:
    # 1948 before 1962; 9 before 14 before Annual 3 before Annual 12; equal keys by the book's number.
    assert numbers(shelf) == [5, 2, 1, 6, 4, 3, 8, 7, 9, 10, 11, 12]


def test_numbers_are_in_order_as_numbers(shelf: Kept) -> None:
    assert [row.number for row in rows(shelf, sort="number")] == [
        *("1", "1/2", "2", "3", "7", "7", "9", "14", "14", "14", "Annual 3", "Annual 12"),
    ]


def test_grades_are_in_order_with_the_books_that_have_none_first(shelf: Kept) -> None:
    assert numbers(shelf, sort="grade") == [2, 5, 9, 10, 11, 12, 7, 3, 1, 6, 4, 8]


def test_the_book_written_to_last_is_the_most_recent(own_shelf: Kept) -> None:
    with own_shelf.log.read() as reader:
        fourth = reader.books(BookQuery(sort="recent")).rows[3]
    Scribe(own_shelf.log, "later").add(fourth.book, a_note())
    assert numbers(own_shelf, sort="recent", descending=True) == [4, 12, 11, 10, 9, 8, 7, 6, 5, 3, 2, 1]


@pytest.mark.parametrize("sort", ["title", "number", "grade", "recent"])
@pytest.mark.parametrize("limit", [1, 2, 7, 12, 13])
def test_pages_put_together_are_the_whole_list_and_the_other_way_round_its_mirror(
    shelf: Kept, sort: str, limit: int
) -> None:
    whole = numbers(shelf, sort=sort, limit=100)
    assert sorted(whole) == list(range(1, len(BOOKS) + 1))
    assert numbers(shelf, sort=sort, limit=limit) == whole
    assert numbers(shelf, sort=sort, limit=limit, descending=True) == whole[::-1]


def test_a_page_goes_on_where_it_ended_although_a_book_came_in_between(own_shelf: Kept) -> None:
    with own_shelf.log.read() as reader:
        page = reader.books(BookQuery(limit=3))
    Scribe(own_shelf.log, "later").buy(issue=an_issue(title="Aardvark"))
    with own_shelf.log.read() as reader:
        following = reader.books(BookQuery(limit=3, after=page.after))
    assert [row.no for row in (*page.rows, *following.rows)] == [5, 2, 1, 6, 4, 3]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({"holding": "raw"}, [2, 5, 9, 10, 11, 12]),
        ({"holding": "slabbed"}, [1, 3, 4, 6, 7, 8]),
        ({"status": "here"}, list(range(1, 13))),
        ({"status": "left the collection"}, []),
        ({"on_bench": False}, list(range(1, 13))),
        ({"on_bench": True}, []),
        ({"heading": "restoration"}, []),
        ({"spot": "wall"}, []),
        ({"grade_from": 18}, [1, 4, 6, 8]),
        ({"grade_to": 18}, [1, 3, 6, 7]),
        ({"grade_from": 18, "grade_to": 18}, [1, 6]),
        ({"grade_from": 18, "text": "annual"}, [4]),
    ],
)
def test_a_filter_lets_through_what_it_says(shelf: Kept, query: dict[str, Any], found: list[int]) -> None:
    assert sorted(numbers(shelf, **query)) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("lantern", [1, 2, 3, 4, 5, 6]),
        ("LANTERN captain", [1, 2, 3, 4, 5, 6]),
        ("antern 14", [1, 5, 6]),
        ("lantern annual 3", [4]),
        ("elan", [7, 8]),
        ("ÉLAN", [7, 8]),
        ("lan", [1, 2, 3, 4, 5, 6, 7, 8]),
        ("14", [1, 5, 6]),
        ("9", [2]),
        ("1/2", [7]),
        ("night press", [1, 2, 3, 6]),
        ("harbour &", [5]),
        ("100%", [9]),
        ("100", [9, 10]),
        ("%", [9]),
        ("a_b", [9]),
        ("_", [9]),
        ("axb", [10]),
        ("ω", [11]),
        ("灯", [12]),
        ("影の灯", [12]),
        ("nothing of the kind", []),
        ("of the", []),
        ("he", [9, 10]),
        ('the "100%', []),
        ("NEAR(captain lantern)", []),
        ("captain OR elan", []),
        ("text:lantern", []),
        ("'; DROP TABLE entry; --", []),
        ('"lantern"', []),
        ("lantern*", []),
        ("\x00lantern\ud800", [1, 2, 3, 4, 5, 6]),
        ("   ", list(range(1, 13))),
        ("", list(range(1, 13))),
    ],
)
def test_a_search_finds_every_book_that_has_all_the_words(shelf: Kept, text: str, found: list[int]) -> None:
    assert sorted(numbers(shelf, text=text)) == found


def test_a_search_finds_a_book_under_its_new_title_and_not_under_the_old_one(own_shelf: Kept) -> None:
    with own_shelf.log.read() as reader:
        book = reader.books(BookQuery(text="harbour")).rows[0].book
    identified = Identification(issue=an_issue(title="Admiral Lamp", publisher=None), how="indicia")
    Scribe(own_shelf.log, "later").add(book, identified)
    assert (numbers(own_shelf, text="harbour"), numbers(own_shelf, text="admiral")) == ([], [5])


def _forged(**changes: Any) -> str:
    parts = {"sort": "title", "descending": False, "value": "a", "number": 1, **changes}
    text = json.dumps(list(parts.values()), separators=(",", ":"))
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


TAMPERED = {
    "nothing": "",
    "no base64": "%%%",
    "base64 of nothing": "AAAA",
    "padded": base64.urlsafe_b64encode(b'["title",false,"a",1]').decode() + "=",
    "spaced": base64.urlsafe_b64encode(b'["title", false,"a",1]').decode().rstrip("="),
    "of another order": _forged(sort="number"),
    "of the other direction": _forged(descending=True),
    "with a number for a text": _forged(value=5),
    "with a list": _forged(value=["a"]),
    "with a text for a number": _forged(number="1"),
    "with a truth value": _forged(number=True),
    "with a great number": _forged(number=2**63),
    "with a surrogate": _forged(value="\ud800"),
    "with a NUL": _forged(value="a\x00"),
    "too deep": base64.urlsafe_b64encode(b"[" * 3000).decode(),
    "not ASCII": "é",
}


@pytest.mark.parametrize("name", TAMPERED)
def test_a_cursor_that_was_not_given_out_is_refused(shelf: Kept, name: str) -> None:
    with shelf.log.read() as reader, pytest.raises(InvalidError) as refused:
        reader.books(BookQuery(after=TAMPERED[name]))
    assert [problem.field for problem in refused.value.problems] == ["after"]


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"sort": "price"}, "sort"),
        ({"limit": 0}, "limit"),
        ({"limit": 501}, "limit"),
        ({"text": " ".join(map(str, range(25)))}, "q"),
    ],
)
def test_an_order_or_a_page_that_there_is_not_is_refused(shelf: Kept, query: dict[str, Any], field: str) -> None:
    with shelf.log.read() as reader, pytest.raises(InvalidError) as refused:
        reader.books(BookQuery(**query))
    assert [problem.field for problem in refused.value.problems] == [field]


@pytest.fixture
def explained(tmp_path: Path) -> Iterator[Any]:
    """How SQLite would go about the statements of a query: its own words, one line for each step."""
    store = open_store(tmp_path / "explained")
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    Scribe(log).buy()
    statements: list[tuple[str, Any]] = []
    event.listen(
        store._reading, "before_cursor_execute", lambda _c, _cursor, text, values, *_: statements.append((text, values))
    )

    def plan(**query: Any) -> str:
        statements.clear()
        with log.read() as reader:
            reader.books(BookQuery(**query))
        text, values = statements[-1]
        with store.snapshot(COLLECTION) as connection:
            found = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}", values).all()
        return "\n".join(row.detail for row in found)

    yield plan
    store.close()


@pytest.mark.parametrize("descending", [False, True])
@pytest.mark.parametrize("sort", ["title", "number", "grade", "recent"])
def test_a_page_of_a_long_list_is_read_along_an_index_and_nothing_is_sorted(
    explained: Any, sort: str, descending: Any
) -> None:
    first = explained(sort=sort, descending=descending)
    assert f"USING INDEX book_row_{sort} (collection_id=?)" in first
    value: str | int = 3 if sort in ("grade", "recent") else "m"
    later = explained(sort=sort, descending=descending, after=_forged(sort=sort, descending=descending, value=value))
    compared = {"title": "title_key", "number": "number_key", "grade": "grade_key", "recent": "last_seq"}[sort]
    assert f"USING INDEX book_row_{sort} (collection_id=? AND {compared}{'<' if descending else '>'}?)" in later
    assert "TEMP B-TREE" not in first + later


def test_a_search_looks_words_of_three_letters_and_more_up_among_the_trigrams(explained: Any) -> None:
    # M is the search's own sign for MATCH, L for LIKE. Source: sqlite.org, source of fts5_main.c, xBestIndex.
    assert "book_search VIRTUAL TABLE INDEX 0:M" in explained(text="lantern of 14")
    assert "INDEX 0:L" not in explained(text="lantern of 14")
    assert "book_search VIRTUAL TABLE INDEX 0:\n" in explained(text="of 14") + "\n"
