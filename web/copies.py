"""A book drawn small or large: its outline at its own size, in its holder where it is in one."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from ledger.events._parts import Holding
from ledger.rules.sizes import holder_reach, size_of

__all__ = ["Copy", "copy_of"]

_YEAR: Final = 4


@dataclass(frozen=True, slots=True)
class Copy:
    """A book's outline, and around it that of its holder.

    Units: whatever one millimetre was said to be.
    """

    width: float
    height: float
    whole_width: float
    whole_height: float
    in_holder: bool
    measured: bool
    """Drawn as measured; otherwise as books of its time commonly are."""

    def scaled(self, by: float) -> "Copy":
        """The same book, so many times as large."""
        names = ("width", "height", "whole_width", "whole_height")
        return replace(self, **{name: round(getattr(self, name) * by, 1) for name in names})

    @property
    def side(self) -> float:
        """How far the holder reaches beyond the book on each side."""
        return round((self.whole_width - self.width) / 2, 2)

    @property
    def end(self) -> float:
        """The same at either end."""
        return round((self.whole_height - self.height) / 2, 2)


@lru_cache(maxsize=4096)
def copy_of(
    width_mm: str | None, height_mm: str | None, cover_date: str | None, holding: str | None, *, one_mm: float
) -> Copy:
    """A book as it is drawn where a millimetre is so long."""
    size = size_of(width_mm, height_mm, _year(cover_date))
    in_holder = holding == Holding.SLABBED.value
    side, end = holder_reach() if in_holder else (0, 0)
    width, height = float(size.width_mm), float(size.height_mm)
    return Copy(
        width=round(width * one_mm, 2),
        height=round(height * one_mm, 2),
        whole_width=round((width + 2 * side) * one_mm, 2),
        whole_height=round((height + 2 * end) * one_mm, 2),
        in_holder=in_holder,
        measured=size.measured,
    )


def _year(cover_date: str | None) -> int | None:
    """The first year that a date may mean."""
    first = (cover_date or "")[:_YEAR].replace("X", "0")
    return int(first) if len(first) == _YEAR and first.isdecimal() else None
