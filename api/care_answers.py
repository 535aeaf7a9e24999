"""Care as it is asked for and answered: what is due, counts, what is planned."""

from datetime import date
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from api.queries import Asked
from api.schemas import Answer
from ledger.care_due import Ahead, Care, Planned
from ledger.events.count import Result
from ledger.events.placement import PLACE_MOST, Around, Material
from ledger.usecases.care import CARE_MOST, PLANNED_MOST, CareFound, DueOf
from ledger.usecases.record import ACT_MOST
from ledger.when import When

__all__ = ["CareAsked", "CareList", "CountBody", "PlannedBody", "PlannedList", "told_care", "told_planned"]


class Body(BaseModel):
    """Nothing but what is named."""

    model_config = ConfigDict(extra="forbid")


class CareAsked(Asked):
    """Which books are looked through."""

    place: Annotated[str, Field(max_length=PLACE_MOST)] | None = Field(
        None, description="Name of a box, safe or wall; left out, all places.", examples=["Box 3"]
    )


class CountBody(Body):
    """Books that were counted with the same result."""

    books: list[str] = Field(min_length=1, max_length=ACT_MOST, description="Ids of the books, each once.")
    result: Result = Field(Result.FOUND, description="What the count found.")
    on: When | None = Field(None, description="When. EDTF; null is not known.")


class PlannedItem(Body):
    """Something that is to be done with a book on a day."""

    what: Ahead = Field(description="A move, a press or a trip.")
    on: date = Field(description="On which day. Units: ISO 8601 date.")


class PlannedBody(Body):
    """All that is planned for a book."""

    planned: list[PlannedItem] = Field(max_length=PLANNED_MOST, description="In any order; empty for nothing.")


class PlannedTold(Answer):
    """Something that is to be done with a book on a day."""

    what: Ahead = Field(description="A move, a press or a trip.")
    on: date = Field(description="On which day. Units: ISO 8601 date.")


class PlannedList(Answer):
    """All that is planned for a book; it lies beside the ledger."""

    planned: list[PlannedTold] = Field(description="By day.")


class DueAnswer(Answer):
    """One thing that a book is due."""

    book: str = Field(description="Id of the book.")
    title: str = Field(description="Series title.")
    number: str = Field(description="Its number.")
    place: str | None = Field(description="Where it is; null where that has no name.")
    care: Care = Field(description="What is due.")
    on: date | None = Field(description="From which day; null: it is due, and no day is known. Units: ISO 8601 date.")
    since: str | None = Field(description="What the day is counted from. EDTF; null is not known.")
    around: Around | None = Field(description="What it is kept in, of a housing.")
    material: Material | None = Field(description="What that is made of.")
    ahead: Ahead | None = Field(description="What it is to be looked at before.")
    before: date | None = Field(description="And on which day that is. Units: ISO 8601 date.")
    by_table: bool = Field(
        description="The day follows from an interval of the table `care`, our assumption; nobody fixed it."
    )


class CareList(Answer):
    """What is due, sooner and later."""

    dues: list[DueAnswer] = Field(description="Those without a day first, then by day.")
    books: int = Field(description="How many books were looked through.")
    further: bool = Field(description=f"There are more than the {CARE_MOST} that are looked through; ask by place.")


def told_care(found: CareFound) -> CareList:
    """What was found."""
    return CareList(dues=list(map(_due, found.dues)), books=len(found.books), further=found.further)


def told_planned(planned: tuple[Planned, ...]) -> PlannedList:
    """What is planned."""
    return PlannedList(planned=[PlannedTold(what=each.what, on=each.on) for each in planned])


def _due(each: DueOf) -> DueAnswer:
    due, row = each.due, each.row
    return DueAnswer(
        book=row.book,
        title=row.title,
        number=row.number,
        place=row.place,
        care=due.care,
        on=due.on,
        since=due.since,
        around=due.around,
        material=None if due.material is None else Material(due.material),
        ahead=due.ahead,
        before=due.before,
        by_table=due.by_table,
    )
