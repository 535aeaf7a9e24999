"""Every unit of information that the documents ask of a condition report and a treatment report has a place in ours.

The documents are the Guidelines for Practice of the American Institute for Conservation with their commentaries (AIC),
Spectrum 5.1 of the Collections Trust, and the Professional Guidelines of E.C.C.O.; the units are put in words of ours.
Those marked OURS are what we hold a report of a comic book to need beside them: our assumption, no source.
"""

from collections.abc import Iterator
from typing import Final, NamedTuple

import pytest

from ledger.ports import Ledger
from ledger.usecases.report import condition_report, report_pictures
from tests.web.reports import a_known_book
from tests.web.stories import OWNER, Shelf
from web.report_parts import Facts, Lines, Photographs, Section, Table, Words
from web.report_told import BY_HAND, report_told
from web.wording import t


class Unit(NamedTuple):
    """One unit: who asks for it and where, what it is, the part of the report, and the name it stands under there."""

    document: str
    section: str
    unit: str
    part: str
    name: str


AIC, SPECTRUM, ECCO, OURS = "AIC Guidelines for Practice", "Spectrum 5.1", "E.C.C.O. Professional Guidelines", "OURS"
CHECK, CARE = "condition checking", "collections care and conservation"

UNITS: Final = (
    # AIC 24: documentation.
    Unit(AIC, "24", "purpose of the record", "book", "Purpose"),
    Unit(AIC, "24", "who made the record", "book", "Written by"),
    Unit(AIC, "24", "date of the record", "ledger", "Last entry written"),
    Unit(AIC, "24", "identifying number", "book", "Copy"),
    Unit(AIC, "24", "owner or custodian", "book", "Who has it"),
    Unit(AIC, "24", "owner by name", "hand", "Owner, name and address"),
    Unit(AIC, "24", "maker or origin", "book", "Publisher"),
    Unit(AIC, "24", "title", "book", "Title"),
    Unit(AIC, "24", "date of creation", "book", "Cover date"),
    Unit(AIC, "24", "measurements", "look", "Measures"),
    Unit(AIC, "24", "marks and labels", "marks", "What it is"),
    Unit(AIC, "24", "damage while in care", "condition", "Damage found at a count"),
    Unit(AIC, "24", "photographs labelled as part of the record", "photographs", "Clean copy"),
    # AIC 25: examination.
    Unit(AIC, "25", "observation apart from interpretation", "condition", "These are observations"),
    Unit(AIC, "25", "opinions of others apart", "grades", "A stated grade is an opinion"),
    Unit(AIC, "25", "accessories and housings", "book", "Kept in"),
    Unit(AIC, "25", "purpose of the examination", "hand", "Reason for this check"),
    Unit(AIC, "25", "circumstances of the examination", "look", "Rest before"),
    Unit(AIC, "25", "methods of the examination", "look", "Method"),
    Unit(AIC, "25", "lights of the examination", "look", "Lights"),
    Unit(AIC, "25", "present condition", "condition", "Type"),
    Unit(AIC, "25", "evidence of earlier treatment", "earlier", "Earlier work"),
    Unit(AIC, "25", "references to earlier treatment", "earlier", "Records of earlier owners"),
    # AIC 26: treatment plan.
    Unit(AIC, "26", "course decided on", "work", "Decision"),
    Unit(AIC, "26", "justification and aim", "work", "Why"),
    Unit(AIC, "26", "risks", "work", "Possible side effects"),
    Unit(AIC, "26", "agreement of the owner", "hand", "Agreed with, and when"),
    # AIC 27: documentation of treatment.
    Unit(AIC, "27", "date of each action", "work", "Date"),
    Unit(AIC, "27", "when each was written down", "work", "Written down"),
    Unit(AIC, "27", "who did each", "work", "By whom"),
    Unit(AIC, "27", "departures from the plan", "work", "Remark and departures"),
    Unit(AIC, "27", "material added", "work", "Adds material"),
    Unit(AIC, "27", "material removed", "work", "Removes original material"),
    Unit(AIC, "27", "changes caused", "work", "Alters chemistry or colour"),
    Unit(AIC, "27", "new facts found afterwards", "work", "Next look"),
    Unit(AIC, "27", "images before", "work", "Photographs before"),
    Unit(AIC, "27", "images after", "work", "Photographs after"),
    # AIC 28: preservation of documentation.
    Unit(AIC, "28", "hard copy, two of them", "ledger", "Keep two copies on paper"),
    Unit(AIC, "28", "where the copies are", "hand", "Where the two copies are kept"),
    # Spectrum.
    Unit(SPECTRUM, CHECK, "reference", "ledger", "Leaf of its last entry"),
    Unit(SPECTRUM, CHECK, "date", "look", "Date"),
    Unit(SPECTRUM, CHECK, "checker", "look", "Examiner"),
    Unit(SPECTRUM, CHECK, "reason", "hand", "Reason for this check"),
    Unit(SPECTRUM, CHECK, "method", "look", "Method"),
    Unit(SPECTRUM, CHECK, "condition with date", "condition", "Seen last"),
    Unit(SPECTRUM, CHECK, "condition note", "look", "Remark"),
    Unit(SPECTRUM, CHECK, "completeness", "look", "Complete"),
    Unit(SPECTRUM, CHECK, "hazards and handling", "handling", "Clean, dry hands"),
    Unit(SPECTRUM, CHECK, "storage and environment now", "book", "Kept in"),
    Unit(SPECTRUM, CHECK, "images", "photographs", "Taken"),
    Unit(SPECTRUM, CHECK, "checks before", "looks", "Named in it"),
    Unit(SPECTRUM, CHECK, "next check", "hand", "Next check"),
    Unit(SPECTRUM, CARE, "method and materials", "work", "Materials"),
    Unit(SPECTRUM, CARE, "person", "work", "By whom"),
    Unit(SPECTRUM, CARE, "authoriser", "hand", "Agreed with, and when"),
    Unit(SPECTRUM, CARE, "result", "work", "Changed anything, as claimed"),
    Unit(SPECTRUM, CARE, "link to checks before and after", "work", "Next look"),
    Unit(ECCO, "Code of Ethics, 10", "record of examination", "look", "Examiner"),
    Unit(ECCO, "Code of Ethics, 10", "record of intervention", "work", "Heading"),
    Unit(ECCO, "Code of Ethics, 10", "pictures", "photographs", "Light"),
    # A comic book.
    Unit(OURS, "identity", "number", "book", "Number"),
    Unit(OURS, "identity", "variant", "book", "Variant"),
    Unit(OURS, "identity", "printing", "book", "Printing"),
    Unit(OURS, "identity", "holder number", "book", "Sealed holder"),
    Unit(OURS, "dimensions", "height", "look", "Height"),
    Unit(OURS, "dimensions", "width", "look", "Width"),
    Unit(OURS, "dimensions", "thickness", "look", "Thickness at the spine"),
    Unit(OURS, "dimensions", "mass", "look", "Weight"),
    Unit(OURS, "dimensions", "page count", "look", "Pages without the cover"),
    Unit(OURS, "dimensions", "at which points", "look", "At which points height and width"),
    Unit(OURS, "dimensions", "uncertainty", "unknown", "How exact the measures are"),
    Unit(OURS, "look", "place of the look", "hand", "Where it was looked at"),
    Unit(OURS, "look", "presents as", "look", "Presents as"),
    Unit(OURS, "look", "sides looked at", "look", "Faces looked at"),
    Unit(OURS, "look", "technical grade", "look", "Technical grade"),
    Unit(OURS, "parts", "defects by side", "condition", "Back"),
    Unit(OURS, "parts", "position", "condition", "Place"),
    Unit(OURS, "parts", "size", "condition", "Size"),
    Unit(OURS, "parts", "staples counted", "look", "Staples"),
    Unit(OURS, "parts", "rust on staples", "look", "Rust on staples"),
    Unit(OURS, "parts", "note on a defect", "condition", "Note"),
    Unit(OURS, "parts", "claims of others apart", "condition", "Claimed by others, not seen here"),
    Unit(OURS, "parts", "whose claim", "condition", "Claimed by"),
    Unit(OURS, "identity", "marks asked for", "marks", "At least three marks"),
    Unit(OURS, "parts", "colour broken", "condition", "Breaks colour"),
    Unit(OURS, "parts", "photograph of it", "condition", "Photograph"),
    Unit(OURS, "parts", "since when", "condition", "Known since"),
    Unit(OURS, "parts", "what has gone", "condition", "Looked for and gone"),
    Unit(OURS, "parts", "sides of which nothing is recorded", "condition", "No defect recorded"),
    Unit(OURS, "paper", "tone", "look", "Paper tone"),
    Unit(OURS, "paper", "brittleness", "look", "Paper suppleness"),
    Unit(OURS, "paper", "odour", "look", "Odour"),
    Unit(OURS, "treatment", "steps in order", "work", "Step 1: Hot press, dry"),
    Unit(OURS, "treatment", "settings", "work", "Settings"),
    Unit(OURS, "treatment", "tool", "work", "Tool"),
    Unit(OURS, "treatment", "areas", "work", "Places"),
    Unit(OURS, "treatment", "defects worked on", "work", "Defects worked on"),
    Unit(OURS, "treatment", "tests", "hand", "Tests made before work"),
    Unit(OURS, "treatment", "composition", "hand", "Composition of materials"),
    Unit(OURS, "treatment", "batch", "work", "Materials"),
    Unit(OURS, "treatment", "outcome of each defect", "work", "Defects worked on, as said right after"),
    Unit(OURS, "treatment", "time of hands", "work", "Hands at work"),
    Unit(OURS, "treatment", "cut off or gone wrong", "work", "How it ended"),
    Unit(OURS, "treatment", "waste kept", "hand", "Parts and waste kept"),
    Unit(OURS, "treatment", "can it be undone", "work", "Reversible"),
    Unit(OURS, "treatment", "how it is detected", "work", "Detectable by"),
    Unit(OURS, "treatment", "record that is due", "work", "Record such a step should have"),
    Unit(OURS, "treatment", "opening of a holder", "work", "Openings of a holder"),
    Unit(OURS, "signature", "signature", "hand", "Signature and date"),
    Unit(OURS, "photographs", "digest as it came", "photographs", "As it came"),
    Unit(OURS, "ledger", "size", "ledger", "Entries"),
    Unit(OURS, "ledger", "root", "ledger", "Root over all entries"),
    Unit(OURS, "ledger", "checkpoint", "ledger", "Last checkpoint"),
    Unit(OURS, "silence", "what came before", "unknown", "What was done to it before it came"),
)  # fmt: skip
AT_LEAST: Final = {AIC: {"24", "25", "26", "27", "28"}, SPECTRUM: {CHECK, CARE}, ECCO: {"Code of Ethics, 10"}}
"""The sections that are gone through."""


