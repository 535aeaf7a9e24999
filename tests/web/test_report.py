"""The condition report as a page: what is known, what is not, what others said; shown to its owner, printed without scripts."""

import base64
import re
import shutil
from pathlib import Path

import pytest

from ledger.events._parts import Answer, Face
from ledger.events.erasure import Erasure
from ledger.events.examination import Suppleness
from ledger.events.withdrawal import Withdrawal
from ledger.handling import Handling
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.prove import book_proof
from ledger.usecases.report import condition_report
from tests.builders import a_defect, a_purchase, an_examination
from tests.web.browser import Browser
from tests.web.markup import Element, read_page
from tests.web.reports import HOSTILE, a_known_book, a_look
from tests.web.stories import OWNER, Shelf, page_of
from web.report_parts import sealed

LINE = "a line from 5 mm from the left, 6 mm from the top, to 9 mm from the left, 9 mm from the top"


def report_of(browser: Browser, book: str) -> Element:
    answer = browser.get(f"/books/{book}/report")
    assert answer.status_code == 200, answer.text
    return read_page(answer.text)


def facts(part: Element) -> dict[str, str]:
    """Names and values of a part; the first, where a name stands several times."""
    found: dict[str, str] = {}
    for name, value in zip(part.all("dt"), part.all("dd"), strict=True):
        found.setdefault(name.text, value.text)
    return found


def table(part: Element, title: str = "") -> list[dict[str, str]]:
    """The rows of the table under that title, by the names of its columns."""
    children = [each for each in part.walk() if each.tag in {"h3", "table"}]
    start = next((at for at, each in enumerate(children) if each.text == title), -1) + 1
    found = next(each for each in children[start:] if each.tag == "table")
    head = [each.text for each in found.one("thead").all("th")]
    return [
        dict(zip(head, (each.text for each in row.walk() if each.tag in {"th", "td"}), strict=True))
        for row in found.one("tbody").all("tr")
    ]


def part(page: Element, name: str) -> Element:
    return page.one("section", id=name)


