"""Books whose holder is the story: changed for a new one, broken on the way, or left shut."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.choice import Choice, Next
from ledger.events.intervention import Intervention
from ledger.events.opening import HolderCondition, Opening
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import Purchase
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from seeds.story._acts import Act, act, shot
from seeds.story._names import CASPER, OAKMOTH, SALTMARSH, TANNERY, WEIR
from seeds.story._said import by_service, eur, fault, gbp, look, mark, on, printed, said, through_holder, used

IDOL, BRIDGE, TRESTLE = "jungle-meridian-6", "raincoat-squad-12", "dry-ford-deputy-18"


def acts() -> Iterator[Act]:
    """Three books and their holders."""
    yield from _new_holder_only()
    yield from _cracked_on_the_way()
    yield from _left_shut()


def _new_holder_only() -> Iterator[Act]:
    yield act(
        IDOL,
        "2023-05-13 18:50",
        Purchase(
            issue=printed(IDOL),
            holding=Holding.SLABBED,
            holder_number="WSA 0290 31",
            stated=by_service("8.5"),
            price=eur("615.00"),
            seller=said(CASPER),
            venue=said(SALTMARSH),
            stated_by=said(WEIR),
            reason=said("A fine one behind a window so scratched that nobody else had stopped at it."),
        ),
    )
    yield act(
        IDOL,
        "2023-05-14 10:30",
        through_holder(
            fault("d1", "corner-blunting", "front", "1.5", breaks=False),
            like="8.5",
            remark="As far as the scratches let me see, the grade is fair. Nothing to open it for.",
        ),
    )
    yield act(
        IDOL,
        "2023-08-19 12:15",
        Submission(
            batch="2023-window",
            asks=Ask.NEW_HOLDER,
            service=said(WEIR),
            insured_for=eur("650.00"),
            fee=eur("18.00"),
            postage=eur("21.00"),
        ),
    )
    yield act(
        IDOL,
        "2023-10-04 18:20",
        Slab(
            outcome=Outcome.NEW_HOLDER,
            batch="2023-window",
            holder_number="WSA 0481 94",
            came_back=on("2023-10-04"),
            service=said(WEIR),
            fee=eur("18.00"),
            invoice=eur("24.40"),
        ),
    )
    yield act(IDOL, "2023-10-04 18:42", shot(IDOL, "Behind clear plastic at last"))
    yield act(
        IDOL,
        "2024-08-04 19:30",
        Placement(
            spot=Spot.WALL, room="landing", wall="stair", x_cm="95", y_cm="152", place=said("Landing, top of the stair")
        ),
    )
    yield act(IDOL, "2025-08-10 18:05", Placement(spot=Spot.SAFE, place=said("Steel cabinet, upper shelf")))


def _cracked_on_the_way() -> Iterator[Act]:
    yield act(
        BRIDGE,
        "2023-06-03 17:10",
        Purchase(
            issue=printed(BRIDGE),
            holding=Holding.SLABBED,
            holder_number="OGR-49077",
            stated=by_service("6.5"),
            price=gbp("330.00"),
            premium=gbp("66.00"),
            tax=eur("41.20"),
            venue=said(TANNERY),
            stated_by=said(OAKMOTH),
            reason=said("The second best cover of the Squad. A review should give it another half step."),
        ),
    )
    yield act(BRIDGE, "2023-06-04 11:20", shot(BRIDGE, "In the holder that was to break"))
    yield act(
        BRIDGE,
        "2025-01-25 13:05",
        Submission(
            batch="2025-review",
            asks=Ask.REVIEW,
            speed="40 days",
            service=said(OAKMOTH),
            insured_for=eur("700.00"),
            fee=eur("31.00"),
            postage=eur("16.00"),
        ),
    )
    yield act(
        BRIDGE, "2025-03-14 19:08", Submission(batch="2025-review", stage=Stage.SHIPPED_BACK, service=said(OAKMOTH))
    )
    yield act(
        BRIDGE,
        "2025-03-20 18:33",
        Slab(
            outcome=Outcome.DAMAGED,
            batch="2025-review",
            holding=Holding.SLABBED,
            stated=by_service("7.0"),
            holder_number="OGR-62240",
            came_back=on("2025-03-20"),
            service=said(OAKMOTH),
            compensation=eur("150.00"),
            remark=said("7.0, and a holder in three pieces. A splinter lies on the cover."),
        ),
    )
    yield act(
        BRIDGE, "2025-03-20 18:51", Opening(condition=HolderCondition.CRACKED, remark=said("It was open already."))
    )
    yield act(
        BRIDGE,
        "2025-03-21 19:40",
        look(
            fault("d1", "edge-dent", "edges", "3", breaks=True),
            fault("d2", "bend", "back", "29", at="50, 100"),
            marks=(mark("m1", "upper staple clinched a second time, two scars beside it", "staples"),),
            light="raking",
            size="184 x 259",
            pages=52,
            paper="ivory, supple",
            like="6.5",
            whole=True,
            remark="The dent at the fore edge is new: it sits where the splinter sat.",
        ),
    )
    yield act(
        BRIDGE,
        "2025-03-22 10:15",
        Intervention(
            technique="housing",
            materials=used("polyester sleeve, 75 µm", "buffered board"),
            remark=said("Out of the splinters and into plain polyester. It will not travel again."),
        ),
    )


def _left_shut() -> Iterator[Act]:
    yield act(
        TRESTLE,
        "2024-11-09 18:02",
        Purchase(
            issue=printed(TRESTLE),
            holding=Holding.SLABBED,
            holder_number="WSA 0455 63",
            stated=by_service("9.0"),
            price=eur("280.00"),
            seller=said(CASPER),
            venue=said(SALTMARSH),
            stated_by=said(WEIR),
        ),
    )
    yield act(TRESTLE, "2024-11-10 11:15", shot(TRESTLE))
    yield act(
        TRESTLE,
        "2024-11-10 11:32",
        through_holder(
            fault("d1", "spine-tick", "spine", 2, mm="1", breaks=False),
            like="9.0",
            paper="bright",
            remark="The grade is the grade. I should like a third opinion of nobody.",
        ),
    )
    yield act(
        TRESTLE,
        "2024-11-10 11:40",
        Choice(next=Next.LEAVE_ALONE, why=said("Half a step to win and a book to lose. The holder stays shut.")),
    )
    yield act(
        TRESTLE,
        "2025-08-02 10:55",
        Placement(
            spot=Spot.WALL,
            room="study",
            wall="n",
            x_cm="118",
            y_cm="152",
            housings=(Housing(around=Around.FRAME, material=Material.WOOD),),
            place=said("Study, left of the door"),
        ),
    )
