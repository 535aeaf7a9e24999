"""How one photograph comes to lie over another, found by itself: where it was found, from how much, and where it was not.

Nothing here goes into an entry: it is worked out anew from two clean copies each time somebody asks.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

__all__ = ["Affine", "Aligned", "Aligner", "NotAligned", "Reason"]

WHOLE = 100


@dataclass(frozen=True)
class Affine:
    """Takes (x, y) to (a x + c y + right, b x + d y + down), with y pointing down.

    Source: SVG 2 section 8.5, matrix(a b c d right down).
    """

    a: float
    b: float
    c: float
    d: float
    right: float
    down: float

    def of(self, x: float, y: float) -> tuple[float, float]:
        """Where the point comes to lie."""
        return self.a * x + self.c * y + self.right, self.b * x + self.d * y + self.down

    @property
    def rows(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Its upper two rows, as they stand before a column of x, y and 1."""
        return (self.a, self.c, self.right), (self.b, self.d, self.down)

    @property
    def scale(self) -> float:
        """How many times as large it becomes: the root of how many times as much area. Requires: no mirror."""
        return math.sqrt(self.a * self.d - self.b * self.c)

    @property
    def turned(self) -> float:
        """How far it is turned clockwise. Units: degrees.

        Source: the rotation that is nearest to it; the polar decomposition of a 2 by 2 matrix in closed form.
        """
        return math.degrees(math.atan2(self.b - self.c, self.a + self.d))

    @property
    def stretched(self) -> float:
        """The longest that a length becomes by the shortest: 1 where shapes stay alike.

        Source: the two singular values of a 2 by 2 matrix in closed form.
        """
        alike = math.hypot(self.a + self.d, self.b - self.c)
        unlike = math.hypot(self.a - self.d, self.b + self.c)
        return (alike + unlike) / (alike - unlike) if alike > unlike else math.inf

    def in_pictures(self, later_tall: float, earlier_tall: float) -> "Affine":
        """The same between pictures that are 100 wide, where this one is between shares of width and height.

        Units: heights of the two pictures when each is 100 wide.
        """
        return Affine(
            a=self.a,
            b=self.b * earlier_tall / WHOLE,
            c=self.c * WHOLE / later_tall,
            d=self.d * earlier_tall / later_tall,
            right=self.right * WHOLE,
            down=self.down * earlier_tall,
        )


class Reason(StrEnum):
    """Why two photographs were not aligned."""

    UNREADABLE = "unreadable"
    """One of the clean copies is not there, or cannot be read."""
    FEW = "too few places agree"
    GATHERED = "the places that agree lie in one corner"
    UNLIKE = "laid over each other they do not look alike"
    STRETCHED = "it would have to be stretched or shrunk beyond what a photograph of a flat sheet is"


@dataclass(frozen=True, kw_only=True)
class Aligned:
    """The later photograph lies over the earlier one.

    Units: over shares of width and height, from the upper left; rms_px and wide_px px of the earlier picture.
    """

    over: Affine
    agreeing: int
    """Places that were found on both and agree with each other."""
    rms_px: float
    """How far these places still lie apart, as a root mean square."""
    wide_px: int
    """How wide the earlier picture was when they were measured."""
    likeness: float
    """The correlation of brightness, 1 at the most."""


@dataclass(frozen=True)
class NotAligned:
    """No way was found, or none that can be trusted."""

    reason: Reason
    agreeing: int = 0


class Aligner(Protocol):
    """Finds how a later picture lies over an earlier one, from clean copies alone. ConflictError where not at hand."""

    @property
    def at_hand(self) -> bool:
        """It can be asked."""
        ...

    def align(self, earlier: bytes, later: bytes) -> Aligned | NotAligned:
        """What was found."""
        ...
