"""What the condition page shows of each defect at a look: its words, its change, and where it lies on the book opened flat."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ledger.events._parts import Answer, Defect
from ledger.looks import Change, LookSeen, Seen
from ledger.rules.defects import defect_types
from web.placing import Ground, Leaf
from web.wording import t

__all__ = ["DefectLine", "Shape", "lines_of", "measures_of", "shapes_of"]

_POINT: Final = 2.2
"""Of a defect without a size on the map. Units: mm."""
_LEAST: Final = 1.2
"""So wide is the narrowest shape drawn. Units: mm."""


@dataclass(frozen=True, kw_only=True)
class DefectLine:
    """One defect in the list."""

    id: str
    type: str
    face: str
    measures: str
    colour: str
    change: Change
    words: str
    """The change in words."""
    seen_by: int
    placed: bool
    """It lies on the map."""


@dataclass(frozen=True, kw_only=True)
class Shape:
    """One defect on the map. Units: mm of the ground; a point has a radius and no width."""

    id: str
    x: float
    y: float
    width: float
    height: float
    radius: float
    solid: bool
    """It breaks colour; others are dashed."""
    gone: bool
    label: str


def lines_of(look: LookSeen, ground: Ground) -> tuple[DefectLine, ...]:
    """The defects as known after that look, those that are there before those that are gone."""
    found = [_line(each, ground) for each in look.seen]
    return tuple(sorted(found, key=lambda each: each.change is Change.GONE))


def shapes_of(look: LookSeen, ground: Ground) -> tuple[Shape, ...]:
    """Those of them that have a place on a face of the map."""
    leaves = _leaves(ground)
    return tuple(_shape(each, leaves[each.defect.face.value]) for each in look.seen if _is_placed(each.defect, leaves))


def measures_of(defect: Defect) -> str:
    """What was measured of it, in words."""
    parts = []
    if defect.size_mm is not None:
        parts.append(t("condition.mm", size=defect.size_mm))
    if defect.count is not None:
        parts.append(t.n("condition.together", defect.count))
    if defect.share_percent is not None:
        parts.append(t("condition.share", share=defect.share_percent))
    return ", ".join(parts)


def _line(seen: Seen, ground: Ground) -> DefectLine:
    defect = seen.defect
    title = next((each.title for each in defect_types() if each.id == defect.type), defect.type)
    return DefectLine(
        id=defect.id,
        type=title,
        face=t(f"condition.faces.{defect.face.value}"),
        measures=measures_of(defect),
        colour=t(f"condition.colour.{defect.breaks_colour.value}"),
        change=seen.change,
        words=t(f"condition.changes.{seen.change.name.lower()}"),
        seen_by=seen.seen_by,
        placed=_is_placed(defect, _leaves(ground)),
    )


def _leaves(ground: Ground) -> Mapping[str, Leaf]:
    return {each.face: each for each in ground.leaves}


def _is_placed(defect: Defect, leaves: Mapping[str, Leaf]) -> bool:
    return defect.region is not None and defect.face.value in leaves


def _shape(seen: Seen, leaf: Leaf) -> Shape:
    region = seen.defect.region
    assert region is not None  # only those with a place are drawn
    wide, high = float(region.width_mm or 0) * leaf.scale, float(region.height_mm or 0)
    return Shape(
        id=seen.defect.id,
        x=leaf.x + float(region.x_mm) * leaf.scale,
        y=float(region.y_mm),
        width=max(wide, _LEAST) if wide or high else 0.0,
        height=max(high, _LEAST) if wide or high else 0.0,
        radius=0.0 if wide or high else _POINT,
        solid=seen.defect.breaks_colour is Answer.YES,
        gone=seen.defect.gone,
        label=", ".join(
            (seen.defect.id, seen.defect.type.replace("-", " "), t(f"condition.changes.{seen.change.name.lower()}"))
        ),
    )
