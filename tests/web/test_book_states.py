"""The page of a book in every state it can be in, and the one thing that makes sense next."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.events import Event
from ledger.events._parts import Holding
from ledger.events.arrival import Arrival, Stage
from ledger.events.choice import Choice, Next
from ledger.events.count import Count, Result
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Submission
from ledger.events.submission import Stage as Way
from ledger.events.withdrawal import Withdrawal
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import a_purchase, a_slab, a_stated_grade, an_examination, an_intervention, an_opening, on
from tests.web.browser import Browser
from tests.web.stories import Shelf, page_of

SENT = Submission(on=on("2024-06-01"), batch="b1", asks=Ask.GRADE)
LOOK = an_examination("2024-02-05")
SHOT = Photograph(on=on("2024-02-06"), original="ab" * 32, clean="ab" * 32)
OUT = Custody(on=on("2024-05-01"), direction=Direction.OUT, to_whom=Hands.FRAMER)
BACK_RAW = Slab(on=on("2024-08-01"), batch="b1", outcome=Outcome.NO_GRADE, holding=Holding.RAW)
UNDER_WAY = a_purchase(expects_arrival=True)
BY_SELLER = Submission(on=on("2024-06-01"), stage=Way.SENT_BY_SELLER, batch="b1", asks=Ask.GRADE)
GRADED = Slab(on=on("2024-08-01"), batch="b1", stated=a_stated_grade("9.4", "9.4"))
GO_ON = Choice(on=on("2024-02-07"), next=Next.GO_ON)
HUNG = Placement(on=on("2024-05-01"), spot=Spot.WALL)


@pytest.mark.parametrize(
    ("events", "said", "kind"),
    [
        ((a_purchase(expects_arrival=True),), "Write its arrival", "arrival"),
        ((a_purchase(),), "Examine it", "examination"),
        ((a_purchase(), LOOK, SHOT), "Hang or store it", "placement"),
        ((a_purchase(), LOOK), "Photograph its front", "photograph"),
        ((a_purchase(), LOOK, GO_ON), "Write the next step of work", "intervention"),
        ((a_purchase(), LOOK, GO_ON, an_intervention()), "Look again after its rest", "examination"),
        ((a_slab(), an_examination(through_holder=True), an_opening()), "Examine it out of its holder", "examination"),
        ((a_purchase(), SENT), "Enter the result", "slab"),
        ((UNDER_WAY, BY_SELLER), "Enter the result", "slab"),
        ((UNDER_WAY, BY_SELLER, GRADED), "Write its arrival", "arrival"),
        ((UNDER_WAY, BY_SELLER, Arrival(on=on("2024-07-01"))), "Enter the result", "slab"),
        ((a_purchase(), LOOK, SENT, BACK_RAW), "Examine it after its return", "examination"),
        ((a_purchase(), OUT), "Write its return", "custody"),
        ((a_purchase(), Count(on=on("2024-12-30"), result=Result.NOT_FOUND)), "Look for it and count it", "count"),
        (
            (a_purchase(expects_arrival=True), Arrival(on=on("2024-03-01"), stage=Stage.SENT_BACK)),
            "Write the refund",
            "arrival",
        ),
        ((a_purchase(), LOOK, SHOT, HUNG), None, None),
        ((a_purchase(), Sale(on=on("2024-09-01"), disclosed=Disclosed.NOT_APPLICABLE)), None, None),
    ],
)
def test_the_one_lamp_is_the_one_sensible_thing_next(
    signed_in: Browser, shelf: Shelf, events: Sequence[Event], said: str | None, kind: str | None
) -> None:
    book = shelf.takes(*events)
    lamps = page_of(signed_in, book).one("main").all(class_="next")
    expected = [] if said is None else [(said, f"/entry/new?book={book}&kind={kind}")]
    assert [(lamp.text, lamp.attrs["href"]) for lamp in lamps] == expected


@pytest.mark.parametrize(
    ("events", "state"),
    [
        ((a_purchase(expects_arrival=True),), "Bought, not here yet"),
        ((a_purchase(), SENT), "Out for grading since 1 June 2024"),
        ((UNDER_WAY, BY_SELLER), "Out for grading since 1 June 2024"),
        ((UNDER_WAY, BY_SELLER, GRADED), "Bought, not here yet"),
        ((a_purchase(), Sale(on=on("2024-09-01"), disclosed=Disclosed.NOT_APPLICABLE)), "Sold 1 September 2024"),
        ((a_purchase(means=Means.GIFT),), "Here, raw"),
    ],
)
def test_a_book_in_any_state_has_its_page(
    signed_in: Browser, shelf: Shelf, events: Sequence[Event], state: str
) -> None:
    assert state in page_of(signed_in, shelf.takes(*events)).text


def test_a_duplicate_leads_to_the_book_it_is_the_same_copy_as(signed_in: Browser, shelf: Shelf) -> None:
    kept = shelf.takes(a_purchase())
    double = shelf.takes(a_purchase(), Withdrawal(same_as=kept, reason=Sealed.of("Bought once.")))
    page = page_of(signed_in, double)
    assert "Withdrawn as the same copy as another book." in page.text
    assert f"/books/{kept}" in [link.attrs["href"] for link in page.one("main").all("a")]


def test_what_it_presents_as_stands_until_another_look_says_it(signed_in: Browser, shelf: Shelf) -> None:
    first = an_examination(presents_as=Grade.parse("7.0"), technical=Grade.parse("6.5"))
    book = shelf.takes(a_purchase(), first)
    assert "Presents as 7.0 technical grade 6.5 Last look" in page_of(signed_in, book).text
    shelf.then(book, replace(first, on=on("2024-03-09"), presents_as=None, technical=None))
    seen = first.on.label() if first.on else ""
    assert f"Presents as 7.0 technical grade 6.5; seen {seen} Last look" in page_of(signed_in, book).text
