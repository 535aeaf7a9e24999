"""A book as it is answered: its line in the list, and its whole state."""

from dataclasses import asdict
from decimal import Decimal
from typing import Annotated

from pydantic import BeforeValidator, ConfigDict, Field

from api.schemas import Answer, Moment
from ledger.book import Book
from ledger.dose import Heat
from ledger.errors import DamagedError
from ledger.events._parts import Defect, Issue, Mark, StatedGrade
from ledger.proof.envelope import moment_text
from ledger.rules.grades import Grade, grades
from ledger.rules.headings import Heading
from ledger.views import BookRow
from ledger.when import When


def _text(when: When | None) -> str | None:
    return None if when is None else str(when)


Date = Annotated[str | None, BeforeValidator(_text)]


class Part(Answer):
    """A part of a book's state; it is taken over from the part of the same name."""

    model_config = ConfigDict(from_attributes=True, extra="ignore")


class EntryPart(Part):
    """A part that one entry says."""

    entry: int = Field(ge=1, validation_alias="seq", description="The entry that says it.")
    on: Date = Field(description="When it happened, in EDTF; null is not known.")


class BookLine(Answer):
    """One book in a line."""

    id: str = Field(description="Its id.")
    no: int = Field(ge=1, description="Its number in the collection.")
    status: str = Field(description="Where it stands with the collection.")
    title: str = Field(description="Series title.")
    number: str = Field(description="Number of the issue, as printed.")
    start_year: int | None = Field(description="Year in which the series started.")
    publisher: str | None = Field(description="Publisher.")
    cover_date: str | None = Field(description="Cover date, in EDTF.")
    holding: str | None = Field(description="raw, slabbed or not stated.")
    holder_number: str | None = Field(description="Number on the holder, while it is in one.")
    grade_as_written: str | None = Field(description="The stated grade in force, as it was written.")
    grade: str | None = Field(description="The highest step it means on the ten-point scale.")
    heading: str | None = Field(description="Highest heading of the work done here; null when none was done.")
    spot: str | None = Field(description="The kind of spot it is in.")
    on_bench: bool = Field(description="It is raw, here, and the last choice was to go on working.")
    cover: str | None = Field(description="SHA-256 of the clean copy of its newest front photograph.")
    state: str = Field(description="One line that says what it is doing now.")
    entries: int = Field(ge=1, description="Number of entries of its chain; its tag.")
    since: str | None = Field(description="When it came into the collection, in EDTF, as far as known.")


class BookList(Answer):
    """Books of the collection, in the order asked for."""

    books: list[BookLine] = Field(description="The books.")
    nearest: list[str] = Field(
        [], description="Where the words asked for are found nowhere: the titles most like them, the likest first."
    )


class GradeAnswer(EntryPart):
    """One grade in a book's history."""

    stated: StatedGrade = Field(description="What was said.")
    holder_number: str | None = Field(description="Number on the holder it was said on.")
    own_submission: bool = Field(description="It came back from a submission recorded here.")
    ended_by: int | None = Field(description="The entry that ended its force; null while it is in force.")


class OwnershipAnswer(Part):
    """One time the book was in the collection."""

    taken_by: int = Field(ge=1, description="The entry that brought it in.")
    since: Date = Field(description="From when, in EDTF; null is not known.")
    left_by: int | None = Field(description="The entry that took it out; null while it is here.")
    until: Date = Field(description="Until when, in EDTF; null is not known, or not yet.")


class WorkAnswer(EntryPart):
    """One step of work done here."""

    technique: str = Field(description="The technique, by its row in the table of techniques.")
    heading: Heading = Field(description="The heading its material facts give.")
    changed_anything: bool | None = Field(description="It changed something, as said right after; null is not known.")
    ended: str | None = Field(description="as planned, cut off or gone wrong; null is not said.")
    disagreement: str | None = Field(description="What the owner holds instead, beside the heading.")


class SentAnswer(Part):
    """One submission of the book."""

    batch: str = Field(description="Id of the batch.")
    entry: int = Field(ge=1, validation_alias="seq", description="The entry that sent it.")
    stage: str = Field(description="How far it has come.")
    by_seller: bool = Field(description="Its seller sent it, straight to the service, before it was ever here.")
    ended_by: int | None = Field(description="The entry of its outcome; null while it is open.")


class LookAnswer(EntryPart):
    """The last examination."""

    presents_as: Grade | None = Field(description="The grade the book looks like at arm's length.")
    technical: Grade | None = Field(description="The grade by its defects, counted from near.")
    rest_hours: int | None = Field(description="Rest since the last work. Units: h. Null is not known.")
    rest_from_dates: bool = Field(description="The look leaves its rest open, and the dates tell it.")


