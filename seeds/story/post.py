"""Books that went to and fro: lost in the post and found, sent back, traded in and out."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events._settings import Moisture, Settings
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.events.choice import Choice, Next
from ledger.events.intervention import Intervention
from ledger.events.note import Note, Topic
from ledger.events.purchase import EarlierWork, Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Leaving
from seeds.story._acts import Act, act, shot
from seeds.story._names import ANSGAR, CASPER, FERRY, KETTLE, LUDO, SALTMARSH
from seeds.story._said import by_seller, eur, fault, look, on, printed, said, usd, worked

SQUID, SWING, STREET = "harbor-lamp-23", "crimson-semaphore-17", "dry-ford-deputy-41"


def acts() -> Iterator[Act]:
    """Three books."""
    yield from _lost_and_found()
    yield from _sent_back()
    yield from _traded_in_and_out()


def _lost_and_found() -> Iterator[Act]:
    yield act(
        SQUID,
        "2024-05-11 21:20",
        Purchase(
            issue=printed(SQUID),
            holding=Holding.RAW,
            stated=by_seller("FN-ish", "5.5", "6.0"),
            expects_arrival=True,
            price=usd("165.00"),
            shipping=usd("29.00"),
            seller=said(LUDO),
            venue=said(FERRY),
            reason=said("Diver against squid, and the squid is winning."),
        ),
    )
    yield act(
        SQUID,
        "2024-07-13 18:10",
        Sale(
            means=Leaving.LOST,
            disclosed=Disclosed.NOT_APPLICABLE,
            compensation=usd("100.00"),
            remark=said("The carrier gives it up after nine weeks. Insured for a hundred, which was my own thrift."),
        ),
    )
    yield act(
        SQUID,
        "2024-09-07 12:40",
        Purchase(
            means=Means.CAME_BACK,
            issue=printed(SQUID),
            reason=said("It had lain in a depot behind a radiator. The hundred goes back to the carrier."),
        ),
    )
    yield act(SQUID, "2024-09-07 13:02", shot(SQUID, "Found again"))
    yield act(
        SQUID,
        "2024-09-08 10:20",
        look(
            fault("d1", "waviness", "front", 12),
            fault("d2", "crease", "front", "8", at="168, 244"),
            fault("d3", "stain", "back", "4"),
            size="184 x 260",
            pages=36,
            paper="straw, supple",
            odour="none",
            like="5.5",
            whole=True,
            remark="A summer behind a radiator: drier than I like, but it bends.",
        ),
    )
    yield act(
        SQUID,
        "2024-09-21 10:10",
        Intervention(
            on=on("2024-09-08/2024-09-21"),
            technique="humidification",
            worked_defects=worked("d1"),
            tool="Lidded tray, salt at 55 % in a dish",
            settings=Settings(rh_percent=55, moisture=Moisture.CHAMBER),
            remark=said("Two weeks of ordinary air, no more. Only to give back what the radiator took."),
        ),
    )


def _sent_back() -> Iterator[Act]:
    yield act(
        SWING,
        "2024-10-05 22:03",
        Purchase(
            issue=printed(SWING),
            holding=Holding.RAW,
            stated=by_seller("FN+ no work", "6.5"),
            earlier_work=EarlierWork.DENIED,
            expects_arrival=True,
            price=usd("310.00"),
            shipping=usd("32.00"),
            seller=said(ANSGAR),
            venue=said(FERRY),
            earlier_work_words=said("Absolutely no work whatsoever."),
        ),
    )
    yield act(SWING, "2024-10-17 18:12", Arrival(stage=Stage.ARRIVED))
    yield act(SWING, "2024-10-17 18:40", shot(SWING))
    yield act(
        SWING,
        "2024-10-18 19:30",
        look(
            fault("d1", "tape-residue", "inside", "62"),
            light="normal, UV-A, transmitted",
            size="184 x 258",
            pages=52,
            paper="straw, stiff",
            odour="other",
            like="6.0",
            remark="Blue-white along the whole spine under the lamp: glue, and a strip of other paper behind it.",
        ),
    )
    yield act(
        SWING,
        "2024-10-18 19:58",
        Arrival(
            stage=Stage.CHECKED,
            as_described=AsDescribed.NO,
            differences=said("Spine glued and backed over its full length; the listing denies any work."),
        ),
    )
    yield act(
        SWING,
        "2024-10-21 12:45",
        Arrival(stage=Stage.SENT_BACK, remark=said("With prints of two pictures under the lamp.")),
    )
    yield act(SWING, "2024-11-06 20:08", Arrival(stage=Stage.REFUNDED, refund=usd("310.00")))
    yield act(
        SWING,
        "2024-11-06 20:15",
        Note(topic=Topic.TRADE, words=said("He paid back the price and not the post. Cheap, for a lesson.")),
    )


def _traded_in_and_out() -> Iterator[Act]:
    yield act(
        STREET,
        "2023-10-28 16:50",
        Purchase(
            means=Means.TRADE,
            issue=printed(STREET),
            holding=Holding.RAW,
            price=eur("55.00"),
            seller=said(CASPER),
            venue=said(SALTMARSH),
            reason=said("For two duplicates and a lunch."),
        ),
    )
    yield act(STREET, "2023-10-28 17:15", shot(STREET))
    yield act(
        STREET,
        "2023-11-04 18:30",
        look(
            fault("d1", "spine-tick", "spine", 8, mm="2", breaks=False),
            fault("d2", "spine-roll", "spine", "1.5"),
            light="normal, raking",
            size="171 x 259",
            paper="ivory, supple",
            like="7.0",
            whole=True,
        ),
    )
    yield act(
        STREET, "2023-11-04 18:41", Choice(next=Next.GO_ON, why=said("Eight ticks and not one white line among them."))
    )
    yield act(
        STREET,
        "2023-11-12 10:25",
        Intervention(
            on=on("2023-11-11"),
            technique="cold-press",
            worked_defects=worked("d1", "d2"),
            tool="Book press, hand wheel",
            settings=Settings(total_minutes=1440),
        ),
    )
    yield act(
        STREET,
        "2023-11-26 17:10",
        look(
            fault("d1", "spine-tick", "spine", 2, mm="2", breaks=False),
            fault("d2", "spine-roll", "spine", "1.5"),
            light="raking",
            rest=340,
            like="8.0",
            remark="Six ticks gone. The roll was flat for a week and is back as if nothing had been.",
        ),
    )
    yield act(
        STREET,
        "2026-03-21 17:20",
        Sale(
            means=Leaving.TRADE,
            disclosed=Disclosed.WORK,
            price=eur("90.00"),
            buyer=said(KETTLE),
            remark=said("Told them of the press and of the roll that returned."),
        ),
    )
