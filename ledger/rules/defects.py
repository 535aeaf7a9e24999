"""The types of defect: how each is measured, where it is met, and what work that adds nothing can do to it."""

from dataclasses import dataclass
from functools import cache

from ledger.proof.report import MalformedError
from ledger.rules._tables import Row, table

__all__ = ["DefectType", "DefectTypeError", "defect_type", "defect_types"]


@dataclass(eq=False, kw_only=True)
class DefectTypeError(MalformedError):
    """A name that no type of defect has."""

    name: str
    what: str = "Type of defect"
    mend: str = "Choose one of the table of defects."


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
    sources: tuple[str, ...]


@cache
def defect_types() -> tuple[DefectType, ...]:
    """Every type of defect, in the order of the table.

    Source: the row's own.
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
        sources=row.sources,
    )
