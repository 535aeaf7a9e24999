"""The ten-point scale: 25 steps that are counted and never averaged, and grades as people write them."""

import re
from dataclasses import dataclass
from functools import cache, total_ordering
from typing import Any

from ledger._wire import text_value
from ledger.proof.report import MalformedError
from ledger.rules._tables import table

__all__ = ["Grade", "GradeError", "grades", "read_stated"]

_LONGEST = 60
_BOTH = re.compile(r"(?P<before>[^0-9(]*)[\s(]*(?P<number>[0-9]+(?:[.,][0-9]+)?)[\s()]*(?P<after>[^0-9()]*)[\s)]*")
# A hyphen stands between two names with spaces on both sides or on neither; "VF- 7.5" is one step, said twice.
_RANGE = re.compile("\\s+to\\s+|\\s*[\u2013\u2014/]\\s*|\\s+-\\s+|(?<=\\S)-(?=\\S)")


@dataclass(eq=False, kw_only=True)
class GradeError(MalformedError):
    """A text that is no step of the scale; `neighbours` are the nearest steps, if it is a number."""

    text: str
    neighbours: tuple[str, ...] = ()
    what: str = "Grade"


@total_ordering
@dataclass(frozen=True)
class Grade:
    """A step of the ten-point scale. Steps have an order and a distance in steps, and no arithmetic.

    Raises: GradeError, for a text that is no step.
    Source: common practice, no source.
    """

    text: str

    def __post_init__(self) -> None:
        if not isinstance(self.text, str) or self.text not in _steps():
            raise _no_step(self.text)

    @classmethod
    def parse(cls, text: str) -> "Grade":
        """The step this text spells ("9.2")."""
        return cls(text)

    @classmethod
    def at(cls, step: int) -> "Grade":
        """The step of that number, 0 (the lowest) to 24."""
        return grades()[step]

    @property
    def step(self) -> int:
        """Its number, counted from the lowest."""
        return _steps()[self.text]

    @property
    def letters(self) -> str:
        """The trade's short name ("NM-")."""
        return _names(self.text)[0]

    @property
    def words(self) -> str:
        """The trade's name in words ("near mint minus")."""
        return _names(self.text)[1]

    def __str__(self) -> str:
        return self.text

    def __lt__(self, other: "Grade") -> bool:
        return self.step < other.step

    @classmethod
    def __get_pydantic_core_schema__(cls, source: object, handler: object) -> dict[str, Any]:
        """One string in JSON."""
        return text_value(cls, cls.parse)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: object, handler: object) -> dict[str, Any]:
        """What a caller of the API reads about a grade."""
        return {
            "title": "Grade",
            "description": "A step of the ten-point scale. Ordinal: steps are counted, never averaged.",
            "type": "string",
            "enum": [grade.text for grade in reversed(grades())],
            "examples": ["9.2"],
        }


@cache
def _steps() -> dict[str, int]:
    """The table lists the best first; steps count from the lowest."""
    return {row.id: step for step, row in enumerate(reversed(table("grades").rows))}


@cache
def grades() -> tuple[Grade, ...]:
    """All 25 steps, the lowest first. Source: the rows' own."""
    return tuple(Grade(text) for text in _steps())


@cache
def _names(text: str) -> tuple[str, str]:
    row = table("grades").row(text)
    assert row is not None  # a Grade is a row of the table
    return row.text("letters"), row.text("words")


def _no_step(text: object) -> GradeError:
    """A number between two steps names them; another spelling of a step names that step."""
    problem = f"{text!r} is no step of the ten-point scale"
    if not isinstance(text, str) or not re.fullmatch(r"[0-9]{1,2}(\.[0-9]{1,9})?", text):
        mend = "Write a step such as 9.2; steps run from 0.5 to 10.0."
        return GradeError(text=str(text), problem=problem, mend=mend)
    value = _sortable(text)
    same = [step for step in _steps() if _sortable(step) == value]
    below = [step for step in _steps() if _sortable(step) < value]
    above = [step for step in _steps() if _sortable(step) > value]
    neighbours = tuple(same or (*below[-1:], *above[:1]))
    return GradeError(text=text, neighbours=neighbours, problem=problem, mend=f"Write {' or '.join(neighbours)}.")


def _sortable(text: str) -> tuple[int, str]:
    """A key that sorts plain decimal texts as the numbers they spell, without making a float of them."""
    whole, _, rest = text.partition(".")
    return int(whole), rest.rstrip("0")


@cache
def _aliases() -> dict[str, Grade]:
    """Everything one step is called, in one form: lower case, no spaces, "+" and "-" for plus and minus."""
    names: dict[str, Grade] = {}
    for row in table("grades").rows:
        for name in (row.id, row.text("letters"), row.text("words"), *row.texts("also")):
            names[_folded(name)] = Grade(row.id)
        if row.id.endswith(".0"):
            names[row.id[:-2]] = Grade(row.id)
    return names


def _folded(text: str) -> str:
    plain = text.casefold().replace("\u2212", "-").replace(",", ".")
    plain = re.sub(r"\bplus\b", "+", re.sub(r"\bminus\b", "-", plain))
    return re.sub(r"\s+", "", plain)


def read_stated(text: str) -> tuple[Grade, ...]:
    """The step or steps that a grade, as somebody wrote it, can mean; none, if it cannot be read.

    "VF/NM" is one step; "VF to NM" and "8.0-8.5" are every step between; letters and a number that differ give both.
    Source: common practice, no source.
    """
    plain = text.strip().casefold()
    if len(plain) > _LONGEST:
        return ()
    named = _one_or_range(plain)
    found = None if named else _BOTH.fullmatch(plain)
    if not found:
        return named
    letters, number = found["before"].strip() + found["after"].strip(), _one_or_range(found["number"])
    said = _one_or_range(letters) if letters else number
    return tuple(sorted({*said, *number})) if said and number else ()


def _one_or_range(text: str) -> tuple[Grade, ...]:
    """One step by any of its names, or every step from one name to another."""
    names = _aliases()
    whole = names.get(_folded(text))
    if whole is not None:
        return (whole,)
    for cut in _RANGE.finditer(text):
        first, last = names.get(_folded(text[: cut.start()])), names.get(_folded(text[cut.end() :]))
        if first is not None and last is not None:
            return grades()[min(first.step, last.step) : max(first.step, last.step) + 1]
    return ()
