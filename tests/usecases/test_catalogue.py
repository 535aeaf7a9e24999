"""A catalogue has the books that a query finds in the order of titles, each cover once, and tells how far it is."""

import pytest

from ledger.actor import Actor, Permission
from ledger.bootstrap import OWNER
from ledger.errors import ConflictError, ForbiddenError
from ledger.ports import Ledger
from ledger.usecases import catalogue as module
from ledger.usecases.catalogue import catalogue
from ledger.views import ShelfQuery
from tests.web.shelves import a_shelf, buy


def told(_done: int, _expected: int) -> None:
    """Nobody listens."""


def test_books_come_in_the_order_of_titles_whatever_order_was_asked_for(ledger: Ledger) -> None:
    a_shelf(ledger)
    of = catalogue(ledger, OWNER, ShelfQuery(sort="recent", descending=True, limit=1), told)
    assert [row.title for row in of.rows] == ["Alpha", "Beta", "Delta", "Gone", "Omega <&>", "Zeta"]
    kept = catalogue(ledger, OWNER, ShelfQuery(kept=True, text="a"), told)
    assert [row.title for row in kept.rows] == ["Alpha", "Beta", "Delta", "Omega <&>", "Zeta"]
    with ledger.log.read() as reader:
        assert (of.size, of.recorded) == (reader.head().size, reader.entry(reader.head().size).recorded)


def test_a_cover_that_is_not_at_hand_is_left_out(ledger: Ledger) -> None:
    a_shelf(ledger)
    of = catalogue(ledger, OWNER, ShelfQuery(text="alpha"), told)
    assert of.rows[0].cover is not None
    assert of.covers == {}


def test_each_book_is_counted(ledger: Ledger) -> None:
    a_shelf(ledger)
    counts: list[tuple[int, int]] = []
    catalogue(ledger, OWNER, ShelfQuery(), lambda done, expected: counts.append((done, expected)))
    assert counts == [(number, 6) for number in range(1, 7)]


def test_it_ends_at_the_next_count_when_it_is_to_end(ledger: Ledger) -> None:
    a_shelf(ledger)

    def stop(_done: int, _expected: int) -> None:
        raise ConflictError(sentence="ended")

    with pytest.raises(ConflictError, match="ended"):
        catalogue(ledger, OWNER, ShelfQuery(), stop)


def test_more_books_than_a_catalogue_has_are_refused_with_the_mend(
    ledger: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "BOOKS_MOST", 2)
    monkeypatch.setattr(module, "PAGE_MOST", 1)
    for _ in range(2):
        buy(ledger)
    assert len(catalogue(ledger, OWNER, ShelfQuery(), told).rows) == 2
    buy(ledger)
    with pytest.raises(ConflictError, match="Choose fewer"):
        catalogue(ledger, OWNER, ShelfQuery(), told)


def test_it_takes_the_permission_to_read(ledger: Ledger) -> None:
    with pytest.raises(ForbiddenError):
        catalogue(ledger, Actor(id="owner", scopes={Permission.SIGN}), ShelfQuery(), told)
