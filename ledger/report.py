"""What a condition report says of one book, as data: what was seen and by whom, what was done, and what nobody knows."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType
from typing import Final, Generic, TypeVar

from ledger.book import Book, GradeStep
from ledger.events import Event
from ledger.events._parts import Defect, Face, Holding, Mark
from ledger.events.choice import Choice
from ledger.events.count import Count, Result
from ledger.events.earlier import Earlier
from ledger.events.examination import Examination, Odour, Suppleness
from ledger.events.intervention import Intervention
from ledger.events.opening import Opening
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement
from ledger.events.purchase import Purchase
from ledger.history import Moment
from ledger.rules.defects import defect_types
from ledger.when import When

__all__ = [
    "MEASURED",
    "DefectTold",
    "Handling",
    "LedgerState",
    "MarkTold",
    "Measure",
    "Of",
    "Report",
    "handling",
    "report",
]

E = TypeVar("E", bound=Event)
E_co = TypeVar("E_co", bound=Event, covariant=True)

MEASURED: Final[Mapping[str, str]] = MappingProxyType(
    {"height_mm": "mm", "width_mm": "mm", "thickness_mm": "mm", "weight_g": "g", "pages_counted": ""}
)
"""The fields of a look that measure the whole book, with their units."""


class Handling(StrEnum):
    """A caution for hands, because of what is known of the book or is not."""

    ALWAYS = "always"
    HOLDER = "holder"
    CRACKS = "cracks"
    STIFF = "stiff"
    NOT_FELT = "not-felt"
    LOOSE = "loose"
    TORN = "torn"
    RUST = "rust"
    TAPE = "tape"
    MOULD = "mould"
    MUSTY = "musty"


_BECAUSE_OF: Final[Mapping[Handling, frozenset[str]]] = MappingProxyType(
    {
        Handling.LOOSE: frozenset(
            {"cover-loose", "cover-off", "centre-leaf-loose", "centre-leaf-off", "staple-popped", "spine-split"}
        ),
        Handling.TORN: frozenset({"tear", "missing-piece", "bindery-tear"}),
        Handling.RUST: frozenset({"staple-rust", "rust-migrated"}),
        Handling.TAPE: frozenset({"tape", "tape-residue"}),
        Handling.MOULD: frozenset({"mould", "pest-damage"}),
    }
)
"""Types of defect that call for a caution. Source: common practice, no source; of mould, the table of cautions."""


@dataclass(frozen=True, kw_only=True)
class Of(Generic[E_co]):
    """What an entry in force says, corrections counted, with its number and its date."""

    seq: int
    recorded: datetime
    event: E_co
    place: int
    """Its place in the order of happening, among all entries of the book."""

    @property
    def on(self) -> When | None:
        """When it happened."""
        return self.event.on


@dataclass(frozen=True, kw_only=True)
class Measure:
    """One measure of the whole book as the last look took it that took it; `value` None where none ever did."""

    name: str
    unit: str
    value: str | None = None
    look: Of[Examination] | None = None
    differs: tuple[str, ...] = ()
    """What looks before it had, where that was something else, the newest first."""


@dataclass(frozen=True, kw_only=True)
class DefectTold:
    """One defect as it was seen last: since which look it is known, and what has been done about it."""

    defect: Defect
    since: Of[Examination]
    last: Of[Examination]
    photographs: tuple[int, ...]
    worked_by: tuple[int, ...]

    @property
    def title(self) -> str:
        """Its type in words."""
        return next((each.title for each in defect_types() if each.id == self.defect.type), self.defect.type)


@dataclass(frozen=True, kw_only=True)
class MarkTold:
    """A mark of this copy, and since which look it is known."""

    mark: Mark
    since: Of[Examination]


@dataclass(frozen=True, kw_only=True)
class LedgerState:
    """How the ledger stood, so that the paper can be held against it later. Digests in lower hex."""

    collection: str
    size: int
    root: str
    heads_root: str
    recorded: datetime
    """When its last entry was written: the moment of the report, for nothing later is in it."""
    book_seq: int
    book_leaf: str
    signed_size: int | None = None
    signed: datetime | None = None
    """The last checkpoint; None where none was ever signed."""


@dataclass(frozen=True, kw_only=True)
class Report:
    """Everything that is said of one book; entries that were withdrawn are left out, the rest in the order of happening.

    `looks` have the newest first. Of a defect that has gone the report still tells, apart from those that are there.
    """

    book: Book
    state: LedgerState
    looks: tuple[Of[Examination], ...]
    measures: tuple[Measure, ...]
    faces: tuple[tuple[Face, tuple[DefectTold, ...]], ...]
    gone: tuple[DefectTold, ...]
    marks: tuple[MarkTold, ...]
    grades: tuple[GradeStep, ...]
    bought: tuple[Of[Purchase], ...]
    records: tuple[Of[Earlier], ...]
    openings: tuple[Of[Opening], ...]
    work: tuple[Of[Intervention], ...]
    choices: tuple[Of[Choice], ...]
    damage: tuple[Of[Count], ...]
    placed: Of[Placement] | None
    photographs: tuple[Of[Photograph], ...]
    handling: tuple[Handling, ...]

    @property
    def last(self) -> Of[Examination] | None:
        """The last look."""
        return self.looks[0] if self.looks else None

    def entry(self, seq: int) -> Of[Examination] | None:
        """The look of that number."""
        return next((each for each in self.looks if each.seq == seq), None)

    def told_last(self, name: str) -> Of[Examination] | None:
        """The last look that has a value in that field; None where no look has one."""
        return next((each for each in self.looks if getattr(each.event, name) is not None), None)


def report(book: Book, moments: Sequence[Moment], state: LedgerState) -> Report:
    """The report of a book.

    Requires: the book is the fold of these moments.
    """
    looks = tuple(reversed(_of(moments, Examination)))
    work, photographs = _of(moments, Intervention), _of(moments, Photograph)
    defects = tuple(_defects(looks, work, photographs))
    placements = [each for each in _of(moments, Placement) if each.seq == book.placed_by]
    return Report(
        book=book,
        state=state,
        looks=looks,
        measures=tuple(_measure(looks, name, unit) for name, unit in MEASURED.items()),
        faces=tuple((face, tuple(each for each in defects if _is_on(each.defect, face))) for face in Face),
        gone=tuple(each for each in defects if each.defect.gone),
        marks=tuple(_marks(looks)),
        grades=book.grades,
        bought=_of(moments, Purchase),
        records=_of(moments, Earlier),
        openings=_of(moments, Opening),
        work=work,
        choices=_of(moments, Choice),
        damage=tuple(each for each in _of(moments, Count) if each.event.result is Result.DAMAGED),
        placed=placements[-1] if placements else None,
        photographs=photographs,
        handling=handling(book, looks),
    )


def handling(book: Book, looks: Sequence[Of[Examination]]) -> tuple[Handling, ...]:
    """What hands should know before they touch the book.

    Keeps: what was never felt is not taken to be well.
    Requires: looks with the newest first.
    """
    there = {each.type for each in book.defects.values() if not each.gone}
    felt = next((each.event.suppleness for each in looks if each.event.suppleness is not None), None)
    smelt = next((each.event.odour for each in looks if each.event.odour is not None), None)
    found = {Handling.ALWAYS} | {each for each, types in _BECAUSE_OF.items() if types & there}
    if book.holding is Holding.SLABBED:
        found.add(Handling.HOLDER)
    by_feel = {None: Handling.NOT_FELT, Suppleness.CRACKS: Handling.CRACKS, Suppleness.STIFF: Handling.STIFF}
    if felt in by_feel:
        found.add(by_feel[felt])
    if smelt is Odour.MUSTY:
        found.add(Handling.MUSTY)
    return tuple(each for each in Handling if each in found)


def _of(moments: Sequence[Moment], kind: type[E]) -> tuple[Of[E], ...]:
    """The entries in force of one kind."""
    return tuple(
        Of(seq=each.entry.seq, recorded=each.entry.recorded, event=each.event, place=place)
        for place, each in enumerate(moments)
        if each.in_force and isinstance(each.event, kind)
    )


def _measure(looks: Sequence[Of[Examination]], name: str, unit: str) -> Measure:
    """A measure as the last look took it that took it."""
    taken = [(str(value), each) for each in looks if (value := getattr(each.event, name)) is not None]
    if not taken:
        return Measure(name=name, unit=unit)
    value, look = taken[0]
    others = dict.fromkeys(each for each, _ in taken[1:] if each != value)
    return Measure(name=name, unit=unit, value=value, look=look, differs=tuple(others))


def _is_on(defect: Defect, face: Face) -> bool:
    return defect.face is face and not defect.gone


def _defects(
    looks: Sequence[Of[Examination]], work: Sequence[Of[Intervention]], photographs: Sequence[Of[Photograph]]
) -> Iterator[DefectTold]:
    """Every defect that was ever seen, in the order in which they were first seen."""
    since: dict[str, Of[Examination]] = {}
    last: dict[str, tuple[Defect, Of[Examination]]] = {}
    for look in reversed(looks):
        for defect in look.event.defects:
            since.setdefault(defect.id, look)
            last[defect.id] = (defect, look)
    for name, first in since.items():
        defect, look = last[name]
        yield DefectTold(
            defect=defect,
            since=first,
            last=look,
            photographs=tuple(each.seq for each in photographs if each.event.of_defect == name),
            worked_by=tuple(each.seq for each in work if name in each.event.worked_defects),
        )


def _marks(looks: Sequence[Of[Examination]]) -> Iterator[MarkTold]:
    """Every mark as it was described last, in the order in which they were first seen."""
    since: dict[str, Of[Examination]] = {}
    last: dict[str, Mark] = {}
    for look in reversed(looks):
        for mark in look.event.marks:
            since.setdefault(mark.id, look)
            last[mark.id] = mark
    for name, first in since.items():
        yield MarkTold(mark=last[name], since=first)
