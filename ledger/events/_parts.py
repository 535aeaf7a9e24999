"""Parts that several kinds share: the issue, a stated grade, a defect, a mark, a region."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from ledger.events._base import fact, measure, text
from ledger.events._spelling import digest
from ledger.rules.grades import Grade
from ledger.when import When


class Holding(StrEnum):
    """Whether the book is in a sealed holder."""

    RAW = "raw"
    SLABBED = "slabbed"
    NOT_STATED = "not stated"


class Face(StrEnum):
    """A side of the book as hands turn it."""

    FRONT = "front"
    SPINE = "spine"
    BACK = "back"
    EDGES = "edges"
    INSIDE = "inside"
    STAPLES = "staples"
    DETAIL = "detail"


class Light(StrEnum):
    """The light a look or a photograph was taken in."""

    NORMAL = "normal"
    RAKING = "raking"
    TRANSMITTED = "transmitted"
    ULTRAVIOLET = "UV-A"


class Answer(StrEnum):
    """Yes, no, or honestly not known."""

    YES = "yes"
    NO = "no"
    UNSURE = "unsure"


class OpinionOf(StrEnum):
    """Who holds a stated grade."""

    SERVICE = "grading service"
    SELLER = "seller"
    EARLIER_OWNER = "earlier owner"


def usual_opinion(holding: Holding) -> OpinionOf:
    """Whose opinion a stated grade is, where nobody says: on a sealed holder a service's, else the seller's.

    Source: common practice, no source.
    """
    return OpinionOf.SERVICE if holding is Holding.SLABBED else OpinionOf.SELLER


class MatchedBy(StrEnum):
    """How a stated grade was tied to this very copy."""

    HOLDER_NUMBER = "holder number"
    MARKS = "marks of this copy"
    WORD = "word of the seller"
    NOT_MATCHED = "not matched"


@dataclass(frozen=True, kw_only=True)
class Issue:
    """What was printed: title, start year, number and the rest that tells one issue from another."""

    title: str = text("Series title", "The title as in the indicia, without number.")
    number: str = text("Number", "As printed, such as 14, 1/2 or Annual 3.", most=40)
    start_year: int | None = fact("Series start year", "Year, as a number.", default=None, ge=1800, le=2999)
    publisher: str | None = text("Publisher", default=None)
    cover_date: When | None = fact("Cover date", "EDTF, usually a month.", default=None)
    printing: int | None = fact("Printing", "1 is the first; null is not known.", default=None, ge=1, le=99)
    variant: str | None = text("Variant", default=None)

    def __str__(self) -> str:
        return f"{self.title} {self.number}"


@dataclass(frozen=True, kw_only=True)
class StatedGrade:
    """A service's or seller's opinion as written, the step or steps it means, and how it was tied to this copy."""

    as_written: str = text("Grade as written", "As it stands on the holder or in the listing, such as VF/NM.", most=60)
    steps: tuple[Grade, ...] = fact(
        "Steps", "The step or steps of the ten-point scale it means.", default=(), max_length=25
    )
    opinion_of: OpinionOf = fact("Opinion of", default=OpinionOf.SERVICE)
    matched_by: MatchedBy = fact("Matched to this copy by", default=MatchedBy.NOT_MATCHED)

    def __str__(self) -> str:
        return self.as_written


@dataclass(frozen=True, kw_only=True)
class Region:
    """A place on a face in millimetres from its upper left corner: a point, an area, or a line to where it ends."""

    x_mm: str = measure("From the left", "mm", default=...)
    y_mm: str = measure("From the top", "mm", default=...)
    width_mm: str | None = measure("Width", "mm")
    height_mm: str | None = measure("Height", "mm")
    to_x_mm: str | None = measure("Line ends from the left", "mm", "For a line, which has no width and no height.")
    to_y_mm: str | None = measure("Line ends from the top", "mm", "For a line; both ends or neither.")

    @property
    def is_line(self) -> bool:
        """It runs from one point to another."""
        return self.to_x_mm is not None and self.to_y_mm is not None

    @property
    def length_mm(self) -> Decimal:
        """How long the line is; 0 for what is no line. Units: mm."""
        if self.to_x_mm is None or self.to_y_mm is None:
            return Decimal(0)
        wide, high = Decimal(self.to_x_mm) - Decimal(self.x_mm), Decimal(self.to_y_mm) - Decimal(self.y_mm)
        return (wide * wide + high * high).sqrt()

    def flaws(self) -> Iterator[tuple[str, str]]:
        """Field and sentence of each contradiction."""
        if (self.to_x_mm is None) != (self.to_y_mm is None):
            missing = "to_x_mm" if self.to_x_mm is None else "to_y_mm"
            yield missing, "A line ends at two measures, from the left and from the top. Write both, or neither."
        if (self.to_x_mm or self.to_y_mm) is not None and (self.width_mm or self.height_mm) is not None:
            yield "to_x_mm", "A place is a line or an area, not both. Leave its end out, or its width and height."
        if self.is_line and self.length_mm == 0:
            yield "to_x_mm", "The line ends where it begins, which is a point. Leave its end out, or write another."


@dataclass(frozen=True, kw_only=True)
class Defect:
    """One fault under an id that lasts through all looks: as it was seen at one, or as somebody else claims it."""

    id: str = fact(
        "Defect id", "Short name that stays the same at every look, such as d3.", pattern=r"^[a-z][a-z0-9-]{0,23}$"
    )
    type: str = fact("Type", "A defect type of the rule table.", pattern=r"^[a-z][a-z-]{1,39}$")
    face: Face = fact("Face")
    breaks_colour: Answer = fact("Breaks colour", default=Answer.UNSURE)
    size_mm: str | None = measure("Size", "mm", "Longest measure.")
    count: int | None = fact("Count", "How many of the same kind lie together.", default=None, ge=1, le=999)
    share_percent: int | None = fact("Share of the face", "Units: per cent.", default=None, ge=0, le=100)
    region: Region | None = fact("Where on the face", default=None)
    gone: bool = fact("Gone", "It was looked for and is no longer there.", default=False)
    note: str | None = text("Note", "What the measures do not say; no names.", default=None)
    photograph: str | None = digest("Macro photograph", "Clean copy of a photograph of this book.", default=None)
    claimed_by: OpinionOf | None = fact(
        "Claimed by",
        "Who says so of this copy, where the examiner has not seen it; null is that the examiner has.",
        default=None,
    )

    @property
    def there(self) -> bool:
        """It was seen, and has not gone."""
        return self.claimed_by is None and not self.gone


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A feature by which this very copy can be known again."""

    id: str = fact("Mark id", "Short name, such as m1.", pattern=r"^[a-z][a-z0-9-]{0,23}$")
    what: str = text("What it is", "Fibre, misprint, staple position; no names.")
    face: Face = fact("Face")
    region: Region | None = fact("Where on the face", default=None)
    photograph: str | None = digest("Macro photograph", "Clean copy of a photograph of this book.", default=None)
