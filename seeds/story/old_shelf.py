"""What was there before the ledger: a book paid for in marks, one of no known day, one found, one inherited."""

from collections.abc import Iterator

from ledger.events._parts import Holding, MatchedBy, OpinionOf, StatedGrade
from ledger.events.choice import Choice, Next
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.identification import Identification
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Leaving
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from seeds.story._acts import Act, act, shot
from seeds.story._names import BEREND, FEMKE, FLEA, HEDDA, JORIS, RUUD
from seeds.story._said import eur, fault, look, mark, on, printed, said, used, worked

MARKS, LIMP, DERELICT, PIANO = "bold-sextant-33", "crimson-semaphore-1974-6", "ganymede-mail-1978-3", "bold-sextant-4"


def acts() -> Iterator[Act]:
    """Four books that came before or from before."""
    yield from _paid_in_marks()
    yield from _nothing_to_press()
    yield from _found_in_a_box()
    yield from _from_the_piano_bench()


def _paid_in_marks() -> Iterator[Act]:
    yield act(
        MARKS,
        "2022-10-08 18:26",
        Purchase(
            on=on("1996-11"),
            issue=printed(MARKS),
            holding=Holding.RAW,
            price=Sealed.of(Money.of("85.00", "DEM")),
            seller=said(RUUD),
            venue=said(FLEA),
            reason=said("My first one from before the war's end. I had gone for a bicycle."),
        ),
    )
    yield act(MARKS, "2022-10-08 18:39", shot(MARKS, "As it has lain for 26 years"))
    yield act(
        MARKS,
        "2022-10-09 19:12",
        look(
            fault("d1", "tide-line", "back", "22", at="140, 236"),
            fault("d2", "waviness", "back", 30),
            fault("d3", "spine-split", "spine", "9"),
            marks=(mark("m1", "a red fibre pressed into the cover stock", "back", "61, 118"),),
            size="183 x 259",
            grams="108",
            pages=68,
            paper="straw, supple",
            odour="musty",
            like="4.0",
            whole=True,
            remark="Better than I remembered inside, worse outside. The tide line is old and dry.",
        ),
    )
    yield act(
        MARKS,
        "2022-10-09 19:40",
        Placement(
            spot=Spot.BOX,
            room="study",
            place=said("Box 1, study cupboard"),
            housings=(Housing(around=Around.SLEEVE, material=Material.POLYESTER, changed_on=on("2022-10-09")),),
        ),
    )
    yield act(
        MARKS,
        "2023-09-17 20:03",
        Intervention(
            on=on("2023-09-07/2023-09-17"),
            technique="rest-under-weight",
            worked_defects=worked("d2"),
            materials=used("blotting paper", "grey board, 2 mm"),
            tool="4 kg of books",
            changed_anything=True,
            remark=said("Ten days, blotters changed twice. I will not put heat on a book with a tide line."),
        ),
    )
    yield act(MARKS, "2023-09-24 19:31", look(fault("d2", "waviness", "back", 8), rest=168, like="4.0"))


def _nothing_to_press() -> Iterator[Act]:
    yield act(
        LIMP,
        "2022-10-15 16:20",
        Purchase(
            issue=printed(LIMP),
            holding=Holding.RAW,
            reason=said("Read to pieces by me and two cousins. Nobody remembers who paid for it."),
        ),
        undated=True,
    )
    yield act(LIMP, "2022-10-15 16:34", shot(LIMP))
    yield act(
        LIMP,
        "2023-01-08 18:51",
        look(
            fault("d1", "crease", "front", "46", at="88, 60"),
            fault("d2", "corner-blunting", "front", "5", breaks=True),
            fault("d3", "abrasion", "back", "14"),
            size="170 x 259",
            paper="ivory, supple",
            like="4.5",
            whole=True,
            remark="I want to learn the press on a book that can lose nothing.",
        ),
    )
    yield act(
        LIMP,
        "2023-01-15 19:05",
        Intervention(
            on=on("2023-01-14"),
            technique="cold-press",
            worked_defects=worked("d1", "d2"),
            materials=used("silicone release paper", "grey board, 2 mm"),
            tool="Book press, hand wheel",
            changed_anything=False,
            remark=said("A day and a night in the press. Laid beside the photograph I cannot tell the two apart."),
        ),
    )
    yield act(
        LIMP,
        "2023-01-22 17:44",
        look(fault("d1", "crease", "front", "46"), fault("d2", "corner-blunting", "front", "5", breaks=True), rest=168),
    )
    yield act(
        LIMP,
        "2023-01-22 17:50",
        Choice(next=Next.STOP, why=said("Broken ink stays broken. That was to be seen before the press, not after.")),
    )
    yield act(
        LIMP,
        "2023-12-24 15:12",
        Sale(
            means=Leaving.GIFT,
            disclosed=Disclosed.WORK,
            buyer=said(JORIS),
            remark=said("He is nine. It will be read, which is what it is for."),
        ),
    )


