"""What became of the second copies after their grades: boxes, values, two sales, a trade, a theft, three more under way."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.note import Note, Topic
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Leaving
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.rules.grades import Grade
from seeds.story import _batch, dollar_lot, evening_sale, kettle_lot
from seeds.story._acts import Act, act, shot, together
from seeds.story._batch import Batch
from seeds.story._copy import Copy, Work, evening, looks, own, stated_by_seller, worked_on
from seeds.story._names import FERRY, LUDO, OBED, SALTMARSH, SUNNIVA, THEA, WEIR
from seeds.story._said import eur, gbp, on, printed, said
from seeds.story.dollar_lot import BIPLANES, BRIDGE, CURVE, HOUSE, LIGHTHOUSE, MESA, ROCKET, WHEEL
from seeds.story.evening_sale import CITY, GIANT, LAMP_POST, ROBOT, SLEDGE, SNOW, SPIRAL, SQUID, TELEPHONE
from seeds.story.kettle_lot import CHEESE, IDOL, JUKEBOX, MOON, POSTBOX, RING, STREET

OUT = "2026-winter"

TRAIN = Copy(
    name="dry-ford-deputy-18 too",
    picture="dry-ford-deputy-18",
    share=1,
    stated=("VF", "8.0"),
    came="d1 bend back 38 at 50, 90; d2 spine-tick spine 2 broken at 1, 203",
    like="8.0",
    work=(Work(technique="cold-press", on="2026-09-05 20:10", at="d1"),),
    left="d1 bend back 12 at 51, 91; d2 spine-tick spine 2 broken at 1, 203",
    like_after="9.0",
    forecasts={"before sending": "8.5 300, 9.0 450, 9.2 250"},
    ceiling="9.2",
    insured=200,
)
RAIN = Copy(
    name="umbrella-for-two-3 too",
    picture="umbrella-for-two-3",
    share=1,
    stated=("FN+", "6.5"),
    came="d1 surface-dirt front 14 at 56, 82, 70, 60; d2 bend front 66 at 20, 90; d3 spine-tick spine 7 broken at 1, 118",
    like="6.5",
    work=(
        Work(technique="dry-cleaning", on="2026-09-05 16:10", at="d1"),
        Work(technique="humidification", on="2026-09-12 15:00", at="d2"),
        Work(technique="cold-press", on="2026-09-13 20:20", at="d2", words="A day and a night under the new boards."),
    ),
    left="d1 surface-dirt front 3 at 56, 82, 70, 60; d2 bend front 15 at 22, 92; d3 spine-tick spine 7 broken at 1, 118",
    like_after="8.5",
    forecasts={"raw": "7.5 350, 8.0 450, 8.5 200", "before sending": "8.0 450, 8.5 550"},
    ceiling="8.5",
    insured=130,
)
NIGHT = Copy(
    name="linen-squadron-20 too",
    picture="linen-squadron-20",
    share=1,
    stated=("FN", "6.0"),
    came="d1 crease back 10 at 30, 200; d2 waviness front 18 at 19, 99, 90, 110; d3 bend front 22 at 120, 40",
    like="6.5",
    work=(Work(technique="hot-press-humidified", on="2026-09-13 09:30", at="d2, d3"),),
    left="d1 crease back 10 at 30, 200; d2 waviness front 7 at 19, 99, 90, 110; d3 gone",
    like_after="8.0",
    forecasts={"before sending": "7.5 250, 8.0 450, 8.5 300"},
    ceiling="8.5",
    insured=220,
)
THREE = (TRAIN, RAIN, NIGHT)
BATCH = Batch(
    id=OUT,
    service=WEIR,
    speed="60 days",
    copies=THREE,
    fee="36.00",
    postage="41.75",
    forecast="2026-11-13",
    sent="2026-11-14 12:15",
    by_rules=(RAIN.name,),
)

WAITING = (
    ("2024-12-15 21:05", "Flat box under the bench", dollar_lot.COPIES),
    ("2025-04-05 21:20", "Flat box under the bench", kettle_lot.COPIES),
    ("2025-11-09 21:10", "Flat box under the bench", evening_sale.COPIES),
    ("2026-08-08 21:15", "Flat box under the bench", THREE),
)
"""Where they lay until they were sent."""
BOXES = (
    ("2025-05-24 11:10", "Box 5, study cupboard", (LIGHTHOUSE, HOUSE, BRIDGE, MESA, WHEEL, BIPLANES, CURVE)),
    ("2025-12-06 11:15", "Box 6, study cupboard", (IDOL, RING, MOON, CHEESE, JUKEBOX, POSTBOX, BIPLANES)),
    (
        "2026-05-23 10:40",
        "Box 7, study cupboard",
        (SLEDGE, GIANT, TELEPHONE, SPIRAL, SQUID, ROBOT, SNOW, CITY, JUKEBOX, CHEESE),
    ),
)
"""Which went where on the Saturday after each batch; the dearest go into the cabinet."""
VALUES = (
    ("2025-06-09 20:40", LIGHTHOUSE, Purpose.MARKET, "9.0", "540.00", None),
    ("2025-06-09 20:52", LIGHTHOUSE, Purpose.INSURANCE, "9.0", "700.00", "2027-06"),
    ("2025-06-09 21:04", ROCKET, Purpose.INSURANCE, "9.2", "1150.00", "2026-06"),
    ("2025-06-10 20:15", WHEEL, Purpose.MARKET, "9.6", "210.00", None),
    ("2025-12-13 19:20", IDOL, Purpose.MARKET, "8.0", "120.00", None),
    ("2026-06-06 19:10", LAMP_POST, Purpose.INSURANCE, "7.0", "1900.00", "2027-06"),
    ("2026-06-06 19:22", SLEDGE, Purpose.INSURANCE, "7.0", "980.00", "2027-06"),
    ("2026-06-06 19:34", GIANT, Purpose.MARKET, "9.6", "190.00", None),
    ("2026-06-06 19:46", RING, Purpose.MARKET, "7.0", "250.00", None),
)
"""When, of which, for what, at which grade, how much in euro, and until when it is good."""


def acts() -> Iterator[Act]:
    """From the first batch's return to the batch that is out."""
    for room, boxes in ((None, WAITING), ("study", BOXES)):
        for moment, box, copies in boxes:
            lies = Placement(spot=Spot.BOX, room=room, place=said(box))
            yield together(moment, *((each.name, lies) for each in copies))
    cabinet = Placement(spot=Spot.SAFE, place=said("Steel cabinet, lower shelf"))
    yield act(ROCKET.name, "2025-05-24 11:32", cabinet)
    yield act(LAMP_POST.name, "2026-05-23 11:02", cabinet)
    for moment, copy, purpose, grade, amount, until in VALUES:
        yield act(copy.name, moment, _valued(purpose, grade, amount, until))
    yield from _sold()
    yield from _traded()
    yield from _stolen()
    yield from _three_more()
    yield from _batch.acts(BATCH)


