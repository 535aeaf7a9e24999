"""intervention: one step of work on the book, even one that changed nothing, described by its material facts."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final, Self

from ledger.book import WorkDone
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._parts import Face, Holding
from ledger.events._settings import Settings, minutes
from ledger.events._step import DefectOutcome, Ended, MaterialUsed, Reversible, WorkedDefect, WorkedRegion
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
ENDS: Final[Mapping[Ended | None, str]] = MappingProxyType(
    {Ended.CUT_OFF: "; cut off before its end", Ended.GONE_WRONG: "; it went wrong"}
)
"""What its line says of an end that was not planned."""


@dataclass(frozen=True, kw_only=True)
class Intervention(Event):
    """One step of work was done on the book.

    Keeps: outcomes are claims until the next examination, so no defect changes here. The heading follows from the three
    material facts and from what the technique is for; it is never written down, an owner's disagreement is. A fact
    left null is as the technique's row says, so that a corrected technique brings its own facts; the version of the
    table is written beside it. How it ended changes neither heading nor dose: what was cut off was done so far.

    Rules: 1 the technique is one of the table. 2 Work on a slabbed book comes after an opening. 3 The book is here, or
    other hands did it. 4 Defects worked on have been named by an examination before. 5 Times and moisture agree with
    one another. 6 A dry press takes no moisture. 7 An owner's heading is another than the one the facts give, and words
    on it come with it. 8 Each defect is named once, and each material once a batch. 9 A step that changed nothing left
    every defect the same. 10 A place is a point, an area or a line.
    """

    kind: ClassVar[str] = "intervention"
    title: ClassVar[str] = "Intervention"
    lane: ClassVar[Lane] = Lane.WORK
    needs_held: ClassVar[bool] = True

    technique: str = fact("Technique", "Id of a row of the table of techniques.", pattern=r"^[a-z][a-z0-9-]{1,39}$")
    worked_defects: tuple[WorkedDefect, ...] = fact(
        "Defects worked on",
        "And what was seen of each right after; the look after a rest decides.",
        default=(),
        max_length=200,
    )
    worked_faces: tuple[Face, ...] = fact("Faces worked on", default=(), max_length=7)
    regions: tuple[WorkedRegion, ...] = fact("Places worked on", default=(), max_length=200)
    materials: tuple[MaterialUsed, ...] = fact("Materials", "What touched the book.", default=(), max_length=20)
    tool: str | None = text("Tool", "No names of people.", default=None)
    settings: Settings | None = fact("Settings", "Heat, times, moisture, stack.", default=None)
    duration_minutes: int | None = minutes("Hands at work", "How long hands were at it, beside the time in the press.")
    ended: Ended | None = fact("Ended", "A step cut off or gone wrong counts too. Null is not said.", default=None)
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

    @property
    def minutes(self) -> int:
        """How long it took in all, as far as that was said."""
        return (self.settings.total_minutes or 0) if self.settings else 0

    @property
    def worked_ids(self) -> tuple[str, ...]:
        """The ids of the defects that were worked on."""
        return tuple(each.id for each in self.worked_defects)

    @property
    def changed(self) -> bool | None:
        """Whether it changed anything, as claimed: as it was said, else as the outcomes tell, else not known."""
        if self.changed_anything is None and self._moved:
            return True
        return self.changed_anything

    @property
    def _moved(self) -> bool:
        """Some defect is said to be other than it was."""
        return any(each.outcome not in (None, DefectOutcome.SAME) for each in self.worked_defects)

    def complete(self, entries: "Sequence[Entry]") -> Self:
        """The step with the version of the table by which its open facts are read."""
        return replace(self, table_version=table("techniques").version)

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 and 5 to 10."""
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
        yield from self._flaws_of_lists()
        if self.changed_anything is False and self._moved:
            sentence = "It changed nothing, and a defect is other than it was. Change one of the two."
            yield self.rule(9, sentence, "changed_anything")

    def _flaws_of_lists(self) -> Iterator[Problem]:
        """Rules 8 and 10."""
        for place, each in enumerate(self.worked_ids):
            if each in self.worked_ids[:place]:
                yield self.rule(8, "Name each defect once.", f"worked_defects.{place}")
        for place, material in enumerate(self.materials):
            if material in self.materials[:place]:
                yield self.rule(8, "Name each material once, or say of which batch it is.", f"materials.{place}")
        for place, worked in enumerate(self.regions):
            for name, sentence in worked.region.flaws():
                yield self.rule(10, sentence, f"regions.{place}.region.{name}")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 2, 3 and 4."""
        if not book.held:
            return
        if book.holding is Holding.SLABBED and self.technique not in ROUND_THE_HOLDER:
            yield self.rule(2, "The book is slabbed at that time. Write the opening first, or check the date.", "on")
        if not book.here and not self.by_other_hands:
            sentence = f"The book is {book.status}. Write its return first, or say other hands did it."
            yield self.rule(3, sentence, "by_other_hands")
        for place, name in enumerate(self.worked_ids):
            if name not in book.defects:
                sentence = f"No examination before has named defect {name}. Enter the examination first."
                yield self.rule(4, sentence, f"worked_defects.{place}")

    def doubts(self, book: "Book") -> Iterator[Problem]:
        """It changed something, and of what was worked on all is the same; a heat that no paper is pressed at."""
        for name, sentence in self.settings.doubts() if self.settings else ():
            yield Problem(field=f"settings.{name}", sentence=sentence)
        outcomes = {each.outcome for each in self.worked_defects}
        if self.changed_anything and outcomes == {DefectOutcome.SAME}:
            sentence = (
                "It changed something, and every defect worked on is the same. Say in the remark what else changed."
            )
            yield Problem(field="changed_anything", sentence=sentence)

    def apply(self, book: "Book", at: At) -> "Book":
        """One step of work more."""
        done = WorkDone(
            seq=at.seq,
            on=self.on,
            technique=self.technique,
            heading=self.heading,
            changed_anything=self.changed,
            ended=self.ended.value if self.ended else None,
            disagreement=self.owner_heading.value if self.owner_heading else None,
            minutes=self.minutes,
        )
        return replace(book, work=(*book.work, done))

    def summary(self) -> str:
        """What was done, with what heat, under which heading, how it ended, what it changed; ink by hand always says so."""
        words = self.row.title if self.row else self.technique
        words += " by other hands" if self.by_other_hands else ""
        heat = self.settings.label() if self.settings else ""
        words += f", {heat}" if heat else ""
        words += "; ink was added, which is not colour touch" if self.technique == SIGNATURE else ""
        words += f": {self.heading.label}"
        words += f", the owner holds {self.owner_heading.label}" if self.owner_heading else ""
        words += ENDS.get(self.ended, "") + ("; it changed nothing" if self.changed is False else "")
        counts = Counter(each.outcome.value for each in self.worked_defects if each.outcome)
        told = [f"{counts[each.value]} {each.value}" for each in DefectOutcome if counts[each.value]]
        return words + (f"; said right after: {', '.join(told)}" if told else "")
