"""intervention: one step of work on the book, even one that changed nothing, described by its material facts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar, Self

from ledger.book import WorkDone
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._parts import Face, Holding, Region
from ledger.events._settings import Settings
from ledger.money import Money
from ledger.rules._tables import table
from ledger.rules.headings import Fact, Heading, heading
from ledger.rules.techniques import Technique, techniques
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.entry import Entry

DRY = "hot-press-dry"
SIGNATURE = "signature"
ROUND_THE_HOLDER = frozenset({"housing"})
"""Techniques that reach what the book lies in, so a sealed holder is not in the way."""
MATERIAL_MOST = 80


class Reversible(StrEnum):
    """Whether it can be undone."""

    YES = "yes"
    NO = "no"
    PARTLY = "partly"
    NOT_KNOWN = "not-known"


@dataclass(frozen=True, kw_only=True)
class WorkedRegion:
    """A place that was worked on."""

    face: Face = fact("Face")
    region: Region = fact("Where on the face")


@dataclass(frozen=True, kw_only=True)
class Intervention(Event):
    """One step of work was done on the book.

    Keeps: outcomes are claims until the next examination, so no defect changes here. The heading follows from the three
    material facts and from what the technique is for; it is never written down, an owner's disagreement is. A fact
    left null is as the technique's row says, so that a corrected technique brings its own facts; the version of the
    table is written beside it.

    Rules: 1 the technique is one of the table. 2 Work on a slabbed book comes after an opening. 3 The book is here, or
    other hands did it. 4 Defects worked on have been named by an examination before. 5 Times and moisture agree with
    one another. 6 A dry press takes no moisture. 7 An owner's heading is another than the one the facts give, and words
    on it come with it. 8 Materials and defects are named once, in a few words.
    """

    kind: ClassVar[str] = "intervention"
    title: ClassVar[str] = "Intervention"
    lane: ClassVar[Lane] = Lane.WORK
    needs_held: ClassVar[bool] = True

    technique: str = fact("Technique", "Id of a row of the table of techniques.", pattern=r"^[a-z][a-z0-9-]{1,39}$")
    worked_defects: tuple[str, ...] = fact("Defects worked on", "By their ids.", default=(), max_length=200)
    worked_faces: tuple[Face, ...] = fact("Faces worked on", default=(), max_length=7)
    regions: tuple[WorkedRegion, ...] = fact("Places worked on", default=(), max_length=200)
    materials: tuple[str, ...] = fact(
        "Materials",
        "What touched the book: sponge, paper, solvent; up to 80 characters each.",
        default=(),
        max_length=20,
    )
    tool: str | None = text("Tool", "No names of people.", default=None)
    settings: Settings | None = fact("Settings", "Heat, times, moisture, stack.", default=None)
    changed_anything: bool | None = fact("Changed anything", "Null is not known before the next look.", default=None)
    by_other_hands: bool = fact("By other hands", "Somebody else did it, not the collector.", default=False)
    adds_material: Fact | None = fact("Adds material", "Null is as the technique's row says.", default=None)
    removes_original: Fact | None = fact("Removes original material", "Dirt is not original.", default=None)
    alters: Fact | None = fact("Alters chemistry or colour", "By design or visibly.", default=None)
    reversible: Reversible | None = fact("Reversible", "Null is as the row says.", default=None)
    detectable_by: str | None = text("Detectable by", "Null is as the row says.", most=400, default=None)
    table_version: int | None = fact("Version of the table", "Filled in.", default=None, ge=1)
    owner_heading: Heading | None = fact("Owner's heading", "Where the owner holds another to be right.", default=None)
    owner_words: Sealed[str] = sealed("Why another heading", shown=True)
    who: Sealed[str] = sealed("Who", "Whose hands did it.", shown=True)
    cost: Sealed[Money] = sealed("Cost")
    remark: Sealed[str] = sealed("Remark", shown=True)

    @property
    def row(self) -> Technique | None:
        """The technique's row, if the table has it."""
        return next((each for each in techniques() if each.id == self.technique), None)

    @property
    def facts(self) -> tuple[Fact, Fact, Fact]:
        """Adds, removes original, alters: as this step says, else as the row says, else not known."""
        row = self.row
        usual = (row.adds, row.removes_original, row.alters) if row else (Fact.NOT_KNOWN,) * 3
        adds, removes, alters = (self.adds_material, self.removes_original, self.alters)
        return adds or usual[0], removes or usual[1], alters or usual[2]

    @property
    def heading(self) -> Heading:
        """The heading of this step; not settled for a technique this program does not know."""
        row = self.row
        return heading(*self.facts, row.purpose) if row else Heading.NOT_SETTLED

    def complete(self, entries: "Sequence[Entry]") -> Self:
        """The step with the version of the table by which its open facts are read."""
        return replace(self, table_version=table("techniques").version)

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 and 5 to 8."""
        yield from super().flaws()
        if self.row is None:
            yield self.rule(1, f"There is no technique {self.technique}. Choose one of the table.", "technique")
        for name, sentence in self.settings.flaws() if self.settings else ():
            yield self.rule(5, sentence, f"settings.{name}")
        if self.technique == DRY and self.settings and self.settings.moistened:
            sentence = (
                "A dry press takes no moisture. Choose the press after humidification, or leave the moisture out."
            )
            yield self.rule(6, sentence, "settings.moisture")
        if self.owner_heading is not None and self.owner_heading is self.heading:
            sentence = f"The facts give {self.heading.label} too, so there is no disagreement. Leave it out."
            yield self.rule(7, sentence, "owner_heading")
        if self.owner_heading is None and self.owner_words.value is not None:
            yield self.rule(7, "Say which heading the words are for, or write them as a remark.", "owner_heading")
        for name, named in (("materials", self.materials), ("worked_defects", self.worked_defects)):
            for place, each in enumerate(named):
                if not each.strip() or len(each) > MATERIAL_MOST or each in named[:place]:
                    yield self.rule(8, "Name each one once, in 1 to 80 characters.", f"{name}.{place}")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 2, 3 and 4."""
        if not book.held:
            return
        if book.holding is Holding.SLABBED and self.technique not in ROUND_THE_HOLDER:
            yield self.rule(2, "The book is slabbed at that time. Write the opening first, or check the date.", "on")
        if not book.here and not self.by_other_hands:
            sentence = f"The book is {book.status}. Write its return first, or say other hands did it."
            yield self.rule(3, sentence, "by_other_hands")
        for place, name in enumerate(self.worked_defects):
            if name not in book.defects:
                sentence = f"No examination before has named defect {name}. Enter the examination first."
                yield self.rule(4, sentence, f"worked_defects.{place}")

    def apply(self, book: "Book", at: At) -> "Book":
        """One step of work more."""
        done = WorkDone(
            seq=at.seq,
            on=self.on,
            technique=self.technique,
            heading=self.heading,
            changed_anything=self.changed_anything,
            disagreement=self.owner_heading.value if self.owner_heading else None,
        )
        return replace(book, work=(*book.work, done))

    def summary(self) -> str:
        """What was done, with what heat, under which heading, and what it changed; ink added by hand always says so."""
        words = self.row.title if self.row else self.technique
        words += " by other hands" if self.by_other_hands else ""
        heat = self.settings.label() if self.settings else ""
        words += f", {heat}" if heat else ""
        words += "; ink was added, which is not colour touch" if self.technique == SIGNATURE else ""
        words += f": {self.heading.label}"
        words += f", the owner holds {self.owner_heading.label}" if self.owner_heading else ""
        return words + ("; it changed nothing" if self.changed_anything is False else "")
