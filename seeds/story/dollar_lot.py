"""Eight second copies in one lot, paid in dollars: pressed, sent together in the spring of 2025, and what came of them."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.events.choice import Choice, Next
from ledger.events.purchase import EarlierWork, Purchase
from ledger.sealed import Sealed
from seeds.story import _batch
from seeds.story._acts import Act, act, shot, together
from seeds.story._batch import Batch, Came
from seeds.story._copy import Copy, Work, evening, looks, own, shares, stated_by_seller, worked_on
from seeds.story._names import TANNERY, WEIR
from seeds.story._said import outlook, printed, said

LOT = "2025-spring"
LOAD = "2025-01-19 09:05"

LIGHTHOUSE = Copy(
    name="harbor-lamp-14 too",
    picture="harbor-lamp-14 after",
    share=150,
    stated=("VF-", "7.5"),
    came="d1 bend front 52 at 40, 90; d2 waviness front 20; d3 spine-tick spine 4 broken at 1, 62; d4 bend back 18 at 60, 150",
    like="7.5",
    work=(Work(technique="hot-press-dry", on=LOAD, at="d1, d2, d4"),),
    left="d1 bend front 5 at 44, 92; d2 gone; d3 spine-tick spine 4 broken at 1, 62; d4 gone",
    like_after="9.0",
    reason="The cover of the lot, and mine hangs.",
    after_words="The ticks stay white. Four of them, and each a sixteenth of an inch.",
    forecasts={"before sending": "8.5 300, 9.0 500, 9.2 200"},
    ceiling="9.0",
    insured=620,
)
HOUSE = Copy(
    name="unlit-stair-4 too",
    picture="unlit-stair-4 after",
    share=120,
    stated=("FN", "6.0"),
    came="d1 spine-roll spine 2.5 at 1, 130; d2 spine-tick spine 6 broken at 1, 131; d3 bend front 34 at 120, 60",
    like="6.5",
    work=(
        Work(technique="local-heat", on="2025-01-19 16:20", at="d3"),
        Work(technique="cold-press", on="2025-01-20 21:10", at="d1, d3"),
    ),
    left="d1 spine-roll spine 1 at 1, 130; d2 spine-tick spine 6 broken at 1, 131; d3 bend front 4 at 121, 61",
    like_after="8.0",
    first_words="Two of the six ticks are only in the gloss; I count them all the same.",
    forecasts={"at purchase": "7.0 300, 7.5 400, 8.0 300", "before sending": "8.0 350, 8.5 500, 9.0 150"},
    ceiling="8.5",
    insured=480,
)
BRIDGE = Copy(
    name="raincoat-squad-12 too",
    picture="raincoat-squad-12 after",
    share=95,
    stated=("VF", "8.0"),
    came="d1 bend back 60 at 20, 100; d2 corner-blunting front 1.5 whole at 183, 259",
    like="8.0",
    work=(Work(technique="hot-press-dry", on=LOAD, at="d1"),),
    left="d1 bend back 4 at 22, 102; d2 corner-blunting front 1.5 whole at 183, 259",
    like_after="9.2",
    paper="bright, supple",
    forecasts={"before sending": "9.0 350, 9.2 450, 9.4 200"},
    ceiling="9.4",
    insured=400,
)
ROCKET = Copy(
    name="ganymede-mail-2 too",
    picture="ganymede-mail-2 after",
    share=170,
    stated=("VF", "8.0"),
    came="d1 indentation front 18 at 66, 190; d2 stain back 2 at 30, 40; d3 waviness back 12 at 20, 108, 90, 110",
    like="8.0",
    work=(
        Work(technique="humidification", on="2025-01-18 15:30", at="d3"),
        Work(
            technique="cold-press", on="2025-01-19 17:45", at="d1, d3", words="Under the press while it was still soft."
        ),
    ),
    left="d1 indentation front 10 at 66, 190; d2 stain back 2 at 30, 40; d3 gone",
    like_after="9.2",
    paper="bright, supple",
    forecasts={"before sending": "9.0 350, 9.2 450, 9.4 200"},
    ceiling="9.2",
    insured=900,
)
MESA = Copy(
    name="dry-ford-deputy-5 too",
    picture="dry-ford-deputy-5 second",
    share=40,
    stated=("FN-", "5.5"),
    came="d1 surface-dirt front 22 at 33, 45, 70, 60; d2 bend front 70 at 20, 100; d3 tear back 3 at 170, 240; d4 staple-tone staples 2",
    like="6.0",
    work=(
        Work(
            technique="dry-cleaning",
            on="2025-01-11 19:15",
            at="d1",
            words="Stable dust by the smell of it. Two sponges.",
        ),
        Work(technique="hot-press-humidified", on="2025-01-26 09:20", at="d2"),
    ),
    left="d1 surface-dirt front 8 at 33, 45, 70, 60; d2 bend front 12 at 24, 110; d3 tear back 3 at 170, 240; d4 staple-tone staples 2",
    like_after="7.5",
    forecasts={"raw": "6.5 300, 7.0 400, 7.5 300", "before sending": "7.0 200, 7.5 450, 8.0 350"},
    ceiling="8.0",
    insured=160,
)
WHEEL = Copy(
    name="umbrella-for-two-38 too",
    picture="umbrella-for-two-38 after",
    share=25,
    stated=("VF+", "8.5"),
    came="d1 bend front 30 at 90, 200; d2 corner-blunting front 1 whole at 170, 1",
    like="9.0",
    work=(Work(technique="hot-press-dry", on="2025-01-20 09:10", at="d1 gone"),),
    left="d1 gone; d2 corner-blunting front 1 whole at 170, 1",
    like_after="9.6",
    paper="bright, supple",
    after_words="Nothing left but a corner that one has to look for.",
    forecasts={"before sending": "9.2 350, 9.4 400, 9.6 250"},
    ceiling="9.4",
    insured=140,
)
BIPLANES = Copy(
    name="linen-squadron-4 too",
    picture="linen-squadron-4 second",
    share=80,
    stated=("VG+", "4.5"),
    came="d1 crease front 22 at 150, 90; d2 bend front 80 at 20, 40; d3 bend back 44 at 30, 60",
    like="5.0",
    work=(Work(technique="cold-press", on="2025-01-21 21:25", at="d2, d3"),),
    left="d1 crease front 22 at 150, 90; d2 bend front 26 at 24, 44; d3 bend back 20 at 30, 60",
    like_after="6.5",
    after_words="Cold was not enough. The long bend is still half there.",
    forecasts={"after work": "5.5 250, 6.0 450, 6.5 300", "before sending": "6.0 300, 6.5 450, 7.0 250"},
    ceiling="7.0",
    insured=300,
)
CURVE = Copy(
    name="gearbox-garrity-5 too",
    picture="gearbox-garrity-5 after",
    share=20,
    stated=("VF-", "7.5"),
    came="d1 date-mark front 12 at 8, 8; d2 bend back 55 at 40, 90; d3 spine-tick spine 9 whole at 1, 76",
    like="7.5",
    work=(Work(technique="hot-press-humidified", on="2025-01-26 09:20", at="d2, d3"),),
    left="d1 date-mark front 12 at 8, 8; d2 gone; d3 spine-tick spine 8 whole at 1, 76",
    like_after="8.5",
    ceiling="8.5",
    insured=70,
)
COPIES = (LIGHTHOUSE, HOUSE, BRIDGE, ROCKET, MESA, WHEEL, BIPLANES, CURVE)

BATCH = Batch(
    id=LOT,
    service=WEIR,
    speed="60 days",
    copies=COPIES,
    fee="34.50",
    postage="71.40",
    invoice="352.15",
    forecast="2025-03-07",
    sent="2025-03-08 13:30",
    received="2025-03-17 18:12",
    graded="2025-05-14",
    back="2025-05-21 19:35",
    by_rules=(LIGHTHOUSE.name, BRIDGE.name, WHEEL.name, CURVE.name),
    came={
        LIGHTHOUSE.name: Came(grade="9.0", number="WSA 0731 01"),
        HOUSE.name: Came(grade="8.0", number="WSA 0731 02", remarks="Breaks along the spine."),
        BRIDGE.name: Came(grade="9.4", number="WSA 0731 03"),
        ROCKET.name: Came(grade="9.2", number="WSA 0731 04"),
        MESA.name: Came(grade="8.0", number="WSA 0731 05"),
        WHEEL.name: Came(grade="9.6", number="WSA 0731 06"),
        BIPLANES.name: Came(grade="6.0", number="WSA 0731 07", remarks="Bends on both covers."),
        CURVE.name: Came(grade="8.0", number="WSA 0731 08"),
    },
)


def acts() -> Iterator[Act]:
    """From the auction to the evening on which they came back."""
    yield together("2024-11-30 22:20", *_bought())
    yield together("2024-12-14 11:05", *((each.name, Arrival(stage=Stage.ARRIVED)) for each in COPIES))
    checked = Arrival(stage=Stage.CHECKED, as_described=AsDescribed.YES)
    yield together("2024-12-14 12:10", *((each.name, checked) for each in COPIES))
    moments = evening("2024-12-15", "10:02", 4)
    for each in COPIES:
        yield act(each.name, next(moments), shot(each.picture))
    yield act(HOUSE.name, "2024-12-14 21:15", own(HOUSE, "at purchase"))
    yield from looks(COPIES, evening("2024-12-15", "14:07", 17))
    yield act(MESA.name, "2024-12-15 20:33", own(MESA, "raw"))
    yield from worked_on(COPIES)
    yield from looks(COPIES, evening("2025-02-08", "14:11", 14), rest=310)
    yield act(BIPLANES.name, "2025-02-08 17:50", own(BIPLANES, "after work"))
    yield from _chosen()
    yield from _batch.acts(BATCH)
    yield act(
        CURVE.name,
        "2025-05-22 20:14",
        outlook("7.5 200, 8.0 600, 8.5 200", ceiling="8.5", stage="before sending", batch=LOT),
    )


def _bought() -> Iterator[tuple[str, Purchase]]:
    weights = [each.share for each in COPIES]
    costs = zip(
        shares("700.00", "USD", weights),
        shares("140.00", "USD", weights),
        shares("63.50", "USD", weights),
        shares("78.85", "EUR", weights),
        strict=True,
    )
    for copy, (price, premium, shipping, tax) in zip(COPIES, costs, strict=True):
        yield (
            copy.name,
            Purchase(
                issue=printed(copy.issue),
                holding=Holding.RAW,
                earlier_work=EarlierWork.NOTHING_SAID,
                expects_arrival=True,
                price=price,
                premium=premium,
                shipping=shipping,
                tax=tax,
                venue=said(TANNERY),
                reason=said(copy.reason) if copy.reason else Sealed(),
                stated=stated_by_seller(copy),
            ),
        )


def _chosen() -> Iterator[Act]:
    yield act(
        BRIDGE.name, "2025-02-08 18:02", Choice(next=Next.STOP, why=said("Another session would be for my own eyes."))
    )
    yield act(
        MESA.name,
        "2025-02-08 18:09",
        Choice(next=Next.STOP, why=said("The tear decides, and the tear stays as it is.")),
    )
