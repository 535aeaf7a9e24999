"""A photograph of a face as the ground of a look: which one, where on it the cover lies, and in words how that was fitted."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.errors import Problem
from ledger.events._parts import Face
from ledger.usecases.look import BookLook
from web.compared import Shot, all_shots, percent
from web.fitting import Corners, Projection, goes_round, to_scale, within
from web.form_reading import Typed
from web.look_steps import Step
from web.overlay import Point
from web.placing import PICTURE_WIDE, Ground, Laid, face_ground, on_picture, size_of
from web.wording import t

__all__ = ["FITS", "Fit", "ground_at"]

FITS: Final = {"corners": 4, "edge": 2}
"""How a photograph is fitted, and by how many points: the corners of the cover, or both ends of its left edge."""
EDGES_OF_PICTURE: Final = (("0", "0"), ("100", "0"), ("100", "100"), ("0", "100"))
LONGEST_MM: Final = 2_000.0
WITH_PICTURE: Final = (Face.FRONT, Face.BACK)


@dataclass(frozen=True, kw_only=True)
class Spot:
    """One point on the photograph, as it was typed. Units: per cent."""

    name: str
    """Of its two fields, without the x and the y."""
    number: str
    words: str
    x: str
    y: str


@dataclass(frozen=True, kw_only=True)
class Fit:
    """What there is to choose from, what was chosen, and the points that were set."""

    at: str
    """What stands before the names of its fields."""
    shots: tuple[Shot, ...]
    shot: Shot | None
    way: str
    spots: tuple[Spot, ...]
    length: str
    """How long the left edge is. Units: mm."""
    problems: tuple[Problem, ...] = ()

    def fault(self, name: str) -> str:
        """What is wrong with one field."""
        return next((each.sentence for each in self.problems if each.field == name), "")


def ground_at(look: BookLook, step: Step, typed: Typed) -> tuple[Ground | None, Fit | None]:
    """What places are set on at a step, and what can be said of a photograph there."""
    if step is Step.WHOLE:
        return None, None
    face = Face(step.value)
    drawn = face_ground(look, face)
    shots = tuple(each for each in all_shots(look.moments) if each.face is face) if face in WITH_PICTURE else ()
    if not shots:
        return drawn, None
    fit = _fit(look, f"ground.{step}.", shots, typed)
    laid = _laid(look, fit) if fit.shot is not None and not fit.problems else None
    return (on_picture(look, face, laid) if laid is not None else drawn), fit


def _fit(look: BookLook, at: str, shots: Sequence[Shot], typed: Typed) -> Fit:
    def said(name: str, otherwise: str = "") -> str:
        return "".join(typed.get(f"{at}{name}", (otherwise,))[:1]).strip()

    shot = next((each for each in shots if str(each.seq) == said("photo")), None)
    way = said("fit") if said("fit") in FITS else "corners"
    start = EDGES_OF_PICTURE if way == "corners" else (("", ""),) * FITS[way]
    spots = tuple(
        Spot(
            name=f"{at}{way}{n}",
            number=str(n),
            words=t(f"look.fit.points.{way}{n}"),
            x=said(f"{way}{n}x", x),
            y=said(f"{way}{n}y", y),
        )
        for n, (x, y) in enumerate(start, start=1)
    )
    length = said("mm") or f"{size_of(look)[1]:g}"
    fit = Fit(at=at, shots=tuple(shots), shot=shot, way=way, spots=spots, length=length)
    return Fit(**{**vars(fit), "problems": _problems(fit) if shot is not None else ()})


def _problems(fit: Fit) -> tuple[Problem, ...]:
    """Nothing typed yet is no fault; half of it is."""
    if not any(value for each in fit.spots for value in (each.x, each.y)):
        return ()
    named = [(f"{each.name}{axis}", text) for each in fit.spots for axis, text in (("x", each.x), ("y", each.y))]
    wrong = [Problem(field=name, sentence=t("compare.wrong.number")) for name, text in named if percent(text) is None]
    if fit.way == "edge" and _length(fit) is None:
        wrong.append(Problem(field=f"{fit.at}mm", sentence=t("look.fit.no_length")))
    if wrong:
        return tuple(wrong)
    points = _points(fit)
    if fit.way == "edge" and points[0] == points[1]:
        return (Problem(field=f"{fit.spots[1].name}x", sentence=t("compare.wrong.same")),)
    if fit.way == "corners" and not goes_round(_four(points)):
        return (Problem(field=f"{fit.spots[0].name}x", sentence=t("look.fit.no_face")),)
    return ()


def _laid(look: BookLook, fit: Fit) -> Laid | None:
    """None while no point was set."""
    assert fit.shot is not None
    if not any(each.x for each in fit.spots):
        return None
    tall = fit.shot.tall * PICTURE_WIDE / 100
    points, (wide, high, own) = _points(fit), size_of(look)
    size = t("look.fit.measured" if own else "look.fit.usual", wide=f"{wide:g}", high=f"{high:g}")
    if fit.way == "edge":
        length = _length(fit) or high
        to_mm: Projection = to_scale(points[0], points[1], length)
        said = t("look.fit.by_edge", mm=f"{length:g}")
    else:
        to_mm = within(_four(points), wide, high)
        by_itself = tuple((each.x, each.y) for each in fit.spots) == EDGES_OF_PICTURE
        said = t("look.fit.by_picture" if by_itself else "look.fit.by_corners", size=size)
    return Laid(picture=fit.shot.picture.href, tall=tall, to_mm=to_mm, said=f"{said} {t('look.fit.worth')}")


def _points(fit: Fit) -> list[Point]:
    """On the photograph as it is drawn."""
    assert fit.shot is not None
    across, along = PICTURE_WIDE / 100, fit.shot.tall * PICTURE_WIDE / 100 / 100
    return [Point((percent(each.x) or 0.0) * across, (percent(each.y) or 0.0) * along) for each in fit.spots]


def _four(points: Sequence[Point]) -> Corners:
    one, two, three, four = points
    return one, two, three, four


def _length(fit: Fit) -> float | None:
    try:
        found = float(fit.length.replace(",", "."))
    except ValueError:
        return None
    return found if 0 < found <= LONGEST_MM else None
