"""A book's row in the lists: one line on what it is doing, and keys that put books in the order people expect."""

from dataclasses import replace

import pytest

from ledger.book import Status
from ledger.events import Event
from ledger.events._parts import Holding
from ledger.events.arrival import Arrival, Stage
from ledger.events.choice import Choice, Next
from ledger.events.count import Count, Result
from ledger.events.custody import Custody, Direction
from ledger.events.intervention import Intervention
from ledger.events.opening import Opening
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Out
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.events.submission import Stage as Sent
from ledger.events.withdrawal import Withdrawal
from ledger.history import fold, history
from ledger.rows import Listing, folded, listing, state_line, words_of
from tests.builders import BOOK, CODEC, a_book, a_purchase, a_slab, a_stated_grade, an_intervention, an_issue, chain, on


def listed(*events: Event) -> Listing:
    moments = history(chain(*events), CODEC)
    return listing(fold(BOOK, 1, moments), moments)


def a_sale(means: Out = Out.SOLD, when: str | None = "2026-02-01") -> Sale:
    return Sale(means=means, disclosed=Disclosed.NOT_APPLICABLE, on=on(when))


SENT = Submission(batch="b", asks=Ask.GRADE, on=on("2026-05-03"))
ON_WALL = Placement(spot=Spot.WALL, room="r1", on=on("2024-04"))

STATES: dict[str, tuple[Event, ...]] = {
    "Here, raw": (a_purchase(),),
    "Here": (a_purchase(holding=Holding.NOT_STATED),),
    "Here, slabbed": (a_slab(),),
    "Here, raw, on the bench": (a_purchase(), Choice(next=Next.GO_ON, on=on("2024-03"))),
    "On the wall, raw": (a_purchase(), ON_WALL),
    "In a box, raw": (a_purchase(), Placement(spot=Spot.BOX, on=on("2024-04"))),
    "In the safe, slabbed": (a_slab(), Placement(spot=Spot.SAFE, on=on("2024-04"))),
    "Bought, not here yet": (a_purchase(expects_arrival=True),),
    "Sent back": (a_purchase(expects_arrival=True), Arrival(stage=Stage.SENT_BACK, on=on("2024-02-09"))),
    "Out for grading since 3 May 2026": (a_purchase(), SENT),
    "Out for grading": (a_purchase(), replace(SENT, on=None)),
    "With the grading service, sent 3 May 2026": (
        a_purchase(),
        SENT,
        Submission(batch="b", stage=Sent.RECEIVED, on=on("2026-05-09")),
    ),
    "On its way back from grading, sent 3 May 2026": (
        a_purchase(),
        SENT,
        Submission(batch="b", stage=Sent.SHIPPED_BACK, on=on("2026-06")),
    ),
    "In other hands since May 2025": (a_purchase(), Custody(direction=Direction.OUT, on=on("2025-05"))),
    "Not found since 2025": (a_purchase(), ON_WALL, Count(result=Result.NOT_FOUND, on=on("2025"))),
    "Sold 1 February 2026": (a_purchase(), a_sale()),
    "Sold": (a_purchase(), a_sale(when=None)),
    "Given away 2026": (a_purchase(), a_sale(Out.GIFT, "2026")),
    "Traded away 2026": (a_purchase(), a_sale(Out.TRADE, "2026")),
    "Lost 2026": (a_purchase(), a_sale(Out.LOST, "2026")),
    "Stolen 2026": (a_purchase(), a_sale(Out.STOLEN, "2026")),
    "Destroyed 2026": (a_purchase(), a_sale(Out.DESTROYED, "2026")),
    "The same copy as another book": (a_purchase(), Withdrawal(same_as="b-0002")),
    "Not in the collection yet": (an_intervention(when="2023"),),
}


@pytest.mark.parametrize("line", STATES)
def test_one_line_says_what_a_book_is_doing(line: str) -> None:
    assert listed(*STATES[line]).row.state == line


@pytest.mark.parametrize("status", Status)
def test_every_status_has_a_line(status: Status) -> None:
    assert state_line(a_book(status=status), [])