def test_the_book_leads_to_its_report_and_back(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = a_known_book(shelf, ledger)
    (link,) = page_of(signed_in, book).all("a", href=f"/books/{book}/report")
    assert link.text == "Condition report"
    assert report_of(signed_in, book).all("a", href=f"/books/{book}")


def test_it_says_which_copy_it_is_of_and_that_it_is_the_owners(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    book = a_known_book(shelf, ledger)
    told = part(report_of(signed_in, book), "book")
    said = facts(told)
    assert said["Publisher"] == "Brindle & Oake"
    assert said["Cover date"] == "May 1962"
    assert said["Copy"] == f"no. 1 of the collection, id {book}"
    assert said["Sealed holder"] == "in none"
    assert said["Kept in"].startswith("safe, Box 4;")
    assert "This is the owner's own report." in told.text


def test_the_last_look_and_the_looks_before_are_told_with_who_looked(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    page = report_of(signed_in, a_known_book(shelf, ledger))
    last = facts(part(page, "look"))
    assert last["Examiner"] == "Q. Looker"
    assert last["Lights"] == "normal, raking"
    assert last["Rest before"] == "72 hours"
    assert last["Paper suppleness"] == "cracks when turned"
    assert (last["Presents as"], last["Technical grade"]) == ("7.5", "7.0")
    assert (last["Faces looked at"], last["Rust on staples"]) == ("front, spine, back", "no")
    (before,) = table(part(page, "looks"))
    assert (before["Examiner"], before["Presents as"], before["Named in it"]) == (
        "A. Earlier",
        "7.0",
        "2 there, 0 gone",
    )


def test_a_measure_is_told_as_measured_with_its_look_and_what_it_was_before(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    rows = table(part(report_of(signed_in, a_known_book(shelf, ledger)), "look"), "Measures")
    by_name = {each["Measure"]: each for each in rows}
    assert (by_name["Height"]["As measured"], by_name["Height"]["Other values before"]) == ("259.5 mm", "260 mm")
    assert by_name["Weight"]["As measured"] == "71.4 g"
    assert by_name["Weight"]["At which look"].startswith("2 March 2024"), "the later look did not weigh it"


def test_a_defect_is_told_on_its_side_and_one_that_is_gone_apart(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    told = part(report_of(signed_in, a_known_book(shelf, ledger)), "condition")
    (tear,) = table(told, "Back")
    assert (tear["Defect"], tear["Type"], tear["Size"]) == ("d2", "Tear", "6 mm")
    assert tear["Seen last"].startswith("2 March 2024")
    assert (tear["Note"], tear["Place"]) == ("Runs into the price box", LINE)
    (gone,) = table(told, "Looked for and gone")
    assert (gone["Defect"], gone["Photograph"], gone["Work on it"]) == ("d1", "7", "8")
    assert gone["Known since"].startswith("2 March 2024")
    assert gone["Seen last"].startswith("20 March 2024")
    assert "Front: gone over at the look of 20 March 2024 (entry 10); no defect is known there now." in told.text
    assert "Edges, Inside, Staples, Detail." in told.text
    assert "That is not a finding that there is none." in told.text
    assert "A new dent." in told.text


def test_what_others_said_stands_apart_from_what_was_seen(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    page = report_of(signed_in, a_known_book(shelf, ledger))
    (grade,) = table(part(page, "grades"))
    assert grade["As written"] == "9.0"
    assert grade["In force"] == "ended with entry 4"
    earlier = part(page, "earlier")
    (said,) = table(earlier, "What was said when it came")
    assert (said["Earlier work"], said["In these words"]) == ("stated", "Cleaned, I was told.")
    (record,) = table(earlier, "Records of earlier owners")
    assert record["File, SHA-256"].replace(" ", "") == "cd" * 32


def test_a_step_is_told_with_settings_hands_materials_and_what_departed_from_the_plan(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    told = part(report_of(signed_in, a_known_book(shelf, ledger)), "work")
    step = facts(told)
    assert step["By whom"] == "H. Ands (the collector's own hands)"
    assert step["Materials"] == "release paper, batch 77-B"
    assert step["Defects worked on, as said right after"] == "d1 not said"
    assert (step["Hands at work"], step["How it ended"]) == ("not known", "not known")
    assert step["Settings"].startswith("set to 60 °C; 57.5 °C measured at the paper; 10 min hold; 600 min cooling")
    assert step["Remark and departures"] == "The press was cooler than planned."
    assert step["Changed anything, as claimed"] == "yes"
    assert step["Photographs before"] == "entry 7, front, raking light"
    assert step["Photographs after"] == "entry 9, back, normal light"
    assert step["Next look"] == "20 March 2024 (entry 10)"
    assert table(told, "What was decided")[0]["Why"] == "It waves."
    assert table(told, "Openings of a holder")[0]["Remark"] == "Seams only."


def test_photographs_are_named_by_their_digests_and_shown_small(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    book = a_known_book(shelf, ledger)
    page = part(report_of(signed_in, book), "photographs")
    of = condition_report(ledger, OWNER, book)
    told = [facts(each)["Clean copy"].replace(" ", "") for each in page.one("ul", class_="report-shots").all("li")]
    assert told == [each.event.clean for each in of.photographs]
    assert len(page.all("img")) == 2
    for image in page.all("img"):
        assert signed_in.get(image.attrs["src"]).headers["content-type"] == "image/jpeg"


def test_a_photograph_whose_file_is_gone_is_named_all_the_same(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, settings: Settings
) -> None:
    book = a_known_book(shelf, ledger)
    shutil.rmtree(Path(settings.folder) / "pictures")
    page = part(report_of(signed_in, book), "photographs")
    assert page.all("img") == []
    assert page.text.count("not at hand; the digest stays") == 2


def test_cautions_follow_from_what_is_known_and_from_what_is_not(ledger: Ledger, shelf: Shelf) -> None:
    known = condition_report(ledger, OWNER, a_known_book(shelf, ledger))
    assert known.handling == (Handling.ALWAYS, Handling.CRACKS, Handling.TORN, Handling.MUSTY, Handling.CLAIMED)
    never = condition_report(ledger, OWNER, shelf.takes(a_purchase()))
    assert never.handling == (Handling.ALWAYS, Handling.NOT_FELT)
    supple = condition_report(
        ledger, OWNER, shelf.takes(a_purchase(), a_look(defects=(), suppleness=Suppleness.SUPPLE, odour=None))
    )
    assert supple.handling == (Handling.ALWAYS,)
    rusty = a_look(defects=(), suppleness=Suppleness.SUPPLE, odour=None, staple_rust=Answer.YES)
    later = an_examination("2024-05-01")
    rusted = condition_report(ledger, OWNER, shelf.takes(a_purchase(), rusty, later))
    assert rusted.handling == (Handling.ALWAYS, Handling.RUST)


def test_what_an_earlier_look_or_a_defect_tells_is_not_called_unknown(signed_in: Browser, shelf: Shelf) -> None:
    rusted = a_defect("d1", "staple-rust", face=Face.STAPLES, size_mm=None, count=2)
    first = an_examination("2024-05-01", completeness=Answer.YES, defects=(rusted,))
    book = shelf.takes(a_purchase(), first, an_examination("2024-06-01"))
    page = report_of(signed_in, book)
    last, unknown = facts(part(page, "look")), part(page, "unknown").text
    assert last["Rust on staples"] == "yes, by defect d1"
    assert last["Complete"] == f"yes, nothing is missing, at the look of 1 May 2024 (entry {shelf.seqs(book)[1]})"
    assert "staples have rust" not in unknown
    assert "Whether it is complete" not in unknown
    assert "Staples have rusted." in page.text
    nothing = facts(part(report_of(signed_in, shelf.takes(a_purchase(), an_examination("2024-05-01"))), "look"))
    assert (nothing["Rust on staples"], nothing["Complete"]) == ("not known", "not known")


def test_of_a_book_nobody_looked_at_it_says_what_is_not_known(signed_in: Browser, shelf: Shelf) -> None:
    page = report_of(signed_in, shelf.takes(a_purchase()))
    unknown = [each.text for each in part(page, "unknown").all("li")]
    assert unknown[0] == "No look is recorded, so nothing is known of its condition."
    assert "The tone of its paper was never recorded." in unknown
    assert "Whether it is complete is not known." in unknown
    assert "It was never photographed here." in unknown
    assert "Nobody has recorded a look at them." in part(page, "condition").text


def test_what_a_look_did_not_record_is_not_taken_to_be_well(signed_in: Browser, shelf: Shelf) -> None:
    page = report_of(signed_in, shelf.takes(a_purchase(), an_examination()))
    assert facts(part(page, "look"))["Odour"] == "not known"
    assert "In which light the last look was taken is not recorded." in part(page, "unknown").text


def test_what_was_withdrawn_is_not_in_it(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), a_look())
    shelf.then(book, Withdrawal(entry=3))
    assert condition_report(ledger, OWNER, book).looks == ()


def test_it_can_be_held_against_the_ledger(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = a_known_book(shelf, ledger)
    sign_checkpoint(ledger, OWNER)
    said = facts(part(report_of(signed_in, book), "ledger"))
    proof = book_proof(ledger, OWNER, book)
    state = condition_report(ledger, OWNER, book).state
    assert isinstance(proof["head"], dict)
    assert said["Leaf of its last entry"].replace(" ", "") == proof["head"]["leaf"]
    note = str(proof["checkpoint"]).splitlines()
    assert said["Entries"] == note[1] == str(state.size)
    assert said["Root over all entries"].replace(" ", "") == base64.b64decode(note[2]).hex()
    assert said["Last checkpoint"].startswith(f"over {state.size} entries, signed ")


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (Sealed.of("Q. Looker"), "Q. Looker"),
        (Sealed.of(None), "not known"),
        (Sealed.withheld(), "not shown here"),
        (Sealed.erased(), "erased for good"),
    ],
)
def test_a_sealed_value_is_told_as_far_as_it_is_at_hand(value: Sealed[str], said: str) -> None:
    assert sealed(value) == said


def test_an_erased_name_is_said_to_be_erased(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase(), a_look())
    shelf.then(book, Erasure(entry=3, names=("examiner",)))
    assert facts(part(report_of(signed_in, book), "look"))["Examiner"] == "erased for good"


def test_prices_and_values_are_not_in_it(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    assert not re.search(r"\b(USD|EUR)\b", report_of(signed_in, a_known_book(shelf, ledger)).text)


def test_what_a_person_wrote_is_text_on_the_page(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    page = report_of(signed_in, a_known_book(shelf, ledger, words=HOSTILE))
    assert facts(part(page, "work"))["Remark and departures"] == HOSTILE
    assert [each for each in page.all("script") if "src" not in each.attrs] == []


def test_nobody_who_is_not_signed_in_sees_it(visitor: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = a_known_book(shelf, ledger)
    for path in (f"/books/{book}/report", f"/books/{book}/report.pdf"):
        assert visitor.get(path).status_code == 303


def test_a_book_that_is_not_there_has_none(signed_in: Browser) -> None:
    for path in ("report", "report.pdf"):
        assert signed_in.get(f"/books/{'a' * 26}/{path}").status_code == 404
