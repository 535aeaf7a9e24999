"""The best grade at which a defect of this type and size is still commonly met."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Final

from ledger.proof.report import MalformedError
from ledger.rules._tables import Row, TableError, table
from ledger.rules.defects import defect_type
from ledger.rules.grades import Grade, GradeError, grades

__all__ = ["Ceiling", "SizeClass", "UnmeasuredError", "allows", "ceilings", "read_ceiling", "unmeasured"]

BACK_KINDER_STEPS = 1
"""The back cover is read this many steps kinder. Source: common practice, no source."""


_SIZE: Final = re.compile(r"(0|[1-9][0-9]{0,5})(\.[0-9]{1,3})?")
"""A size as an examination has it: a plain decimal."""


@dataclass(eq=False, kw_only=True)
class UnmeasuredError(MalformedError):
    """A defect whose ceiling cannot be read, because what its row goes by was not measured."""

    defect: str
    measure: str
    what: str = "Ceiling"


@dataclass(frozen=True)
class SizeClass:
    """Sizes up to and with this one allow this grade at best; None is no limit on either side."""

    up_to: Decimal | None
    allows: Grade | None


@dataclass(frozen=True, kw_only=True)
class Ceiling:
    """One row: what a type of defect allows at best, class by class, the smallest first.

    Units: `up_to` in what the row goes by: size_mm (for bends the total length on that face), count or share_percent.
    """

    id: str
    type: str
    breaks_colour: str
    """yes, no or any"""
    by: str
    """size_mm, count, share_percent, word, or any where it is enough that it is there"""
    word: str | None
    unmeasured_is_least: bool
    classes: tuple[SizeClass, ...]
    sources: tuple[str, ...]

    def at(self, size: Decimal | None) -> Grade | None:
        """What a size allows; requires: a size, unless the row goes by presence alone."""
        if size is None:
            return self.classes[0].allows
        return next(each.allows for each in self.classes if each.up_to is None or size <= each.up_to)


@cache
def ceilings() -> tuple[Ceiling, ...]:
    """Every row, in the order of the table.

    Source: the row's own: from memory of published handbooks, or our assumption.
    """
    return tuple(read_ceiling(row) for row in table("ceilings").rows)


def allows(  # noqa: PLR0913  # one argument for each thing a look writes down of a defect
    name: str,
    *,
    face: str,
    breaks_colour: bool | None,
    size_mm: Decimal | None = None,
    count: int | None = None,
    share_percent: int | None = None,
    word: str | None = None,
) -> Grade | None:
    """The best grade a defect of this type allows, or None where it sets no limit.

    A defect of size 0 is gone and sets none. A break that is not known of counts as one. Where several rows speak of
    the type, the strictest counts; the back cover is read a step kinder than the front.
    Source: the row's own; that the strictest counts and the back is kinder is our assumption.
    Raises: DefectTypeError, for a type not in the table; UnmeasuredError, where the row's measure is missing.
    """
    known = defect_type(name)
    measured: dict[str, Decimal | None] = {
        "size_mm": size_mm,
        "count": Decimal(1 if count is None else count),
        "share_percent": None if share_percent is None else Decimal(share_percent),
    }
    if 0 in measured.values():
        return None
    told = "no" if breaks_colour is False else "yes"
    rows = [row for row in ceilings() if row.type == known.id and row.breaks_colour in ("any", told)]
    limits = [row.at(_size(row, measured)) for row in rows if row.word in (None, word)]
    found = [grade for grade in limits if grade is not None]
    if not found:
        return None
    strictest = min(found)
    return grades()[min(strictest.step + BACK_KINDER_STEPS, len(grades()) - 1)] if face == "back" else strictest


def _size(row: Ceiling, measured: Mapping[str, Decimal | None]) -> Decimal | None:
    """What the row goes by, as it was measured."""
    size = measured.get(row.by)
    if size is None and row.by in measured and not row.unmeasured_is_least:
        raise unmeasured(row)
    return size


def unmeasured(row: Ceiling) -> UnmeasuredError:
    """What is said of a defect whose row goes by something that was not measured."""
    known = defect_type(row.type)
    problem, mend = f"{known.title} was not measured", f"Measure the {known.measure}."
    return UnmeasuredError(defect=known.id, measure=row.by, problem=problem, mend=mend)


def read_ceiling(row: Row) -> Ceiling:
    """One row, shipped or ruled on.

    Raises: TableError, for a row that cannot be read.
    """
    try:
        return _read(row)
    except (GradeError, InvalidOperation) as error:
        problem = "a class has a size that is no number, or a grade that is no step"
        raise TableError(where=f"{row.table}, row {row.id}", problem=problem) from error


def _read(row: Row) -> Ceiling:
    by = row.one_of("by", ("size_mm", "count", "share_percent", "word", "any"))
    given = row.fields["classes"]
    if not isinstance(given, tuple) or not given:
        raise TableError(where=f"{row.table}, row {row.id}", problem="there are no classes")
    word = given[0]["up_to"] if by == "word" else None
    classes = tuple(_class(each["up_to"] if by != "word" else None, each["allows"]) for each in given)
    _check(row, by, classes)
    return Ceiling(
        id=row.id,
        type=defect_type(row.text("type")).id,
        breaks_colour=row.one_of("breaks_colour", ("yes", "no", "any")),
        by=by,
        word=word,
        unmeasured_is_least=row.one_of("unmeasured", ("refused", "least")) == "least",
        classes=classes,
        sources=row.sources,
    )


def _class(up_to: str | None, best: str | None) -> SizeClass:
    if up_to is not None and not _SIZE.fullmatch(up_to):
        raise InvalidOperation
    return SizeClass(None if up_to is None else Decimal(up_to), None if best is None else Grade(best))


def _check(row: Row, by: str, classes: tuple[SizeClass, ...]) -> None:
    """A longer one never allows more, and the last class has no end."""
    limits = [each.up_to for each in classes]
    steps = [len(grades()) if each.allows is None else each.allows.step for each in classes]
    numbers = [limit for limit in limits[:-1] if limit is not None]
    if limits[-1] is not None or len(numbers) != len(limits) - 1 or numbers != sorted(set(numbers)):
        raise TableError(where=f"{row.table}, row {row.id}", problem=f"the classes by {by} do not rise to an open end")
    if steps != sorted(steps, reverse=True):
        raise TableError(where=f"{row.table}, row {row.id}", problem="a larger one would allow a better grade")
