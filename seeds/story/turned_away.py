"""Two books that a service would not grade, and what their owner found when he looked for why."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.choice import Choice, Next
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork, Purchase
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Submission
from seeds.story._acts import Act, act, shot
from seeds.story._names import DIRKJE, KETTLE, MAREN, OAKMOTH, SALTMARSH, SUNNIVA, WEIR
from seeds.story._said import by_seller, eur, fault, gone, look, on, outlook, printed, said, used, worked

CANDLE, SUBMARINE = "unlit-stair-13", "linen-squadron-20"


def acts() -> Iterator[Act]:
    """No grade, and a refusal."""
    yield from _no_grade()
    yield from _refused()
    yield from _cleared_of_mould()


def _no_grade() -> Iterator[Act]:
    yield act(
        CANDLE,
        "2024-02-24 17:22",
        Purchase(
            issue=printed(CANDLE),
            holding=Holding.RAW,
            stated=by_seller("8.0", "8.0"),
            price=eur("310.00"),
            seller=said(SUNNIVA),
            venue=said(SALTMARSH),
        ),
    )
    yield act(CANDLE, "2024-02-24 17:45", shot(CANDLE))
    yield act(CANDLE, "2024-02-25 10:05", outlook("7.5 300, 8.0 500, 8.5 200", stage="raw", batch="2024-candle"))
    yield act(
        CANDLE,
        "2024-03-09 13:20",
        Submission(
            batch="2024-candle", asks=Ask.GRADE, service=said(WEIR), insured_for=eur("400.00"), fee=eur("52.00")
        ),
    )
    yield act(
        CANDLE,
        "2024-05-22 18:47",
        Slab(
            outcome=Outcome.NO_GRADE,
            batch="2024-candle",
            came_back=on("2024-05-22"),
            service=said(WEIR),
            service_remarks=said("Fore edge not as printed."),
            fee=eur("52.00"),
            invoice=eur("68.00"),
        ),
    )
    yield act(
        CANDLE,
        "2024-05-23 19:30",
        look(
            size="181 x 260",
            light="raking",
            pages=36,
            paper="ivory, supple",
            like="8.5",
            whole=True,
            remark="181 mm where its fellow has 184, and the fore edge is whiter than the head. I had never measured it.",
        ),
    )
    yield act(
        CANDLE,
        "2024-05-23 19:52",
        Note(topic=Topic.TRADE, words=said("A ruler costs three euro. I measure before I pay now.")),
    )
    yield act(CANDLE, "2024-06-01 11:10", Placement(spot=Spot.BOX, room="study", place=said("Box 2, study cupboard")))


def _refused() -> Iterator[Act]:
    yield act(
        SUBMARINE,
        "2024-03-09 16:05",
        Purchase(
            issue=printed(SUBMARINE),
            holding=Holding.RAW,
            earlier_work=EarlierWork.NOTHING_SAID,
            price=eur("75.00"),
            seller=said(DIRKJE),
            venue=said(KETTLE),
        ),
    )
    yield act(SUBMARINE, "2024-03-10 10:44", shot(SUBMARINE))
    yield act(
        SUBMARINE,
        "2024-04-13 12:30",
        Submission(
            batch="2024-deep", asks=Ask.GRADE, service=said(OAKMOTH), insured_for=eur("120.00"), fee=eur("38.00")
        ),
    )
    yield act(
        SUBMARINE,
        "2024-05-30 19:11",
        Slab(
            outcome=Outcome.REFUSED,
            batch="2024-deep",
            holding=Holding.RAW,
            came_back=on("2024-05-30"),
            service=said(OAKMOTH),
            service_remarks=said("Growth at the lower staple; returned unopened beyond the cover."),
            invoice=eur("14.00"),
        ),
    )
    yield act(
        SUBMARINE,
        "2024-05-31 18:00",
        look(
            fault("d1", "mould", "inside", "7"),
            fault("d2", "rust-migrated", "staples", 1),
            odour="musty",
            paper="straw, supple",
            like="4.5",
            remark="Grey down at the lower staple. Bagged at once, hands washed, the table wiped.",
        ),
    )


def _cleared_of_mould() -> Iterator[Act]:
    yield act(
        SUBMARINE,
        "2024-06-08 11:30",
        Custody(direction=Direction.OUT, to_whom=Hands.CONSERVATOR, due_back=on("2024-09"), who=said(MAREN)),
    )
    yield act(
        SUBMARINE,
        "2024-08-17 16:12",
        Intervention(
            on=on("2024-07"),
            technique="mould-cleaning",
            worked_defects=worked("d1"),
            materials=used("soft brush", "filtered suction"),
            by_other_hands=True,
            who=said(MAREN),
            cost=eur("45.00"),
            remark=said("Not active any more when it reached her, she says."),
        ),
    )
    yield act(SUBMARINE, "2024-08-17 16:20", Custody(direction=Direction.BACK, to_whom=Hands.CONSERVATOR))
    yield act(
        SUBMARINE,
        "2024-08-18 10:40",
        look(gone("d1", "mould", "inside"), light="normal, UV-A", odour="none", like="4.5"),
    )
    yield act(
        SUBMARINE,
        "2024-08-18 10:55",
        Choice(next=Next.LEAVE_ALONE, why=said("No warmth, no damp, no press for this one.")),
    )
    yield act(
        SUBMARINE,
        "2024-08-18 11:10",
        Placement(spot=Spot.BOX, place=said("Tin box, alone"), remark=said("Look again every spring.")),
    )
    yield act(
        SUBMARINE, "2025-04-19 10:30", look(light="normal, UV-A", odour="none", remark="Spring look. Nothing grows.")
    )
