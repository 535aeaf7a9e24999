"""The ground on which a place is set by a tap: the book opened flat, one face of it, or a photograph of that face, to scale."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.events._parts import Face, Region
from ledger.usecases.look import BookLook
from web.figure import USUAL_MM, measured
from web.fitting import Projection, upright
from web.overlay import Point

__all__ = [
    "GAP_MM",
    "PICTURE_WIDE",
    "SPINE_MM",
    "Ground",
    "Laid",
    "Leaf",
    "Seen",
    "drawn_on",
    "face_ground",
    "ground_of",
    "on_picture",
    "size_of",
]

SPINE_MM: Final = 9.0
"""How wide a spine is drawn. It is two or three millimetres in fact, and could not be met by a finger. Our assumption."""
ALONE_MM: Final = 36.0
"""How wide a spine is drawn where nothing lies beside it. Our assumption."""
GAP_MM: Final = 6.0
PICTURE_WIDE: Final = 180.0
"""How wide a photograph is drawn, so that lines and words on it are as large as on the other grounds. Units: of the drawing."""
_SPINE_IN_FACT: Final = 3.0
"""How wide a spine is. Units: mm. Common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Leaf:
    """One face of the book on the ground. Units: mm of the book, but for `scale`, which is how much wider it is drawn."""

    face: str
    x: float
    width: float
    height: float
    scale: float = 1.0
    laid: Projection | None = None
    """From a place in the photograph under it to mm on the face; None where the face itself is drawn."""

    @property
    def to_mm(self) -> Projection:
        """From a place on the ground to mm on the face."""
        return self.laid or upright(self.x, 0.0, self.scale)

    @property
    def wide_mm(self) -> float:
        """How wide the face is in fact."""
        return self.width / self.scale

    @property
    def outline(self) -> str:
        """Its corners on the ground."""
        across, along = self.wide_mm, self.height
        return _points(self, ((0.0, 0.0), (across, 0.0), (across, along), (0.0, along)))


@dataclass(frozen=True, kw_only=True)
class Seen:
    """Where something lies: a point, or the corners of a line or an area, joined. Units: of the drawing."""

    id: str
    x: float
    y: float
    points: str
    """Empty for a point."""


@dataclass(frozen=True, kw_only=True)
class Ground:
    """The faces, what was seen on them before, and how much room they take. Units: mm; of a photograph, of the drawing."""

    width: float
    height: float
    leaves: tuple[Leaf, ...]
    seen: tuple[Seen, ...]
    measured: bool
    """The book's own size, and not the usual one."""
    picture: str = ""
    """The address of the photograph that lies under it."""
    fitted: str = ""
    """How that was fitted, in words."""


def size_of(look: BookLook) -> tuple[float, float, bool]:
    """How wide and high the book is, and whether somebody measured that. Units: mm."""
    size = measured(look.moments)
    wide, high = (float(each) for each in size) if size else USUAL_MM
    return wide, high, size is not None


def ground_of(looks: Sequence[BookLook]) -> Ground | None:
    """The book opened flat; None for several, each of which would need its own."""
    if len(looks) != 1:
        return None
    wide, high, own = size_of(looks[0])
    front = wide + SPINE_MM + 2 * GAP_MM
    leaves = (
        Leaf(face=Face.BACK.value, x=0.0, width=wide, height=high),
        Leaf(face=Face.SPINE.value, x=wide + GAP_MM, width=SPINE_MM, height=high, scale=SPINE_MM / _SPINE_IN_FACT),
        Leaf(face=Face.FRONT.value, x=front, width=wide, height=high),
    )
    return Ground(width=front + wide, height=high, leaves=leaves, seen=tuple(_seen(looks[0], leaves)), measured=own)


def face_ground(look: BookLook, face: Face) -> Ground | None:
    """One face by itself; None for one that has no flat shape of its own."""
    wide, high, own = size_of(look)
    if face is Face.EDGES or face is Face.DETAIL:
        return None
    if face in (Face.SPINE, Face.STAPLES):
        leaf = Leaf(face=face.value, x=0.0, width=ALONE_MM, height=high, scale=ALONE_MM / _SPINE_IN_FACT)
    else:
        leaf = Leaf(face=face.value, x=0.0, width=wide, height=high)
    return Ground(width=leaf.width, height=high, leaves=(leaf,), seen=tuple(_seen(look, (leaf,))), measured=own)


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A photograph under a face: its address, how high it is drawn, the way to mm on the face, and how that was found."""

    picture: str
    tall: float
    to_mm: Projection
    said: str


def on_picture(look: BookLook, face: Face, laid: Laid) -> Ground:
    """The same face on a photograph of it."""
    wide, high, own = size_of(look)
    leaf = Leaf(face=face.value, x=0.0, width=wide, height=high, laid=laid.to_mm)
    seen = tuple(_seen(look, (leaf,)))
    return Ground(
        width=PICTURE_WIDE,
        height=laid.tall,
        leaves=(leaf,),
        seen=seen,
        measured=own,
        picture=laid.picture,
        fitted=laid.said,
    )


def drawn_on(leaf: Leaf, region: Region, name: str) -> Seen:
    """Where a place on a face comes to lie on the ground."""
    x, y = float(region.x_mm), float(region.y_mm)
    first = leaf.to_mm.back.of(Point(x, y))
    if region.to_x_mm is not None and region.to_y_mm is not None:
        corners: tuple[tuple[float, float], ...] = ((x, y), (float(region.to_x_mm), float(region.to_y_mm)))
    elif region.width_mm or region.height_mm:
        right, foot = x + float(region.width_mm or 0), y + float(region.height_mm or 0)
        corners = ((x, y), (right, y), (right, foot), (x, foot), (x, y))
    else:
        corners = ()
    return Seen(id=name, x=round(first.x, 2), y=round(first.y, 2), points=_points(leaf, corners))


def _seen(look: BookLook, leaves: Sequence[Leaf]) -> Iterator[Seen]:
    """The defects that are there and have a place on one of these faces."""
    by_face = {each.face: each for each in leaves}
    for each in look.book.there:
        leaf = by_face.get(each.face.value)
        if leaf is not None and each.region is not None:
            yield drawn_on(leaf, each.region, each.id)


def _points(leaf: Leaf, corners: Sequence[tuple[float, float]]) -> str:
    back = leaf.to_mm.back
    placed = (back.of(Point(*each)) for each in corners)
    return " ".join(f"{each.x:.2f},{each.y:.2f}" for each in placed)
