"""What choices come to, on one scale: a bar from the least to the most of nine times in ten, and a tick at the mean.

Units: per cent of the width.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.rules.worth import Weighed

__all__ = ["Spread", "Spreads", "spreads_of"]

EDGE: Final = 4.0
"""Room on either side, so that no tick lies on the edge."""
WHOLE: Final = 100.0


@dataclass(frozen=True, kw_only=True)
class Spread:
    """One choice on the scale."""

    low: float
    width: float
    mean: float


@dataclass(frozen=True, kw_only=True)
class Spreads:
    """All choices, on the scale that holds them and zero."""

    zero: float
    least: Fraction
    most: Fraction
    of: tuple[Spread, ...]


def spreads_of(found: Sequence[Weighed]) -> Spreads:
    """The bars, in the order in which the choices are given."""
    ends = [Fraction(0), *(end for each in found for end in (each.low, each.high, each.net))]
    least, most = min(ends), max(ends)

    def at(amount: Fraction) -> float:
        share = (amount - least) / (most - least) if most > least else Fraction(1, 2)
        return round(EDGE + float(share) * (WHOLE - 2 * EDGE), 2)

    return Spreads(
        zero=at(Fraction(0)),
        least=least,
        most=most,
        of=tuple(
            Spread(low=at(each.low), width=round(at(each.high) - at(each.low), 2), mean=at(each.net)) for each in found
        ),
    )
