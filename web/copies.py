"""A book drawn small or large: its outline at its own size, in its holder where it is in one."""

from dataclasses import dataclass, replace
from functools import lru_cache

from ledger.events._parts import Holding
from ledger.hanging import Reach, reach_of, year_of
from ledger.rules.sizes import size_of

__all__ = ["Copy", "copy_of"]


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
def copy_of(  # noqa: PLR0913 - what is known of a copy, and at which scale it is drawn
    width_mm: str | None,
    height_mm: str | None,
    cover_date: str | None,
    holding: str | None,
    *,
    one_mm: float,
    reach: Reach | None = None,
) -> Copy:
    """A book as it is drawn where a millimetre is so long; `reach` is that of its holder, where not the table's own."""
    size = size_of(width_mm, height_mm, year_of(cover_date))
    in_holder = holding == Holding.SLABBED.value
    own = reach if reach is not None else reach_of()
    side, end = (float(own.side), float(own.end)) if in_holder else (0.0, 0.0)
    width, height = float(size.width_mm), float(size.height_mm)
    return Copy(
        width=round(width * one_mm, 2),
        height=round(height * one_mm, 2),
        whole_width=round((width + 2 * side) * one_mm, 2),
        whole_height=round((height + 2 * end) * one_mm, 2),
        in_holder=in_holder,
        measured=size.measured,
    )
