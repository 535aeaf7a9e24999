"""A recipe as it is answered whole: its states, each time a book was worked by it, and what that came to."""

from collections.abc import Mapping

from pydantic import Field

from api.book_answers import Date, HeatAnswer, heat_fields
from api.routes.bench import RecipeAnswer, recipe_answer
from api.schemas import Answer
from ledger.bench import State
from ledger.events._parts import Defect
from ledger.events.examination import Suppleness, Tone
from ledger.looks import RESTED_HOURS, Change
from ledger.proof.envelope import moment_text
from ledger.rules.sizes import eras
from ledger.tallies import FEW, Tally, by_passage, by_type
from ledger.usecases.recipes import RecipeLook
from ledger.worked import Passage, Standing

__all__ = ["RecipeWhole", "recipe_whole"]


class StateAnswer(Answer):
    """A recipe as it stood before."""

    number: int = Field(description="Number of the state.")
    name: str = Field(description="What it was called then.")
    made: str = Field(description="When it was kept so. Units: UTC.")
    steps: list[dict[str, str]] = Field(description="Each step's fields.")


class OutcomeAnswer(Answer):
    """One defect that was worked."""

    defect: Defect = Field(description="The defect as it was known before the work.")
    change: Change | None = Field(
        description="What the look after a rest found against that; null where other work reached it too."
    )


class PassageAnswer(Answer):
    """One time a book was worked by the recipe, from its first step to the last that was told."""

    book: str = Field(description="Id of the book.")
    on: Date = Field(description="When its first step happened, in EDTF; null is not known.")
    entries: list[int] = Field(description="The entries in force that tell of it.")
    states: list[int] = Field(
        description="By which states of the recipe it was worked; more than one: adjusted on the way."
    )
    places: list[int] = Field(description="Numbers of the steps that were told, from 0.")
    steps: int = Field(description="Of how many steps.")
    early: list[int] = Field(description="Numbers of the steps that came out before their time, from 0.")
    standing: Standing = Field(description="How much is known of what it came to.")
    era: str | None = Field(description="Id of a row of the table sizes, by cover date; null is not known.")
    tone: Tone | None = Field(description="Tone of the paper as last said before, or else first said after.")
    suppleness: Suppleness | None = Field(description="Suppleness of the paper, as the tone.")
    heat: HeatAnswer | None = Field(description="What its heat did to the paper; null where no entry is in force.")
    look: int | None = Field(description="The entry of the look that counts; null while there is none.")
    named: bool = Field(
        description="Its entries name the defects; where not, those count that were there and broke no colour."
    )
    worked: list[Defect] = Field(description="The defects that were worked, as they were known before.")
    outcomes: list[OutcomeAnswer] = Field(
        description="What the look that counts found: the defects that were worked and were known before."
    )
    new: list[Defect] = Field(description="Defects first seen since, up to that look.")


class TallyAnswer(Answer):
    """Some of it, counted."""

    key: str | None = Field(description="What they have in common; null: all of them, or not known.")
    times: int = Field(description="How often a book was worked.")
    books: int = Field(description="How many books those were.")
    seen: int = Field(description="Defects that the look after a rest saw and that no other work had reached.")
    changes: dict[Change, int] = Field(description="What became of those.")
    few: bool = Field(description="They are fewer than `few_most`, and say little.")
    unseen: int = Field(description="Defects worked and not looked at then.")
    shared: int = Field(description="Defects that other work reached too.")
    waiting: int = Field(description="Times of which the look after a rest is still to come.")
    overtaken: int = Field(description="Times after which the book was worked on again before such a look.")
    left: int = Field(description="Times after which the book left the collection before such a look.")


class RecipeWhole(RecipeAnswer):
    """A recipe with all that was done by it, read from the entries as they are in force."""

    earlier: list[StateAnswer] = Field(description="How it stood before, as far as somebody worked by it then.")
    under_way: int = Field(description="Loads that are in now.")
    called_off: int = Field(description="Loads that never went in.")
    rest_hours_needed: int = Field(description="How long a rest is. Units: h.")
    few_most: int = Field(description="Fewer defects than this are few. Our assumption.")
    in_all: TallyAnswer = Field(description="All of it.")
    by_type: list[TallyAnswer] = Field(description="By id of a row of the table defects.")
    by_era: list[TallyAnswer] = Field(description="By id of a row of the table sizes.")
    by_tone: list[TallyAnswer] = Field(description="By tone of the paper.")
    by_suppleness: list[TallyAnswer] = Field(description="By suppleness of the paper.")
    passages: list[PassageAnswer] = Field(description="Each time, in the order in which they were begun.")


def recipe_whole(look: RecipeLook) -> RecipeWhole:
    """A recipe as it is answered whole."""
    recipe, passages = look.recipe, look.passages
    return RecipeWhole(
        **recipe_answer(recipe).model_dump(),
        earlier=[_state(each) for each in recipe.earlier],
        under_way=look.loads,
        called_off=recipe.called_off,
        rest_hours_needed=RESTED_HOURS,
        few_most=FEW,
        in_all=_tally(look.in_all),
        by_type=[_tally(each) for each in by_type(passages)],
        by_era=[_tally(each) for each in by_passage(passages, lambda one: one.paper.era, tuple(eras()))],
        by_tone=[_tally(each) for each in by_passage(passages, lambda one: one.paper.tone, tuple(Tone))],
        by_suppleness=[
            _tally(each) for each in by_passage(passages, lambda one: one.paper.suppleness, tuple(Suppleness))
        ],
        passages=[_passage(each) for each in passages],
    )


def _state(each: State) -> StateAnswer:
    return StateAnswer(
        number=each.number,
        name=each.name,
        made=moment_text(each.made),
        steps=[dict(step.values) for step in each.steps],
    )


def _passage(each: Passage) -> PassageAnswer:
    said: Mapping[str, object] = {
        "book": each.book,
        "on": each.on,
        "entries": list(each.entries),
        "states": list(each.states),
        "places": [run.place for run in each.runs],
        "steps": each.steps,
        "early": [run.place for run in each.runs if run.early],
        "standing": each.standing,
        "era": each.paper.era,
        "tone": each.paper.tone,
        "suppleness": each.paper.suppleness,
        "heat": None if each.heat is None else heat_fields(each.heat),
        "look": each.look,
        "named": each.named,
        "worked": list(each.worked),
        "outcomes": [OutcomeAnswer(defect=one.defect, change=one.change) for one in each.outcomes],
        "new": list(each.new),
    }
    return PassageAnswer.model_validate(said)


def _tally(each: Tally) -> TallyAnswer:
    return TallyAnswer(
        key=each.key,
        times=each.times,
        books=each.books,
        seen=each.seen,
        changes=dict(each.changes),
        few=each.few,
        unseen=each.unseen,
        shared=each.shared,
        waiting=each.waiting,
        overtaken=each.overtaken,
        left=each.left,
    )
