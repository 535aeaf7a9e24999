"""In which room a box or safe stands: where the books in it say it does, so that the next one need not say it again."""

from collections.abc import Iterable
from dataclasses import replace

from ledger.events.placement import Placement, Spot
from ledger.views import PlaceTally

__all__ = ["placed_in", "stands_in"]


def stands_in(kept: Iterable[PlaceTally], spot: Spot, place: str | None) -> str | None:
    """Id of the room of a box or safe of that name; None where no book in it names one, or they name several."""
    if place is None or spot is Spot.WALL:
        return None
    return next((each.room for each in kept if (each.spot, each.place) == (spot.value, place)), None)


def placed_in(kept: Iterable[PlaceTally], event: Placement) -> Placement:
    """The placement, in the room its box or safe stands in; a room that it names itself counts."""
    if event.room is not None:
        return event
    return replace(event, room=stands_in(kept, event.spot, event.place.value))
