"""A slabbed book with a coated cover that took moisture and no heat."""

from collections.abc import Iterator

from ledger.events._parts import Holding, MatchedBy
from ledger.events._settings import Cooling, Moisture, Settings
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.events.intervention import Intervention
from ledger.events.opening import HolderCondition, Opening
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Purchase
from seeds.story._acts import Act, act, shot
from seeds.story._names import TANNERY, WEIR
from seeds.story._said import by_service, eur, fault, gone, look, mark, on, outlook, printed, said, usd, used, worked

ROCKET = "ganymede-mail-2"


def acts() -> Iterator[Act]:
    """The book, but for the way through the service."""
    yield from _rocket_before()
    yield from _rocket_after()


def _rocket_before() -> Iterator[Act]:
    yield act(
        ROCKET,
        "2023-02-25 21:17",
        Purchase(
            issue=printed(ROCKET),
            holding=Holding.SLABBED,
            holder_number="WSA 0377 02",
            stated=by_service("7.5", MatchedBy.MARKS),
            expects_arrival=True,
            price=usd("780.00"),
            premium=usd("156.00"),
            tax=eur("88.10"),
            shipping=usd("52.00"),
            venue=said(TANNERY),
            stated_by=said(WEIR),
            reason=said("The ringed planet from the window of the shop where I was not allowed to touch anything."),
        ),
    )
    yield act(ROCKET, "2023-03-11 12:20", Arrival(stage=Stage.ARRIVED))
    yield act(ROCKET, "2023-03-11 12:41", Arrival(stage=Stage.CHECKED, as_described=AsDescribed.YES))
    yield act(ROCKET, "2023-03-12 14:02", Opening(condition=HolderCondition.INTACT))
    yield act(ROCKET, "2023-03-12 14:25", shot(f"{ROCKET} before"))
    yield act(
        ROCKET,
        "2023-03-12 15:10",
        look(
            fault("d1", "waviness", "back", 40),
            fault("d2", "bend", "edges", "12"),
            fault("d3", "indentation", "front", "18", at="60, 190"),
            marks=(mark("m1", "the planet's ring prints 0.8 mm low in red", "front", "120, 70"),),
            size="184 x 260",
            pages=36,
            paper="bright, supple",
            odour="none",
            like="7.5",
            whole=True,
        ),
    )
    yield act(
        ROCKET,
        "2023-03-19 18:10",
        Intervention(
            technique="humidification",
            worked_defects=worked("d1 lessened"),
            materials=used("woven humidity membrane", "blotting paper, damp"),
            tool="Lidded tray",
            settings=Settings(moisture=Moisture.CHAMBER, rh_percent=72, total_minutes=95),
            remark=said("Coated cover, so not above 72. Out as soon as the back lay by itself."),
        ),
    )
    yield act(
        ROCKET,
        "2023-03-20 19:30",
        Intervention(
            on=on("2023-03-19/2023-03-20"),
            technique="cold-press",
            worked_defects=worked("d1 gone", "d2 gone", "d3 lessened"),
            materials=used("blotting paper, dry", "grey board, 2 mm"),
            tool="Book press, hand wheel",
            settings=Settings(total_minutes=1440, cooling=Cooling.UNDER_WEIGHT, moisture=Moisture.ROOM, rh_percent=50),
        ),
    )
    yield act(
        ROCKET,
        "2023-04-03 18:20",
        look(
            gone("d1", "waviness", "back"),
            gone("d2", "bend", "edges"),
            fault("d3", "indentation", "front", "5", at="64, 192"),
            light="raking",
            rest=334,
            like="9.2",
            remark="Two weeks of rest, since water comes back slower than heat.",
        ),
    )
    yield act(
        ROCKET,
        "2023-04-29 20:00",
        outlook("9.0 300, 9.2 450, 9.4 250", ceiling="9.6", stage="before sending", batch="2023-spring"),
    )


def _rocket_after() -> Iterator[Act]:
    yield act(ROCKET, "2023-07-23 09:50", shot(f"{ROCKET} after"))
    yield act(ROCKET, "2023-08-05 17:12", Placement(spot=Spot.SAFE, place=said("Steel cabinet, upper shelf")))
    yield act(
        ROCKET,
        "2024-08-03 11:04",
        Placement(
            spot=Spot.WALL,
            room="study",
            wall="n",
            x_cm="118",
            y_cm="152",
            place=said("Study, left of the door"),
            remark=said("Takes the place of the lamp post, as the rule says."),
        ),
    )
    yield act(ROCKET, "2025-08-02 10:30", Placement(spot=Spot.SAFE, place=said("Steel cabinet, upper shelf")))
