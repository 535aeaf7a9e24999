"""What can be wrong with a cover: one fault at its place, and how far round it the paper shows it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from seeds.covers.issues import Issue

SAME = MappingProxyType(
    {"corner-fold": "fold", "arrival-date": "date-mark", "sun-shadow": "shadow", "miswrap": "bindery-miswrap"}
)
"""Other words for the same fault."""


@dataclass(frozen=True)
class Fault:
    """One fault on one face.

    Units: x_mm and y_mm are its middle from the top left of the face as looked at; size_mm is its longest measure;
    angle in degrees, clockwise from level.
    """

    type: str
    face: str
    x_mm: float
    y_mm: float
    size_mm: float
    breaks_colour: bool
    angle: float = 0

    @property
    def kind(self) -> str:
        """The one word for it."""
        return SAME.get(self.type, self.type)


class Frame(NamedTuple):
    """A part of a face by its sides.

    Units: mm.
    """

    left: float
    top: float
    right: float
    bottom: float

    def within(self, width: float, height: float) -> "Frame":
        """The part of it that lies on the face."""
        return Frame(max(0, self.left), max(0, self.top), min(width, self.right), min(height, self.bottom))


_WHOLE_FACE = frozenset({"paper-tone", "bindery-miswrap", "shadow"})
_MARGIN: Mapping[str, float] = MappingProxyType(
    {"bend": 9, "crease": 5, "subscription-fold": 9, "waviness": 4, "staple-rust": 9, "staple-tone": 9,
     "rust-migrated": 14, "spine-split": 4, "tear": 6, "missing-piece": 5, "tide-line": 6, "fold": 6}
)  # fmt: skip
_USUAL_MARGIN = 4.0


def region(fault: Fault, issue: Issue) -> Frame:
    """The part of the face outside of which the fault changes nothing."""
    width, height = issue.width_mm, issue.height_mm
    if fault.kind in _WHOLE_FACE:
        return Frame(0, 0, width, height)
    if fault.kind == "spine-roll":
        reach = fault.size_mm * 4 + 8
        return Frame(0, 0, reach, height) if fault.face == "front" else Frame(width - reach, 0, width, height)
    margin = _MARGIN.get(fault.kind, _USUAL_MARGIN)
    half = fault.size_mm / 2 + margin
    if fault.kind in _LONG:
        turn = math.radians(90 if fault.kind in _UPRIGHT else fault.angle)
        wide = abs(math.cos(turn)) * fault.size_mm / 2 + margin
        high = abs(math.sin(turn)) * fault.size_mm / 2 + margin
    else:
        wide, high = half, half
    frame = Frame(fault.x_mm - wide, fault.y_mm - high, fault.x_mm + wide, fault.y_mm + high)
    return frame.within(width, height)


_UPRIGHT = frozenset({"subscription-fold", "spine-split"})
_LONG = frozenset({"bend", "crease", "subscription-fold", "pencil-mark", "ink-writing", "spine-tick", "tape",
                   "tape-residue", "date-mark", "spine-split"})  # fmt: skip
