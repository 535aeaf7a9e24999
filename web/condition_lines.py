"""What the condition page shows of each defect at a look: its words, its change, and where it lies on the book opened flat."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.events._parts import Answer, Defect, Face, Region
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.looks import MARKS_ASKED, Change, Claimed, LookSeen, MarkSeen, Seen
from ledger.rules.defects import defect_types
from web.numbers import number
from web.placing import Ground, Leaf, drawn_on
from web.wording import t

__all__ = [
    "ClaimLine",
    "DefectLine",
    "MarkLine",
    "Shape",
    "claim_lines_of",
    "lines_of",
    "mark_lines_of",
    "marks_asked",
    "marks_known",
    "measures_of",
    "named",
    "photographs_of",
    "shapes_of",
]

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
    note: str
    line: str
    """Where it runs, where its place is a line."""
    photograph: int | None
    """The entry of its macro photograph."""


@dataclass(frozen=True, kw_only=True)
class ClaimLine:
    """What somebody else claims and no look here has seen."""

    id: str
    type: str
    face: str
    words: str
    """By whom, and whether its face was looked at since."""
    note: str
    told_by: int


@dataclass(frozen=True, kw_only=True)
class MarkLine:
    """One mark of this copy in the list."""

    id: str
    what: str
    face: str
    seen_by: int
    placed: bool
    """It lies on the map."""
    line: str
    photograph: int | None


@dataclass(frozen=True, kw_only=True)
class Box:
    """Where something lies on the map. Units: mm of the ground; a point has a radius, a line the points it joins."""

    x: float
    y: float
    width: float
    height: float
    radius: float
    line: str = ""


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


def photographs_of(moments: Sequence[Moment]) -> Mapping[str, int]:
    """The entry in force of each photograph, by the digest of its clean copy."""
    shots = (each for each in reversed(moments) if each.in_force)
    return {each.event.clean: each.entry.seq for each in shots if isinstance(each.event, Photograph)}


def lines_of(look: LookSeen, ground: Ground, photographs: Mapping[str, int]) -> tuple[DefectLine, ...]:
    """The defects as known after that look, those that are there before those that are gone."""
    found = [_line(each, ground, photographs) for each in look.seen]
    return tuple(sorted(found, key=lambda each: each.gone))


def claim_lines_of(look: LookSeen) -> tuple[ClaimLine, ...]:
    """What others claim, as far as it was known at that look and not seen until then."""
    return tuple(
        ClaimLine(
            id=each.defect.id,
            type=_type(each.defect),
            face=t(f"condition.faces.{each.defect.face.value}"),
            words=_claimed(each),
            note=each.defect.note or "",
            told_by=each.told_by,
        )
        for each in look.claims
    )


def shapes_of(look: LookSeen, ground: Ground) -> tuple[Shape, ...]:
    """The defects and marks that have a place on a face of the map."""
    leaves = _leaves(ground)
    defects = (_of_defect(each, leaves) for each in look.seen)
    marks = (_of_mark(each, leaves) for each in look.marks)
    return tuple(each for each in (*defects, *marks) if each is not None)


def mark_lines_of(look: LookSeen, ground: Ground, photographs: Mapping[str, int]) -> tuple[MarkLine, ...]:
    """The marks as known after that look."""
    leaves = _leaves(ground)
    return tuple(
        MarkLine(
            id=each.mark.id,
            what=each.mark.what,
            face=t(f"condition.faces.{each.mark.face.value}"),
            seen_by=each.seen_by,
            placed=_is_placed(each.mark.face, each.mark.region, leaves),
            line=_runs(each.mark.region),
            photograph=photographs.get(each.mark.photograph or ""),
        )
        for each in look.marks
    )


def marks_asked(known: int) -> str:
    """That more marks are asked for than are known, gently: no look is refused for want of them."""
    return t("condition.marks_asked", least=number(MARKS_ASKED), known=marks_known(known))


def marks_known(known: int) -> str:
    """How many marks of the copy are written down."""
    return t.n("condition.marks_known", known) if known else t("condition.marks_none")


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


def _line(seen: Seen, ground: Ground, photographs: Mapping[str, int]) -> DefectLine:
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
        note=defect.note or "",
        line=_runs(defect.region),
        photograph=photographs.get(defect.photograph or ""),
    )


def _claimed(claim: Claimed) -> str:
    """Whose claim it is; "not seen here" is not "not there", so a look that went over its face is named."""
    by = claim.defect.claimed_by
    said = t(f"condition.claimed.{by.name.lower()}") if by is not None else ""
    return said if claim.looked_by is None else t("condition.looked_by", claimed=said, seq=claim.looked_by)


def _runs(region: Region | None) -> str:
    if region is None or not region.is_line:
        return ""
    ends = {"x": region.x_mm, "y": region.y_mm, "to_x": region.to_x_mm, "to_y": region.to_y_mm}
    return t("condition.line", **ends, length=f"{region.length_mm:.1f}")


def _leaves(ground: Ground) -> Mapping[str, Leaf]:
    return {each.face: each for each in ground.leaves}


def _words(seen: Seen) -> str:
    """The change in words; one that was gone before and is not mentioned is still gone, as far as is known."""
    if seen.defect.gone and seen.change in (Change.UNSEEN, Change.UNMENTIONED):
        return t("condition.still_gone")
    words = t(f"condition.changes.{seen.change.name.lower()}")
    return t("condition.in_small_steps", change=words) if seen.in_small_steps else words


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
    x, y = leaf.x + float(region.x_mm) * leaf.scale, float(region.y_mm)
    if region.to_x_mm is not None and region.to_y_mm is not None:
        return Box(x=x, y=y, width=0.0, height=0.0, radius=0.0, line=drawn_on(leaf, region, "").points)
    return Box(
        x=x,
        y=y,
        width=max(wide, _LEAST) if wide or high else 0.0,
        height=max(high, _LEAST) if wide or high else 0.0,
        radius=0.0 if wide or high else _POINT,
    )
