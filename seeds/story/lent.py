"""A book that was lent to a reading room and then framed by somebody who knows how."""

from collections.abc import Iterator

from ledger.events._parts import Answer, Holding
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import Purchase
from seeds.story._acts import Act, act, shot
from seeds.story._names import DIRKJE, KETTLE, LIBRARY, LINDENHOUT
from seeds.story._said import eur, fault, look, on, printed, said

JUKEBOX = "jukebox-hettie-9"


def acts() -> Iterator[Act]:
    """The book."""
    yield from _lent_and_framed()


def _lent_and_framed() -> Iterator[Act]:
    yield act(
        JUKEBOX,
        "2024-06-08 17:02",
        Purchase(
            issue=printed(JUKEBOX), holding=Holding.RAW, price=eur("88.00"), seller=said(DIRKJE), venue=said(KETTLE)
        ),
    )
    yield act(JUKEBOX, "2024-06-09 10:50", shot(JUKEBOX))
    yield act(
        JUKEBOX,
        "2024-06-09 11:14",
        look(fault("d1", "bend", "back", "17"), paper="bright, supple", odour="none", like="8.0", whole=True),
    )
    yield act(
        JUKEBOX,
        "2024-09-28 15:00",
        Custody(
            direction=Direction.OUT,
            to_whom=Hands.EXHIBITION,
            due_back=on("2025-01-15"),
            who=said(LIBRARY),
            insured_for=eur("150.00"),
        ),
    )
    yield act(
        JUKEBOX, "2025-01-18 16:22", Custody(on=on("2025-01-18"), direction=Direction.BACK, to_whom=Hands.EXHIBITION)
    )
    yield act(
        JUKEBOX,
        "2025-01-26 18:36",
        lambda told: Correction(
            entry=told.entry(JUKEBOX, "custody", 2).seq,
            changes={"on": "2025-01-14"},
            reason=said("It came on the fourteenth, a day early; I typed the day on which I unpacked it."),
        ),
    )
    yield act(JUKEBOX, "2025-02-08 11:40", Custody(direction=Direction.OUT, to_whom=Hands.FRAMER, who=said(LINDENHOUT)))
    yield act(JUKEBOX, "2025-02-22 12:10", Custody(direction=Direction.BACK, to_whom=Hands.FRAMER, cost=eur("118.00")))
    yield act(
        JUKEBOX,
        "2025-02-22 15:30",
        Placement(
            spot=Spot.WALL,
            room="landing",
            wall="long",
            x_cm="462",
            y_cm="146",
            housings=(
                Housing(
                    around=Around.FRAME,
                    material=Material.METAL,
                    changed_on=on("2025-02-20"),
                    due=on("2035"),
                    uv_filter=Answer.YES,
                ),
                Housing(around=Around.BOARD, material=Material.UNBUFFERED, changed_on=on("2025-02-20")),
            ),
            place=said("Landing, far end"),
        ),
    )
