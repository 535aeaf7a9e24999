"""The defects that were seen before, each to be found again: as it was, less, worse, gone, or come back."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.errors import Problem
from ledger.events._parts import Defect
from ledger.looks import looks_of
from ledger.measured import NATURAL_MM
from ledger.proof.canonical import Plain
from ledger.rules.defects import DefectType, defect_types
from ledger.usecases.look import BookLook
from web.condition_lines import measures_of
from web.form_fields import Group
from web.form_inputs import inputs_of
from web.form_reading import Typed
from web.form_values import Habits
from web.look_steps import Step, faces_of
from web.wording import t

__all__ = [
    "ANSWERS",
    "Found",
    "Known",
    "answer_of",
    "answers_for",
    "found_again",
    "known_at",
    "known_of",
    "problems_of",
    "typed_of",
]

MEASURES: Final = ("size_mm", "count", "share_percent")
ANSWERS: Final = ("same", "less", "worse", "gone", "back")


@dataclass(frozen=True, kw_only=True)
class Known:
    """A defect as it was seen last, with the place where it lies even if the last look did not say that."""

    defect: Defect
    kind: DefectType | None
    seen_by: int

    @property
    def id(self) -> str:
        """Its id, which it keeps."""
        return self.defect.id

    @property
    def at(self) -> str:
        """What stands before the names of its fields."""
        return f"known.{self.id}."

    @property
    def measured_by(self) -> tuple[str, ...]:
        """The fields it is measured in."""
        return tuple(each for each in MEASURES if self.kind is not None and each in self.kind.measured_by)

    @property
    def words(self) -> str:
        """What it is, and how much of it there was."""
        title = self.kind.title if self.kind else self.defect.type
        measures = measures_of(self.defect)
        return t("look.known.measured", type=title, measures=measures) if measures else title


def known_of(look: BookLook) -> tuple[Known, ...]:
    """Every defect that a look before this one named."""
    looks = looks_of(look.moments)
    placed = {each.defect.id: each for each in looks[-1].seen} if looks else {}
    kinds = {each.id: each for each in defect_types()}
    found = []
    for each in look.book.defects.values():
        seen = placed.get(each.id)
        region = each.region or (seen.defect.region if seen else None)
        defect = replace(each, region=region)
        found.append(Known(defect=defect, kind=kinds.get(each.type), seen_by=seen.seen_by if seen else 0))
    return tuple(found)


def known_at(known: Sequence[Known], step: Step) -> tuple[Known, ...]:
    """Those of one step: first what should be there, then what had gone."""
    own = [each for each in known if each.defect.face in faces_of(step)]
    return tuple(sorted(own, key=lambda each: each.defect.gone))


def answers_for(known: Known) -> tuple[str, ...]:
    """What can be said of it; what has no measure is there or it is not, and what others claim is only seen."""
    if known.defect.claimed_by is not None:
        return ("same",)
    if known.defect.gone:
        return ("gone", "back")
    return ("same", "less", "worse", "gone") if known.measured_by else ("same", "gone")


def answer_of(known: Known, typed: Typed) -> str:
    """What was answered; where nothing was, what was said of all the rest."""
    said = "".join(typed.get(f"{known.at}is", ())[:1])
    if said in answers_for(known):
        return said
    rest = typed.get(f"rest.{_step(known)}") == ("same",)
    return "same" if rest and not known.defect.gone and known.defect.claimed_by is None else ""


def typed_of(known: Known, row: Group, habits: Habits) -> Typed:
    """What would have to be typed for it as it was; a note and a photograph are of one look alone."""
    defect = known.defect
    plain: dict[str, Plain] = {name: getattr(defect, name) for name in MEASURES}
    plain["breaks_colour"] = defect.breaks_colour.value
    plain["region"] = dict(vars(defect.region)) if defect.region else None
    made = inputs_of(row.parts, plain, habits, known.at)
    return {name: values for name, values in made.items() if "".join(values)}


@dataclass(frozen=True, kw_only=True)
class Found:
    """One known defect as this look found it, in the words of the form of an examination."""

    known: Known
    typed: Typed
    """By the names of a row, without what stands before them."""


def found_again(known: Known, typed: Typed) -> Found | None:
    """None where nobody looked for it."""
    answer = answer_of(known, typed)
    if not answer:
        return None
    own = {name.removeprefix(known.at): values for name, values in typed.items() if name.startswith(known.at)}
    own.pop("is", None)
    for name in (*MEASURES, "breaks_colour"):
        if name not in known.measured_by and (value := getattr(known.defect, name)) is not None:
            own.setdefault(name, (str(value),))
    said: dict[str, tuple[str, ...]] = {
        "id": (known.id,),
        "type": (known.defect.type,),
        "face": (known.defect.face.value,),
    }
    if answer == "gone":
        kept = {name: values for name, values in own.items() if name in ("note", "photograph", "breaks_colour")}
        return Found(known=known, typed={**said, **kept, "gone": ("yes",)})
    return Found(known=known, typed={**own, **said})


def problems_of(known: Known, typed: Typed) -> tuple[Problem, ...]:
    """What is less has a smaller measure than before, what is worse a larger one, and what is as before neither."""
    answer = answer_of(known, typed)
    said = ((name, getattr(known.defect, name), _typed(typed, known, name)) for name in known.measured_by)
    steps = {name: (before, _step_of(name, before, now)) for name, before, now in said}
    told = {name: step for name, (_, step) in steps.items() if step is not None}
    broken_now = typed.get(f"{known.at}breaks_colour") == ("yes",)
    if answer not in _MEANS or not told or (answer == "worse" and broken_now and known.defect.breaks_colour != "yes"):
        return ()
    if (answer == "same" and not any(told.values())) or _MEANS[answer] in set(told.values()) - {0}:
        return ()
    name = next(iter(told))
    sentence = t(f"look.known.wrong.{answer}", before=steps[name][0])
    return (Problem(field=f"{known.at}{name}", sentence=sentence),)


_MEANS: Final = {"less": -1, "worse": 1, "same": 0}


def _step_of(name: str, before: object, typed: str) -> int | None:
    """1 for more, -1 for less, 0 for the same; None where one of them is no number."""
    try:
        by = Decimal(typed) - Decimal(str(before))
    except InvalidOperation:
        return None
    if name == "size_mm" and abs(by) < NATURAL_MM and by:
        return 0
    return (by > 0) - (by < 0)


def _typed(typed: Typed, known: Known, name: str) -> str:
    return "".join(typed.get(f"{known.at}{name}", ())[:1]).strip().replace(",", ".")


def _step(known: Known) -> str:
    return next((each.value for each in Step if known.defect.face in faces_of(each)), "")
