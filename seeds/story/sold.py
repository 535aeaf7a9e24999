"""Books that were sold: one for good with its record, one that came home and was entered twice."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events._settings import Settings
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.intervention import Intervention
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.withdrawal import Withdrawal
from seeds.story._acts import Act, Told, act, shot, statement_of
from seeds.story._names import CASPER, OBED, SALTMARSH
from seeds.story._said import eur, fault, look, mark, printed, said, used, worked

SNOW = "dumpling-and-tack-60"
WHALE, WHALE_AGAIN = "harbor-lamp-31", "harbor-lamp-31 again"


def acts() -> Iterator[Act]:
    """One of the lot of five, and the whale."""
    yield from _sold_with_its_record()
    yield from _sold_and_returned()
    yield from _entered_twice()


def _sold_with_its_record() -> Iterator[Act]:
    yield act(
        SNOW,
        "2023-09-23 20:10",
        look(
            fault("d1", "date-mark", "front", "11", at="8, 8"),
            fault("d2", "fold", "front", "17", at="150, 236"),
            size="171 x 260",
            paper="ivory, supple",
            odour="smoke",
            like="7.5",
            whole=True,
        ),
    )
    yield act(
        SNOW,
        "2023-11-11 15:30",
        Intervention(
            technique="local-heat",
            worked_defects=worked("d2"),
            materials=used("silicone release paper"),
            tool="Tacking iron, small tip",
            settings=Settings(set_celsius="75", stack="release paper over the fold, board below"),
            changed_anything=True,
            remark=said(
                "Ten seconds, twice, moved all the time. The fold lies down; there is a shine if one looks for it."
            ),
        ),
    )
    yield act(
        SNOW,
        "2023-11-18 15:05",
        look(
            fault("d2", "fold", "front", "6"),
            fault("d3", "gloss-loss", "front", 1),
            light="raking",
            rest=167,
            like="8.0",
        ),
    )
    yield act(
        SNOW,
        "2025-04-26 17:12",
        lambda told: _record(told, SNOW, ("intervention", "remark"), ("photograph", "caption")),
    )
    yield act(
        SNOW,
        "2025-04-26 18:01",
        Sale(
            disclosed=Disclosed.RECORD,
            record=statement_of(SNOW),
            price=eur("64.00"),
            fees=eur("6.00"),
            buyer=said(OBED),
            venue=said(SALTMARSH),
            remark=said("He read the whole record at the table and asked about the shine. So it works."),
        ),
    )


def _record(told: Told, book: str, *fields: tuple[str, str]) -> Disclosure:
    """A record of the book as it stands, with these fields opened."""
    return Disclosure(
        statement=statement_of(book),
        opened=tuple(Opened(entry=told.entry(book, kind).seq, name=name) for kind, name in fields),
        previous_head=told.last(book).leaf,
        recipient=said(OBED),
    )


def _sold_and_returned() -> Iterator[Act]:
    yield act(
        WHALE,
        "2023-04-08 17:40",
        Purchase(
            issue=printed(WHALE), holding=Holding.RAW, price=eur("120.00"), seller=said(CASPER), venue=said(SALTMARSH)
        ),
    )
    yield act(WHALE, "2023-04-08 18:01", shot(WHALE))
    yield act(
        WHALE,
        "2023-04-10 11:00",
        look(
            fault("d1", "spine-split", "spine", "12"),
            fault("d2", "ink-writing", "front", "18", at="14, 20"),
            marks=(mark("m1", "'Piet' in blue ink, the t crossed twice", "front", "14, 20"),),
            paper="ivory, supple",
            like="5.0",
            whole=True,
        ),
    )
    yield act(WHALE, "2024-11-16 17:30", lambda told: _record(told, WHALE, ("photograph", "caption")))
    yield act(
        WHALE,
        "2024-11-17 18:22",
        Sale(
            disclosed=Disclosed.RECORD,
            record=statement_of(WHALE),
            price=eur("135.00"),
            buyer=said(OBED),
            venue=said(SALTMARSH),
        ),
    )
    yield act(
        WHALE,
        "2025-02-01 16:05",
        Purchase(
            means=Means.CAME_BACK,
            issue=printed(WHALE),
            price=eur("135.00"),
            seller=said(OBED),
            reason=said("He had bought the same book twice and mine was the second. I know how that is, see below."),
        ),
    )
    yield act(WHALE, "2025-02-02 10:30", Placement(spot=Spot.BOX, room="study", place=said("Box 3, study cupboard")))
    yield act(
        WHALE,
        "2025-08-10 18:31",
        Placement(spot=Spot.WALL, room="landing", wall="long", x_cm="265", y_cm="148", place=said("Landing, middle")),
    )


def _entered_twice() -> Iterator[Act]:
    yield act(
        WHALE_AGAIN,
        "2025-01-31 22:14",
        Purchase(
            issue=printed(WHALE),
            holding=Holding.RAW,
            price=eur("135.00"),
            seller=said(OBED),
            reason=said("Back from him."),
        ),
    )
    yield act(WHALE_AGAIN, "2025-01-31 22:20", shot(WHALE))
    yield act(
        WHALE_AGAIN,
        "2025-02-01 15:48",
        lambda told: Withdrawal(
            same_as=told.ids[WHALE],
            reason=said("It is my own whale come home, not another. Piet's t is crossed twice."),
        ),
    )
