"""A few books in as many states, and the list of the collection as a reader finds it."""

from typing import Any

from ledger.bootstrap import OWNER
from ledger.events.choice import Choice, Next
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.sale import Disclosed, Means, Sale
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, a_slab, an_intervention, an_issue, on
from tests.web.browser import Browser
from tests.web.markup import Element, read_page

COVER = "c" * 64


def buy(ledger: Ledger, *events: Any, slab: bool = False, stated_by: str | None = None, **issue: Any) -> str:
    """A book with what happened to it."""
    made = a_slab if slab else a_purchase
    bought = made(issue=an_issue(**issue), stated_by=Sealed.of(stated_by))
    book = record(ledger, OWNER, [Draft(event=bought, new_book=True)]).entries[0].book or ""
    for event in events:
        record(ledger, OWNER, [Draft(event=event, book=book)])
    return book


def boxed(place: str | None) -> Placement:
    return Placement(spot=Spot.BOX, place=Sealed.of(place), on=on("2025-01-05"))


def sold() -> Sale:
    return Sale(means=Means.SOLD, disclosed=Disclosed.NOT_APPLICABLE, on=on("2026-02"))


def a_shelf(ledger: Ledger) -> dict[str, str]:
    """Six books in as many states, by their titles."""
    seen = Examination(height_mm="260", width_mm="184", through_holder=True, on=on("2024-03"))
    shot = Photograph(original="a" * 64, clean=COVER, on=on("2024-04"))
    issue = {"publisher": "Gorse Hill Press", "cover_date": on("1958-09")}
    return {
        "Alpha": buy(ledger, seen, boxed("Box 1"), shot, slab=True, stated_by="Third Bench", title="Alpha", **issue),
        "Beta": buy(ledger, boxed("Box 2"), an_intervention("colour-touch"), title="Beta", number="9"),
        "Delta": buy(ledger, boxed(None), Choice(next=Next.GO_ON, on=on("2025-03")), title="Delta", number="100"),
        "Gone": buy(ledger, boxed("Box 1"), sold(), title="Gone"),
        "Omega": buy(
            ledger, Custody(direction=Direction.OUT, to_whom=Hands.FRAMER, on=on("2025-05")), title="Omega <&>"
        ),
        "Zeta": buy(ledger, title="Zeta", number="1/2"),
    }


def page(browser: Browser, path: str = "/collection", **headers: str) -> Element:
    answer = browser.get(path, **headers)
    assert answer.status_code == 200, answer.text
    return read_page(answer.text)


def lines(found: Element) -> list[Element]:
    return found.all("tr")[1:] if found.all("table") else []


def titles(found: Element) -> list[str]:
    return [line.one("th").one("em").text for line in lines(found)]


def line_of(found: Element, title: str) -> Element:
    return next(line for line in lines(found) if line.one("th").one("em").text == title)
