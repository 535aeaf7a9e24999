"""What a whole round of work leaves of a defect: how often it is gone, lessened or the same, by type and break."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final

from ledger.proof.report import MalformedError
from ledger.rules._tables import Row, TableError, table
from ledger.rules.defects import defect_type

__all__ = [
    "OF",
    "ChanceRow",
    "Chances",
    "ChancesError",
    "Eased",
    "chance_row",
    "chance_rows",
    "read_chances",
    "updated",
]

OF: Final = 1000
"""What the three numbers of a row add up to."""


@dataclass(eq=False, kw_only=True)
class ChancesError(MalformedError):
    """Three numbers that are no chances."""

    what: str = "Chances"
    mend: str = "Give three whole numbers from 0 up, at least one of them above 0."


@dataclass(frozen=True)
class Chances:
    """How often a defect is gone, lessened or the same, out of all three together: exact, and never a decimal.

    Raises: ChancesError, for numbers below 0, or none above it.
    """

    gone: int
    lessened: int
    same: int

    def __post_init__(self) -> None:
        if min(self.gone, self.lessened, self.same) < 0 or not self.of:
            raise ChancesError(problem=f"{self.gone}, {self.lessened} and {self.same} are no chances")

    @property
    def of(self) -> int:
        """All three together."""
        return self.gone + self.lessened + self.same

    @property
    def shares(self) -> tuple[Fraction, Fraction, Fraction]:
        """Gone, lessened and the same as parts of 1."""
        return Fraction(self.gone, self.of), Fraction(self.lessened, self.of), Fraction(self.same, self.of)

    def eased_by(self, more: Fraction) -> "Chances":
        """With so much more of gone, taken from the same and, where that is used up, from lessened.

        Requires: more from 0 up; what is beyond certainty is left out.
        """
        gone, lessened, same = self.shares
        more = min(more, 1 - gone)
        from_same = min(more, same)
        parts = (gone + more, lessened - (more - from_same), same - from_same)
        of = parts[0].denominator * parts[1].denominator * parts[2].denominator
        return Chances(*(int(part * of) for part in parts))


@dataclass(frozen=True, kw_only=True)
class Eased:
    """How often looks after a rest found a defect of one kind gone, lessened, or the same or worse."""

    gone: int = 0
    lessened: int = 0
    same: int = 0

    @property
    def times(self) -> int:
        """All of them."""
        return self.gone + self.lessened + self.same


@dataclass(frozen=True, kw_only=True)
class ChanceRow:
    """One row: the chances a type of defect begins with, and how many own results weigh as much."""

    id: str
    type: str
    breaks_colour: str
    """yes, no or any"""
    chances: Chances
    strength: int
    sources: tuple[str, ...]


@cache
def chance_rows() -> tuple[ChanceRow, ...]:
    """Every row that ships, in the order of the table.

    Source: the row's own; the numbers are our assumption, to be replaced by the collector's own results.
    """
    return tuple(read_chances(row) for row in table("chances").rows)


def chance_row(name: str, *, breaks_colour: bool | None, rows: Sequence[ChanceRow] | None = None) -> ChanceRow:
    """The row that speaks of a defect; a break that is not known of counts as one.

    Raises: DefectTypeError, for a type not in the table; TableError, where no row speaks of it.
    """
    known, told = defect_type(name), "no" if breaks_colour is False else "yes"
    for row in chance_rows() if rows is None else rows:
        if row.type == known.id and row.breaks_colour in ("any", told):
            return row
    raise TableError(where="chances", problem=f"no row speaks of {known.id} with break {told}")


def updated(row: ChanceRow, seen: Eased) -> Chances:
    """The chances of a row after what this collector's own looks found.

    The mean of the Dirichlet distribution whose parameters are strength times chance plus the times counted.
    Source: conjugate prior of the multinomial distribution, Gelman et al., Bayesian Data Analysis, 3rd ed., 3.4.
    """
    prior, weight = row.chances, row.chances.of
    return Chances(
        row.strength * prior.gone + weight * seen.gone,
        row.strength * prior.lessened + weight * seen.lessened,
        row.strength * prior.same + weight * seen.same,
    )


def read_chances(row: Row) -> ChanceRow:
    """One row, shipped or ruled on.

    Keeps: where a ruling leaves numbers that add up to something else than a thousand, they count by their shares.
    Raises: TableError, for a row that gives no chances.
    """
    where = f"{row.table}, row {row.id}"
    strength = row.whole("strength")
    if strength < 1:
        raise TableError(where=where, problem="the strength is not a whole number from 1 up")
    try:
        chances = Chances(row.whole("gone"), row.whole("lessened"), row.whole("same"))
    except ChancesError as error:
        raise TableError(where=where, problem=error.problem, mend=error.mend) from error
    return ChanceRow(
        id=row.id,
        type=defect_type(row.text("type")).id,
        breaks_colour=row.one_of("breaks_colour", ("yes", "no", "any")),
        chances=chances,
        strength=strength,
        sources=row.sources,
    )
