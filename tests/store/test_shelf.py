"""The page of the collection and the walls: names from where they lie sealed, filters, counts, alike in every store."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import InvalidError
from ledger.events.choice import Choice, Next
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.erasure import Erasure
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.sale import Disclosed, Means, Sale
from ledger.events.withdrawal import Withdrawal
from ledger.sealed import Sealed
from ledger.views import HungRow, PlaceTally, ShelfQuery, ShelfRow, Tally
from tests.builders import a_slab, a_stated_grade, an_intervention, an_issue, on
from tests.conftest import STORES, Kept
from tests.store.writing import Scribe, a_note

KEPT = ("here", "in other hands")


def a_placement(spot: Spot = Spot.BOX, place: str | None = "Box 1", **changes: Any) -> Placement:
    return Placement(**{"spot": spot, "place": Sealed.of(place), "on": on("2025-01-05"), **changes})


def on_wall(place: str | None, x_cm: str, **changes: Any) -> Placement:
    return a_placement(Spot.WALL, place, room="hall", wall="n", x_cm=x_cm, y_cm="150", **changes)


@pytest.fixture
def scribe(store: Kept) -> Scribe:
    return Scribe(store.log)


def buy(scribe: Scribe, title: str, *events: Any, **changes: Any) -> str:
    """A book of that title with what happened to it."""
    book = scribe.buy(issue=an_issue(title=title), **changes).book
    assert book is not None
    for event in events:
        scribe.add(book, event)
    return book


def rows(scribe: Scribe, **query: Any) -> list[ShelfRow]:
    found, after = [], None
    with scribe.log.read() as reader:
        while True:
            page = reader.shelf(ShelfQuery(**{"limit": 2, "after": after, **query}))
            found += page.rows
            if page.after is None:
                return found
            after = page.after


def titles(scribe: Scribe, **query: Any) -> list[str]:
    return [row.title for row in rows(scribe, **query)]


def test_a_row_has_the_names_that_lie_sealed_at_hand(scribe: Scribe) -> None:
    graded: dict[str, Any] = {"stated": a_stated_grade("VF to NM", "9.0", "9.2"), "stated_by": Sealed.of("Third Bench")}
    look = Examination(height_mm="261", width_mm="183", through_holder=True, on=on("2024-02-05"))
    slab = a_slab(issue=an_issue(title="Alpha"), **graded)
    book = scribe.buy(**{name: getattr(slab, name) for name in ("issue", "stated", "stated_by", "holding")}).book
    scribe.add(book, look)
    scribe.add(book, a_placement())
    (row,) = rows(scribe)
    assert (row.graded_by, row.opinion_of, row.grade_low, row.grade_step) == ("Third Bench", "grading service", 18, 19)
    assert (row.place, row.spot, row.height_mm, row.width_mm) == ("Box 1", "box", "261", "183")
    assert row.written_on == "2026-01-02"


def test_a_name_left_empty_or_erased_or_of_no_place_is_none(scribe: Scribe) -> None:
    buy(scribe, "Empty", a_placement(place=None))
    erased = buy(scribe, "Erased")
    placed = scribe.add(erased, a_placement(place="The loft"))
    scribe.add(erased, Erasure(entry=placed.seq, names=("place",)))
    buy(scribe, "Nowhere")
    assert [(row.title, row.place) for row in rows(scribe)] == [("Empty", None), ("Erased", None), ("Nowhere", None)]
    assert titles(scribe, places=("",)) == ["Empty", "Erased", "Nowhere"]
    assert titles(scribe, places=("The loft",)) == []


def test_a_corrected_name_is_read_from_the_correction_and_after_its_withdrawal_from_the_entry(scribe: Scribe) -> None:
    book = buy(scribe, "Alpha")
    placed = scribe.add(book, a_placement(place="Box 1"))
    mended = scribe.add(book, Correction(entry=placed.seq, changes={"place": "Box 7"}))
    assert [row.place for row in rows(scribe, places=("Box 7",))] == ["Box 7"]
    scribe.add(book, Correction(entry=placed.seq, changes={"room": "attic"}))
    assert [row.place for row in rows(scribe)] == ["Box 7"]
    scribe.add(book, Withdrawal(entry=mended.seq))
    assert [row.place for row in rows(scribe)] == ["Box 1"]


def test_the_erasure_of_a_corrected_name_leaves_none(scribe: Scribe) -> None:
    book = buy(scribe, "Alpha")
    placed = scribe.add(book, a_placement(place="Box 1"))
    mended = scribe.add(book, Correction(entry=placed.seq, changes={"place": "Box 7"}))
    scribe.add(book, Erasure(entry=mended.seq, names=("new.place",)))
    assert [row.place for row in rows(scribe)] == [None]


def test_a_new_place_comes_without_the_measures_of_the_old_one(scribe: Scribe) -> None:
    book = buy(scribe, "Alpha", on_wall("Hall", "40"))
    scribe.add(book, a_placement(Spot.WALL, 'Under "the" bäm', on=on("2025-02")))
    with scribe.log.read() as reader:
        (hung,) = reader.hung(9)
    assert (hung.room, hung.x_cm, hung.y_cm, hung.place, hung.placed_on) == (
        *(None, None, None),
        *('Under "the" bäm', "2025-02"),
    )
    assert titles(scribe, places=('Under "the" bäm',)) == ["Alpha"]


@pytest.fixture(scope="module", params=STORES)
def shelf(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Scribe]:
    """A few books in every state a filter asks for."""
    folder: Path = tmp_path_factory.mktemp("shelf")
    with STORES[request.param](folder) as log:
        scribe = Scribe(log)
        buy(scribe, "Alpha", a_placement(place="Box 1"), an_intervention("dry-cleaning"))
        buy(scribe, "Beta", a_placement(place="Box 2"), an_intervention("colour-touch"))
        buy(scribe, "Gamma", on_wall("Hall", "40"), Choice(next=Next.GO_ON, on=on("2025-03")))
        buy(scribe, "Delta", on_wall(None, "80"))
        buy(scribe, "Omega", Custody(direction=Direction.OUT, to_whom=Hands.FRAMER, on=on("2025-05")))
        gone = Sale(means=Means.SOLD, disclosed=Disclosed.NOT_APPLICABLE, on=on("2026"))
        buy(scribe, "Zeta", a_placement(place="Box 1"), gone)
        slab = a_slab(issue=an_issue(title="Slabbed"), stated=a_stated_grade("9.8", "9.8"), holder_number="7")
        parts = ("issue", "stated", "holding", "holder_number")
        scribe.buy(**{name: getattr(slab, name) for name in parts})
        yield scribe


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({}, ["Alpha", "Beta", "Delta", "Gamma", "Omega", "Slabbed", "Zeta"]),
        ({"kept": True}, ["Alpha", "Beta", "Delta", "Gamma", "Omega", "Slabbed"]),
        ({"kept": False}, ["Zeta"]),
        ({"statuses": ("in other hands", "left the collection")}, ["Omega", "Zeta"]),
        ({"holdings": ("slabbed",)}, ["Slabbed"]),
        ({"holdings": ("raw", "slabbed"), "kept": False}, ["Zeta"]),
        ({"headings": ("restoration",)}, ["Beta"]),
        ({"headings": ("",)}, ["Delta", "Gamma", "Omega", "Slabbed", "Zeta"]),
        ({"headings": ("", "non-additive"), "kept": True}, ["Alpha", "Delta", "Gamma", "Omega", "Slabbed"]),
        ({"places": ("Box 1",)}, ["Alpha"]),
        ({"places": ("Box 2", "Hall", "Elsewhere")}, ["Beta", "Gamma"]),
        ({"places": ("",)}, ["Delta", "Slabbed"]),
        ({"places": ("", "Box 2")}, ["Beta", "Delta", "Slabbed"]),
        ({"on_bench": True}, ["Gamma"]),
        ({"on_bench": False, "places": ("Hall",)}, []),
        ({"grade_from": 22}, ["Slabbed"]),
        ({"grade_to": 24}, ["Slabbed"]),
        ({"grade_to": 21}, []),
        ({"text": "lantern"}, []),
        ({"text": "ta"}, ["Beta", "Delta", "Zeta"]),
        ({"text": "ta 14", "kept": True}, ["Beta", "Delta"]),
        ({"text": "gamma 14"}, ["Gamma"]),
        ({"text": "gamma", "places": ("Box 1",)}, []),
        ({"text": "a%"}, []),
        ({"text": "a_p"}, []),
        ({"text": "a/"}, []),
        ({"text": "alp", "headings": ("non-additive",)}, ["Alpha"]),
    ],
)
@pytest.mark.parametrize("descending", [False, True])
def test_several_answers_may_be_right_and_a_search_comes_in_the_order_of_titles(
    shelf: Scribe, query: dict[str, Any], found: list[str], descending: Any
) -> None:
    assert titles(shelf, descending=descending, **query) == (found[::-1] if descending else found)


@pytest.mark.parametrize("descending", [False, True])
@pytest.mark.parametrize(("sort", "key"), [("number", "number"), ("grade", "grade_step"), ("recent", "no")])
def test_a_search_in_another_order_finds_the_same_in_that_order(
    shelf: Scribe, sort: str, key: str, descending: Any
) -> None:
    found = rows(shelf, text="a", sort=sort, descending=descending)
    assert sorted(row.title for row in found) == titles(shelf, text="a")
    keys = [getattr(row, key) if getattr(row, key) is not None else -1 for row in found]
    assert keys == sorted(keys, reverse=descending)


def test_a_search_goes_on_behind_a_book_that_has_gone_from_its_place_meanwhile(scribe: Scribe) -> None:
    books = [buy(scribe, f"Series {letter}") for letter in "bdf"]
    with scribe.log.read() as reader:
        first = reader.shelf(ShelfQuery(text="series", limit=2))
    scribe.add(books[1], Correction(entry=2, changes={"issue": {"title": "Anything", "number": "1"}}))
    buy(scribe, "Series e")
    buy(scribe, "Series a")
    with scribe.log.read() as reader:
        following = reader.shelf(ShelfQuery(text="series", after=first.after))
        beginning = reader.shelf(ShelfQuery(text="series"))
    assert [row.title for row in following.rows] == ["Series e", "Series f"]
    assert [row.title for row in beginning.rows] == ["Series a", "Series b", "Series e", "Series f"]


@pytest.mark.parametrize(
    ("query", "field"),
    [({"sort": "price"}, "sort"), ({"limit": 0}, "limit"), ({"after": "x"}, "after"), ({"text": "a " * 9}, None)],
)
def test_what_no_list_can_be_asked_is_refused(shelf: Scribe, query: dict[str, Any], field: str | None) -> None:
    with shelf.log.read() as reader:
        if field is None:
            assert reader.shelf(ShelfQuery(**query)).rows
            return
        with pytest.raises(InvalidError) as refused:
            reader.shelf(ShelfQuery(**query))
    assert [problem.field for problem in refused.value.problems] == [field]


def test_what_hangs_comes_wall_by_wall_and_no_more_than_asked_for(shelf: Scribe) -> None:
    with shelf.log.read() as reader:
        hung = reader.hung(9)
        assert [row.title for row in reader.hung(1)] == ["Delta"]
    assert [row.title for row in hung] == ["Delta", "Gamma"]
    gamma = hung[1]
    assert isinstance(gamma, HungRow)
    assert (gamma.room, gamma.wall, gamma.x_cm, gamma.y_cm, gamma.place) == ("hall", "n", "40", "150", "Hall")
    assert gamma.placed_on == "2025-01-05"


def test_the_collection_is_counted(shelf: Scribe) -> None:
    with shelf.log.read() as reader:
        counted = reader.tallies()
    assert sorted(counted.books, key=str) == sorted(
        [
            Tally("here", "raw", "non-additive", on_bench=False, books=1),
            Tally("here", "raw", "restoration", on_bench=False, books=1),
            Tally("here", "raw", None, on_bench=True, books=1),
            Tally("here", "raw", None, on_bench=False, books=1),
            Tally("here", "slabbed", None, on_bench=False, books=1),
            Tally("in other hands", "raw", None, on_bench=False, books=1),
            Tally("left the collection", "raw", None, on_bench=False, books=1),
        ],
        key=str,
    )
    assert counted.places == (
        *(PlaceTally("box", "Box 1", 1), PlaceTally("box", "Box 2", 1)),
        *(PlaceTally("wall", "Hall", 1), PlaceTally("wall", None, 1)),
    )


def test_the_counts_follow_every_entry_an_erasure_too(scribe: Scribe) -> None:
    def places() -> list[str | None]:
        with scribe.log.read() as reader:
            return [each.place for each in reader.tallies().places]

    book = buy(scribe, "Alpha")
    assert places() == []
    placed = scribe.add(book, a_placement(place="The loft"))
    assert places() == places() == ["The loft"]
    scribe.add(book, Erasure(entry=placed.seq, names=("place",)))
    assert places() == [None]


def test_counts_within_a_work_that_fails_are_forgotten(store: Kept) -> None:
    scribe = Scribe(store.log)
    book = buy(scribe, "Alpha")

    def fails(writer: Any) -> None:
        assert len(writer.tallies().books) == 1
        raise KeyError(book)

    with pytest.raises(KeyError):
        store.log.write(fails)
    scribe.add(book, a_placement(place="The loft"))
    with store.log.read() as reader:
        assert [each.place for each in reader.tallies().places] == ["The loft"]


def test_only_the_clean_copies_that_entries_name_are_shown(scribe: Scribe) -> None:
    book, other = buy(scribe, "Alpha"), buy(scribe, "Beta")
    first, second = "a" * 64, "b" * 64
    taken = scribe.add(book, Photograph(original="1" * 64, clean=first, on=on("2025")))
    scribe.add(other, Photograph(original="1" * 64, clean=first, on=on("2025")))
    with scribe.log.read() as reader:
        assert [reader.is_clean(each) for each in (first, "1" * 64, second, "")] == [True, False, False, False]
    scribe.add(book, Correction(entry=taken.seq, changes={"clean": second}))
    scribe.add(other, Withdrawal(entry=4))
    scribe.add(book, a_note())
    with scribe.log.read() as reader:
        assert [reader.is_clean(each) for each in (first, second)] == [True, True]
        assert [each.pictures for each in reader.listings()] == [(second,), (first,)]