def _valued(purpose: Purpose, grade: str, amount: str, until: str | None) -> Valuation:
    return Valuation(
        purpose=purpose,
        method=Method.OWN_JUDGEMENT,
        at_grade=Grade(grade),
        valid_until=on(until) if until else None,
        amount=eur(amount),
    )


def _sold() -> Iterator[Act]:
    """One for more than it cost with all that was done to it, one for less."""
    yield act(
        WHEEL.name,
        "2025-11-15 15:40",
        Sale(
            disclosed=Disclosed.WORK,
            price=eur("225.00"),
            fees=eur("12.50"),
            buyer=said(THEA),
            venue=said(SALTMARSH),
            remark=said("She has every number but had none as clean. I told her which corner."),
        ),
    )
    yield act(
        IDOL.name,
        "2026-04-25 16:05",
        Sale(
            disclosed=Disclosed.WORK,
            price=eur("105.00"),
            fees=eur("9.00"),
            buyer=said(SUNNIVA),
            venue=said(SALTMARSH),
            remark=said("Less than shop, service and stamps took together. One step more would have saved it."),
        ),
    )


def _traded() -> Iterator[Act]:
    """One goes, another comes, at a worth that both agreed on."""
    yield act(
        STREET.name,
        "2026-07-11 14:30",
        Sale(
            means=Leaving.TRADE,
            disclosed=Disclosed.WORK,
            price=eur("95.00"),
            buyer=said(OBED),
            venue=said(SALTMARSH),
        ),
    )
    yield act(
        TRAIN.name,
        "2026-07-11 14:45",
        Purchase(
            means=Means.TRADE,
            issue=printed(TRAIN.issue),
            holding=Holding.RAW,
            price=eur("95.00"),
            fair_value_then=eur("95.00"),
            seller=said(OBED),
            venue=said(SALTMARSH),
            reason=said("His train against my street, and nobody paid for the coffee."),
            stated=stated_by_seller(TRAIN),
        ),
    )


def _stolen() -> Iterator[Act]:
    yield act(
        LIGHTHOUSE.name,
        "2026-08-29 19:05",
        Sale(
            means=Leaving.STOLEN,
            disclosed=Disclosed.NOT_APPLICABLE,
            compensation=eur("700.00"),
            remark=said("Out of the bag at the fair, between two tables. Police, insurer, and every dealer told."),
        ),
    )
    yield act(
        LIGHTHOUSE.name,
        "2026-08-30 10:20",
        Note(
            topic=Topic.OTHER,
            words=said("Holder number and photograph sent round. Four white ticks, the third the longest."),
        ),
    )


def _three_more() -> Iterator[Act]:
    yield act(
        RAIN.name,
        "2026-07-18 20:40",
        Purchase(
            issue=printed(RAIN.issue),
            holding=Holding.RAW,
            price=eur("48.00"),
            shipping=eur("6.95"),
            seller=said(LUDO),
            venue=said(FERRY),
            stated=stated_by_seller(RAIN),
        ),
    )
    yield act(
        NIGHT.name,
        "2026-08-01 18:25",
        Purchase(
            issue=printed(NIGHT.issue),
            holding=Holding.RAW,
            price=gbp("62.00"),
            shipping=gbp("9.50"),
            seller=said(SUNNIVA),
            venue=said(FERRY),
            reason=said("Mine had mould once. I want to see what the paper can be."),
            stated=stated_by_seller(NIGHT),
        ),
    )
    moments = evening("2026-08-08", "14:10", 5)
    for each in THREE:
        yield act(each.name, next(moments), shot(each.picture))
    yield from looks(THREE, evening("2026-08-08", "15:05", 21))
    yield act(RAIN.name, "2026-08-08 17:15", own(RAIN, "raw"))
    yield from worked_on(THREE)
    yield from looks(THREE, evening("2026-10-03", "14:15", 18), rest=470)
