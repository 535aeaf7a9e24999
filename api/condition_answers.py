"""The looks at a book as they are answered, each held against the one before."""

from typing import Literal

from pydantic import Field

from api.book_answers import EntryPart, Part
from api.schemas import Answer
from ledger.events._parts import Defect, Light, Mark
from ledger.looks import RESTED_HOURS, Change, LookSeen
from ledger.measured import NATURAL_MM, NATURAL_SOURCE, Measured
from ledger.rules.grades import Grade

_STEPS = {None: None, 0: "same", 1: "more", -1: "less"}
_WORDS = ("completeness", "tone", "suppleness", "odour")


class SeenAnswer(Part):
    """One defect as it was known after a look."""

    defect: Defect = Field(description="The defect; one that the look did not name is as it was last seen.")
    change: Change = Field(description="What the look changed about it, against what was known before.")
    seen_by: int = Field(ge=1, description="The entry of the look that saw it last.")


class MarkAnswer(Part):
    """One mark of this copy as it was known after a look."""

    mark: Mark = Field(description="The mark.")
    seen_by: int = Field(ge=1, description="The entry of the look that saw it last.")


class MeasuredAnswer(Answer):
    """One thing a look says of the whole book, and what was said of it the last time before."""

    name: str = Field(description="A field of the examination; its unit stands in the name.")
    value: str | None = Field(description="What this look says. Units: as the name says. Null: it does not say it.")
    before: str | None = Field(description="What was said before. Units: as the name says. Null: nothing.")
    before_entry: int | None = Field(description="The entry that said it before.")
    change: Literal["same", "more", "less", "other"] | None = Field(
        description="Numbers and grades are more or less, words other; null where there is nothing to compare."
    )


class LookSeenAnswer(EntryPart):
    """One examination, held against what was known before it."""

    through_holder: bool = Field(description="The holder stayed closed.")
    lights: list[Light] = Field(description="Lights used.")
    presents_as: Grade | None = Field(description="The grade the book looks like at arm's length.")
    rest_hours: int | None = Field(description="Rest since the last work. Units: h. Null is not known.")
    rested: bool = Field(description="It had rested for as long as `rest_hours_needed` says.")
    work: list[int] = Field(description="Entries of the steps of work since the look before.")
    measured: list[MeasuredAnswer] = Field(description="What it says of the whole book.")
    questions: list[str] = Field(description="Measures that changed and should be taken again: height_mm, width_mm.")
    defects: list[SeenAnswer] = Field(description="Every defect known after it, those that are gone among them.")
    marks: list[MarkAnswer] = Field(description="Every mark of this copy known after it.")


class ConditionAnswer(Answer):
    """The looks at a book, in the order of happening."""

    book: str = Field(description="Id of the book.")
    counting: int | None = Field(
        description="The look that counts for what work came to: the last one after a rest, with no work since."
    )
    due: bool = Field(
        description="Work was done, no look after a rest has followed it yet, and the book is still in the collection."
    )
    see_again: list[str] = Field(description="Ids of the defects to see again then, since they may have come back.")
    rest_hours_needed: int = Field(description="How long a rest is. Units: h.")
    natural_mm: str = Field(description="A length that differs by less is the same. Units: mm.")
    natural_source: str = Field(description="Who says so.")
    looks: list[LookSeenAnswer] = Field(description="The looks; empty where nobody has looked at it.")


def condition(
    book: str, looks: tuple[LookSeen, ...], counting: LookSeen | None, again: tuple[str, ...] | None
) -> ConditionAnswer:
    """The looks as they are answered."""
    return ConditionAnswer(
        book=book,
        counting=None if counting is None else counting.seq,
        due=again is not None,
        see_again=list(again or ()),
        rest_hours_needed=RESTED_HOURS,
        natural_mm=str(NATURAL_MM),
        natural_source=NATURAL_SOURCE,
        looks=[_look(each) for each in looks],
    )


def _look(look: LookSeen) -> LookSeenAnswer:
    event = look.event
    return LookSeenAnswer.model_validate(
        {
            "seq": look.seq,
            "on": look.on,
            "through_holder": event.through_holder,
            "lights": list(event.lights),
            "presents_as": event.presents_as,
            "rest_hours": event.rest_hours,
            "rested": look.rested,
            "work": list(look.work),
            "measured": [_measured(each) for each in look.measured],
            "questions": list(look.questions),
            "defects": list(look.seen),
            "marks": list(look.marks),
        }
    )


def _measured(said: Measured) -> dict[str, object]:
    change = "other" if said.step and said.name in _WORDS else _STEPS[said.step]
    return {
        "name": said.name,
        "value": said.value,
        "before": said.before,
        "before_entry": said.before_seq,
        "change": change,
    }
