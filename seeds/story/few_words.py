"""Books about which it is the words that matter: a wrong price, a name taken out, a signature, a solvent, another's record."""

from collections.abc import Iterator
from hashlib import sha256

from ledger.events._parts import Face, Holding, Region
from ledger.events._settings import Settings
from ledger.events._step import WorkedRegion
from ledger.events.arrival import Arrival, AsDescribed
from ledger.events.correction import Correction
from ledger.events.count import Count, Result
from ledger.events.earlier import Earlier, Verdict
from ledger.events.erasure import Erasure
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork, Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Leaving
from ledger.rules.headings import Heading
from seeds.story._acts import Act, act, shot
from seeds.story._names import FERRY, JORIS, KETTLE, RUUD, SALTMARSH, SUNNIVA, THEA, WENDELINE
from seeds.story._said import by_seller, eur, fault, gone, look, mark, on, plain, printed, said, used, worked

UMBRELLA, CIRCUS, SPIRAL = "umbrella-for-two-3", "bold-sextant-57", "unlit-stair-1972-5"
ROBOTS, WHEEL = "ganymede-mail-11", "umbrella-for-two-38"


def acts() -> Iterator[Act]:
    """Five books."""
    yield from _wrong_price()
    yield from _signed()
    yield from _solvent()
    yield from _with_a_record()
    yield from _eaten()


def _wrong_price() -> Iterator[Act]:
    yield act(
        UMBRELLA,
        "2022-12-03 19:26",
        Purchase(
            issue=printed(UMBRELLA),
            holding=Holding.RAW,
            price=eur("410.00"),
            seller=said(RUUD),
            venue=said(FERRY),
            expects_arrival=True,
        ),
    )
    yield act(
        UMBRELLA,
        "2022-12-04 09:05",
        lambda told: Correction(
            entry=told.entry(UMBRELLA, "purchase").seq,
            changes={"price": plain("41.00", "EUR"), "seller": SUNNIVA},
            reason=said("A nought too many, and the parcel names another sender than the listing."),
        ),
    )
    yield act(UMBRELLA, "2022-12-10 13:30", Arrival(as_described=AsDescribed.YES))
    yield act(UMBRELLA, "2022-12-10 13:41", shot(UMBRELLA))
    yield act(
        UMBRELLA,
        "2022-12-11 17:00",
        look(
            fault("d1", "shadow", "edges", 40),
            fault("d2", "ink-writing", "back", "33"),
            paper="straw, supple",
            like="5.5",
            whole=True,
        ),
    )
    yield act(UMBRELLA, "2022-12-11 17:15", Placement(spot=Spot.BOX, room="study", place=said("Box 1, study cupboard")))
    yield act(
        UMBRELLA,
        "2025-06-14 10:12",
        lambda told: Erasure(
            entry=told.entry(UMBRELLA, "purchase").seq,
            names=("seller",),
            reason=said("The sender wrote and asked to be in nobody's books. Nothing of the price is touched."),
        ),
    )


def _signed() -> Iterator[Act]:
    yield act(
        CIRCUS,
        "2023-05-20 18:31",
        Purchase(
            issue=printed(CIRCUS), holding=Holding.RAW, price=eur("48.00"), seller=said(THEA), venue=said(SALTMARSH)
        ),
    )
    yield act(CIRCUS, "2023-05-20 18:50", shot(CIRCUS))
    yield act(
        CIRCUS,
        "2024-05-18 20:02",
        Intervention(
            technique="signature",
            worked_faces=(Face.FRONT,),
            regions=(
                WorkedRegion(face=Face.FRONT, region=Region(x_mm="24", y_mm="232", width_mm="58", height_mm="9")),
            ),
            materials=used("pigment ink, black"),
            tool="Fibre pen, 0.3 mm",
            who=said(WENDELINE),
            remark=said("She lettered it at nineteen. Signed at the fair before my eyes and her daughter's."),
        ),
    )
    yield act(
        CIRCUS,
        "2024-05-19 10:33",
        look(
            fault("d1", "corner-blunting", "back", "2", breaks=True),
            marks=(mark("m1", "signature in black, the W open at the foot", "front", "24, 232, 58, 9"),),
            paper="straw, supple",
            like="6.0",
            whole=True,
        ),
    )
    yield act(
        CIRCUS,
        "2024-05-19 10:50",
        Note(topic=Topic.STORY, words=said("She asked what I had paid, and laughed, and said she had got less.")),
    )
    yield act(
        CIRCUS,
        "2024-08-04 19:12",
        Placement(spot=Spot.WALL, room="landing", wall="long", x_cm="265", y_cm="148", place=said("Landing, middle")),
    )
    yield act(CIRCUS, "2025-08-10 18:24", Placement(spot=Spot.BOX, room="study", place=said("Box 4, study cupboard")))


