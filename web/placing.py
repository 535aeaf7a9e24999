"""The book opened flat, on which a defect is placed by a tap: back, spine and front side by side, to scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.events._parts import Defect, Face
from ledger.usecases.look import BookLook
from web.figure import USUAL_MM, measured

__all__ = ["GAP_MM", "SPINE_MM", "Ground", "Leaf", "Seen", "ground_of"]

SPINE_MM: Final = 9.0
"""How wide a spine is drawn. It is two or three millimetres in fact, and could not be met by a finger. Our assumption."""
GAP_MM: Final = 6.0


@dataclass(frozen=True, kw_only=True)
class Leaf:
    """One face of the book on the ground. Units: mm of the book, but for `scale`, which is how much wider it is drawn."""

    face: str
    x: float
    width: float
    height: float
    scale: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Seen:
    """Where a defect lay at the last look. Units: mm on the ground."""

    id: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True)
class Ground:
    """All faces, what was seen on them before, and how much room they take. Units: mm."""

    width: float
    height: float
    leaves: tuple[Leaf, ...]
    seen: tuple[Seen, ...]
    measured: bool
    """The book's own size, and not the usual one."""


def ground_of(looks: Sequence[BookLook]) -> Ground | None:
    """The ground for one book; None for several, each of which would need its own."""
    if len(looks) != 1:
        return None
    size = measured(looks[0].moments)
    wide, high = (float(each) for each in size) if size else USUAL_MM
    front = wide + SPINE_MM + 2 * GAP_MM
    leaves = (
        Leaf(face=Face.BACK.value, x=0.0, width=wide, height=high),
        Leaf(face=Face.SPINE.value, x=wide + GAP_MM, width=SPINE_MM, height=high, scale=SPINE_MM / _SPINE_IN_FACT),
        Leaf(face=Face.FRONT.value, x=front, width=wide, height=high),
    )
    seen = tuple(placed for each in looks[0].book.defects.values() if not each.gone for placed in _placed(each, leaves))
    return Ground(width=front + wide, height=high, leaves=leaves, seen=seen, measured=size is not None)


_SPINE_IN_FACT: Final = 3.0
"""How wide a spine is. Units: mm. Common practice, no source."""


def _placed(defect: Defect, leaves: Sequence[Leaf]) -> list[Seen]:
    """A defect with a place on one of these faces."""
    leaf = next((each for each in leaves if each.face == defect.face), None)
    if leaf is None or defect.region is None:
        return []
    region = defect.region
    return [
        Seen(
            id=defect.id,
            x=leaf.x + float(region.x_mm) * leaf.scale,
            y=float(region.y_mm),
            width=float(region.width_mm or 0) * leaf.scale,
            height=float(region.height_mm or 0),
        )
    ]
