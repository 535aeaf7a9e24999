"""Defects for tests of ceilings: drawn, or built, and the ceiling told a second time from the words of the rule."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import product
from typing import Any

from hypothesis import strategies as st

from ledger.rules.book_ceiling import Fault, Left
from ledger.rules.ceilings import Ceiling, ceilings
from ledger.rules.chances import Chances
from ledger.rules.defects import DefectType, defect_type, defect_types
from ledger.rules.grades import grades

__all__ = ["CHANCES", "a_fault", "books", "by_enumeration", "ceiling_again", "chances_for", "faults"]

TOP = len(grades())
TOGETHER = {"spine-tick", "bend", "staple-popped"}
"""Types that are counted, or measured in all, on each face. From memory of published ten-point handbooks."""
CHANCES = st.tuples(*[st.integers(0, 20)] * 3).filter(any).map(lambda each: Chances(*each))
_SIZES = st.integers(1, 1200).map(lambda tenths: Decimal(tenths) / 10)
_OFTEN = ("spine-tick", "bend", "crease", "edge-dent", "fold", "surface-dirt", "corner-blunting")


def a_fault(kind: str, size: str | None = None, **more: Any) -> Fault:
    """One defect on the front, unless it is given otherwise; it breaks colour where its type always does."""
    known = defect_type(kind)
    usual = {"id": kind, "face": "front", "breaks_colour": known.breaks_colour == "yes"}
    return Fault(**{**usual, "type": kind, "size_mm": None if size is None else Decimal(size), **more})


@st.composite
def faults(draw: st.DrawFn, *, often: bool = True) -> Fault:
    """A defect that can be read; often one of the types that are met most."""
    known = defect_type(draw(st.sampled_from(_OFTEN))) if often and draw(st.booleans()) else draw(_types())
    by = known.measured_by
    word = draw(st.sampled_from(("straw", "brown") if known.id == "paper-tone" else ("stiff", "cracks")))
    return Fault(
        id="",
        type=known.id,
        face=draw(st.sampled_from(known.faces)),
        breaks_colour=draw(st.sampled_from((True, False, None))),
        size_mm=draw(_SIZES) if "size_mm" in by else None,
        count=draw(st.integers(1, 6)) if "count" in by else None,
        share_percent=draw(st.integers(1, 60)) if "share_percent" in by else None,
        word=word if "word" in by else None,
    )


def books(least: int = 0, most: int = 6) -> st.SearchStrategy[tuple[Fault, ...]]:
    """Defects of one book, each under an id of its own."""
    return st.lists(faults(), min_size=least, max_size=most).map(_numbered)


def chances_for(found: Sequence[Fault]) -> st.SearchStrategy[dict[str, Chances]]:
    """Any chances for each of them."""
    return st.fixed_dictionaries({each.id: CHANCES for each in found})


def by_enumeration(found: Sequence[Fault], chances: Mapping[str, Chances]) -> list[int]:
    """The weight of each step, from every way in which work may leave each defect."""
    weights = [0] * TOP
    for lefts in product(Left, repeat=len(found)):
        weight = 1
        for each, left in zip(found, lefts, strict=True):
            weight *= (chances[each.id].gone, chances[each.id].lessened, chances[each.id].same)[left]
        if weight:
            weights[ceiling_again(found, lefts)] += weight
    return weights


def ceiling_again(found: Sequence[Fault], lefts: Sequence[Left]) -> int:
    """The step of the ceiling, from the words of the rule and nothing of the program but its table."""
    lots: dict[Any, list[tuple[Fault, Left]]] = {}
    for place, (each, left) in enumerate(zip(found, lefts, strict=True)):
        key = (each.type, each.face) if each.type in TOGETHER else place
        if left is not Left.GONE:
            lots.setdefault(key, []).append((each, left))
    limits = [_allowed(lot) for lot in lots.values()]
    for step in reversed(range(1, TOP)):
        first, second, third = (sum(limit == step + more < TOP for limit in limits) for more in range(3))
        none_below = all(limit >= step for limit in limits)
        if none_below and first <= 3 and first + second <= 6 and first + second + third <= 9:
            return step
    return 0


def _allowed(lot: Sequence[tuple[Fault, Left]]) -> int:
    """What the remaining defects of one lot allow; the back cover a step more."""
    kind, face = lot[0][0].type, lot[0][0].face
    best = min(_by_row(row, lot) for row in ceilings() if row.type == kind)
    return min(best + 1, TOP - 1) if face == "back" and best < TOP else best


def _by_row(row: Ceiling, lot: Sequence[tuple[Fault, Left]]) -> int:
    in_all = row.by == "count" or row.type == "bend"
    sizes: list[Decimal] = []
    for each, left in lot:
        breaks = "no" if each.breaks_colour is False else "yes"
        kept_out = row.breaks_colour not in ("any", breaks) and not (in_all and row.breaks_colour == "no")
        if not kept_out and row.word in (None, each.word):
            sizes.append(_size(row, each, left))
    if not sizes:
        return TOP
    size = sum(sizes, Decimal(0)) if in_all else max(sizes)
    best = next(each.allows for each in row.classes if each.up_to is None or size <= each.up_to)
    return TOP if best is None else best.step


def _size(row: Ceiling, each: Fault, left: Left) -> Decimal:
    """What the row goes by; lessened, the upper end of the class below, where there is one."""
    found = {"size_mm": each.size_mm, "count": each.count or 1, "share_percent": each.share_percent}.get(row.by)
    size = Decimal(0 if found is None else found)
    ends = [one.up_to for one in row.classes if one.up_to is not None and one.up_to < size]
    return ends[-1] if left is Left.LESSENED and ends else size


def _types() -> st.SearchStrategy[DefectType]:
    return st.sampled_from(defect_types())


def _numbered(found: Sequence[Fault]) -> tuple[Fault, ...]:
    return tuple(
        Fault(**{**{name: getattr(each, name) for name in Fault.__dataclass_fields__}, "id": f"d{number}"})
        for number, each in enumerate(found, start=1)
    )
