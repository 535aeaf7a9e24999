"""Identity, grades, heat, entries, what was opened, earlier owners and the last list of a record."""

from dataclasses import replace

import pytest

from ledger.disclosed import EarlierSaid, disclosed_sheet
from ledger.dose import dose_of
from ledger.events import Event
from ledger.events._base import NotUnderstood
from ledger.events._parts import Holding
from ledger.events._settings import Settings
from ledger.events.correction import Correction
from ledger.events.earlier import Earlier, Verdict
from ledger.events.identification import Identification
from ledger.events.note import Note
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.events.purchase import Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.events.valuation import Comparable, Method, Valuation
from ledger.events.withdrawal import Withdrawal
from ledger.proof.sheet import Section, Sheet
from ledger.rules._tables import table
from ledger.rules.ageing import Band
from ledger.saying.steps import band
from ledger.sealed import Sealed
from tests.builders import a_purchase, a_slab, a_stated_grade, an_intervention, an_issue, an_opening, on, usd
from tests.saying.saying import (
    COLLECTION,
    facts_of,
    lines_of,
    rows_of,
    section,
    sheet_of,
    telling_of,
    text_of,
)


def test_identity_tells_the_issue_the_holder_and_since_when() -> None:
    issue = an_issue(publisher="Brindle & Oake", cover_date=on("1962-05"))
    told_by = Identification(on=on("2024-02-02"), issue=issue, how="the indicia")
    said = section(sheet_of(a_purchase(), told_by), "identity")
    facts = facts_of(said)
    assert facts["Series"] == "Captain Lantern"
    assert facts["Cover date"] == "May 1962"
    assert facts["Not known"] == "printing, variant"
    assert facts["Holder"] == "in no sealed holder"
    assert facts["In this collection since"] == "1 February 2024 (entry 1)"
    assert facts["Ledger"] == f"book no. 1 of {COLLECTION}"
    assert facts["Record made"] == "20 March 2026"
    assert lines_of(said) == ["Identified on 2 February 2024 (entry 2) by: the indicia"]


def test_a_book_of_an_unknown_issue_goes_by_its_number() -> None:
    sheet = sheet_of(Note(words=Sealed.of("Found in the attic.")))
    assert sheet.title == "Book no. 1, of an issue that is not known"
    assert facts_of(section(sheet, "identity"))["Series"] == "not known"


def test_grades_are_told_over_all_holders_each_with_its_end() -> None:
    sent = Submission(on=on("2024-04-01"), stage=Stage.SENT, batch="b1", asks=Ask.GRADE)
    back = Slab(
        on=on("2024-06-01"), batch="b1", stated=a_stated_grade("9.4", "9.4"), holder_number="B-12",
        page_tone="cream to white", service=Sealed.of("The Assay"), service_remarks=Sealed.of("A small bend."),
    )  # fmt: skip
    bought = a_slab(stated_by=Sealed.of("An old service"))
    said = section(sheet_of(bought, an_opening(), sent, back), "grades")
    first, second = rows_of(said)
    assert first["As written"] == "“9.0”"
    assert first["Name"] == "“An old service”"
    assert first["Holds"] == "until its holder was opened, 1 March 2024 (entry 2)"
    assert second["Whose opinion"] == "grading service"
    assert second["Holder number"] == "B-12"
    assert second["Holds"] == "in force"
    text = text_of(said)
    assert "This record grades nothing." in text
    assert "Page tone as the service stated it (entry 4): “cream to white”." in text
    assert "Remarks of the service (entry 4): “A small bend.”" in text
    assert "taken out of its holder by the owner's side; the holder before: not stated." in text
    shut = section(sheet_of(bought, an_opening(), sent, back, opened=()), "grades")
    assert [each["Name"] for each in rows_of(shut)] == ["not opened here", "not opened here"]
    assert "A small bend" not in text_of(shut)


def test_without_a_stated_grade_it_gives_none() -> None:
    said = section(sheet_of(a_purchase()), "grades")
    assert lines_of(said) == ["No grade was stated to this ledger, and this record gives none."]


def test_heat_is_told_as_a_band_and_light_as_not_known() -> None:
    settings = Settings(measured_celsius="60", hold_minutes=10, cooling_minutes=0, rh_percent=50)
    step = an_intervention("hot-press-dry", settings=settings)
    dose = dose_of(step)
    assert dose is not None
    assert dose.band is not None
    facts = facts_of(section(sheet_of(a_purchase(), step), "care"))
    said = f"about {dose.band.middle:.2g} days ({dose.band.low:.2g} to {dose.band.high:.2g})"
    assert f"One session here aged the paper like {said}." in facts["Ageing by heat"]
    assert "Heat before it came here is not known." in facts["Ageing by heat"]
    assert facts["Light"].startswith("How much light it has had is not known, here or before.")
    assert f"It aged the paper like {said} at 20 °C and 50 % humidity." in text_of(
        section(sheet_of(a_purchase(), step), "statement")
    )


