"""The looks at a book as they are answered, each held against the one before."""

from typing import Literal

from pydantic import Field

from api.book_answers import EntryPart, Part
from api.schemas import Answer
from ledger.events._parts import Answer as YesNo
from ledger.events._parts import Defect, Face, Light, Mark
from ledger.looks import MARKS_ASKED, RESTED_HOURS, Change, LookSeen
from ledger.measured import NATURAL_MM, NATURAL_SOURCE, Measured
from ledger.rules.grades import Grade

_STEPS = {None: None, 0: "same", 1: "more", -1: "less"}
_WORDS = ("completeness", "staple_rust", "tone", "suppleness", "odour")


class SeenAnswer(Part):
    """One defect as it was known after a look."""

    defect: Defect = Field(
        description="The defect; one that the look did not name is as it was last seen, and place, note and photograph "
        "are the last that were said while it was on this face."
    )
    change: Change = Field(description="What the look changed about it, against what was known before.")
    in_small_steps: bool = Field(
        description="It is worse or lessened against `first_mm` alone: no step from look to look was more than natural."
    )
    first_mm: str | None = Field(
        description="The size small steps are counted from: the first, or the one at the last change told. Units: mm."
    )
    since: int = Field(ge=1, description="The entry of the look that saw it first.")
    seen_by: int = Field(ge=1, description="The entry of the look that saw it last.")


class ClaimAnswer(Part):
    """What somebody else claims of this copy, and no look here has seen: neither new nor missing."""

    defect: Defect = Field(description="The defect as it is claimed; `claimed_by` says by whom.")
    told_by: int = Field(ge=1, description="The entry that took the claim over.")
    looked_by: int | None = Field(
        description="The entry of the last look since that went over its face and did not name it; null where none did."
    )


class MarkAnswer(Part):
    """One mark of this copy as it was known after a look."""

    mark: Mark = Field(description="The mark; place and photograph are the last that were said of it on this face.")
    since: int = Field(ge=1, description="The entry of the look that saw it first.")
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
    first: str | None = Field(
        description="What was said the first time. Units: as the name says. Null: this look is the first, or none said it."
    )
    first_entry: int | None = Field(description="The entry that said it the first time.")
    change_from_first: Literal["same", "more", "less", "other"] | None = Field(
        description="The same as `change` against the first time, so that small steps that add up are seen."
    )


class LookSeenAnswer(EntryPart):
    """One examination, held against what was known before it."""

    through_holder: bool = Field(description="The holder stayed closed.")
    lights: list[Light] = Field(description="Lights used.")
    faces_looked_at: list[Face] = Field(description="Faces it went over as a whole; empty where that was not said.")
    presents_as: Grade | None = Field(description="The grade the book looks like at arm's length.")
    technical: Grade | None = Field(description="The grade by its defects, counted from near.")
    staples_counted: int | None = Field(description="Staples counted; null where they were not.")
    staple_rust: YesNo = Field(description="Whether staples have rust.")
    rest_hours: int | None = Field(description="Rest since the last work. Units: h. Null is not known.")
    rest_from_dates: bool = Field(
        description="The look leaves its rest open, and `rest_hours` is read from its date and that of the last work: "
        "24 hours for each day between two days, whole hours between two moments."
    )
    rested: bool = Field(description="It had rested for as long as `rest_hours_needed` says.")
    work: list[int] = Field(description="Entries of the steps of work since the look before.")
    measured: list[MeasuredAnswer] = Field(description="What it says of the whole book.")
    questions: list[str] = Field(
        description="Measures that should be taken again, since they changed from the last time or in all from the first: "
        "height_mm, width_mm."
    )
    defects: list[SeenAnswer] = Field(description="Every defect known after it, those that are gone among them.")
    claims: list[ClaimAnswer] = Field(description="What others claim and no look until then has seen.")
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
    marks_asked: int = Field(description="So many marks of a copy are asked for; fewer are never refused.")
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
        marks_asked=MARKS_ASKED,
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
            "faces_looked_at": list(event.faces_looked_at),
            **{name: getattr(event, name) for name in ("presents_as", "technical", "staples_counted", "staple_rust")},
            "rest_hours": look.rest_hours,
            "rest_from_dates": look.rest_from_dates,
            "rested": look.rested,
            "work": list(look.work),
            "measured": [_measured(each) for each in look.measured],
            "questions": list(look.questions),
            "defects": list(look.seen),
            "claims": list(look.claims),
            "marks": list(look.marks),
        }
    )


def _measured(said: Measured) -> dict[str, object]:
    return {
        "name": said.name,
        "value": said.value,
        "before": said.before,
        "before_entry": said.before_seq,
        "change": _change(said.name, said.step),
        "first": said.first,
        "first_entry": said.first_seq,
        "change_from_first": _change(said.name, said.slide),
    }


def _change(name: str, step: int | None) -> str | None:
    return "other" if step and name in _WORDS else _STEPS[step]
