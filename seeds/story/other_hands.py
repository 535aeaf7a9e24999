"""Books that other hands had worked on: a conservator with a name, and a painter without one."""

from collections.abc import Iterator

from ledger.events._parts import Answer, Holding
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.events.choice import Choice, Next
from ledger.events.correction import Correction
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import EarlierWork, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.rules.headings import Fact
from seeds.story._acts import Act, Told, act, shot, statement_of
from seeds.story._names import ANSGAR, DIRKJE, FERRY, MAREN, NIGHTJAR, PETRONEL, SALTMARSH
from seeds.story._said import by_seller, eur, fault, gbp, gone, look, mark, on, printed, said, used, worked

BIPLANES, ROOFTOP = "linen-squadron-4", "crimson-semaphore-3"


def acts() -> Iterator[Act]:
    """Two books."""
    yield from _torn()
    yield from _sealed_by_a_conservator()
    yield from _painted_before()
    yield from _painted_seen()


def _torn() -> Iterator[Act]:
    yield act(
        BIPLANES,
        "2023-06-17 21:05",
        Purchase(
            issue=printed(BIPLANES),
            holding=Holding.RAW,
            stated=by_seller("G/VG, torn", "3.0"),
            earlier_work=EarlierWork.STATED,
            expects_arrival=True,
            price=gbp("220.00"),
            shipping=gbp("14.00"),
            tax=eur("49.30"),
            seller=said(PETRONEL),
            venue=said(FERRY),
            earlier_work_words=said("A child's tape inside the cover, else as it came."),
            reason=said("The best sunset of the whole war, and nobody wants it because of a tear."),
        ),
    )
    yield act(BIPLANES, "2023-06-27 17:30", Arrival(stage=Stage.ARRIVED, as_described=AsDescribed.YES))
    yield act(BIPLANES, "2023-06-27 18:01", shot(f"{BIPLANES} before", "The tear, as it came"))
    yield act(
        BIPLANES,
        "2023-06-28 19:20",
        look(
            fault("d1", "tear", "front", "31", at="153, 96, 31, 6"),
            fault("d2", "tape", "inside", "40"),
            fault("d3", "cover-loose", "staples", 1),
            marks=(mark("m1", "the leading wing tip is printed without its outline", "front", "44, 61"),),
            light="normal, transmitted",
            size="183 x 258",
            grams="107",
            pages=68,
            paper="straw, supple",
            odour="musty",
            like="3.5",
            whole=True,
            remark="Every time it is opened the tear is a little longer. This is not for my hands.",
        ),
    )


def _sealed_by_a_conservator() -> Iterator[Act]:
    yield act(
        BIPLANES,
        "2023-07-10 12:30",
        Custody(
            direction=Direction.OUT,
            to_whom=Hands.CONSERVATOR,
            due_back=on("2023-10"),
            who=said(MAREN),
            insured_for=eur("350.00"),
            remark=said("We agreed in writing: the tear and the tape, no colour, no fill."),
        ),
    )
    yield act(
        BIPLANES,
        "2023-09-18 18:40",
        Intervention(
            on=on("2023-08"),
            technique="tape-removal",
            worked_defects=worked("d2"),
            materials=used("warm air", "micro spatula", "crepe eraser"),
            by_other_hands=True,
            removes_original=Fact.NO,
            who=said(MAREN),
            cost=eur("60.00"),
            remark=said("Carrier and adhesive came off dry. She found no fibre in what she took away."),
        ),
    )
    yield act(
        BIPLANES,
        "2023-09-18 18:52",
        Intervention(
            on=on("2023-08/2023-09"),
            technique="tear-sealing",
            worked_defects=worked("d1"),
            materials=used("wheat starch paste, batch 23/4", "Japanese tissue, 5 g/m², batch 118"),
            by_other_hands=True,
            who=said(MAREN),
            cost=eur("95.00"),
            remark=said("From inside, 31 mm, tissue torn not cut. It can be taken off again with water."),
        ),
    )
    yield act(BIPLANES, "2023-09-18 19:03", Custody(direction=Direction.BACK, to_whom=Hands.CONSERVATOR))
    yield act(BIPLANES, "2023-09-20 19:40", shot(f"{BIPLANES} after", "The tear, closed"))
    yield act(
        BIPLANES,
        "2023-09-20 20:05",
        look(
            fault("d1", "tear", "front", "31", at="153, 96, 31, 6"),
            gone("d2", "tape", "inside"),
            light="normal, transmitted, UV-A",
            like="4.5",
            remark="The tear is still a tear and stays on the list. It holds.",
        ),
    )
    yield act(
        BIPLANES,
        "2023-10-01 10:30",
        Placement(
            spot=Spot.WALL,
            room="landing",
            wall="long",
            x_cm="400",
            y_cm="146",
            housings=(
                Housing(around=Around.FRAME, material=Material.WOOD, uv_filter=Answer.YES),
                Housing(around=Around.BOARD, material=Material.UNBUFFERED),
            ),
            place=said("Landing, under the beam"),
        ),
    )
    yield act(BIPLANES, "2025-05-04 11:12", Placement(spot=Spot.BOX, room="study", place=said("Box 2, study cupboard")))


