"""What a condition report says of one book, as data: what was seen and by whom, what was done, and what nobody knows."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Final, Generic, TypeVar

from ledger.book import Book, GradeStep
from ledger.events import Event
from ledger.events._parts import Answer, Defect, Face, Mark
from ledger.events.choice import Choice
from ledger.events.count import Count, Result
from ledger.events.earlier import Earlier
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.opening import Opening
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement
from ledger.events.purchase import Purchase
from ledger.handling import RUST, Handling, handling
from ledger.history import Moment
from ledger.looks import LookSeen, looks_of
from ledger.rules.defects import defect_types
from ledger.when import When

__all__ = [
    "MEASURED",
    "ClaimTold",
    "DefectTold",
    "LedgerState",
    "MarkTold",
    "Measure",
    "Of",
    "Report",
    "report",
]

E = TypeVar("E", bound=Event)
E_co = TypeVar("E_co", bound=Event, covariant=True)

MEASURED: Final[Mapping[str, str]] = MappingProxyType(
    {
        **dict.fromkeys(("height_mm", "width_mm", "thickness_mm"), "mm"),
        "weight_g": "g",
        **dict.fromkeys(("pages_counted", "staples_counted"), ""),
    }
)
"""The fields of a look that measure the whole book, with their units."""


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
    """Entries of what shows it, its macro photograph among them."""
    worked_by: tuple[int, ...]

    @property
    def title(self) -> str:
        """Its type in words."""
        return _title(self.defect)


@dataclass(frozen=True, kw_only=True)
class ClaimTold:
    """What somebody else claims and no look here has seen: at which look it was taken over, and which went over its face."""

    defect: Defect
    told: Of[Examination]
    looked: Of[Examination] | None = None

    @property
    def title(self) -> str:
        """Its type in words."""
        return _title(self.defect)


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
    seen: tuple[LookSeen, ...]
    """The same looks, each held against the one before it."""
    measures: tuple[Measure, ...]
    faces: tuple[tuple[Face, tuple[DefectTold, ...]], ...]
    gone: tuple[DefectTold, ...]
    claims: tuple[ClaimTold, ...]
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

    @property
    def rusted(self) -> tuple[Defect, ...]:
        """Rust of staples as defects tell it, those that have gone among them."""
        return tuple(each for each in self.book.defects.values() if each.type in RUST and each.claimed_by is None)

    def entry(self, seq: int) -> Of[Examination] | None:
        """The look of that number."""
        return next((each for each in self.looks if each.seq == seq), None)

    def told_last(self, name: str) -> Of[Examination] | None:
        """The last look that has a value in that field; None where no look has one, and being unsure is none."""
        silent = (None, Answer.UNSURE)
        return next((each for each in self.looks if getattr(each.event, name) not in silent), None)

    def against(self, look: Of[Examination]) -> LookSeen:
        """That look held against the one before it."""
        return next(each for each in self.seen if each.seq == look.seq)


def report(book: Book, moments: Sequence[Moment], state: LedgerState) -> Report:
    """The report of a book.

    Requires: the book is the fold of these moments.
    """
    looks, seen = tuple(reversed(_of(moments, Examination))), tuple(reversed(looks_of(moments)))
    work, photographs = _of(moments, Intervention), _of(moments, Photograph)
    by_seq = {each.seq: each for each in looks}
    defects = tuple(_defects(seen, by_seq, work, photographs))
    placements = [each for each in _of(moments, Placement) if each.seq == book.placed_by]
    return Report(
        book=book,
        state=state,
        looks=looks,
        seen=seen,
        measures=tuple(_measure(looks, name, unit) for name, unit in MEASURED.items()),
        faces=tuple((face, tuple(each for each in defects if _is_on(each.defect, face))) for face in Face),
        gone=tuple(each for each in defects if each.defect.gone),
        claims=tuple(_claims(seen, by_seq)),
        marks=tuple(_marks(seen, by_seq)),
        grades=book.grades,
        bought=_of(moments, Purchase),
        records=_of(moments, Earlier),
        openings=_of(moments, Opening),
        work=work,
        choices=_of(moments, Choice),
        damage=tuple(each for each in _of(moments, Count) if each.event.result is Result.DAMAGED),
        placed=placements[-1] if placements else None,
        photographs=photographs,
        handling=handling(book, [each.event for each in looks]),
    )


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
    seen: Sequence[LookSeen],
    looks: Mapping[int, Of[Examination]],
    work: Sequence[Of[Intervention]],
    photographs: Sequence[Of[Photograph]],
) -> Iterator[DefectTold]:
    """Every defect that was ever seen, in the order in which they were first seen."""
    for each in seen[0].seen if seen else ():
        name, macro = each.defect.id, each.defect.photograph
        yield DefectTold(
            defect=each.defect,
            since=looks[each.since],
            last=looks[each.seen_by],
            photographs=tuple(
                shot.seq for shot in photographs if name == shot.event.of_defect or macro == shot.event.clean
            ),
            worked_by=tuple(step.seq for step in work if name in step.event.worked_ids),
        )


def _claims(seen: Sequence[LookSeen], looks: Mapping[int, Of[Examination]]) -> Iterator[ClaimTold]:
    """What is still only claimed after the last look."""
    for each in seen[0].claims if seen else ():
        yield ClaimTold(
            defect=each.defect, told=looks[each.told_by], looked=looks[each.looked_by] if each.looked_by else None
        )


def _marks(seen: Sequence[LookSeen], looks: Mapping[int, Of[Examination]]) -> Iterator[MarkTold]:
    """Every mark as it was described last, in the order in which they were first seen."""
    for each in seen[0].marks if seen else ():
        yield MarkTold(mark=each.mark, since=looks[each.since])


def _title(defect: Defect) -> str:
    return next((each.title for each in defect_types() if each.id == defect.type), defect.type)