def test_heat_that_cannot_be_told_is_not_zero() -> None:
    facts = facts_of(section(sheet_of(a_purchase(), an_intervention("hot-press-dry")), "care"))
    assert facts["Ageing by heat"].startswith("Of one session it is not known.")
    none = facts_of(section(sheet_of(a_purchase()), "care"))["Ageing by heat"]
    assert none == "No heat was entered here. Heat before it came here is not known."


def test_where_it_was_kept_is_told_and_its_place_only_when_opened() -> None:
    frame = Housing(around=Around.FRAME, material=Material.WOOD)
    hung = Placement(on=on("2024-03-01"), spot=Spot.WALL, housings=(frame,), place=Sealed.of("North stair"))
    said = section(sheet_of(a_purchase(), hung), "care")
    assert rows_of(said) == [
        {"Since": "1 March 2024 (entry 2)", "Kept in or on": "wall", "With": "frame (wood)", "Place": "not opened here"}
    ]
    assert "It hung on a wall (entry 2)." in facts_of(said)["Light"]
    shown = section(sheet_of(a_purchase(), hung, opened=[(2, "place")]), "care")
    assert rows_of(shown)[0]["Place"] == "“North stair”"


def test_a_great_dose_is_told_in_digits_and_in_no_notation_of_programs() -> None:
    assert band(Band(low=0.13, middle=6043.0, high=1.3e13)) == "about 6,000 days (0.13 to 13,000,000,000,000)"


def test_every_entry_has_its_line_by_number_and_mended_ones_show_as_such() -> None:
    sheet = sheet_of(
        a_purchase(),
        an_intervention(when="2024-03-10"),
        an_opening("2024-01-01", by_other_hands=True),
        Correction(entry=2, changes={"technique": "cold-press"}, reason=Sealed.of("Slip of the pen.")),
        Withdrawal(entry=3, reason=Sealed.of("It was raw.")),
    )
    rows = rows_of(section(sheet, "entries"))
    assert [each["Entry"] for each in rows] == ["1", "2", "3", "4", "5"]
    assert rows[0] == {
        "Entry": "1",
        "Happened": "1 February 2024",
        "Written down": "1 January 2025",
        "What it says": "Bought: Captain Lantern 14, raw.",
    }
    assert rows[1]["What it says"] == (
        "Cold press: non-additive. As corrected by entry 4; sealed fields may have been corrected too. "
        "First entered as: Dry surface cleaning: non-additive."
    )
    assert rows[2]["What it says"].endswith("Withdrawn by entry 5: out of force.")
    assert rows[3]["What it says"] == "Corrects entry 2: Technique."
    assert rows[4]["Happened"] == "not known"
    assert works_without(sheet, "Dry surface cleaning")


def works_without(sheet: Sheet, words: str) -> bool:
    return words not in text_of(section(sheet, "statement"))


def test_what_is_written_after_the_sale_is_told_so_and_what_follows_its_return_is_not() -> None:
    sold, note = Sale(on=on("2024-05-01"), disclosed=Disclosed.NOTHING), Note(words=Sealed.of("by letter"))
    sheet = sheet_of(a_purchase(), note, sold, note, a_purchase("2024-07-01", means=Means.CAME_BACK), note)
    rows = section(sheet, "entries")
    assert text_of(rows).count("Written down after hand-over.") == 1


def test_which_sealed_fields_a_correction_changed_is_not_told_unless_they_are_opened() -> None:
    events: tuple[Event, ...] = (
        a_purchase(price=Sealed.of(usd("12.00"))),
        Correction(
            entry=1, changes={"price": {"minor": 1400, "currency": "USD", "exponent": 2}, "seller": "A. Canary"}
        ),
    )
    shut = sheet_of(*events)
    assert rows_of(section(shut, "entries"))[1]["What it says"] == "Corrects entry 1 in what is sealed."
    text = text_of(shut)
    for word in ("Canary", "price", "seller", "14.00", "12.00"):
        assert word not in text, word
    some = sheet_of(*events, opened=[(2, "new.price")])
    assert rows_of(section(some, "entries"))[1]["What it says"] == "Corrects entry 1: Price."
    assert rows_of(section(some, "opened")) == [{"Entry": "entry 2", "Field": "Price", "Value": "14.00 USD"}]
    old = sheet_of(*events, opened=[(1, "price")])
    assert rows_of(section(old, "opened")) == [{"Entry": "entry 1", "Field": "Price", "Value": "12.00 USD"}]


