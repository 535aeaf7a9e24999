"""A misspelt title is among the first five that are named instead, in every kind of store; what is spelt well is found."""

import random
from collections.abc import Iterator

import pytest

from ledger.likeness import LEAST, likeness, nearest
from ledger.rows import folded, words_of
from ledger.usecases.record import Draft
from ledger.views import BookQuery, ShelfQuery
from tests.builders import a_purchase, an_issue
from tests.conftest import STORES, Kept
from tests.store.writing import Scribe

TITLES = (
    *("Captain Lantern", "Captain Latimer", "The Lantern", "Night Owl", "Night Owls of Harbour Street", "Élan Vital"),
    *(
        "The 100% Hero",
        "Harbour & Sons",
        "Pirates of the Paper Sea",
        "Paper Sea Stories",
        "Moonlit Rails",
        "Ω",
        "影の灯",
    ),
    *("Gearbox Monthly", "Umbrella Street", "The Quiet Station", "Stationmaster", "Tin Whistle Romances", "Sextant"),
)
MISSPELT = {
    "a letter left out": ("Captain Lantrn", "Captain Lantern"),
    "a letter too many": ("Gearrbox Monthly", "Gearbox Monthly"),
    "a wrong letter": ("Umbrella Streat", "Umbrella Street"),
    "two letters swapped": ("Sxetant", "Sextant"),
    "two words wrong": ("Pirtaes of the Papr Sea", "Pirates of the Paper Sea"),
    "a word left out and one wrong": ("Quiet Sttaion", "The Quiet Station"),
    "words in another order": ("Owl Nihgt", "Night Owl"),
    "written together": ("Moonlitrails", "Moonlit Rails"),
    "with its number": ("Tin Wistle 14", "Tin Whistle Romances"),
    "an accent too many": ("Élan Vitál x", "Élan Vital"),
    "the first letter wrong": ("Kexton Sextand", "Sextant"),
}


@pytest.fixture(scope="module", params=STORES)
def shelf(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kept]:
    """Three numbers of each title."""
    folder = tmp_path_factory.mktemp("nearest")
    with STORES[request.param](folder) as log:
        issues = [an_issue(title=title, number=str(number)) for title in TITLES for number in (1, 14, 3)]
        Scribe(log).write(*(Draft(event=a_purchase(issue=issue), new_book=True) for issue in issues))
        yield Kept(request.param, log, folder)


@pytest.mark.parametrize("how", MISSPELT)
def test_a_misspelt_title_is_among_the_first_five(shelf: Kept, how: str) -> None:
    asked, meant = MISSPELT[how]
    with shelf.log.read() as reader:
        assert reader.books(BookQuery(text=asked)).rows == []
        assert meant in reader.nearest_titles(asked, 5)


@pytest.mark.parametrize("asked", ["14", "", "  ", "zzzz", "?!"])
def test_nothing_is_named_where_nothing_is_like_it(shelf: Kept, asked: str) -> None:
    with shelf.log.read() as reader:
        assert reader.nearest_titles(asked, 5) == []


def test_every_store_names_the_same(shelf: Kept) -> None:
    chance = random.Random(11)
    with shelf.log.read() as reader:
        for _ in range(60):
            letters = list(chance.choice(TITLES))
            letters.insert(chance.randrange(len(letters) + 1), chance.choice("aeiounrst "))
            del letters[chance.randrange(len(letters))]
            asked = "".join(letters)
            assert reader.nearest_titles(asked, 5) == [
                next(title for title in TITLES if folded(title) == found)
                for found in nearest(asked, [folded(title) for title in TITLES], 5)
            ]


def test_exact_words_and_beginnings_of_words_find_the_same_in_every_store(shelf: Kept) -> None:
    words = sorted({word for title in TITLES for word in words_of(title)})
    asked = [*words, *(word[:end] for word in words for end in range(1, len(word))), "night owl", "the la", "14 sext"]
    with shelf.log.read() as reader:
        for text in asked:
            meant = sorted(
                (title, number)
                for title in TITLES
                for number in ("1", "14", "3")
                if all(word in folded(f"{title} {number}") for word in words_of(text))
            )
            books = reader.books(BookQuery(text=text, limit=100)).rows
            assert sorted((row.title, row.number) for row in books) == meant, text
            rows = reader.shelf(ShelfQuery(text=text, limit=100)).rows
            assert sorted((row.title, row.number) for row in rows) == meant, text


@pytest.mark.parametrize(
    ("asked", "title", "like"),
    [
        ("sextant", "sextant", 1.0),
        # 8 letters are shared in order, of 24 in both: "lvan", "pen", "a". The article's own example, from memory.
        ("pennsylvania", "pencilvaneya", 2 * 8 / 24),
        ("abc", "xyz", 0.0),
    ],
)
def test_likeness_is_the_share_of_letters_in_order(asked: str, title: str, like: float) -> None:
    assert likeness(asked, title) == pytest.approx(like)
    assert (likeness(asked, title) >= LEAST) == (nearest(asked, [title], 1) == [title])
