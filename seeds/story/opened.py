"""A book bought in its holder below its looks, opened, worked on, sent and hung."""

from collections.abc import Iterator
from dataclasses import replace

from ledger.events._parts import Answer, Face, Holding, OpinionOf
from ledger.events._step import Ended
from ledger.events.arrival import Arrival, Stage
from ledger.events.choice import Choice, Next
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.opening import HolderCondition, Opening
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import EarlierWork, Purchase
from ledger.rules.grades import Grade
from seeds.story._acts import Act, Told, act, shot
from seeds.story._names import ANSGAR, NIGHTJAR, WEIR
from seeds.story._said import (
    by_service,
    claimed,
    eur,
    faces,
    fault,
    gbp,
    gone,
    heat,
    look,
    mark,
    on,
    outlook,
    printed,
    said,
    through_holder,
    used,
    worked,
)

POST = "raincoat-squad-1"


def acts() -> Iterator[Act]:
    """The book, but for the way through the service."""
    yield from _post_before()
    yield from _post_worked()
    yield from _post_after()


def _post_before() -> Iterator[Act]:
    yield act(
        POST,
        "2023-03-18 20:41",
        Purchase(
            issue=printed(POST, printing=1),
            holding=Holding.SLABBED,
            holder_number="WSA 0418 77",
            stated=by_service("5.5"),
            earlier_work=EarlierWork.DENIED,
            expects_arrival=True,
            price=gbp("1150.00"),
            premium=gbp("230.00"),
            tax=eur("142.80"),
            shipping=gbp("41.00"),
            fair_value_then=gbp("1300.00"),
            seller=said(ANSGAR),
            venue=said(NIGHTJAR),
            stated_by=said(WEIR),
            earlier_work_words=said("No work is known to the vendor."),
            reason=said("A 5.5 that is a 7.5 with its hair uncombed. Everything I can see on it is a bend."),
        ),
    )
    yield act(POST, "2023-03-29 17:48", Arrival(stage=Stage.ARRIVED))
    yield act(
        POST,
        "2023-03-29 18:06",
        through_holder(
            fault("d1", "bend", "front", "70", at="96, 40"),
            fault("d2", "waviness", "front", 20),
            claimed("d6", "staple-tone", "staples", "said of both when I asked", OpinionOf.SELLER),
            claimed("d7", "tear", "inside", "small tear, tenth leaf: on the holder"),
            like="7.0",
            remark="Through the plastic: two long bends and a wave. No white line in either.",
        ),
    )
    yield act(POST, "2023-03-29 18:30", outlook("7.0 250, 7.5 450, 8.0 250, 8.5 50", stage="at purchase"))
    yield act(
        POST,
        "2023-04-01 10:12",
        Opening(
            condition=HolderCondition.INTACT,
            remark=said("Seams first, glasses on, the book in its inner sleeve all the while. Label kept."),
        ),
    )
    yield act(
        POST,
        "2023-04-01 10:49",
        shot(f"{POST} before", "Out of the holder, before anything"),
        shot(f"{POST} back", face="back"),
        shot(f"{POST} raking", "The two bends, lamp from the left", light="raking"),
        shot(f"{POST} mark 1", "Lower staple", face="detail"),
        shot(f"{POST} mark 2", "Blue fibre", face="detail"),
    )
    yield act(POST, "2023-04-01 11:31", _post_first_look)


def _post_first_look(told: Told) -> Examination:
    return look(
        replace(
            fault("d1", "bend", "front", "74", at="92, 36 to 150, 82"),
            note="From the lamp down to the edge",
            photograph=told.picture(POST, 3),
        ),
        fault("d2", "waviness", "front", 20),
        fault("d3", "surface-dirt", "back", 15, at="20, 30, 120, 90"),
        fault("d4", "spine-tick", "spine", 3, mm="2", breaks=True),
        fault("d5", "bend", "front", "31", at="20, 180"),
        fault("d6", "staple-tone", "staples", 2),
        marks=(
            mark(
                "m1",
                "lower staple 58.5 mm above the foot, one leg shorter",
                "staples",
                photograph=told.picture(POST, 4),
            ),
            mark("m2", "a blue fibre in the lamp's light", "front", "71, 94", told.picture(POST, 5)),
        ),
        light="normal, raking",
        faces_looked_at=faces("front, spine, back, inside, staples"),
        staples_counted=2,
        staple_rust=Answer.NO,
        size="184 x 260",
        grams="104",
        pages=52,
        paper="ivory, supple",
        odour="none",
        like="6.5",
        technical=Grade("6.0"),
        whole=True,
        remark="Three ticks do break, which the holder's glare had hidden. The rest is a press.",
    )


def _post_worked() -> Iterator[Act]:
    yield act(POST, "2023-04-01 11:40", Choice(next=Next.GO_ON, why=said("Two bends and a wave hold it down.")))
    yield act(
        POST,
        "2023-04-08 15:22",
        Intervention(
            technique="dry-cleaning",
            worked_defects=worked("d3 lessened"),
            worked_faces=(Face.BACK,),
            materials=used("vulcanised rubber sponge", "soft brush"),
            duration_minutes=20,
            ended=Ended.CUT_OFF,
            remark=said("The back only. Stopped where the red began to colour the sponge."),
        ),
    )
    yield act(
        POST,
        "2023-04-16 09:30",
        Intervention(
            on=on("2023-04-15"),
            technique="hot-press-dry",
            worked_defects=worked("d1 gone", "d2 gone", "d5 lessened"),
            materials=used("silicone release paper", "grey board, 2 mm"),
            tool="Mounting press, 40 x 50 cm",
            settings=heat("65", "61.5", 10, 710, rh=48),
            duration_minutes=25,
            ended=Ended.AS_PLANNED,
            remark=said("Probe between board and book. Left shut overnight; opened at room temperature."),
        ),
    )
    yield act(
        POST,
        "2023-04-22 16:15",
        look(
            gone("d1", "bend", "front"),
            gone("d2", "waviness", "front"),
            fault("d3", "surface-dirt", "back", 3),
            fault("d4", "spine-tick", "spine", 3, mm="2", breaks=True),
            fault("d5", "bend", "front", "6", at="22, 184"),
            light="normal, raking",
            faces_looked_at=faces("front, spine, back"),
            rest=152,
            like="8.5",
            technical=Grade("8.0"),
            remark="A week between boards and nothing has come back yet.",
        ),
    )
    yield act(
        POST,
        "2023-04-22 16:30",
        Choice(next=Next.STOP, why=said("What is left is three broken ticks. Heat cannot help those.")),
    )
    yield act(
        POST,
        "2023-04-23 19:05",
        outlook("8.0 200, 8.5 500, 9.0 250, 9.2 50", ceiling="9.0", stage="before sending", batch="2023-spring"),
    )


def _post_after() -> Iterator[Act]:
    yield act(POST, "2023-07-22 10:20", shot(f"{POST} after", "In its new holder"))
    yield act(
        POST,
        "2023-07-30 11:02",
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
        ),
    )
    yield act(
        POST,
        "2024-08-03 10:41",
        Placement(
            spot=Spot.SAFE, place=said("Steel cabinet, lower shelf"), remark=said("Its year on the wall is over.")
        ),
    )