def test_what_was_opened_is_listed_with_its_value_in_words() -> None:
    sold = Comparable(on=on("2024-05"), price=usd("1250.00"), where="A fair")
    worth = Valuation(
        on=on("2024-06-01"), method=Method.COMPARABLES, amount=Sealed.of(usd("1300.00")),
        comparables_used=Sealed.of((sold,)),
    )  # fmt: skip
    bought = a_purchase(seller=Sealed.of("Aunt Ida"), venue=Sealed.of("A barn"))
    sheet = sheet_of(bought, worth, opened=[(1, "seller"), (1, "price"), (2, "amount"), (2, "comparables_used")])
    assert rows_of(section(sheet, "opened")) == [
        {"Entry": "entry 1", "Field": "Seller", "Value": "Aunt Ida"},
        {"Entry": "entry 2", "Field": "Amount", "Value": "1,300.00 USD"},
        {"Entry": "entry 2", "Field": "Comparables used", "Value": "May 2024, 1,250.00 USD, A fair"},
    ]
    assert "A barn" not in text_of(sheet)


def test_an_entry_of_a_newer_program_is_shown_as_that() -> None:
    newer = NotUnderstood(wire_kind="moonlight", version=3, sealed={"who": Sealed.of("Canary")}, date="1999-99")
    row = rows_of(section(sheet_of(a_purchase(), newer), "entries"))[1]
    assert row["Happened"] == "1999-99"
    assert "Not understood: moonlight, version 3" in row["What it says"]
    opened = section(sheet_of(a_purchase(), newer, opened=[(2, "who")]), "opened")
    assert rows_of(opened) == [{"Entry": "entry 2", "Field": "who", "Value": "Canary"}]


def an_earlier(when: str, letter: str, verdict: Verdict = Verdict.UNSIGNED) -> Earlier:
    return Earlier(on=on(when), record=letter * 64, verdict=verdict)


def test_records_of_earlier_owners_stand_each_as_theirs() -> None:
    theirs = Sheet(title="Captain Lantern 14", lead="Done here since 1987: one step.", sections=(Section("x", "X"),))
    telling = telling_of(a_purchase(), an_earlier("2024-02-02", "c"), an_earlier("2024-02-03", "d", Verdict.BROKEN))
    said = EarlierSaid(sha256="c" * 64, origin="old.ledger", verdict="whole", on="2024-02-02", sheet=theirs)
    sheet = disclosed_sheet(replace(telling, earlier=(said,)))
    part = section(sheet, "earlier")
    assert facts_of(part)["Signed by the ledger"] == "old.ledger"
    assert facts_of(part)["Checking it came to"] == "whole"
    assert facts_of(part)["It says"] == "“Done here since 1987: one step.”"
    assert facts_of(part)["SHA-256 of the record"] == "c" * 64
    assert "None of it was made part of this one." in text_of(part)
    assert lines_of(part)[-1].startswith(
        "3 February 2024 (entry 3): a record was received, checking it came to: broken."
    )
    assert "1987" not in sheet.lead
    assert "1987" not in text_of(section(sheet, "statement"))
    assert "2 records of earlier owners are at hand." in text_of(section(sheet, "statement"))
    unread = disclosed_sheet(replace(telling, earlier=(replace(said, sheet=None, on=""),)))
    assert facts_of(section(unread, "earlier"))["It says"].startswith("It does not go with this record")
    assert facts_of(section(unread, "earlier"))["Received"] == "not known"
    assert not [each for each in sheet_of(a_purchase()).sections if each.id == "earlier"]


@pytest.mark.parametrize("stamped", [True, False])
def test_without_a_stamp_from_outside_order_and_dates_rest_on_the_owner_s_word(stamped: bool) -> None:  # noqa: FBT001
    text = text_of(section(sheet_of(a_purchase(), stamped=stamped), "proven"))
    assert "rest on the owner's word" in text, "a stamp covers what was there before it, and nothing after it"
    assert ("no stamp from outside goes with this record" in text) is not stamped
    assert ("A time stamp of somebody else goes with it" in text) is stamped


def test_the_last_list_tells_what_is_proven_what_is_claimed_by_whom_and_what_nobody_can_check() -> None:
    step = an_intervention(by_other_hands=True)
    sheet = sheet_of(a_slab(), an_opening(), step, an_earlier("2024-03-02", "c"))
    text = text_of(section(sheet, "proven"))
    for words in ("none was left out", "By the owner:", "the one grade", "what the one step that they did was"):
        assert words in text
    assert "By earlier owners: all that their records say." in text
    assert "Whether the book before you is the one told of." in text
    assert sheet.sections[-1].id == "proven", "it stands at the end"


def test_the_versions_of_the_tables_stand_at_the_end() -> None:
    last = lines_of(sheet_of(a_purchase()).sections[-1])[-1]
    for name in ("techniques", "defects", "grades"):
        assert f"{name} {table(name).version}" in last


def test_a_slabbed_book_tells_its_holder() -> None:
    facts = facts_of(section(sheet_of(a_slab()), "identity"))
    assert facts["Holder"] == "in a sealed holder, number A-77"
    unknown = sheet_of(a_purchase(holding=Holding.NOT_STATED))
    assert facts_of(section(unknown, "identity"))["Holder"] == "not known"