def test_a_row_says_what_is_in_force() -> None:
    issue = an_issue(publisher="Night Press", cover_date=on("1962-04"))
    row = listed(a_slab(issue=issue, stated=a_stated_grade("VF to NM", "9.0", "9.4"))).row
    assert (row.book, row.no, row.status, row.entries, row.since) == (BOOK, 1, "here", 1, "2024-02-01")
    assert (row.title, row.number, row.start_year) == ("Captain Lantern", "14", 1962)
    assert (row.publisher, row.cover_date) == ("Night Press", "1962-04")
    assert (row.holding, row.holder_number, row.grade_as_written) == ("slabbed", "A-77", "VF to NM")
    # Steps count from 0.5; common practice, no source: 9.4 is the twenty-first of 25.
    assert (row.grade_step, row.heading, row.on_bench, row.cover) == (20, None, False, None)


def test_after_an_opening_no_grade_is_in_force_and_the_highest_heading_stays() -> None:
    cleaned = an_intervention("dry-cleaning"), an_intervention("colour-touch")
    row = listed(a_slab(), Opening(on=on("2024-03-01")), *cleaned).row
    assert (row.holding, row.grade_step, row.grade_as_written) == ("raw", None, None)
    assert row.heading == "restoration"


def test_a_withdrawn_entry_has_no_say_but_counts_as_an_entry() -> None:
    found = listed(a_purchase(), ON_WALL, Withdrawal(entry=2))
    assert (found.row.spot, found.row.entries, found.last_seq) == (None, 3, 3)


def test_a_book_that_came_back_is_here_since_it_first_came() -> None:
    back = a_purchase("2027-01-01", means=Means.CAME_BACK)
    assert listed(a_purchase("2024-02-01"), a_sale(when="2026"), back).row.status == "here"


def test_the_last_entry_is_the_one_written_last_and_not_the_one_that_happened_last() -> None:
    assert listed(a_purchase("2024-02-01"), a_sale(when="2026"), an_intervention(when="2024-05")).last_seq == 3


@pytest.mark.parametrize(
    ("text", "as_searched"),
    [
        ("Élan  VITAL", "elan vital"),
        ("Straße", "strasse"),
        ("ﬁne\u00a0①", "fine 1"),
        ("İstanbul", "istanbul"),
        ("tab\tand\x00nul\ud800", "tab and nul"),
        ("½", "1/2"),
        ("", ""),
    ],
)
def test_a_text_is_searched_without_capitals_and_accents(text: str, as_searched: str) -> None:
    assert folded(text) == as_searched
    assert folded(as_searched) == as_searched


def test_each_word_is_searched_once() -> None:
    assert words_of(" Night  NIGHT press\n") == ["night", "press"]


def test_numbers_stand_in_the_order_people_count() -> None:
    numbers = ["1", "1/2", "2", "9", "10", "14", "100", "100.1", "Annual 3", "Annual 12", "B 1"]
    keys = [listed(a_purchase(issue=an_issue(number=number))).number_key for number in numbers]
    assert keys == sorted(keys)


def test_a_long_number_and_zeroes_before_it_change_nothing() -> None:
    def key(number: str) -> str:
        return listed(a_purchase(issue=an_issue(number=number))).number_key

    assert key("007") == key("7")
    assert key("0") < key("1")
    assert key("123456789") > key("99999999")


def test_titles_stand_without_capitals_shorter_ones_first_and_runs_apart() -> None:
    def key(title: str, year: int | None = 1962) -> str:
        return listed(a_purchase(issue=an_issue(title=title, start_year=year))).title_key

    titles = [key("Alpha", None), key("alpha", 1948), key("Alpha"), key("Alpha Beta"), key("Älpha Gamma"), key("Beta")]
    assert titles == sorted(titles)
    assert key("ALPHA") == key("Alpha")


def test_a_book_without_a_purchase_is_listed_all_the_same() -> None:
    found = listed(Intervention(technique="dry-cleaning", on=on("2023")))
    assert (found.row.title, found.row.number, found.grade_key, found.search) == ("", "", -1, "")


def test_a_slab_gives_the_grade_in_force() -> None:
    slabbed = Slab(
        batch="b", stated=a_stated_grade("9.2", "9.2"), holder_number="H 1", holding=Holding.SLABBED, on=on("2026-07")
    )
    row = listed(a_purchase(), SENT, slabbed).row
    assert (row.grade_as_written, row.holder_number, row.state) == ("9.2", "H 1", "Here, slabbed")
