"""Where a search finds nothing, the titles most like what was asked for are named."""

import pytest

from tests.api.door import Door

TITLES = ("Captain Lantern", "Harbour Lights", "The Paper Comet")


@pytest.fixture
def shop(real_door: Door) -> Door:
    for title in TITLES:
        real_door.a_book(issue={"title": title, "number": "3"})
    return real_door


def test_a_misspelt_title_is_answered_with_the_likest(shop: Door) -> None:
    told = shop.get("/books?q=captian lantren").json()
    assert told["books"] == []
    assert told["nearest"][0] == "Captain Lantern"


def test_nothing_is_offered_where_something_was_found(shop: Door) -> None:
    told = shop.get("/books?q=lantern").json()
    assert [each["title"] for each in told["books"]] == ["Captain Lantern"]
    assert told["nearest"] == []


def test_nothing_is_offered_for_what_is_like_no_title(shop: Door) -> None:
    assert shop.get("/books?q=zzzzqqqq").json() == {"books": [], "nearest": []}


def test_nothing_is_offered_where_no_words_were_asked_for(shop: Door) -> None:
    assert shop.get("/books?status=left the collection").json() == {"books": [], "nearest": []}
