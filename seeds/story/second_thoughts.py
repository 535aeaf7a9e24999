"""Two more of the first batch: ticks that broke after all, and a gloss that paid for a second session."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events._settings import Moisture, Settings
from ledger.events.choice import Choice, Next
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.opening import HolderCondition, Opening
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork, Purchase
from ledger.events.valuation import Comparable, Method, Valuation
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from seeds.story._acts import Act, act, shot
from seeds.story._names import DIRKJE, KETTLE, OAKMOTH, SALTMARSH, THEA
from seeds.story._said import (
    by_seller,
    by_service,
    eur,
    fault,
    gone,
    heat,
    look,
    mark,
    on,
    outlook,
    printed,
    said,
    used,
    worked,
)

HAUNTED, STORM = "unlit-stair-4", "harbor-lamp-14"


def acts() -> Iterator[Act]:
    """Both books, but for the way through the service."""
    yield from _haunted_before()
    yield from _haunted_after()
    yield from _storm_first_session()
    yield from _storm_second_session()
    yield from _storm_after()


def _haunted_before() -> Iterator[Act]:
    yield act(
        HAUNTED,
        "2023-02-18 17:35",
        Purchase(
            issue=printed(HAUNTED),
            holding=Holding.SLABBED,
            holder_number="OGR-51190",
            stated=by_service("6.0"),
            earlier_work=EarlierWork.DENIED,
            price=eur("540.00"),
            seller=said(DIRKJE),
            venue=said(KETTLE),
            stated_by=said(OAKMOTH),
            earlier_work_words=said("Straight from a paper-mill attic, untouched."),
            reason=said("Bought over the counter; I had it in both hands and turned it to the window."),
        ),
    )
    yield act(HAUNTED, "2023-02-18 18:02", shot(f"{HAUNTED} before", "In the shop's holder"))
    yield act(
        HAUNTED,
        "2023-02-19 10:15",
        Opening(condition=HolderCondition.CRACKED, remark=said("A corner of the holder had gone already.")),
    )
    yield act(
        HAUNTED,
        "2023-02-19 11:00",
        look(
            fault("d1", "spine-tick", "spine", 6, mm="3", breaks=False),
            fault("d2", "spine-roll", "spine", "3"),
            fault("d3", "pencil-mark", "back", "21", at="30, 20"),
            marks=(mark("m1", "the lit window has a white speck above its bar", "front", "101, 88"),),
            light="raking",
            size="184 x 259",
            grams="99",
            pages=36,
            paper="ivory, supple",
            odour="other",
            like="6.5",
            whole=True,
            remark="Six ticks. In raking light none seems to break; I would like a stronger glass.",
        ),
    )
    yield act(
        HAUNTED,
        "2023-03-04 16:40",
        Intervention(
            technique="local-heat",
            worked_defects=worked("d1 lessened"),
            materials=used("silicone release paper"),
            tool="Tacking iron, small tip",
            settings=Settings(set_celsius="80", measured_celsius="72", moisture=Moisture.LIGHT_MIST),
            remark=said("Tick by tick, ten seconds each, a breath of mist on the inside only."),
        ),
    )
    yield act(
        HAUNTED,
        "2023-03-05 20:10",
        Intervention(
            on=on("2023-03-04/2023-03-05"),
            technique="cold-press",
            worked_defects=worked("d1", "d2"),
            materials=used("grey board, 2 mm"),
            tool="Book press, hand wheel",
            remark=said("Spine supported with a folded strip so that it stays round."),
        ),
    )
    yield act(
        HAUNTED,
        "2023-04-02 17:45",
        look(
            fault("d1", "spine-tick", "spine", 4, mm="3", breaks=True),
            fault("d2", "spine-roll", "spine", "1"),
            light="normal, raking",
            rest=670,
            like="7.5",
            remark="New glass. Four of the six do break; two have gone. The roll is down to a millimetre.",
        ),
    )
    yield act(
        HAUNTED,
        "2023-04-30 19:25",
        outlook("7.5 200, 8.0 500, 8.5 300", ceiling="8.5", stage="before sending", batch="2023-spring"),
    )


def _haunted_after() -> Iterator[Act]:
    yield act(
        HAUNTED,
        "2023-08-12 20:30",
        Intervention(
            on=on("2023-04-16"),
            technique="erase-pencil",
            worked_defects=worked("d3"),
            materials=used("white vinyl eraser"),
            remark=said(
                "Done in April and forgotten here until I missed the pencil in the photograph. A price: 35 ct."
            ),
        ),
    )
    yield act(HAUNTED, "2023-08-12 20:44", shot(f"{HAUNTED} after"))
    yield act(
        HAUNTED,
        "2023-08-13 10:10",
        Placement(spot=Spot.WALL, room="landing", wall="long", x_cm="265", y_cm="148", place=said("Landing, middle")),
    )
    yield act(HAUNTED, "2024-08-04 19:05", Placement(spot=Spot.SAFE, place=said("Steel cabinet, lower shelf")))
    yield act(
        HAUNTED,
        "2024-11-02 18:30",
        Valuation(
            method=Method.COMPARABLES,
            at_grade=Grade("8.0"),
            amount=eur("1350.00"),
            comparables_used=Sealed.of(
                (
                    Comparable(on=on("2024-04"), grade=Grade("8.0"), price=Money.of("1310.00", "EUR"), where=SALTMARSH),
                    Comparable(on=on("2024-09"), grade=Grade("8.5"), price=Money.of("1620.00", "USD"), where=KETTLE),
                )
            ),
        ),
    )


def _storm_first_session() -> Iterator[Act]:
    yield act(
        STORM,
        "2022-11-12 18:05",
        Purchase(
            issue=printed(STORM),
            holding=Holding.RAW,
            stated=by_seller("VF or so", "7.5", "8.0"),
            earlier_work=EarlierWork.STATED,
            price=eur("265.00"),
            seller=said(THEA),
            venue=said(SALTMARSH),
            earlier_work_words=said("I had it under the encyclopaedia for a winter, nothing else."),
            reason=said("The lighthouse that gave the title its name, and her word for how it was kept."),
        ),
    )
    yield act(STORM, "2022-11-13 10:02", shot(f"{STORM} before"))
    yield act(
        STORM,
        "2022-11-13 11:25",
        look(
            fault("d1", "bend", "front", "58", at="40, 70"),
            fault("d2", "bend", "back", "44", at="100, 150"),
            fault("d3", "corner-blunting", "front", "2", breaks=False),
            fault("d4", "waviness", "edges", 20),
            marks=(mark("m1", "a hair under the ink of the second wave", "front", "88, 201"),),
            size="184 x 260",
            pages=36,
            paper="ivory, supple",
            odour="none",
            like="7.5",
            whole=True,
        ),
    )
    yield act(
        STORM,
        "2023-02-05 19:00",
        Intervention(
            on=on("2023-02-04"),
            technique="hot-press-dry",
            worked_defects=worked("d1 gone", "d2 same", "d4 lessened"),
            materials=used("silicone release paper", "grey board, 2 mm"),
            tool="Mounting press, 40 x 50 cm",
            settings=heat("60", None, 12, 600),
            remark=said("My first with heat. No probe yet, so the paper's temperature is not known."),
        ),
    )
    yield act(
        STORM,
        "2023-02-12 17:30",
        look(
            gone("d1", "bend", "front"),
            fault("d2", "bend", "back", "40", at="100, 150"),
            fault("d4", "waviness", "edges", 10),
            rest=166,
            like="8.0",
        ),
    )


def _storm_second_session() -> Iterator[Act]:
    yield act(
        STORM,
        "2023-02-12 17:48",
        Choice(next=Next.GO_ON, why=said("The long bend on the back did not move. One more, with a little moisture.")),
    )
    yield act(
        STORM,
        "2023-02-26 20:20",
        Intervention(
            on=on("2023-02-25"),
            technique="hot-press-humidified",
            worked_defects=worked("d2 gone", "d4 gone"),
            materials=used("woven humidity membrane", "silicone release paper", "grey board, 2 mm"),
            tool="Mounting press, 40 x 50 cm",
            settings=heat("65", "62", 10, 710, side="both", moisture=Moisture.CHAMBER, rh=75),
            duration_minutes=40,
        ),
    )
    yield act(
        STORM,
        "2023-03-19 11:10",
        look(
            gone("d2", "bend", "back"),
            gone("d4", "waviness", "edges"),
            fault("d5", "gloss-loss", "back", 4),
            light="normal, raking",
            rest=520,
            like="8.5",
            remark="The bend is gone and so is a little of the shine where it was. That is the bill.",
        ),
    )
    yield act(
        STORM, "2023-03-19 11:24", Choice(next=Next.STOP, why=said("Twice in heat is enough for any book of mine."))
    )
    yield act(
        STORM,
        "2023-04-30 19:41",
        outlook("8.0 250, 8.5 550, 9.0 200", ceiling="9.0", stage="before sending", batch="2023-spring"),
    )
    yield act(
        STORM,
        "2023-04-30 19:44",
        outlook("8.0 310, 8.5 420, 9.0 270", ceiling="9.0", stage="before sending", batch="2023-spring", own=False),
    )


def _storm_after() -> Iterator[Act]:
    yield act(
        STORM,
        "2023-07-20 19:30",
        Note(topic=Topic.TRADE, words=said("8.5 as hoped. They did not mention the gloss, and I shall.")),
    )
    yield act(STORM, "2023-07-22 10:58", shot(f"{STORM} after"))
    yield act(
        STORM,
        "2023-07-30 11:20",
        Placement(spot=Spot.WALL, room="study", wall="e", x_cm="225", y_cm="150", place=said("Study, over the desk")),
    )
    yield act(STORM, "2024-08-03 11:22", Placement(spot=Spot.BOX, room="study", place=said("Box 3, study cupboard")))
