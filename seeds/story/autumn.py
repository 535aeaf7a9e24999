"""The three of the second batch: an outlook that missed, one that hit, and a book sent as it was."""

from collections.abc import Iterator

from ledger.events._parts import Answer, Holding
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.events.choice import Choice, Next
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.opening import HolderCondition, Opening
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import EarlierWork, Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Leaving
from seeds.story._acts import Act, act, shot
from seeds.story._names import DIRKJE, FERRY, LUDO, OBED, SALTMARSH, TANNERY, WEIR
from seeds.story._said import (
    by_seller,
    by_service,
    eur,
    fault,
    gone,
    look,
    mark,
    on,
    outlook,
    printed,
    said,
    usd,
    used,
    worked,
)

CITY, CURVE, POSTBOX = "jungle-meridian-15", "gearbox-garrity-5", "ganymede-mail-26"


def acts() -> Iterator[Act]:
    """The three, but for the press load and the way through the service."""
    yield from _city_before()
    yield from _city_after()
    yield from _curve_before()
    yield from _curve_after()
    yield from _postbox()


def _city_before() -> Iterator[Act]:
    yield act(
        CITY,
        "2023-11-18 21:30",
        Purchase(
            issue=printed(CITY),
            holding=Holding.SLABBED,
            holder_number="WSA 0402 58",
            stated=by_service("7.5"),
            earlier_work=EarlierWork.NOTHING_SAID,
            expects_arrival=True,
            price=usd("410.00"),
            premium=usd("82.00"),
            tax=eur("47.60"),
            shipping=usd("48.00"),
            venue=said(TANNERY),
            stated_by=said(WEIR),
            reason=said("Bends only, says the picture. I paid for the picture."),
        ),
    )
    yield act(
        CITY, "2023-12-02 11:25", Arrival(stage=Stage.ARRIVED, remark=said("Box crushed at one corner, holder whole."))
    )
    yield act(CITY, "2023-12-03 10:40", Opening(condition=HolderCondition.INTACT))
    yield act(CITY, "2023-12-03 11:02", shot(f"{CITY} before"), shot(f"{CITY} back", face="back"))
    yield act(
        CITY,
        "2023-12-03 11:48",
        look(
            fault("d1", "bend", "front", "66", at="30, 40"),
            fault("d2", "bend", "front", "41", at="110, 130"),
            fault("d3", "fold", "back", "15", at="2, 240"),
            marks=(mark("m1", "the temple stair prints double, 0.5 mm to the right", "front", "95, 170"),),
            size="183 x 260",
            pages=36,
            paper="ivory, supple",
            like="8.0",
            whole=True,
            remark="Normal light only; the lamp for the raking light was at the workshop.",
        ),
    )
    yield act(
        CITY,
        "2024-03-02 19:20",
        look(
            gone("d1", "bend", "front"),
            gone("d2", "bend", "front"),
            gone("d3", "fold", "back"),
            fault("d4", "crease", "front", "8", at="168, 12"),
            rest=312,
            like="9.4",
            remark="It looks like new, but for a crease at the corner that the long bend had hidden.",
        ),
    )


def _city_after() -> Iterator[Act]:
    yield act(
        CITY,
        "2024-09-14 19:50",
        outlook("7.5 250, 8.0 550, 8.5 200", ceiling="8.0", stage="before sending", batch="2024-autumn"),
    )
    yield act(
        CITY,
        "2024-12-04 20:12",
        Note(
            topic=Topic.TRADE,
            words=said(
                "7.0, and rightly. A tide mark inside the back cover that I never looked for: no transmitted light, "
                "no raking light, and my eyes full of the front. Ten months of heat and hope for nothing."
            ),
        ),
    )
    yield act(CITY, "2024-12-07 10:31", shot(f"{CITY} after"))
    yield act(CITY, "2024-12-07 10:50", Placement(spot=Spot.BOX, room="study", place=said("Box 3, study cupboard")))
    yield act(
        CITY,
        "2025-10-12 16:20",
        Sale(
            disclosed=Disclosed.WORK, price=eur("470.00"), fees=eur("35.00"), buyer=said(DIRKJE), venue=said(SALTMARSH)
        ),
    )


