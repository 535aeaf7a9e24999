"""Nine second copies from an evening auction, paid in dollars, and two that were opened again: the spring of 2026."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.events.choice import Choice, Next
from ledger.events.opening import HolderCondition, Opening
from ledger.events.purchase import EarlierWork, Purchase
from ledger.events.slab import Outcome
from seeds.story import _batch
from seeds.story._acts import Act, act, shot, together
from seeds.story._batch import Batch, Came
from seeds.story._copy import Copy, Work, evening, last_look, looks, own, shares, stated_by_seller, worked_on
from seeds.story._names import NIGHTJAR, WEIR
from seeds.story._said import fault, look, printed, said
from seeds.story.kettle_lot import CHEESE, JUKEBOX

LOT = "2026-spring"
LOAD, COLD, DAMP = "2026-01-18 09:25", "2026-01-18 20:45", "2026-01-19 09:25"

LAMP_POST = Copy(
    name="raincoat-squad-1 too",
    picture="raincoat-squad-1 second",
    share=260,
    stated=("VG+", "4.5"),
    came="d1 staple-rust staples 2; d2 surface-dirt front 20; d3 bend back 90 at 20, 60; d4 spine-tick spine 5 broken at 1, 110",
    like="5.5",
    work=(
        Work(technique="dry-cleaning", on="2026-01-10 16:20", at="d2"),
        Work(technique="cold-press", on=COLD, at="d3"),
    ),
    left="d1 staple-rust staples 2; d2 surface-dirt front 5; d3 bend back 24 at 20, 80; d4 spine-tick spine 5 broken at 1, 110",
    like_after="7.5",
    forecasts={"at purchase": "5.5 400, 6.0 400, 6.5 200", "before sending": "6.0 250, 6.5 400, 7.0 350"},
    ceiling="7.0",
    insured=1400,
)
SLEDGE = Copy(
    name="bold-sextant-33 too",
    picture="bold-sextant-33 after",
    share=190,
    stated=("FN-", "5.5"),
    came="d1 spine-split spine 5 at 1, 238; d2 waviness back 30 at 39, 89, 90, 110; d3 bend front 48 at 90, 80",
    like="6.0",
    work=(Work(technique="hot-press-humidified", on=DAMP, at="d2, d3"),),
    left="d1 spine-split spine 5 at 1, 238; d2 waviness back 6 at 39, 89, 90, 110; d3 bend front 6 at 92, 82",
    like_after="8.0",
    forecasts={"before sending": "7.0 400, 7.5 400, 8.0 200"},
    ceiling="7.5",
    insured=900,
)
GIANT = Copy(
    name="crimson-semaphore-1974-6 too",
    picture="crimson-semaphore-1974-6 after",
    share=35,
    stated=("VF", "8.0"),
    came="d1 corner-blunting front 1.5 whole at 170, 259; d2 bend front 26 at 110, 60; d3 surface-dirt back 8 at 52, 106, 70, 60",
    like="8.5",
    paper="bright, supple",
    work=(
        Work(technique="dry-cleaning", on="2026-01-10 16:20", at="d3"),
        Work(technique="hot-press-dry", on=LOAD, at="d2"),
    ),
    left="d1 corner-blunting front 1.5 whole at 170, 259; d2 gone; d3 gone",
    like_after="9.4",
    forecasts={"before sending": "9.2 350, 9.4 450, 9.6 200"},
    ceiling="9.4",
    insured=150,
)
TELEPHONE = Copy(
    name="umbrella-for-two-16 too",
    picture="umbrella-for-two-16 after",
    share=30,
    stated=("VF/NM", "9.0"),
    came="d1 edge-dent front 2 whole at 171, 120; d2 bend back 22 at 100, 60",
    like="9.0",
    paper="bright, supple",
    work=(Work(technique="hot-press-dry", on=LOAD, at="d2"),),
    left="d1 edge-dent front 2 whole at 171, 120; d2 gone",
    like_after="9.4",
    reason="Dry, this one, and it shall stay so.",
    forecasts={"before sending": "9.2 350, 9.4 450, 9.6 200"},
    ceiling="9.4",
    insured=120,
)
SPIRAL = Copy(
    name="unlit-stair-1972-5 too",
    picture="unlit-stair-1972-5 after",
    share=25,
    stated=("VF/NM", "9.0"),
    came="d1 spine-tick spine 2 whole at 1, 97; d2 bend front 12 at 60, 90; d3 indentation front 6 at 100, 140",
    like="9.2",
    paper="bright, supple",
    work=(Work(technique="cold-press", on=COLD, at="d2, d3"),),
    left="d1 spine-tick spine 2 whole at 1, 97; d2 bend front 3 at 62, 92; d3 indentation front 3 at 100, 140",
    like_after="9.8",
    forecasts={"before sending": "9.4 250, 9.6 400, 9.8 350"},
    ceiling="9.8",
    insured=110,
)
SQUID = Copy(
    name="harbor-lamp-23 too",
    picture="harbor-lamp-23 second",
    share=85,
    stated=("FN", "6.0"),
    came="d1 waviness front 26 at 41, 77, 90, 110; d2 tear front 3 at 120, 258; d3 bend back 71 at 30, 50",
    like="6.5",
    work=(
        Work(technique="humidification", on="2026-01-17 15:10", at="d1"),
        Work(technique="hot-press-dry", on=LOAD, at="d1, d3"),
    ),
    left="d1 waviness front 8 at 41, 77, 90, 110; d2 tear front 3 at 120, 258; d3 bend back 9 at 32, 52",
    like_after="8.5",
    forecasts={"after work": "7.5 250, 8.0 450, 8.5 300", "before sending": "8.0 250, 8.5 450, 9.0 300"},
    ceiling="9.0",
    insured=340,
)
ROBOT = Copy(
    name="ganymede-mail-11 too",
    picture="ganymede-mail-11",
    share=100,
    stated=("FN/VF", "7.0"),
    came="d1 spine-tick spine 4 broken at 1, 44; d2 stain back 4 at 120, 70; d3 bend front 58 at 30, 70",
    like="7.0",
    work=(Work(technique="hot-press-humidified", on=DAMP, at="d3"),),
    left="d1 spine-tick spine 4 broken at 1, 44; d2 stain back 4 at 120, 70; d3 bend front 18 at 34, 72",
    like_after="8.5",
    first_words="The stain is on the back and shows through nowhere.",
    forecasts={"before sending": "8.0 400, 8.5 400, 9.0 200"},
    ceiling="9.0",
    insured=400,
)
SNOW = Copy(
    name="dumpling-and-tack-60 too",
    picture="dumpling-and-tack-60 after",
    share=20,
    stated=("VF+", "8.5"),
    came="d1 date-mark front 10 at 20, 54; d2 fold front 16 at 166, 250",
    like="8.5",
    paper="bright, supple",
    work=(Work(technique="local-heat", on="2026-01-11 15:40", at="d2"),),
    left="d1 date-mark front 10 at 20, 54; d2 fold front 5 at 168, 257",
    like_after="9.0",
    forecasts={"before sending": "8.5 300, 9.0 500, 9.2 200"},
    ceiling="9.0",
    insured=80,
)
CITY = Copy(
    name="jungle-meridian-15 too",
    picture="jungle-meridian-15",
    share=95,
    stated=("VF", "8.0"),
    came="d1 abrasion front 3 at 90, 200; d2 bend front 45 at 50, 70; d3 fold back 14 at 4, 250",
    like="8.0",
    work=(Work(technique="hot-press-dry", on=LOAD, at="d2, d3"),),
    left="d1 abrasion front 3 at 90, 200; d2 gone; d3 fold back 5 at 4, 254",
    like_after="9.0",
    first_words="All four lights this time, and the inside of the back cover twice.",
    forecasts={"raw": "8.0 250, 8.5 450, 9.0 300", "before sending": "8.5 350, 9.0 500, 9.2 150"},
    ceiling="9.0",
    insured=380,
)
COPIES = (LAMP_POST, SLEDGE, GIANT, TELEPHONE, SPIRAL, SQUID, ROBOT, SNOW, CITY)
JUKEBOX_AGAIN = Copy(
    name=JUKEBOX.name,
    share=1,
    stated=(),
    came=JUKEBOX.came,
    like="9.0",
    work=(Work(technique="hot-press-dry", on="2026-01-20 09:15", at="d1"),),
    left="d1 gone; d2 spine-tick spine 2 broken; d3 indentation back 5 at 70, 60",
    like_after="9.2",
    after_words="The bend through the title has gone; under the lamp too.",
    forecasts={"before sending": "8.5 250, 9.0 500, 9.2 250"},
    ceiling="9.2",
    insured=260,
)
CHEESE_AGAIN = Copy(
    name=CHEESE.name,
    share=1,
    stated=(),
    came=CHEESE.came,
    like="8.0",
    work=(Work(technique="hot-press-humidified", on="2026-01-25 09:10", at="d3"),),
    left="d2 stain front 5 at 60, 200; d3 bend back 4 at 41, 121",
    like_after="8.5",
    forecasts={"before sending": "7.5 300, 8.0 450, 8.5 250"},
    ceiling="8.5",
    insured=210,
)

BATCH = Batch(
    id=LOT,
    service=WEIR,
    speed="60 days",
    copies=(*COPIES, JUKEBOX_AGAIN, CHEESE_AGAIN),
    fee="36.00",
    postage="118.90",
    invoice="489.35",
    forecast="2026-02-27",
    sent="2026-02-28 11:40",
    received="2026-03-09 18:31",
    shipped="2026-05-13 17:58",
    back="2026-05-20 20:16",
    by_rules=(GIANT.name, SPIRAL.name, CITY.name),
    came={
        LAMP_POST.name: Came(grade="7.0", number="WSA 0918 20", remarks="Rust on both staples."),
        SLEDGE.name: Came(grade="7.0", number="WSA 0918 21"),
        GIANT.name: Came(grade="9.6", number="WSA 0918 22"),
        TELEPHONE.name: Came(grade="9.0", number="WSA 0918 23", remarks="Dent in the long edge."),
        SPIRAL.name: Came(grade="9.8", number="WSA 0918 24"),
        SQUID.name: Came(grade="8.5", number="WSA 0918 25"),
        ROBOT.name: Came(grade="9.0", number="WSA 0918 26"),
        SNOW.name: Came(outcome=Outcome.DAMAGED, remarks="Left us whole, says their letter.", compensation="60.00"),
        CITY.name: Came(grade="9.0", number="WSA 0918 27"),
        JUKEBOX.name: Came(grade="9.0", number="WSA 0918 28"),
        CHEESE.name: Came(grade="8.0", number="WSA 0918 29", remarks="Stain on the cover."),
    },
)


def acts() -> Iterator[Act]:
    """From the auction to the evening on which they came back, one of them wet."""
    yield together("2025-10-18 23:10", *_bought())
    yield together("2025-11-08 10:50", *((each.name, Arrival(stage=Stage.ARRIVED)) for each in COPIES))
    checked = Arrival(stage=Stage.CHECKED, as_described=AsDescribed.YES)
    yield together("2025-11-08 11:30", *((each.name, checked) for each in COPIES))
    moments = evening("2025-11-08", "14:06", 4)
    for each in COPIES:
        yield act(each.name, next(moments), shot(each.picture))
    yield act(LAMP_POST.name, "2025-10-19 09:40", own(LAMP_POST, "at purchase"))
    yield from looks(COPIES, evening("2025-11-09", "13:15", 16))
    yield act(CITY.name, "2025-11-09 20:12", own(CITY, "raw"))
    again = (JUKEBOX_AGAIN, CHEESE_AGAIN)
    for each, moment in zip(again, evening("2026-01-10", "11:20", 15), strict=False):
        yield act(each.name, moment, Opening(condition=HolderCondition.INTACT))
    yield from worked_on((*COPIES, *again))
    yield from looks(COPIES, evening("2026-02-07", "13:20", 15), rest=310)
    for each, moment in zip(again, evening("2026-02-07", "17:20", 12), strict=False):
        yield act(each.name, moment, last_look(each, 310))
    yield act(SQUID.name, "2026-02-07 18:30", own(SQUID, "after work"))
    yield act(
        TELEPHONE.name, "2026-02-07 18:44", Choice(next=Next.STOP, why=said("A dent in an edge is pressed by nobody."))
    )
    yield from _batch.acts(BATCH)
    yield act(
        SNOW.name,
        "2026-05-21 18:10",
        look(
            fault("d3", "tide-line", "back", "30", at="10, 220"),
            fault("d4", "waviness", "back", 25),
            light="normal, raking",
            like="5.5",
            remark="The parcel stood in the rain at some door, and the holder had a crack at the foot.",
        ),
    )


def _bought() -> Iterator[tuple[str, Purchase]]:
    weights = [each.share for each in COPIES]
    costs = zip(
        shares("840.00", "USD", weights), shares("168.00", "USD", weights), shares("71.20", "USD", weights), strict=True
    )
    for copy, (price, premium, shipping) in zip(COPIES, costs, strict=True):
        yield (
            copy.name,
            Purchase(
                issue=printed(copy.issue),
                holding=Holding.RAW,
                earlier_work=EarlierWork.DENIED,
                expects_arrival=True,
                price=price,
                premium=premium,
                shipping=shipping,
                venue=said(NIGHTJAR),
                stated=stated_by_seller(copy),
            ),
        )
