"""The techniques of the bench and of the conservator: what each does to the material, what for, and who sees it how."""

from dataclasses import dataclass
from functools import cache

from ledger.proof.report import MalformedError
from ledger.rules._tables import Row, table
from ledger.rules.cautions import Caution, caution
from ledger.rules.headings import Fact, Heading, Purpose, heading

__all__ = ["Technique", "TechniqueError", "technique", "techniques"]


@dataclass(eq=False, kw_only=True)
class TechniqueError(MalformedError):
    """A name that no technique has."""

    name: str
    what: str = "Technique"
    mend: str = "Choose one of the table of techniques."


@dataclass(frozen=True, kw_only=True)
class Technique:
    """One technique: material facts as they usually are, aim, trade view; the three are never merged.

    `adds`, `removes_original` and `alters` are what a step starts from; the step may say otherwise for this book.
    Possible side effects are told beside them and are not in `alters`. The heading is worked out, never stored.
    """

    id: str
    title: str
    adds: Fact
    removes_original: Fact
    alters: Fact
    purpose: Purpose
    side_effects: str
    reversible: str
    """yes, no or partly"""
    detectable_by: str
    aims: tuple[str, ...]
    """preventive, remedial, restoration: those that it may serve; empty where it serves none of the three"""
    aim: str
    trade_view: str
    where_views_differ: str
    caution: Caution | None
    record_level: str
    record_also: str
    needs_heat: bool
    sentence: str
    """What a record says of it."""
    sources: tuple[str, ...]

    @property
    def heading(self) -> Heading:
        """The heading of a step whose facts are as they usually are."""
        return heading(self.adds, self.removes_original, self.alters, self.purpose)

    @property
    def record(self) -> str:
        """What should be written down and photographed for it."""
        level = table("record_levels").row(self.record_level)
        assert level is not None  # checked when the row was read
        return f"{level.text('text')} Also: {self.record_also}."


@cache
def techniques() -> tuple[Technique, ...]:
    """Every technique, in the order of the table.

    Source: the row's own; see `sources`.
    """
    return tuple(_read(row) for row in table("techniques").rows)


def technique(name: str) -> Technique:
    """The technique of that name.

    Raises: TechniqueError, if there is none.
    """
    found = next((each for each in techniques() if each.id == name), None)
    if found is None:
        raise TechniqueError(name=name, problem=f"there is no technique {name!r}")
    return found


def _read(row: Row) -> Technique:
    return Technique(
        id=row.id,
        title=row.text("title"),
        adds=Fact(row.text("adds")),
        removes_original=Fact(row.text("removes_original")),
        alters=Fact(row.text("alters")),
        purpose=Purpose(row.text("purpose")),
        side_effects=row.text("side_effects"),
        reversible=row.one_of("reversible", ("yes", "no", "partly")),
        detectable_by=row.text("detectable_by"),
        aims=row.texts("aims"),
        aim=row.text("aim"),
        trade_view=row.text("trade_view"),
        where_views_differ=row.text("where_views_differ"),
        caution=None if row.text("caution") == "none" else caution(row.text("caution")),
        record_level=row.one_of("record_level", tuple(level.id for level in table("record_levels").rows)),
        record_also=row.text("record_also"),
        needs_heat=row.flag("needs_heat"),
        sentence=row.text("sentence"),
        sources=row.sources,
    )
