"""Two photographs of one face of a book, and how one is laid over the other: by points set by hand, or by itself."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.alignment import Aligned, NotAligned
from ledger.errors import NotFoundError, Problem
from ledger.events._parts import Face
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.usecases.align import Lined
from web.filters import when
from web.overlay import Pair, Point, Similarity, drawn, laid_over
from web.prints import Alone, alone
from web.wording import t

__all__ = [
    "POINTS",
    "Over",
    "Pick",
    "Set",
    "Shot",
    "all_shots",
    "by_hand",
    "by_itself",
    "comparable",
    "not_aligned",
    "pick",
    "points_of",
]
__all__ += ["percent", "shots_of", "turned"]

POINTS: Final = ("b1x", "b1y", "b2x", "b2y", "a1x", "a1y", "a2x", "a2y")
"""Before and after, first and second, from the left and from the top. Units: per cent."""
WHOLE: Final = 100
LONGEST: Final = 12


@dataclass(frozen=True)
class Shot:
    """A photograph in force, in the order of happening."""

    seq: int
    face: Face
    words: str
    when: str
    picture: Alone
    clean: str
    """The digest of its clean copy."""

    @property
    def tall(self) -> float:
        """Its height when it is 100 wide."""
        return self.picture.height / self.picture.width * WHOLE


@dataclass(frozen=True)
class Pick:
    """The two that are compared."""

    before: Shot
    after: Shot


@dataclass(frozen=True)
class Set:
    """The points as they were typed, what is wrong with them, and how the later picture is laid if nothing is."""

    typed: Mapping[str, str]
    problems: tuple[Problem, ...] = ()
    laid: Similarity | None = None

    @property
    def given(self) -> bool:
        """Whether any number was typed."""
        return any(self.typed.values())

    def fault(self, name: str) -> str:
        """What is wrong with one number."""
        return next((each.sentence for each in self.problems if each.field == name), "")


@dataclass(frozen=True)
class Over:
    """The later one over the earlier one: where it lies, and in words how that was found and what it is worth."""

    matrix: str
    said: str
    note: str
    picture: str
    """What stands for the drawing where it is not seen."""


def by_hand(points: Set) -> Over | None:
    """By two points, where they were set and nothing is wrong with them."""
    if points.laid is None:
        return None
    said = t("compare.over.said", turned=turned(points.laid.turned), scale=f"{points.laid.scale:.3f}")
    return Over(points.laid.matrix, said, t("compare.over.fits"), t("compare.over.picture"))


def by_itself(lined: Lined) -> Over | None:
    """By what both show, where that was found."""
    found, over = lined.found, lined.over
    if over is None or not isinstance(found, Aligned):
        return None
    said = t(
        "compare.itself.said",
        places=found.agreeing,
        turned=turned(over.turned),
        scale=f"{over.scale:.3f}",
        apart=f"{found.rms_px:.1f}",
        wide=found.wide_px,
    )
    percent = f"{(over.stretched - 1) * WHOLE:.1f}"
    shear = f"{t('compare.itself.shear', percent=percent)} " if float(percent) else ""
    matrix = drawn((over.a, over.b, over.c, over.d, over.right, over.down))
    return Over(matrix, said, f"{shear}{t('compare.itself.worth')}", t("compare.itself.picture"))


def not_aligned(lined: Lined) -> str:
    """Why there is none; empty where there is one."""
    found = lined.found
    return t(f"compare.not_aligned.{found.reason.name.lower()}") if isinstance(found, NotAligned) else ""


def turned(degrees: float) -> str:
    """How far something is turned, in words."""
    return t("compare.over.clockwise" if degrees >= 0 else "compare.over.other_way", degrees=f"{abs(degrees):.1f}")


def all_shots(moments: Sequence[Moment]) -> tuple[Shot, ...]:
    """Every photograph in force, in the order of happening."""
    found = []
    for moment in moments:
        event = moment.event
        picture = alone(event)
        if moment.in_force and isinstance(event, Photograph) and picture is not None:
            day = when(event.on) if event.on else event.on_as_written or when(None)
            found.append(Shot(moment.entry.seq, event.face, picture.words, day, picture, event.clean))
    return tuple(found)


def shots_of(moments: Sequence[Moment]) -> tuple[Shot, ...]:
    """Every photograph in force of a face of which there are two or more."""
    found = all_shots(moments)
    faces = [shot.face for shot in found]
    return tuple(shot for shot in found if faces.count(shot.face) > 1)


def comparable(moments: Sequence[Moment]) -> bool:
    """Whether there are two photographs of one face."""
    return bool(shots_of(moments))


def pick(shots: Sequence[Shot], before: int | None, after: int | None) -> Pick | None:
    """The two that were asked for; left out, the first and the last of the first face. None for two different faces.

    Raises: NotFoundError for an entry that is no photograph here which could be compared.
    """
    by_seq = {shot.seq: shot for shot in shots}
    for seq in (before, after):
        if seq is not None and seq not in by_seq:
            raise NotFoundError(what="photograph", name=str(seq))
    of = by_seq[before] if before is not None else by_seq[after] if after is not None else shots[0]
    alike = [shot for shot in shots if shot.face is of.face]
    first = of if before is not None else next(each for each in alike if each.seq != after)
    last = by_seq[after] if after is not None else next(each for each in reversed(alike) if each is not first)
    return None if first.face is not last.face or first is last else Pick(first, last)


def points_of(typed: Mapping[str, str], picked: Pick) -> Set:
    """How the points lay the later picture over the earlier; no points at all are no fault.

    Keeps: each problem is at its number.
    """
    given = {name: typed.get(name, "").strip() for name in POINTS}
    if not any(given.values()):
        return Set(given)
    read = {name: percent(text) for name, text in given.items()}
    wrong = [name for name, number in read.items() if number is None]
    if wrong:
        return Set(given, tuple(Problem(field=name, sentence=t("compare.wrong.number")) for name in wrong))
    earlier, later = (_pair(read, side, shot.tall) for side, shot in (("b", picked.before), ("a", picked.after)))
    same = [name for name, (one, two) in (("b2x", earlier), ("a2x", later)) if one == two]
    if same:
        return Set(given, tuple(Problem(field=name, sentence=t("compare.wrong.same")) for name in same))
    return Set(given, laid=laid_over(later, earlier))


def percent(text: str) -> float | None:
    """Per cent of a side, with a point or a comma."""
    try:
        number = Decimal(text.replace(",", ".")) if len(text) <= LONGEST else None
    except InvalidOperation:
        return None
    return float(number) if number is not None and number.is_finite() and 0 <= number <= WHOLE else None


def _pair(read: Mapping[str, float | None], side: str, tall: float) -> Pair:
    """Two points in a picture that is 100 wide."""
    one, two = (Point(read[f"{side}{n}x"] or 0.0, (read[f"{side}{n}y"] or 0.0) * tall / WHOLE) for n in (1, 2))
    return one, two
