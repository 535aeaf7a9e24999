"""The computed outlook: what the defects left on a book allow, spread by how graders land around it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from ledger.events._parts import Answer, Defect
from ledger.events.examination import Suppleness, Tone
from ledger.events.outlook import WHOLE, Weight
from ledger.rules.book_ceiling import Fault, Held, read_off
from ledger.rules.ceiling_chances import ceiling_chances
from ledger.rules.ceilings import Ceiling
from ledger.rules.chances import Chances
from ledger.rules.distributions import CENTRAL, Distribution, certain
from ledger.rules.graders import Kernel, spread
from ledger.rules.grades import Grade

__all__ = [
    "SUPPLENESS",
    "TONE",
    "Computed",
    "ReadOut",
    "computed",
    "distribution_of",
    "faults_of",
    "read_out",
    "weights_of",
]

TONE: Final = "paper-tone"
SUPPLENESS: Final = "paper-suppleness"
"""Ids of what is said of the paper, which no defect has."""
_WORDS: Final = {Suppleness.CRACKS: "cracks"}
"""What the table of ceilings calls it, where an examination says more words."""


@dataclass(frozen=True, kw_only=True)
class Computed:
    """What the defects say of one book: as they lie, and after a whole round of work."""

    held: Held
    """The ceiling as the defects lie, what holds it, and what could not be read."""
    ceilings_after: Distribution
    """The chance of each ceiling after the round; exact."""
    grades_now: Distribution
    """The chance of each grade if it were sent as it is; exact."""
    grades_after: Distribution
    """The chance of each grade if it were sent after the round; exact."""


@dataclass(frozen=True, kw_only=True)
class ReadOut:
    """What is read off weights over the steps."""

    likeliest: Grade
    low: Grade
    high: Grade
    """Between these two, and on them, lies the central share."""
    share: Fraction
    at_least: Mapping[Grade, Fraction]
    """The chance of that step or a better one, for every step."""


def computed(
    faults: Sequence[Fault],
    chances: Mapping[str, Chances],
    kernel: Kernel,
    rows: Sequence[Ceiling] | None = None,
) -> Computed:
    """What the defects say; with other chances or another kernel, what these are worth.

    Requires: chances for every defect. Raises: KeyError, DefectTypeError.
    """
    held, after = read_off(faults, rows), ceiling_chances(faults, chances, rows)
    return Computed(
        held=held,
        ceilings_after=after,
        grades_now=spread(certain(held.grade), kernel),
        grades_after=spread(after, kernel),
    )


def weights_of(of: Distribution) -> tuple[Weight, ...]:
    """The weights as an outlook is stored: whole thousandths that make 1000, the steps that got none left out.

    Source: largest remainder method (Hare quota); ties go to the lower step.
    """
    parts = of.per_mille()
    assert sum(parts) == WHOLE
    return tuple(Weight(grade=Grade.at(step), per_mille=part) for step, part in enumerate(parts) if part)


def distribution_of(weights: Iterable[Weight]) -> Distribution:
    """Weights as they were stored, as a distribution.

    Requires: at least one weight, no step twice, as an outlook's rules have it.
    """
    return Distribution.over({each.grade.step: each.per_mille for each in weights})


def read_out(of: Distribution, share: Fraction = CENTRAL) -> ReadOut:
    """Most likely, the spread, and the chance of each step or better."""
    low, high = of.central(share)
    at_least = {grade: of.at_least(grade) for grade in map(Grade.at, range(len(of.weights)))}
    return ReadOut(likeliest=of.likeliest, low=low, high=high, share=share, at_least=at_least)


def faults_of(
    defects: Iterable[Defect], tone: Tone | str | None = None, suppleness: Suppleness | str | None = None
) -> tuple[Fault, ...]:
    """The defects that are there, and what was said of the paper, as a ceiling is read off them.

    Keeps: claims of others are none, for nobody here has seen them; neither is what the book presents as.
    """
    found = [_fault(each) for each in defects if each.there]
    if tone is not None:
        found.append(_paper(TONE, Tone(tone)))
    if suppleness is not None:
        found.append(_paper(SUPPLENESS, _WORDS.get(Suppleness(suppleness), Suppleness(suppleness).value)))
    return tuple(found)


def _fault(defect: Defect) -> Fault:
    return Fault(
        id=defect.id,
        type=defect.type,
        face=defect.face.value,
        breaks_colour={Answer.YES: True, Answer.NO: False}.get(defect.breaks_colour),
        size_mm=None if defect.size_mm is None else Decimal(defect.size_mm),
        count=defect.count,
        share_percent=defect.share_percent,
    )


def _paper(name: str, word: str) -> Fault:
    return Fault(id=name, type=name, face="inside", breaks_colour=None, word=word)
