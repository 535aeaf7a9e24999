"""A plan of rotation when the demo is opened first: nine books take turns at four spots on two walls; a swap is due soon.

It lies beside the ledger, as of this moment. Its light, its doses and the shares so far are what the told ledger knows.
"""

from datetime import timedelta
from itertools import islice
from typing import Final

from ledger.actor import Actor
from ledger.ports import Ledger
from ledger.rotations import Rotation
from ledger.usecases.browse import look_up
from ledger.usecases.care import books_here
from ledger.usecases.rotation import accept_rotation, propose_rotation
from ledger.usecases.rotation_said import BookSaid, RotationSaid, SpotSaid
from ledger.views import HungRow

__all__ = ["SPOTS", "lay_rotation"]

SPOTS: Final = (
    ("landing", "long", "265"),
    ("landing", "long", "462"),
    ("study", "n", "118"),
    ("study", "n", "284"),
)
"""Room, wall and middle from the left in cm: where books have hung longest."""
BOX: Final = "Box 7, study cupboard"
RESTING: Final = 5
"""Books of that box that take turns with them."""
DUE_IN: Final = timedelta(days=5)
PERIODS: Final = (84, 84, 84, 84)
"""Twelve weeks each. Units: d."""


def lay_rotation(ledger: Ledger, actor: Actor) -> Rotation:
    """The plan, accepted; its first swap is due in a few days, and nothing of it is written to the ledger."""
    hung = {(row.room, row.wall, row.x_cm): row for row in look_up(ledger, actor).hung}
    at = [hung[each] for each in SPOTS]
    resting = [row.book for row in islice(books_here(ledger, actor, (BOX,)), RESTING)]
    said = RotationSaid(
        starts=ledger.clock.today() + DUE_IN,
        periods=PERIODS,
        spots=tuple(_spot(f"s{number}", row) for number, row in enumerate(at, start=1)),
        books=tuple(BookSaid(book=each) for each in (*(row.book for row in at), *resting)),
    )
    return accept_rotation(ledger, actor, propose_rotation(ledger, actor, said).id)


def _spot(name: str, row: HungRow) -> SpotSaid:
    return SpotSaid(id=name, room=row.room or "", wall=row.wall or "", x_cm=row.x_cm or "", y_cm=row.y_cm or "")