def names_in(section: Section) -> Iterator[str]:
    """Everything in a part under which something can stand: names of facts, heads and first cells, titles, sentences."""
    for block in section.blocks:
        match block:
            case Facts(rows, title):
                yield from (title, *(name for name, _ in rows))
            case Table(title, head, rows):
                yield from (title, *head, *(row[0] for row in rows))
            case Words(lines, title):
                yield from (title, *lines)
            case Photographs(shown):
                yield from (name for each in shown for name, _ in each.rows)
            case Lines(names):
                yield from names


@pytest.fixture
def sections(ledger: Ledger, shelf: Shelf) -> dict[str, Section]:
    """The parts of the report of a book of which much is known."""
    of = condition_report(ledger, OWNER, a_known_book(shelf, ledger))
    files = {seq: f"{seq}.jpg" for seq in report_pictures(ledger, OWNER, of, 480)}
    return {each.id: each for each in report_told(of, files)}


def has_place(unit: Unit, sections: dict[str, Section]) -> bool:
    """Whether the unit stands where it is said to: under that name, or in a sentence that begins so."""
    part = sections.get(unit.part)
    return part is not None and any(
        name == unit.name or (" " in unit.name and name.startswith(unit.name)) for name in names_in(part)
    )


def test_every_unit_that_is_asked_for_has_a_place(sections: dict[str, Section]) -> None:
    without = [unit for unit in UNITS if not has_place(unit, sections)]
    assert not without, "\n".join(f"{each.document} {each.section}: {each.unit}" for each in without)


def test_a_unit_without_a_place_would_be_found(sections: dict[str, Section]) -> None:
    for unit in UNITS:
        assert not has_place(unit._replace(part="nowhere"), sections)
        assert not has_place(unit._replace(name="Colour of the sky"), sections)


def test_every_section_of_the_documents_is_gone_through() -> None:
    for document, asked in AT_LEAST.items():
        assert {each.section for each in UNITS if each.document == document} == asked


def test_what_the_ledger_has_no_field_for_is_a_line_to_fill_in(sections: dict[str, Section]) -> None:
    on_paper = {each.name for each in UNITS if each.part == "hand"}
    assert on_paper == {t(f"report.hand.{name}") for name in BY_HAND}


def test_every_part_of_the_report_answers_somebody() -> None:
    assert {each.part for each in UNITS} == {
        "book", "look", "condition", "marks", "grades", "earlier", "work", "looks", "photographs", "handling", "unknown",
        "hand", "ledger",
    }  # fmt: skip
