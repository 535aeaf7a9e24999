"""In which room a box or safe stands, counted from the books in it, on every store."""

import pytest

from ledger.events.placement import Spot
from ledger.views import PlaceTally
from tests.conftest import Kept
from tests.store.test_shelf import a_placement, buy, on_wall
from tests.store.writing import Scribe


@pytest.fixture
def scribe(store: Kept) -> Scribe:
    return Scribe(store.log)


def test_a_box_stands_in_the_one_room_that_its_books_name(scribe: Scribe) -> None:
    buy(scribe, "Alpha", a_placement())
    buy(scribe, "Beta", a_placement(room="study"))
    buy(scribe, "Gamma", a_placement(room="study"))
    for room in ("study", "hall"):
        buy(scribe, "Delta", a_placement(place="Box 2", room=room))
    for place in (None, None, "Box 3"):
        buy(scribe, "Epsilon", a_placement(Spot.SAFE, place, room="study" if place is None else None))
    buy(scribe, "Zeta", on_wall("Hall", "40"))
    with scribe.log.read() as reader:
        assert reader.tallies().places == (
            PlaceTally("box", "Box 1", 3, "study"),
            PlaceTally("box", "Box 2", 2, None),
            PlaceTally("safe", "Box 3", 1, None),
            PlaceTally("safe", None, 2, None),
            PlaceTally("wall", "Hall", 1, None),
        )
