"""The steps of a guided look, in the order in which hands turn a book, and what is typed at each of them."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from ledger.book import Book
from ledger.events._parts import Face, Holding
from ledger.events.examination import NOT_THROUGH_A_HOLDER
from web.form_reading import AS, TO, Typed

__all__ = [
    "ROWS",
    "STAPLES",
    "WHOLE",
    "Begun",
    "Step",
    "before",
    "faces_of",
    "merged",
    "next_to",
    "row_numbers",
    "steps_of",
    "whole_of",
]


class Step(StrEnum):
    """One screen of the look; all but the last are faces."""

    FRONT = "front"
    SPINE = "spine"
    BACK = "back"
    EDGES = "edges"
    INSIDE = "inside"
    STAPLES = "staples"
    WHOLE = "whole"


STAPLES: Final = ("staples_counted", "staple_rust")
"""Fields of the examination that are asked for at the staples."""
WHOLE: Final = (
    *("on", "rest_hours", "lights", "height_mm", "width_mm", "thickness_mm", "weight_g", "pages_counted"),
    *("completeness", "tone", "suppleness", "odour", "presents_as", "technical", "examiner", "remark"),
)
"""Fields of the examination that are asked for in the end."""
ROWS: Final = ("defects", "marks")
"""What there are rows of: new defects and new marks of this copy."""
_ROW: Final = re.compile(r"(defects|marks)\.(0|[1-9][0-9]{0,3})\.(.+)")
_CONTROLS: Final = frozenset({"step", "looked", "skipped", "key"})


@dataclass(frozen=True, kw_only=True)
class Begun:
    """A look as it stands: what was typed so far, which faces were looked at or left out, and where it goes on."""

    typed: Typed
    key: str
    step: Step = Step.FRONT
    looked: frozenset[str] = frozenset()
    skipped: frozenset[str] = frozenset()

    @classmethod
    def read(cls, fields: Sequence[tuple[str, str]]) -> "Begun":
        """As it was held."""
        typed: dict[str, tuple[str, ...]] = {}
        for name, value in fields:
            typed[name] = (*typed.get(name, ()), value)
        kept = {name: typed.pop(name, ()) for name in _CONTROLS}
        return cls(
            typed=typed,
            key="".join(kept["key"]),
            step=next((each for each in Step if (each.value,) == kept["step"]), Step.FRONT),
            looked=frozenset(kept["looked"]),
            skipped=frozenset(kept["skipped"]),
        )

    def fields(self) -> list[tuple[str, str]]:
        """As it is held."""
        controls = [("step", self.step.value), ("key", self.key)]
        controls += [("looked", each) for each in sorted(self.looked)]
        controls += [("skipped", each) for each in sorted(self.skipped)]
        return [*controls, *((name, value) for name, values in self.typed.items() for value in values)]

    def after(self, step: Step, *, looked: bool) -> "Begun":
        """The face was looked at, or left out."""
        one = frozenset({step.value})
        if looked:
            return replace(self, looked=self.looked | one, skipped=self.skipped - one)
        return replace(self, skipped=self.skipped | one, looked=self.looked - one)


def steps_of(book: Book, typed: Typed) -> tuple[Step, ...]:
    """The steps there are for this book: with the holder closed nobody sees the inside."""
    through = book.holding is Holding.SLABBED or (
        book.holding is not Holding.RAW and typed.get("through_holder") == ("yes",)
    )
    return tuple(each for each in Step if not (through and each is Step.INSIDE))


def whole_of(steps: Sequence[Step]) -> tuple[str, ...]:
    """The fields that are asked for in the end, as far as they can be told."""
    through = Step.INSIDE not in steps
    return tuple(each for each in WHOLE if not (through and each in NOT_THROUGH_A_HOLDER))


def faces_of(step: Step) -> tuple[Face, ...]:
    """The faces of a step: a detail that lies nowhere else is asked about first of all."""
    if step is Step.WHOLE:
        return ()
    return (Face.FRONT, Face.DETAIL) if step is Step.FRONT else (Face(step.value),)


def next_to(steps: Sequence[Step], step: Step) -> Step:
    """The step after this one; the last has none but itself."""
    return steps[min(steps.index(step) + 1, len(steps) - 1)] if step in steps else steps[-1]


def before(steps: Sequence[Step], step: Step) -> Step:
    """The step before this one; the first has none but itself."""
    return steps[max(steps.index(step) - 1, 0)] if step in steps else steps[0]


def row_numbers(typed: Typed, face: str, of: str = "defects") -> list[int]:
    """The new ones that were typed in on a face, by the numbers of their rows."""
    found = {int(match[2]) for name in typed if (match := _ROW.fullmatch(name)) and match[1] == of}
    return sorted(each for each in found if typed.get(f"{of}.{each}.face") == (face,))


def merged(begun: Begun, step: Step, sent: Typed, known: Iterable[str]) -> Begun:
    """The look with what was sent from one step in place of what was typed there before.

    Keeps: a row in which nothing was typed is left out; what does not belong to the step is passed over.
    """
    own = _Owner(step, frozenset(known))
    face = step.value
    rows = {f"{of}.{each}." for of in ROWS for each in row_numbers(begun.typed, face, of)}
    kept = {name: values for name, values in begun.typed.items() if not own(name) and not _begins(name, rows)}
    more = {name: values for name, values in sent.items() if own(name)}
    return replace(begun, typed={**kept, **more, **_rows(sent, face)}, step=step)


def _rows(sent: Typed, face: str) -> Mapping[str, tuple[str, ...]]:
    """The rows of a face in which something was typed."""
    found: dict[str, tuple[str, ...]] = {}
    for at in [f"{of}.{each}." for of in ROWS for each in row_numbers(sent, face, of)]:
        row = {name: values for name, values in sent.items() if name.startswith(at) and "".join(values)}
        said = (value for name, values in row.items() for value in values if not _stands_there(name))
        if any(value.strip() for value in said):
            found |= row
    return found


def _stands_there(name: str) -> bool:
    """A field in which something stands before anybody typed."""
    return name.endswith((".face", ".breaks_colour"))


def _begins(name: str, starts: Iterable[str]) -> bool:
    return name.startswith(tuple(starts))


@dataclass(frozen=True)
class _Owner:
    """Which fields, other than the rows of new defects, stand on a step."""

    step: Step
    known: frozenset[str]

    def __call__(self, name: str) -> bool:
        plain = name.removesuffix(AS).removesuffix(TO)
        if self.step is Step.WHOLE:
            return plain in WHOLE or plain == "remember"
        if plain == f"rest.{self.step}" or plain.startswith(f"ground.{self.step}."):
            return True
        if plain.startswith("known."):
            return plain.split(".")[1] in self.known
        return (self.step is Step.FRONT and plain == "through_holder") or (
            self.step is Step.STAPLES and plain in STAPLES
        )
