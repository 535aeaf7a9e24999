"""Seven second copies from one shop's back room, paid in euro, and their way to the sterner of the two services."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.choice import Choice, Next
from ledger.events.note import Note, Topic
from ledger.events.opening import HolderCondition, Opening
from ledger.events.purchase import Purchase
from ledger.events.slab import Outcome
from ledger.events.withdrawal import Withdrawal
from ledger.money import Money
from ledger.sealed import Sealed
from seeds.story import _batch
from seeds.story._acts import Act, act, shot, together
from seeds.story._batch import Batch, Came
from seeds.story._copy import Copy, Work, evening, last_look, looks, own, shares, stated_by_seller, worked_on
from seeds.story._names import DIRKJE, KETTLE, OAKMOTH
from seeds.story._said import faces, fault, look, printed, said
from seeds.story.dollar_lot import BIPLANES

LOT = "2025-autumn"
LOAD, COLD = "2025-06-15 09:15", "2025-06-15 20:35"

IDOL = Copy(
    name="jungle-meridian-6 too",
    picture="jungle-meridian-6 after",
    share=90,
    stated=("FN+", "6.5"),
    came="d1 surface-dirt front 18 at 35, 113, 70, 60; d2 bend front 40 at 30, 60; d3 crease back 5 at 160, 250",
    like="6.5",
    work=(
        Work(technique="dry-cleaning", on="2025-06-07 17:20", at="d1"),
        Work(technique="hot-press-dry", on=LOAD, at="d2"),
    ),
    left="d1 surface-dirt front 4 at 35, 113, 70, 60; d2 bend front 7 at 32, 62; d3 crease back 5 at 160, 250",
    like_after="8.5",
    reason="Mine is in the cabinet. This one may be handled.",
    forecasts={"before sending": "8.5 250, 9.0 450, 9.2 300"},
    ceiling="9.2",
    insured=420,
)
RING = Copy(
    name="bold-sextant-57 too",
    picture="bold-sextant-57 after",
    share=70,
    stated=("VG/FN", "5.0"),
    came="d1 ink-writing front 40 at 30, 236; d2 waviness front 15 at 48, 50, 90, 110; d3 bend back 62 at 20, 100",
    like="6.0",
    work=(Work(technique="hot-press-humidified", on="2025-06-16 09:05", at="d2, d3"),),
    left="d1 ink-writing front 40 at 30, 236; d2 gone; d3 bend back 10 at 20, 100",
    like_after="7.5",
    forecasts={"at purchase": "6.0 400, 6.5 400, 7.0 200", "before sending": "6.5 250, 7.0 450, 7.5 300"},
    ceiling="7.5",
    insured=260,
)
MOON = Copy(
    name="crimson-semaphore-3 too",
    picture="crimson-semaphore-3 second",
    share=110,
    stated=("VG+", "4.5"),
    came="d1 crease front 30 at 100, 80; d2 spine-split spine 8 at 1, 244; d3 surface-dirt back 12 at 61, 67, 70, 60",
    like="5.5",
    work=(Work(technique="dry-cleaning", on="2025-06-07 17:20", at="d3"),),
    left="d1 crease front 30 at 100, 80; d2 spine-split spine 8 at 1, 244; d3 surface-dirt back 3 at 61, 67, 70, 60",
    like_after="6.0",
    forecasts={"before sending": "5.0 250, 5.5 450, 6.0 300"},
    ceiling="6.0",
    insured=500,
)
CHEESE = Copy(
    name="dumpling-and-tack-8 too",
    picture="dumpling-and-tack-8 after",
    share=55,
    stated=("FN/VF", "7.0"),
    came="d1 pencil-mark front 10 at 150, 14; d2 stain front 5 at 60, 200; d3 bend back 28 at 40, 120",
    like="7.0",
    work=(
        Work(technique="erase-pencil", on="2025-06-08 15:10", at="d1"),
        Work(technique="cold-press", on=COLD, at="d3"),
    ),
    left="d1 gone; d2 stain front 5 at 60, 200; d3 bend back 14 at 40, 120",
    like_after="8.0",
    forecasts={"before sending": "7.5 300, 8.0 450, 8.5 250"},
    ceiling="8.5",
    insured=190,
)
JUKEBOX = Copy(
    name="jukebox-hettie-9 too",
    picture="jukebox-hettie-9 after",
    share=60,
    stated=("VF", "8.0"),
    came="d1 bend front 36 at 100, 30; d2 spine-tick spine 2 broken at 1, 226; d3 indentation back 9 at 70, 60",
    like="8.0",
    paper="bright, supple",
    work=(Work(technique="cold-press", on=COLD, at="d1, d3"),),
    left="d1 bend front 16 at 101, 31; d2 spine-tick spine 2 broken at 1, 226; d3 indentation back 5 at 70, 60",
    like_after="9.0",
    first_words="Somebody danced near it: the dent on the back is a heel.",
    forecasts={"raw": "8.0 300, 8.5 500, 9.0 200", "before sending": "8.5 200, 9.0 450, 9.2 350"},
    ceiling="9.2",
    insured=230,
)
POSTBOX = Copy(
    name="ganymede-mail-26 too",
    picture="ganymede-mail-26 after",
    share=85,
    stated=("VF", "8.0"),
    came="d1 fold front 12 at 168, 254; d2 waviness back 9 at 50, 118, 90, 110; d3 corner-blunting front 1 whole at 170, 259",
    like="8.5",
    paper="bright, supple",
    work=(
        Work(technique="local-heat", on="2025-06-08 16:05", at="d1"),
        Work(technique="hot-press-dry", on=LOAD, at="d2"),
    ),
    left="d1 fold front 4 at 169, 257; d2 gone; d3 corner-blunting front 1 whole at 170, 259",
    like_after="9.4",
    forecasts={"before sending": "9.4 200, 9.6 500, 9.8 300"},
    ceiling="9.4",
    insured=380,
)
STREET = Copy(
    name="dry-ford-deputy-41 too",
    picture="dry-ford-deputy-41 after",
    share=30,
    stated=("FN/VF", "7.0"),
    came="d1 spine-roll spine 1.5 at 1, 130; d2 spine-tick spine 6 whole at 1, 140; d3 bend front 31 at 60, 40",
    like="7.5",
    work=(Work(technique="hot-press-dry", on=LOAD, at="d2, d3"),),
    left="d1 spine-roll spine 1.5 at 1, 130; d2 spine-tick spine 4 whole at 1, 140; d3 gone",
    like_after="8.5",
    forecasts={"after work": "7.5 300, 8.0 400, 8.5 300", "before sending": "8.0 400, 8.5 450, 9.0 150"},
    ceiling="8.5",
    insured=90,
)
COPIES = (IDOL, RING, MOON, CHEESE, JUKEBOX, POSTBOX, STREET)
BIPLANES_AGAIN = Copy(
    name=BIPLANES.name,
    share=1,
    stated=(),
    came=BIPLANES.came,
    like="6.5",
    work=(Work(technique="hot-press-dry", on=LOAD, at="d2, d3", words="What the cold left, warm. Once, and no more."),),
    left="d1 crease front 22 at 150, 90; d2 bend front 5 at 26, 46; d3 gone",
    like_after="7.0",
    forecasts={"before sending": "6.0 350, 6.5 450, 7.0 200"},
    ceiling="7.0",
    insured=340,
)

BATCH = Batch(
    id=LOT,
    service=OAKMOTH,
    speed="bulk",
    copies=(*COPIES, BIPLANES_AGAIN),
    fee="38.00",
    postage="66.25",
    invoice="381.70",
    forecast="2025-09-19",
    sent="2025-09-20 12:50",
    shipped="2025-11-24 18:20",
    back="2025-12-03 20:05",
    by_rules=(CHEESE.name, STREET.name),
    came={
        IDOL.name: Came(grade="8.0", number="OGR-71502", remarks="Crease at the foot of the back cover."),
        RING.name: Came(grade="7.0", number="OGR-71503", remarks="A name in ink on the cover."),
        MOON.name: Came(outcome=Outcome.NO_GRADE, remarks="Colour added along the spine and in the sky."),
        CHEESE.name: Came(grade="7.5", number="OGR-71504"),
        JUKEBOX.name: Came(grade="8.5", number="OGR-71505", remarks="Bend through the title."),
        POSTBOX.name: Came(grade="9.2", number="OGR-71506"),
        STREET.name: Came(grade="8.5", number="OGR-71507"),
        BIPLANES.name: Came(grade="6.5", number="OGR-71508"),
    },
)


def acts() -> Iterator[Act]:
    """From the back room to the evening on which they came back."""
    weights = [each.share for each in COPIES]
    prices = shares("395.00", "EUR", weights)
    yield together("2025-03-29 17:25", *(_bought(each, price) for each, price in zip(COPIES, prices, strict=True)))
    moments = evening("2025-03-30", "10:06", 4)
    for each in COPIES:
        yield act(each.name, next(moments), shot(each.picture))
    yield act(RING.name, "2025-03-29 20:48", own(RING, "at purchase"))
    yield from looks(COPIES, evening("2025-04-05", "14:03", 19))
    yield act(JUKEBOX.name, "2025-04-05 20:55", own(JUKEBOX, "raw"))
    yield act(BIPLANES.name, "2025-06-07 16:10", Opening(condition=HolderCondition.INTACT))
    yield from worked_on((*COPIES, BIPLANES_AGAIN))
    yield from looks(COPIES, evening("2025-07-05", "13:32", 14), rest=460)
    yield act(BIPLANES.name, "2025-07-05 17:31", last_look(BIPLANES_AGAIN, 460))
    yield act(STREET.name, "2025-07-05 18:12", own(STREET, "after work"))
    yield act(CHEESE.name, "2025-07-05 18:20", Choice(next=Next.STOP, why=said("The stain is tea, and tea stays tea.")))
    yield from _batch.acts(BATCH)
    yield from _afterwards()


def _bought(copy: Copy, price: Sealed[Money]) -> tuple[str, Purchase]:
    return (
        copy.name,
        Purchase(
            issue=printed(copy.issue),
            holding=Holding.RAW,
            price=price,
            seller=said(DIRKJE),
            venue=said(KETTLE),
            stated=stated_by_seller(copy),
        ),
    )


def _afterwards() -> Iterator[Act]:
    yield act(
        POSTBOX.name,
        "2025-09-22 21:04",
        lambda told: Withdrawal(
            entry=told.entry(POSTBOX.name, "outlook").seq,
            reason=said("I had written it for the copy in the cabinet. This one has the fold, and I forgot it."),
        ),
    )
    yield act(
        MOON.name,
        "2025-12-06 17:15",
        look(
            fault("d1", "crease", "front", "30", at="100, 80"),
            fault("d2", "spine-split", "spine", "8", at="1, 244"),
            light="normal, UV-A",
            remark="Under the lamp the sky glows in two patches. I had never put the lamp on.",
            faces_looked_at=faces("front, back, spine"),
        ),
    )
    yield act(
        MOON.name,
        "2025-12-06 17:40",
        Note(topic=Topic.TRADE, words=said("Every old one goes under the ultraviolet lamp before it goes anywhere.")),
    )
