"""Five books out of one house, bought in one breath; what became of each was its own matter."""

from collections.abc import Iterator

from ledger.events._parts import Face, Holding
from ledger.events.choice import Choice, Next
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import EarlierWork, Purchase
from ledger.events.withdrawal import Withdrawal
from seeds.story._acts import Act, act, shot, together
from seeds.story._names import CLEARANCE, PETRONEL
from seeds.story._said import eur, fault, gone, look, mark, on, printed, said, used, worked

CHEESE, TEACUP, SNOW = "dumpling-and-tack-8", "dumpling-and-tack-27", "dumpling-and-tack-60"
MESA, TELEPHONE = "dry-ford-deputy-5", "umbrella-for-two-16"


def acts() -> Iterator[Act]:
    """The lot, and four of its five books; how the fifth was sold is told with the sales."""
    yield together(
        "2023-09-09 19:55",
        (CHEESE, _bought(CHEESE, "46.00", "The cheese. Nobody drew a better one.")),
        (TEACUP, _bought(TEACUP, "31.00", "Came with the cheese.")),
        (SNOW, _bought(SNOW, "24.00", "Came with the cheese.")),
        (MESA, _bought(MESA, "58.00", "Sound, only dirty and flat on its face for fifty years.")),
        (TELEPHONE, _bought(TELEPHONE, "21.00", "Came with the others; a clean copy of a soppy one.")),
    )
    for place, key in enumerate((CHEESE, TEACUP, SNOW, MESA, TELEPHONE)):
        yield act(key, f"2023-09-10 10:{15 + 6 * place}", shot(key))
    yield from _smoke()
    yield from _wrong_book()
    yield from _rusty_staples()
    yield from _under_the_pipe()


def _bought(key: str, price: str, reason: str) -> Purchase:
    """One book's share of the lot."""
    return Purchase(
        issue=printed(key),
        holding=Holding.RAW,
        earlier_work=EarlierWork.NOTHING_SAID,
        price=eur(price),
        seller=said(PETRONEL),
        venue=said(CLEARANCE),
        reason=said(reason),
    )


def _smoke() -> Iterator[Act]:
    yield act(
        CHEESE,
        "2023-09-16 18:37",
        look(
            fault("d1", "pencil-mark", "front", "14", at="150, 12"),
            fault("d2", "surface-dirt", "back", 25),
            fault("d3", "crease", "back", "19", at="20, 30"),
            size="183 x 260",
            pages=52,
            paper="straw, supple",
            odour="smoke",
            like="5.0",
            whole=True,
            remark="Pipe smoke, all five of them, this one worst. The pencil says 2/-.",
        ),
    )
    yield act(
        CHEESE,
        "2023-10-14 17:20",
        Intervention(
            on=on("2023-09-16/2023-10-14"),
            technique="odour-absorption",
            materials=used("activated carbon cloth", "polyester sleeve, open at two sides"),
            tool="Lidded box, 12 litres",
            changed_anything=True,
            remark=said("Four weeks. At arm's length I smell nothing, with my nose in it still a little."),
        ),
    )
    yield act(
        CHEESE,
        "2023-10-15 16:48",
        Intervention(
            technique="erase-pencil",
            worked_defects=worked("d1"),
            materials=used("white vinyl eraser", "soft brush"),
            remark=said("It said 2/- in a round hand. The groove is still there in raking light."),
        ),
    )
    yield act(CHEESE, "2023-10-21 18:15", look(gone("d1", "pencil-mark", "front"), odour="smoke", rest=144, like="5.0"))
    yield act(CHEESE, "2023-10-21 18:31", Placement(spot=Spot.BOX, room="study", place=said("Box 2, study cupboard")))


