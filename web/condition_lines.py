"""What the condition page shows of each defect at a look: its words, its change, and where it lies on the book opened flat."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.events._parts import Answer, Defect, Face, Region
from ledger.looks import Change, LookSeen, MarkSeen, Seen
from ledger.rules.defects import defect_types
from web.placing import Ground, Leaf
from web.wording import t

__all__ = ["DefectLine", "MarkLine", "Shape", "lines_of", "mark_lines_of", "measures_of", "named", "shapes_of"]

_POINT: Final = 2.2
"""Of what has no size on the map. Units: mm."""
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
    gone: bool
    """It is no longer there, whichever look found that."""
    seen_by: int
    placed: bool
    """It lies on the map."""


@dataclass(frozen=True, kw_only=True)
class MarkLine:
    """One mark of this copy in the list."""

    id: str
    what: str
    face: str
    seen_by: int
    placed: bool
    """It lies on the map."""


@dataclass(frozen=True, kw_only=True)
class Box:
    """Where something lies on the map. Units: mm of the ground; a point has a radius and no width."""

    x: float
    y: float
    width: float
    height: float
    radius: float


@dataclass(frozen=True, kw_only=True)
class Shape(Box):
    """One defect or mark on the map."""

    id: str
    solid: bool
    """It breaks colour; others are dashed."""
    gone: bool
    mark: bool
    """It is no fault, but a mark of this copy."""
    label: str


def lines_of(look: LookSeen, ground: Ground) -> tuple[DefectLine, ...]:
    """The defects as known after that look, those that are there before those that are gone."""
    found = [_line(each, ground) for each in look.seen]
    return tuple(sorted(found, key=lambda each: each.gone))


def shapes_of(look: LookSeen, ground: Ground) -> tuple[Shape, ...]:
    """The defects and marks that have a place on a face of the map."""
    leaves = _leaves(ground)
    defects = (_of_defect(each, leaves) for each in look.seen)
    marks = (_of_mark(each, leaves) for each in look.marks)
    return tuple(each for each in (*defects, *marks) if each is not None)


def mark_lines_of(look: LookSeen, ground: Ground) -> tuple[MarkLine, ...]:
    """The marks as known after that look."""
    leaves = _leaves(ground)
    return tuple(
        MarkLine(
            id=each.mark.id,
            what=each.mark.what,
            face=t(f"condition.faces.{each.mark.face.value}"),
            seen_by=each.seen_by,
            placed=_is_placed(each.mark.face, each.mark.region, leaves),
        )
        for each in look.marks
    )


def named(look: LookSeen, ids: Sequence[str]) -> list[str]:
    """Defects as a sentence names them: the id, and the type where it is known."""
    types = {each.defect.id: _type(each.defect) for each in look.seen}
    return [f"{each} ({types[each]})" if each in types else each for each in ids]


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
    return DefectLine(
        id=defect.id,
        type=_type(defect),
        face=t(f"condition.faces.{defect.face.value}"),
        measures=measures_of(defect),
        colour=t(f"condition.colour.{defect.breaks_colour.value}"),
        change=seen.change,
        words=_words(seen),
        gone=defect.gone,
        seen_by=seen.seen_by,
        placed=_is_placed(defect.face, defect.region, _leaves(ground)),
    )


def _leaves(ground: Ground) -> Mapping[str, Leaf]:
    return {each.face: each for each in ground.leaves}


def _words(seen: Seen) -> str:
    """The change in words; one that was gone before and was not looked at is still gone, as far as is known."""
    if seen.defect.gone and seen.change is Change.UNSEEN:
        return t("condition.still_gone")
    return t(f"condition.changes.{seen.change.name.lower()}")


def _type(defect: Defect) -> str:
    return next((each.title for each in defect_types() if each.id == defect.type), defect.type)


def _is_placed(face: Face, region: Region | None, leaves: Mapping[str, Leaf]) -> bool:
    return region is not None and face.value in leaves


def _of_defect(seen: Seen, leaves: Mapping[str, Leaf]) -> Shape | None:
    defect = seen.defect
    box = _box(defect.face, defect.region, leaves)
    label = f"{defect.id}, {_type(defect)}, {_words(seen)}"
    solid = defect.breaks_colour is Answer.YES
    return (
        None
        if box is None
        else Shape(**vars(box), id=defect.id, solid=solid, gone=defect.gone, mark=False, label=label)
    )


def _of_mark(seen: MarkSeen, leaves: Mapping[str, Leaf]) -> Shape | None:
    mark = seen.mark
    box = _box(mark.face, mark.region, leaves)
    return (
        None
        if box is None
        else Shape(**vars(box), id=mark.id, solid=False, gone=False, mark=True, label=f"{mark.id}, {mark.what}")
    )


def _box(face: Face, region: Region | None, leaves: Mapping[str, Leaf]) -> Box | None:
    """None where it has no place on the map."""
    leaf = leaves.get(face.value)
    if region is None or leaf is None:
        return None
    wide, high = float(region.width_mm or 0) * leaf.scale, float(region.height_mm or 0)
    return Box(
        x=leaf.x + float(region.x_mm) * leaf.scale,
        y=float(region.y_mm),
        width=max(wide, _LEAST) if wide or high else 0.0,
        height=max(high, _LEAST) if wide or high else 0.0,
        radius=0.0 if wide or high else _POINT,
    )
