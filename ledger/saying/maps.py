"""The book opened flat, seen from outside, with what has a place on it: back, spine and front side by side."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from ledger.events._parts import Face, Region
from ledger.events.examination import Examination
from ledger.proof.sheet import SHAPES, Map, Spot
from ledger.saying.told import Told
from ledger.saying.wording import t

__all__ = ["Placed", "map_of"]

USUAL_MM: Final = (Decimal(178), Decimal(262))
"""Width and height that are drawn where nobody measured. Source: common practice, no source."""
SPINE_IN_FACT: Final = Decimal(3)
SPINE_MM: Final = Decimal(9)
"""How wide a spine is, and how wide it is drawn, for nothing could be seen on it else. Common practice, no source."""
LARGEST: Final = Decimal(4000)
"""What is larger is no comic book, and no map of it is drawn. Units: mm. Our assumption."""
HUNDREDTH: Final = Decimal("0.01")


@dataclass(frozen=True)
class Placed:
    """Something that may have a place on a face: its label, where it lies, and whether it breaks colour."""

    label: str
    face: Face
    region: Region | None
    solid: bool = False


def map_of(of: Told, placed: Iterable[Placed], until: int | None = None, beside: str = "") -> Map | None:
    """The map of what lies on the outside; None where nothing of it has a place there.

    `until` is the number of the last look whose measures count; all of them where it is None. `beside` is said after
    the words of the map.
    """
    size = _measured(of, until)
    width, height = size or USUAL_MM
    if not 0 < width < LARGEST or not 0 < height < LARGEST:
        return None
    spots = tuple(each for one in placed if (each := _spot(one, width, height)) is not None)
    if not spots:
        return None
    key = "map.measured" if size else "map.usual"
    return Map(
        width=_plain(2 * width + SPINE_MM),
        height=_plain(height),
        folds=(_plain(width), _plain(width + SPINE_MM)),
        spots=spots,
        words=f"{t(key, width=_plain(width), height=_plain(height))} {beside}".rstrip(),
    )


def _measured(of: Told, until: int | None) -> tuple[Decimal, Decimal] | None:
    """Width and height as they were measured last, up to a look."""
    found: dict[str, Decimal] = {}
    for moment, event in of.of(Examination):
        for name in ("width_mm", "height_mm"):
            value = getattr(event, name)
            if value is not None:
                found[name] = Decimal(value)
        if moment.entry.seq == until:
            break
    return (found["width_mm"], found["height_mm"]) if len(found) == 2 else None  # noqa: PLR2004 - both of them


def _spot(one: Placed, width: Decimal, height: Decimal) -> Spot | None:
    """It as it is drawn; None for what lies on no face of the map, or over its edge."""
    leaf = _leaves(width).get(one.face)
    if one.region is None or leaf is None:
        return None
    region, scale = one.region, leaf.scale
    x, y = Decimal(region.x_mm) * scale, Decimal(region.y_mm)
    if region.to_x_mm is not None and region.to_y_mm is not None:
        to_x, to_y = Decimal(region.to_x_mm) * scale, Decimal(region.to_y_mm)
        if max(x, to_x) > leaf.width or max(y, to_y) > height:
            return None
        ends = (_plain(to_x + leaf.start), _plain(to_y))
        return Spot(one.label, _plain(x + leaf.start), _plain(y), *ends, SHAPES[1], solid=one.solid)
    wide, high = Decimal(region.width_mm or 0) * scale, Decimal(region.height_mm or 0)
    if x + wide > leaf.width or y + high > height:
        return None
    x += leaf.start
    # A point has no width and no height, a line one of them, an area both.
    shape = SHAPES[bool(wide) + bool(high)]
    ends = ("", "") if shape == SHAPES[0] else (_plain(x + wide), _plain(y + high))
    return Spot(one.label, _plain(x), _plain(y), *ends, shape, solid=one.solid)


@dataclass(frozen=True)
class _Leaf:
    """Where a face begins on the map, how wide it is drawn, and how much wider than it is."""

    start: Decimal
    width: Decimal
    scale: Decimal = Decimal(1)


def _leaves(width: Decimal) -> dict[Face, _Leaf]:
    return {
        Face.BACK: _Leaf(Decimal(0), width),
        Face.SPINE: _Leaf(width, SPINE_MM, SPINE_MM / SPINE_IN_FACT),
        Face.FRONT: _Leaf(width + SPINE_MM, width),
    }


def _plain(value: Decimal) -> str:
    """A length to a hundredth of a millimetre, without zeros at its end."""
    text = f"{value.quantize(HUNDREDTH):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