def _wrong_book() -> Iterator[Act]:
    yield act(
        TEACUP,
        "2023-09-23 19:26",
        look(
            fault("d1", "spine-roll", "spine", "2"),
            fault("d2", "surface-dirt", "front", 15),
            marks=(mark("m1", "blue ink set off on the first leaf in the shape of a spout", "inside"),),
            paper="ivory, supple",
            odour="smoke",
            like="6.0",
            whole=True,
        ),
    )
    yield act(
        TEACUP, "2023-10-21 18:40", Placement(spot=Spot.WALL, room="landing", wall="stair", x_cm="60", y_cm="150")
    )
    yield act(
        TEACUP,
        "2023-10-22 09:14",
        lambda told: Withdrawal(
            entry=told.entry(TEACUP, "placement").seq,
            reason=said("Never hung. I entered the plan for the wall and then saw the roll in the spine."),
        ),
    )
    yield act(TEACUP, "2023-10-22 09:21", Placement(spot=Spot.BOX, room="study", place=said("Box 2, study cupboard")))
    yield act(
        TEACUP,
        "2024-11-16 20:09",
        Intervention(
            technique="dry-cleaning",
            worked_defects=worked("d2"),
            materials=used("vulcanised rubber sponge", "goat hair brush"),
            remark=said("From the middle outwards. The sponge came off grey twice, then clean."),
        ),
    )
    yield act(TEACUP, "2024-11-16 20:31", shot(f"{TEACUP} after", "Clean, and still rolled"))
    yield act(
        TEACUP,
        "2024-11-23 19:02",
        look(fault("d1", "spine-roll", "spine", "2"), fault("d2", "surface-dirt", "front", 3), rest=166, like="6.5"),
    )


def _rusty_staples() -> Iterator[Act]:
    yield act(
        MESA,
        "2023-09-30 18:20",
        look(
            fault("d1", "staple-rust", "staples", 2),
            fault("d2", "surface-dirt", "front", 20),
            fault("d3", "bend", "front", "64", at="30, 120"),
            fault("d4", "indentation", "back", "22", at="70, 90"),
            light="normal, raking",
            size="183 x 259",
            grams="94",
            pages=36,
            paper="ivory, supple",
            odour="smoke",
            like="6.5",
            whole=True,
            remark="Somebody wrote a shopping list on it: the dent on the back reads 'eggs'.",
        ),
    )
    yield act(MESA, "2023-09-30 18:45", shot(f"{MESA} raking", "The list, by a lamp laid on the table", light="raking"))
    yield act(MESA, "2023-10-07 16:55", _staples())
    yield act(
        MESA,
        "2024-03-02 18:44",
        look(
            gone("d3", "bend", "front"),
            fault("d4", "indentation", "back", "9", at="70, 90"),
            fault("d1", "staple-rust", "staples", 2),
            light="normal, raking",
            rest=312,
            like="7.0",
            remark="'eggs' has become 'egg'.",
        ),
    )
    yield act(MESA, "2024-03-02 19:01", shot(f"{MESA} after"))
    yield act(
        MESA,
        "2024-03-03 10:20",
        Placement(
            spot=Spot.WALL,
            room="landing",
            wall="long",
            x_cm="120",
            y_cm="148",
            housings=(
                Housing(around=Around.SLEEVE, material=Material.POLYESTER, changed_on=on("2024-03-03")),
                Housing(around=Around.BOARD, material=Material.BUFFERED, due=on("2029")),
            ),
            place=said("Landing, by the second stair"),
        ),
    )
    yield act(MESA, "2025-03-09 10:48", Placement(spot=Spot.BOX, room="study", place=said("Box 2, study cupboard")))


def _staples() -> Intervention:
    return Intervention(
        technique="staple-cleaning",
        worked_defects=worked("d1"),
        worked_faces=(Face.STAPLES,),
        materials=used("glass fibre pencil", "polyester shield, slit"),
        remark=said("Loose rust only. The pits stay, and under the cover I did not go."),
    )


def _under_the_pipe() -> Iterator[Act]:
    yield act(
        TELEPHONE,
        "2023-11-25 20:18",
        look(fault("d1", "bend", "back", "24"), size="171 x 259", paper="bright, supple", like="8.0", whole=True),
    )
    yield act(
        TELEPHONE, "2023-11-25 20:30", Placement(spot=Spot.BOX, room="landing", place=said("Box 3, landing cupboard"))
    )
    yield act(
        TELEPHONE,
        "2024-12-30 17:40",
        look(
            fault("d2", "tide-line", "back", "58", at="110, 205"),
            fault("d3", "waviness", "back", 35),
            light="normal, transmitted",
            odour="musty",
            like="4.5",
            remark="The pipe above box 3 sweats. Nothing else in the box was touched.",
        ),
    )
    yield act(
        TELEPHONE,
        "2024-12-30 18:02",
        Choice(
            next=Next.LEAVE_ALONE, why=said("A press would set the line. It dries between blotters and stays as it is.")
        ),
    )
    yield act(
        TELEPHONE,
        "2025-01-04 12:00",
        Note(topic=Topic.CARE, words=said("Cupboard on the landing emptied. No box under a pipe, warm or cold.")),
    )
    yield act(
        TELEPHONE, "2025-01-19 16:35", Placement(spot=Spot.BOX, room="study", place=said("Box 4, study cupboard"))
    )
