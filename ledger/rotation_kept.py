"""How a plan of rotation is written down beside the ledger, and read again: plain JSON, fractions as text."""

from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import date
from decimal import InvalidOperation
from fractions import Fraction
from typing import Any

from ledger.care import CareRow
from ledger.events._parts import Answer
from ledger.rotations import Rotation, RotationBook, RotationSpot, Span, Standing

__all__ = ["rotation_of", "said_of"]


def said_of(plan: Rotation) -> Mapping[str, Any]:
    """As it is kept: plain JSON, decimals and fractions as text."""
    return {
        "starts": plan.starts.isoformat(),
        "periods": list(plan.periods),
        "spots": [_plain(each) for each in plan.spots],
        "books": [_plain(each) for each in plan.books],
        "apart": [list(each) for each in plan.apart],
        "rows": [list(each) for each in plan.rows],
        "standing": plan.standing.value,
        "least_possible": str(plan.least_possible),
        "exact": plan.exact,
        "by_hand": plan.by_hand,
        "done": {str(number): act for number, act in plan.done.items()},
    }


def _plain(part: RotationSpot | RotationBook) -> dict[str, Any]:
    """A span as its three figures; an answer as its word."""
    said = {each.name: getattr(part, each.name) for each in fields(part)}
    return {
        name: [str(one) for one in (value.low, value.middle, value.high)] if isinstance(value, Span) else value
        for name, value in said.items()
    }


def rotation_of(row: CareRow) -> Rotation | None:
    """The plan a row keeps; None for one that was harmed."""
    said = row.said
    try:
        found = Rotation(
            row=row,
            starts=date.fromisoformat(said["starts"]),
            periods=tuple(int(each) for each in said["periods"]),
            spots=tuple(_spot(each) for each in said["spots"]),
            books=tuple(_book(each) for each in said["books"]),
            apart=tuple((str(one), str(other)) for one, other in said["apart"]),
            rows=tuple(tuple(str(book) for book in each) for each in said["rows"]),
            standing=Standing(said["standing"]),
            least_possible=Fraction(said["least_possible"]),
            exact=bool(said["exact"]),
            by_hand=bool(said["by_hand"]),
            done={int(number): str(act) for number, act in said["done"].items()},
        )
        whole = [each.where for each in found.spots], found.bands(), found.swaps, found.ends
    except (KeyError, TypeError, ValueError, AttributeError, IndexError, ArithmeticError, InvalidOperation):
        return None
    return found if whole[1] else None


def _spot(said: Mapping[str, Any]) -> RotationSpot:
    return RotationSpot(**{**said, "light": _span(said["light"]), "filtered": Answer(said["filtered"])})


def _book(said: Mapping[str, Any]) -> RotationBook:
    spans = {name: None if said[name] is None else _span(said[name]) for name in ("fade", "filtered", "taken", "had")}
    return RotationBook(**{**said, **spans})


def _span(said: Iterable[str]) -> Span:
    low, middle, high = map(Fraction, said)
    return Span(low=low, middle=middle, high=high)
