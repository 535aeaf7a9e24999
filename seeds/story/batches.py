"""The ways through the services: two batches of several books, each sent and brought back as one act."""

from collections.abc import Iterator

from ledger.events._settings import Settings
from ledger.events.intervention import Intervention
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.sealed import Sealed
from seeds.story._acts import Act, together
from seeds.story._names import OAKMOTH, WEIR
from seeds.story._said import by_service, eur, heat, on, said, used, worked

SPRING, AUTUMN = "2023-spring", "2024-autumn"
"""The owner's own ids of the two batches."""


def acts() -> Iterator[Act]:
    """A batch of four, a press load of three, a batch of three."""
    yield from _spring()
    yield _press_load()
    yield from _autumn()


def _spring() -> Iterator[Act]:
    books = {"raincoat-squad-1": "2000", "ganymede-mail-2": "1400", "unlit-stair-4": "900", "harbor-lamp-14": "600"}
    yield together(
        "2023-05-06 14:18",
        *((key, _sent(SPRING, WEIR, f"{worth}.00", "46.50", "19.00", "20 days")) for key, worth in books.items()),
    )
    yield together(
        "2023-05-12 18:02",
        *((key, Submission(batch=SPRING, stage=Stage.RECEIVED, service=said(WEIR))) for key in books),
    )
    yield together(
        "2023-07-19 20:26",
        ("raincoat-squad-1", _graded("8.5", "WSA 0466 10", "ivory, even", "", ("46.50", "61.25"))),
        ("ganymede-mail-2", _graded("9.2", "WSA 0466 11", "bright, even", "", ("46.50", "61.25"))),
        (
            "unlit-stair-4",
            _graded("8.0", "WSA 0466 12", "ivory, even", "Small breaks along the spine.", ("46.50", "61.25")),
        ),
        ("harbor-lamp-14", _graded("8.5", "WSA 0466 13", "ivory, darker at the edge", "", ("46.50", "61.25"))),
        signs=True,
    )


def _sent(batch: str, service: str, worth: str, fee: str, postage: str, speed: str) -> Submission:  # noqa: PLR0913
    """One book's share of a batch that goes out."""
    return Submission(
        batch=batch,
        asks=Ask.GRADE,
        speed=speed,
        service=said(service),
        insured_for=eur(worth),
        fee=eur(fee),
        postage=eur(postage),
    )


def _graded(grade: str, number: str, tone: str, remarks: str, paid: tuple[str, str]) -> Slab:
    """One book of the first batch as it came back: fee, and its share of the whole invoice."""
    fee, invoice = paid
    return Slab(
        on=on("2023-07-14"),
        batch=SPRING,
        stated=by_service(grade),
        holder_number=number,
        page_tone=tone,
        came_back=on("2023-07-19"),
        service=said(WEIR),
        service_remarks=Sealed.of(remarks or None),
        fee=eur(fee),
        invoice=eur(invoice),
    )


def _press_load() -> Act:
    """Three books in the press at once; each is told alone what was done to it."""
    worked = {"dry-ford-deputy-5": ("d3", "d4"), "jungle-meridian-15": ("d1", "d2", "d3"), "gearbox-garrity-5": ("d1",)}
    return together(
        "2024-02-18 10:05",
        *((key, _pressed(heat("65", "62", 10, 710, rh=45), *names)) for key, names in worked.items()),
    )


def _pressed(settings: Settings, *defects: str) -> Intervention:
    return Intervention(
        on=on("2024-02-17"),
        technique="hot-press-dry",
        worked_defects=worked(*defects),
        materials=used("silicone release paper", "grey board, 2 mm"),
        tool="Mounting press, 40 x 50 cm",
        settings=settings,
        remark=said("Three side by side, none over another. Probe in the middle one."),
    )


def _autumn() -> Iterator[Act]:
    books = {"jungle-meridian-15": "800", "gearbox-garrity-5": "250", "ganymede-mail-26": "450"}
    yield together(
        "2024-09-21 13:40",
        *((key, _sent(AUTUMN, OAKMOTH, f"{worth}.00", "38.00", "14.50", "bulk")) for key, worth in books.items()),
    )
    yield together(
        "2024-11-26 18:31",
        *((key, Submission(batch=AUTUMN, stage=Stage.SHIPPED_BACK, service=said(OAKMOTH))) for key in books),
    )
    back = {
        "jungle-meridian-15": ("7.0", "OGR-60881", "Moisture mark inside the back cover."),
        "gearbox-garrity-5": ("8.0", "OGR-60882", None),
        "ganymede-mail-26": ("9.4", "OGR-60883", None),
    }
    yield together("2024-12-03 19:47", *((key, _came_back(*told)) for key, told in back.items()), signs=True)


def _came_back(grade: str, number: str, remarks: str | None) -> Slab:
    return Slab(
        batch=AUTUMN,
        stated=by_service(grade),
        holder_number=number,
        came_back=on("2024-12-03"),
        service=said(OAKMOTH),
        service_remarks=Sealed.of(remarks),
        fee=eur("38.00"),
        invoice=eur("57.10"),
    )