def _painted_before() -> Iterator[Act]:
    yield act(
        ROOFTOP,
        "2023-02-04 20:15",
        Purchase(
            issue=printed(ROOFTOP),
            holding=Holding.RAW,
            stated=by_seller("VG+", "4.5"),
            earlier_work=EarlierWork.NOTHING_SAID,
            expects_arrival=True,
            price=eur("640.00"),
            premium=eur("128.00"),
            shipping=eur("22.00"),
            seller=said(ANSGAR),
            venue=said(NIGHTJAR),
            reason=said("Third number, rooftops and a moon. I had been outbid on it twice."),
        ),
    )
    yield act(ROOFTOP, "2023-02-10 17:50", Arrival(stage=Stage.ARRIVED))
    yield act(ROOFTOP, "2023-02-10 18:05", Arrival(stage=Stage.CHECKED, as_described=AsDescribed.YES))
    yield act(ROOFTOP, "2023-02-11 10:20", shot(ROOFTOP))
    yield act(
        ROOFTOP,
        "2023-02-12 18:30",
        look(
            fault("d1", "crease", "back", "42"),
            fault("d2", "missing-piece", "front", "4", at="180, 256"),
            size="183 x 259",
            grams="109",
            pages=68,
            paper="ivory, supple",
            odour="none",
            like="5.0",
            whole=True,
            remark="What a black! Deeper than on any other of these I have seen.",
        ),
    )


def _painted_seen() -> Iterator[Act]:
    yield act(
        ROOFTOP,
        "2023-10-22 18:15",
        look(
            light="UV-A",
            marks=(mark("m1", "touch of colour along the spine, dull violet under UV-A", "spine", "0, 20, 4, 61"),),
            remark="My new lamp. The deep black along the spine drinks the light: colour touch, 61 mm, and a spot below.",
        ),
    )
    yield act(ROOFTOP, "2023-10-22 18:33", shot(f"{ROOFTOP} ultraviolet", "What the lamp shows", light="UV-A"))
    yield act(
        ROOFTOP,
        "2023-10-22 21:02",
        lambda told: Correction(
            entry=told.entry(ROOFTOP, "purchase").seq,
            changes={
                "earlier_work": EarlierWork.DENIED.value,
                "earlier_work_words": "Unrestored so far as our cataloguer could see.",
            },
            reason=said("I had read over the last line of the catalogue. It does say something, and it is wrong."),
        ),
    )
    yield act(
        ROOFTOP,
        "2023-11-19 16:44",
        Note(
            topic=Topic.TRADE, words=said("They will not take it back after eight months. They are within their rules.")
        ),
    )
    yield act(
        ROOFTOP,
        "2023-11-25 17:05",
        Choice(
            next=Next.LEAVE_ALONE,
            why=said("Whoever takes the colour off takes ink with it. It is told, and that is all."),
        ),
    )
    yield act(ROOFTOP, "2024-09-14 17:28", _with_the_lamp)
    yield act(
        ROOFTOP,
        "2024-09-14 18:10",
        Sale(
            disclosed=Disclosed.RECORD,
            record=statement_of(ROOFTOP),
            price=eur("410.00"),
            fees=eur("20.00"),
            buyer=said(DIRKJE),
            venue=said(SALTMARSH),
            remark=said("With the picture under the lamp lying on top. Less than I paid, and I sleep."),
        ),
    )


def _with_the_lamp(told: Told) -> Disclosure:
    """The record of the painted book: the seller's words and the captions are opened."""
    return Disclosure(
        statement=statement_of(ROOFTOP),
        opened=(
            Opened(entry=told.entry(ROOFTOP, "correction").seq, name="new.earlier_work_words"),
            Opened(entry=told.entry(ROOFTOP, "photograph", 2).seq, name="caption"),
        ),
        previous_head=told.last(ROOFTOP).leaf,
        recipient=said(DIRKJE),
    )