def _solvent() -> Iterator[Act]:
    yield act(
        SPIRAL,
        "2023-08-26 19:00",
        Purchase(
            means=Means.GIFT,
            issue=printed(SPIRAL),
            holding=Holding.RAW,
            fair_value_then=eur("30.00"),
            seller=said(JORIS),
        ),
    )
    yield act(SPIRAL, "2023-08-26 19:18", shot(SPIRAL))
    yield act(
        SPIRAL,
        "2023-08-27 17:10",
        look(
            fault("d1", "tape-residue", "front", "16", at="4, 4, 16, 9"), like="7.0", paper="bright, supple", whole=True
        ),
    )
    yield act(
        SPIRAL,
        "2023-09-03 15:22",
        Intervention(
            technique="solvent-spot-cleaning",
            worked_defects=worked("d1 gone"),
            materials=used("heptane, laboratory grade, batch H 2211", "cotton swab", "blotting paper"),
            owner_heading=Heading.RESTORATION,
            owner_words=said(
                "A solvent was in the paper for the sake of looks. I would rather say too much than too little."
            ),
            remark=said(
                "At the open window, tried on the inside margin first. The price sticker's gum came off yellow."
            ),
        ),
    )
    yield act(
        SPIRAL,
        "2023-09-10 16:20",
        look(gone("d1", "tape-residue", "front"), light="normal, UV-A", rest=168, like="8.0"),
    )
    yield act(SPIRAL, "2025-07-05 11:00", Placement(spot=Spot.BOX, room="study", place=said("Box 4, study cupboard")))


def _with_a_record() -> Iterator[Act]:
    yield act(
        ROBOTS,
        "2025-05-17 19:10",
        Purchase(
            means=Means.RECEIVED,
            issue=printed(ROBOTS),
            holding=Holding.RAW,
            stated=by_seller("7.5", "7.5"),
            earlier_work=EarlierWork.STATED,
            price=eur("195.00"),
            seller=said(THEA),
            earlier_work_words=said("Pressed once, dry, in 2024; it is all in the file."),
            reason=said("The first time somebody hands me what I hand to others."),
        ),
    )
    yield act(
        ROBOTS,
        "2025-05-17 19:42",
        Earlier(
            record=sha256(b"a record as it was received, May 2025").hexdigest(),
            verdict=Verdict.WHOLE,
            origin="nq4vb2wz6ydk3hrm7tcx5jgfpa.slipsheet.invalid",
            size=412,
            from_whom=said(THEA),
            remark=said("Eleven entries on this book. One press, one photograph before and one after."),
        ),
    )
    yield act(ROBOTS, "2025-05-18 10:10", shot(ROBOTS))
    yield act(
        ROBOTS,
        "2025-05-18 10:36",
        look(
            fault("d1", "spine-tick", "spine", 4, mm="2", breaks=True),
            marks=(mark("m1", "a paper fibre across the robot's left eye", "front", "90, 112"),),
            light="normal, raking",
            size="184 x 260",
            pages=36,
            paper="ivory, supple",
            like="7.5",
            whole=True,
            remark="Four ticks, as her record has it. I found nothing that she had not told.",
        ),
    )
    yield act(
        ROBOTS,
        "2025-08-10 18:20",
        Placement(
            spot=Spot.WALL, room="landing", wall="stair", x_cm="95", y_cm="152", place=said("Landing, top of the stair")
        ),
    )


def _eaten() -> Iterator[Act]:
    yield act(
        WHEEL,
        "2024-02-10 17:25",
        Purchase(
            issue=printed(WHEEL),
            holding=Holding.RAW,
            price=eur("18.00"),
            venue=said(KETTLE),
            reason=said("From the crate at the door."),
        ),
    )
    yield act(WHEEL, "2024-02-11 10:50", shot(WHEEL))
    yield act(
        WHEEL,
        "2025-12-29 18:00",
        look(
            fault("d1", "pest-damage", "back", "21", at="120, 220"),
            light="raking",
            odour="none",
            like="3.0",
            remark="Silverfish, the scraped kind. One alive in the fold of the sleeve.",
        ),
    )
    yield act(
        WHEEL,
        "2026-01-06 19:30",
        Intervention(
            on=on("2025-12-30/2026-01-06"),
            technique="freezing-anoxia",
            worked_defects=worked("d1"),
            materials=used("polyethylene bag, two, air pressed out"),
            tool="Chest freezer",
            settings=Settings(set_celsius="-24", total_minutes=10080),
            remark=said("A week, then a day in the closed bag to come back slowly. The box was thrown away."),
        ),
    )
    yield act(WHEEL, "2026-01-07 18:45", Count(result=Result.FOUND, remark=said("Counted again, alone.")))
    yield act(
        WHEEL,
        "2026-02-14 15:55",
        Sale(
            means=Leaving.DESTROYED,
            disclosed=Disclosed.NOT_APPLICABLE,
            remark=said("The roof light above the bench. It lay open to dry."),
        ),
    )
