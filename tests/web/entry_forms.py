"""What the tests of entry forms share: books that are ready for a kind, the address of its form, and sending it."""

from typing import Any

from httpx2 import Response

from ledger.events import Event
from ledger.events.arrival import Arrival, Stage
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.photograph import Photograph
from ledger.events.sale import Disclosed, Means, Sale
from ledger.events.submission import Ask, Submission
from ledger.events.submission import Stage as Way
from ledger.ports import Ledger
from ledger.when import When
from tests.builders import a_defect, a_purchase, a_slab, an_examination
from tests.web.browser import Browser, Form, form_to, text_of
from tests.web.markup import Element, read_page
from tests.web.typed import written

PATH = "/entry/new"
OLD = "1980"

SENT = Submission(on=When("2025-10-01"), stage=Way.SENT, batch="autumn-2025", asks=Ask.GRADE)
OUT = Custody(on=When("2025-03-02"), direction=Direction.OUT, to_whom=Hands.EXHIBITION)
BENT = an_examination(OLD, defects=(a_defect("d2", "bend"), a_defect("d1", "spine-tick", count=1)))
RAW = (a_purchase(OLD), BENT)
SHOT = (*RAW, *(Photograph(on=When(OLD), original="0" * 64, clean=each * 64) for each in "cd"))
SLABBED = (a_slab(OLD),)

BOOKS: dict[str, list[tuple[Event, ...]]] = {
    "arrival": [
        (a_purchase("2024-02-01", expects_arrival=True),),
        (a_purchase("2024-02-01"), Arrival(on=When("2024-02-20"), stage=Stage.SENT_BACK)),
    ],
    "custody": [RAW, (*RAW, OUT)],
    "examination": [SHOT, SLABBED],
    "opening": [SLABBED],
    "slab": [(*RAW, SENT), RAW],
    "submission": [RAW, (*RAW, SENT), (a_purchase("2024-02-01", expects_arrival=True),)],
}
"""What a book must have been through before the vector of a kind can stand; the same for each where one is named."""

ELSEWHERE = {"climate", "key", "disclosure", "restored", "photograph", "correction", "withdrawal", "erasure"}
"""Kinds whose form is not the plain one; they have tests of their own."""


def book_for(ledger: Ledger, kind: str, number: int) -> str | None:
    if kind in {"room", "ruling"}:
        return None
    if kind == "purchase":
        return written(ledger, a_purchase("1970"), gone("1975"))[0].book
    events = BOOKS.get(kind, [RAW])
    return written(ledger, *events[min(number, len(events) - 1)])[0].book


def gone(when: str) -> Event:
    return Sale(on=When(when), means=Means.LOST, disclosed=Disclosed.NOT_APPLICABLE)


def address(kind: str, *books: str | None, **more: object) -> str:
    query = [("kind", kind), *(("book", book) for book in books if book), *((name, str(v)) for name, v in more.items())]
    return f"{PATH}?{'&'.join(f'{name}={value}' for name, value in query)}"


def opened(browser: Browser, path: str) -> Form:
    answer = browser.get(path)
    assert answer.status_code == 200, text_of(answer)
    read_page(answer.text)
    return form_to(answer, PATH)


def at(page: Element, name: str) -> Element:
    return next(each for each in page.walk() if each.attrs.get("id") == name)


def sent(browser: Browser, path: str, fields: dict[str, Any]) -> Response:
    form = opened(browser, path)
    return browser.post(form.action, {**form.fields, **fields})
