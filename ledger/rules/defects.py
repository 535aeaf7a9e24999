"""The types of defect: how each is measured, what work that adds nothing can do to it, and the chances of that."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from ledger.proof.report import MalformedError
from ledger.rules._tables import Row, TableError, table

__all__ = ["Chances", "DefectType", "DefectTypeError", "defect_type", "defect_types"]


@dataclass(eq=False, kw_only=True)
class DefectTypeError(MalformedError):
    """A name that no type of defect has."""

    name: str
    what: str = "Type of defect"
    mend: str = "Choose one of the table of defects."


@dataclass(frozen=True)
class Chances:
    """What a whole round of work leaves of a defect: gone, lessened, or the same. They add up to 1."""

    gone: Decimal
    lessened: Decimal
    same: Decimal


@dataclass(frozen=True, kw_only=True)
class DefectType:
    """One type of defect."""

    id: str
    title: str
    group: str
    measured_by: tuple[str, ...]
    """size_mm, count, share_percent, or word; empty where it is only there or not"""
    measure: str
    """What is measured, in words."""
    breaks_colour: str
    """yes, no, either or not-applicable"""
    faces: tuple[str, ...]
    work: str
    """What work that adds nothing can do to it."""
    unbroken: Chances
    broken: Chances
    sources: tuple[str, ...]

    def chances(self, *, breaks_colour: bool | None) -> Chances:
        """The chances after a whole round of work; a break that is not known of counts as one."""
        return self.unbroken if breaks_colour is False else self.broken


@cache
def defect_types() -> tuple[DefectType, ...]:
    """Every type of defect, in the order of the table.

    Source: the row's own; the chances are our assumption, to be replaced by the collector's own results.
    """
    return tuple(_read(row) for row in table("defects").rows)


def defect_type(name: str) -> DefectType:
    """The type of that name.

    Raises: DefectTypeError, if there is none.
    """
    found = next((each for each in defect_types() if each.id == name), None)
    if found is None:
        raise DefectTypeError(name=name, problem=f"there is no type of defect {name!r}")
    return found


def _read(row: Row) -> DefectType:
    return DefectType(
        id=row.id,
        title=row.text("title"),
        group=row.text("group"),
        measured_by=row.texts("measured_by"),
        measure=row.text("measure"),
        breaks_colour=row.one_of("breaks_colour", ("yes", "no", "either", "not-applicable")),
        faces=row.texts("faces"),
        work=row.text("work"),
        unbroken=_chances(row, "chances_unbroken"),
        broken=_chances(row, "chances_broken"),
        sources=row.sources,
    )


def _chances(row: Row, name: str) -> Chances:
    gone, lessened, same = (Decimal(part) for part in row.texts(name))
    if gone + lessened + same != 1 or min(gone, lessened, same) < 0:
        raise TableError(where=f"{row.table}, row {row.id}, field {name}", problem="the chances do not add up to 1")
    return Chances(gone, lessened, same)
