"""What the address of the collection's page asks for: read leniently, written in one way."""

from urllib.parse import urlsplit

import pytest
from fastapi.datastructures import QueryParams

from ledger.views import ShelfQuery
from web.shelf_asked import Asked

EVERYTHING = Asked(
    q="élan & co", place=("Box 1", "Hall"), unnamed=True, holding=("raw",), heading=("none",),
    status=("here",), bench=True, left=True, low="4.0", high="9.8", sort="grade",
    descending=True, after="abc",
)  # fmt: skip


def read(address: str) -> Asked:
    return Asked.read(QueryParams(urlsplit(address).query))


def test_an_address_is_read_as_it_was_written() -> None:
    assert read(EVERYTHING.address) == EVERYTHING
    assert read(EVERYTHING.address).address == EVERYTHING.address
    assert Asked().address == "/collection"


@pytest.mark.parametrize(
    "query",
    [
        "sort=price",
        "low=9.7",
        "high=best",
        "bench=1",
        "left=true",
        "down=no",
        "unknown=x",
        "q=",
        "sort=title",
        "place=&heading=",
    ],
)
def test_what_cannot_be_read_asks_for_nothing(query: str) -> None:
    assert read(f"/collection?{query}") == Asked()


def test_each_answer_counts_once_and_a_pasted_text_is_cut() -> None:
    assert read("/collection?place=a&place=a&place=b").place == ("a", "b")
    assert len(read("/collection?q=" + "a" * 900).q) == 200


def test_the_store_is_asked_the_same() -> None:
    assert EVERYTHING.query() == ShelfQuery(
        text="élan & co", places=("Box 1", "Hall", ""), holdings=("raw",), headings=("",),
        statuses=("here",), on_bench=True, grade_from=8, grade_to=22, sort="grade",
        descending=True, after="abc",
    )  # fmt: skip
    assert Asked().query() == ShelfQuery(kept=True)
    assert Asked(left=True).query() == ShelfQuery()


@pytest.mark.parametrize(
    ("asked", "narrows", "counts"),
    [
        (Asked(), False, True),
        (Asked(left=True, sort="grade", descending=True, after="x"), False, True),
        (Asked(holding=("raw",)), True, True),
        (Asked(bench=True, status=("here",), heading=("none",)), True, True),
        (Asked(q="a"), True, False),
        (Asked(place=("Box 1",)), True, False),
        (Asked(unnamed=True), True, False),
        (Asked(low="4.0"), True, False),
    ],
)
def test_it_is_known_what_narrows_and_what_counts_itself(asked: Asked, narrows: bool, counts: bool) -> None:  # noqa: FBT001
    assert (asked.narrows, asked.counts_itself) == (narrows, counts)


def test_words_alone_do_not_open_the_questions_and_a_tick_does() -> None:
    assert not Asked(q="harbor", left=True, descending=True).narrows_beside_words
    assert Asked(q="harbor", low="8.0").narrows_beside_words
