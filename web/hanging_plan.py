"""A wall as a plan for hanging: every book with its measures from the left end and the floor, and a caption to go below it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from ledger.events._parts import Holding
from ledger.events.room import Room, Wall
from ledger.hanging import Piece
from ledger.proof.canonical import Plain
from ledger.usecases.places import Places
from ledger.views import HungRow
from ledger.when import When
from web.report_sheet import framed
from web.wording import t

__all__ = ["COLUMNS", "DROP_MOST_CM", "HangingPlan", "PlanLine", "data_of", "plan_of"]

DROP_MOST_CM: Final = Decimal(50)
COLUMNS: Final = ("number", "book", "middle", "left", "top", "hook", "size")
_MM: Final = 10


@dataclass(frozen=True, kw_only=True)
class PlanLine:
    """One thing that is hung. Units: cm, as text; a hook only where it was said how far below the upper edge it sits."""

    number: int
    title: str
    issue: str
    year: str
    publisher: str
    middle: str
    left: str
    top: str
    hook: str
    size: str
    holder: bool
    measured: bool
    piece: Piece

    def cell(self, column: str) -> str:
        """What the table of the sheet has of it in a column."""
        own = {"number": str(self.number), "book": " ".join(part for part in (self.title, self.issue) if part)}
        return own[column] if column in own else str(getattr(self, column))


@dataclass(frozen=True, kw_only=True)
class HangingPlan:
    """The plan of one wall; `beside` are books on it whose place is not entered."""

    wall: Wall
    room: Room
    lines: tuple[PlanLine, ...]
    beside: tuple[str, ...]
    has_hooks: bool

    @property
    def columns(self) -> tuple[str, ...]:
        """What the table tells of each; hooks only where they were worked out."""
        return tuple(name for name in COLUMNS if name != "hook" or self.has_hooks)


def plan_of(places: Places, room: Room, wall: Wall, drop_cm: Decimal | None) -> HangingPlan:
    """What hangs on a wall from the left; a hook sits so far below the upper edge of each."""
    rows = {each.book: each for each in places.on_wall(room.room, wall.id)}
    pieces = sorted(places.pieces(tuple(rows.values())), key=lambda each: (each.x_cm, -each.y_cm))
    placed = {each.book for each in pieces}
    return HangingPlan(
        wall=wall,
        room=room,
        lines=tuple(_line(number, each, rows[each.book], drop_cm) for number, each in enumerate(pieces, start=1)),
        beside=tuple(f"{each.title} {each.number}" for each in rows.values() if each.book not in placed),
        has_hooks=drop_cm is not None,
    )


def _line(number: int, piece: Piece, row: HungRow, drop_cm: Decimal | None) -> PlanLine:
    left, _, _, top = piece.sides
    holder = row.holding == Holding.SLABBED.value
    return PlanLine(
        number=number,
        title=row.title,
        issue=t("plan.number", number=row.number),
        year=When.parse(row.cover_date).label() if row.cover_date else "",
        publisher=row.publisher or "",
        middle=_cm(piece.x_cm),
        left=_cm(left),
        top=_cm(top),
        hook=_cm(top - drop_cm) if drop_cm is not None else "",
        size=t("plan.by", width=_cm(piece.extent.width_cm), height=_cm(piece.extent.height_cm)),
        holder=holder,
        measured=bool(row.width_mm and row.height_mm) and not holder,
        piece=piece,
    )


def _cm(value: Decimal) -> str:
    """Centimetres to the millimetre, without zeros at the end."""
    return f"{value.quantize(Decimal('0.1'), ROUND_HALF_UP).normalize():f}"


def data_of(plan: HangingPlan, *, title: str, lede: str, running: str, notes: Sequence[str]) -> dict[str, Plain]:
    """All that the sheet says, as plain data; the drawing in millimetres of the wall."""
    return {
        **framed(title, lede, running),
        "drawing": t("plan.drawing"),
        "alt": t("plan.alt", books=len(plan.lines)),
        "measures": t("plan.measures"),
        "captions": t("plan.captions"),
        "notes": list(notes),
        "head": [t(f"plan.columns.{name}") for name in plan.columns],
        "rows": [[each.cell(name) for name in plan.columns] for each in plan.lines],
        "cards": [
            {"title": each.title, "issue": each.issue, "about": ", ".join(filter(None, (each.year, each.publisher)))}
            for each in plan.lines
        ],
        "width": _mm(Decimal(plan.wall.width_cm)),
        "height": _mm(Decimal(plan.wall.height_cm)),
        "books": [_box(str(each.number), each.piece.sides, plan.wall) for each in plan.lines],
        "windows": [
            _box(
                "",
                (left, left + Decimal(each.width_cm), low, low + Decimal(each.height_cm)),
                plan.wall,
            )
            for each in plan.room.windows
            if each.wall == plan.wall.id
            for left, low in ((Decimal(each.x_cm), Decimal(each.y_cm)),)
        ],
    }


def _box(name: str, sides: tuple[Decimal, ...], wall: Wall) -> dict[str, Plain]:
    """An outline by its upper left corner, counted from that of the wall."""
    left, right, low, high = sides
    return {
        "name": name,
        "x": _mm(left),
        "y": _mm(Decimal(wall.height_cm) - high),
        "width": _mm(right - left),
        "height": _mm(high - low),
    }


def _mm(cm: Decimal) -> int:
    return int((cm * _MM).to_integral_value())