def _found_in_a_box() -> Iterator[Act]:
    yield act(
        DERELICT,
        "2022-11-05 20:11",
        Purchase(
            on=on("2022-11"),
            means=Means.FOUND,
            issue=printed(DERELICT),
            holding=Holding.RAW,
            reason=said("At the bottom of a carton of old atlases, between two maps of the coast."),
        ),
    )
    yield act(DERELICT, "2022-11-05 20:30", shot(DERELICT, "Out of the atlas carton"))
    yield act(
        DERELICT,
        "2022-11-06 19:02",
        Identification(
            issue=printed(DERELICT, printing=2, variant="without the price in the corner"),
            how="the empty price corner and the second line of the indicia",
            remark=said("A second printing. I would have sold it as a first and been ashamed later."),
        ),
    )
    yield act(DERELICT, "2022-11-06 19:20", Placement(spot=Spot.BOX, room="study", place=said("Box 1, study cupboard")))
    yield act(
        DERELICT,
        "2024-12-31 11:40",
        Note(
            topic=Topic.OTHER, words=said("Not in box 1 at the count. I last had it out to show the second printing.")
        ),
    )
    yield act(
        DERELICT,
        "2025-01-11 10:25",
        Placement(
            spot=Spot.BOX,
            room="study",
            place=said("Box 4, study cupboard"),
            remark=said("Found inside the sleeve of another book. Two books in one sleeve never again."),
        ),
    )


def _from_the_piano_bench() -> Iterator[Act]:
    yield act(
        PIANO,
        "2024-01-21 15:36",
        Purchase(
            on=on("198X"),
            means=Means.INHERITANCE,
            issue=printed(PIANO),
            holding=Holding.RAW,
            stated=StatedGrade(
                as_written="fine, or nearly",
                steps=(Grade("5.5"), Grade("6.0")),
                opinion_of=OpinionOf.EARLIER_OWNER,
                matched_by=MatchedBy.WORD,
            ),
            seller=said(BEREND),
            stated_by=said("Pencilled on the paper it was wrapped in"),
            reason=said("My aunt handed me the whole piano bench. The year is a guess within ten."),
        ),
    )
    yield act(PIANO, "2024-01-21 15:58", shot(PIANO, "Unwrapped"), shot(f"{PIANO} back", face="back"))
    yield act(
        PIANO,
        "2024-01-21 16:20",
        Note(
            topic=Topic.STORY,
            words=said("He bought it new from a ship's steward, so the story goes. I have no paper for that."),
        ),
    )
    yield act(
        PIANO,
        "2024-01-28 19:48",
        Identification(
            issue=printed(PIANO, printing=1),
            how="indicia, and the paper of the cover against a known first printing",
        ),
    )
    yield act(
        PIANO,
        "2024-02-04 19:09",
        look(
            fault("d1", "spine-tick", "spine", 5, mm="3", breaks=True),
            fault("d2", "shadow", "front", 8),
            fault("d3", "staple-tone", "staples", 2),
            marks=(
                mark("m1", "upper staple 61 mm below the top, its left leg bent outwards", "staples"),
                mark("m2", "a dot of yellow ink outside the frame", "front", "12, 204"),
            ),
            light="normal, transmitted",
            size="184 x 260",
            grams="112",
            pages=68,
            paper="ivory, supple",
            odour="other",
            like="7.0",
            whole=True,
            remark="Smells of piano. No light through the spine, so no repair there that I can see.",
        ),
    )
    yield act(
        PIANO,
        "2024-02-04 19:33",
        Choice(next=Next.LEAVE_ALONE, why=said("Nothing here that work would better by a step I could defend.")),
    )
    yield act(PIANO, "2024-02-10 11:15", Placement(spot=Spot.SAFE, place=said("Steel cabinet, upper shelf")))
    yield act(
        PIANO,
        "2025-03-12 17:30",
        Valuation(
            purpose=Purpose.INSURANCE,
            method=Method.APPRAISER,
            at_grade=Grade("7.0"),
            valid_until=on("2028-03-12"),
            amount=eur("6800.00"),
            appraiser=said(HEDDA),
            remark=said("She looked for an hour and would not be hurried."),
        ),
    )
    yield act(
        PIANO,
        "2026-02-03 18:05",
        Custody(
            direction=Direction.OUT,
            to_whom=Hands.PHOTOGRAPHER,
            due_back=on("2026-02-06"),
            who=said(FEMKE),
            insured_for=eur("6800.00"),
        ),
    )
    yield act(
        PIANO, "2026-02-06 19:22", Custody(direction=Direction.BACK, to_whom=Hands.PHOTOGRAPHER, cost=eur("60.00"))
    )
    yield act(
        PIANO,
        "2026-02-07 10:02",
        Placement(
            spot=Spot.SAFE,
            place=said("Steel cabinet, upper shelf"),
            housings=(Housing(around=Around.BOX, material=Material.UNBUFFERED, changed_on=on("2026-02-07")),),
        ),
    )
