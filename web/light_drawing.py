"""The light of a book along its time here: a line in a band, on an even axis. Units: px; across, parts of the width."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from ledger.rules.light import Extent
from ledger.when import When
from web.brief import brief_when
from web.light_words import figure

__all__ = ["LightDrawing", "drawing_of"]

WIDTH, HEIGHT = 640, 180
PARTS: Final = 2
"""Of the height, each with its figure."""


@dataclass(frozen=True, kw_only=True)
class LightDrawing:
    """The band and the line as paths, and the figures at both axes."""

    width: int
    height: int
    band: str
    line: str
    ticks: tuple[tuple[int, str], ...]
    """Height, and what it stands for."""
    first: str
    last: str


def drawing_of(series: Sequence[tuple[date, Extent]]) -> LightDrawing | None:
    """The drawing; none where there is nothing to draw."""
    most = max((extent.high for _, extent in series), default=0.0)
    if most == 0:
        return None
    begin, end = series[0][0], series[-1][0]
    days = max((end - begin).days, 1)

    def place(day: date, value: float) -> str:
        return f"{(day - begin).days * WIDTH / days:.1f} {HEIGHT - value * HEIGHT / most:.1f}"

    upper = [place(day, extent.high) for day, extent in series]
    lower = [place(day, extent.low) for day, extent in reversed(series)]
    middle = [place(day, extent.middle) for day, extent in series]
    ticks = [(HEIGHT - HEIGHT * part // PARTS, figure(most * part / PARTS)) for part in range(PARTS + 1)]
    return LightDrawing(
        width=WIDTH,
        height=HEIGHT,
        band=f"M{'L'.join([*upper, *lower])}z",
        line=f"M{'L'.join(middle)}",
        ticks=tuple(ticks),
        first=brief_when(When.of_day(begin)),
        last=brief_when(When.of_day(end)),
    )
