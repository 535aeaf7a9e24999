"""Two condition maps side by side: a book at hand, and a graded one with like defects as it was before the work."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.actor import Actor
from ledger.looks import LookSeen, looks_of
from ledger.ports import Ledger
from ledger.precedents import Precedent
from ledger.usecases.look import BookLook, look_at
from web.condition_lines import Shape, shapes_of
from web.placing import Ground, ground_of
from web.wording import t

__all__ = ["Map", "Precedents", "maps_of"]


@dataclass(frozen=True, kw_only=True)
class Map:
    """One book opened flat with what lay on it at one look."""

    name: str
    href: str
    ground: Ground
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, kw_only=True)
class Precedents:
    """The map of the book at hand, and that of the one it is held against."""

    ours: Map
    theirs: Map


def maps_of(ledger: Ledger, actor: Actor, ours: BookLook, found: Sequence[Precedent], like: str) -> Precedents | None:
    """The maps of this book and of the precedent in that book, or of the likest; None where nothing has its place on them."""
    chosen = next((each for each in found if each.case.graded.book == like), found[0] if found else None)
    looks = looks_of(ours.moments)
    if chosen is None or not looks:
        return None
    theirs = look_at(ledger, actor, chosen.case.graded.book)
    before = next((each for each in looks_of(theirs.moments) if each.seq == chosen.case.before), None)
    left, right = _map(ours, looks[-1]), _map(theirs, before) if before is not None else None
    if left is None or right is None or not (left.shapes or right.shapes):
        return None
    return Precedents(ours=left, theirs=right)


def _map(seen: BookLook, look: LookSeen) -> Map | None:
    ground = ground_of((seen,))
    if ground is None:
        return None
    name = str(seen.book.issue) if seen.book.issue else t("book.unnamed")
    href = f"/books/{seen.book.id}/condition?look={look.seq}"
    return Map(name=name, href=href, ground=ground, shapes=shapes_of(look, ground))
