"""The marks of a copy on the map of one face, and a photograph laid under them by two places that are known on both."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.errors import NotFoundError, Problem
from ledger.events._parts import Face
from ledger.looks import MarkSeen, looks_of
from ledger.usecases.look import BookLook
from web.compared import Shot, all_shots, percent
from web.overlay import Point, Similarity, laid_over
from web.placing import Leaf, Seen, drawn_on, size_of
from web.wording import t

__all__ = ["POINTS", "Anchor", "Lay", "Line", "Map", "lay", "map_of"]

POINTS: Final = ("p1x", "p1y", "p2x", "p2y")
"""The two places on the photograph, from the left and from the top. Units: per cent."""
FACES: Final = (Face.FRONT, Face.SPINE, Face.BACK, Face.INSIDE, Face.STAPLES)
"""Faces that are drawn; a staple lies on the spine."""
SPINE_MM: Final = 3.0
"""How wide a spine is. Units: mm. Common practice, no source."""
WHOLE: Final = 100


@dataclass(frozen=True, kw_only=True)
class Line:
    """One mark in the list."""

    id: str
    what: str
    face: str
    place: str
    seen_by: int
    macro: str
    """The address of its macro photograph; empty where there is none here."""


@dataclass(frozen=True, kw_only=True)
class Anchor:
    """A place that is known on the map: a corner of the face, or a mark. Units: mm."""

    name: str
    words: str
    at: Point


@dataclass(frozen=True, kw_only=True)
class Map:
    """One face with its marks, to scale, and all marks as a list."""

    face: Face
    faces: tuple[Face, ...]
    """Those on which a mark lies, and front and back."""
    leaf: Leaf
    measured: bool
    shapes: tuple[Seen, ...]
    anchors: tuple[Anchor, ...]
    lines: tuple[Line, ...]
    shots: tuple[Shot, ...]

    @property
    def offered(self) -> list[tuple[str, str]]:
        """The anchors to choose from: as each is sent, and in words."""
        return [(each.name, each.words) for each in self.anchors]


@dataclass(frozen=True, kw_only=True)
class Lay:
    """What was asked for: the two anchors, the two places on the photograph, and how it is laid if nothing is wrong."""

    one: str
    two: str
    typed: Mapping[str, str]
    problems: tuple[Problem, ...] = ()
    laid: Similarity | None = None

    def fault(self, name: str) -> str:
        """What is wrong with one field."""
        return next((each.sentence for each in self.problems if each.field == name), "")


def map_of(look: BookLook, asked: str) -> Map:
    """The map of the face that was asked for; of the one with the most marks where none was.

    Raises: NotFoundError.
    """
    seen = _marks(look)
    placed = [each for each in seen if each.mark.region is not None and each.mark.face in FACES]
    counts = {face: sum(each.mark.face is face for each in placed) for face in FACES}
    faces = tuple(each for each in FACES if counts[each] or each in (Face.FRONT, Face.BACK))
    if asked and asked not in faces:
        raise NotFoundError(what="face with a mark", name=asked)
    face = Face(asked) if asked else max(faces, key=lambda each: counts[each])
    wide, high, measured = size_of(look)
    width = SPINE_MM if face in (Face.SPINE, Face.STAPLES) else wide
    leaf = Leaf(face=face.value, x=0.0, width=width, height=high)
    own = [each for each in placed if each.mark.face is face]
    shots = all_shots(look.moments)
    return Map(
        face=face,
        faces=faces,
        leaf=leaf,
        measured=measured,
        shapes=tuple(drawn_on(leaf, each.mark.region, each.mark.id) for each in own if each.mark.region),
        anchors=tuple(_anchors(leaf, own)),
        lines=tuple(_line(each, shots) for each in seen),
        shots=shots,
    )


def lay(on: Map, asked: Mapping[str, str], tall: float | None) -> Lay:
    """How the photograph lies under the map; nothing typed is no fault. `tall` is its height when it is 100 wide."""
    names = [each.name for each in on.anchors]
    typed = {name: asked.get(name, "").strip() for name in POINTS}
    one, two = (_named(asked, name, names, start) for name, start in (("one", "corner1"), ("two", "corner3")))
    if tall is None or not any(typed.values()):
        return Lay(one=one, two=two, typed=typed)
    problems = tuple(_wrong(typed, one, two))
    if problems:
        return Lay(one=one, two=two, typed=typed, problems=problems)
    places = {each.name: each.at for each in on.anchors}
    shown = [Point(percent(typed[x]) or 0.0, (percent(typed[y]) or 0.0) * tall / WHOLE) for x, y in _PAIRS]
    if shown[0] == shown[1] or places[one] == places[two]:
        field = "two" if places[one] == places[two] else "p2x"
        return Lay(one=one, two=two, typed=typed, problems=(Problem(field=field, sentence=t("compare.wrong.same")),))
    laid = laid_over((shown[0], shown[1]), (places[one], places[two]))
    return Lay(one=one, two=two, typed=typed, laid=laid)


_PAIRS: Final = (("p1x", "p1y"), ("p2x", "p2y"))


def _wrong(typed: Mapping[str, str], one: str, two: str) -> Iterator[Problem]:
    for name, text in typed.items():
        if percent(text) is None:
            yield Problem(field=name, sentence=t("compare.wrong.number"))
    if one == two:
        yield Problem(field="two", sentence=t("compare.wrong.same"))


def _named(asked: Mapping[str, str], name: str, names: Sequence[str], start: str) -> str:
    return asked[name] if asked.get(name) in names else start


def _marks(look: BookLook) -> tuple[MarkSeen, ...]:
    looks = looks_of(look.moments)
    return looks[-1].marks if looks else ()


def _anchors(leaf: Leaf, marks: Sequence[MarkSeen]) -> Iterator[Anchor]:
    corners = ((0.0, 0.0), (leaf.width, 0.0), (leaf.width, leaf.height), (0.0, leaf.height))
    for number, (x, y) in enumerate(corners, start=1):
        point = f"corners{number}"
        yield Anchor(name=f"corner{number}", words=t(f"look.fit.points.{point}"), at=Point(x, y))
    for each in marks:
        region = each.mark.region
        if region is not None:
            words = t("marks.anchor", id=each.mark.id, what=each.mark.what)
            yield Anchor(name=each.mark.id, words=words, at=Point(float(region.x_mm), float(region.y_mm)))


def _line(seen: MarkSeen, shots: Sequence[Shot]) -> Line:
    mark, here = seen.mark, {each.clean for each in shots}
    region = mark.region
    return Line(
        id=mark.id,
        what=mark.what,
        face=t(f"condition.faces.{mark.face.value}"),
        place=t("look.placed", x=region.x_mm, y=region.y_mm) if region else "",
        seen_by=seen.seen_by,
        macro=f"/pictures/{mark.photograph}?size=480" if mark.photograph in here else "",
    )