def _curve_before() -> Iterator[Act]:
    yield act(
        CURVE,
        "2024-01-13 21:08",
        Purchase(
            issue=printed(CURVE),
            holding=Holding.RAW,
            stated=by_seller("F", "6.0"),
            expects_arrival=True,
            price=usd("38.00"),
            shipping=usd("27.00"),
            seller=said(LUDO),
            venue=said(FERRY),
            reason=said("Folded once for the post in 1968 and never again. The ink in the fold is whole."),
        ),
    )
    yield act(CURVE, "2024-01-27 13:15", Arrival(stage=Stage.ARRIVED))
    yield act(CURVE, "2024-01-27 13:24", Arrival(stage=Stage.CHECKED, as_described=AsDescribed.YES))
    yield act(CURVE, "2024-01-27 13:50", shot(f"{CURVE} before", "The fold, before"))
    yield act(
        CURVE,
        "2024-01-28 10:10",
        look(
            fault("d1", "subscription-fold", "front", "258", breaks=False, at="85, 0, 2, 258"),
            fault("d2", "date-mark", "front", "9", at="6, 6"),
            light="normal, raking, transmitted",
            size="171 x 260",
            pages=36,
            paper="bright, supple",
            like="6.5",
            whole=True,
        ),
    )
    yield act(
        CURVE,
        "2024-03-03 11:05",
        look(
            fault("d1", "subscription-fold", "front", "110", breaks=False, at="85, 60, 2, 110"),
            light="normal, raking",
            rest=330,
            like="8.0",
            remark="Flat at both ends, a shallow trough in the middle. I leave it at one session.",
        ),
    )
    yield act(
        CURVE,
        "2024-03-03 11:14",
        Choice(next=Next.STOP, why=said("A second heat for a trough that only a lamp can see? No.")),
    )


def _curve_after() -> Iterator[Act]:
    yield act(
        CURVE,
        "2024-09-14 20:05",
        outlook("7.5 250, 8.0 600, 8.5 150", ceiling="8.0", stage="before sending", batch="2024-autumn"),
    )
    yield act(CURVE, "2024-12-07 11:20", shot(f"{CURVE} after"))
    yield act(
        CURVE,
        "2024-12-08 15:30",
        Placement(
            spot=Spot.WALL,
            room="landing",
            wall="long",
            x_cm="198",
            y_cm="148",
            place=said("Landing, between the lamps"),
        ),
    )
    yield act(
        CURVE,
        "2026-03-21 17:45",
        Sale(
            means=Leaving.TRADE,
            disclosed=Disclosed.WORK,
            price=eur("140.00"),
            buyer=said(OBED),
            venue=said(SALTMARSH),
            remark=said("Against two of his and a coffee. He wanted a racing car for his father."),
        ),
    )


def _postbox() -> Iterator[Act]:
    yield act(
        POSTBOX,
        "2023-12-05 20:20",
        Purchase(
            means=Means.GIFT,
            issue=printed(POSTBOX),
            holding=Holding.RAW,
            fair_value_then=eur("240.00"),
            seller=said(OBED),
            reason=said("For having found him a Sextant he had looked for since school."),
        ),
    )
    yield act(POSTBOX, "2023-12-05 20:41", shot(POSTBOX))
    yield act(
        POSTBOX,
        "2023-12-10 11:00",
        look(
            fault("d1", "surface-dirt", "front", 4),
            fault("d2", "bindery-miswrap", "edges", "1"),
            marks=(mark("m1", "the postman's bag has a second strap in yellow only", "front", "77, 160"),),
            light="normal, raking, transmitted, UV-A",
            size="171 x 260",
            grams="68",
            pages=36,
            paper="bright, supple",
            odour="none",
            like="9.4",
            whole=True,
            remark="Nobody has ever read this.",
        ),
    )
    yield act(
        POSTBOX,
        "2023-12-10 11:30",
        Intervention(
            technique="dry-cleaning",
            worked_defects=worked("d1 gone"),
            materials=used("soft brush"),
            duration_minutes=15,
            remark=said("Brush alone. The dust was the carton's."),
        ),
    )
    yield act(
        POSTBOX, "2024-09-14 20:21", outlook("9.2 200, 9.4 500, 9.6 300", stage="before sending", batch="2024-autumn")
    )
    yield act(
        POSTBOX,
        "2024-12-08 16:02",
        Placement(
            spot=Spot.WALL,
            room="study",
            wall="e",
            x_cm="225",
            y_cm="150",
            housings=(
                Housing(
                    around=Around.FRAME, material=Material.METAL, changed_on=on("2024-12-08"), uv_filter=Answer.YES
                ),
            ),
            place=said("Study, over the desk"),
        ),
    )
    yield act(
        POSTBOX,
        "2025-12-07 15:40",
        Placement(
            spot=Spot.SAFE, place=said("Steel cabinet, lower shelf"), remark=said("A year to the day. Down it comes.")
        ),
    )
