"""What the condition report tells of claims, of what is not said again, of the rest by the dates and of small steps."""

from ledger.events._parts import Face, Mark
from ledger.ports import Ledger
from ledger.usecases.report import condition_report
from tests.builders import a_purchase, an_examination, an_intervention
from tests.web.browser import Browser
from tests.web.reports import a_known_book
from tests.web.stories import OWNER, Shelf
from tests.web.test_report import facts, part, report_of, table


def test_what_others_claim_stands_apart_and_is_not_counted(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    page = report_of(signed_in, a_known_book(shelf, ledger))
    (claim,) = table(part(page, "condition"), "Claimed by others, not seen here")
    assert (claim["Defect"], claim["Type"], claim["Face"]) == ("d3", "Cover loose at a staple", "front")
    assert (claim["Claimed by"], claim["Note"]) == ("seller", "At the lower staple")
    assert (claim["Taken over"], claim["Face looked at since"]) == (
        "2 March 2024 (entry 5)",
        "20 March 2024 (entry 10)",
    )
    assert "d3" not in {each["Defect"] for each in table(part(page, "condition"), "Back")}
    assert "Others claim faults that nobody here has seen" in part(page, "handling").text


def test_what_is_not_said_again_is_told_as_it_was_said_last(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = a_known_book(shelf, ledger)
    page = report_of(signed_in, book)
    (mark,) = table(part(page, "marks"))
    of = condition_report(ledger, OWNER, book)
    assert mark["Photograph, SHA-256"].replace(" ", "") == of.photographs[0].event.clean
    assert mark["Place"].startswith("10 mm from the left")
    assert mark["Known since"] == "2 March 2024 (entry 5)"
    assert "At least three marks of a copy are asked for" in part(page, "marks").text


def test_a_report_reads_the_rest_from_the_dates_and_asks_where_small_steps_add_up(
    signed_in: Browser, shelf: Shelf
) -> None:
    marks = tuple(Mark(id=f"m{at}", what=f"Fibre {at}", face=Face.BACK) for at in range(3))
    book = shelf.takes(
        a_purchase(),
        an_examination("2024-03-01", height_mm="260", marks=marks),
        an_intervention("cold-press", "2024-03-02"),
        an_examination("2024-03-09", height_mm="260.6"),
        an_examination("2024-04-09", height_mm="261.2"),
    )
    page = report_of(signed_in, book)
    assert facts(part(page, "look"))["Rest before"] == "912 hours, read from the dates"
    (second, first) = table(part(page, "looks"))
    assert (second["Rest before"], first["Rest before"]) == ("168 hours, read from the dates", "not known")
    assert "Its height has changed by a millimetre or more" in part(page, "look").text
    assert "At least three marks" not in part(page, "marks").text
    assert "Which faces the last look went over is not recorded." in part(page, "unknown").text
