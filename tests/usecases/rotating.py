"""Plans of rotation for tests: one wall with two spots, and books that take turns."""

from datetime import date
from typing import Any

from ledger.events._parts import Answer
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.sealed import Sealed
from ledger.usecases.rotation_said import BookSaid, RotationSaid, SpotSaid
from tests.builders import on
from tests.usecases.telling import Teller

__all__ = ["BRIGHT", "DARK", "FRAME", "SLEEVE", "a_rotation_book", "asked_for", "hang", "spot_of"]

BRIGHT = SpotSaid(id="bright", room="r1", wall="w1", x_cm="60", y_cm="150", lux_hours_a_day="400")
DARK = SpotSaid(id="dark", room="r1", wall="w1", x_cm="120", y_cm="150", lux_hours_a_day="100.5")
SLEEVE = Housing(around=Around.SLEEVE, material=Material.POLYESTER, changed_on=on("2024-03-01"))
FRAME = Housing(around=Around.FRAME, material=Material.WOOD, uv_filter=Answer.YES)


def a_rotation_book(book: str, **changes: Any) -> BookSaid:
    """Its figures are typed, so that plans are worked out by hand."""
    return BookSaid(**{"book": book, "fade": (500_000, 1_000_000, 2_000_000), "taken": 0, **changes})


def asked_for(*books: BookSaid, **changes: Any) -> RotationSaid:
    plan = {"starts": date(2024, 6, 1), "periods": (30, 30), "spots": (BRIGHT,)}
    return RotationSaid(**{**plan, "books": books, **changes})


def hang(teller: Teller, book: str, spot: SpotSaid = BRIGHT, **changes: Any) -> None:
    where = {"room": spot.room, "wall": spot.wall, "x_cm": spot.x_cm, "y_cm": spot.y_cm}
    said = {"spot": Spot.WALL, **where, "housings": (SLEEVE, FRAME), "place": Sealed.of("the landing"), **changes}
    teller.add(book, Placement(on=on("2024-04-01"), **said))


def spot_of(teller: Teller, book: str) -> str | None:
    with teller.ledger.log.read() as reader:
        return reader.book(book).spot