class HeatAnswer(Part):
    """All heat it had here, as days at 20 degrees and 50 per cent: an index to compare by, no forecast."""

    low_days: str | None = Field(
        description="The least; null where no session can be told. Units: days.", examples=["0.014"]
    )
    middle_days: str | None = Field(description="The middle. Units: days.", examples=["1.6"])
    high_days: str | None = Field(description="The most. Units: days.", examples=["8.2"])
    sessions: int = Field(ge=0, description="Steps of work with heat.")
    untold: int = Field(ge=0, description="Those of them whose figures are missing, which are not in the sum.")
    without_cooling: int = Field(ge=0, description="Those of them of which only the hold is in the sum.")


class BookState(BookLine):
    """One book as its entries in force leave it."""

    issue: Issue | None = Field(description="The issue, as now known.")
    grades: list[GradeAnswer] = Field(description="Every grade stated of it, the newest last.")
    ownerships: list[OwnershipAnswer] = Field(description="Every time it was in the collection, the newest last.")
    openings: int = Field(ge=0, description="How often it was taken out of a sealed holder.")
    defects: list[Defect] = Field(
        description="Its defects as last seen, those that are gone among them; one with `claimed_by` nobody here has seen."
    )
    marks: list[Mark] = Field(description="Marks by which this copy can be known again.")
    last_look: LookAnswer | None = Field(description="The last examination.")
    work: list[WorkAnswer] = Field(description="Work done here, in the order of happening.")
    heat: HeatAnswer = Field(description="What the heat of that work did to the paper.")
    submissions: list[SentAnswer] = Field(description="Submissions, the newest last.")
    choice: str | None = Field(description="The last choice: go on, stop or leave alone.")
    placed_on: Date = Field(description="Since when it is where it is, in EDTF; null is not known.")
    missing_since: int | None = Field(description="The count that did not find it; null while it is not missing.")
    valuations: list[int] = Field(description="Entries of its valuations.")
    outlooks: list[int] = Field(description="Entries of its outlooks.")
    disclosures: list[int] = Field(description="Entries of the disclosure records made of it.")
    photographs: list[str] = Field(description="SHA-256 of the clean copy of each photograph.")
    earlier_work: str | None = Field(description="What the seller said on work done before.")
    same_as: str | None = Field(description="The book it is the same copy as, when it was withdrawn as a duplicate.")
    last_recorded: Moment | None = Field(description="When its last entry was written down, UTC.")


FROM_BOOK = (
    "issue",
    "grades",
    "ownerships",
    "openings",
    "last_look",
    "work",
    "submissions",
    "choice",
    "placed_on",
    "missing_since",
    "valuations",
    "outlooks",
    "disclosures",
    "photographs",
    "earlier_work",
    "same_as",
)
"""What a state takes over from the book by the same name."""


def line(row: BookRow) -> BookLine:
    """A book in a line."""
    return BookLine.model_validate(_line(row))


def state(row: BookRow, book: Book, heat: Heat) -> BookState:
    """A book with everything its entries in force say."""
    return BookState.model_validate(
        {
            **_line(row),
            **{name: getattr(book, name) for name in FROM_BOOK},
            "defects": list(book.defects.values()),
            "marks": list(book.marks.values()),
            "heat": heat_fields(heat),
            "last_recorded": moment_text(book.last_recorded) if book.last_recorded else None,
        }
    )


def _days(value: float) -> str:
    """Three figures, written out."""
    return f"{Decimal(f'{value:.3g}'):f}"


def heat_fields(heat: Heat) -> dict[str, object]:
    """The fields of a heat answer."""
    told = heat.sessions > heat.untold or not heat.sessions
    sums = {f"{each}_days": _days(getattr(heat.band, each)) if told else None for each in ("low", "middle", "high")}
    return {**sums, "sessions": heat.sessions, "untold": heat.untold, "without_cooling": heat.without_cooling}


def _line(row: BookRow) -> dict[str, object]:
    said = asdict(row)
    step = said.pop("grade_step")
    book = said.pop("book")
    if step is not None and not 0 <= step < len(grades()):
        problem = "its grade is no step of the scale"
        raise DamagedError(what=f"The row of book {book}", problem=problem, mend="Run verify, then rebuild.")
    return {**said, "id": book, "grade": None if step is None else grades()[step].text}
