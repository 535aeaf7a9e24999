"""What is under way in the last year told: swaps on the walls, two books on the bench, two at the service, one in the post."""

from collections.abc import Iterator

from ledger.events._parts import Answer, Holding
from ledger.events._settings import Settings
from ledger.events.choice import Choice, Next
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import EarlierWork, Purchase
from ledger.events.submission import Ask, Stage, Submission
from ledger.sealed import Sealed
from seeds.story._acts import Act, act, shot, together
from seeds.story._names import FERRY, OAKMOTH, SUNNIVA
from seeds.story._said import by_seller, eur, fault, gbp, look, on, outlook, printed, said, used, worked

LAST = "2026-autumn"
"""The batch that is out."""
SWING_TOO = "crimson-semaphore-17 too"


def acts() -> Iterator[Act]:
    """From April to November 2026."""
    yield act(
        "linen-squadron-20",
        "2026-04-18 10:12",
        look(light="normal, UV-A", odour="none", remark="Second spring. Still nothing."),
    )
    yield from _walls()
    yield from _squid_on_the_bench()
    yield from _teacup_on_the_bench()
    yield from _out()
    yield from _wanted_again()
    yield from _winter_hanging()


def _walls() -> Iterator[Act]:
    yield act(
        "dry-ford-deputy-18", "2026-08-08 10:20", Placement(spot=Spot.SAFE, place=said("Steel cabinet, upper shelf"))
    )
    yield act(
        "raincoat-squad-1",
        "2026-08-08 10:44",
        Placement(
            spot=Spot.WALL,
            room="study",
            wall="n",
            x_cm="118",
            y_cm="152",
            housings=(
                Housing(around=Around.FRAME, material=Material.WOOD, changed_on=on("2023-07-30"), uv_filter=Answer.YES),
            ),
            place=said("Study, left of the door"),
            remark=said("Two years in the dark and now its second on the wall."),
        ),
    )
    yield act(
        "harbor-lamp-31",
        "2026-08-09 18:15",
        Placement(spot=Spot.BOX, room="study", place=said("Box 3, study cupboard")),
    )
    yield act(
        "unlit-stair-4",
        "2026-08-09 18:33",
        Placement(spot=Spot.WALL, room="landing", wall="long", x_cm="265", y_cm="148", place=said("Landing, middle")),
    )


def _squid_on_the_bench() -> Iterator[Act]:
    yield act(
        "harbor-lamp-23",
        "2026-10-11 16:30",
        look(
            fault("d1", "waviness", "front", 6),
            fault("d2", "crease", "front", "8", at="168, 244"),
            fault("d4", "surface-dirt", "front", 12),
            light="normal, raking, transmitted",
            paper="straw, supple",
            odour="none",
            like="6.0",
            remark="Two years in a damp-proof box have done it good.",
        ),
    )
    yield act(
        "harbor-lamp-23",
        "2026-10-11 16:48",
        Choice(next=Next.GO_ON, why=said("Clean it, then see whether the wave wants more.")),
    )
    yield act(
        "harbor-lamp-23",
        "2026-10-24 15:20",
        Intervention(
            technique="dry-cleaning",
            worked_defects=worked("d4"),
            materials=used("vulcanised rubber sponge", "soft brush"),
            remark=said("The sea is two shades lighter. I had taken the dirt for night."),
        ),
    )
    yield act(
        "harbor-lamp-23",
        "2026-11-15 10:10",
        Intervention(
            on=on("2026-11-14"),
            technique="hot-press-dry",
            worked_defects=worked("d1"),
            materials=used("silicone release paper", "grey board, 2 mm"),
            tool="Mounting press, 40 x 50 cm",
            settings=Settings(
                set_celsius="55", measured_celsius="52.5", hold_minutes=8, cooling_minutes=712, total_minutes=720
            ),
            remark=said("Cooler and shorter than the others; the paper has had its share of radiator. Now it rests."),
        ),
    )


def _teacup_on_the_bench() -> Iterator[Act]:
    yield act(
        "dumpling-and-tack-27",
        "2026-10-25 17:05",
        Choice(
            next=Next.GO_ON, why=said("The roll has stood at 2 mm for three years. A cold press with a shaped board.")
        ),
    )
    yield act(
        "dumpling-and-tack-27",
        "2026-11-08 11:30",
        Note(topic=Topic.CARE, words=said("Board cut to 58 mm, edge rounded, tried on a copy without a cover first.")),
    )


def _out() -> Iterator[Act]:
    yield together(
        "2026-10-30 20:12",
        ("ganymede-mail-11", outlook("7.0 150, 7.5 600, 8.0 250", ceiling="9.0", stage="before sending", batch=LAST)),
        ("unlit-stair-1972-5", outlook("7.5 250, 8.0 550, 8.5 200", stage="before sending", batch=LAST)),
    )
    yield together(
        "2026-10-31 13:25",
        ("ganymede-mail-11", _sent("260.00")),
        ("unlit-stair-1972-5", _sent("60.00")),
    )
    yield together(
        "2026-11-09 18:40",
        ("ganymede-mail-11", Submission(batch=LAST, stage=Stage.RECEIVED, service=said(OAKMOTH))),
        ("unlit-stair-1972-5", Submission(batch=LAST, stage=Stage.RECEIVED, service=said(OAKMOTH))),
        signs=True,
    )


def _sent(worth: str) -> Submission:
    """One book's share of the last batch."""
    return Submission(
        batch=LAST,
        asks=Ask.GRADE,
        speed="30 days",
        service=said(OAKMOTH),
        insured_for=eur(worth),
        fee=eur("41.00"),
        postage=eur("15.50"),
    )


def _wanted_again() -> Iterator[Act]:
    yield act(
        SWING_TOO,
        "2026-11-14 21:40",
        Purchase(
            issue=printed("crimson-semaphore-17"),
            holding=Holding.RAW,
            stated=by_seller("Good, honest", "2.0", "2.5"),
            earlier_work=EarlierWork.DENIED,
            expects_arrival=True,
            price=gbp("140.00"),
            shipping=gbp("16.00"),
            seller=said(SUNNIVA),
            venue=said(FERRY),
            earlier_work_words=said("None that I did, and I had it since I was ten."),
            reason=said("Half the grade of the other and, this time, all of it its own."),
        ),
    )
    yield act(SWING_TOO, "2026-11-14 21:52", shot("crimson-semaphore-17 worn", "The seller's picture"))


WINTER = (
    ("dry-ford-deputy-18", "152", "152", "Winter hanging. The low sun does not reach this wall before March."),
    ("ganymede-mail-2", "186", "152", ""),
    ("umbrella-for-two-16", "218", "152", "Her first time up; raw, so behind the door's shadow."),
    ("jungle-meridian-6", "250", "152", ""),
    ("harbor-lamp-14", "284", "152", "Where the curtain edge would catch it in summer. Down by the first of March."),
    ("bold-sextant-4", "316", "153", ""),
)
"""What hangs on the study's north wall this winter: middle from the left and from the floor in cm, and a word on it."""


def _winter_hanging() -> Iterator[Act]:
    yield together("2026-11-21 16:20", *((book, _hung(x, y, words)) for book, x, y, words in WINTER), signs=True)


def _hung(x: str, y: str, words: str) -> Placement:
    place = said("Study, north wall")
    return Placement(
        spot=Spot.WALL, room="study", wall="n", x_cm=x, y_cm=y, place=place, remark=said(words) if words else Sealed()
    )
