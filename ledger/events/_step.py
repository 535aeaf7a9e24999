"""Parts of one step of work: what touched the book, which defects were worked on, where, and how the step ended."""

from dataclasses import dataclass
from enum import StrEnum

from ledger.events._base import fact, text
from ledger.events._parts import Face, Region


class Reversible(StrEnum):
    """Whether it can be undone."""

    YES = "yes"
    NO = "no"
    PARTLY = "partly"
    NOT_KNOWN = "not-known"


class DefectOutcome(StrEnum):
    """What the worker saw of a defect right after the step: a claim, until a look after a rest decides."""

    GONE = "gone"
    LESSENED = "lessened"
    SAME = "same"
    WORSE = "worse"


class Ended(StrEnum):
    """How a step came to its end; one that was cut off or went wrong is a step all the same."""

    AS_PLANNED = "as planned"
    CUT_OFF = "cut off"
    GONE_WRONG = "gone wrong"


@dataclass(frozen=True, kw_only=True)
class WorkedDefect:
    """One defect that was worked on, and what was seen of it right after the step."""

    id: str = fact("Defect", "Its id, such as d3.", pattern=r"^[a-z][a-z0-9-]{0,23}$")
    outcome: DefectOutcome | None = fact(
        "Right after", "A claim until the look after a rest. Null is not said.", default=None
    )


@dataclass(frozen=True, kw_only=True)
class MaterialUsed:
    """One material that touched the book."""

    what: str = text("What it is", "Sponge, paper, solvent; no maker.", most=80)
    batch: str | None = text("Batch", "As it stands on the packing; null is not known.", most=80, default=None)


@dataclass(frozen=True, kw_only=True)
class WorkedRegion:
    """A place that was worked on."""

    face: Face = fact("Face")
    region: Region = fact("Where on the face")
