"""examination: a look at the book: measures, defects, marks and paper, as a condition report."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from ledger.book import Look
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, measure, sealed
from ledger.events._parts import Answer, Defect, Face, Holding, Light, Mark
from ledger.rest import rest_between
from ledger.rules.defects import DefectType, defect_types
from ledger.rules.grades import Grade
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book

CREASE = "crease"
RUST = "staple-rust"
WORD = "word"
"""Measured by a word, for which the examination has fields of its own."""


class Tone(StrEnum):
    """How the paper looks; its suppleness is another question."""

    BRIGHT = "bright"
    IVORY = "ivory"
    STRAW = "straw"
    BROWN = "brown"


class Suppleness(StrEnum):
    """How the paper gives when it is turned."""

    SUPPLE = "supple"
    STIFF = "stiff"
    CRACKS = "cracks when turned"


class Odour(StrEnum):
    """What it smells of."""

    NONE = "none"
    MUSTY = "musty"
    SMOKE = "smoke"
    OTHER = "other"


NOT_THROUGH_A_HOLDER = ("weight_g", "thickness_mm", "pages_counted", "suppleness", "odour")
"""What nobody can tell with the holder closed."""


MEASURES = {"size_mm": "its size", "count": "how many there are", "share_percent": "its share of the face"}
"""The fields that a fault is measured in, as a sentence names them."""


@dataclass(frozen=True, kw_only=True)
class Examination(Event):
    """Somebody looked at the book; it may have been at the seller's, before the purchase.

    Keeps: a defect or mark not named here stays as it was last seen; one that is gone stays known by its id. A claim is
    what somebody else says of this copy, such as a remark of a grading service on an earlier holder: it is not counted
    as seen, and ends once its id is named without it.

    Rules: 1 every light, face, defect and mark is named once. 2 A defect is of a type of the table, and paper tone and
    suppleness have fields of their own. 3 A defect that is there is measured as its type is; a claim need not be.
    4 Breaking colour agrees with the type. 5 What is gone has been seen before. 6 An id keeps its type through all
    looks. 7 A slabbed book is looked at through its holder, a raw one is not. 8 Through a holder the inside is not
    seen, nor weighed nor felt; a claim may speak of it. 9 A place is a point, an area or a line. 10 A claim is never
    gone, and its id is none under which a defect has been seen. 11 A photograph of a defect or mark is one of this
    book, entered before. 12 Rust on staples agrees with their number and with the defects.
    """

    kind: ClassVar[str] = "examination"
    title: ClassVar[str] = "Examination"
    lane: ClassVar[Lane] = Lane.CONDITION

    through_holder: bool = fact("Looked through the holder", "The holder stayed closed.", default=False)
    lights: tuple[Light, ...] = fact("Lights used", default=(), max_length=4)
    faces_looked_at: tuple[Face, ...] = fact(
        "Faces looked at",
        "Gone over as a whole, so that a defect there that is not named is as it was. None ticked is not said.",
        default=(),
        max_length=7,
    )
    rest_hours: int | None = fact(
        "Rest before the look",
        "Since the last work. Left out, it is read from the dates where they say the day. Units: h.",
        default=None,
        ge=0,
        le=100_000,
    )
    height_mm: str | None = measure("Height", "mm")
    width_mm: str | None = measure("Width", "mm")
    thickness_mm: str | None = measure("Thickness", "mm", "At the spine, not pressed.")
    weight_g: str | None = measure("Weight", "g")
    pages_counted: int | None = fact("Pages counted", "Without the cover.", default=None, ge=0, le=2000)
    completeness: Answer = fact("Complete", "No page, panel or coupon is missing.", default=Answer.UNSURE)
    staples_counted: int | None = fact("Staples counted", default=None, ge=0, le=20)
    staple_rust: Answer = fact("Rust on staples", default=Answer.UNSURE)
    defects: tuple[Defect, ...] = fact(
        "Defects", "Each under an id of its own, which it keeps at every look.", default=(), max_length=200
    )
    marks: tuple[Mark, ...] = fact(
        "Marks", "By which this copy is known again, where its staples sit among them.", default=(), max_length=60
    )
    tone: Tone | None = fact("Paper tone", default=None)
    suppleness: Suppleness | None = fact("Paper suppleness", default=None)
    odour: Odour | None = fact("Odour", default=None)
    presents_as: Grade | None = fact("Presents as", "The grade it looks like at arm's length.", default=None)
    technical: Grade | None = fact(
        "Technical grade", "By its defects, counted from near, whatever it looks like.", default=None
    )
    examiner: Sealed[str] = sealed("Examiner", "Who looked.", shown=True)
    remark: Sealed[str] = sealed("Remark")

    @property
    def seen(self) -> tuple[Defect, ...]:
        """The defects that the examiner names as seen, those that are gone among them."""
        return tuple(each for each in self.defects if each.claimed_by is None)

    @property
    def claims(self) -> tuple[Defect, ...]:
        """What is taken over from others."""
        return tuple(each for each in self.defects if each.claimed_by is not None)

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 to 4, 8 to 10 and 12."""
        yield from super().flaws()
        for name in ("lights", "faces_looked_at", "defects", "marks"):
            ids = [each if isinstance(each, StrEnum) else each.id for each in getattr(self, name)]
            for place in _again(ids):
                yield self.rule(1, f"{ids[place]} is named twice in one look. Put the two together.", f"{name}.{place}")
        for place, defect in enumerate(self.defects):
            yield from self._flaws_of(defect, f"defects.{place}")
        for name in ("defects", "marks"):
            for place, each in enumerate(getattr(self, name)):
                for field, sentence in each.region.flaws() if each.region is not None else ():
                    yield self.rule(9, sentence, f"{name}.{place}.region.{field}")
        yield from self._flaws_through_a_holder() if self.through_holder else ()
        yield from self._flaws_of_staples()

    def _flaws_through_a_holder(self) -> Iterator[Problem]:
        """Rule 8."""
        for name in NOT_THROUGH_A_HOLDER:
            if getattr(self, name) is not None:
                yield self.rule(8, "This cannot be told with the holder closed. Leave it out.", name)
        sentence = "The inside is not seen through a holder. Leave it out."
        for place, face in enumerate(self.faces_looked_at):
            if face is Face.INSIDE:
                yield self.rule(8, sentence, f"faces_looked_at.{place}")
        for name in ("defects", "marks"):
            for place, each in enumerate(getattr(self, name)):
                if each.face is Face.INSIDE and getattr(each, "claimed_by", None) is None:
                    yield self.rule(8, sentence, f"{name}.{place}.face")

    def _flaws_of_staples(self) -> Iterator[Problem]:
        """Rule 12."""
        rusted = any(each.type == RUST and each.there for each in self.defects)
        if self.staple_rust is Answer.NO and rusted:
            sentence = "A rusted staple stands among the defects. Say yes, or name that defect as gone."
            yield self.rule(12, sentence, "staple_rust")
        if self.staples_counted == 0 and (rusted or self.staple_rust is Answer.YES):
            yield self.rule(12, "Where there is no staple, none has rust. Count again, or leave it out.", "staple_rust")

    def _flaws_of(self, defect: Defect, where: str) -> Iterator[Problem]:
        """Rules 2, 3, 4 and 10 on one defect."""
        row = next((each for each in defect_types() if each.id == defect.type), None)
        if row is None:
            yield self.rule(2, f"There is no defect type {defect.type}. Choose one of the table.", f"{where}.type")
        elif WORD in row.measured_by:
            yield self.rule(2, f"{row.title} has a field of its own in an examination. Use that.", f"{where}.type")
        else:
            by = [name for name in row.measured_by if getattr(defect, name) is not None]
            if row.measured_by and not by and defect.there:
                sentence = f"{row.title} is measured by {row.measure}. Write {' or '.join(MEASURES[name] for name in row.measured_by)}."
                yield self.rule(3, sentence, f"{where}.{row.measured_by[0]}")
            if _disagrees(defect, row):
                yield self.rule(4, _mend_of_colour(row), f"{where}.breaks_colour")
        if defect.claimed_by is not None and defect.gone:
            sentence = "What others claim was not seen here, so it cannot have gone. Leave one of the two out."
            yield self.rule(10, sentence, f"{where}.gone")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 5, 6, 7, 10 and 11."""
        for place, defect in enumerate(self.defects):
            yield from self._against(book, defect, f"defects.{place}")
        for name in ("defects", "marks"):
            for place, each in enumerate(getattr(self, name)):
                if each.photograph is not None and each.photograph not in book.photographs:
                    sentence = (
                        "No photograph of this book before this look has that digest. Enter the photograph first."
                    )
                    yield self.rule(11, sentence, f"{name}.{place}.photograph")
        if book.holding is Holding.SLABBED and not self.through_holder:
            sentence = (
                "The book is slabbed at that time. Write the opening first, or say that you looked through the holder."
            )
            yield self.rule(7, sentence, "through_holder")
        if book.holding is Holding.RAW and self.through_holder:
            yield self.rule(7, "The book is raw at that time, so there is no holder to look through.", "through_holder")

    def _against(self, book: "Book", defect: Defect, where: str) -> Iterator[Problem]:
        """Rules 5, 6 and 10 on one defect, by what is known under its id."""
        known = book.defects.get(defect.id)
        seen = known is not None and known.claimed_by is None
        if defect.gone and not seen and defect.claimed_by is None:
            sentence = f"Defect {defect.id} was never seen before this look, so it cannot have gone. Leave it out."
            yield self.rule(5, sentence, f"{where}.gone")
        if known is not None and known.type != defect.type:
            sentence = f"{defect.id} was a {known.type} so far. Take a new id, or correct the earlier look."
            yield self.rule(6, sentence, f"{where}.type")
        if seen and defect.claimed_by is not None:
            sentence = f"{defect.id} has been seen, so it is more than a claim. Take a new id, or leave the claim out."
            yield self.rule(10, sentence, f"{where}.claimed_by")

    def apply(self, book: "Book", at: At) -> "Book":
        """Defects and marks as this look found them; it is the last look."""
        read = rest_between([(each.on, each.minutes) for each in book.work], self.on)
        look = Look(
            seq=at.seq,
            on=self.on,
            presents_as=self.presents_as,
            technical=self.technical,
            rest_hours=read if self.rest_hours is None else self.rest_hours,
            rest_from_dates=self.rest_hours is None and read is not None,
            tone=self.tone.value if self.tone else None,
            suppleness=self.suppleness.value if self.suppleness else None,
            complete=self.completeness.value,
            through_holder=self.through_holder,
        )
        defects = {**book.defects, **{each.id: each for each in self.defects}}
        marks = {**book.marks, **{each.id: each for each in self.marks}}
        return replace(book, defects=MappingProxyType(defects), marks=MappingProxyType(marks), last_look=look)

    def summary(self) -> str:
        """How much was found, how much has gone or is only claimed, what it presents as, and its technical grade.

        Keeps: no count of none, for a defect that is not named is as it was.
        """
        gone, claimed = sum(each.gone for each in self.seen), len(self.claims)
        there = len(self.seen) - gone
        words = "Examination through the holder" if self.through_holder else "Examination"
        named = (
            f"{there} {'defect' if there == 1 else 'defects'}" if there else "",
            f"{gone} gone" if gone else "",
            f"{claimed} claimed by others" if claimed else "",
        )
        words += f": {', '.join(filter(None, named)) or 'no defect named'}"
        words += f", presents as {self.presents_as}" if self.presents_as else ""
        words += f", technical grade {self.technical}" if self.technical else ""
        return words + (f", after {self.rest_hours} h of rest" if self.rest_hours is not None else "")


def _again(ids: Sequence[str]) -> list[int]:
    """Places of ids that stand earlier in the list too."""
    return [place for place, each in enumerate(ids) if each in ids[:place]]


def _disagrees(defect: Defect, row: DefectType) -> bool:
    """A break in colour where the type has none, or a crease without one."""
    if defect.breaks_colour is Answer.YES:
        return row.breaks_colour == "no"
    return defect.breaks_colour is Answer.NO and row.id == CREASE


def _mend_of_colour(row: DefectType) -> str:
    if row.id == CREASE:
        return "A crease that breaks no colour is a bend. Choose that type."
    return f"{row.title} breaks no colour; where colour is broken it is another defect. Choose that type, or say no."
